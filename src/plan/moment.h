/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Moments of a plan. They are kept in whole 1024ths of a second, so that moments that mean the same
 * are equal in spite of rounding, and can be compared without a tolerance. */
#ifndef PLAN_MOMENT_H
#define PLAN_MOMENT_H

#include <math.h>

#include "days.h"
#include "mouldwright/plan.h"

/* Infinities as doubles: INFINITY is a float. */
#define PLAN_NEVER    HUGE_VAL
#define PLAN_ANY_TIME (-HUGE_VAL)

/* The years 1 to 9999: beyond that nothing ever happens. */
#define PLAN_FIRST_S (-62135596800.0)
#define PLAN_LAST_S  253402300799.0

/* Returns the nearest moment; INFINITY beyond the last, -INFINITY before the first. */
double plan_moment(double at_s);

/* A calendar with the run that was found in it last: asking again inside it costs nothing. */
typedef struct plan_clock {
    const mw_calendar *calendar;
    plan_day *days;         /* PLAN_DAY_ROOM of them, of this calendar */
    double open_s, close_s; /* open without a break from one to the other; equal: no run known */
} plan_clock;

/* Returns the moment at which `amount_s` has been done since `from_s`; PLAN_NEVER: never. Unlike
 * mw_calendar_advance() it is not carried over a closing by a rounding error. */
double plan_advance(plan_clock *clock, double from_s, double amount_s);

/* As mw_calendar_open(), mw_calendar_close() and mw_calendar_amount(). */
double plan_open(const plan_clock *clock, double from_s);
double plan_close(plan_clock *clock, double at_s);
double plan_amount(plan_clock *clock, double from_s, double to_s);

/* Where an activity's work fits its calendar. */
typedef struct plan_span {
    double start_s; /* PLAN_NEVER: nowhere */
    double end_s;
    bool passed; /* it had to pass by a moment at which the calendar was open */
} plan_span;

/* Returns the earliest span of the activity on its calendar that starts at or after `start_s` and
 * ends at or after `end_s`. An activity without work is a moment and needs no open calendar. Looks
 * about 400 days ahead for a run that the work of an activity that may not be interrupted fits
 * in. */
plan_span plan_fit(plan_clock *clock, const mw_plan_activity *activity, double start_s,
                   double end_s);

#endif
