/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Small workshops against an exhaustive reference that shares no method with the planner: it walks
 * through time in half hours, knows the calendars as rows of open and closed steps, and tries every
 * start of every activity that could end the whole earlier. Up to 12 activities, shifts, windows of
 * all kinds, crews, promises, places held while waiting; a thousand problems that the reference can settle. A
 * failure names the seed. */
#include "mouldwright/plan_search.h"
#include "plan_checker.h"
#include "plan_problem.h"

enum {
    PROBLEMS = 1400,
    VERIFIED_LEAST = 1000,
    GROUPS = 20,
    FIRST_SEED = 1,
    STEP_MINUTES = 30,
    DAYS = 40,
    STEPS = DAYS * 48,
    KINDS = 3, /* of calendars: ALWAYS, DAY, NIGHT, as numbered in `kinds` */
    MOST = 12,
    BREAK_STEPS = 3, /* a break of so many steps does not part a run */
    TRIES_MOST = 200000,
    NEAR_STEPS = 3 * 48 /* how far is looked where the planner says that there is no plan */
};

static const uint32_t kinds[KINDS] = {ALWAYS, DAY, NIGHT};

typedef struct reference {
    const mw_plan_problem *p;
    bool open[KINDS][STEPS];
    int done[KINDS][STEPS + 1]; /* open steps before this one */
    uint32_t used[4][STEPS];
    int start[MOST], end[MOST];
    int earliest[MOST];                       /* starts, by least lags alone */
    int latest_start[MOST], latest_end[MOST]; /* for the deadline, by least lags alone */
    int deadline;                             /* all has to end before it */
    long tries;
} reference;

static reference ref; /* too large for the stack */

static struct {
    unsigned planned, impossible, too_long, largest;
} seen;

static int kind_of(uint32_t calendar)
{
    return calendar == ALWAYS ? 0 : calendar == DAY ? 1 : 2;
}

static int steps_of(double seconds)
{
    return (int)(seconds / (60.0 * STEP_MINUTES));
}

/* Day 0 is a Monday; the planner's problems start on it. */
static void open_day(int kind, int day)
{
    const calendar_row *row = &calendar_rows[kinds[kind]];
    int weekday = day % 7 + 1;
    for (uint32_t i = 0;
         weekday >= row->first_weekday && weekday <= row->last_weekday && i < row->count; i++) {
        int from = (day * 1440 + row->stretches[i].from_minute) / STEP_MINUTES;
        int to = (day * 1440 + row->stretches[i].to_minute) / STEP_MINUTES;
        for (int at = from; at < to && at < STEPS; at++) {
            ref.open[kind][at] = true;
        }
    }
}

static void fill_calendars(void)
{
    memset(ref.open, 0, sizeof ref.open);
    for (int kind = 0; kind < KINDS; kind++) {
        for (int day = 0; day < DAYS; day++) {
            open_day(kind, day);
        }
        for (int at = 0; at < STEPS; at++) {
            ref.done[kind][at + 1] = ref.done[kind][at] + (ref.open[kind][at] ? 1 : 0);
        }
    }
}

/* Returns the earliest step at which `amount` steps are done since `from`; STEPS if none. */
static int advance(int kind, int from, int amount)
{
    int at = from;
    while (at < STEPS && ref.done[kind][at] - ref.done[kind][from] < amount) {
        at++;
    }
    return at;
}

/* Returns the end of an activity that starts at `start`, or STEPS if it cannot start there. */
static int end_from(const mw_plan_activity *row, int start)
{
    int kind = kind_of(row->calendar);
    int work = steps_of(row->work_s);
    if (work == 0) {
        return start;
    }
    if (!ref.open[kind][start]) {
        return STEPS;
    }
    int end = advance(kind, start, work);
    int closed = 0;
    for (int at = start; at < end && !row->interrupt; at++) {
        closed = ref.open[kind][at] ? 0 : closed + 1;
        if (closed > BREAK_STEPS) {
            return STEPS;
        }
    }
    return end;
}

static int freed_at(uint32_t activity)
{
    int freed = ref.end[activity];
    for (uint32_t i = 0; i < ref.p->lag_count; i++) {
        const mw_plan_lag *lag = &ref.p->lags[i];
        if (lag->from == activity && lag->from_end && !lag->maximum) {
            int at = advance(kind_of(lag->calendar), ref.end[activity], steps_of(lag->amount_s));
            freed = at > freed ? at : freed;
        }
    }
    return freed;
}

static bool keeps_lag(const mw_plan_lag *lag)
{
    int from = lag->from_end ? ref.end[lag->from] : ref.start[lag->from];
    int to = lag->to_end ? ref.end[lag->to] : ref.start[lag->to];
    int kind = kind_of(lag->calendar);
    int amount = steps_of(lag->amount_s);
    if (lag->maximum) {
        return to <= from || ref.done[kind][to] - ref.done[kind][from] <= amount;
    }
    return to >= advance(kind, from, amount);
}

static bool keeps_lags(uint32_t activity)
{
    for (uint32_t i = 0; i < ref.p->lag_count; i++) {
        const mw_plan_lag *lag = &ref.p->lags[i];
        uint32_t later = lag->from > lag->to ? lag->from : lag->to;
        if (later == activity && !keeps_lag(lag)) {
            return false;
        }
    }
    return true;
}

/* Adds what an activity holds to the rows of what is used, or takes it away. */
static bool hold(uint32_t activity, bool add)
{
    const mw_plan_activity *row = &ref.p->activities[activity];
    bool fits = true;
    for (uint32_t n = 0; n < row->need_count; n++) {
        const mw_plan_need *need = &ref.p->needs[row->first_need + n];
        int until = need->wait_too ? freed_at(activity) : ref.end[activity];
        for (int at = ref.start[activity]; at < until && at < STEPS; at++) {
            ref.used[need->resource][at] += add ? need->amount : 0 - need->amount;
            fits =
                fits && ref.used[need->resource][at] <= ref.p->resources[need->resource].capacity;
        }
    }
    return fits;
}

/* Whether the activities from `activity` on can all end before the deadline. */
static bool can_end(uint32_t activity)
{
    if (activity == ref.p->activity_count) {
        return true;
    }
    const mw_plan_activity *row = &ref.p->activities[activity];
    for (int start = ref.earliest[activity]; start <= ref.latest_start[activity]; start++) {
        ref.start[activity] = start;
        ref.end[activity] = end_from(row, start);
        if (ref.end[activity] >= ref.deadline || ++ref.tries > TRIES_MOST ||
            !keeps_lags(activity)) {
            continue;
        }
        bool found = hold(activity, true) && can_end(activity + 1);
        hold(activity, false);
        if (found) {
            return true;
        }
    }
    return false;
}

/* Least lags lead to activities further down, so the first start that keeps them, with all before at
 * their first, is the earliest. */
static void find_earliest(void)
{
    for (uint32_t a = 0; a < ref.p->activity_count; a++) {
        int start = 0;
        bool fits = false;
        for (; start < STEPS && !fits; start++) {
            ref.start[a] = start;
            ref.end[a] = end_from(&ref.p->activities[a], start);
            fits = ref.end[a] < STEPS;
            for (uint32_t i = 0; i < ref.p->lag_count && fits; i++) {
                const mw_plan_lag *lag = &ref.p->lags[i];
                fits = lag->maximum || lag->to != a || keeps_lag(lag);
            }
        }
        ref.earliest[a] = fits ? start - 1 : STEPS;
    }
}

/* Whether a start leaves those that must follow it to their latest. */
static bool leaves_time(uint32_t activity)
{
    for (uint32_t i = 0; i < ref.p->lag_count; i++) {
        const mw_plan_lag *lag = &ref.p->lags[i];
        if (lag->maximum || lag->from != activity) {
            continue;
        }
        int from = lag->from_end ? ref.end[activity] : ref.start[activity];
        int latest = lag->to_end ? ref.latest_end[lag->to] : ref.latest_start[lag->to];
        if (advance(kind_of(lag->calendar), from, steps_of(lag->amount_s)) > latest) {
            return false;
        }
    }
    return true;
}

static void find_latest(void)
{
    for (uint32_t a = ref.p->activity_count; a-- > 0;) {
        bool fits = false;
        int start = ref.deadline;
        while (start > 0 && !fits) {
            ref.start[a] = --start;
            ref.end[a] = end_from(&ref.p->activities[a], start);
            fits = ref.end[a] < ref.deadline && leaves_time(a);
        }
        ref.latest_start[a] = fits ? start : -1;
        ref.latest_end[a] = fits ? ref.end[a] : -1;
    }
}

static bool can_end_before(const mw_plan_problem *p, int deadline)
{
    ref.p = p;
    ref.deadline = deadline;
    ref.tries = 0;
    memset(ref.used, 0, sizeof ref.used);
    for (uint32_t i = 0; i < p->promise_count; i++) {
        const mw_plan_promise *promise = &p->promises[i];
        for (int at = steps_of(promise->from_s - p->start_s);
             at < steps_of(promise->until_s - p->start_s); at++) {
            ref.used[promise->resource][at] += promise->amount;
        }
    }
    find_earliest();
    find_latest();
    return can_end(0);
}

static double half_hours(uint64_t *r, uint32_t most)
{
    return HOURS(0.5) * random_below(r, most + 1);
}

static uint32_t some_calendar(uint64_t *r)
{
    return kinds[one_in(r, 6) ? 2 : one_in(r, 3) ? 0 : 1];
}

static void add_step(builder *b, uint64_t *r)
{
    add_activity(b, (mw_plan_activity){.work_s = one_in(r, 8) ? 0.0 : HOURS(0.5) + half_hours(r, 7),
                                       .calendar = some_calendar(r),
                                       .interrupt = one_in(r, 2),
                                       .earliest_s = ANY});
    uint32_t resource = random_below(r, b->problem.resource_count);
    uint32_t most = b->resources[resource].capacity;
    if (!one_in(r, 5)) {
        add_need(b, (mw_plan_need){resource, 1 + random_below(r, most), one_in(r, 6)});
    }
}

static void add_chain_lags(builder *b, uint64_t *r, uint32_t to)
{
    uint32_t from = to - 1 - (to > 1 ? random_below(r, 2) : 0);
    mw_plan_lag lag = {.from = from,
                       .to = to,
                       .from_end = !one_in(r, 4),
                       .to_end = one_in(r, 8),
                       .calendar = some_calendar(r),
                       .amount_s = one_in(r, 2) ? 0.0 : half_hours(r, 8)};
    add_lag(b, lag);
    if (one_in(r, 4)) {
        lag.maximum = true;
        lag.from_end = one_in(r, 2);
        lag.to_end = one_in(r, 2);
        lag.amount_s += HOURS(1) + half_hours(r, 12);
        add_lag(b, lag);
    }
}

static builder *make_workshop(uint64_t seed)
{
    uint64_t state = seed * 7919;
    uint64_t *r = &state;
    builder *b = new_shop_builder(JAN(11, 0, 0));
    for (uint32_t left = 1 + random_below(r, 2); left > 0; left--) {
        add_resource(b, 1 + random_below(r, 3));
    }
    if (one_in(r, 3)) {
        double from_s = JAN(11, 6, 0) + half_hours(r, 40);
        add_promise(b, (mw_plan_promise){0, 1, from_s, from_s + half_hours(r, 16)});
    }
    uint32_t count = 4 + random_below(r, 9);
    for (uint32_t i = 0; i < count; i++) {
        add_step(b, r);
        if (i > 0 && !one_in(r, 8)) {
            add_chain_lags(b, r, i);
        }
    }
    return b;
}

static void check_workshop(mw_plan *plan, unsigned seed)
{
    char name[32];
    builder *b = make_workshop(seed);
    snprintf(name, sizeof name, "seed %u", seed);
    mw_plan_budget budget = {.seed = seed, .schedules = 100, .trials = 1000000};
    mw_plan_outcome outcome;
    assert_int_equal(mw_plan_search(plan, &b->problem, &budget, &outcome), MW_OK);
    assert_right_plan(plan, &b->problem, name);
    bool planned = outcome.verdict == MW_PLAN_PLANNED;
    if (outcome.verdict == MW_PLAN_NONE_FOUND || (planned && outcome.bound_s != outcome.last_s)) {
        fail_msg("%s: not solved: %.1f h, bound %.1f h", name,
                 (outcome.last_s - b->problem.start_s) / 3600.0,
                 (outcome.bound_s - b->problem.start_s) / 3600.0);
    }
    int deadline = planned ? steps_of(outcome.last_s - b->problem.start_s) : NEAR_STEPS;
    bool sooner = can_end_before(&b->problem, deadline);
    if (ref.tries > TRIES_MOST) {
        seen.too_long++;
    } else if (sooner) {
        fail_msg("%s: a plan ends before %.1f h", name, deadline * 0.5);
    } else {
        seen.largest += b->problem.activity_count > 9 ? 1 : 0;
    }
    seen.planned += planned ? 1 : 0;
    seen.impossible += planned ? 0 : 1;
    free_builder(b);
}

static void check_group(void **state)
{
    unsigned first = *(const unsigned *)*state;
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    fill_calendars();
    for (unsigned seed = first; seed < first + PROBLEMS / GROUPS; seed++) {
        check_workshop(plan, seed);
    }
    mw_plan_free(plan);
}

static void hard_cases_came_up(void **state)
{
    (void)state;
    print_message(
        "%u planned, %u impossible, %u too long for the reference; of more than 9 activities, %u "
        "verified\n",
        seen.planned, seen.impossible, seen.too_long, seen.largest);
    assert_true(seen.planned > PROBLEMS / 2);
    assert_true(seen.impossible > PROBLEMS / 100);
    assert_true(seen.planned + seen.impossible - seen.too_long >= VERIFIED_LEAST);
    assert_true(seen.largest > 100);
}

int main(void)
{
    static unsigned firsts[GROUPS];
    test_list list = {0};
    for (unsigned i = 0; i < GROUPS; i++) {
        char name[48];
        firsts[i] = FIRST_SEED + i * (PROBLEMS / GROUPS);
        snprintf(name, sizeof name, "seeds from %u", firsts[i]);
        test_add_named(&list, name, check_group, &firsts[i]);
    }
    test_add(&list, hard_cases_came_up);
    return test_run(&list, "small workshops");
}
