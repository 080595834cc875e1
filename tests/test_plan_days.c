/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Days of a calendar that are opened out and kept give what the calendar gives, which has tests of
 * its own against counting minute by minute. */
#include "plan/days.h"

#include "plan_problem.h"

/* Sums of days in another order. */
#define ROUNDING_S 1e-6

static plan_day days[PLAN_DAY_ROOM];

/* Two breaks and a night at other rates; more stretches than are kept on Saturdays; holidays. */
static mw_calendar *busy_calendar(void)
{
    static const mw_stretch week[] = {
        {300, 600, 0.5}, {600, 720, 1.75}, {750, 1000, 1.0}, {1300, 1700, 0.21}};
    static const mw_stretch saturday[] = {{60, 120, 1},  {180, 240, 1}, {300, 360, 2},
                                          {420, 480, 1}, {540, 600, 1}, {660, 720, 1}};
    static const mw_stretch part_day[] = {{480, 720, 1}};
    mw_calendar *calendar = mw_calendar_new();
    assert_non_null(calendar);
    for (int weekday = 1; weekday <= 5; weekday++) {
        assert_int_equal(mw_calendar_weekday(calendar, 0xfff, weekday, week, 4), MW_OK);
    }
    assert_int_equal(mw_calendar_weekday(calendar, 0xfff, 6, saturday, 6), MW_OK);
    const int32_t first = (int32_t)(JAN(11, 0, 0) / MW_DAY_S);
    for (int32_t day = first; day < first + 900; day += 13) {
        assert_int_equal(mw_calendar_day(calendar, day, part_day, day % 2 == 0), MW_OK);
    }
    return calendar;
}

/* A moment, in the first weeks or years on, before the first day of the count or after it. */
static double random_moment(uint64_t *random)
{
    const uint32_t reach = random_below(random, 2) == 0 ? 30 : 4000;
    const double at_s =
        JAN(11, 0, 0) + MW_DAY_S * random_below(random, reach) + random_below(random, 86400);
    return random_below(random, 8) == 0 ? at_s - 25000.0 * MW_DAY_S : at_s;
}

static double random_amount(uint64_t *random)
{
    static const double most_s[] = {1.0, 3600.0, 86400.0, 30 * 86400.0, 3e8};
    return most_s[random_below(random, 5)] * random_below(random, 1000) / 999.0;
}

static void same(double got, double want)
{
    if (!(got == want || fabs(got - want) <= ROUNDING_S * fmax(1.0, fabs(want) * 1e-9))) {
        print_error("%.9f, not %.9f\n", got, want);
        fail();
    }
}

static void check_all(const mw_calendar *calendar)
{
    uint64_t random = 11;
    plan_days_clear(days);
    for (int i = 0; i < 20000; i++) {
        const double at_s = random_moment(&random);
        const double amount_s = random_amount(&random);
        const double until_s = at_s + random_amount(&random);
        same(plan_days_advance(days, calendar, at_s, amount_s),
             mw_calendar_advance(calendar, at_s, amount_s));
        same(plan_days_open(days, calendar, at_s), mw_calendar_open(calendar, at_s));
        same(plan_days_rate(days, calendar, at_s), mw_calendar_rate(calendar, at_s));
        same(plan_days_amount(days, calendar, at_s, until_s),
             mw_calendar_amount(calendar, at_s, until_s));
        same(plan_days_amount(days, calendar, until_s, at_s),
             mw_calendar_amount(calendar, until_s, at_s));
    }
}

static void give_what_the_calendar_gives(void **state)
{
    (void)state;
    mw_calendar *calendar = busy_calendar();
    check_all(calendar);
    mw_calendar_free(calendar);
}

static void give_it_on_shifts_too(void **state)
{
    (void)state;
    for (size_t i = 0; i < CALENDARS; i++) {
        mw_calendar *calendar = make_calendar(&calendar_rows[i]);
        check_all(calendar);
        mw_calendar_free(calendar);
    }
}

static void ends_of_time_are_the_calendars(void **state)
{
    (void)state;
    static const double ends_s[] = {NEVER, ANY, 1e300, -1e300, 0.0};
    mw_calendar *calendar = busy_calendar();
    plan_days_clear(days);
    for (size_t i = 0; i < sizeof ends_s / sizeof ends_s[0]; i++) {
        const double at_s = ends_s[i];
        same(plan_days_advance(days, calendar, at_s, 0.0),
             mw_calendar_advance(calendar, at_s, 0.0));
        same(plan_days_advance(days, calendar, at_s, 60.0),
             mw_calendar_advance(calendar, at_s, 60.0));
        same(plan_days_open(days, calendar, at_s), mw_calendar_open(calendar, at_s));
        same(plan_days_rate(days, calendar, at_s), mw_calendar_rate(calendar, at_s));
    }
    mw_calendar_free(calendar);
}

int main(void)
{
    test_list list = {0};
    test_add(&list, give_what_the_calendar_gives);
    test_add(&list, give_it_on_shifts_too);
    test_add(&list, ends_of_time_are_the_calendars);
    return test_run(&list, "days of a plan");
}
