/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Planning in whole slots against an exhaustive search that shares no method with it, on seeded
 * random problems; verdicts, bounds, budgets, unfit problems, and memory that runs out. */
#include <stdlib.h>
#include <string.h>

#include "mouldwright/plan_slots.h"
#include "support.h"

enum { ACTIVITIES = 8, LAGS = 24, RESOURCES = 6, SLOTS = 128 };

typedef struct small_problem {
    int32_t durations[ACTIVITIES];
    int32_t capacities[RESOURCES];
    int32_t demands[ACTIVITIES * RESOURCES];
    mw_slots_lag lags[LAGS];
    mw_slots_problem problem;
} small_problem;

typedef struct random_row {
    const char *name;
    uint32_t rounds;
    uint32_t activities, resources;
    bool windows; /* maximum lags too */
    uint64_t seed;
} random_row;

/* Source: Steele, Lea and Flood, Fast splittable pseudorandom number generators, OOPSLA 2014. */
static uint32_t random_below(uint64_t *state, uint32_t below)
{
    uint64_t z = *state += 0x9e3779b97f4a7c15u;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return (uint32_t)((z ^ (z >> 31)) % below);
}

static void add_lag(small_problem *s, uint32_t from, uint32_t to, int32_t least)
{
    if (s->problem.lag_count < LAGS) {
        s->lags[s->problem.lag_count++] = (mw_slots_lag){from, to, least};
    }
}

static void make_problem(small_problem *s, const random_row *row, uint64_t *state)
{
    s->problem = (mw_slots_problem){.activity_count = row->activities,
                                    .durations = s->durations,
                                    .resource_count = row->resources,
                                    .capacities = s->capacities,
                                    .demands = s->demands,
                                    .lags = s->lags};
    for (uint32_t r = 0; r < row->resources; r++) {
        s->capacities[r] = 2 + (int32_t)random_below(state, 3);
    }
    for (uint32_t a = 0; a < row->activities; a++) {
        s->durations[a] = (int32_t)random_below(state, 5);
        for (uint32_t r = 0; r < row->resources; r++) {
            s->demands[a * row->resources + r] =
                random_below(state, 2) == 0 ? 0 : (int32_t)random_below(state, 3);
        }
    }
    for (uint32_t a = 1; a < row->activities; a++) {
        uint32_t from = random_below(state, a);
        int32_t lag = s->durations[from];
        if (row->windows) {
            lag = (int32_t)random_below(state, 5);
            if (random_below(state, 2) == 0) {
                add_lag(s, a, from, -lag - (int32_t)random_below(state, 3));
            }
        }
        add_lag(s, from, a, lag);
    }
}

static bool keeps_all(const mw_slots_problem *p, const int32_t *starts)
{
    for (uint32_t i = 0; i < p->lag_count; i++) {
        if (starts[p->lags[i].to] - starts[p->lags[i].from] < p->lags[i].least) {
            return false;
        }
    }
    for (uint32_t r = 0; r < p->resource_count; r++) {
        int32_t used[SLOTS] = {0};
        for (uint32_t a = 0; a < p->activity_count; a++) {
            for (int32_t t = starts[a]; t < starts[a] + p->durations[a]; t++) {
                used[t] += p->demands[a * p->resource_count + r];
                if (used[t] > p->capacities[r]) {
                    return false;
                }
            }
        }
    }
    return true;
}

/* Tries every start of every activity, first to last; keeps the best end. */
typedef struct reference {
    const mw_slots_problem *problem;
    int32_t starts[ACTIVITIES];
    int32_t best;
} reference;

/* Lags and resources among the first `count` activities. */
static bool keeps_first(const reference *r, uint32_t count)
{
    const mw_slots_problem *p = r->problem;
    uint32_t a = count - 1;
    for (uint32_t i = 0; i < p->lag_count; i++) {
        const mw_slots_lag *lag = &p->lags[i];
        if (lag->from < count && lag->to < count &&
            r->starts[lag->to] - r->starts[lag->from] < lag->least) {
            return false;
        }
    }
    for (int32_t t = r->starts[a]; t < r->starts[a] + p->durations[a]; t++) {
        for (uint32_t k = 0; k < p->resource_count; k++) {
            int32_t used = 0;
            for (uint32_t b = 0; b < count; b++) {
                bool works = r->starts[b] <= t && t < r->starts[b] + p->durations[b];
                used += works ? p->demands[b * p->resource_count + k] : 0;
            }
            if (used > p->capacities[k]) {
                return false;
            }
        }
    }
    return true;
}

static void try_all(reference *r, uint32_t at, int32_t last)
{
    if (at == r->problem->activity_count) {
        r->best = last;
        return;
    }
    int32_t length = r->problem->durations[at];
    for (int32_t start = 0; start + length < r->best; start++) {
        int32_t end = start + length > last ? start + length : last;
        r->starts[at] = start;
        if (end < r->best && keeps_first(r, at + 1)) {
            try_all(r, at + 1, end);
        }
    }
}

static int32_t horizon_of(const mw_slots_problem *p)
{
    int32_t sum = 1;
    for (uint32_t a = 0; a < p->activity_count; a++) {
        sum += p->durations[a];
    }
    for (uint32_t i = 0; i < p->lag_count; i++) {
        sum += p->lags[i].least > 0 ? p->lags[i].least : 0;
    }
    return sum;
}

static void test_random(void **state)
{
    const random_row *row = *state;
    uint64_t seed = row->seed;
    uint32_t impossible = 0;
    for (uint32_t round = 0; round < row->rounds; round++) {
        small_problem s;
        make_problem(&s, row, &seed);
        int32_t horizon = horizon_of(&s.problem);
        reference r = {.problem = &s.problem, .best = horizon};
        try_all(&r, 0, 0);
        mw_slots_budget budget = {.seed = round, .schedules = 20, .conflicts = 100000};
        mw_slots_answer answer;
        int32_t starts[ACTIVITIES];
        assert_int_equal(mw_slots_solve(&s.problem, &budget, &answer, starts), MW_OK);
        if (r.best == horizon) {
            assert_int_equal(answer.verdict, MW_SLOTS_IMPOSSIBLE);
            impossible++;
            continue;
        }
        assert_int_equal(answer.verdict, MW_SLOTS_PLANNED);
        assert_int_equal(answer.length, r.best);
        assert_int_equal(answer.bound, r.best);
        assert_true(keeps_all(&s.problem, starts));
    }
    assert_true(impossible < row->rounds);
    assert_true(!row->windows || impossible > 0);
}

/* Two activities that may not overlap and must start within a slot of each other. */
static const int32_t two_durations[] = {3, 3};
static const int32_t two_demands[] = {1, 1};
static const int32_t one_capacity[] = {1};
static const mw_slots_lag two_windows[] = {{0, 1, -1}, {1, 0, -1}};

static mw_slots_problem two_activities(uint32_t lag_count)
{
    return (mw_slots_problem){.activity_count = 2,
                              .durations = two_durations,
                              .resource_count = 1,
                              .capacities = one_capacity,
                              .demands = two_demands,
                              .lags = two_windows,
                              .lag_count = lag_count};
}

static void test_verdicts(void **state)
{
    (void)state;
    mw_slots_answer answer;
    int32_t starts[2];
    mw_slots_problem problem = two_activities(2);
    mw_slots_budget budget = {.schedules = 10, .conflicts = 1000};
    assert_int_equal(mw_slots_solve(&problem, &budget, &answer, starts), MW_OK);
    assert_int_equal(answer.verdict, MW_SLOTS_IMPOSSIBLE);
    budget.conflicts = 0;
    assert_int_equal(mw_slots_solve(&problem, &budget, &answer, starts), MW_OK);
    assert_int_equal(answer.verdict, MW_SLOTS_NONE_FOUND);
    problem.lag_count = 0;
    assert_int_equal(mw_slots_solve(&problem, &budget, &answer, starts), MW_OK);
    assert_int_equal(answer.verdict, MW_SLOTS_PLANNED);
    assert_int_equal(answer.length, 6);
    assert_int_equal(answer.bound, 6);
    assert_int_equal(answer.path, 3);
}

static void test_more_than_there_is(void **state)
{
    (void)state;
    static const int32_t demands[] = {2, 1};
    mw_slots_answer answer;
    int32_t starts[2];
    mw_slots_problem problem = two_activities(0);
    problem.demands = demands;
    mw_slots_budget budget = {.schedules = 10, .conflicts = 1000};
    assert_int_equal(mw_slots_solve(&problem, &budget, &answer, starts), MW_OK);
    assert_int_equal(answer.verdict, MW_SLOTS_IMPOSSIBLE);
}

static void test_nothing_to_do(void **state)
{
    (void)state;
    mw_slots_answer answer;
    int32_t start;
    mw_slots_problem problem = {0};
    mw_slots_budget budget = {.schedules = 10, .conflicts = 1000};
    assert_int_equal(mw_slots_solve(&problem, &budget, &answer, &start), MW_OK);
    assert_int_equal(answer.verdict, MW_SLOTS_PLANNED);
    assert_int_equal(answer.length, 0);
    assert_int_equal(answer.bound, 0);
}

typedef struct unfit_row {
    const char *name;
    int32_t duration, capacity, demand;
    mw_slots_lag lag;
} unfit_row;

static const unfit_row unfit_rows[] = {
    {"a negative duration", -1, 1, 1, {0, 0, 0}}, {"a duration too long", 1000001, 1, 1, {0, 0, 0}},
    {"a negative capacity", 1, -1, 1, {0, 0, 0}}, {"a capacity too large", 1, 30001, 1, {0, 0, 0}},
    {"a negative demand", 1, 1, -1, {0, 0, 0}},   {"a demand too large", 1, 1, 30001, {0, 0, 0}},
    {"a lag from nothing", 1, 1, 1, {1, 0, 0}},   {"a lag to nothing", 1, 1, 1, {0, 1, 0}},
    {"a lag too long", 1, 1, 1, {0, 0, 1000001}}, {"a window too long", 1, 1, 1, {0, 0, -1000001}},
};

static void test_unfit(void **state)
{
    const unfit_row *row = *state;
    mw_slots_problem problem = {.activity_count = 1,
                                .durations = &row->duration,
                                .resource_count = 1,
                                .capacities = &row->capacity,
                                .demands = &row->demand,
                                .lags = &row->lag,
                                .lag_count = 1};
    mw_slots_budget budget = {.schedules = 10};
    mw_slots_answer answer = {.length = 77};
    int32_t start = 77;
    assert_int_equal(mw_slots_solve(&problem, &budget, &answer, &start), MW_FAILED);
    assert_int_equal(answer.length, 77);
    assert_int_equal(start, 77);
}

static void make_one(small_problem *s, uint32_t activities, bool windows)
{
    uint64_t seed = 11;
    make_problem(s, &(random_row){"", 1, activities, 5, windows, 0}, &seed);
}

static void test_same_again(void **state)
{
    (void)state;
    small_problem s;
    make_one(&s, ACTIVITIES, false);
    mw_slots_budget budget = {.seed = 5, .schedules = 200, .conflicts = 500};
    mw_slots_answer first, second;
    int32_t starts[2][ACTIVITIES];
    assert_int_equal(mw_slots_solve(&s.problem, &budget, &first, starts[0]), MW_OK);
    assert_int_equal(mw_slots_solve(&s.problem, &budget, &second, starts[1]), MW_OK);
    assert_memory_equal(starts[0], starts[1], sizeof starts[0]);
    assert_int_equal(first.schedules, second.schedules);
    assert_true(first.schedules <= 200);
    assert_int_equal(first.conflicts, second.conflicts);
}

static bool stop_at_once(void *context)
{
    (void)context;
    return true;
}

static void test_stop(void **state)
{
    (void)state;
    small_problem s;
    make_one(&s, ACTIVITIES, false);
    mw_slots_budget budget = {
        .schedules = UINT64_MAX, .conflicts = UINT64_MAX, .stop = stop_at_once};
    mw_slots_answer answer;
    int32_t starts[ACTIVITIES];
    assert_int_equal(mw_slots_solve(&s.problem, &budget, &answer, starts), MW_OK);
    assert_int_equal(answer.verdict, MW_SLOTS_PLANNED); /* the first is made in any case */
    assert_true(keeps_all(&s.problem, starts));
}

static support_outcome solve_starved(void *context)
{
    small_problem *s = context;
    mw_slots_budget budget = {.schedules = 50, .conflicts = 1000};
    mw_slots_answer answer;
    int32_t starts[ACTIVITIES];
    mw_status status = mw_slots_solve(&s->problem, &budget, &answer, starts);
    return status == MW_OK ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void test_memory(void **state)
{
    (void)state;
    small_problem s;
    make_one(&s, ACTIVITIES, true);
    assert_true(support_fail_each_allocation(solve_starved, &s) > 3);
    make_one(&s, ACTIVITIES, false);
    assert_true(support_fail_each_allocation(solve_starved, &s) > 1);
}

static const random_row random_rows[] = {
    {"400 of 6 activities, two resources", 400, 6, 2, false, 1},
    {"60 of 8 activities, one resource", 60, 8, 1, false, 2},
    {"100 of 6 activities, six resources", 100, 6, 6, false, 3},
    {"400 of 6 activities with windows", 400, 6, 2, true, 4},
    {"40 of 8 activities with windows", 40, 8, 2, true, 5},
    {"100 of 5 activities with windows, six resources", 100, 5, 6, true, 6},
};

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "as exhaustive search", random_rows, test_random);
    test_add_rows(&list, "unfit", unfit_rows, test_unfit);
    test_add(&list, test_verdicts);
    test_add(&list, test_more_than_there_is);
    test_add(&list, test_nothing_to_do);
    test_add(&list, test_same_again);
    test_add(&list, test_stop);
    test_add(&list, test_memory);
    return test_run(&list, "plan: whole slots");
}
