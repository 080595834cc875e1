/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rate calendars by the day. Weekdays repeat, so what a month holds depends only on which month
 * it is and on which weekday it begins; days set apart are kept beside that as differences. Long
 * spans are walked month by month. */
#include "calendar_days.h"

/* --- months ---------------------------------------------------------------------------------- */

static int month_length(int year, int month)
{
    static const int days[MONTHS] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return days[month] + (month == 1 && mw_year_leap(year));
}

month_at month_of_day(int32_t day)
{
    mw_date date = mw_date_of_day(day);
    month_at out = {.first = day - date.day + 1, .year = date.year, .month = date.month - 1};
    out.weekday = mw_day_weekday(out.first) - 1;
    out.length = month_length(out.year, out.month);
    return out;
}

month_at next_month(month_at at)
{
    month_at out = {.first = at.first + at.length,
                    .year = at.year + (at.month == MONTHS - 1),
                    .month = (at.month + 1) % MONTHS,
                    .weekday = (at.weekday + at.length) % WEEKDAYS};
    out.length = month_length(out.year, out.month);
    return out;
}

month_at month_before(month_at at)
{
    month_at out = {.year = at.year - (at.month == 0), .month = (at.month + MONTHS - 1) % MONTHS};
    out.length = month_length(out.year, out.month);
    out.first = at.first - out.length;
    out.weekday = (at.weekday + LONGEST_MONTH * WEEKDAYS - out.length) % WEEKDAYS;
    return out;
}

/* --- one day --------------------------------------------------------------------------------- */

size_t special_from(const mw_calendar *calendar, int32_t day)
{
    const special *all = calendar->specials;
    size_t count = calendar->special_count;
    if (count == 0 || day <= all[0].day) {
        return 0;
    }
    if (day > all[count - 1].day) {
        return count;
    }
    /* Halving without a branch that depends on the days: they are hard to foresee. */
    size_t low = 0;
    while (count > 1) {
        size_t half = count / 2;
        low += all[low + half - 1].day < day ? half : 0;
        count -= half;
    }
    return low;
}

static const special *find_special(const mw_calendar *calendar, int32_t day)
{
    size_t at = special_from(calendar, day);
    bool found = at < calendar->special_count && calendar->specials[at].day == day;
    return found ? &calendar->specials[at] : NULL;
}

/* The pattern that the weekday has in its month. */
static uint32_t weekday_pattern(const mw_calendar *calendar, int32_t day)
{
    return calendar->weekdays[mw_date_of_day(day).month - 1][mw_day_weekday(day) - 1];
}

uint32_t pattern_of_day(const mw_calendar *calendar, int32_t day)
{
    const special *apart = find_special(calendar, day);
    return apart != NULL ? apart->own : weekday_pattern(calendar, day);
}

day_walk walk_patterns(const mw_calendar *calendar, uint32_t own, uint32_t previous)
{
    const pattern *before = &calendar->patterns[previous];
    return (day_walk){.own = &calendar->patterns[own],
                      .spill_minutes = before->spill_minutes,
                      .spill_rate = before->spill_rate};
}

day_walk walk_day(const mw_calendar *calendar, int32_t day)
{
    const special *apart = find_special(calendar, day);
    if (apart != NULL) {
        return walk_patterns(calendar, apart->own, apart->previous);
    }
    mw_date date = mw_date_of_day(day);
    int weekday = mw_day_weekday(day) - 1;
    int month = date.month - 1;
    int month_yesterday = date.day > 1 ? month : (month + MONTHS - 1) % MONTHS;
    return walk_patterns(calendar, calendar->weekdays[month][weekday],
                         calendar->weekdays[month_yesterday][(weekday + WEEKDAYS - 1) % WEEKDAYS]);
}

static segment segment_of(int from_minute, int to_minute, double rate)
{
    return (segment){from_minute * (double)MINUTE_S, to_minute * (double)MINUTE_S, rate};
}

static int smaller(int a, int b)
{
    return a < b ? a : b;
}

bool next_segment(day_walk *walk, segment *out)
{
    for (;;) {
        bool more = walk->next < walk->own->count;
        int own_from = more ? walk->own->items[walk->next].from_minute : DAY_MINUTES;
        if (walk->at < walk->spill_minutes && walk->at < own_from) {
            int to = smaller(walk->spill_minutes, own_from);
            *out = segment_of(walk->at, to, walk->spill_rate);
            walk->at = to;
            return true;
        }
        if (!more) {
            return false;
        }
        const mw_stretch *item = &walk->own->items[walk->next++];
        walk->at = smaller(item->to_minute, DAY_MINUTES);
        if (item->rate > 0) {
            *out = segment_of(item->from_minute, walk->at, item->rate);
            return true;
        }
    }
}

/* --- tallies --------------------------------------------------------------------------------- */

typedef struct day_tally {
    double value[TALLY_COUNT];
    bool gapless;
} day_tally;

static day_tally tally_day(const mw_calendar *calendar, uint32_t own, uint32_t previous)
{
    day_tally out = {.gapless = false};
    day_walk walk = walk_patterns(calendar, own, previous);
    segment part;
    double open_s = 0;
    while (next_segment(&walk, &part)) {
        out.value[TALLY_SECONDS] += (part.to_s - part.from_s) * part.rate;
        open_s += part.to_s - part.from_s;
    }
    out.value[TALLY_DAYS] = calendar->patterns[own].works;
    out.gapless = open_s == MW_DAY_S;
    return out;
}

static void tally_month(mw_calendar *calendar, int month)
{
    const uint32_t *own = calendar->weekdays[month];
    const uint32_t *before = calendar->weekdays[(month + MONTHS - 1) % MONTHS];
    day_tally first[WEEKDAYS]; /* of the month */
    day_tally later[WEEKDAYS];
    calendar->gapless[month] = true;
    for (int i = 0; i < WEEKDAYS; i++) {
        int yesterday = (i + WEEKDAYS - 1) % WEEKDAYS;
        first[i] = tally_day(calendar, own[i], before[yesterday]);
        later[i] = tally_day(calendar, own[i], own[yesterday]);
        calendar->gapless[month] = calendar->gapless[month] && first[i].gapless && later[i].gapless;
    }
    for (int which = 0; which < TALLY_COUNT; which++) {
        month_tally *sums = &calendar->tallies[which][month];
        for (int begin = 0; begin < WEEKDAYS; begin++) {
            double sum = 0;
            for (int days = 0; days < WEEKDAYS; days++) {
                sums->part[begin][days] = sum;
                sum += later[(begin + days) % WEEKDAYS].value[which];
            }
            sums->week = begin == 0 ? sum : sums->week;
            sums->first_more[begin] = first[begin].value[which] - later[begin].value[which];
        }
    }
}

void tally_months(mw_calendar *calendar, unsigned months)
{
    /* A stretch of a month's last day may run into the first of the next. */
    unsigned touched = months | months << 1 | (months >> (MONTHS - 1) & 1);
    for (int month = 0; month < MONTHS; month++) {
        if ((touched >> month & 1) != 0) {
            tally_month(calendar, month);
        }
    }
}

static void add_special(mw_calendar *calendar, int32_t day, uint32_t own, uint32_t previous)
{
    special added = {.day = day, .own = own, .previous = previous};
    day_tally now = tally_day(calendar, own, previous);
    day_tally usual =
        tally_day(calendar, weekday_pattern(calendar, day), weekday_pattern(calendar, day - 1));
    for (int which = 0; which < TALLY_COUNT; which++) {
        double until = calendar->special_count > 0
                           ? calendar->specials[calendar->special_count - 1].until[which]
                           : 0;
        added.more[which] = now.value[which] - usual.value[which];
        added.until[which] = until + added.more[which];
    }
    calendar->specials[calendar->special_count++] = added;
}

void tally_specials(mw_calendar *calendar, size_t from)
{
    const exception *all = calendar->exceptions;
    if (from >= calendar->exception_count) {
        return;
    }
    calendar->special_count = special_from(calendar, all[from].day);
    for (size_t i = from; i < calendar->exception_count; i++) {
        int32_t day = all[i].day;
        bool follows = i > 0 && all[i - 1].day == day - 1;
        add_special(calendar, day, all[i].pattern,
                    follows ? all[i - 1].pattern : weekday_pattern(calendar, day - 1));
        bool followed = i + 1 < calendar->exception_count && all[i + 1].day == day + 1;
        if (!followed) {
            add_special(calendar, day + 1, weekday_pattern(calendar, day + 1), all[i].pattern);
        }
    }
}

/* Returns what all special days before `day` add. */
static double specials_until(const mw_calendar *calendar, tally which, int32_t day)
{
    size_t at = special_from(calendar, day);
    return at == 0 ? 0 : calendar->specials[at - 1].until[which];
}

/* Returns what the days from `from` up to `to` of one month hold, special days put aside. */
static double sum_usual(const mw_calendar *calendar, tally which, const month_at *at, int32_t from,
                        int32_t to)
{
    const month_tally *sums = &calendar->tallies[which][at->month];
    int32_t days = to - from;
    int weekday = (at->weekday + (from - at->first)) % WEEKDAYS;
    double first_more = from == at->first && days > 0 ? sums->first_more[at->weekday] : 0;
    int32_t weeks = days / WEEKDAYS;
    return weeks * sums->week + sums->part[weekday][days % WEEKDAYS] + first_more;
}

static int32_t sooner_of(int32_t a, int32_t b)
{
    return a < b ? a : b;
}

static int32_t later_of(int32_t a, int32_t b)
{
    return a > b ? a : b;
}

double sum_days(const mw_calendar *calendar, tally which, int32_t from, int32_t to)
{
    if (from >= to) {
        return 0;
    }
    double sum = specials_until(calendar, which, to) - specials_until(calendar, which, from);
    month_at at = month_of_day(from);
    while (from < to) {
        int32_t end = sooner_of(at.first + at.length, to);
        sum += sum_usual(calendar, which, &at, from, end);
        from = end;
        at = next_month(at);
    }
    return sum;
}

/* --- searching ------------------------------------------------------------------------------- */

/* Days of one month that hold enough. */
typedef struct stretch_of_days {
    const mw_calendar *calendar;
    tally which;
    const month_at *at;
    int32_t from;
    int32_t to; /* not with it */
} stretch_of_days;

/* Returns what a day holds; `next` is the first special day at or after it. */
static double held_on(const stretch_of_days *days, int32_t day, size_t next)
{
    const mw_calendar *calendar = days->calendar;
    double held = sum_usual(calendar, days->which, days->at, day, day + 1);
    bool apart = next < calendar->special_count && calendar->specials[next].day == day;
    return apart ? held + calendar->specials[next].more[days->which] : held;
}

static double held_by(const stretch_of_days *days)
{
    return sum_usual(days->calendar, days->which, days->at, days->from, days->to) +
           specials_until(days->calendar, days->which, days->to) -
           specials_until(days->calendar, days->which, days->from);
}

/* Returns the first special day at or after `day`, from that of the day beside it. */
static size_t step_special(const mw_calendar *calendar, size_t next, int32_t day, bool backward)
{
    const special *all = calendar->specials;
    if (backward) {
        return next > 0 && all[next - 1].day == day ? next - 1 : next;
    }
    return next < calendar->special_count && all[next].day < day ? next + 1 : next;
}

/* Finds the day in a stretch that is known to hold `*rest`. Single days and their sum may differ by
 * rounding: then it is the last that holds anything. */
static int32_t pick_day(const stretch_of_days *days, bool backward, double *rest)
{
    int32_t count = days->to - days->from;
    int32_t found = backward ? days->from : days->to - 1;
    double left = *rest;
    size_t next = special_from(days->calendar, backward ? days->to : days->from);
    for (int32_t i = 0; i < count; i++) {
        int32_t day = backward ? days->to - 1 - i : days->from + i;
        next = step_special(days->calendar, next, day, backward);
        double held = held_on(days, day, next);
        if (held > NOTHING_S) {
            found = day;
            *rest = left;
        }
        if (held + NOTHING_S >= left) {
            break;
        }
        left -= held;
    }
    return found;
}

int32_t find_forward(const mw_calendar *calendar, tally which, int32_t day, int32_t last,
                     double *rest)
{
    month_at at = month_of_day(day);
    while (day <= last) {
        stretch_of_days days = {calendar, which, &at, day,
                                sooner_of(at.first + at.length, last + 1)};
        double held = held_by(&days);
        if (held + NOTHING_S >= *rest) {
            return pick_day(&days, false, rest);
        }
        *rest -= held;
        day = days.to;
        at = next_month(at);
    }
    return INT32_MAX;
}

int32_t find_backward(const mw_calendar *calendar, tally which, int32_t day, int32_t first,
                      double *rest)
{
    month_at at = month_of_day(day);
    while (day >= first) {
        stretch_of_days days = {calendar, which, &at, later_of(at.first, first), day + 1};
        double held = held_by(&days);
        if (held + NOTHING_S >= *rest) {
            return pick_day(&days, true, rest);
        }
        *rest -= held;
        day = days.from - 1;
        at = month_before(at);
    }
    return INT32_MAX;
}
