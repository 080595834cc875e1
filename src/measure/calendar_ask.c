/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rate calendars: asking them. */
#include "mouldwright/calendar.h"

#include <math.h>

#include "calendar_days.h"

/* A moment as a day and the seconds since its midnight. */
typedef struct moment {
    int32_t day;
    double second;
} moment;

static moment moment_of(double at_s)
{
    double day = floor(at_s / MW_DAY_S);
    return (moment){(int32_t)day, at_s - day * MW_DAY_S};
}

static double seconds_of(int32_t day, double second)
{
    return day * MW_DAY_S + second;
}

static bool is_near(double at_s)
{
    return fabs(at_s) < FARTHEST_S;
}

static double larger(double a, double b)
{
    return a > b ? a : b;
}

static double smaller(double a, double b)
{
    return a < b ? a : b;
}

/* Returns what is done on a day between two of its seconds. */
static double amount_of_day(day_walk walk, double from_s, double to_s)
{
    double amount = 0;
    segment part;
    while (next_segment(&walk, &part) && part.from_s < to_s) {
        double open_s = smaller(part.to_s, to_s) - larger(part.from_s, from_s);
        amount += open_s > 0 ? open_s * part.rate : 0;
    }
    return amount;
}

double mw_calendar_rate(const mw_calendar *calendar, double at_s)
{
    if (!is_near(at_s)) {
        return 0;
    }
    moment at = moment_of(at_s);
    day_walk walk = walk_day(calendar, at.day);
    segment part;
    while (next_segment(&walk, &part) && part.from_s <= at.second) {
        if (at.second < part.to_s) {
            return part.rate;
        }
    }
    return 0;
}

double mw_calendar_amount(const mw_calendar *calendar, double from_s, double to_s)
{
    if (!is_near(from_s) || !is_near(to_s)) {
        return (double)NAN;
    }
    if (to_s < from_s) {
        return -mw_calendar_amount(calendar, to_s, from_s);
    }
    moment from = moment_of(from_s);
    moment to = moment_of(to_s);
    day_walk walk = walk_day(calendar, from.day);
    if (from.day == to.day) {
        return amount_of_day(walk, from.second, to.second);
    }
    double amount = amount_of_day(walk, from.second, MW_DAY_S);
    amount += sum_days(calendar, TALLY_SECONDS, from.day + 1, to.day);
    return amount + amount_of_day(walk_day(calendar, to.day), 0, to.second);
}

/* Finds the earliest second of a day at which `*rest` is done, counting from `from_s` on. If the
 * day ends before, takes what it holds off `*rest`, sets the last closing time and returns
 * false. */
static bool reach_on_day(day_walk walk, double from_s, double *rest, double *second)
{
    segment part;
    *second = from_s;
    while (next_segment(&walk, &part)) {
        double begin_s = larger(part.from_s, from_s);
        double held = (part.to_s - begin_s) * part.rate;
        if (part.to_s <= from_s) {
            continue;
        }
        if (held + NOTHING_S >= *rest) {
            *second = smaller(part.to_s, begin_s + *rest / part.rate);
            return true;
        }
        *rest -= held;
        *second = part.to_s;
    }
    return false;
}

double mw_calendar_advance(const mw_calendar *calendar, double from_s, double amount_s)
{
    if (isnan(from_s) || isnan(amount_s) || from_s == HUGE_VAL) {
        return from_s + amount_s;
    }
    if (amount_s <= NOTHING_S) {
        return from_s;
    }
    if (!is_near(from_s)) {
        return HUGE_VAL;
    }
    moment from = moment_of(from_s);
    double rest = amount_s;
    double second;
    if (reach_on_day(walk_day(calendar, from.day), from.second, &rest, &second)) {
        return larger(from_s, seconds_of(from.day, second));
    }
    int32_t last = from.day + HORIZON_DAYS;
    int32_t day = find_forward(calendar, TALLY_SECONDS, from.day + 1, last, &rest);
    if (day == INT32_MAX) {
        return HUGE_VAL;
    }
    reach_on_day(walk_day(calendar, day), 0, &rest, &second);
    return seconds_of(day, second);
}

/* Returns the latest second of a day from which `rest` is done by `to_s`. The day holds as much. */
static double leave_on_day(day_walk walk, double to_s, double rest)
{
    double before = amount_of_day(walk, 0, to_s) - rest; /* what may be done before it */
    double done = 0;
    double second = 0;
    segment part;
    while (next_segment(&walk, &part) && part.from_s < to_s && done <= before + NOTHING_S) {
        double wanted_s = larger(0, before - done) / part.rate;
        second = smaller(part.from_s + wanted_s, part.to_s);
        done += (part.to_s - part.from_s) * part.rate;
    }
    return second;
}

double mw_calendar_retreat(const mw_calendar *calendar, double to_s, double amount_s)
{
    if (isnan(to_s) || isnan(amount_s) || to_s == -HUGE_VAL) {
        return to_s - amount_s;
    }
    if (amount_s <= NOTHING_S) {
        return to_s;
    }
    if (!is_near(to_s)) {
        return -HUGE_VAL;
    }
    moment to = moment_of(to_s);
    day_walk walk = walk_day(calendar, to.day);
    double held = amount_of_day(walk, 0, to.second);
    if (held + NOTHING_S >= amount_s) {
        return smaller(to_s, seconds_of(to.day, leave_on_day(walk, to.second, amount_s)));
    }
    double rest = amount_s - held;
    int32_t first = to.day - HORIZON_DAYS;
    int32_t day = find_backward(calendar, TALLY_SECONDS, to.day - 1, first, &rest);
    if (day == INT32_MAX) {
        return -HUGE_VAL;
    }
    return seconds_of(day, leave_on_day(walk_day(calendar, day), MW_DAY_S, rest));
}

double mw_calendar_open(const mw_calendar *calendar, double from_s)
{
    if (!is_near(from_s)) {
        return from_s > 0 ? HUGE_VAL : from_s;
    }
    moment from = moment_of(from_s);
    day_walk walk = walk_day(calendar, from.day);
    segment part;
    while (next_segment(&walk, &part)) {
        if (part.to_s > from.second) {
            return larger(from_s, seconds_of(from.day, part.from_s));
        }
    }
    double rest = 2 * NOTHING_S;
    int32_t day =
        find_forward(calendar, TALLY_SECONDS, from.day + 1, from.day + HORIZON_DAYS, &rest);
    if (day == INT32_MAX) {
        return HUGE_VAL;
    }
    walk = walk_day(calendar, day);
    return next_segment(&walk, &part) ? seconds_of(day, part.from_s) : HUGE_VAL;
}

/* Returns the second up to which a day is open from `second` on without a break. */
static double close_on_day(day_walk walk, double second)
{
    segment part;
    while (next_segment(&walk, &part) && part.from_s <= second) {
        second = larger(second, part.to_s);
    }
    return second;
}

/* Returns the first day from `day` on that is not open from midnight to midnight. */
static int32_t first_broken_day(const mw_calendar *calendar, int32_t day, int32_t last)
{
    while (day <= last) {
        month_at at = month_of_day(day);
        size_t next = special_from(calendar, day);
        int32_t end = at.first + at.length;
        bool plain = next == calendar->special_count || calendar->specials[next].day >= end;
        if (plain && calendar->gapless[at.month]) {
            day = end;
        } else if (close_on_day(walk_day(calendar, day), 0) < MW_DAY_S) {
            break;
        } else {
            day++;
        }
    }
    return day;
}

double mw_calendar_close(const mw_calendar *calendar, double at_s)
{
    if (!(mw_calendar_rate(calendar, at_s) > 0)) {
        return at_s;
    }
    moment at = moment_of(at_s);
    double second = close_on_day(walk_day(calendar, at.day), at.second);
    if (second < MW_DAY_S) {
        return seconds_of(at.day, second);
    }
    int32_t last = at.day + HORIZON_DAYS;
    int32_t day = first_broken_day(calendar, at.day + 1, last);
    return day > last ? HUGE_VAL : seconds_of(day, close_on_day(walk_day(calendar, day), 0));
}

size_t mw_calendar_stretches(const mw_calendar *calendar, int32_t day, mw_open_stretch *stretches,
                             size_t room)
{
    day_walk walk = walk_day(calendar, day);
    segment part;
    size_t count = 0;
    while (next_segment(&walk, &part)) {
        if (count < room) {
            stretches[count] = (mw_open_stretch){part.from_s, part.to_s, part.rate};
        }
        count++;
    }
    return count;
}

bool mw_calendar_works(const mw_calendar *calendar, int32_t day)
{
    return calendar->patterns[pattern_of_day(calendar, day)].works;
}

int32_t mw_calendar_add_days(const mw_calendar *calendar, int32_t day, int count)
{
    if (!is_near(seconds_of(day, 0)) || (count == 0 && mw_calendar_works(calendar, day))) {
        return count == 0 ? day : INT32_MAX;
    }
    double rest = count == 0 ? 1 : fabs((double)count);
    if (count < 0) {
        return find_backward(calendar, TALLY_DAYS, day - 1, day - HORIZON_DAYS, &rest);
    }
    return find_forward(calendar, TALLY_DAYS, day + 1, day + HORIZON_DAYS, &rest);
}

int mw_calendar_count_days(const mw_calendar *calendar, int32_t from, int32_t to)
{
    if (to < from) {
        return -mw_calendar_count_days(calendar, to, from);
    }
    return (int)sum_days(calendar, TALLY_DAYS, from, to + 1);
}
