/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading the times of a shop: shifts, holidays, part days, temperatures of day and night. */
#include <string.h>

#include "mouldwright/date.h"
#include "recipe/files.h"
#include "recipe/raw.h"

enum { STRETCHES_MOST = 8, DAY_MINUTES = 1440, WEEKDAYS = 7, MONTHS = 12 };

/* What is expected of a text, with an example. */
typedef struct expected {
    const char *what;
    const char *example;
} expected;

static const expected a_date = {"a date", "write it as in 2027-03-11"};
static const expected a_clock = {"a time of day", "write it in quotes, as in \"07:30\""};
static const expected a_stretch = {"a stretch of the day",
                                   "write it in quotes, as in \"07:30-12:00\""};
static const expected the_months = {"`all` or a list of months", "write it as in [nov, dec, jan]"};
static const expected a_month = {"a month", "months are jan, feb, mar, apr and so on"};

/* Says what is expected. Returns false. */
static bool refuse(mw_load *load, const mw_yaml_node *node, expected other)
{
    mw_diag *diag = mw_load_wrong_form(load, node, other.what);
    mw_diag_try(load->diags, diag, "%s", other.example);
    return false;
}

/* The text of a scalar; empty for a list or map, which is none of what is expected here. */
static mw_str text_of(const mw_yaml_node *node)
{
    return node->kind == MW_YAML_SCALAR ? mw_str_trim(node->text) : (mw_str){"", 0};
}

/* --- moments and times of day ----------------------------------------------------------------- */

bool mw_moment_read(mw_load *load, const mw_yaml_node *node, double *moment_s)
{
    mw_str text = text_of(node);
    bool exists = true;
    size_t used = text.length == 0 ? 0 : mw_date_read(text, moment_s, &exists);
    if (used == 0 || used != text.length) {
        return refuse(load, node, a_date);
    }
    if (!exists) {
        mw_diags_error(load->diags, MW_CODE_BAD_DATE, node->span, "there is no day %.*s",
                       MW_SHOW(text));
    }
    return exists;
}

static bool read_day(mw_load *load, const mw_yaml_node *node, int32_t *day)
{
    double moment_s = 0;
    if (!mw_moment_read(load, node, &moment_s)) {
        return false;
    }
    int64_t whole = (int64_t)moment_s;
    int64_t seconds = (int64_t)MW_DAY_S;
    if (whole % seconds != 0) {
        return refuse(load, node, a_date);
    }
    *day = (int32_t)(whole / seconds);
    return true;
}

/* Reads `07:30` at the start of a text; returns the bytes used, 0 if no time stands there. 24:00 is the
 * end of the day. */
static size_t read_clock(mw_str text, int *minute)
{
    enum { CLOCK_BYTES = 5 };
    if (text.length < CLOCK_BYTES || text.at[2] != ':') {
        return 0;
    }
    int digits[CLOCK_BYTES];
    for (int i = 0; i < CLOCK_BYTES; i++) {
        digits[i] = text.at[i] - '0';
        if (i != 2 && (digits[i] < 0 || digits[i] > 9)) {
            return 0;
        }
    }
    int minutes = digits[3] * 10 + digits[4];
    *minute = (digits[0] * 10 + digits[1]) * 60 + minutes;
    return minutes < 60 && *minute <= DAY_MINUTES ? CLOCK_BYTES : 0;
}

static bool read_minute(mw_load *load, const mw_yaml_node *node, int *minute)
{
    mw_str text = text_of(node);
    size_t used = read_clock(text, minute);
    return used == 0 || used != text.length ? refuse(load, node, a_clock) : true;
}

/* Reads `07:30-12:00`; an end that is not after the beginning is one of the next day. */
static bool read_stretch(mw_load *load, const mw_yaml_node *node, mw_stretch *stretch)
{
    mw_str text = text_of(node);
    *stretch = (mw_stretch){.rate = 1.0};
    size_t used = read_clock(text, &stretch->from_minute);
    bool dash = used > 0 && used < text.length && text.at[used] == '-';
    if (!dash || stretch->from_minute == DAY_MINUTES) {
        return refuse(load, node, a_stretch);
    }
    mw_str rest = {text.at + used + 1, text.length - used - 1};
    size_t end = read_clock(rest, &stretch->to_minute);
    if (end == 0 || end != rest.length) {
        return refuse(load, node, a_stretch);
    }
    if (stretch->to_minute <= stretch->from_minute) {
        stretch->to_minute += DAY_MINUTES;
    }
    return true;
}

/* Reads the stretches of a day: in order, apart, at most 8. Returns how many. */
static uint32_t read_stretches(mw_load *load, const mw_yaml_node *list, mw_stretch *stretches)
{
    uint32_t count = 0;
    if (!mw_load_is(load, list, MW_YAML_LIST)) {
        return 0;
    }
    for (const mw_yaml_node *node = list->first; node != NULL; node = node->next) {
        mw_stretch stretch;
        if (!read_stretch(load, node, &stretch)) {
            continue;
        }
        if (count == STRETCHES_MOST) {
            mw_diags_error(load->diags, MW_CODE_TOO_LONG, node->span,
                           "a day has at most %d stretches", STRETCHES_MOST);
            break;
        }
        if (count > 0 && stretch.from_minute < stretches[count - 1].to_minute) {
            mw_load_range(load, node->span, "it begins before the stretch in front of it ends");
        } else if (count > 0 && stretch.to_minute > stretches[0].from_minute + DAY_MINUTES) {
            mw_load_range(load, node->span, "it ends after the first stretch begins again");
        } else {
            stretches[count++] = stretch;
        }
    }
    return count;
}

/* --- shifts ----------------------------------------------------------------------------------- */

static const char *const weekdays[WEEKDAYS] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};

static int find_weekday(mw_str word)
{
    int day = 0;
    while (day < WEEKDAYS && !mw_str_is(word, weekdays[day])) {
        day++;
    }
    return day;
}

/* Reads `mon` or `mon-fri`. */
static bool read_weekdays(mw_load *load, const mw_yaml_node *node, int *first, int *last)
{
    mw_str key = node->key;
    const char *dash = memchr(key.at, '-', key.length);
    size_t length = dash == NULL ? key.length : (size_t)(dash - key.at);
    *first = find_weekday((mw_str){key.at, length});
    *last = dash == NULL ? *first : find_weekday((mw_str){dash + 1, key.length - length - 1});
    if (*first < WEEKDAYS && *last < WEEKDAYS && *first <= *last) {
        return true;
    }
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_UNKNOWN_KEY, node->key_span,
                                   "`%.*s` is no day of the week", MW_SHOW(key));
    mw_diag_try(load->diags, diag, "use mon, tue, wed, thu, fri, sat, sun, or two as in mon-fri");
    return false;
}

/* The key under which each day of a shift stands, to report days that stand twice. */
typedef struct day_keys {
    const mw_yaml_node *of[WEEKDAYS];
} day_keys;

static void put_days(mw_load *load, const mw_yaml_node *node, mw_shift *shift, day_keys *keys)
{
    int first;
    int last;
    mw_stretch stretches[STRETCHES_MOST];
    if (!read_weekdays(load, node, &first, &last)) {
        return;
    }
    uint32_t count = read_stretches(load, node, stretches);
    for (int day = first; day <= last; day++) {
        if (keys->of[day] != NULL) {
            mw_diag *diag =
                mw_diags_error(load->diags, MW_CODE_YAML_TWICE, node->key_span,
                               "the hours of `%s` stand here for the second time", weekdays[day]);
            mw_diag_other(load->diags, diag, keys->of[day]->key_span, "the first are here");
            return;
        }
        keys->of[day] = node;
        shift->stretch_count[day] = count;
        memcpy(shift->day[day], stretches, count * sizeof *stretches);
    }
}

/* Work past midnight must end before the next day begins. */
static void check_nights(mw_load *load, const mw_shift *shift, const day_keys *keys)
{
    for (int day = 0; day < WEEKDAYS; day++) {
        int next = (day + 1) % WEEKDAYS;
        if (shift->stretch_count[day] == 0 || shift->stretch_count[next] == 0) {
            continue;
        }
        const mw_stretch *last = &shift->day[day][shift->stretch_count[day] - 1];
        if (last->to_minute - DAY_MINUTES > shift->day[next][0].from_minute) {
            mw_diags_error(load->diags, MW_CODE_OUT_OF_RANGE, keys->of[day]->key_span,
                           "the night of `%s` ends after `%s` begins", weekdays[day],
                           weekdays[next]);
            return;
        }
    }
}

static void read_shift(mw_load *load, const mw_yaml_node *map, mw_shift *shift)
{
    day_keys keys = {{NULL}};
    uint32_t stretches = 0;
    shift->name = mw_load_key(load, map);
    if (mw_str_is(shift->name, "always")) {
        mw_diags_error(load->diags, MW_CODE_NAME_TAKEN, map->key_span,
                       "`always` is the shift that goes on day and night; choose another name");
    }
    if (!mw_load_is(load, map, MW_YAML_MAP)) {
        return;
    }
    size_t errors = load->diags->errors;
    for (const mw_yaml_node *node = map->first; node != NULL; node = node->next) {
        put_days(load, node, shift, &keys);
    }
    for (int day = 0; day < WEEKDAYS; day++) {
        stretches += shift->stretch_count[day];
    }
    if (load->diags->errors == errors && stretches == 0) {
        mw_diag *diag =
            mw_diags_error(load->diags, MW_CODE_MISSING_KEY, map->key_span,
                           "the shift `%.*s` has no working hours", MW_SHOW(shift->name));
        mw_diag_try(load->diags, diag, "mon-fri: [\"07:30-12:00\", \"12:30-16:30\"]");
    }
    check_nights(load, shift, &keys);
}

static void read_shifts(mw_load *load, const mw_yaml_node *map, mw_shop *shop)
{
    if (map == NULL) {
        return;
    }
    if (map->count == 0) {
        mw_diags_error(load->diags, MW_CODE_MISSING_KEY, mw_node_place(map),
                       "a shop needs at least one shift");
    }
    mw_shift *rows = mw_load_room(load, map->count, sizeof *rows);
    shop->shifts = rows;
    if (rows == NULL) {
        return;
    }
    for (const mw_yaml_node *node = map->first; node != NULL; node = node->next) {
        read_shift(load, node, &rows[shop->shift_count++]);
    }
}

/* --- days apart ------------------------------------------------------------------------------- */

typedef struct raw_part_day {
    const mw_yaml_node *day;
    const mw_yaml_node *hours;
} raw_part_day;

static const mw_field part_day_fields[] = {
    MW_NEEDED("day", MW_FIELD_ANY, raw_part_day, day),
    MW_NEEDED("hours", MW_FIELD_LIST, raw_part_day, hours),
};
static const mw_keys part_day_keys = MW_KEYS("a part day", part_day_fields);

/* Days being gathered. */
typedef struct day_list {
    mw_day_row *rows;
    uint32_t count;
} day_list;

static void add_day(mw_load *load, day_list *to, const mw_day_row *row)
{
    for (uint32_t i = 0; i < to->count; i++) {
        if (to->rows[i].day == row->day) {
            mw_diag *diag = mw_diags_error(load->diags, MW_CODE_YAML_TWICE, row->at,
                                           "this day stands here for the second time");
            mw_diag_other(load->diags, diag, to->rows[i].at, "the first is here");
            return;
        }
    }
    to->rows[to->count++] = *row;
}

static void read_part_day(mw_load *load, const mw_yaml_node *node, day_list *to)
{
    raw_part_day raw = {NULL, NULL};
    mw_load_fields(load, &part_day_keys, node, &raw);
    if (raw.day == NULL || raw.hours == NULL) {
        return;
    }
    mw_day_row row = {.at = mw_node_place(raw.day)};
    bool dated = read_day(load, raw.day, &row.day);
    row.count = read_stretches(load, raw.hours, row.stretches);
    if (dated) {
        add_day(load, to, &row);
    }
}

static void read_days(mw_load *load, const mw_time_nodes *nodes, mw_shop *shop)
{
    const mw_yaml_node *closed = nodes->holidays;
    const mw_yaml_node *part = nodes->part_days;
    size_t most =
        (closed == NULL ? 0 : (size_t)closed->count) + (part == NULL ? 0 : (size_t)part->count);
    day_list days = {.rows = mw_load_room(load, most, sizeof *days.rows)};
    if (days.rows == NULL) {
        return;
    }
    for (const mw_yaml_node *node = closed == NULL ? NULL : closed->first; node != NULL;
         node = node->next) {
        mw_day_row row = {.at = mw_node_place(node)};
        if (read_day(load, node, &row.day)) {
            add_day(load, &days, &row);
        }
    }
    for (const mw_yaml_node *node = part == NULL ? NULL : part->first; node != NULL;
         node = node->next) {
        read_part_day(load, node, &days);
    }
    shop->days = days.rows;
    shop->day_count = days.count;
}

/* --- temperatures ----------------------------------------------------------------------------- */

typedef struct raw_season {
    const mw_yaml_node *months;
    mw_span day;
    mw_span night;
    const mw_yaml_node *from;
    const mw_yaml_node *until;
} raw_season;

static const mw_field season_fields[] = {
    MW_NEEDED("months", MW_FIELD_ANY, raw_season, months),
    MW_NEEDED("day", MW_FIELD_FORMULA, raw_season, day),
    MW_NEEDED("night", MW_FIELD_FORMULA, raw_season, night),
    MW_NEEDED("from", MW_FIELD_ANY, raw_season, from),
    MW_NEEDED("until", MW_FIELD_ANY, raw_season, until),
};
static const mw_keys season_keys = MW_KEYS("a season", season_fields);

static const char *const month_words[MONTHS] = {"jan", "feb", "mar", "apr", "may", "jun",
                                                "jul", "aug", "sep", "oct", "nov", "dec"};
enum { ALL_MONTHS = 0xfff };

static unsigned read_months(mw_load *load, const mw_yaml_node *node)
{
    unsigned months = 0;
    if (node->kind == MW_YAML_SCALAR && mw_str_is(node->text, "all")) {
        return ALL_MONTHS;
    }
    if (node->kind != MW_YAML_LIST || node->count == 0) {
        refuse(load, node, the_months);
        return 0;
    }
    for (const mw_yaml_node *child = node->first; child != NULL; child = child->next) {
        unsigned month = 0;
        while (month < MONTHS &&
               (child->kind != MW_YAML_SCALAR || !mw_str_is(child->text, month_words[month]))) {
            month++;
        }
        if (month == MONTHS) {
            refuse(load, child, a_month);
        } else {
            months |= 1u << month;
        }
    }
    return months;
}

static void read_temperature(mw_load *load, mw_span formula, double *temperature_k)
{
    mw_constant value;
    if (mw_load_figure(load, formula, MW_TYPE_DEGREES, &value)) {
        *temperature_k = value.value;
        if (!(value.low > 0)) {
            mw_load_range(load, formula, "this is below the lowest temperature there is");
        }
    }
}

static void read_season(mw_load *load, const mw_yaml_node *node, mw_season *season)
{
    raw_season raw = {.day = mw_nowhere(), .night = mw_nowhere()};
    mw_load_fields(load, &season_keys, node, &raw);
    season->day_to_minute = DAY_MINUTES;
    season->months = raw.months == NULL ? 0 : read_months(load, raw.months);
    read_temperature(load, raw.day, &season->day_k);
    read_temperature(load, raw.night, &season->night_k);
    bool timed = raw.from != NULL && raw.until != NULL &&
                 read_minute(load, raw.from, &season->day_from_minute) &&
                 read_minute(load, raw.until, &season->day_to_minute);
    if (timed && season->day_to_minute <= season->day_from_minute) {
        mw_load_range(load, mw_node_place(raw.until), "the day must end after it begins");
    }
}

static void read_seasons(mw_load *load, const mw_yaml_node *list, mw_shop *shop)
{
    if (list == NULL) {
        return;
    }
    mw_season *rows = mw_load_room(load, list->count, sizeof *rows);
    shop->seasons = rows;
    if (rows == NULL) {
        return;
    }
    for (const mw_yaml_node *node = list->first; node != NULL; node = node->next) {
        read_season(load, node, &rows[shop->season_count++]);
    }
    if (shop->season_count == 0 || (rows[0].months != ALL_MONTHS && rows[0].months != 0)) {
        mw_span at = mw_node_place(list->first == NULL ? list : list->first);
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_MISSING_KEY, at,
                                       "the first season must be one for the whole year");
        mw_diag_try(load->diags, diag, "begin with a season for `months: all`");
    }
}

void mw_shop_times_read(mw_load *load, const mw_time_nodes *nodes, mw_shop *shop)
{
    read_shifts(load, nodes->shifts, shop);
    read_days(load, nodes, shop);
    read_seasons(load, nodes->temperature, shop);
}
