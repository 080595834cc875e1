/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rate calendars against published working-day and working-hour arithmetic, and on random calendars
 * against a count minute by minute. */
#include "measure_support.h"

#include <math.h>

#include "mouldwright/calendar.h"

enum { ALL_YEAR = 0xfff, HOUR = 60 };

/* --- help ------------------------------------------------------------------------------------ */

/* Reads a date with or without time. */
static double at(const char *text)
{
    double seconds = 0;
    bool exists = false;
    assert_int_equal(mw_date_read(mw_str_of(text), &seconds, &exists), strlen(text));
    assert_true(exists);
    return seconds;
}

static int32_t day_of(const char *text)
{
    return (int32_t)floor(at(text) / MW_DAY_S);
}

static void assert_moment(double got, const char *want)
{
    mw_text text = {0};
    mw_date_words(got, &text);
    if (strcmp(mw_text_chars(&text), want) != 0) {
        print_error("%s, not %s\n", mw_text_chars(&text), want);
        mw_text_free(&text);
        fail();
    }
    mw_text_free(&text);
}

static void assert_day(int32_t got, const char *want)
{
    assert_moment(got * MW_DAY_S, want);
}

/* Opens weekdays (bit 0 Monday) with stretches. */
static void open_days(mw_calendar *calendar, unsigned days, const mw_stretch *stretches,
                      size_t count)
{
    for (int weekday = 1; weekday <= 7; weekday++) {
        if ((days >> (weekday - 1) & 1) != 0) {
            assert_int_equal(mw_calendar_weekday(calendar, ALL_YEAR, weekday, stretches, count),
                             MW_OK);
        }
    }
}

/* A shift on some weekdays, hours as minutes. */
static mw_calendar *shift(unsigned days, int from, int to)
{
    mw_calendar *calendar = mw_calendar_new();
    open_days(calendar, days, &(mw_stretch){from, to, 1}, 1);
    return calendar;
}

enum { MONDAY_TO_FRIDAY = 0x1f, WEEKEND = 0x60, MONDAYS = 1, EVERY_DAY = 0x7f };

static void close_days(mw_calendar *calendar, const char *holidays)
{
    for (; *holidays != '\0'; holidays += holidays[10] == ' ' ? 11 : 10) {
        char text[11];
        snprintf(text, sizeof text, "%.10s", holidays);
        assert_int_equal(mw_calendar_day(calendar, day_of(text), NULL, 0), MW_OK);
    }
}

/* --- working days ---------------------------------------------------------------------------- */

#define NUMPY  "NumPy 1.24, numpy/core/tests/test_datetime.py, test_datetime_busday_offset"
#define MANUAL "worked example of a published manual, computed again by counting"

typedef struct offset_row {
    const char *name;
    const char *from;
    int count;
    unsigned days;
    const char *holidays;
    const char *want;
    const char *source;
} offset_row;

static const offset_row offset_rows[] = {
    {"25 days", "2006-02-01", 25, MONDAY_TO_FRIDAY, "", "2006-03-08", NUMPY},
    {"25 days back", "2006-03-08", -25, MONDAY_TO_FRIDAY, "", "2006-02-01", NUMPY},
    {"11 days of weekends", "2007-02-25", 11, WEEKEND, "", "2007-04-07", NUMPY},
    {"the next Monday", "2011-06-01", 0, MONDAYS, "", "2011-06-06", NUMPY},
    {"a Sunday, forward", "2010-08-01", 0, MONDAY_TO_FRIDAY, "", "2010-08-02", NUMPY},
    {"over a holiday", "2011-11-10", 1, MONDAY_TO_FRIDAY, "2011-11-11", "2011-11-14", NUMPY},
    {"5 days over a holiday", "2011-11-10", 5, MONDAY_TO_FRIDAY, "2011-11-11", "2011-11-18", NUMPY},
    {"back over a holiday", "2011-11-14", -5, MONDAY_TO_FRIDAY, "2011-11-11", "2011-11-04", NUMPY},
    {"a working day itself", "2010-08-02", 0, MONDAY_TO_FRIDAY, "", "2010-08-02", NUMPY},
    {"258 days", "1993-01-01", 258, MONDAY_TO_FRIDAY,
     "1993-01-01 1993-05-25 1993-07-04 1993-09-03 1993-11-28", "1993-12-31", MANUAL},
};

static void test_offset(void **state)
{
    const offset_row *row = *state;
    mw_calendar *calendar = shift(row->days, 8 * HOUR, 16 * HOUR);
    close_days(calendar, row->holidays);
    assert_day(mw_calendar_add_days(calendar, day_of(row->from), row->count), row->want);
    mw_calendar_free(calendar);
}

/* NumPy rolls a day that is closed backward, or forward within its month, before it counts. */
static void test_rolled_days(void **state)
{
    (void)state;
    mw_calendar *calendar = shift(MONDAY_TO_FRIDAY, 8 * HOUR, 16 * HOUR);
    /* The last working day up to a day is the one before the next. */
    assert_day(mw_calendar_add_days(calendar, day_of("2010-08-02"), -1), "2010-07-30");
    int32_t day = mw_calendar_add_days(calendar, day_of("2010-10-30"), 0);
    assert_day(day, "2010-11-01");
    assert_day(mw_calendar_add_days(calendar, day_of("2010-10-31"), -1), "2010-10-29");
    mw_calendar_free(calendar);
}

typedef struct count_row {
    const char *name;
    const char *from;
    const char *to;
    const char *holidays;
    int want;
    const char *source;
} count_row;

static const count_row count_rows[] = {
    {"a year", "2025-01-01", "2026-01-01", "", 262, MANUAL},
    {"ten days", "2023-01-01", "2023-01-10", "", 7, MANUAL},
    {"ten days with a holiday", "2023-01-01", "2023-01-10", "2023-01-09", 6, MANUAL},
    {"backwards", "2023-01-10", "2023-01-01", "", -7, "the same, as calendar.h says"},
    {"one day", "2023-01-10", "2023-01-10", "", 1, "one"},
    {"a Sunday", "2023-01-01", "2023-01-01", "", 0, "none"},
    {"a century", "1900-01-01", "1999-12-31", "", 26090,
     "36524 days from a Monday: 5217 weeks and 5"},
};

static void test_count(void **state)
{
    const count_row *row = *state;
    mw_calendar *calendar = shift(MONDAY_TO_FRIDAY, 8 * HOUR, 16 * HOUR);
    close_days(calendar, row->holidays);
    assert_int_equal(mw_calendar_count_days(calendar, day_of(row->from), day_of(row->to)),
                     row->want);
    mw_calendar_free(calendar);
}

/* --- working hours --------------------------------------------------------------------------- */

#define PANDAS "pandas 1.5.3, tests/tseries/offsets/test_business_hour.py"

typedef struct hours_row {
    const char *name;
    const char *from;
    double hours;
    const char *want;
    mw_stretch stretches[3];
    const char *source;
} hours_row;

static const hours_row hours_rows[] = {
    {"over a weekend", "2014-07-04T16:30", 1, "2014-07-07T09:30", {{540, 1020, 1}}, PANDAS},
    {"a week of hours", "2014-07-01T11:00", 40, "2014-07-08T11:00", {{540, 1020, 1}}, PANDAS},
    {"over a break",
     "2014-07-01T11:00",
     4,
     "2014-07-01T17:00",
     {{540, 720, 1}, {840, 1080, 1}},
     PANDAS},
    {"night shift", "2014-07-05T04:30", 1, "2014-07-07T19:30", {{1140, 1740, 1}}, PANDAS},
    {"to closing time", "2014-07-01T16:00", 1, "2014-07-01T17:00", {{540, 1020, 1}}, "calendar.h"},
    {"from closing time", "2014-07-01T17:00", 1, "2014-07-02T10:00", {{540, 1020, 1}}, PANDAS},
    {"nothing, when closed",
     "2014-07-05T12:00",
     0,
     "2014-07-05T12:00",
     {{540, 1020, 1}},
     "calendar.h"},
    {"half speed", "2014-07-01T09:00", 2, "2014-07-01T13:00", {{540, 1020, 0.5}}, "arithmetic"},
    {"to a break",
     "2014-07-01T11:00",
     1,
     "2014-07-01T12:00",
     {{540, 720, 1}, {840, 1080, 1}},
     "calendar.h"},
    {"40 years of hours",
     "2014-07-01T09:00",
     83200,
     "2054-05-11T17:00",
     {{540, 1020, 1}},
     "2080 weeks of 40 hours, less the Monday"},
};

static size_t stretches_of(const mw_stretch *stretches)
{
    size_t count = 0;
    while (count < 3 && stretches[count].to_minute > 0) {
        count++;
    }
    return count;
}

static void test_hours(void **state)
{
    const hours_row *row = *state;
    mw_calendar *calendar = mw_calendar_new();
    open_days(calendar, MONDAY_TO_FRIDAY, row->stretches, stretches_of(row->stretches));
    double done = mw_calendar_advance(calendar, at(row->from), row->hours * 3600);
    assert_moment(done, row->want);
    assert_close(mw_calendar_amount(calendar, at(row->from), done), row->hours * 3600, 1e-6);
    mw_calendar_free(calendar);
}

/* --- shapes ---------------------------------------------------------------------------------- */

static void test_new_is_closed(void **state)
{
    (void)state;
    mw_calendar *calendar = mw_calendar_new();
    double noon = at("2027-01-11T12:00");
    assert_true(mw_calendar_rate(calendar, noon) == 0);
    assert_true(mw_calendar_advance(calendar, noon, 1) == HUGE_VAL);
    assert_true(mw_calendar_advance(calendar, noon, 0) == noon);
    assert_true(mw_calendar_retreat(calendar, noon, 1) == -HUGE_VAL);
    assert_true(mw_calendar_retreat(calendar, noon, 0) == noon);
    assert_true(mw_calendar_open(calendar, noon) == HUGE_VAL);
    assert_true(mw_calendar_close(calendar, noon) == noon);
    assert_true(mw_calendar_amount(calendar, noon, noon + 1e9) == 0);
    assert_false(mw_calendar_works(calendar, 20000));
    assert_int_equal(mw_calendar_add_days(calendar, 20000, 0), INT32_MAX);
    assert_int_equal(mw_calendar_add_days(calendar, 20000, 1), INT32_MAX);
    assert_int_equal(mw_calendar_add_days(calendar, 20000, -1), INT32_MAX);
    assert_int_equal(mw_calendar_count_days(calendar, 0, 20000), 0);
    mw_calendar_free(calendar);
    mw_calendar_free(NULL);
}

static void test_always_open(void **state)
{
    (void)state;
    mw_calendar *calendar = shift(EVERY_DAY, 0, 24 * HOUR);
    double noon = at("2027-01-11T12:00");
    assert_true(mw_calendar_advance(calendar, noon, 1e6) == noon + 1e6);
    assert_true(mw_calendar_retreat(calendar, noon, 1e6) == noon - 1e6);
    assert_true(mw_calendar_amount(calendar, noon, noon + 1e9) == 1e9);
    assert_true(mw_calendar_close(calendar, noon) == HUGE_VAL);
    assert_true(mw_calendar_open(calendar, noon) == noon);
    assert_true(mw_calendar_open(calendar, at("2027-01-11")) == at("2027-01-11"));
    /* 40 years is 14610 days; what needs more never gets there. */
    assert_true(isfinite(mw_calendar_advance(calendar, noon, 14610 * MW_DAY_S)));
    assert_true(mw_calendar_advance(calendar, noon, 14612 * MW_DAY_S) == HUGE_VAL);
    assert_true(isfinite(mw_calendar_retreat(calendar, noon, 14610 * MW_DAY_S)));
    assert_true(mw_calendar_retreat(calendar, noon, 14612 * MW_DAY_S) == -HUGE_VAL);
    /* One holiday ends the run. */
    close_days(calendar, "2031-05-01");
    assert_moment(mw_calendar_close(calendar, noon), "2031-05-01");
    assert_moment(mw_calendar_open(calendar, at("2031-05-01T07:00")), "2031-05-02");
    mw_calendar_free(calendar);
}

static void test_night_shift(void **state)
{
    (void)state;
    mw_calendar *calendar = shift(MONDAY_TO_FRIDAY, 22 * HOUR, 30 * HOUR);
    /* Friday's night ends on Saturday; Monday morning belongs to a Sunday that does not work. */
    assert_true(mw_calendar_rate(calendar, at("2027-01-16T05:59")) == 1);
    assert_true(mw_calendar_rate(calendar, at("2027-01-16T06:00")) == 0);
    assert_true(mw_calendar_rate(calendar, at("2027-01-11T05:00")) == 0);
    assert_true(mw_calendar_rate(calendar, at("2027-01-11T22:00")) == 1);
    assert_false(mw_calendar_works(calendar, day_of("2027-01-16")));
    assert_true(mw_calendar_works(calendar, day_of("2027-01-15")));
    assert_moment(mw_calendar_close(calendar, at("2027-01-15T23:00")), "2027-01-16T06:00");
    assert_moment(mw_calendar_advance(calendar, at("2027-01-15T23:00"), 8 * 3600),
                  "2027-01-18T23:00");
    assert_moment(mw_calendar_retreat(calendar, at("2027-01-18T23:00"), 8 * 3600),
                  "2027-01-15T23:00");
    /* A holiday takes its own night away, not the end of the night before. */
    close_days(calendar, "2027-01-13");
    assert_true(mw_calendar_rate(calendar, at("2027-01-13T05:00")) == 1);
    assert_true(mw_calendar_rate(calendar, at("2027-01-13T23:00")) == 0);
    assert_true(mw_calendar_rate(calendar, at("2027-01-14T05:00")) == 0);
    assert_true(mw_calendar_rate(calendar, at("2027-01-14T23:00")) == 1);
    assert_close(mw_calendar_amount(calendar, at("2027-01-11"), at("2027-01-17")), 4 * 8 * 3600, 0);
    mw_calendar_free(calendar);
}

/* Where a night runs into the stretches of the next day, those count. */
static void test_night_meets_morning(void **state)
{
    (void)state;
    static const mw_stretch day[] = {{5 * HOUR, 7 * HOUR, 0.5}, {22 * HOUR, 32 * HOUR, 1}};
    mw_calendar *calendar = mw_calendar_new();
    open_days(calendar, EVERY_DAY, day, 2);
    assert_true(mw_calendar_rate(calendar, at("2027-01-12T04:59")) == 1);
    assert_true(mw_calendar_rate(calendar, at("2027-01-12T05:00")) == 0.5);
    assert_true(mw_calendar_rate(calendar, at("2027-01-12T07:00")) == 1);
    assert_true(mw_calendar_rate(calendar, at("2027-01-12T08:00")) == 0);
    assert_close(mw_calendar_amount(calendar, at("2027-01-12"), at("2027-01-13")),
                 (2 + 5 + 1 + 1) * 3600, 0);
    assert_moment(mw_calendar_close(calendar, at("2027-01-12T23:00")), "2027-01-13T08:00");
    /* A rest of rate 0 keeps the night out. */
    open_days(calendar, EVERY_DAY,
              (const mw_stretch[]){{5 * HOUR, 7 * HOUR, 0}, {22 * HOUR, 32 * HOUR, 1}}, 2);
    assert_true(mw_calendar_rate(calendar, at("2027-01-12T06:00")) == 0);
    assert_true(mw_calendar_rate(calendar, at("2027-01-12T07:30")) == 1);
    mw_calendar_free(calendar);
}

/* Warm and cold months: the last night of a month runs into the first of the next. */
static void test_seasons(void **state)
{
    (void)state;
    mw_calendar *calendar = mw_calendar_new();
    for (int weekday = 1; weekday <= 7; weekday++) {
        static const mw_stretch warm[] = {{0, 24 * HOUR, 1}};
        static const mw_stretch cold[] = {{7 * HOUR, 19 * HOUR, 1}, {19 * HOUR, 31 * HOUR, 0.57}};
        assert_int_equal(mw_calendar_weekday(calendar, 0x7e0, weekday, warm, 1), MW_OK);
        assert_int_equal(mw_calendar_weekday(calendar, 0x81f, weekday, cold, 2), MW_OK);
    }
    /* June to November are warm, December to May cold. */
    assert_true(mw_calendar_rate(calendar, at("2027-06-01T03:00")) == 1);
    assert_true(mw_calendar_rate(calendar, at("2027-05-31T23:00")) == 0.57);
    assert_true(mw_calendar_rate(calendar, at("2027-12-01T03:00")) == 0);
    assert_true(mw_calendar_rate(calendar, at("2027-12-02T03:00")) == 0.57);
    assert_close(mw_calendar_amount(calendar, at("2027-01-01"), at("2027-02-01")),
                 31 * 12 * 3600 * 1.57, 1e-6);
    assert_close(mw_calendar_amount(calendar, at("2027-05-31"), at("2027-06-02")),
                 86400 + (7 + 5) * 3600 * 0.57 + 12 * 3600, 1e-6);
    assert_moment(mw_calendar_close(calendar, at("2027-06-03T12:00")), "2027-12-01");
    assert_moment(mw_calendar_advance(calendar, at("2027-01-11T19:00"), 12 * 3600 * 0.57),
                  "2027-01-12T07:00");
    mw_calendar_free(calendar);
}

static void test_special_days(void **state)
{
    (void)state;
    mw_calendar *calendar = shift(MONDAY_TO_FRIDAY, 8 * HOUR, 16 * HOUR);
    int32_t monday = day_of("2027-01-11");
    static const mw_stretch half[] = {{8 * HOUR, 12 * HOUR, 1}};
    assert_int_equal(mw_calendar_day(calendar, monday + 5, half, 1), MW_OK); /* a Saturday */
    assert_int_equal(mw_calendar_day(calendar, monday + 1, NULL, 0), MW_OK);
    assert_int_equal(mw_calendar_day(calendar, monday + 2, half, 1), MW_OK);
    double from = monday * MW_DAY_S;
    assert_close(mw_calendar_amount(calendar, from, from + 7 * MW_DAY_S), (3 * 8 + 2 * 4) * 3600,
                 0);
    assert_int_equal(mw_calendar_count_days(calendar, monday, monday + 6), 5);
    assert_moment(mw_calendar_advance(calendar, from, 12 * 3600), "2027-01-13T12:00");
    /* The same day again: the last word counts. */
    assert_int_equal(mw_calendar_day(calendar, monday + 1, half, 1), MW_OK);
    assert_moment(mw_calendar_advance(calendar, from, 12 * 3600), "2027-01-12T12:00");
    /* Weekdays set later do not touch days set apart. */
    open_days(calendar, EVERY_DAY, (const mw_stretch[]){{0, 24 * HOUR, 1}}, 1);
    assert_close(mw_calendar_amount(calendar, from, from + 7 * MW_DAY_S), (4 * 24 + 3 * 4) * 3600,
                 0);
    mw_calendar_free(calendar);
}

typedef struct refused_row {
    const char *name;
    mw_stretch stretches[3];
    unsigned months;
    int weekday;
    mw_status status;
} refused_row;

static const refused_row refused_rows[] = {
    {"well", {{0, 1440, 1}}, ALL_YEAR, 1, MW_OK},
    {"well, through the night", {{1439, 2879, 1}}, ALL_YEAR, 7, MW_OK},
    {"touching", {{0, 60, 1}, {60, 120, 1}}, ALL_YEAR, 1, MW_OK},
    {"overlapping", {{0, 61, 1}, {60, 120, 1}}, ALL_YEAR, 1, MW_FAILED},
    {"out of order", {{60, 120, 1}, {0, 60, 1}}, ALL_YEAR, 1, MW_FAILED},
    {"behind a night", {{1200, 1500, 1}, {1439, 1440, 1}}, ALL_YEAR, 1, MW_FAILED},
    {"backwards", {{60, 60, 1}}, ALL_YEAR, 1, MW_FAILED},
    {"before midnight", {{-1, 60, 1}}, ALL_YEAR, 1, MW_FAILED},
    {"after midnight", {{1440, 1500, 1}}, ALL_YEAR, 1, MW_FAILED},
    {"too long", {{60, 1501, 1}}, ALL_YEAR, 1, MW_FAILED},
    {"negative rate", {{0, 60, -1}}, ALL_YEAR, 1, MW_FAILED},
    {"no rate", {{0, 60, (double)NAN}}, ALL_YEAR, 1, MW_FAILED},
    {"infinite rate", {{0, 60, HUGE_VAL}}, ALL_YEAR, 1, MW_FAILED},
    {"weekday 0", {{0, 60, 1}}, ALL_YEAR, 0, MW_FAILED},
    {"weekday 8", {{0, 60, 1}}, ALL_YEAR, 8, MW_FAILED},
    {"month 13", {{0, 60, 1}}, 0x1000, 1, MW_FAILED},
    {"no month", {{0, 60, 1}}, 0, 1, MW_OK},
};

static void test_refused(void **state)
{
    const refused_row *row = *state;
    mw_calendar *calendar = mw_calendar_new();
    size_t count = stretches_of(row->stretches);
    assert_int_equal(
        mw_calendar_weekday(calendar, row->months, row->weekday, row->stretches, count),
        row->status);
    bool open = mw_calendar_open(calendar, 0) < HUGE_VAL;
    assert_int_equal(open, row->status == MW_OK && row->months != 0);
    if (row->months == ALL_YEAR && row->weekday == 1) {
        assert_int_equal(mw_calendar_day(calendar, 7, row->stretches, count), row->status);
    }
    mw_calendar_free(calendar);
}

static void test_strange_moments(void **state)
{
    (void)state;
    mw_calendar *calendar = shift(EVERY_DAY, 0, 24 * HOUR);
    assert_true(mw_calendar_advance(calendar, HUGE_VAL, 1) == HUGE_VAL);
    assert_true(mw_calendar_advance(calendar, 0, HUGE_VAL) == HUGE_VAL);
    assert_true(isnan(mw_calendar_advance(calendar, (double)NAN, 1)));
    assert_true(isnan(mw_calendar_advance(calendar, 0, (double)NAN)));
    assert_true(mw_calendar_advance(calendar, 1e20, 1) == HUGE_VAL);
    assert_true(mw_calendar_retreat(calendar, -HUGE_VAL, 1) == -HUGE_VAL);
    assert_true(mw_calendar_retreat(calendar, 0, HUGE_VAL) == -HUGE_VAL);
    assert_true(isnan(mw_calendar_retreat(calendar, (double)NAN, 1)));
    assert_true(mw_calendar_retreat(calendar, 1e20, 1) == -HUGE_VAL);
    assert_true(isnan(mw_calendar_amount(calendar, 0, HUGE_VAL)));
    assert_true(isnan(mw_calendar_amount(calendar, (double)NAN, 0)));
    assert_true(mw_calendar_open(calendar, HUGE_VAL) == HUGE_VAL);
    assert_true(mw_calendar_rate(calendar, HUGE_VAL) == 0);
    assert_true(mw_calendar_close(calendar, HUGE_VAL) == HUGE_VAL);
    assert_int_equal(mw_calendar_add_days(calendar, INT32_MAX, 1), INT32_MAX);
    assert_int_equal(mw_calendar_add_days(calendar, INT32_MIN, -1), INT32_MAX);
    mw_calendar_free(calendar);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "offset", offset_rows, test_offset);
    test_add_rows(&list, "count", count_rows, test_count);
    test_add_rows(&list, "hours", hours_rows, test_hours);
    test_add_rows(&list, "refused", refused_rows, test_refused);
    test_add(&list, test_rolled_days);
    test_add(&list, test_new_is_closed);
    test_add(&list, test_always_open);
    test_add(&list, test_night_shift);
    test_add(&list, test_night_meets_morning);
    test_add(&list, test_seasons);
    test_add(&list, test_special_days);
    test_add(&list, test_strange_moments);
    return test_run(&list, "calendar");
}
