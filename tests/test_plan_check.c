/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The independent checker (tests/plan_check.c) passes the plans of random problems, read from JSON,
 * and rejects each of them once it is corrupted: twenty seeds for each of twelve corruptions, every one
 * of which makes exactly one claim false. */
#include "plan_json.h"
#include "plan_random.h"

enum { SEEDS = 20, SEEDS_MOST = 2000, FIRST_SEED = 41, RIGHT_PLANS = 60 };

typedef struct subject {
    builder *b;
    mw_plan_slot *slots;
    plan_claim claim;
} subject;

/* Changes one thing so that the plan is wrong; false where there is nothing that fits. */
typedef bool corruption(subject *s, uint64_t *r);

typedef struct corrupt_row {
    const char *name;
    corruption *corrupt;
    const char *says; /* how the checker's complaint begins */
} corrupt_row;

/* Returns some activity with work; false: there is none. */
static bool find_working(const subject *s, uint64_t *r, uint32_t *found)
{
    uint32_t count = s->b->problem.activity_count;
    uint32_t first = random_below(r, count);
    for (uint32_t i = 0; i < count; i++) {
        *found = (first + i) % count;
        if (s->b->activities[*found].work_s >= MINUTES(2)) {
            return true;
        }
    }
    return false;
}

static bool start_sooner(subject *s, uint64_t *r)
{
    uint32_t a;
    if (!find_working(s, r, &a)) {
        return false;
    }
    s->slots[a].start_s = s->b->problem.start_s - HOURS(1);
    return true;
}

static bool work_more(subject *s, uint64_t *r)
{
    uint32_t a;
    if (!find_working(s, r, &a)) {
        return false;
    }
    s->b->activities[a].work_s += 1.0;
    return true;
}

static bool work_less(subject *s, uint64_t *r)
{
    uint32_t a;
    if (!find_working(s, r, &a)) {
        return false;
    }
    s->b->activities[a].work_s -= 1.0;
    return true;
}

static bool leave_out(subject *s, uint64_t *r)
{
    uint32_t a = random_below(r, s->b->problem.activity_count);
    s->slots[a].start_s = s->slots[a].end_s = NEVER;
    return true;
}

static bool release_later(subject *s, uint64_t *r)
{
    uint32_t a = random_below(r, s->b->problem.activity_count);
    s->b->activities[a].earliest_s = s->slots[a].start_s + 1.0;
    return true;
}

static double amount_of(const subject *s, const mw_plan_lag *lag)
{
    const mw_plan_slot *from = &s->slots[lag->from];
    const mw_plan_slot *to = &s->slots[lag->to];
    return mw_calendar_amount(s->b->calendars[lag->calendar],
                              lag->from_end ? from->end_s : from->start_s,
                              lag->to_end ? to->end_s : to->start_s);
}

static bool find_lag(const subject *s, uint64_t *r, bool maximum, uint32_t *found)
{
    uint32_t count = s->b->problem.lag_count;
    uint32_t first = count == 0 ? 0 : random_below(r, count);
    for (uint32_t i = 0; i < count; i++) {
        *found = (first + i) % count;
        if (s->b->lags[*found].maximum == maximum &&
            (!maximum || amount_of(s, &s->b->lags[*found]) > 2.0)) {
            return true;
        }
    }
    return false;
}

static bool wait_longer(subject *s, uint64_t *r)
{
    uint32_t lag;
    if (!find_lag(s, r, false, &lag)) {
        return false;
    }
    s->b->lags[lag].amount_s = amount_of(s, &s->b->lags[lag]) + 1.0;
    return true;
}

static bool narrow_window(subject *s, uint64_t *r)
{
    uint32_t lag;
    if (!find_lag(s, r, true, &lag)) {
        return false;
    }
    s->b->lags[lag].amount_s = amount_of(s, &s->b->lags[lag]) - 1.0;
    return true;
}

static uint32_t false_alarm;

static bool call_missed(subject *s, uint64_t *r)
{
    if (!find_lag(s, r, true, &false_alarm)) {
        return false;
    }
    s->claim.missed = &false_alarm;
    s->claim.missed_count = 1;
    s->claim.whole = false;
    return true;
}

/* Takes away one unit of a resource of which all is in use when some activity starts. */
static bool lend_out(subject *s, uint64_t *r)
{
    uint32_t a;
    if (!find_working(s, r, &a) || s->b->activities[a].need_count == 0) {
        return false;
    }
    const mw_plan_need *need = &s->b->needs[s->b->activities[a].first_need];
    if (need->amount == 0) {
        return false;
    }
    uint32_t spare = s->b->resources[need->resource].capacity - need->amount + 1;
    add_promise(s->b, (mw_plan_promise){need->resource, spare, s->slots[a].start_s - 60.0,
                                        s->slots[a].end_s + 60.0});
    return true;
}

static bool claim_more(subject *s, uint64_t *r)
{
    (void)r;
    s->claim.bound_s = s->claim.last_s + 1.0;
    return true;
}

static bool due_sooner(subject *s, uint64_t *r)
{
    uint32_t a = random_below(r, s->b->problem.activity_count);
    s->b->activities[a].weight = 1.0;
    s->b->activities[a].due_s = s->slots[a].end_s - HOURS(30);
    s->claim.late_s = 0.0;
    return true;
}

static bool agreed_sooner(subject *s, uint64_t *r)
{
    uint32_t a = random_below(r, s->b->problem.activity_count);
    s->b->activities[a].agreed = true;
    s->b->activities[a].agreed_s = s->slots[a].start_s - 1.0;
    s->claim.moved_s = 0.0;
    return true;
}

static const corrupt_row corrupt_rows[] = {
    {"started before the start", start_sooner, "too early"},
    {"a second of work more", work_more, "not its work"},
    {"a second of work less", work_less, "not its work"},
    {"an activity left out", leave_out, "not done"},
    {"released a second later", release_later, "too early"},
    {"a lag a second longer", wait_longer, "too short"},
    {"a window a second narrower", narrow_window, "missed in silence"},
    {"a kept window called missed", call_missed, "kept, yet called missed"},
    {"a resource lent out", lend_out, "more than there is"},
    {"lateness kept back", due_sooner, "not its lateness"},
    {"a move kept back", agreed_sooner, "not what it moved"},
    {"a bound above the plan", claim_more, "a bound above the plan"},
};

/* Plans a problem that can be planned wholly; false: this one could not. */
static bool make_subject(subject *s, mw_plan *plan, unsigned seed)
{
    s->b = make_random(seed);
    add_random_wishes(s->b, seed);
    mw_plan_budget budget = {.seed = seed, .schedules = 20};
    mw_plan_outcome outcome;
    assert_int_equal(mw_plan_search(plan, &s->b->problem, &budget, &outcome), MW_OK);
    s->claim = json_claim(plan, &outcome);
    size_t size = s->b->problem.activity_count * sizeof *s->slots;
    s->slots = malloc(size);
    assert_non_null(s->slots);
    memcpy(s->slots, s->claim.slots, size);
    s->claim.slots = s->slots;
    return outcome.verdict == MW_PLAN_PLANNED;
}

static void free_subject(subject *s)
{
    free(s->slots);
    free_builder(s->b);
}

static void test_corrupt(void **state)
{
    const corrupt_row *row = *state;
    char says[200];
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    unsigned done = 0;
    for (unsigned seed = FIRST_SEED; done < SEEDS && seed < FIRST_SEED + SEEDS_MOST; seed++) {
        subject s;
        uint64_t r = seed;
        if (make_subject(&s, plan, seed) && row->corrupt(&s, &r)) {
            int status = json_check(&s.b->problem, &s.claim, says, sizeof says);
            if (status != 1 || strncmp(says, row->says, strlen(row->says)) != 0) {
                fail_msg("seed %u: %d, %s", seed, status, says);
            }
            done++;
        }
        free_subject(&s);
    }
    assert_int_equal(done, SEEDS);
    mw_plan_free(plan);
}

static void test_right(void **state)
{
    (void)state;
    char says[200];
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    for (unsigned seed = FIRST_SEED; seed < FIRST_SEED + RIGHT_PLANS; seed++) {
        subject s;
        make_subject(&s, plan, seed);
        if (json_check(&s.b->problem, &s.claim, says, sizeof says) != 0) {
            fail_msg("seed %u: %s", seed, says);
        }
        free_subject(&s);
    }
    mw_plan_free(plan);
}

int main(void)
{
    test_list list = {0};
    test_add(&list, test_right);
    test_add_rows(&list, "rejected", corrupt_rows, test_corrupt);
    return test_run(&list, "independent checker");
}
