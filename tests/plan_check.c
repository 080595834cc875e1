/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Checks a plan, knowing nothing of the planner and nothing of the library: reads a problem and its
 * plan as one JSON object (RFC 8259) from a file or standard input. Needs only the C library.
 *
 *   plan_check [FILE]      0: right; 1: wrong, with what is wrong first; 2: cannot be read
 *
 *   {"start": s, "horizon": s, "whole": truth, "last": s, "bound": s, "late": s, "moved": s,
 *    "calendars": [[[from, until, rate], ...], ...],        open stretches in order, up to horizon
 *    "resources": [capacity, ...],
 *    "promises": [[resource, amount, from, until], ...],
 *    "activities": [{"work": s, "calendar": n, "interrupt": truth, "earliest": s or null,
 *                    "weight": n, "due": s, "agreed": s,    these three may be missing
 *                    "needs": [[resource, amount, wait_too], ...]}, ...],
 *    "lags": [[from, from_end, to, to_end, maximum, amount or null, calendar], ...],
 *    "plan": [[start, end] or null, ...], "missed": [lag, ...]}
 *
 * `whole`: all is done and no window missed; `last`, `bound`: the last end, and a bound below it;
 * `late`: over all that is due, weight * lateness; `moved`: over all that was agreed, how much later
 * it starts. These two may be missing. */
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SLACK_S         0.005
#define WINDOW_SLACK_S  0.011
#define LONGEST_BREAK_S (90.0 * 60.0)

/* --- reading JSON ------------------------------------------------------------------------------ */

typedef enum value_kind { NOTHING, TRUTH, NUMBER, TEXT, LIST, OBJECT } value_kind;

typedef struct value {
    value_kind kind;
    double number; /* a truth is 0 or 1 */
    char key[24];  /* of a member of an object */
    struct value *items;
    size_t count, room;
} value;

typedef struct reader {
    const char *at;
    int depth;
    bool bad;
} reader;

enum { DEPTH_MOST = 16 };

static value read_value(reader *r);

static void skip_space(reader *r)
{
    r->at += strspn(r->at, " \t\r\n");
}

static bool take(reader *r, char c)
{
    skip_space(r);
    if (*r->at != c) {
        return false;
    }
    r->at++;
    return true;
}

static bool take_word(reader *r, const char *word)
{
    size_t length = strlen(word);
    if (strncmp(r->at, word, length) != 0) {
        return false;
    }
    r->at += length;
    return true;
}

/* Keys here have no escapes and are short. */
static void read_key(reader *r, char *key, size_t size)
{
    size_t length = 0;
    if (!take(r, '"')) {
        r->bad = true;
        return;
    }
    length = strcspn(r->at, "\"\\");
    if (length >= size || r->at[length] != '"') {
        r->bad = true;
        return;
    }
    memcpy(key, r->at, length);
    key[length] = '\0';
    r->at += length + 1;
}

static void add_item(reader *r, value *list, value item)
{
    if (list->count == list->room) {
        list->room = list->room * 2 + 8;
        value *items = realloc(list->items, list->room * sizeof *items);
        if (items == NULL) {
            r->bad = true;
            return;
        }
        list->items = items;
    }
    list->items[list->count++] = item;
}

static value read_items(reader *r, value_kind kind, char close)
{
    value list = {.kind = kind};
    if (++r->depth > DEPTH_MOST) {
        r->bad = true;
    }
    if (!r->bad && !take(r, close)) {
        do {
            char key[sizeof list.key] = "";
            if (kind == OBJECT) {
                read_key(r, key, sizeof key);
                r->bad = r->bad || !take(r, ':');
            }
            value item = read_value(r);
            memcpy(item.key, key, sizeof key);
            add_item(r, &list, item);
        } while (!r->bad && take(r, ','));
        r->bad = r->bad || !take(r, close);
    }
    r->depth--;
    return list;
}

static value read_value(reader *r)
{
    skip_space(r);
    if (r->bad) {
        return (value){0};
    }
    if (take(r, '{')) {
        return read_items(r, OBJECT, '}');
    }
    if (take(r, '[')) {
        return read_items(r, LIST, ']');
    }
    if (take_word(r, "null")) {
        return (value){.kind = NOTHING};
    }
    if (take_word(r, "true")) {
        return (value){.kind = TRUTH, .number = 1.0};
    }
    if (take_word(r, "false")) {
        return (value){.kind = TRUTH};
    }
    char *end;
    double number = strtod(r->at, &end);
    r->bad = end == r->at;
    r->at = end;
    return (value){.kind = NUMBER, .number = number};
}

static void free_value(value *v)
{
    for (size_t i = 0; i < v->count; i++) {
        free_value(&v->items[i]);
    }
    free(v->items);
}

/* --- the problem as it was read ---------------------------------------------------------------- */

typedef struct document {
    value root;
    const value *calendars, *resources, *promises, *activities, *lags, *plan, *missed;
    double start, horizon, last, bound;
    double late, moved; /* NaN: not said */
    bool whole;
    bool misfit; /* something is missing or of the wrong kind */
    char fault[160];
} document;

static const value *member(document *d, const value *of, const char *key, value_kind kind)
{
    static const value none = {0};
    for (size_t i = 0; i < of->count; i++) {
        if (strcmp(of->items[i].key, key) == 0 && of->items[i].kind == kind) {
            return &of->items[i];
        }
    }
    d->misfit = true;
    return &none;
}

static const value *item(document *d, const value *list, size_t index)
{
    static const value none = {0};
    if (index >= list->count) {
        d->misfit = true;
        return &none;
    }
    return &list->items[index];
}

static double number(document *d, const value *list, size_t index)
{
    return item(d, list, index)->number;
}

static size_t place(document *d, const value *list, size_t index)
{
    double n = number(d, list, index);
    if (!(n >= 0.0 && n < 1e9)) {
        d->misfit = true;
        return 0;
    }
    return (size_t)n;
}

/* A number that may be missing. */
static double number_or(const value *of, const char *key, double otherwise)
{
    for (size_t i = 0; i < of->count; i++) {
        if (strcmp(of->items[i].key, key) == 0 && of->items[i].kind == NUMBER) {
            return of->items[i].number;
        }
    }
    return otherwise;
}

static void open_document(document *d)
{
    d->late = number_or(&d->root, "late", (double)NAN);
    d->moved = number_or(&d->root, "moved", (double)NAN);
    d->calendars = member(d, &d->root, "calendars", LIST);
    d->resources = member(d, &d->root, "resources", LIST);
    d->promises = member(d, &d->root, "promises", LIST);
    d->activities = member(d, &d->root, "activities", LIST);
    d->lags = member(d, &d->root, "lags", LIST);
    d->plan = member(d, &d->root, "plan", LIST);
    d->missed = member(d, &d->root, "missed", LIST);
    d->start = member(d, &d->root, "start", NUMBER)->number;
    d->horizon = member(d, &d->root, "horizon", NUMBER)->number;
    d->last = member(d, &d->root, "last", NUMBER)->number;
    d->bound = member(d, &d->root, "bound", NUMBER)->number;
    d->whole = member(d, &d->root, "whole", TRUTH)->number != 0.0;
    d->misfit = d->misfit || d->plan->count != d->activities->count;
}

static void say(document *d, const char *what, size_t index, double off)
{
    if (d->fault[0] == '\0') {
        snprintf(d->fault, sizeof d->fault, "%s %zu (%.6g)", what, index, off);
    }
}

static bool is_done(document *d, size_t activity)
{
    return item(d, d->plan, activity)->kind == LIST;
}

static double point(document *d, size_t activity, bool end)
{
    return number(d, item(d, d->plan, activity), end ? 1 : 0);
}

/* --- calendars --------------------------------------------------------------------------------- */

/* What is done between two moments. */
static double amount_between(document *d, size_t calendar, double from, double until)
{
    const value *stretches = item(d, d->calendars, calendar);
    double sum = 0.0;
    for (size_t i = 0; i < stretches->count; i++) {
        const value *s = &stretches->items[i];
        double begin = fmax(from, number(d, s, 0));
        double close = fmin(until, number(d, s, 1));
        sum += begin < close ? (close - begin) * number(d, s, 2) : 0.0;
    }
    return sum;
}

/* When an amount is done; the horizon at the latest. */
static double done_at(document *d, size_t calendar, double from, double amount)
{
    const value *stretches = item(d, d->calendars, calendar);
    double left = amount;
    for (size_t i = 0; i < stretches->count && left > 0.0; i++) {
        const value *s = &stretches->items[i];
        double begin = fmax(from, number(d, s, 0));
        double done = (number(d, s, 1) - begin) * number(d, s, 2);
        if (begin < number(d, s, 1) && done >= left) {
            return begin + left / number(d, s, 2);
        }
        left -= begin < number(d, s, 1) ? done : 0.0;
    }
    return left > 0.0 ? d->horizon : from;
}

/* The longest stretch between two moments in which nothing is open. */
static double longest_break(document *d, size_t calendar, double from, double until)
{
    const value *stretches = item(d, d->calendars, calendar);
    double open_until = from;
    double longest = 0.0;
    for (size_t i = 0; i < stretches->count; i++) {
        double begin = number(d, &stretches->items[i], 0);
        double close = number(d, &stretches->items[i], 1);
        if (close > from && begin < until) {
            longest = fmax(longest, begin - open_until);
            open_until = close;
        }
    }
    return fmax(longest, until - open_until);
}

/* --- checks ------------------------------------------------------------------------------------ */

static void check_work(document *d, size_t index, const value *activity)
{
    double work = member(d, activity, "work", NUMBER)->number;
    double calendar_number = member(d, activity, "calendar", NUMBER)->number;
    size_t calendar = calendar_number >= 0.0 ? (size_t)calendar_number : 0;
    double start = point(d, index, false);
    double end = point(d, index, true);
    double off = amount_between(d, calendar, start, end) - work;
    if (!(fabs(off) <= SLACK_S) || end < start || end > d->horizon) {
        say(d, "not its work: activity", index, off);
    }
    if (work == 0.0) {
        return;
    }
    if (!(amount_between(d, calendar, start, start + 1.0) > 0.0)) {
        say(d, "starts where nobody works: activity", index, start);
    }
    if (!(amount_between(d, calendar, end - 1.0, end) > 0.0)) {
        say(d, "ends where nobody works: activity", index, end);
    }
    bool interrupt = member(d, activity, "interrupt", TRUTH)->number != 0.0;
    double gap = longest_break(d, calendar, start, end);
    if (!interrupt && gap > LONGEST_BREAK_S + SLACK_S) {
        say(d, "parted, though it may not be: activity", index, gap);
    }
}

static void check_activity(document *d, size_t index)
{
    const value *activity = item(d, d->activities, index);
    if (!is_done(d, index)) {
        if (d->whole) {
            say(d, "not done in a plan called whole: activity", index, 0.0);
        }
        return;
    }
    double earliest = fmax(d->start, number_or(activity, "earliest", d->start));
    double early = earliest - point(d, index, false);
    if (!(early <= SLACK_S)) {
        say(d, "too early: activity", index, early);
    }
    check_work(d, index, activity);
}

/* The columns of a lag. */
enum { FROM, FROM_END, TO, TO_END, MAXIMUM, AMOUNT, CALENDAR };

static void check_least(document *d, size_t index, const value *lag)
{
    size_t from = place(d, lag, FROM);
    size_t to = place(d, lag, TO);
    if (!is_done(d, to)) {
        return;
    }
    if (!is_done(d, from)) {
        say(d, "follows what is never done: lag", index, 0.0);
        return;
    }
    double from_s = point(d, from, number(d, lag, FROM_END) != 0.0);
    double to_s = point(d, to, number(d, lag, TO_END) != 0.0);
    double done = amount_between(d, place(d, lag, CALENDAR), from_s, to_s);
    double off = done - number(d, lag, AMOUNT);
    bool never = item(d, lag, AMOUNT)->kind == NOTHING;
    if (never || !(off >= -SLACK_S) || to_s < from_s - SLACK_S) {
        say(d, "too short: lag", index, off);
    }
}

static void check_window(document *d, size_t index, const value *lag)
{
    size_t from = place(d, lag, FROM);
    size_t to = place(d, lag, TO);
    bool kept = true;
    bool called_missed = false;
    double over = 0.0;
    for (size_t i = 0; i < d->missed->count; i++) {
        called_missed = called_missed || place(d, d->missed, i) == index;
    }
    if (is_done(d, from)) {
        double from_s = point(d, from, number(d, lag, FROM_END) != 0.0);
        double to_s = is_done(d, to) ? point(d, to, number(d, lag, TO_END) != 0.0) : d->horizon;
        over = amount_between(d, place(d, lag, CALENDAR), from_s, to_s) - number(d, lag, AMOUNT);
        kept = is_done(d, to) && (!(over > WINDOW_SLACK_S) || to_s <= from_s);
        kept = kept || item(d, lag, AMOUNT)->kind == NOTHING;
    }
    if (kept == called_missed) {
        say(d, kept ? "kept, yet called missed: lag" : "missed in silence: lag", index, over);
    }
    if (!kept && d->whole) {
        say(d, "missed in a plan called whole: lag", index, over);
    }
}

static double held_until(document *d, size_t activity, bool wait_too)
{
    double end = point(d, activity, true);
    double until = end;
    for (size_t i = 0; wait_too && i < d->lags->count; i++) {
        const value *lag = item(d, d->lags, i);
        if (place(d, lag, FROM) == activity && number(d, lag, FROM_END) != 0.0 &&
            number(d, lag, MAXIMUM) == 0.0) {
            double amount =
                item(d, lag, AMOUNT)->kind == NOTHING ? HUGE_VAL : number(d, lag, AMOUNT);
            until = fmax(until, done_at(d, place(d, lag, CALENDAR), end, amount));
        }
    }
    return until - SLACK_S;
}

static double used_by_activities(document *d, size_t resource, double at)
{
    double used = 0.0;
    for (size_t a = 0; a < d->activities->count; a++) {
        const value *needs = member(d, item(d, d->activities, a), "needs", LIST);
        for (size_t n = 0; n < needs->count && is_done(d, a); n++) {
            const value *need = item(d, needs, n);
            if (place(d, need, 0) == resource && point(d, a, false) <= at &&
                at < held_until(d, a, number(d, need, 2) != 0.0)) {
                used += number(d, need, 1);
            }
        }
    }
    return used;
}

static double used_by_promises(document *d, size_t resource, double at)
{
    double used = 0.0;
    for (size_t i = 0; i < d->promises->count; i++) {
        const value *promise = item(d, d->promises, i);
        if (place(d, promise, 0) == resource && number(d, promise, 2) + SLACK_S <= at &&
            at < number(d, promise, 3) - SLACK_S) {
            used += number(d, promise, 1);
        }
    }
    return used;
}

static void check_moment(document *d, size_t resource, double at)
{
    double ours = used_by_activities(d, resource, at);
    double all = ours + used_by_promises(d, resource, at);
    if (ours > 0.0 && all > number(d, d->resources, resource) + 0.5) {
        say(d, "more than there is: resource", resource, at);
    }
}

/* What is used only grows where something begins. */
static void check_resource(document *d, size_t resource)
{
    for (size_t a = 0; a < d->activities->count; a++) {
        if (is_done(d, a)) {
            check_moment(d, resource, point(d, a, false));
        }
    }
    for (size_t i = 0; i < d->promises->count; i++) {
        if (place(d, item(d, d->promises, i), 0) == resource) {
            check_moment(d, resource, number(d, item(d, d->promises, i), 2) + SLACK_S);
        }
    }
}

/* What is due too late, and what starts later than was agreed. */
static void check_promises_kept(document *d)
{
    double late = 0.0;
    double moved = 0.0;
    for (size_t a = 0; a < d->activities->count; a++) {
        const value *activity = item(d, d->activities, a);
        if (is_done(d, a)) {
            double due = number_or(activity, "due", HUGE_VAL);
            double agreed = number_or(activity, "agreed", HUGE_VAL);
            double too_late = fmax(0.0, point(d, a, true) - due);
            late += too_late > 0.0 ? number_or(activity, "weight", 0.0) * too_late : 0.0;
            moved += fmax(0.0, point(d, a, false) - agreed);
        }
    }
    if (fabs(late - d->late) > SLACK_S + 1e-9 * late) {
        say(d, "not its lateness: activities", d->activities->count, late - d->late);
    }
    if (fabs(moved - d->moved) > SLACK_S + 1e-9 * moved) {
        say(d, "not what it moved: activities", d->activities->count, moved - d->moved);
    }
}

static void check_claims(document *d)
{
    check_promises_kept(d);
    double last = d->start;
    for (size_t a = 0; a < d->activities->count; a++) {
        last = is_done(d, a) ? fmax(last, point(d, a, true)) : last;
    }
    if (!(fabs(last - d->last) <= SLACK_S)) {
        say(d, "not the last end: activities", d->activities->count, last - d->last);
    }
    if (d->whole && !(d->bound <= last + SLACK_S)) {
        say(d, "a bound above the plan: activities", d->activities->count, d->bound - last);
    }
}

static void check_all(document *d)
{
    for (size_t a = 0; a < d->activities->count; a++) {
        check_activity(d, a);
    }
    for (size_t i = 0; i < d->lags->count; i++) {
        const value *lag = item(d, d->lags, i);
        if (number(d, lag, MAXIMUM) != 0.0) {
            check_window(d, i, lag);
        } else {
            check_least(d, i, lag);
        }
    }
    for (size_t r = 0; r < d->resources->count; r++) {
        check_resource(d, r);
    }
    check_claims(d);
}

static char *read_all(FILE *file)
{
    size_t room = 1 << 16;
    size_t length = 0;
    char *text = malloc(room);
    while (text != NULL) {
        length += fread(text + length, 1, room - length - 1, file);
        if (feof(file) || ferror(file)) {
            text[length] = '\0';
            return text;
        }
        room *= 2;
        char *more = realloc(text, room);
        if (more == NULL) {
            free(text);
        }
        text = more;
    }
    return NULL;
}

int main(int count, char **arguments)
{
    FILE *file = count > 1 ? fopen(arguments[1], "r") : stdin;
    char *text = file == NULL ? NULL : read_all(file);
    if (text == NULL) {
        puts("cannot be read");
        return 2;
    }
    reader r = {.at = text};
    document d = {.root = read_value(&r)};
    skip_space(&r);
    d.misfit = r.bad || *r.at != '\0' || d.root.kind != OBJECT;
    if (!d.misfit) {
        open_document(&d);
    }
    if (!d.misfit) {
        check_all(&d);
    }
    if (file != stdin) {
        fclose(file);
    }
    puts(d.misfit ? "not a plan" : d.fault[0] == '\0' ? "right" : d.fault);
    free_value(&d.root);
    free(text);
    return d.misfit ? 2 : d.fault[0] == '\0' ? 0 : 1;
}
