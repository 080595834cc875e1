/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading the hours of a shop: shifts, holidays, part days, day and night temperature. */
#include "recipe/files.h"

#include "mouldwright/date.h"
#include "recipe/raw.h"

#define STRETCHES_MAX  8
#define MINUTES_OF_DAY 1440

static bool two_digits(const char *at, int *value)
{
    if (at[0] < '0' || at[0] > '9' || at[1] < '0' || at[1] > '9') {
        return false;
    }
    *value = (at[0] - '0') * 10 + (at[1] - '0');
    return true;
}

/* `07:30` at the start of a text of at least five bytes. */
static bool clock_minutes(const char *at, int *minute)
{
    int hours = 0;
    int minutes = 0;
    if (!two_digits(at, &hours) || at[2] != ':' || !two_digits(at + 3, &minutes)) {
        return false;
    }
    *minute = hours * 60 + minutes;
    return minutes < 60 && *minute <= MINUTES_OF_DAY;
}

static bool say_clock(mw_load *load, const mw_yaml_node *node, const char *example)
{
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_YAML_FORM, mw_node_place(node),
                                   "`%.*s` is no time of day", MW_SHOW(node->text));
    mw_diag_try(load->diags, diag, "%s", example);
    return false;
}

bool mw_minute_read(mw_load *load, const mw_yaml_node *node, int *minute)
{
    if (!mw_load_is(load, node, MW_YAML_SCALAR)) {
        return false;
    }
    if (node->text.length != 5 || !clock_minutes(node->text.at, minute)) {
        return say_clock(load, node, "\"07:30\"");
    }
    return true;
}

/* `07:30-12:00`; an end before the start is on the next day. */
static bool read_stretch(mw_load *load, const mw_yaml_node *node, mw_stretch *stretch)
{
    int from = 0;
    int to = 0;
    if (!mw_load_is(load, node, MW_YAML_SCALAR)) {
        return false;
    }
    if (node->text.length != 11 || node->text.at[5] != '-' ||
        !clock_minutes(node->text.at, &from) || !clock_minutes(node->text.at + 6, &to) ||
        from == MINUTES_OF_DAY) {
        return say_clock(load, node, "\"07:30-12:00\"");
    }
    *stretch = (mw_stretch){from, to > from ? to : to + MINUTES_OF_DAY, 1.0};
    return true;
}

uint32_t mw_stretches_read(mw_load *load, const mw_yaml_node *list, mw_stretch *stretches)
{
    uint32_t count = 0;
    if (!mw_load_is(load, list, MW_YAML_LIST)) {
        return 0;
    }
    for (const mw_yaml_node *node = list->first; node; node = node->next) {
        if (count == STRETCHES_MAX) {
            mw_diags_error(load->diags, MW_CODE_TOO_LONG, mw_node_place(node),
                           "at most %d stretches a day", STRETCHES_MAX);
            return count;
        }
        if (!read_stretch(load, node, &stretches[count])) {
            continue;
        }
        if (count > 0 && stretches[count].from_minute < stretches[count - 1].to_minute) {
            mw_diags_error(load->diags, MW_CODE_OUT_OF_RANGE, mw_node_place(node),
                           "it begins before the stretch in front of it ends");
            continue;
        }
        count++;
    }
    return count;
}

bool mw_day_read(mw_load *load, const mw_yaml_node *node, int32_t *day)
{
    double seconds = 0.0;
    bool exists = true;
    if (!mw_load_is(load, node, MW_YAML_SCALAR)) {
        return false;
    }
    size_t used = mw_date_read(node->text, &seconds, &exists);
    if (used != 10 || node->text.length != 10 || !exists) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_BAD_DATE, mw_node_place(node),
                                       "`%.*s` is no date", MW_SHOW(node->text));
        mw_diag_try(load->diags, diag, "2027-03-29");
        return false;
    }
    *day = (int32_t)(seconds / MW_DAY_S);
    return true;
}

/* ---- shifts ---- */

static const char *const weekdays[7] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};

/* The weekday of three letters at `at`, or 7. */
static unsigned weekday_at(const char *at)
{
    unsigned day = 0;
    while (day < 7 && !mw_str_is((mw_str){at, 3}, weekdays[day])) {
        day++;
    }
    return day;
}

/* `mon` or `mon-fri`. */
static bool read_weekdays(mw_load *load, const mw_yaml_node *node, unsigned *first, unsigned *last)
{
    mw_str key = node->key;
    bool span = key.length == 7 && key.at[3] == '-';
    *first = key.length == 3 || span ? weekday_at(key.at) : 7;
    *last = span ? weekday_at(key.at + 4) : *first;
    if (*first < 7 && *last < 7 && *first <= *last) {
        return true;
    }
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_UNKNOWN_KEY, node->key_span,
                                   "`%.*s` is no day of the week", MW_SHOW(key));
    mw_diag_try(load->diags, diag, "mon, tue, wed, thu, fri, sat, sun, or mon-fri");
    return false;
}

static void read_shift(mw_load *load, const mw_yaml_node *map, mw_shift *shift)
{
    bool given[7] = {false};
    shift->name = map->key;
    if (!mw_load_is(load, map, MW_YAML_MAP)) {
        return;
    }
    for (const mw_yaml_node *node = map->first; node; node = node->next) {
        unsigned first = 0;
        unsigned last = 0;
        mw_stretch stretches[STRETCHES_MAX];
        if (!read_weekdays(load, node, &first, &last)) {
            continue;
        }
        uint32_t count = mw_stretches_read(load, node, stretches);
        for (unsigned day = first; day <= last; day++) {
            if (given[day]) {
                mw_diags_error(load->diags, MW_CODE_YAML_TWICE, node->key_span,
                               "`%s` is given twice", weekdays[day]);
            }
            given[day] = true;
            shift->stretch_count[day] = count;
            for (uint32_t i = 0; i < count; i++) {
                shift->day[day][i] = stretches[i];
            }
        }
    }
}

static void read_shifts(mw_load *load, const mw_yaml_node *map, mw_shop *shop)
{
    mw_shift *rows = mw_load_room(load, map->count, sizeof *rows);
    for (const mw_yaml_node *node = rows ? map->first : NULL; node; node = node->next) {
        read_shift(load, node, &rows[shop->shift_count++]);
    }
    shop->shifts = rows;
    if (map->count == 0) {
        mw_diags_error(load->diags, MW_CODE_MISSING_KEY, mw_node_place(map),
                       "at least one shift is needed");
    }
}

/* ---- days apart ---- */

typedef struct raw_part_day {
    const mw_yaml_node *day, *hours;
} raw_part_day;

static const mw_field part_day_fields[] = {
    MW_NEEDED("day", MW_FIELD_ANY, raw_part_day, day),
    MW_NEEDED("hours", MW_FIELD_LIST, raw_part_day, hours),
};
static const mw_keys part_day_form = MW_KEYS("a part day", part_day_fields);

static void add_day(mw_load *load, mw_day_row *rows, mw_shop *shop, const mw_day_row *day)
{
    for (uint32_t i = 0; i < shop->day_count; i++) {
        if (rows[i].day == day->day) {
            mw_diag *diag =
                mw_diags_error(load->diags, MW_CODE_YAML_TWICE, day->at, "this day is given twice");
            mw_diag_other(load->diags, diag, rows[i].at, "the other one");
            return;
        }
    }
    rows[shop->day_count++] = *day;
}

static void read_days(mw_load *load, const mw_yaml_node *holidays, const mw_yaml_node *part_days,
                      mw_shop *shop)
{
    size_t room = (holidays ? holidays->count : 0) + (size_t)(part_days ? part_days->count : 0);
    mw_day_row *rows = mw_load_room(load, room, sizeof *rows);
    shop->days = rows;
    for (const mw_yaml_node *node = rows && holidays ? holidays->first : NULL; node;
         node = node->next) {
        mw_day_row day = {.at = mw_node_place(node)};
        if (mw_day_read(load, node, &day.day)) {
            add_day(load, rows, shop, &day);
        }
    }
    for (const mw_yaml_node *node = rows && part_days ? part_days->first : NULL; node;
         node = node->next) {
        raw_part_day raw = {0};
        mw_day_row day = {.at = mw_node_place(node)};
        mw_load_fields(load, &part_day_form, node, &raw);
        if (raw.day && raw.hours && mw_day_read(load, raw.day, &day.day)) {
            day.count = mw_stretches_read(load, raw.hours, day.stretches);
            add_day(load, rows, shop, &day);
        }
    }
}

/* ---- temperature ---- */

typedef struct raw_season {
    const mw_yaml_node *months, *from, *until;
    mw_span day, night;
} raw_season;

static const mw_field season_fields[] = {
    MW_NEEDED("months", MW_FIELD_ANY, raw_season, months),
    MW_NEEDED("day", MW_FIELD_FORMULA, raw_season, day),
    MW_NEEDED("night", MW_FIELD_FORMULA, raw_season, night),
    MW_NEEDED("from", MW_FIELD_ANY, raw_season, from),
    MW_NEEDED("until", MW_FIELD_ANY, raw_season, until),
};
static const mw_keys season_form = MW_KEYS("a season", season_fields);

static const char *const month_words[12] = {"jan", "feb", "mar", "apr", "may", "jun",
                                            "jul", "aug", "sep", "oct", "nov", "dec"};

static unsigned read_month(mw_load *load, const mw_yaml_node *node)
{
    for (unsigned month = 0; month < 12; month++) {
        if (node->kind == MW_YAML_SCALAR && mw_str_is(node->text, month_words[month])) {
            return 1u << month;
        }
    }
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_YAML_FORM, mw_node_place(node),
                                   "`%.*s` is no month", MW_SHOW(node->text));
    mw_diag_try(load->diags, diag, "jan, feb, mar, ... dec, or months: all");
    return 0;
}

static unsigned read_months(mw_load *load, const mw_yaml_node *node)
{
    unsigned months = 0;
    if (node->kind == MW_YAML_SCALAR && mw_str_is(node->text, "all")) {
        return 0xfff;
    }
    if (!mw_load_is(load, node, MW_YAML_LIST)) {
        return 0;
    }
    for (const mw_yaml_node *month = node->first; month; month = month->next) {
        months |= read_month(load, month);
    }
    return months;
}

static void read_season(mw_load *load, const mw_yaml_node *node, mw_season *season)
{
    raw_season raw = {.day = mw_nowhere(), .night = mw_nowhere()};
    mw_load_fields(load, &season_form, node, &raw);
    season->day_to_minute = MINUTES_OF_DAY;
    season->months = raw.months ? read_months(load, raw.months) : 0;
    mw_load_value(load, raw.day, MW_TYPE_DEGREES, &season->day_k);
    mw_load_value(load, raw.night, MW_TYPE_DEGREES, &season->night_k);
    bool hours = raw.from && raw.until &&
                 mw_minute_read(load, raw.from, &season->day_from_minute) &&
                 mw_minute_read(load, raw.until, &season->day_to_minute);
    if (hours && season->day_to_minute <= season->day_from_minute) {
        mw_diags_error(load->diags, MW_CODE_OUT_OF_RANGE, mw_node_place(raw.until),
                       "the day must end after it begins");
    }
}

static void read_seasons(mw_load *load, const mw_yaml_node *list, mw_shop *shop)
{
    mw_season *rows = mw_load_room(load, list->count, sizeof *rows);
    unsigned months = 0;
    for (const mw_yaml_node *node = rows ? list->first : NULL; node; node = node->next) {
        read_season(load, node, &rows[shop->season_count]);
        months |= rows[shop->season_count++].months;
    }
    shop->seasons = rows;
    if (months != 0xfff && mw_load_status(load) == MW_OK) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_MISSING_KEY, mw_node_place(list),
                                       "some months have no temperature");
        mw_diag_try(load->diags, diag, "begin with a season for months: all");
    }
}

void mw_shop_times_read(mw_load *load, const mw_yaml_node *root, mw_shop *shop)
{
    if (root->kind != MW_YAML_MAP) {
        return;
    }
    const mw_yaml_node *shifts = mw_yaml_find(root, "shifts");
    const mw_yaml_node *temperature = mw_yaml_find(root, "temperature");
    const mw_yaml_node *holidays = mw_yaml_find(root, "holidays");
    const mw_yaml_node *part_days = mw_yaml_find(root, "part_days");
    if (shifts && shifts->kind == MW_YAML_MAP) {
        read_shifts(load, shifts, shop);
    }
    read_days(load, holidays && holidays->kind == MW_YAML_LIST ? holidays : NULL,
              part_days && part_days->kind == MW_YAML_LIST ? part_days : NULL, shop);
    if (temperature && temperature->kind == MW_YAML_LIST) {
        read_seasons(load, temperature, shop);
    }
}
