/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Civil dates and ISO weeks, against published week dates and the C library. */
#include "measure_support.h"

#include <math.h>
#include <time.h>

#include "mouldwright/date.h"

/* --- days ------------------------------------------------------------------------------------ */

typedef struct day_row {
    const char *name;
    mw_date date;
    int32_t day;
    int weekday;
} day_row;

/* Source: Gregorian calendar; the ordinal of 2000-01-01 counted from 0001-01-01 as 1 is 730120. */
static const day_row day_rows[] = {
    {"1970-01-01", {1970, 1, 1}, 0, 4},      {"1969-12-31", {1969, 12, 31}, -1, 3},
    {"2000-01-01", {2000, 1, 1}, 10957, 6},  {"0001-01-01", {1, 1, 1}, 10957 - 730119, 1},
    {"2000-02-29", {2000, 2, 29}, 11016, 2}, {"9999-12-31", {9999, 12, 31}, 2932896, 5},
    {"2027-01-11", {2027, 1, 11}, 20829, 1},
};

static void test_day(void **state)
{
    const day_row *row = *state;
    mw_date back = mw_date_of_day(row->day);
    assert_true(mw_date_valid(row->date));
    assert_int_equal(mw_date_to_day(row->date), row->day);
    assert_int_equal(back.year, row->date.year);
    assert_int_equal(back.month, row->date.month);
    assert_int_equal(back.day, row->date.day);
    assert_int_equal(mw_day_weekday(row->day), row->weekday);
}

typedef struct valid_row {
    const char *name;
    mw_date date;
    bool valid;
} valid_row;

static const valid_row valid_rows[] = {
    {"leap day", {2024, 2, 29}, true},
    {"no leap day", {2023, 2, 29}, false},
    {"no leap day in 1900", {1900, 2, 29}, false},
    {"leap day in 2000", {2000, 2, 29}, true},
    {"30 February", {2024, 2, 30}, false},
    {"31 April", {2024, 4, 31}, false},
    {"31 December", {2024, 12, 31}, true},
    {"day 0", {2024, 1, 0}, false},
    {"month 0", {2024, 0, 1}, false},
    {"month 13", {2024, 13, 1}, false},
    {"year 0", {0, 1, 1}, false},
    {"year 1", {1, 1, 1}, true},
    {"year 10000", {10000, 1, 1}, false},
    {"negative day", {2024, 1, -1}, false},
};

static void test_valid(void **state)
{
    const valid_row *row = *state;
    assert_int_equal(mw_date_valid(row->date), row->valid);
}

/* Source: the rule of the Gregorian calendar. */
static void test_leap_years(void **state)
{
    (void)state;
    static const int years[] = {1600, 1700, 1800, 1900, 2000, 2100, 2023, 2024, 2400};
    static const bool leap[] = {true, false, false, false, true, false, false, true, true};
    for (size_t i = 0; i < sizeof years / sizeof years[0]; i++) {
        assert_int_equal(mw_year_leap(years[i]), leap[i]);
    }
}

/* --- weeks ----------------------------------------------------------------------------------- */

typedef struct week_row {
    const char *name; /* the date */
    const char *week; /* with the weekday */
} week_row;

/* Source: the list of "ISO week date" in the open encyclopaedia and in the tests and manuals of
 * public libraries for week dates; computed again from ISO 8601-1:2019. */
static const week_row week_rows[] = {
    {"2005-01-01", "2004-W53-6"}, {"2005-01-02", "2004-W53-7"}, {"2005-12-31", "2005-W52-6"},
    {"2006-01-01", "2005-W52-7"}, {"2006-01-02", "2006-W01-1"}, {"2006-12-31", "2006-W52-7"},
    {"2007-01-01", "2007-W01-1"}, {"2007-12-30", "2007-W52-7"}, {"2007-12-31", "2008-W01-1"},
    {"2008-01-01", "2008-W01-2"}, {"2008-12-28", "2008-W52-7"}, {"2008-12-29", "2009-W01-1"},
    {"2008-12-30", "2009-W01-2"}, {"2008-12-31", "2009-W01-3"}, {"2009-01-01", "2009-W01-4"},
    {"2009-12-31", "2009-W53-4"}, {"2010-01-01", "2009-W53-5"}, {"2010-01-02", "2009-W53-6"},
    {"2010-01-03", "2009-W53-7"}, {"1999-12-31", "1999-W52-5"}, {"2000-12-31", "2000-W52-7"},
    {"2001-12-31", "2002-W01-1"}, {"2002-12-31", "2003-W01-2"}, {"2003-12-31", "2004-W01-3"},
    {"2004-12-31", "2004-W53-5"}, {"2011-12-31", "2011-W52-6"}, {"1995-01-01", "1994-W52-7"},
    {"1996-12-31", "1997-W01-2"}, {"2016-01-01", "2015-W53-5"}, {"2012-12-31", "2013-W01-1"},
};

static void test_week(void **state)
{
    const week_row *row = *state;
    double seconds;
    bool exists;
    assert_int_equal(mw_date_read(mw_str_of(row->name), &seconds, &exists), 10);
    assert_true(exists);
    int32_t day = (int32_t)(seconds / MW_DAY_S);
    mw_text text = {0};
    mw_date_week_words(seconds + 3600, &text);
    mw_text_addf(&text, "-%d", mw_day_weekday(day));
    assert_text(&text, row->week);
    int year;
    int week;
    int32_t monday;
    mw_day_week(day, &year, &week);
    assert_true(mw_week_day(year, week, &monday));
    assert_int_equal(monday, day - mw_day_weekday(day) + 1);
}

static void test_weeks_that_are_not(void **state)
{
    (void)state;
    int32_t day = 77;
    assert_false(mw_week_day(2026, 0, &day));
    assert_false(mw_week_day(2026, 54, &day));
    assert_false(mw_week_day(2027, 53, &day));
    assert_false(mw_week_day(2027, -1, &day));
    assert_false(mw_week_day(2027, INT32_MAX, &day));
    assert_false(mw_week_day(0, 1, &day));
    assert_false(mw_week_day(10000, 1, &day));
    assert_int_equal(day, 77);
    assert_true(mw_week_day(2026, 53, &day));
    assert_int_equal(day, mw_date_to_day((mw_date){2026, 12, 28}));
}

/* Every day from 1850 to 2250, and random ones, as gmtime() and strftime() of the C library say. */
static void check_with_library(int32_t day)
{
    time_t seconds = (time_t)day * 86400;
    struct tm broken;
    assert_non_null(gmtime_r(&seconds, &broken));
    mw_date date = mw_date_of_day(day);
    assert_int_equal(date.year, broken.tm_year + 1900);
    assert_int_equal(date.month, broken.tm_mon + 1);
    assert_int_equal(date.day, broken.tm_mday);
    assert_int_equal(mw_date_to_day(date), day);
    assert_int_equal(mw_day_weekday(day) % 7, broken.tm_wday);
    char week[32];
    assert_true(strftime(week, sizeof week, "%G %V", &broken) > 0);
    int year;
    int number;
    mw_day_week(day, &year, &number);
    assert_int_equal(year, strtol(week, NULL, 10));
    assert_int_equal(number, strtol(strchr(week, ' '), NULL, 10));
}

static void test_as_the_library(void **state)
{
    (void)state;
    dice random = dice_start(31);
    for (int32_t day = -43829; day < 102270; day++) {
        check_with_library(day);
    }
    for (int i = 0; i < 20000; i++) {
        check_with_library(dice_below(&random, 3652059) - 719162);
    }
}

/* --- text ------------------------------------------------------------------------------------ */

typedef struct read_row {
    const char *name;
    size_t used;
    bool exists;
    double seconds;
} read_row;

#define D(day) ((day)*86400.0)

static const read_row read_rows[] = {
    {"2027-03-11", 10, true, D(20888)},
    {"2027-03-11T14:30", 16, true, D(20888) + 52200},
    {"2027-03-11T14:30:15", 19, true, D(20888) + 52215},
    {"2027-03-11T00:00", 16, true, D(20888)},
    {"2027-03-11T23:59:59", 19, true, D(20888) + 86399},
    {"2027-03-11 rest", 10, true, D(20888)},
    {"2027-03-11T", 10, true, D(20888)},
    {"2027-03-11T1:30", 10, true, D(20888)},
    {"2027-03-11T14", 10, true, D(20888)},
    {"2027-03-11T14:3", 10, true, D(20888)},
    {"2027-03-11T14:30:1", 16, true, D(20888) + 52200},
    {"2027-03-11T24:00", 16, false, 0},
    {"2027-03-11T23:60", 16, false, 0},
    {"2027-03-11T23:59:60", 19, false, 0},
    {"2027-02-29", 10, false, 0},
    {"2028-02-29", 10, true, D(21243)},
    {"2027-13-01", 10, false, 0},
    {"0000-01-01", 10, false, 0},
    {"0001-01-01", 10, true, D(-719162)},
    {"9999-12-31", 10, true, D(2932896)},
    {"2027-3-11", 0, false, 0},
    {"2027-03-1", 0, false, 0},
    {"2027-03-111", 0, false, 0},
    {"12027-03-11", 0, false, 0},
    {"2027/03/11", 0, false, 0},
    {"2027-03", 0, false, 0},
    {"2027", 0, false, 0},
    {"", 0, false, 0},
    {"-2027-03-11", 0, false, 0},
};

static void test_read(void **state)
{
    const read_row *row = *state;
    size_t length = strlen(row->name);
    char *exact = malloc(length + (length == 0));
    memcpy(exact, row->name, length);
    double seconds = 0;
    bool exists = false;
    assert_int_equal(mw_date_read((mw_str){exact, length}, &seconds, &exists), row->used);
    assert_int_equal(exists, row->exists);
    assert_true(seconds == row->seconds);
    free(exact);
}

typedef struct words_row {
    const char *name;
    double seconds;
    const char *day;
    const char *week;
} words_row;

static const words_row words_rows[] = {
    {"2027-03-11", D(20888), "Thu 2027-03-11", "2027-W10"},
    {"2027-03-11", D(20888) + 0.4, "Thu 2027-03-11", "2027-W10"},
    {"2027-03-11T00:00:01", D(20888) + 0.6, "Thu 2027-03-11", "2027-W10"},
    {"2027-03-11T14:30", D(20888) + 52200, "Thu 2027-03-11", "2027-W10"},
    {"2027-03-11T14:30:15", D(20888) + 52215, "Thu 2027-03-11", "2027-W10"},
    {"2027-03-12", D(20889) - 0.3, "Fri 2027-03-12", "2027-W10"},
    {"0001-01-01", D(-719162), "Mon 0001-01-01", "0001-W01"},
    {"9999-12-31T23:59:59", D(2932897) - 1, "Fri 9999-12-31", "9999-W52"},
    {"9999-12-31T23:59:59", D(2932897) - 0.6, "Fri 9999-12-31", "9999-W52"},
    {"no date", D(2932897) - 0.4, "no date", "no date"},
    {"0001-01-01", D(-719162) - 0.4, "Mon 0001-01-01", "0001-W01"},
    {"no date", D(-719162) - 0.6, "no date", "no date"},
    {"no date", D(2932897), "no date", "no date"},
    {"no date", D(-719163), "no date", "no date"},
    {"no date", HUGE_VAL, "no date", "no date"},
    {"no date", -HUGE_VAL, "no date", "no date"},
    {"no date", (double)NAN, "no date", "no date"},
};

static void test_words(void **state)
{
    const words_row *row = *state;
    mw_text text = {0};
    assert_int_equal(mw_moment_exists(row->seconds), strcmp(row->name, "no date") != 0);
    mw_date_words(row->seconds, &text);
    assert_text(&text, row->name);
    mw_date_day_words(row->seconds, &text);
    assert_text(&text, row->day);
    mw_date_week_words(row->seconds, &text);
    assert_text(&text, row->week);
}

/* read(written(x)) is x, for whole seconds. */
static void test_written_reads_back(void **state)
{
    (void)state;
    dice random = dice_start(32);
    mw_text text = {0};
    for (int i = 0; i < 100000; i++) {
        double seconds = D(dice_below(&random, 3652059) - 719162);
        seconds += dice_below(&random, 3) * dice_below(&random, 43200);
        double back = -1;
        bool exists = false;
        mw_text_clear(&text);
        mw_date_words(seconds, &text);
        assert_int_equal(mw_date_read(mw_str_of(mw_text_chars(&text)), &back, &exists),
                         text.length);
        assert_true(exists && back == seconds);
    }
    mw_text_free(&text);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "day", day_rows, test_day);
    test_add_rows(&list, "valid", valid_rows, test_valid);
    test_add_rows(&list, "week", week_rows, test_week);
    test_add_rows(&list, "read", read_rows, test_read);
    test_add_rows(&list, "words", words_rows, test_words);
    test_add(&list, test_leap_years);
    test_add(&list, test_weeks_that_are_not);
    test_add(&list, test_as_the_library);
    test_add(&list, test_written_reads_back);
    return test_run(&list, "date");
}
