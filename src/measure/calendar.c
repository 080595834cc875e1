/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rate calendars: setting them up. Everything that questions need is worked out here, so that
 * asking changes nothing. */
#include "mouldwright/calendar.h"

#include <math.h>
#include <string.h>

#include "calendar_days.h"
#include "mouldwright/memory.h"

mw_calendar *mw_calendar_new(void)
{
    mw_calendar *calendar = mw_memory_get(sizeof(mw_calendar));
    if (calendar == NULL) {
        return NULL;
    }
    void *patterns = NULL;
    if (!mw_memory_grow(&patterns, &calendar->pattern_capacity, 1, sizeof(pattern))) {
        mw_memory_give(calendar);
        return NULL;
    }
    calendar->patterns = patterns;
    calendar->patterns[0] = (pattern){.items = NULL};
    calendar->pattern_count = 1;
    return calendar;
}

void mw_calendar_free(mw_calendar *calendar)
{
    if (calendar == NULL) {
        return;
    }
    for (uint32_t i = 0; i < calendar->pattern_count; i++) {
        mw_memory_give(calendar->patterns[i].items);
    }
    mw_memory_give(calendar->patterns);
    mw_memory_give(calendar->exceptions);
    mw_memory_give(calendar->specials);
    mw_memory_give(calendar);
}

static bool in_order(const mw_stretch *stretches, size_t count)
{
    int end = 0;
    for (size_t i = 0; i < count; i++) {
        const mw_stretch *item = &stretches[i];
        if (item->from_minute < end || item->from_minute >= DAY_MINUTES ||
            item->to_minute <= item->from_minute ||
            item->to_minute > item->from_minute + DAY_MINUTES || !(item->rate >= 0) ||
            isinf(item->rate)) {
            return false;
        }
        end = item->to_minute;
    }
    return true;
}

static bool same_pattern(const pattern *known, const mw_stretch *stretches, size_t count)
{
    if (known->count != count) {
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        const mw_stretch *a = &known->items[i];
        const mw_stretch *b = &stretches[i];
        if (a->from_minute != b->from_minute || a->to_minute != b->to_minute ||
            a->rate != b->rate) {
            return false;
        }
    }
    return true;
}

static void describe_pattern(pattern *made)
{
    for (uint32_t i = 0; i < made->count; i++) {
        made->works = made->works || made->items[i].rate > 0;
    }
    const mw_stretch *last = &made->items[made->count - 1];
    if (last->to_minute > DAY_MINUTES && last->rate > 0) {
        made->spill_minutes = last->to_minute - DAY_MINUTES;
        made->spill_rate = last->rate;
    }
}

/* Finds or adds a pattern. */
static mw_status keep_pattern(mw_calendar *calendar, const mw_stretch *stretches, size_t count,
                              uint32_t *id)
{
    if (!in_order(stretches, count)) {
        return MW_FAILED;
    }
    for (*id = 0; *id < calendar->pattern_count; (*id)++) {
        if (same_pattern(&calendar->patterns[*id], stretches, count)) {
            return MW_OK;
        }
    }
    void *patterns = calendar->patterns;
    if (!mw_memory_grow(&patterns, &calendar->pattern_capacity, (size_t)calendar->pattern_count + 1,
                        sizeof(pattern))) {
        return MW_NO_MEMORY;
    }
    calendar->patterns = patterns;
    mw_stretch *items = mw_memory_get(count * sizeof(mw_stretch));
    if (items == NULL) {
        return MW_NO_MEMORY;
    }
    memcpy(items, stretches, count * sizeof(mw_stretch));
    pattern *made = &calendar->patterns[calendar->pattern_count++];
    *made = (pattern){.items = items, .count = (uint32_t)count};
    describe_pattern(made);
    return MW_OK;
}

mw_status mw_calendar_weekday(mw_calendar *calendar, unsigned months, int weekday,
                              const mw_stretch *stretches, size_t count)
{
    if (weekday < 1 || weekday > WEEKDAYS || months >> MONTHS != 0) {
        return MW_FAILED;
    }
    uint32_t id;
    mw_status status = keep_pattern(calendar, stretches, count, &id);
    if (status != MW_OK) {
        return status;
    }
    for (int month = 0; month < MONTHS; month++) {
        if ((months >> month & 1) != 0) {
            calendar->weekdays[month][weekday - 1] = id;
        }
    }
    tally_months(calendar, months);
    tally_specials(calendar, 0);
    return MW_OK;
}

/* Returns the index of the first exception at or after a day. */
static size_t exception_from(const mw_calendar *calendar, int32_t day)
{
    size_t at = calendar->exception_count;
    while (at > 0 && calendar->exceptions[at - 1].day >= day) {
        at--;
    }
    return at;
}

/* Makes room for one more exception and the special days that come of all. */
static bool make_room(mw_calendar *calendar)
{
    void *exceptions = calendar->exceptions;
    void *specials = calendar->specials;
    size_t count = calendar->exception_count + 1;
    if (!mw_memory_grow(&exceptions, &calendar->exception_capacity, count, sizeof(exception))) {
        return false;
    }
    calendar->exceptions = exceptions;
    if (!mw_memory_grow(&specials, &calendar->special_capacity, 2 * count, sizeof(special))) {
        return false;
    }
    calendar->specials = specials;
    return true;
}

mw_status mw_calendar_day(mw_calendar *calendar, int32_t day, const mw_stretch *stretches,
                          size_t count)
{
    uint32_t id;
    mw_status status = keep_pattern(calendar, stretches, count, &id);
    if (status != MW_OK) {
        return status;
    }
    if (!make_room(calendar)) {
        return MW_NO_MEMORY;
    }
    size_t at = exception_from(calendar, day);
    exception *all = calendar->exceptions;
    if (at == calendar->exception_count || all[at].day != day) {
        memmove(&all[at + 1], &all[at], (calendar->exception_count - at) * sizeof *all);
        calendar->exception_count++;
    }
    all[at] = (exception){day, id};
    tally_specials(calendar, at);
    return MW_OK;
}
