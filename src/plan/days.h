/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A calendar with the days that were asked for last, opened out. A search asks about the same few
 * months thousands of times; to work out what a date is and which patterns hold there each time
 * takes ten times as long as the answer itself. */
#ifndef PLAN_DAYS_H
#define PLAN_DAYS_H

#include "mouldwright/calendar.h"

enum {
    PLAN_DAY_ROOM = 256,    /* days that are kept: a power of two */
    PLAN_DAY_STRETCHES = 4, /* a day with more of them is left to the calendar */
    PLAN_DAYS_AT_MOST = 64  /* a way over more days is left to the calendar, which knows months */
};

#define PLAN_INSIDE_S (1.0 / 256.0)

typedef struct plan_day {
    int32_t day;
    uint32_t count; /* 0 with `total_s` 0: closed; over PLAN_DAY_STRETCHES: not opened out */
    double total_s; /* what the whole day holds */
    mw_open_stretch stretches[PLAN_DAY_STRETCHES];
} plan_day;

/* Empties `days`, PLAN_DAY_ROOM of them. */
void plan_days_clear(plan_day *days);

/* As mw_calendar_advance(), _open(), _rate() and _amount(); `days` were cleared and have served no
 * other calendar. The answers are the same but for rounding. */
double plan_days_advance(plan_day *days, const mw_calendar *calendar, double from_s,
                         double amount_s);
/* As plan_days_advance(). `*inside`: it is known that the calendar was open for the last PLAN_INSIDE_S
 * before the moment that is returned. */
double plan_days_reach(plan_day *days, const mw_calendar *calendar, double from_s, double amount_s,
                       bool *inside);
double plan_days_open(plan_day *days, const mw_calendar *calendar, double from_s);
/* As mw_calendar_close(). */
double plan_days_close(plan_day *days, const mw_calendar *calendar, double at_s);
double plan_days_rate(plan_day *days, const mw_calendar *calendar, double at_s);
double plan_days_amount(plan_day *days, const mw_calendar *calendar, double from_s, double to_s);

#endif
