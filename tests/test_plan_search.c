/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Searching for plans of random problems: every plan passes the checker, none is worse than the
 * first, no bound is above a plan, a longer search of the same seed is no worse, and the same search
 * gives the same plan. A failure names the seed of its problem. */
#include "mouldwright/plan_order.h"
#include "mouldwright/plan_search.h"
#include "plan_checker.h"
#include "plan_random.h"

enum { PROBLEMS = 200, GROUPS = 10, FIRST_SEED = 20270111 };

static struct {
    unsigned better, proven, impossible, planned;
} seen;

typedef struct score {
    uint32_t never_count, missed_count;
    double last_s;
} score;

static score score_of(const mw_plan *plan, const mw_plan_problem *p)
{
    score s = {.last_s = p->start_s};
    const mw_plan_slot *slots = mw_plan_slots(plan);
    for (uint32_t i = 0; i < p->activity_count; i++) {
        if (isinf(slots[i].end_s)) {
            s.never_count++;
        } else {
            s.last_s = fmax(s.last_s, slots[i].end_s);
        }
    }
    mw_plan_missed(plan, &s.missed_count);
    return s;
}

static int compare_scores(const score *a, const score *b)
{
    if (a->never_count != b->never_count) {
        return a->never_count < b->never_count ? -1 : 1;
    }
    if (a->missed_count != b->missed_count) {
        return a->missed_count < b->missed_count ? -1 : 1;
    }
    return (a->last_s > b->last_s) - (a->last_s < b->last_s);
}

static mw_plan_outcome search(mw_plan *plan, const mw_plan_problem *p, uint64_t schedules)
{
    mw_plan_budget budget = {.seed = 3, .schedules = schedules, .trials = 3000};
    mw_plan_outcome outcome;
    assert_int_equal(mw_plan_search(plan, p, &budget, &outcome), MW_OK);
    assert_true(outcome.schedules <= schedules + 1);
    return outcome;
}

static void look_at_outcome(const mw_plan_outcome *outcome, const score *s, unsigned seed)
{
    bool whole = s->never_count == 0 && s->missed_count == 0;
    if (whole != (outcome->verdict == MW_PLAN_PLANNED)) {
        fail_msg("seed %u: the wrong verdict", seed);
    }
    if (whole && !(outcome->bound_s <= outcome->last_s)) {
        fail_msg("seed %u: the bound is above the plan", seed);
    }
    seen.planned += whole ? 1 : 0;
    seen.proven += whole && outcome->bound_s == outcome->last_s ? 1 : 0;
    seen.impossible += outcome->verdict == MW_PLAN_IMPOSSIBLE ? 1 : 0;
}

static void search_random(mw_plan *plan, unsigned seed)
{
    char name[32];
    builder *b = make_random(seed);
    snprintf(name, sizeof name, "seed %u", seed);
    assert_int_equal(mw_plan_first(plan, &b->problem), MW_OK);
    score first = score_of(plan, &b->problem);
    mw_plan_outcome outcome = search(plan, &b->problem, 40);
    assert_right_plan(plan, &b->problem, name);
    score found = score_of(plan, &b->problem);
    if (compare_scores(&found, &first) > 0) {
        fail_msg("%s: worse than the first plan", name);
    }
    seen.better += compare_scores(&found, &first) < 0 ? 1 : 0;
    look_at_outcome(&outcome, &found, seed);
    search(plan, &b->problem, 40);
    score again = score_of(plan, &b->problem);
    if (compare_scores(&found, &again) != 0) {
        fail_msg("%s: another plan the second time", name);
    }
    free_builder(b);
}

static void search_group(void **state)
{
    unsigned first = *(const unsigned *)*state;
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    for (unsigned seed = first; seed < first + PROBLEMS / GROUPS; seed++) {
        search_random(plan, seed);
    }
    mw_plan_free(plan);
}

static void hard_cases_came_up(void **state)
{
    (void)state;
    print_message(
        "%u planned, %u better than the first plan, %u proved best, %u proved impossible\n",
        seen.planned, seen.better, seen.proven, seen.impossible);
    assert_true(seen.better > PROBLEMS / 10);
    assert_true(seen.proven > PROBLEMS / 20);
    assert_true(seen.impossible > PROBLEMS / 20);
}

/* What is due and what was agreed counts in that order: a longer search moves no more, is not
 * later for the same moves, and not less punctual for the same end. */
static void test_wishes(void **state)
{
    (void)state;
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    unsigned punctual = 0;
    for (unsigned seed = FIRST_SEED; seed < FIRST_SEED + 60; seed++) {
        builder *b = make_random(seed);
        add_random_wishes(b, seed);
        mw_plan_outcome first = search(plan, &b->problem, 1);
        mw_plan_outcome longer = search(plan, &b->problem, 150);
        assert_right_plan(plan, &b->problem, "wishes");
        bool same = first.verdict == MW_PLAN_PLANNED && longer.verdict == MW_PLAN_PLANNED;
        if (same && longer.moved_s > first.moved_s) {
            fail_msg("seed %u: moved more", seed);
        }
        same = same && longer.moved_s == first.moved_s;
        if (same && longer.last_s > first.last_s) {
            fail_msg("seed %u: ends later", seed);
        }
        same = same && longer.last_s == first.last_s;
        if (same && longer.late_s > first.late_s) {
            fail_msg("seed %u: more lateness", seed);
        }
        punctual += longer.late_s < first.late_s ? 1 : 0;
        free_builder(b);
    }
    assert_true(punctual > 5);
    mw_plan_free(plan);
}

/* The starts of a plan as its order. */
static double *starts_of(const mw_plan *plan, uint32_t count)
{
    double *order = calloc(count + 1, sizeof *order);
    assert_non_null(order);
    for (uint32_t i = 0; i < count; i++) {
        order[i] = mw_plan_slots(plan)[i].start_s;
    }
    return order;
}

/* A short search that is given the order of a longer one is no worse than the first plan in that
 * order. */
static void test_given_order(void **state)
{
    (void)state;
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    for (unsigned seed = FIRST_SEED; seed < FIRST_SEED + 60; seed++) {
        builder *b = make_random(seed);
        search(plan, &b->problem, 120);
        double *order = starts_of(plan, b->problem.activity_count);
        assert_int_equal(mw_plan_keep_order(plan, &b->problem, order), MW_OK);
        mw_plan_again(plan, MW_PLAN_FORESEE);
        score kept = score_of(plan, &b->problem);
        mw_plan_budget budget = {.seed = 5, .schedules = 2, .order = order};
        mw_plan_outcome outcome;
        assert_int_equal(mw_plan_search(plan, &b->problem, &budget, &outcome), MW_OK);
        score given = score_of(plan, &b->problem);
        if (compare_scores(&given, &kept) > 0) {
            fail_msg("seed %u: worse than the order that was given", seed);
        }
        free(order);
        free_builder(b);
    }
    mw_plan_free(plan);
}

/* In the order of its own activities it is the first plan; with other amounts it is what the first
 * plan of those amounts is, and a right plan. */
static void test_again(void **state)
{
    (void)state;
    mw_plan *plan = mw_plan_new();
    mw_plan *fresh = mw_plan_new();
    assert_true(plan != NULL && fresh != NULL);
    unsigned in_turn_misses = 0;
    for (unsigned seed = FIRST_SEED; seed < FIRST_SEED + 60; seed++) {
        builder *b = make_random(seed);
        assert_int_equal(mw_plan_keep_order(plan, &b->problem, NULL), MW_OK);
        for (int round = 0; round < 3; round++) {
            mw_plan_again(plan, MW_PLAN_FORESEE);
            assert_right_plan(plan, &b->problem, "placed again");
            assert_int_equal(mw_plan_first(fresh, &b->problem), MW_OK);
            assert_memory_equal(mw_plan_slots(plan), mw_plan_slots(fresh),
                                b->problem.activity_count * sizeof(mw_plan_slot));
            mw_plan_again(plan, MW_PLAN_IN_TURN);
            uint32_t foreseen = 0;
            uint32_t missed = 0;
            mw_plan_missed(fresh, &foreseen);
            mw_plan_missed(plan, &missed);
            in_turn_misses += missed > foreseen ? 1 : 0;
            for (uint32_t i = 0; i < b->problem.activity_count; i++) {
                b->activities[i].work_s *= 1.25;
            }
        }
        free_builder(b);
    }
    assert_true(in_turn_misses > 0);
    mw_plan_free(plan);
    mw_plan_free(fresh);
}

/* An hour, five hours to wait, an hour; but the second has to end within four hours of the start of the first. In turn it
 * is late, so it takes three hours: its own and two of rework. With foresight nothing can be done about it, and nothing is
 * reworked. By hand. */
static void test_rework(void **state)
{
    (void)state;
    static const double hour_s = 3600.0;
    mw_calendar *always = mw_calendar_new();
    const mw_stretch day = {0, 1440, 1.0};
    for (int weekday = 1; weekday <= 7; weekday++) {
        assert_int_equal(mw_calendar_weekday(always, 0xfff, weekday, &day, 1), MW_OK);
    }
    const mw_calendar *calendars[] = {always};
    const mw_plan_activity activities[] = {{.work_s = hour_s, .earliest_s = 0.0},
                                           {.work_s = hour_s, .earliest_s = 0.0}};
    mw_plan_lag lags[] = {
        {.from = 0, .to = 1, .from_end = true, .amount_s = 5.0 * hour_s},
        {.from = 0, .to = 1, .to_end = true, .maximum = true, .amount_s = 4.0 * hour_s}};
    const mw_plan_problem problem = {.calendars = calendars,
                                     .calendar_count = 1,
                                     .activities = activities,
                                     .activity_count = 2,
                                     .lags = lags,
                                     .lag_count = 2};
    const double order[] = {0.0, 1.0};
    static const double rework_h[] = {0.0, 2.0, 0.5};
    for (size_t i = 0; i < 3; i++) {
        mw_plan *plan = mw_plan_new();
        assert_non_null(plan);
        lags[1].rework_s = rework_h[i] * hour_s;
        assert_int_equal(mw_plan_keep_order(plan, &problem, order), MW_OK);
        for (int again = 0; again < 2; again++) {
            mw_plan_again(plan, MW_PLAN_IN_TURN);
            assert_close(mw_plan_slots(plan)[1].start_s, 6.0 * hour_s, 1e-3);
            assert_close(mw_plan_slots(plan)[1].end_s, (7.0 + rework_h[i]) * hour_s, 1e-3);
            uint32_t missed = 0;
            mw_plan_missed(plan, &missed);
            assert_int_equal(missed, 1);
        }
        mw_plan_again(plan, MW_PLAN_FORESEE);
        assert_close(mw_plan_slots(plan)[1].end_s, 7.0 * hour_s, 1e-3);
        mw_plan_free(plan);
    }
    lags[1].rework_s = -1.0;
    mw_plan *plan = mw_plan_new();
    assert_int_equal(mw_plan_keep_order(plan, &problem, order), MW_FAILED);
    mw_plan_free(plan);
    mw_calendar_free(always);
}

static bool stop_at_once(void *context)
{
    (void)context;
    return true;
}

static void test_stop(void **state)
{
    (void)state;
    builder *b = make_random(FIRST_SEED);
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    mw_plan_budget budget = {.schedules = UINT64_MAX, .trials = UINT64_MAX, .stop = stop_at_once};
    mw_plan_outcome outcome;
    assert_int_equal(mw_plan_search(plan, &b->problem, &budget, &outcome), MW_OK);
    assert_int_equal(outcome.schedules, 1);
    assert_right_plan(plan, &b->problem, "stopped at once");
    mw_plan_free(plan);
    free_builder(b);
}

static void test_nothing(void **state)
{
    (void)state;
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    mw_plan_problem problem = {.start_s = JAN(11, 0, 0)};
    mw_plan_budget budget = {.schedules = 10, .trials = 10};
    mw_plan_outcome outcome;
    assert_int_equal(mw_plan_search(plan, &problem, &budget, &outcome), MW_OK);
    assert_int_equal(outcome.verdict, MW_PLAN_PLANNED);
    assert_true(outcome.last_s == problem.start_s && outcome.bound_s == problem.start_s);
    mw_plan_free(plan);
}

static void test_unfit(void **state)
{
    (void)state;
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    mw_plan_problem problem = {.start_s = (double)NAN};
    mw_plan_budget budget = {.schedules = 10};
    mw_plan_outcome outcome;
    assert_int_equal(mw_plan_search(plan, &problem, &budget, &outcome), MW_FAILED);
    mw_plan_free(plan);
}

static support_outcome search_starved(void *context)
{
    builder *b = context;
    mw_plan *plan = mw_plan_new();
    mw_plan_budget budget = {.schedules = 12, .trials = 200};
    mw_plan_outcome outcome;
    mw_status status =
        plan == NULL ? MW_NO_MEMORY : mw_plan_search(plan, &b->problem, &budget, &outcome);
    mw_plan_free(plan);
    return status == MW_OK ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void test_memory(void **state)
{
    (void)state;
    builder *b = make_random(FIRST_SEED + 3);
    assert_true(support_fail_each_allocation(search_starved, b) > 3);
    free_builder(b);
}

int main(void)
{
    static unsigned firsts[GROUPS];
    test_list list = {0};
    for (unsigned i = 0; i < GROUPS; i++) {
        char name[48];
        firsts[i] = FIRST_SEED + i * (PROBLEMS / GROUPS);
        snprintf(name, sizeof name, "seeds from %u", firsts[i]);
        test_add_named(&list, name, search_group, &firsts[i]);
    }
    test_add(&list, hard_cases_came_up);
    test_add(&list, test_wishes);
    test_add(&list, test_given_order);
    test_add(&list, test_again);
    test_add(&list, test_rework);
    test_add(&list, test_stop);
    test_add(&list, test_nothing);
    test_add(&list, test_unfit);
    test_add(&list, test_memory);
    return test_run(&list, "plans searched");
}
