/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Work and lags on calendars without rounding errors: what would fall behind a closing by a
 * millionth of a second ends at the closing, and spans end neither before nor much behind their
 * bounds. */
#include "plan/moment.h"

#include "plan_problem.h"

#define PART_S (1.0 / 1024.0)

/* A clock with no day looked at yet; one at a time. */
static plan_clock clock_of(const mw_calendar *calendar)
{
    static plan_day days[PLAN_DAY_ROOM];
    plan_days_clear(days);
    return (plan_clock){.calendar = calendar, .days = days};
}

/* --- ends at closing time -------------------------------------------------------------------- */

typedef struct closing_row {
    const char *name;
    double from_s, amount_s, want_s;
} closing_row;

static const closing_row closing_rows[] = {
    {"exactly the shift", JAN(11, 7, 30), HOURS(8.5), JAN(11, 16, 30)},
    {"a ten-thousandth of a second more", JAN(11, 7, 30), HOURS(8.5) + 1e-4, JAN(11, 16, 30)},
    {"a ten-thousandth of a second less", JAN(11, 7, 30), HOURS(8.5) - 1e-4, JAN(11, 16, 30)},
    {"a thirtieth of a second more", JAN(11, 7, 30), HOURS(8.5) + 1.0 / 32.0,
     JAN(12, 7, 30) + 1.0 / 32.0},
    {"noon", JAN(11, 7, 30), HOURS(4.5) + 1e-4, JAN(11, 12, 0)},
    {"three shifts and a little more", JAN(11, 7, 30), HOURS(25.5) + 1e-4, JAN(13, 16, 30)},
    {"nothing", JAN(11, 3, 0), 0.0, JAN(11, 3, 0)},
    {"for ever", JAN(11, 3, 0), NEVER, NEVER},
    {"from never", NEVER, 1.0, NEVER},
};

static void ends_at_closing(void **state)
{
    const closing_row *row = *state;
    mw_calendar *calendar = make_calendar(&calendar_rows[DAY]);
    plan_clock clock = clock_of(calendar);
    assert_close(plan_advance(&clock, row->from_s, row->amount_s), row->want_s, 0.0);
    /* And once the run it stands in is known. */
    plan_close(&clock, JAN(11, 8, 0));
    assert_close(plan_advance(&clock, row->from_s, row->amount_s), row->want_s, 0.0);
    mw_calendar_free(calendar);
}

/* --- open and close --------------------------------------------------------------------------- */

static void the_known_run_changes_no_answer(void **state)
{
    (void)state;
    uint64_t random = 5;
    mw_calendar *calendar = make_calendar(&calendar_rows[DAY]);
    plan_clock clock = clock_of(calendar);
    for (int i = 0; i < 5000; i++) {
        double at_s = JAN(11, 0, 0) + 60.0 * random_below(&random, 14 * 1440);
        assert_close(plan_open(&clock, at_s), mw_calendar_open(calendar, at_s), 0.0);
        assert_close(plan_close(&clock, at_s), mw_calendar_close(calendar, at_s), 0.0);
    }
    mw_calendar_free(calendar);
}

/* --- spans with a bound on their end ---------------------------------------------------------- */

/* Rates of morning and afternoon, so that a little at the start is more at the end. */
static void ends_hardly_behind_its_bound(void **state)
{
    (void)state;
    static const double rates[][2] = {
        {0.25, 0.25}, {1.0, 1.0 / 3.0}, {1.7, 2.25}, {4.0, 0.25}, {0.25, 4.0}};
    uint64_t random = 6;
    for (size_t i = 0; i < sizeof rates / sizeof rates[0]; i++) {
        const calendar_row row = {1, 7, 2, {{0, 720, rates[i][0]}, {720, 1440, rates[i][1]}}};
        mw_calendar *calendar = make_calendar(&row);
        plan_clock clock = clock_of(calendar);
        for (int k = 0; k < 2000; k++) {
            mw_plan_activity work = {.work_s = 1.0 + random_below(&random, 100000) / 7.0,
                                     .interrupt = true};
            double end_s = JAN(20, 0, 0) + random_below(&random, 1000000) * PART_S;
            plan_span span = plan_fit(&clock, &work, JAN(11, 0, 0), end_s);
            assert_true(span.end_s >= end_s && span.end_s - end_s <= 16.0 * PART_S);
            assert_close(mw_calendar_amount(calendar, span.start_s, span.end_s), work.work_s,
                         2.0 * PART_S * fmax(1.0, fmax(rates[i][0], rates[i][1])));
        }
        mw_calendar_free(calendar);
    }
}

typedef struct night_row {
    const char *name;
    double work_s;
    double start_s, end_s;
} night_row;

/* The end not before Monday 20:00, when the shift is closed: a last minute, or all of less than a
 * minute, is left for Tuesday. */
static const night_row night_rows[] = {
    {"two hours", HOURS(2), JAN(11, 14, 31), JAN(12, 7, 31)},
    {"a minute", 60.0, JAN(12, 7, 30), JAN(12, 7, 31)},
    {"half a minute", 30.0, JAN(12, 7, 30), JAN(12, 7, 30) + 30.0},
};

static void ends_behind_the_night(void **state)
{
    const night_row *row = *state;
    mw_calendar *calendar = make_calendar(&calendar_rows[DAY]);
    plan_clock clock = clock_of(calendar);
    mw_plan_activity work = {.work_s = row->work_s, .interrupt = true};
    plan_span span = plan_fit(&clock, &work, JAN(11, 0, 0), JAN(11, 20, 0));
    assert_close(span.start_s, row->start_s, 0.0);
    assert_close(span.end_s, row->end_s, 0.0);
    mw_calendar_free(calendar);
}

/* --- moments ---------------------------------------------------------------------------------- */

static void moments_are_parts_of_a_second(void **state)
{
    (void)state;
    assert_close(plan_moment(JAN(11, 7, 30)), JAN(11, 7, 30), 0.0);
    assert_close(plan_moment(JAN(11, 7, 30) + 0.4 * PART_S), JAN(11, 7, 30), 0.0);
    assert_close(plan_moment(JAN(11, 7, 30) + 0.6 * PART_S), JAN(11, 7, 30) + PART_S, 0.0);
    assert_close(plan_moment(-0.6 * PART_S), -PART_S, 0.0);
    assert_true(plan_moment(1e300) == NEVER && plan_moment(NEVER) == NEVER);
    assert_true(plan_moment(-1e300) == ANY && plan_moment(ANY) == ANY);
    assert_close(plan_moment(PLAN_LAST_S), PLAN_LAST_S, 0.0);
    assert_close(plan_moment(PLAN_FIRST_S), PLAN_FIRST_S, 0.0);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "closing", closing_rows, ends_at_closing);
    test_add(&list, the_known_run_changes_no_answer);
    test_add(&list, ends_hardly_behind_its_bound);
    test_add_rows(&list, "behind the night", night_rows, ends_behind_the_night);
    test_add(&list, moments_are_parts_of_a_second);
    return test_run(&list, "moments of a plan");
}
