/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether the checker of plans sees what is wrong: a right plan is spoiled in one way at a time. */
#include "plan_checker.h"
#include "plan_problem.h"

enum { COAT, COVER, PRESS, CURED, NEVER_DONE, AFTER_NEVER, ACTIVITIES };
enum { LAG_COVER, WINDOW_COVER, LAG_CURED, LAG_NEVER, WINDOW_SHORT };

static builder *checked_problem(void)
{
    builder *b = new_shop_builder(JAN(11, 0, 0));
    add_resource(b, 2);
    add_resource(b, 1);
    add_promise(b, (mw_plan_promise){0, 2, JAN(11, 12, 30), JAN(11, 13, 30)});
    mw_plan_activity row = {.work_s = HOURS(2), .calendar = DAY, .earliest_s = JAN(11, 8, 0)};
    add_activity(b, row);
    add_need(b, (mw_plan_need){0, 1, false});
    row.earliest_s = ANY;
    add_activity(b, row);
    add_need(b, (mw_plan_need){0, 1, false});
    row.work_s = HOURS(10);
    row.interrupt = true;
    add_activity(b, row);
    add_need(b, (mw_plan_need){1, 1, true});
    row.work_s = HOURS(1);
    add_activity(b, row);
    add_need(b, (mw_plan_need){1, 1, false});
    add_activity(b, row);
    add_need(b, (mw_plan_need){1, 2, false});
    add_activity(b, row);
    add_follows(b, COAT, COVER);
    add_lag(b, (mw_plan_lag){.from = COAT,
                             .to = COVER,
                             .to_end = true,
                             .maximum = true,
                             .calendar = CURE,
                             .amount_s = HOURS(8)});
    add_lag(
        b,
        (mw_plan_lag){
            .from = PRESS, .to = CURED, .from_end = true, .calendar = CURE, .amount_s = HOURS(20)});
    add_follows(b, NEVER_DONE, AFTER_NEVER);
    add_lag(
        b,
        (mw_plan_lag){
            .from = PRESS, .to = CURED, .maximum = true, .calendar = CURE, .amount_s = HOURS(2)});
    return b;
}

typedef struct spoiled {
    mw_plan_slot slots[ACTIVITIES];
    uint32_t missed[4];
    uint32_t missed_count;
} spoiled;

typedef struct spoil_row {
    const char *name;
    const char *fault; /* how what the checker says begins */
    void (*spoil)(spoiled *s);
} spoil_row;

static void move(mw_plan_slot *slot, double start_s, double end_s)
{
    slot->start_s = start_s;
    slot->end_s = end_s;
    slot->ready_s = start_s;
}

#define SPOIL(name, statement)   \
    static void name(spoiled *s) \
    {                            \
        statement;               \
    }

SPOIL(nothing, (void)s)
SPOIL(before_earliest, move(&s->slots[COAT], JAN(11, 7, 45), JAN(11, 9, 45)))
SPOIL(before_the_job, move(&s->slots[PRESS], JAN(8, 7, 30), JAN(11, 9, 0)))
SPOIL(ready_late, s->slots[COAT].ready_s += 60.0)
SPOIL(too_short, s->slots[COAT].end_s -= 60.0)
SPOIL(too_long, s->slots[PRESS].end_s += 60.0)
SPOIL(starts_at_night, move(&s->slots[PRESS], JAN(11, 7, 0), JAN(12, 9, 0)))
SPOIL(ends_at_night, move(&s->slots[COAT], JAN(11, 14, 30), JAN(12, 7, 30)))
SPOIL(parted_by_night, move(&s->slots[COVER], JAN(11, 15, 30), JAN(12, 8, 30)))
SPOIL(before_its_lag, move(&s->slots[COVER], JAN(11, 9, 30), JAN(11, 11, 30)))
SPOIL(in_a_promise, move(&s->slots[COVER], JAN(11, 11, 0), JAN(11, 13, 30)))
SPOIL(before_the_cure, move(&s->slots[CURED], JAN(12, 9, 30), JAN(12, 10, 30)))
SPOIL(silent_miss, s->missed_count = 0)
SPOIL(false_miss, (s->missed[0] = WINDOW_COVER, s->missed[1] = WINDOW_SHORT, s->missed_count = 2))
SPOIL(missed_twice, (s->missed[1] = WINDOW_SHORT, s->missed_count = 2))
SPOIL(half_never, s->slots[NEVER_DONE].end_s = JAN(12, 0, 0))
SPOIL(after_never, move(&s->slots[AFTER_NEVER], JAN(11, 7, 30), JAN(11, 8, 30)))
SPOIL(above_capacity, move(&s->slots[NEVER_DONE], JAN(18, 7, 30), JAN(18, 8, 30)))
SPOIL(at_a_promise, move(&s->slots[COAT], JAN(11, 13, 0), JAN(11, 15, 0)))

static const spoil_row rows[] = {
    {"as planned", NULL, nothing},
    {"before its earliest time", "too early", before_earliest},
    {"before the job begins", "too early", before_the_job},
    {"starts before it is ready", "starts before it is ready", ready_late},
    {"less than its work", "not its work", too_short},
    {"more than its work", "not its work", too_long},
    {"starts where the shift is closed", "starts where nobody works", starts_at_night},
    {"ends at the next opening", "ends where nobody works", ends_at_night},
    {"parted by the night", "parted", parted_by_night},
    {"before its least lag is over", "too short: lag 0", before_its_lag},
    {"runs into a promise", "in the way of a promise", in_a_promise},
    {"takes the press while it cures", "more than there is", before_the_cure},
    {"a window missed in silence", "missed in silence: lag 4", silent_miss},
    {"a window kept and called missed", "kept, yet called missed: lag 1", false_miss},
    {"a window named twice", "not in order", missed_twice},
    {"an end without a start", "neither done nor never", half_never},
    {"follows what is never done", "follows what is never done", after_never},
    {"needs more than there is", "more than there is", above_capacity},
    {"starts inside a promise", "more than there is", at_a_promise},
};

static void spoiled_plan(void **state)
{
    const spoil_row *row = *state;
    builder *b = checked_problem();
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    assert_int_equal(mw_plan_first(plan, &b->problem), MW_OK);
    spoiled s;
    memcpy(s.slots, mw_plan_slots(plan), sizeof s.slots);
    const uint32_t *missed = mw_plan_missed(plan, &s.missed_count);
    assert_int_equal(s.missed_count, 1);
    s.missed[0] = missed[0];
    row->spoil(&s);
    checker c = {.problem = &b->problem,
                 .slots = s.slots,
                 .missed = s.missed,
                 .missed_count = s.missed_count};
    const char *fault = checker_look(&c);
    if (row->fault == NULL) {
        assert_null(fault);
    } else if (fault == NULL || strncmp(fault, row->fault, strlen(row->fault)) != 0) {
        fail_msg("the checker says %s, not %s", fault == NULL ? "nothing" : fault, row->fault);
    }
    mw_plan_free(plan);
    free_builder(b);
}

int main(void)
{
    return run_rows("the checker of plans", rows, spoiled_plan);
}
