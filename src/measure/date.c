/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Civil dates and ISO weeks. */
#include "mouldwright/date.h"

#include <math.h>

enum {
    ERA_YEARS = 400,
    ERA_DAYS = 146097,    /* of the Gregorian calendar in 400 years */
    EPOCH_SHIFT = 719468, /* days from 0000-03-01 to 1970-01-01 */
    LAST_YEAR = 9999
};

bool mw_year_leap(int year)
{
    return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
}

static int month_days(int year, int month)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return days[month - 1] + (month == 2 && mw_year_leap(year));
}

bool mw_date_valid(mw_date date)
{
    return date.year >= 1 && date.year <= LAST_YEAR && date.month >= 1 && date.month <= 12 &&
           date.day >= 1 && date.day <= month_days(date.year, date.month);
}

static int32_t floor_divide(int32_t a, int32_t b)
{
    return a / b - (a % b < 0);
}

/* Source: Hinnant, chrono-Compatible Low-Level Date Algorithms, days_from_civil. Years begin in
 * March, so that the leap day comes last. */
int32_t mw_date_to_day(mw_date date)
{
    int32_t year = date.year - (date.month <= 2);
    int32_t era = floor_divide(year, ERA_YEARS);
    int32_t year_of_era = year - era * ERA_YEARS;
    int32_t month = (date.month + 9) % 12;
    int32_t day_of_year = (153 * month + 2) / 5 + date.day - 1;
    int32_t day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
    return era * ERA_DAYS + day_of_era - EPOCH_SHIFT;
}

/* Source: the same, civil_from_days. */
mw_date mw_date_of_day(int32_t day)
{
    int64_t shifted = (int64_t)day + EPOCH_SHIFT;
    int32_t era = (int32_t)((shifted >= 0 ? shifted : shifted - (ERA_DAYS - 1)) / ERA_DAYS);
    uint32_t day_of_era = (uint32_t)(shifted - (int64_t)era * ERA_DAYS);
    uint32_t year_of_era =
        (day_of_era - day_of_era / 1460 + day_of_era / 36524 - day_of_era / 146096) / 365;
    uint32_t day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    uint32_t month = (5 * day_of_year + 2) / 153;
    mw_date out = {.day = (int)(day_of_year - (153 * month + 2) / 5 + 1),
                   .month = (int)(month < 10 ? month + 3 : month - 9)};
    out.year = (int)year_of_era + era * ERA_YEARS + (out.month <= 2);
    return out;
}

int mw_day_weekday(int32_t day)
{
    /* 1970-01-01 was a Thursday. */
    int64_t shifted = ((int64_t)day + 3) % 7;
    return (int)(shifted < 0 ? shifted + 8 : shifted + 1);
}

void mw_day_week(int32_t day, int *year, int *week)
{
    /* A week belongs to the year that its Thursday is in. */
    int32_t thursday = day - mw_day_weekday(day) + 4;
    mw_date date = mw_date_of_day(thursday);
    int32_t first = mw_date_to_day((mw_date){date.year, 1, 1});
    *year = date.year;
    *week = (thursday - first) / 7 + 1;
}

bool mw_week_day(int year, int week, int32_t *day)
{
    if (year < 1 || year > LAST_YEAR || week < 1) {
        return false;
    }
    /* The fourth of January is always in week 1. */
    int32_t fourth = mw_date_to_day((mw_date){year, 1, 4});
    int32_t monday = fourth - mw_day_weekday(fourth) + 1 + (week - 1) * 7;
    int found_year;
    int found_week;
    if (week > 53) {
        return false;
    }
    mw_day_week(monday, &found_year, &found_week);
    if (found_year != year) {
        return false;
    }
    *day = monday;
    return true;
}

/* --- text ------------------------------------------------------------------------------------ */

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Reads exactly `count` digits at `at` behind the character `before` (0: none). Returns -1 if
 * they do not stand there. */
static int read_field(mw_str text, size_t at, char before, size_t count)
{
    size_t first = at + (before != 0);
    if (first + count > text.length || (before != 0 && text.at[at] != before)) {
        return -1;
    }
    int value = 0;
    for (size_t i = first; i < first + count; i++) {
        if (!is_digit(text.at[i])) {
            return -1;
        }
        value = value * 10 + (text.at[i] - '0');
    }
    return value;
}

/* date = digit*4 "-" digit*2 "-" digit*2 [ "T" digit*2 ":" digit*2 [ ":" digit*2 ] ] */
size_t mw_date_read(mw_str text, double *seconds, bool *exists)
{
    mw_date date = {read_field(text, 0, 0, 4), read_field(text, 4, '-', 2),
                    read_field(text, 7, '-', 2)};
    size_t used = 10;
    if (date.year < 0 || date.month < 0 || date.day < 0 ||
        (text.length > used && is_digit(text.at[used]))) {
        return 0;
    }
    *exists = mw_date_valid(date);
    int hour = read_field(text, used, 'T', 2);
    int minute = hour < 0 ? -1 : read_field(text, used + 3, ':', 2);
    int second = 0;
    if (minute < 0) {
        hour = minute = 0;
    } else {
        used += 6;
        int given = read_field(text, used, ':', 2);
        second = given < 0 ? 0 : given;
        used += given < 0 ? 0 : 3;
    }
    *exists = *exists && hour < 24 && minute < 60 && second < 60;
    if (*exists) {
        *seconds = mw_date_to_day(date) * MW_DAY_S + hour * 3600 + minute * 60 + second;
    }
    return used;
}

/* Splits a moment into its day and the seconds since midnight. False outside the years 1 to
 * 9999. */
static bool split_moment(double seconds, int32_t *day, int32_t *second)
{
    double whole = floor(seconds + 0.5);
    double days = floor(whole / MW_DAY_S);
    double first = mw_date_to_day((mw_date){1, 1, 1});
    double last = mw_date_to_day((mw_date){LAST_YEAR, 12, 31});
    if (!(days >= first && days <= last)) {
        return false;
    }
    *day = (int32_t)days;
    *second = (int32_t)(whole - days * MW_DAY_S);
    return true;
}

bool mw_moment_exists(double seconds)
{
    int32_t day;
    int32_t second;
    return split_moment(seconds, &day, &second);
}

static void add_day(int32_t day, mw_text *out)
{
    mw_date date = mw_date_of_day(day);
    mw_text_addf(out, "%04d-%02d-%02d", date.year, date.month, date.day);
}

void mw_date_words(double seconds, mw_text *out)
{
    int32_t day;
    int32_t second;
    if (!split_moment(seconds, &day, &second)) {
        mw_text_adds(out, "no date");
        return;
    }
    add_day(day, out);
    if (second != 0) {
        mw_text_addf(out, "T%02d:%02d", second / 3600, second / 60 % 60);
    }
    if (second % 60 != 0) {
        mw_text_addf(out, ":%02d", second % 60);
    }
}

void mw_date_day_words(double seconds, mw_text *out)
{
    static const char *const names[] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
    int32_t day;
    int32_t second;
    if (!split_moment(seconds, &day, &second)) {
        mw_text_adds(out, "no date");
        return;
    }
    mw_text_adds(out, names[mw_day_weekday(day) - 1]);
    mw_text_addc(out, ' ');
    add_day(day, out);
}

void mw_date_week_words(double seconds, mw_text *out)
{
    int32_t day;
    int32_t second;
    int year;
    int week;
    if (!split_moment(seconds, &day, &second)) {
        mw_text_adds(out, "no date");
        return;
    }
    mw_day_week(day, &year, &week);
    mw_text_addf(out, "%04d-W%02d", year, week);
}
