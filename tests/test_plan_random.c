/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Random problems with calendars, lags of all four kinds, windows, crews, promises and places held
 * while waiting: every plan passes the checker, what is never done has a reason that the checker
 * finds, and planning again gives the same plan. A failure names the seed of its problem. */
#include "plan_checker.h"
#include "plan_random.h"

enum { PROBLEMS = 1000, GROUPS = 20, FIRST_SEED = 20270111, LOOK_DAYS = 60 };

/* What came up over all problems, so that the test cannot pass by never meeting the hard cases. */
static struct {
    unsigned activities, never, windows, missed, by_reason[MW_PLAN_WINDOW + 1];
} seen;

/* Whether the activity's own needs are above a capacity. */
static bool lacks(const mw_plan_problem *p, uint32_t activity)
{
    const mw_plan_activity *row = &p->activities[activity];
    for (uint32_t n = 0; n < row->need_count; n++) {
        uint64_t sum = 0;
        for (uint32_t m = 0; m < row->need_count; m++) {
            const mw_plan_need *need = &p->needs[row->first_need + m];
            sum += need->resource == p->needs[row->first_need + n].resource ? need->amount : 0;
        }
        if (sum > p->resources[p->needs[row->first_need + n].resource].capacity) {
            return true;
        }
    }
    return false;
}

/* Whether no run of the calendar in the days ahead is long enough, minute by minute. */
static bool fits_no_run(const mw_plan_problem *p, uint32_t activity)
{
    const mw_plan_activity *row = &p->activities[activity];
    double done_s = 0.0;
    double most_s = 0.0;
    int closed = 0;
    for (int minute = 0; minute < LOOK_DAYS * 1440; minute++) {
        double rate = mw_calendar_rate(p->calendars[row->calendar],
                                       floor(p->start_s / MW_DAY_S) * MW_DAY_S + minute * 60.0);
        closed = rate > 0.0 ? 0 : closed + 1;
        done_s =
            closed > CHECKER_LONGEST_BREAK_MINUTES && !row->interrupt ? 0.0 : done_s + rate * 60.0;
        most_s = fmax(most_s, done_s);
    }
    return most_s < row->work_s;
}

static bool follows_never(const mw_plan_problem *p, const mw_plan_slot *slots, uint32_t activity)
{
    for (uint32_t i = 0; i < p->lag_count; i++) {
        const mw_plan_lag *lag = &p->lags[i];
        if (!lag->maximum && lag->to == activity && !isfinite(slots[lag->from].start_s)) {
            return true;
        }
        if (!lag->maximum && lag->to == activity &&
            isinf(mw_calendar_advance(p->calendars[lag->calendar], p->start_s, lag->amount_s))) {
            return true;
        }
    }
    return false;
}

static void look_at_nevers(const mw_plan_problem *p, const mw_plan_slot *slots, unsigned seed)
{
    for (uint32_t i = 0; i < p->activity_count; i++) {
        seen.activities++;
        seen.by_reason[slots[i].reason]++;
        if (isfinite(slots[i].start_s)) {
            continue;
        }
        seen.never++;
        if (!lacks(p, i) && !follows_never(p, slots, i) && !fits_no_run(p, i)) {
            fail_msg("seed %u: activity %u could be done", seed, (unsigned)i);
        }
    }
}

static void look_again(mw_plan *plan, const mw_plan_problem *p, unsigned seed)
{
    size_t size = p->activity_count * sizeof(mw_plan_slot);
    mw_plan_slot *before = malloc(size);
    assert_non_null(before);
    memcpy(before, mw_plan_slots(plan), size);
    assert_int_equal(mw_plan_first(plan, p), MW_OK);
    const mw_plan_slot *after = mw_plan_slots(plan);
    for (uint32_t i = 0; i < p->activity_count; i++) {
        if (before[i].start_s != after[i].start_s || before[i].end_s != after[i].end_s ||
            before[i].reason != after[i].reason || before[i].binding != after[i].binding) {
            fail_msg("seed %u: activity %u differs the second time", seed, (unsigned)i);
        }
    }
    free(before);
}

static void plan_random(mw_plan *plan, unsigned seed)
{
    char name[32];
    builder *b = make_random(seed);
    snprintf(name, sizeof name, "seed %u", seed);
    assert_int_equal(mw_plan_first(plan, &b->problem), MW_OK);
    assert_right_plan(plan, &b->problem, name);
    look_at_nevers(&b->problem, mw_plan_slots(plan), seed);
    uint32_t missed = 0;
    mw_plan_missed(plan, &missed);
    seen.missed += missed;
    for (uint32_t i = 0; i < b->problem.lag_count; i++) {
        seen.windows += b->problem.lags[i].maximum ? 1 : 0;
    }
    look_again(plan, &b->problem, seed);
    free_builder(b);
}

/* One workspace for all problems of a group. */
static void plan_group(void **state)
{
    unsigned first = *(const unsigned *)*state;
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    for (unsigned seed = first; seed < first + PROBLEMS / GROUPS; seed++) {
        plan_random(plan, seed);
    }
    mw_plan_free(plan);
}

static void hard_cases_came_up(void **state)
{
    (void)state;
    print_message("%u activities, %u never; at once %u, lag %u, resource %u, shift %u, window %u; "
                  "%u windows, %u missed\n",
                  seen.activities, seen.never, seen.by_reason[MW_PLAN_AT_ONCE],
                  seen.by_reason[MW_PLAN_LAG], seen.by_reason[MW_PLAN_RESOURCE],
                  seen.by_reason[MW_PLAN_SHIFT], seen.by_reason[MW_PLAN_WINDOW], seen.windows,
                  seen.missed);
    for (int reason = 0; reason <= MW_PLAN_WINDOW; reason++) {
        assert_true(seen.by_reason[reason] > PROBLEMS / 4);
    }
    assert_true(seen.never > PROBLEMS / 4);
    assert_true(seen.missed > PROBLEMS / 10 && seen.windows - seen.missed > PROBLEMS);
}

int main(void)
{
    static unsigned firsts[GROUPS];
    test_list list = {0};
    for (unsigned i = 0; i < GROUPS; i++) {
        char name[48];
        firsts[i] = FIRST_SEED + i * (PROBLEMS / GROUPS);
        snprintf(name, sizeof name, "seeds from %u", firsts[i]);
        test_add_named(&list, name, plan_group, &firsts[i]);
    }
    test_add(&list, hard_cases_came_up);
    return test_run(&list, "random plans");
}
