/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the planner is not fit for, and what it does without memory. */
#include "plan_checker.h"
#include "plan_problem.h"

/* A small problem that is fit: two activities, a least lag, a window, needs and a promise. */
static builder *small_problem(void)
{
    builder *b = new_shop_builder(JAN(11, 0, 0));
    add_resource(b, 2);
    add_promise(b, (mw_plan_promise){0, 1, JAN(11, 0, 0), JAN(11, 12, 0)});
    for (int i = 0; i < 2; i++) {
        add_activity(b, (mw_plan_activity){.work_s = HOURS(2), .calendar = DAY, .earliest_s = ANY});
        add_need(b, (mw_plan_need){0, 1, i == 0});
    }
    add_lag(b, (mw_plan_lag){.from_end = true, .to = 1, .calendar = CURE, .amount_s = HOURS(1)});
    add_lag(b, (mw_plan_lag){.to = 1, .maximum = true, .calendar = CURE, .amount_s = HOURS(9)});
    return b;
}

/* --- unfit problems -------------------------------------------------------------------------- */

typedef struct unfit_row {
    const char *name;
    void (*spoil)(builder *b);
} unfit_row;

#define SPOIL(name, statement)   \
    static void name(builder *b) \
    {                            \
        statement;               \
    }

SPOIL(start_nan, b->problem.start_s = (double)NAN)
SPOIL(start_never, b->problem.start_s = NEVER)
SPOIL(start_before_year_1, b->problem.start_s = -63e9)
SPOIL(start_behind_year_9999, b->problem.start_s = 254e9)
SPOIL(no_calendar, b->calendars[CURE] = NULL)
SPOIL(work_nan, b->activities[1].work_s = (double)NAN)
SPOIL(work_negative, b->activities[1].work_s = -1.0)
SPOIL(work_endless, b->activities[1].work_s = NEVER)
SPOIL(earliest_nan, b->activities[0].earliest_s = (double)NAN)
SPOIL(activity_calendar, b->activities[0].calendar = CALENDARS)
SPOIL(needs_from, b->activities[1].first_need = 2)
SPOIL(needs_count, b->activities[0].need_count = 3)
SPOIL(needs_wrap, (b->activities[0].first_need = UINT32_MAX, b->activities[0].need_count = 2))
SPOIL(need_resource, b->needs[1].resource = 1)
SPOIL(promise_resource, b->promises[0].resource = 1)
SPOIL(promise_from_nan, b->promises[0].from_s = (double)NAN)
SPOIL(promise_until_nan, b->promises[0].until_s = (double)NAN)
SPOIL(lag_from, b->lags[0].from = 2)
SPOIL(lag_to, b->lags[1].to = 2)
SPOIL(lag_calendar, b->lags[0].calendar = CALENDARS)
SPOIL(lag_nan, b->lags[1].amount_s = (double)NAN)
SPOIL(lag_negative, b->lags[0].amount_s = -1.0)
SPOIL(lag_to_itself, b->lags[0].to = 0)
SPOIL(alone_to_itself, (b->lags[0].to = 0, b->problem.lag_count = 1))
SPOIL(circle_of_two, add_follows(b, 1, 0))

static void circle_of_many(builder *b)
{
    uint32_t last = 1;
    for (int i = 0; i < 50; i++) {
        uint32_t next = add_activity(b, b->activities[0]);
        add_follows(b, last, next);
        last = next;
    }
    add_follows(b, last, 1);
}

static const unfit_row unfit_rows[] = {
    {"start not a number", start_nan},
    {"start never", start_never},
    {"start before year 1", start_before_year_1},
    {"start behind year 9999", start_behind_year_9999},
    {"a calendar is missing", no_calendar},
    {"work not a number", work_nan},
    {"work below zero", work_negative},
    {"work without end", work_endless},
    {"earliest time not a number", earliest_nan},
    {"no such calendar for an activity", activity_calendar},
    {"needs begin behind the last", needs_from},
    {"needs end behind the last", needs_count},
    {"needs wrap round", needs_wrap},
    {"no such resource for a need", need_resource},
    {"no such resource for a promise", promise_resource},
    {"promise from not a number", promise_from_nan},
    {"promise until not a number", promise_until_nan},
    {"lag from no activity", lag_from},
    {"lag to no activity", lag_to},
    {"no such calendar for a lag", lag_calendar},
    {"lag not a number", lag_nan},
    {"lag below zero", lag_negative},
    {"least lag to itself", lag_to_itself},
    {"least lag to itself, no other", alone_to_itself},
    {"circle of two", circle_of_two},
    {"circle of many", circle_of_many},
};

/* Refused; the plan of before stays. */
static void refused(void **state)
{
    const unfit_row *row = *state;
    builder *good = small_problem();
    builder *bad = small_problem();
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    assert_int_equal(mw_plan_first(plan, &good->problem), MW_OK);
    row->spoil(bad);
    assert_int_equal(mw_plan_first(plan, &bad->problem), MW_FAILED);
    assert_right_plan(plan, &good->problem, row->name);
    mw_plan_free(plan);
    free_builder(good);
    free_builder(bad);
}

/* --- odd, but fit ---------------------------------------------------------------------------- */

static void nothing_to_do(void **state)
{
    (void)state;
    mw_plan_problem nothing = {.start_s = JAN(11, 0, 0)};
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    uint32_t missed = 7;
    mw_plan_missed(plan, &missed);
    assert_int_equal(missed, 0);
    assert_int_equal(mw_plan_first(plan, &nothing), MW_OK);
    assert_non_null(mw_plan_slots(plan));
    mw_plan_missed(plan, &missed);
    assert_int_equal(missed, 0);
    mw_plan_free(plan);
    mw_plan_free(NULL);
}

static void lags_without_end(void **state)
{
    (void)state;
    builder *b = small_problem();
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    b->lags[0].amount_s = NEVER;
    assert_int_equal(mw_plan_first(plan, &b->problem), MW_OK);
    assert_true(isinf(mw_plan_slots(plan)[1].start_s));
    b->lags[0].amount_s = 0.0;
    b->lags[1].amount_s = NEVER; /* a window that is always open */
    assert_int_equal(mw_plan_first(plan, &b->problem), MW_OK);
    uint32_t missed = 7;
    mw_plan_missed(plan, &missed);
    assert_int_equal(missed, 0);
    mw_plan_free(plan);
    free_builder(b);
}

/* No run of it ever ends. */
static const calendar_row short_breaks = {1, 7, 2, {{0, 720, 1.0}, {750, 1440, 1.0}}};

/* Moments that no calendar reaches, and amounts that no resource has. */
static void beyond_all_bounds(void **state)
{
    (void)state;
    builder *b = small_problem();
    add_promise(b, (mw_plan_promise){0, UINT32_MAX, 1e300, NEVER});
    add_promise(b, (mw_plan_promise){0, UINT32_MAX, ANY, -1e300});
    add_promise(b, (mw_plan_promise){0, UINT32_MAX, JAN(13, 0, 0), JAN(12, 0, 0)});
    mw_plan_activity far = {.work_s = 1e300, .calendar = DAY, .earliest_s = ANY, .interrupt = true};
    uint32_t endless = add_activity(b, far);
    far.interrupt = false;
    far.calendar = add_calendar(b, make_calendar(&short_breaks));
    uint32_t unbroken = add_activity(b, far);
    far.work_s = HOURS(1);
    far.earliest_s = 1e300;
    uint32_t late = add_activity(b, far);
    uint32_t greedy = add_activity(b, b->activities[0]);
    add_need(b, (mw_plan_need){0, UINT32_MAX, true});
    add_need(b, (mw_plan_need){0, UINT32_MAX, true});
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    assert_int_equal(mw_plan_first(plan, &b->problem), MW_OK);
    const mw_plan_slot *slots = mw_plan_slots(plan);
    assert_true(isfinite(slots[0].end_s) && isfinite(slots[1].end_s));
    assert_true(isinf(slots[endless].end_s) && isinf(slots[unbroken].end_s));
    assert_true(isinf(slots[late].start_s) && isinf(slots[greedy].start_s));
    mw_plan_free(plan);
    free_builder(b);
}

/* The walk through the network is no recursion: a chain of 50,000, given backwards. */
static void long_chain(void **state)
{
    (void)state;
    enum { LINKS = 50000 };
    builder *b = new_shop_builder(JAN(11, 0, 0));
    for (int i = 0; i < LINKS; i++) {
        add_activity(b, (mw_plan_activity){.work_s = 60.0, .calendar = ALWAYS, .earliest_s = ANY});
    }
    for (uint32_t i = 1; i < LINKS; i++) {
        add_follows(b, i, i - 1);
    }
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    assert_int_equal(mw_plan_first(plan, &b->problem), MW_OK);
    assert_close(mw_plan_slots(plan)[0].end_s, JAN(11, 0, 0) + 60.0 * LINKS, 0.0);
    mw_plan_free(plan);
    free_builder(b);
}

/* A chain of windows in which the last pulls all others along, one after the other. */
static void long_chain_of_windows(void **state)
{
    (void)state;
    enum { LINKS = 300 };
    builder *b = new_shop_builder(JAN(11, 0, 0));
    for (uint32_t i = 0; i < LINKS; i++) {
        add_activity(b, (mw_plan_activity){.work_s = 60.0,
                                           .calendar = ALWAYS,
                                           .earliest_s = i == LINKS - 1 ? JAN(20, 0, 0) : ANY});
        if (i > 0) {
            add_follows(b, i - 1, i);
            add_lag(
                b,
                (mw_plan_lag){
                    .from = i - 1, .to = i, .maximum = true, .amount_s = 60.0, .calendar = ALWAYS});
        }
    }
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    assert_int_equal(mw_plan_first(plan, &b->problem), MW_OK);
    for (uint32_t i = 0; i < LINKS; i++) {
        assert_close(mw_plan_slots(plan)[i].start_s, JAN(20, 0, 0) - 60.0 * (LINKS - 1.0 - i), 0.0);
    }
    mw_plan_free(plan);
    free_builder(b);
}

/* --- memory ---------------------------------------------------------------------------------- */

static support_outcome plan_anew(void *context)
{
    const builder *b = context;
    mw_plan *plan = mw_plan_new();
    if (plan == NULL) {
        return SUPPORT_NO_MEMORY;
    }
    mw_status status = mw_plan_first(plan, &b->problem);
    support_fail_never();
    if (status == MW_OK) {
        assert_right_plan(plan, &b->problem, "planned anew");
    } else {
        assert_int_equal(status, MW_NO_MEMORY);
        uint32_t missed = 7;
        mw_plan_missed(plan, &missed);
        assert_int_equal(missed, 0);
    }
    mw_plan_free(plan);
    return status == MW_OK ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void without_memory(void **state)
{
    (void)state;
    builder *b = small_problem();
    size_t count = support_fail_each_allocation(plan_anew, b);
    assert_true(count >= 4);
    free_builder(b);
}

static builder *large_problem(uint32_t count)
{
    builder *b = small_problem();
    for (uint32_t i = 2; i < count; i++) {
        add_activity(b, b->activities[1]);
        add_need(b, (mw_plan_need){0, 1 + i % 2, false});
        add_lag(b, (mw_plan_lag){
                       .from = i - 2, .to = i, .from_end = true, .calendar = CURE, .amount_s = 60});
        add_lag(
            b,
            (mw_plan_lag){
                .from = i - 2, .to = i, .maximum = true, .calendar = CURE, .amount_s = HOURS(200)});
    }
    return b;
}

/* A larger problem after a small one: without memory the small one's plan stays. */
static void keeps_the_plan_without_memory(void **state)
{
    (void)state;
    builder *small = small_problem();
    builder *large = large_problem(300);
    mw_status status = MW_NO_MEMORY;
    size_t failed = 0;
    for (size_t n = 0; status != MW_OK; n++) {
        mw_plan *plan = mw_plan_new();
        assert_non_null(plan);
        assert_int_equal(mw_plan_first(plan, &small->problem), MW_OK);
        support_fail_allocation(n, true);
        status = mw_plan_first(plan, &large->problem);
        support_fail_never();
        assert_true(status == MW_OK || status == MW_NO_MEMORY);
        failed += status == MW_OK ? 0 : 1;
        const builder *now = status == MW_OK ? large : small;
        assert_right_plan(plan, &now->problem, "after failing to grow");
        mw_plan_free(plan);
    }
    assert_true(failed >= 3);
    free_builder(small);
    free_builder(large);
}

#ifndef MW_ARENA_DEBUG /* in which every piece is an allocation of its own */

/* Fails if planning once more takes any memory. */
static void plan_from_what_is_there(mw_plan *plan, const builder *b)
{
    support_fail_allocation(0, true);
    mw_status status = mw_plan_first(plan, &b->problem);
    support_fail_never();
    assert_int_equal(status, MW_OK);
}

static void warm_plans_take_no_memory(void **state)
{
    (void)state;
    static const uint32_t sizes[] = {300, 2, 57, 190, 11, 120, 121, 2, 90, 33};
    enum { SIZES = sizeof sizes / sizeof sizes[0], WARM_ROUNDS = 3, ROUNDS = 20 };
    builder *problems[SIZES];
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    for (int i = 0; i < SIZES; i++) {
        problems[i] = large_problem(sizes[i]);
    }
    for (int i = 0; i < SIZES * WARM_ROUNDS; i++) {
        assert_int_equal(mw_plan_first(plan, &problems[i % SIZES]->problem), MW_OK);
    }
    for (int i = 0; i < SIZES * ROUNDS; i++) {
        plan_from_what_is_there(plan, problems[i * 7 % SIZES]);
    }
    for (int i = 0; i < SIZES; i++) {
        free_builder(problems[i]);
    }
    mw_plan_free(plan);
}

#endif

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "unfit", unfit_rows, refused);
    test_add(&list, nothing_to_do);
    test_add(&list, lags_without_end);
    test_add(&list, beyond_all_bounds);
    test_add(&list, long_chain);
    test_add(&list, long_chain_of_windows);
    test_add(&list, without_memory);
    test_add(&list, keeps_the_plan_without_memory);
#ifndef MW_ARENA_DEBUG
    test_add(&list, warm_plans_take_no_memory);
#endif
    return test_run(&list, "planner at its limits");
}
