/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The planner against a slow and simple one that walks through time step by step: it knows the
 * shifts as rows of open and closed steps, tries each start in turn, and finds windows by trying
 * all starts of a chain. Both must come to the same starts and ends, which the checker passes. */
#include "plan_checker.h"
#include "plan_problem.h"

enum {
    KINDS = 4, /* of calendars: ALWAYS, DAY, CURE (which is not used), NIGHT */
    STEPS_MOST = 50 * 1440,
    ACTIVITIES_MOST = 16,
    RESOURCES_MOST = 3,
    FIRST_SEED = 7,
    LONGEST_BREAK_MINUTES = 90,
    FURTHEST_DAYS = 30
};

static const uint32_t calendars_used[] = {ALWAYS, DAY, DAY, NIGHT};

typedef struct oracle {
    const mw_plan_problem *p;
    int step_minutes;
    int steps;
    bool open[KINDS][STEPS_MOST];
    int done[KINDS][STEPS_MOST + 1]; /* open steps before this one */
    int nth[KINDS][STEPS_MOST + 1];  /* behind the n-th open step */
    int used[RESOURCES_MOST][STEPS_MOST];
    int start[ACTIVITIES_MOST], end[ACTIVITIES_MOST], freed[ACTIVITIES_MOST];
    int first[ACTIVITIES_MOST]; /* where its chain was first tried */
} oracle;

static oracle slow; /* too large for the stack */

static int in_steps(double seconds)
{
    return (int)(seconds / (60.0 * slow.step_minutes));
}

/* Opens the steps of a calendar's stretches on one day; day 0 is a Monday. */
static void open_day(int kind, int day)
{
    const calendar_row *row = &calendar_rows[kind];
    int weekday = day % 7 + 1;
    if (weekday < row->first_weekday || weekday > row->last_weekday) {
        return;
    }
    for (uint32_t i = 0; i < row->count; i++) {
        int to = day * 1440 + row->stretches[i].to_minute;
        for (int at = day * 1440 + row->stretches[i].from_minute; at < to;
             at += slow.step_minutes) {
            if (at / slow.step_minutes < slow.steps) {
                slow.open[kind][at / slow.step_minutes] = true;
            }
        }
    }
}

static void fill_calendars(void)
{
    memset(slow.open, 0, sizeof slow.open);
    for (int kind = 0; kind < KINDS; kind++) {
        for (int day = 0; day < slow.steps * slow.step_minutes / 1440; day++) {
            open_day(kind, day);
        }
        int done = 0;
        for (int step = 0; step < slow.steps; step++) {
            slow.done[kind][step] = done;
            if (slow.open[kind][step]) {
                done++;
                slow.nth[kind][done] = step + 1;
            }
        }
        slow.done[kind][slow.steps] = done;
    }
}

/* The first step at which `amount` steps are done since `from`; the last step there is, if
 * never. */
static int advance(uint32_t kind, int from, int amount)
{
    int until = slow.done[kind][from] + amount;
    return amount == 0                           ? from
           : until > slow.done[kind][slow.steps] ? slow.steps - 1
                                                 : slow.nth[kind][until];
}

static int done_between(uint32_t kind, int from, int to)
{
    return to > from ? slow.done[kind][to] - slow.done[kind][from] : 0;
}

static bool parted(uint32_t kind, int start, int end)
{
    int closed = 0;
    for (int at = start; at < end; at++) {
        closed = slow.open[kind][at] ? 0 : closed + slow.step_minutes;
        if (closed > LONGEST_BREAK_MINUTES) {
            return true;
        }
    }
    return false;
}

static int find_freed(uint32_t activity, int end)
{
    int freed = end;
    for (uint32_t i = 0; i < slow.p->lag_count; i++) {
        const mw_plan_lag *lag = &slow.p->lags[i];
        if (lag->from == activity && !lag->maximum && lag->from_end) {
            int over = advance(lag->calendar, end, in_steps(lag->amount_s));
            freed = over > freed ? over : freed;
        }
    }
    return freed;
}

static bool lags_kept(uint32_t activity, int start, int end)
{
    for (uint32_t i = 0; i < slow.p->lag_count; i++) {
        const mw_plan_lag *lag = &slow.p->lags[i];
        if (lag->to != activity || lag->maximum) {
            continue;
        }
        int from = lag->from_end ? slow.end[lag->from] : slow.start[lag->from];
        int least = advance(lag->calendar, from, in_steps(lag->amount_s));
        if ((lag->to_end ? end : start) < least) {
            return false;
        }
    }
    return true;
}

static bool needs_free(uint32_t activity, int start, int end, int freed)
{
    const mw_plan_activity *row = &slow.p->activities[activity];
    for (uint32_t n = 0; n < row->need_count; n++) {
        const mw_plan_need *need = &slow.p->needs[row->first_need + n];
        int most = (int)slow.p->resources[need->resource].capacity - (int)need->amount;
        for (int at = start; at < (need->wait_too ? freed : end); at++) {
            if (slow.used[need->resource][at] > most) {
                return false;
            }
        }
    }
    return true;
}

/* Adds what the activity holds where it is now; `sign` -1: takes it away. */
static void hold(uint32_t activity, int sign)
{
    const mw_plan_activity *row = &slow.p->activities[activity];
    for (uint32_t n = 0; n < row->need_count; n++) {
        const mw_plan_need *need = &slow.p->needs[row->first_need + n];
        int until = need->wait_too ? slow.freed[activity] : slow.end[activity];
        for (int at = slow.start[activity]; at < until; at++) {
            slow.used[need->resource][at] += sign * (int)need->amount;
        }
    }
}

/* Puts the activity at a start if that is right; else changes nothing. */
static bool try_start(uint32_t activity, int start)
{
    const mw_plan_activity *row = &slow.p->activities[activity];
    if (!slow.open[row->calendar][start] || start < in_steps(row->earliest_s - slow.p->start_s)) {
        return false;
    }
    int end = advance(row->calendar, start, in_steps(row->work_s));
    if ((!row->interrupt && parted(row->calendar, start, end)) ||
        !lags_kept(activity, start, end)) {
        return false;
    }
    int freed = find_freed(activity, end);
    if (!needs_free(activity, start, end, freed)) {
        return false;
    }
    slow.start[activity] = start;
    slow.end[activity] = end;
    slow.freed[activity] = freed;
    hold(activity, 1);
    return true;
}

static void place_first(uint32_t activity, int from)
{
    while (!try_start(activity, from)) {
        from++;
        assert_true(from < slow.steps);
    }
}

/* By how much the windows between activities up to `last` are missed; those inside the chain from
 * `first` on. */
static bool windows_kept(uint32_t first, uint32_t last)
{
    for (uint32_t i = 0; i < slow.p->lag_count; i++) {
        const mw_plan_lag *lag = &slow.p->lags[i];
        if (!lag->maximum || lag->to != last || lag->from < first) {
            continue;
        }
        int from = lag->from_end ? slow.end[lag->from] : slow.start[lag->from];
        int to = lag->to_end ? slow.end[last] : slow.start[last];
        if (done_between(lag->calendar, from, to) > in_steps(lag->amount_s)) {
            return false;
        }
    }
    return true;
}

/* Tries all starts of the chain's members from `at` on, the first one's slowest. A member that
 * starts too late for the window before it ends the search at that level: later is worse. */
static bool search_chain(uint32_t first, uint32_t at, uint32_t end)
{
    if (at == end) {
        return true;
    }
    int most = slow.first[at] + FURTHEST_DAYS * 1440 / slow.step_minutes;
    /* Inside a chain each follows the end of the one before it. */
    int start = at == first ? 0 : slow.end[at - 1];
    for (; start <= most && start < slow.steps; start++) {
        if (!try_start(at, start)) {
            continue;
        }
        bool kept = windows_kept(first, at);
        if (kept && search_chain(first, at + 1, end)) {
            return true;
        }
        hold(at, -1);
        if (!kept) {
            return false;
        }
    }
    return false;
}

/* The chain from `first` up to `end`: at its earliest if that keeps all windows, else by search,
 * else at its earliest all the same. */
static void place_chain(uint32_t first, uint32_t end)
{
    for (uint32_t i = first; i < end; i++) {
        place_first(i, 0);
        slow.first[i] = slow.start[i];
    }
    for (uint32_t i = end; i-- > first;) {
        hold(i, -1);
    }
    if (!search_chain(first, first, end)) {
        for (uint32_t i = first; i < end; i++) {
            place_first(i, 0);
        }
    }
}

static void plan_slowly(const mw_plan_problem *p, int step_minutes)
{
    slow.p = p;
    slow.step_minutes = step_minutes;
    slow.steps = 50 * 1440 / step_minutes;
    memset(slow.used, 0, sizeof slow.used);
    fill_calendars();
    for (uint32_t i = 0; i < p->promise_count; i++) {
        const mw_plan_promise *promise = &p->promises[i];
        for (int at = in_steps(promise->from_s - p->start_s);
             at < in_steps(promise->until_s - p->start_s); at++) {
            slow.used[promise->resource][at] += (int)promise->amount;
        }
    }
    for (uint32_t i = 0; i < p->activity_count;) {
        uint32_t end = i + 1;
        while (end < p->activity_count && p->activities[end].group == p->activities[i].group) {
            end++;
        }
        place_chain(i, end);
        i = end;
    }
}

/* Problems whose activities stand in the order in which they are placed; a chain is a group. */
typedef struct oracle_row {
    const char *name;
    int step_minutes;
    int problems;
    bool windows;
    bool windows_from_end;
} oracle_row;

static double random_steps(uint64_t *r, int step_minutes, uint32_t most_hours)
{
    return 60.0 * step_minutes * random_below(r, most_hours * 60 / (uint32_t)step_minutes + 1);
}

static void add_row_activity(builder *b, uint64_t *r, const oracle_row *row, uint32_t group)
{
    /* Work of several days in a chain mostly makes its windows impossible, which takes the slow
     * planner long to find out. */
    bool interrupt = one_in(r, row->windows ? 20 : 2);
    double work_s =
        MINUTES(row->step_minutes) + random_steps(r, row->step_minutes, interrupt ? 12 : 4);
    double earliest_s = b->problem.start_s;
    earliest_s += one_in(r, 4) ? random_steps(r, row->step_minutes, 72) : 0.0;
    add_activity(b, (mw_plan_activity){.work_s = work_s,
                                       .calendar = calendars_used[random_below(r, 4)],
                                       .interrupt = interrupt,
                                       .earliest_s = earliest_s,
                                       .group = group});
    uint32_t resource = random_below(r, RESOURCES_MOST);
    if (!one_in(r, 3)) {
        uint32_t amount = 1 + random_below(r, b->resources[resource].capacity);
        add_need(b, (mw_plan_need){resource, amount, !row->windows && one_in(r, 3)});
    }
}

/* A least lag from an earlier activity; on grids of more than a minute none to an end, which the
 * planner puts a minute behind an opening. */
static void add_row_lag(builder *b, uint64_t *r, const oracle_row *row, uint32_t from, uint32_t to)
{
    add_lag(b, (mw_plan_lag){.from = from,
                             .to = to,
                             .from_end = one_in(r, 2),
                             .to_end = row->step_minutes == 1 && one_in(r, 3),
                             .amount_s = random_steps(r, row->step_minutes, 20),
                             .calendar = calendars_used[random_below(r, 2)]});
}

static void add_row_window(builder *b, uint64_t *r, const oracle_row *row, uint32_t to)
{
    add_lag(b, (mw_plan_lag){.from = to - 1,
                             .to = to,
                             .from_end = true,
                             .amount_s = random_steps(r, row->step_minutes, 3),
                             .calendar = ALWAYS});
    add_lag(b, (mw_plan_lag){.from = to - 1,
                             .to = to,
                             .from_end = row->windows_from_end && one_in(r, 2),
                             .to_end = one_in(r, 2),
                             .maximum = true,
                             .amount_s = HOURS(8) + random_steps(r, row->step_minutes, 30),
                             .calendar = one_in(r, 3) ? DAY : ALWAYS});
}

static builder *make_problem(const oracle_row *row, uint64_t seed)
{
    uint64_t state = seed;
    uint64_t *r = &state;
    builder *b = new_shop_builder(JAN(11, 0, 0));
    for (int i = 0; i < RESOURCES_MOST; i++) {
        add_resource(b, 1 + random_below(r, 3));
    }
    for (uint32_t left = random_below(r, 3); left > 0; left--) {
        double from_s = b->problem.start_s + random_steps(r, row->step_minutes, 100);
        add_promise(b, (mw_plan_promise){random_below(r, RESOURCES_MOST), 1, from_s,
                                         from_s + random_steps(r, row->step_minutes, 30)});
    }
    uint32_t count = 4 + random_below(r, ACTIVITIES_MOST - 4 - 2);
    for (uint32_t group = 0; b->problem.activity_count < count; group++) {
        uint32_t members = row->windows ? 1 + random_below(r, 3) : 1;
        uint32_t first = b->problem.activity_count;
        for (uint32_t i = 0; i < members; i++) {
            add_row_activity(b, r, row, group);
            if (first > 0 && one_in(r, 2)) {
                add_row_lag(b, r, row, random_below(r, first), first + i);
            }
            if (i > 0) {
                add_row_window(b, r, row, first + i);
            }
        }
    }
    return b;
}

static void compare_plans(const mw_plan *plan, const builder *b, const oracle_row *row,
                          unsigned seed)
{
    const mw_plan_slot *slots = mw_plan_slots(plan);
    for (uint32_t i = 0; i < b->problem.activity_count; i++) {
        double start_s = b->problem.start_s + slow.start[i] * 60.0 * row->step_minutes;
        double end_s = b->problem.start_s + slow.end[i] * 60.0 * row->step_minutes;
        if (slots[i].start_s != start_s || slots[i].end_s != end_s) {
            fail_msg("seed %u: activity %u from %.10g to %.10g h, slowly from %.10g to %.10g h",
                     seed, (unsigned)i, (slots[i].start_s - b->problem.start_s) / 3600.0,
                     (slots[i].end_s - b->problem.start_s) / 3600.0,
                     (start_s - b->problem.start_s) / 3600.0,
                     (end_s - b->problem.start_s) / 3600.0);
        }
    }
}

static void as_the_slow_one(void **state)
{
    const oracle_row *row = *state;
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    unsigned moved = 0;
    unsigned missed_sum = 0;
    for (unsigned i = 0; i < (unsigned)row->problems; i++) {
        builder *b = make_problem(row, FIRST_SEED + i);
        assert_int_equal(mw_plan_first(plan, &b->problem), MW_OK);
        plan_slowly(&b->problem, row->step_minutes);
        compare_plans(plan, b, row, FIRST_SEED + i);
        assert_right_plan(plan, &b->problem, row->name);
        uint32_t missed = 0;
        mw_plan_missed(plan, &missed);
        missed_sum += missed;
        for (uint32_t k = 0; k < b->problem.activity_count; k++) {
            moved += mw_plan_slots(plan)[k].reason == MW_PLAN_WINDOW ? 1 : 0;
        }
        free_builder(b);
    }
    print_message("%d problems: %u activities moved by windows, %u windows missed\n", row->problems,
                  moved, missed_sum);
    assert_true(!row->windows || moved > (unsigned)row->problems / 10);
    mw_plan_free(plan);
}

static const oracle_row rows[] = {
    {"lags, by the minute", 1, 100, false, false},
    {"lags, by the quarter", 15, 400, false, false},
    {"windows, by the half hour", 30, 200, true, false},
    {"windows, by the minute", 1, 12, true, true},
};

int main(void)
{
    return run_rows("plans against a slow planner", rows, as_the_slow_one);
}
