/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Civil dates without time zones: proleptic Gregorian calendar, ISO 8601 weeks.
 * Source: ISO 8601-1:2019; day counts after Hinnant, chrono-Compatible Low-Level Date
 * Algorithms. */
#ifndef MOULDWRIGHT_DATE_H
#define MOULDWRIGHT_DATE_H

#include "mouldwright/text.h"

#ifdef __cplusplus
extern "C" {
#endif

#define MW_DAY_S 86400.0

typedef struct mw_date {
    int year;  /* 1 to 9999 */
    int month; /* 1 to 12 */
    int day;   /* 1 to 31 */
} mw_date;

/* Returns whether the date exists. */
bool mw_date_valid(mw_date date);
bool mw_year_leap(int year);
/* Days since 1970-01-01, and back. */
int32_t mw_date_to_day(mw_date date);
mw_date mw_date_of_day(int32_t day);
/* ISO weekday: 1 Monday to 7 Sunday. */
int mw_day_weekday(int32_t day);
/* ISO week: sets the week-numbering year and the week (1 to 53). */
void mw_day_week(int32_t day, int *year, int *week);
/* Returns the Monday of an ISO week; false (nothing set) when the week does not exist. */
bool mw_week_day(int year, int week, int32_t *day);

/* Reads `2027-03-11`, `2027-03-11T14:30` or `2027-03-11T14:30:15` at the start of `text`; sets
 * seconds since 1970-01-01T00:00. Returns the bytes used; 0 when the form is not there;
 * `*exists` false when the form is there but no such date. */
size_t mw_date_read(mw_str text, double *seconds, bool *exists);
/* Whether a moment, rounded to whole seconds, falls into the years 1 to 9999, which alone can be
 * written; false for NaN. */
bool mw_moment_exists(double seconds);
/* Adds `2027-03-11`, and `T14:30` (or `T14:30:15`) unless at midnight; rounds to whole seconds.
 * These three add `no date` for a moment that does not exist. */
void mw_date_words(double seconds, mw_text *out);
/* Adds `Thu 2027-03-11` for the day that the moment is in. */
void mw_date_day_words(double seconds, mw_text *out);
/* Adds `2027-W10`. */
void mw_date_week_words(double seconds, mw_text *out);

#ifdef __cplusplus
}
#endif

#endif
