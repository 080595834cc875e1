/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rate calendars: how fast something advances at each moment. A shift has rate 0 or 1; cure has
 * the rate that the room's day and night temperature gives it. One operation serves work, cure
 * and windows: advance by an amount from a time. Times are seconds since 1970-01-01T00:00;
 * amounts are seconds at rate 1. An amount of a microsecond is nothing: it never reaches past a
 * closing time. Asking changes nothing, so threads may share a calendar that is set up. */
#ifndef MOULDWRIGHT_CALENDAR_H
#define MOULDWRIGHT_CALENDAR_H

#include "mouldwright/date.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct mw_calendar mw_calendar;

/* A stretch of a day. `to_minute` may pass 1440: a night shift belongs to the day it starts.
 * Where it runs into stretches of the next day, those of the next day count. */
typedef struct mw_stretch {
    int from_minute; /* 0 to 1439 */
    int to_minute;   /* from_minute + 1 to from_minute + 1440 */
    double rate;     /* >= 0 */
} mw_stretch;

/* Returns a calendar that has rate 0 always, or NULL when there is no memory. */
mw_calendar *mw_calendar_new(void) MW_MUST_USE;
void mw_calendar_free(mw_calendar *calendar);

/* Sets what every `weekday` (1 Monday to 7 Sunday) in the months of `months` (bit 0 January ...
 * bit 11 December; 0xfff all year) looks like: `count` stretches in order, not overlapping;
 * none: closed. MW_FAILED when they overlap, are out of order or out of range; MW_NO_MEMORY;
 * nothing changes then. */
mw_status mw_calendar_weekday(mw_calendar *calendar, unsigned months, int weekday,
                              const mw_stretch *stretches, size_t count) MW_MUST_USE;
/* Sets one day apart from its weekday: a holiday (none), a part day, an extra shift. Setting it
 * again replaces it. */
mw_status mw_calendar_day(mw_calendar *calendar, int32_t day, const mw_stretch *stretches,
                          size_t count) MW_MUST_USE;

/* Returns the rate at a moment (the stretch that begins there counts). */
double mw_calendar_rate(const mw_calendar *calendar, double at_s);
/* Returns the earliest moment at which `amount_s` (>= 0) has been done since `from_s`. An amount
 * of 0 gives `from_s`. A result that falls on closing time is the closing time, not the next
 * opening. INFINITY when the calendar does not get there within 40 years; from INFINITY it is
 * INFINITY, NaN is handed through. */
double mw_calendar_advance(const mw_calendar *calendar, double from_s, double amount_s);
/* Returns the latest moment from which `amount_s` (>= 0) is done by `to_s`: an opening time, not
 * the closing before it. -INFINITY if none in 40 years. */
double mw_calendar_retreat(const mw_calendar *calendar, double to_s, double amount_s);
/* Returns what is done between two moments; negative when `to_s` is before `from_s`; NaN
 * for a moment that is not finite. */
double mw_calendar_amount(const mw_calendar *calendar, double from_s, double to_s);
/* Returns the first moment at or after `from_s` with a rate above 0; INFINITY if none in 40
 * years. */
double mw_calendar_open(const mw_calendar *calendar, double from_s);
/* Returns the end of the unbroken run of rate above 0 that `at_s` stands in (at_s if it stands in
 * none); INFINITY when it goes on for 40 years. */
double mw_calendar_close(const mw_calendar *calendar, double at_s);

/* A stretch of a day at one rate above 0, in seconds since its midnight (0 to 86,400). */
typedef struct mw_open_stretch {
    double from_s;
    double to_s;
    double rate;
} mw_open_stretch;

/* Gives the first `room` open stretches of a day in their order, what runs over from the day before
 * with them. Returns how many there are, which may be more than `room`. For those who ask about the
 * same days over and over. */
size_t mw_calendar_stretches(const mw_calendar *calendar, int32_t day, mw_open_stretch *stretches,
                             size_t room);

/* Whether a day has any stretch with a rate above 0 that starts on it. */
bool mw_calendar_works(const mw_calendar *calendar, int32_t day);
/* Returns the day `count` working days after `day` (before it, for a negative count); count 0
 * gives the day itself if it works, else the next that does. INT32_MAX if none within 40 years. */
int32_t mw_calendar_add_days(const mw_calendar *calendar, int32_t day, int count);
/* Returns the working days from `from` to `to`, both included; negative when to < from. */
int mw_calendar_count_days(const mw_calendar *calendar, int32_t from, int32_t to);

#ifdef __cplusplus
}
#endif

#endif
