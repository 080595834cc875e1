/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Working-hour arithmetic: day shifts, split shifts, night shifts, forwards and backwards.
 *  The table moves a result that falls on closing time to the next opening (and, going
 * backwards, one on opening time to the closing before). Ours reports the closing time, since
 * that is when the work is done; the results are moved before they are compared. */
#include "measure_support.h"

#include <math.h>

#include "mouldwright/calendar.h"

enum { MOST_ROWS = 400, MOST_WINDOWS = 4 };

typedef struct hours_row {
    double hours;
    char windows[40];
    double start_s;
    double expected_s;
} hours_row;

static hours_row rows[MOST_ROWS];
static int count;

static double moment_of(const char *text)
{
    double seconds = 0;
    bool exists = false;
    assert_int_equal(mw_date_read(mw_str_of(text), &seconds, &exists), strlen(text));
    assert_true(exists);
    return seconds;
}

/* "19:00-01:00;03:00-05:00" on Monday to Friday: each window belongs to the day it starts on, so
 * the second is in the early morning of the same day. */
static mw_calendar *read_windows(const char *text)
{
    mw_stretch windows[MOST_WINDOWS];
    size_t windows_read = 0;
    for (const char *at = text; at != NULL; at = strchr(at, ';')) {
        int from_hour, from_minute, to_hour, to_minute;
        at += *at == ';';
        assert_int_equal(sscanf(at, "%d:%d-%d:%d", &from_hour, &from_minute, &to_hour, &to_minute),
                         4);
        mw_stretch window = {from_hour * 60 + from_minute, to_hour * 60 + to_minute, 1};
        window.to_minute += window.to_minute <= window.from_minute ? 1440 : 0;
        size_t place = windows_read++;
        for (; place > 0 && windows[place - 1].from_minute > window.from_minute; place--) {
            windows[place] = windows[place - 1];
        }
        windows[place] = window;
    }
    mw_calendar *calendar = mw_calendar_new();
    for (int weekday = 1; weekday <= 5; weekday++) {
        assert_int_equal(mw_calendar_weekday(calendar, 0xfff, weekday, windows, windows_read),
                         MW_OK);
    }
    return calendar;
}

static void test_hours(void **state)
{
    const hours_row *row = *state;
    mw_calendar *calendar = read_windows(row->windows);
    double amount_s = fabs(row->hours) * 3600;
    double got;
    if (row->hours > 0) {
        got = mw_calendar_advance(calendar, row->start_s, amount_s);
        assert_close(mw_calendar_amount(calendar, row->start_s, got), amount_s, 1e-6);
        got = mw_calendar_open(calendar, got);
    } else {
        got = mw_calendar_retreat(calendar, row->start_s, amount_s);
        assert_close(mw_calendar_amount(calendar, got, row->start_s), amount_s, 1e-6);
        /* A minute earlier in working time, and that minute again. */
        got = mw_calendar_retreat(calendar, got, 60) + 60;
    }
    if (got != row->expected_s) {
        mw_text text = {0};
        mw_date_words(got, &text);
        mw_text_adds(&text, ", not ");
        mw_date_words(row->expected_s, &text);
        print_error("%s\n", mw_text_chars(&text));
        mw_text_free(&text);
    }
    assert_close(got, row->expected_s, 1e-6);
    mw_calendar_free(calendar);
}

static void test_how_many(void **state)
{
    (void)state;
    assert_int_equal(count, 268);
}

static void add_row(test_list *list, char *line)
{
    char *fields[6];
    if (csv_split(line, fields, 6) < 6 || strcmp(fields[0], "group") == 0 || count == MOST_ROWS) {
        return;
    }
    hours_row *row = &rows[count++];
    row->hours = strtod(fields[1], NULL);
    snprintf(row->windows, sizeof row->windows, "%s", fields[2]);
    row->start_s = moment_of(fields[4]);
    row->expected_s = moment_of(fields[5]);
    char name[200];
    snprintf(name, sizeof name, "%s h on %s from %s", fields[1], fields[2], fields[4]);
    test_add_named(list, name, test_hours, row);
}

/* Source: pandas 1.5.3, tests/tseries/offsets/test_business_hour.py. */
int main(void)
{
    test_list list = {0};
    FILE *file = checks_open("data/calendars/shift_hours.csv");
    if (file == NULL) {
        test_add_named(&list, "shift hours: data absent", data_absent, NULL);
        return test_run(&list, "shift_hours");
    }
    char line[512];
    while (fgets(line, sizeof line, file) != NULL) {
        add_row(&list, line);
    }
    fclose(file);
    test_add_named(&list, "how many rows", test_how_many, NULL);
    return test_run(&list, "shift_hours");
}
