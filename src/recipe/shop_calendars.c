/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Calendars of a shop: its shifts, and the speed of cure in its room. */
#include "mouldwright/recipe.h"

#include <math.h>

#define MINUTES_OF_DAY 1440

static mw_status set_always(mw_calendar *calendar)
{
    const mw_stretch whole = {0, MINUTES_OF_DAY, 1.0};
    mw_status status = MW_OK;
    for (int weekday = 1; weekday <= 7 && status == MW_OK; weekday++) {
        status = mw_calendar_weekday(calendar, 0xfff, weekday, &whole, 1);
    }
    return status;
}

static mw_status set_shift(mw_calendar *calendar, const mw_shop *shop, const mw_shift *shift)
{
    mw_status status = MW_OK;
    for (int day = 0; day < 7 && status == MW_OK; day++) {
        status = mw_calendar_weekday(calendar, 0xfff, day + 1, shift->day[day],
                                     shift->stretch_count[day]);
    }
    for (uint32_t i = 0; i < shop->day_count && status == MW_OK; i++) {
        const mw_day_row *row = &shop->days[i];
        status = mw_calendar_day(calendar, row->day, row->stretches, row->count);
    }
    return status;
}

static const mw_shift *find_shift(const mw_shop *shop, mw_str name)
{
    for (uint32_t i = 0; i < shop->shift_count; i++) {
        if (name.length == 0 || mw_str_equal(shop->shifts[i].name, name)) {
            return &shop->shifts[i];
        }
    }
    return NULL;
}

mw_calendar *mw_shop_shift(const mw_shop *shop, mw_str name)
{
    bool always = mw_str_is(name, "always");
    const mw_shift *shift = always ? NULL : find_shift(shop, name);
    mw_calendar *calendar = always || shift ? mw_calendar_new() : NULL;
    if (!calendar) {
        return NULL;
    }
    mw_status status = always ? set_always(calendar) : set_shift(calendar, shop, shift);
    if (status != MW_OK) {
        mw_calendar_free(calendar);
        return NULL;
    }
    return calendar;
}

/* The rate doubles per `doubling_k`: common practice, no source. */
static double cure_rate(const mw_cure_rule *rule, double temperature_k)
{
    return exp2((temperature_k - rule->reference_k) / rule->doubling_k);
}

static mw_status set_season(mw_calendar *calendar, const mw_season *season,
                            const mw_cure_rule *rule)
{
    double day = cure_rate(rule, season->day_k + rule->day_shift_k);
    double night = cure_rate(rule, season->night_k + rule->night_shift_k);
    const mw_stretch parts[3] = {{0, season->day_from_minute, night},
                                 {season->day_from_minute, season->day_to_minute, day},
                                 {season->day_to_minute, MINUTES_OF_DAY, night}};
    mw_stretch stretches[3];
    size_t count = 0;
    for (size_t i = 0; i < 3; i++) {
        if (parts[i].to_minute > parts[i].from_minute) {
            stretches[count++] = parts[i];
        }
    }
    mw_status status = MW_OK;
    for (int weekday = 1; weekday <= 7 && status == MW_OK; weekday++) {
        status = mw_calendar_weekday(calendar, season->months, weekday, stretches, count);
    }
    return status;
}

mw_calendar *mw_shop_cure(const mw_shop *shop, const mw_cure_rule *rule)
{
    mw_calendar *calendar = mw_calendar_new();
    mw_status status = calendar ? MW_OK : MW_NO_MEMORY;
    for (uint32_t i = 0; i < shop->season_count && status == MW_OK; i++) {
        status = set_season(calendar, &shop->seasons[i], rule);
    }
    if (status != MW_OK) {
        mw_calendar_free(calendar);
        return NULL;
    }
    return calendar;
}
