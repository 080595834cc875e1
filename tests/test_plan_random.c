/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Random problems with calendars, lags of all four kinds, windows, crews, promises and places held
 * while waiting: every plan passes the checker, what is never done has a reason that the checker
 * finds, and planning again gives the same plan. A failure names the seed of its problem. */
#include "plan_checker.h"
#include "plan_problem.h"

enum { PROBLEMS = 1000, GROUPS = 20, FIRST_SEED = 20270111, LOOK_DAYS = 60 };

/* What came up over all problems, so that the test cannot pass by never meeting the hard cases. */
static struct {
    unsigned activities, never, windows, missed, by_reason[MW_PLAN_WINDOW + 1];
} seen;

static double random_minutes(uint64_t *r, uint32_t most)
{
    double minutes = random_below(r, most + 1);
    return MINUTES(one_in(r, 4) ? minutes + random_below(r, 1000) / 1000.0 : minutes);
}

static uint32_t add_random_calendar(builder *b, uint64_t *r)
{
    mw_calendar *calendar = mw_calendar_new();
    assert_non_null(calendar);
    for (int weekday = 1; weekday <= 7; weekday++) {
        mw_stretch stretches[4];
        size_t count = random_below(r, 4);
        int at = 0;
        for (size_t i = 0; i < count; i++) {
            int from = at + (int)random_below(r, 300);
            int to = from + 30 + (int)random_below(r, 300);
            stretches[i] = (mw_stretch){from, to, 0.25 + random_below(r, 8) * 0.25};
            at = to;
            count = at > 1200 ? i + 1 : count;
        }
        assert_int_equal(mw_calendar_weekday(calendar, 0xfff, weekday, stretches, count), MW_OK);
    }
    return add_calendar(b, calendar);
}

static void add_holidays(builder *b, uint64_t *r)
{
    for (int i = 0; i < 3; i++) {
        assert_int_equal(
            mw_calendar_day(b->owned[DAY], MONDAY + (int32_t)random_below(r, 20), NULL, 0), MW_OK);
    }
}

static uint32_t random_calendar(const builder *b, uint64_t *r)
{
    static const uint32_t usual[] = {ALWAYS, DAY, DAY, DAY, CURE, NIGHT};
    return one_in(r, 4) ? b->problem.calendar_count - 1 : usual[random_below(r, 6)];
}

static void add_random_activity(builder *b, uint64_t *r)
{
    uint32_t calendar = one_in(r, 300) ? CLOSED : random_calendar(b, r);
    bool own = calendar == b->problem.calendar_count - 1; /* its runs may be short */
    bool interrupt = own ? !one_in(r, 10) : one_in(r, 2);
    double work_s = random_minutes(r, interrupt ? 1200 : 200);
    add_activity(b, (mw_plan_activity){
                        .work_s = one_in(r, 10) ? 0.0 : work_s,
                        .calendar = calendar,
                        .interrupt = interrupt,
                        .earliest_s = one_in(r, 5) ? JAN(11, 0, 0) + random_minutes(r, 10000) : ANY,
                        .group = b->problem.activity_count / 5});
    uint32_t resource = random_below(r, b->problem.resource_count);
    for (uint32_t left = random_below(r, 4); left > 0; left--) {
        /* Another one each time: twice the same is soon above its capacity. */
        resource = one_in(r, 50) ? resource : (resource + 1) % b->problem.resource_count;
        if (left > b->problem.resource_count) {
            continue;
        }
        uint32_t most = b->resources[resource].capacity;
        uint32_t amount = one_in(r, 400) ? most + 1 : random_below(r, most + 1);
        add_need(b, (mw_plan_need){resource, amount, one_in(r, 4)});
    }
}

static mw_plan_lag random_lag(const builder *b, uint64_t *r, uint32_t from, uint32_t to)
{
    return (mw_plan_lag){.from = from,
                         .to = to,
                         .from_end = !one_in(r, 3),
                         .to_end = one_in(r, 4),
                         .calendar = random_calendar(b, r),
                         .amount_s = one_in(r, 3) ? 0.0 : random_minutes(r, 900)};
}

/* Least lags lead forward in a hidden order that is not the order of the list. */
static void add_random_lags(builder *b, uint64_t *r)
{
    uint32_t count = b->problem.activity_count;
    uint32_t hidden[64];
    for (uint32_t i = 0; i < count; i++) {
        uint32_t other = one_in(r, 2) ? i : random_below(r, i + 1);
        hidden[i] = hidden[other];
        hidden[other] = i;
    }
    for (uint32_t i = 1; i < count; i++) {
        for (uint32_t left = random_below(r, 3); left > 0; left--) {
            uint32_t from = hidden[i - 1 - random_below(r, i < 5 ? i : 5)];
            add_lag(b, random_lag(b, r, from, hidden[i]));
            if (one_in(r, 3)) {
                mw_plan_lag window = random_lag(b, r, from, hidden[i]);
                window.maximum = true;
                window.amount_s += HOURS(2 + random_below(r, 30));
                add_lag(b, window);
            }
        }
    }
    for (uint32_t left = random_below(r, 3); left > 0; left--) {
        mw_plan_lag window = random_lag(b, r, random_below(r, count), random_below(r, count));
        window.maximum = true;
        add_lag(b, window);
    }
}

static builder *make_random(uint64_t seed)
{
    uint64_t state = seed;
    uint64_t *r = &state;
    builder *b = new_shop_builder(JAN(11, 0, 0) + random_minutes(r, 2000));
    add_random_calendar(b, r);
    add_holidays(b, r);
    for (uint32_t left = 1 + random_below(r, 4); left > 0; left--) {
        add_resource(b, 1 + random_below(r, 4));
    }
    for (uint32_t left = random_below(r, 5); left > 0; left--) {
        double from_s = JAN(11, 0, 0) + random_minutes(r, 20000);
        uint32_t resource = random_below(r, b->problem.resource_count);
        add_promise(b, (mw_plan_promise){resource, 1 + random_below(r, 2), from_s,
                                         from_s + random_minutes(r, 5000)});
    }
    for (uint32_t left = 5 + random_below(r, 36); left > 0; left--) {
        add_random_activity(b, r);
    }
    add_random_lags(b, r);
    return b;
}

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
