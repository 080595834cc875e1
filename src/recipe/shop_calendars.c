/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Calendars of a shop: its shifts, and the speed of cure in its room. */
#include <math.h>

#include "mouldwright/recipe.h"

enum { DAY_MINUTES = 1440, ALL_YEAR = 0xfff, WEEKDAYS = 7 };

/* Hands the calendar on, or frees it and returns NULL. */
static mw_calendar *finish(mw_calendar *calendar, mw_status status)
{
    if (status != MW_OK) {
        mw_calendar_free(calendar);
        return NULL;
    }
    return calendar;
}

/* Gives all weekdays of some months the same stretches. */
static mw_status set_week(mw_calendar *calendar, unsigned months, const mw_stretch *stretches,
                          size_t count)
{
    mw_status status = MW_OK;
    for (int weekday = 1; weekday <= WEEKDAYS && status == MW_OK; weekday++) {
        status = mw_calendar_weekday(calendar, months, weekday, stretches, count);
    }
    return status;
}

static mw_status set_shift(mw_calendar *calendar, const mw_shop *shop, const mw_shift *shift)
{
    mw_status status = MW_OK;
    for (int day = 0; day < WEEKDAYS && status == MW_OK; day++) {
        status = mw_calendar_weekday(calendar, ALL_YEAR, day + 1, shift->day[day],
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
        if (name.length == 0 || mw_same_name(shop->shifts[i].name, name)) {
            return &shop->shifts[i];
        }
    }
    return NULL;
}

mw_calendar *mw_shop_shift(const mw_shop *shop, mw_str name)
{
    static const mw_stretch whole_day = {0, DAY_MINUTES, 1.0};
    bool always = mw_str_is(name, "always");
    const mw_shift *shift = always ? NULL : find_shift(shop, name);
    mw_calendar *calendar = always || shift != NULL ? mw_calendar_new() : NULL;
    if (calendar == NULL) {
        return NULL;
    }
    return finish(calendar, always ? set_week(calendar, ALL_YEAR, &whole_day, 1)
                                   : set_shift(calendar, shop, shift));
}

/* Of the mould, which a tent keeps warm. */
static double cure_temperature(const mw_cure_rule *rule, double room_k)
{
    return fmax(room_k, rule->tent_k);
}

/* How fast cure goes beside the temperature of the figures: by Arrhenius' law where the material's
 * energy is known, else it doubles per so many kelvin (common practice, no source). Far-off
 * temperatures are held where the rate is still a number. */
static double cure_rate(const mw_cure_rule *rule, double room_k)
{
    enum { DOUBLINGS_MOST = 100 };
    const double gas_jmolk = 8.31446261815324; /* CODATA 2018, exact */
    const double ln_2 = 0.693147180559945309417;
    double temperature_k = cure_temperature(rule, room_k);
    double doublings = (temperature_k - rule->reference_k) / rule->doubling_k;
    if (rule->energy_jmol > 0) {
        double inverse = 1 / rule->reference_k - 1 / fmax(temperature_k, 1);
        doublings = rule->energy_jmol / gas_jmolk * inverse / ln_2;
    }
    return exp2(fmax(-DOUBLINGS_MOST, fmin(doublings, DOUBLINGS_MOST)));
}

/* 1 where the data of the rule do not reach, else 0. */
static double beyond_rate(const mw_cure_rule *rule, double room_k)
{
    const double nothing_k = 1e-9;
    double temperature_k = cure_temperature(rule, room_k);
    double coldest_k = rule->coldest_k > 0 ? rule->coldest_k : rule->reference_k - MW_CURE_REACH_K;
    double hottest_k = rule->hottest_k > 0 ? rule->hottest_k : rule->reference_k + MW_CURE_REACH_K;
    bool within = temperature_k >= coldest_k - nothing_k && temperature_k <= hottest_k + nothing_k;
    return within ? 0 : 1;
}

/* What a rule says of a temperature of the room. */
typedef double (*rate_of_room)(const mw_cure_rule *rule, double room_k);

/* A night passes midnight: the day has three parts. */
static mw_status set_season(mw_calendar *calendar, const mw_season *season,
                            const mw_cure_rule *rule, rate_of_room rate)
{
    double day = rate(rule, season->day_k + rule->day_shift_k);
    double night = rate(rule, season->night_k + rule->night_shift_k);
    const mw_stretch parts[] = {{0, season->day_from_minute, night},
                                {season->day_from_minute, season->day_to_minute, day},
                                {season->day_to_minute, DAY_MINUTES, night}};
    mw_stretch stretches[3];
    size_t count = 0;
    for (size_t i = 0; i < 3; i++) {
        if (parts[i].to_minute > parts[i].from_minute) {
            stretches[count++] = parts[i];
        }
    }
    return set_week(calendar, season->months, stretches, count);
}

static mw_calendar *room_calendar(const mw_shop *shop, const mw_cure_rule *rule, rate_of_room rate)
{
    if (!(rule->doubling_k > 0) || !isfinite(rule->doubling_k) || !(rule->energy_jmol >= 0) ||
        !(rule->tent_k >= 0) || (rule->energy_jmol > 0 && !(rule->reference_k > 0))) {
        return NULL;
    }
    mw_calendar *calendar = mw_calendar_new();
    if (calendar == NULL) {
        return NULL;
    }
    mw_status status = MW_OK;
    for (uint32_t i = 0; i < shop->season_count && status == MW_OK; i++) {
        status = set_season(calendar, &shop->seasons[i], rule, rate);
    }
    return finish(calendar, status);
}

mw_calendar *mw_shop_cure(const mw_shop *shop, const mw_cure_rule *rule)
{
    return room_calendar(shop, rule, cure_rate);
}

mw_calendar *mw_shop_cure_beyond(const mw_shop *shop, const mw_cure_rule *rule)
{
    return room_calendar(shop, rule, beyond_rate);
}
