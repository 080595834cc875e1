/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Days of a calendar, opened out and kept. */
#include "days.h"

#include <math.h>

#include "mouldwright/date.h"

/* As in the calendar: an amount below this is nothing. */
#define NOTHING_S 1e-6

/* Days beyond this are left to the calendar: they need not fit an int32_t. */
#define FARTHEST_DAY 1e8

/* What no day has: its place in the room is that of another day. */
enum { NO_DAY = INT32_MIN + 1 };

void plan_days_clear(plan_day *days)
{
    for (int i = 0; i < PLAN_DAY_ROOM; i++) {
        days[i].day = NO_DAY;
    }
}

static void open_out(plan_day *entry, const mw_calendar *calendar, int32_t day)
{
    entry->day = day;
    entry->count =
        (uint32_t)mw_calendar_stretches(calendar, day, entry->stretches, PLAN_DAY_STRETCHES);
    entry->total_s = 0.0;
    for (uint32_t i = 0; i < entry->count && i < PLAN_DAY_STRETCHES; i++) {
        const mw_open_stretch *part = &entry->stretches[i];
        entry->total_s += (part->to_s - part->from_s) * part->rate;
    }
}

/* Returns a day, or NULL where it has more stretches than are kept. */
static inline const plan_day *look_at(plan_day *days, const mw_calendar *calendar, int32_t day)
{
    plan_day *entry = &days[(uint32_t)day & (PLAN_DAY_ROOM - 1)];
    if (entry->day != day) {
        open_out(entry, calendar, day);
    }
    return entry->count <= PLAN_DAY_STRETCHES ? entry : NULL;
}

/* Splits a moment into its day and the second of it; false where it is too far away. */
static bool split(double at_s, int32_t *day, double *second)
{
    double days = at_s / MW_DAY_S;
    if (!(fabs(days) < FARTHEST_DAY)) {
        return false;
    }
    int32_t whole = (int32_t)days; /* towards zero: cheaper than floor() */
    whole -= (double)whole > days ? 1 : 0;
    *day = whole;
    *second = at_s - whole * MW_DAY_S;
    return true;
}

/* Takes what a day holds from `from_s` on off `*rest`. Returns the second at which that is done, or
 * a negative one where the day does not hold as much. */
static inline double reach(const plan_day *entry, double from_s, double *rest, bool *inside)
{
    for (uint32_t i = 0; i < entry->count; i++) {
        const mw_open_stretch *part = &entry->stretches[i];
        if (part->to_s <= from_s) {
            continue;
        }
        double begin_s = part->from_s > from_s ? part->from_s : from_s;
        double held_s = (part->to_s - begin_s) * part->rate;
        if (held_s + NOTHING_S >= *rest) {
            double done_s = begin_s + *rest / part->rate;
            done_s = part->to_s < done_s ? part->to_s : done_s;
            *inside = done_s - part->from_s > PLAN_INSIDE_S;
            return done_s;
        }
        *rest -= held_s;
    }
    return -1.0;
}

double plan_days_reach(plan_day *days, const mw_calendar *calendar, double from_s, double amount_s,
                       bool *inside)
{
    int32_t day;
    double second;
    *inside = false;
    if (!(amount_s > NOTHING_S) || !split(from_s, &day, &second)) {
        return mw_calendar_advance(calendar, from_s, amount_s);
    }
    double rest_s = amount_s;
    for (int i = 0; i < PLAN_DAYS_AT_MOST; i++) {
        const plan_day *entry = look_at(days, calendar, day + i);
        if (entry == NULL) {
            break;
        }
        if (i > 0 && entry->total_s + NOTHING_S < rest_s) {
            rest_s -= entry->total_s;
            continue;
        }
        double done_s = reach(entry, i == 0 ? second : 0.0, &rest_s, inside);
        if (done_s >= 0.0) {
            double at_s = (day + i) * MW_DAY_S + done_s;
            return at_s > from_s ? at_s : from_s;
        }
    }
    return mw_calendar_advance(calendar, from_s, amount_s);
}

double plan_days_advance(plan_day *days, const mw_calendar *calendar, double from_s,
                         double amount_s)
{
    bool inside;
    return plan_days_reach(days, calendar, from_s, amount_s, &inside);
}

double plan_days_open(plan_day *days, const mw_calendar *calendar, double from_s)
{
    int32_t day;
    double second;
    if (!split(from_s, &day, &second)) {
        return mw_calendar_open(calendar, from_s);
    }
    for (int i = 0; i < PLAN_DAYS_AT_MOST; i++) {
        const plan_day *entry = look_at(days, calendar, day + i);
        if (entry == NULL) {
            break;
        }
        for (uint32_t k = 0; k < entry->count; k++) {
            if (i > 0 || entry->stretches[k].to_s > second) {
                double at_s = (day + i) * MW_DAY_S + entry->stretches[k].from_s;
                return at_s > from_s ? at_s : from_s;
            }
        }
    }
    return mw_calendar_open(calendar, from_s);
}

double plan_days_close(plan_day *days, const mw_calendar *calendar, double at_s)
{
    int32_t day;
    double second;
    const plan_day *entry = split(at_s, &day, &second) ? look_at(days, calendar, day) : NULL;
    if (entry == NULL) {
        return mw_calendar_close(calendar, at_s);
    }
    uint32_t i = 0;
    while (i < entry->count && entry->stretches[i].to_s <= second) {
        i++;
    }
    if (i == entry->count || entry->stretches[i].from_s > second) {
        return at_s;
    }
    while (i + 1 < entry->count && entry->stretches[i + 1].from_s <= entry->stretches[i].to_s) {
        i++;
    }
    /* through midnight the calendar knows the way */
    return entry->stretches[i].to_s < MW_DAY_S ? day * MW_DAY_S + entry->stretches[i].to_s
                                               : mw_calendar_close(calendar, at_s);
}

double plan_days_rate(plan_day *days, const mw_calendar *calendar, double at_s)
{
    int32_t day;
    double second;
    const plan_day *entry = split(at_s, &day, &second) ? look_at(days, calendar, day) : NULL;
    if (entry == NULL) {
        return mw_calendar_rate(calendar, at_s);
    }
    for (uint32_t i = 0; i < entry->count && entry->stretches[i].from_s <= second; i++) {
        if (second < entry->stretches[i].to_s) {
            return entry->stretches[i].rate;
        }
    }
    return 0.0;
}

/* What a day holds between two of its seconds. */
static double held_between(const plan_day *entry, double from_s, double to_s)
{
    double held_s = 0.0;
    for (uint32_t i = 0; i < entry->count; i++) {
        const mw_open_stretch *part = &entry->stretches[i];
        double open_s = fmin(part->to_s, to_s) - fmax(part->from_s, from_s);
        held_s += open_s > 0.0 ? open_s * part->rate : 0.0;
    }
    return held_s;
}

double plan_days_amount(plan_day *days, const mw_calendar *calendar, double from_s, double to_s)
{
    int32_t first, last;
    double from_second, to_second;
    if (!(from_s <= to_s) || !split(from_s, &first, &from_second) ||
        !split(to_s, &last, &to_second) || last - first > PLAN_DAYS_AT_MOST) {
        return mw_calendar_amount(calendar, from_s, to_s);
    }
    double amount_s = 0.0;
    for (int32_t day = first; day <= last; day++) {
        const plan_day *entry = look_at(days, calendar, day);
        if (entry == NULL) {
            return mw_calendar_amount(calendar, from_s, to_s);
        }
        bool inside = day > first && day < last;
        amount_s += inside ? entry->total_s
                           : held_between(entry, day == first ? from_second : 0.0,
                                          day == last ? to_second : MW_DAY_S);
    }
    return amount_s;
}
