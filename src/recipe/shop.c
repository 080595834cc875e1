/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading a shop: people, machines, promises and values. Its money stands in shop_money.c, its hours in
 * shop_times.c. */
#include "recipe/files.h"
#include "recipe/limits.h"
#include "recipe/raw.h"
#include "recipe/shop_parts.h"

/* clang-format off */
static const mw_field shop_fields[] = {
    MW_NEEDED_ALSO("shop", MW_FIELD_TEXT, mw_raw_shop, name, name_at),
    MW_FIELD("name", MW_FIELD_TEXT, mw_raw_shop, title),
    MW_NEEDED_ALSO("currency", MW_FIELD_TEXT, mw_raw_shop, currency, currency_at),
    MW_FIELD("exchange", MW_FIELD_MAP, mw_raw_shop, exchange),
    MW_FIELD("exchange_date", MW_FIELD_ANY, mw_raw_shop, exchange_date),
    MW_FIELD("units", MW_FIELD_MAP, mw_raw_shop, units),
    MW_FIELD("energy", MW_FIELD_FORMULA, mw_raw_shop, energy),
    MW_FIELD("letterhead", MW_FIELD_TEXTS, mw_raw_shop, letterhead),
    MW_FIELD_ALSO("picture", MW_FIELD_TEXT, mw_raw_shop, picture, picture_at),
    MW_FIELD("included", MW_FIELD_TEXTS, mw_raw_shop, included),
    MW_FIELD("excluded", MW_FIELD_TEXTS, mw_raw_shop, excluded),
    MW_FIELD("terms", MW_FIELD_TEXTS, mw_raw_shop, terms),
    MW_FIELD("payments", MW_FIELD_LIST, mw_raw_shop, payments),
    MW_FIELD("people", MW_FIELD_LIST, mw_raw_shop, people),
    MW_FIELD("machines", MW_FIELD_LIST, mw_raw_shop, machines),
    MW_NEEDED("shifts", MW_FIELD_MAP, mw_raw_shop, times.shifts),
    MW_FIELD("holidays", MW_FIELD_LIST, mw_raw_shop, times.holidays),
    MW_FIELD("part_days", MW_FIELD_LIST, mw_raw_shop, times.part_days),
    MW_NEEDED("temperature", MW_FIELD_LIST, mw_raw_shop, times.temperature),
    MW_FIELD("promised", MW_FIELD_LIST, mw_raw_shop, promised),
    MW_FIELD("lines", MW_FIELD_MAP, mw_raw_shop, lines),
};
/* clang-format on */
static const mw_keys shop_keys = MW_KEYS("a shop", shop_fields);

/* --- people and machines ---------------------------------------------------------------------- */

typedef struct raw_trade {
    mw_trade row;
    mw_span shift_at;
} raw_trade;

static const mw_field trade_fields[] = {
    MW_NEEDED_ALSO("trade", MW_FIELD_TEXT, raw_trade, row.name, row.at),
    MW_NEEDED("count", MW_FIELD_COUNT, raw_trade, row.count),
    MW_NEEDED("rate", MW_FIELD_FORMULA, raw_trade, row.rate_at),
    MW_FIELD_ALSO("shift", MW_FIELD_TEXT, raw_trade, row.shift, shift_at),
};
static const mw_keys trade_keys = MW_KEYS("a trade", trade_fields);

typedef struct raw_machine {
    mw_machine_row row;
    mw_span shift_at;
    const mw_yaml_node *size;
} raw_machine;

static const mw_field machine_fields[] = {
    MW_NEEDED_ALSO("machine", MW_FIELD_TEXT, raw_machine, row.name, row.at),
    MW_FIELD("count", MW_FIELD_COUNT, raw_machine, row.count),
    MW_FIELD("rate", MW_FIELD_FORMULA, raw_machine, row.rate_at),
    MW_FIELD("power", MW_FIELD_FORMULA, raw_machine, row.power_at),
    MW_FIELD("size", MW_FIELD_LIST, raw_machine, size),
    MW_FIELD_ALSO("shift", MW_FIELD_TEXT, raw_machine, row.shift, shift_at),
};
static const mw_keys machine_keys = MW_KEYS("a machine or place", machine_fields);

/* Shifts that people and machines name must exist. */
static void check_shift(mw_load *load, const mw_shop *shop, mw_str name, mw_span at)
{
    bool known = name.length == 0 || mw_str_is(name, "always");
    for (uint32_t i = 0; i < shop->shift_count && !known; i++) {
        known = mw_same_name(shop->shifts[i].name, name);
    }
    if (known) {
        return;
    }
    mw_suggest near = mw_load_suggest(load, name);
    for (uint32_t i = 0; i < shop->shift_count; i++) {
        mw_suggest_offer(&near, shop->shifts[i].name);
    }
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_UNKNOWN_NAME, at,
                                   "the shop has no shift `%.*s`", MW_SHOW(name));
    mw_load_mean(load, diag, &near);
}

/* A rate that is money of the shop over labour or time. */
static double read_rate(mw_load *load, const mw_raw_shop *raw, mw_span formula, mw_type over)
{
    mw_measure *measure = load->calculator->measure;
    mw_type type = MW_NONE;
    mw_constant rate = {0};
    if (raw->money == MW_NONE || formula.source == MW_NONE) {
        return 0;
    }
    if (mw_type_divide(measure, raw->money, over, &type) != MW_TYPE_FINE) {
        load->no_memory = true;
    } else if (mw_load_figure(load, formula, type, &rate) && rate.low < 0) {
        mw_load_range(load, formula, "a rate is not below 0");
    }
    return rate.value;
}

/* Reports a trade or machine of a name that one before it has. */
static void check_unique(mw_load *load, const mw_shop *shop, mw_str name, mw_span at)
{
    if (name.length == 0) {
        return;
    }
    for (uint32_t i = 0; i < shop->trade_count; i++) {
        if (mw_same_name(shop->trades[i].name, name)) {
            mw_load_twice(load, "a trade or machine", name, at, shop->trades[i].at);
            return;
        }
    }
    for (uint32_t i = 0; i < shop->machine_count; i++) {
        if (mw_same_name(shop->machines[i].name, name)) {
            mw_load_twice(load, "a trade or machine", name, at, shop->machines[i].at);
            return;
        }
    }
}

static void read_people(mw_load *load, const mw_raw_shop *raw, mw_shop *shop)
{
    const mw_yaml_node *list = raw->people;
    mw_trade *rows = mw_load_room(load, list == NULL ? 0 : list->count, sizeof *rows);
    shop->trades = rows;
    if (rows == NULL || list == NULL) {
        return;
    }
    for (const mw_yaml_node *node = list->first; node != NULL; node = node->next) {
        raw_trade trade = {.row = {.rate_at = mw_nowhere(), .at = mw_node_place(node)}};
        mw_load_fields(load, &trade_keys, node, &trade);
        trade.row.rate = read_rate(load, raw, trade.row.rate_at, MW_TYPE_LABOUR);
        check_shift(load, shop, trade.row.shift, trade.shift_at);
        check_unique(load, shop, trade.row.name, trade.row.at);
        rows[shop->trade_count++] = trade.row;
    }
}

static void read_size(mw_load *load, const mw_yaml_node *list, mw_machine_row *machine)
{
    if (list->count != 3) {
        mw_load_wrong_form(load, list, "a list of length, width and height");
        return;
    }
    size_t side = 0;
    for (const mw_yaml_node *node = list->first; node != NULL; node = node->next, side++) {
        mw_span formula = mw_nowhere();
        mw_constant length;
        if (mw_load_formula(load, node, &formula) &&
            mw_load_figure(load, formula, MW_TYPE_LENGTH, &length)) {
            machine->size_m[side] = length.value;
            if (!(length.low > 0)) {
                mw_load_range(load, formula, "a size is more than 0");
            }
        }
    }
}

/* What a machine draws while it runs. */
static void read_power(mw_load *load, mw_span formula)
{
    mw_type type = MW_NONE;
    mw_unit unit;
    mw_constant power;
    if (formula.source == MW_NONE) {
        return;
    }
    if (mw_unit_of_words(load->calculator->measure, mw_str_of("kW"), &type, &unit) != MW_OK) {
        load->no_memory = true;
    } else if (mw_load_figure(load, formula, type, &power) && power.low < 0) {
        mw_load_range(load, formula, "a power is not below 0");
    }
}

static void read_machines(mw_load *load, const mw_raw_shop *raw, mw_shop *shop)
{
    const mw_yaml_node *list = raw->machines;
    mw_machine_row *rows = mw_load_room(load, list == NULL ? 0 : list->count, sizeof *rows);
    shop->machines = rows;
    if (rows == NULL || list == NULL) {
        return;
    }
    for (const mw_yaml_node *node = list->first; node != NULL; node = node->next) {
        raw_machine machine = {.row = {.count = 1,
                                       .rate_at = mw_nowhere(),
                                       .power_at = mw_nowhere(),
                                       .at = mw_node_place(node)}};
        mw_load_fields(load, &machine_keys, node, &machine);
        read_rate(load, raw, machine.row.rate_at, MW_TYPE_TIME);
        read_power(load, machine.row.power_at);
        if (machine.size != NULL) {
            read_size(load, machine.size, &machine.row);
        }
        check_shift(load, shop, machine.row.shift, machine.shift_at);
        check_unique(load, shop, machine.row.name, machine.row.at);
        rows[shop->machine_count++] = machine.row;
    }
}

/* --- promises --------------------------------------------------------------------------------- */

typedef struct raw_promise {
    mw_promise row;
    mw_span holds_at;
    const mw_yaml_node *from;
    const mw_yaml_node *until;
} raw_promise;

static const mw_field promise_fields[] = {
    MW_NEEDED("what", MW_FIELD_TEXT, raw_promise, row.what),
    MW_NEEDED_ALSO("holds", MW_FIELD_TEXT, raw_promise, row.holds, holds_at),
    MW_FIELD("amount", MW_FIELD_COUNT, raw_promise, row.amount),
    MW_NEEDED("from", MW_FIELD_ANY, raw_promise, from),
    MW_NEEDED("until", MW_FIELD_ANY, raw_promise, until),
};
static const mw_keys promise_keys = MW_KEYS("a promise", promise_fields);

/* Finds how many there are of a trade or machine; false: none of that name, reported. */
static bool find_held(mw_load *load, const mw_shop *shop, const raw_promise *promise,
                      uint32_t *count)
{
    mw_str name = promise->row.holds;
    for (uint32_t i = 0; i < shop->trade_count; i++) {
        if (mw_same_name(shop->trades[i].name, name)) {
            *count = shop->trades[i].count;
            return true;
        }
    }
    for (uint32_t i = 0; i < shop->machine_count; i++) {
        if (mw_same_name(shop->machines[i].name, name)) {
            *count = shop->machines[i].count;
            return true;
        }
    }
    mw_suggest near = mw_load_suggest(load, name);
    for (uint32_t i = 0; i < shop->trade_count; i++) {
        mw_suggest_offer(&near, shop->trades[i].name);
    }
    for (uint32_t i = 0; i < shop->machine_count; i++) {
        mw_suggest_offer(&near, shop->machines[i].name);
    }
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_NOBODY, promise->holds_at,
                                   "the shop has no trade or machine `%.*s`", MW_SHOW(name));
    mw_load_mean(load, diag, &near);
    return false;
}

static void check_promise(mw_load *load, const mw_shop *shop, const raw_promise *promise)
{
    uint32_t count = 0;
    if (promise->row.holds.length == 0 || !find_held(load, shop, promise, &count)) {
        return;
    }
    if (promise->row.amount < 1 || promise->row.amount > count) {
        mw_diags_error(load->diags, MW_CODE_OUT_OF_RANGE, promise->holds_at,
                       "the shop has %u of `%.*s`, and this promises %u", (unsigned)count,
                       MW_SHOW(promise->row.holds), (unsigned)promise->row.amount);
    }
}

static void read_promises(mw_load *load, const mw_raw_shop *raw, mw_shop *shop)
{
    const mw_yaml_node *list = raw->promised;
    mw_promise *rows = mw_load_room(load, list == NULL ? 0 : list->count, sizeof *rows);
    shop->promises = rows;
    if (rows == NULL || list == NULL) {
        return;
    }
    for (const mw_yaml_node *node = list->first; node != NULL; node = node->next) {
        raw_promise promise = {.row = {.amount = 1, .at = mw_node_place(node)}};
        mw_load_fields(load, &promise_keys, node, &promise);
        check_promise(load, shop, &promise);
        bool dated = promise.from != NULL && promise.until != NULL &&
                     mw_moment_read(load, promise.from, &promise.row.from_s) &&
                     mw_moment_read(load, promise.until, &promise.row.until_s);
        if (dated && promise.row.until_s <= promise.row.from_s) {
            mw_load_range(
                load, mw_node_place(promise.until),
                "`until` is the moment from which it is free again: it comes after `from`");
        }
        rows[shop->promise_count++] = promise.row;
    }
}

/* --- values ----------------------------------------------------------------------------------- */

/* A name that is nearly a known one, but not that, is taken for a slip of the pen: the program would go on with the
 * usual value, and nobody would notice. */
static void check_slip(mw_load *load, const mw_line_row *row)
{
    enum { SLIP_EDITS = 2 };
    mw_suggest near = mw_load_suggest(load, row->name);
    for (const mw_shop_known *known = mw_shop_known_rows(); known->name != NULL; known++) {
        mw_suggest_offer(&near, mw_str_of(known->name));
    }
    if (near.best.length == 0 || near.distance == 0 || near.distance > SLIP_EDITS) {
        return;
    }
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_UNKNOWN_KEY, row->name_at,
                                   "`%.*s` looks like the value `%.*s` misspelt",
                                   MW_SHOW(row->name), MW_SHOW(near.best));
    mw_load_mean(load, diag, &near);
}

/* Returns the unit of a line as text: given, or known. */
static mw_str unit_of_line(mw_load *load, const mw_yaml_node *node, const mw_raw_line *line)
{
    const mw_shop_known *row = mw_shop_known_find(line->row.name);
    const char *known = row == NULL ? NULL : row->unit;
    const mw_yaml_node *unit = node->kind == MW_YAML_MAP ? mw_yaml_find(node, "unit") : NULL;
    if (unit == NULL) {
        if (known == NULL) {
            mw_diag *diag =
                mw_diags_error(load->diags, MW_CODE_MISSING_KEY, line->row.name_at,
                               "the line `%.*s` needs a `unit`", MW_SHOW(line->row.name));
            mw_diag_try(load->diags, diag, "add `unit: \"1\"` for a plain number");
        }
        return mw_str_of(known);
    }
    mw_type type;
    mw_unit of_known;
    if (known != NULL && line->row.type != MW_NONE &&
        mw_unit_of_words(load->calculator->measure, mw_str_of(known), &type, &of_known) == MW_OK &&
        type != line->row.type) {
        mw_diags_error(load->diags, MW_CODE_WRONG_KIND, mw_node_place(unit),
                       "the unit of `%.*s` must be of the kind of %s", MW_SHOW(line->row.name),
                       known);
    }
    return mw_load_keep(load, unit);
}

static void check_value(mw_limits *limits, const mw_line_row *row)
{
    const mw_shop_known *known = mw_shop_known_find(row->name);
    if (known == NULL) {
        check_slip(limits->load, row);
    } else {
        mw_limits_shop(limits, known, row->formula);
    }
}

static void read_lines(mw_load *load, const mw_raw_shop *raw, mw_shop_making *making)
{
    const mw_yaml_node *map = raw->lines;
    size_t count = map == NULL ? 0 : map->count;
    making->lines = mw_load_room(load, count, sizeof *making->lines);
    making->line_units = mw_load_room(load, count, sizeof *making->line_units);
    making->shop.lines = making->lines;
    if (making->lines == NULL || making->line_units == NULL || map == NULL) {
        return;
    }
    mw_limits limits;
    mw_limits_start(&limits, load);
    for (const mw_yaml_node *node = map->first; node != NULL; node = node->next) {
        mw_raw_line line;
        mw_raw_line_read(load, node, &line);
        check_value(&limits, &line.row);
        bool given = node->kind != MW_YAML_MAP || mw_yaml_find(node, "is") != NULL ||
                     mw_yaml_find(node, "usual") != NULL;
        if (!given) {
            mw_diags_error(load->diags, MW_CODE_MISSING_KEY, line.row.name_at,
                           "the line `%.*s` needs a formula", MW_SHOW(line.row.name));
        }
        making->line_units[making->shop.line_count] = unit_of_line(load, node, &line);
        making->lines[making->shop.line_count++] = (mw_shop_line){.name = line.row.name,
                                                                  .formula = line.row.formula,
                                                                  .source = line.row.source,
                                                                  .name_at = line.row.name_at};
    }
    mw_limits_end(&limits);
}

mw_status mw_shop_settle(mw_shop_making *making, mw_measure *measure)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; i < making->shop.line_count && status == MW_OK; i++) {
        mw_shop_line *line = &making->lines[i];
        status = mw_unit_of_words(measure, making->line_units[i], &line->type, &line->unit);
    }
    return status;
}

/* --- the file --------------------------------------------------------------------------------- */

void mw_shop_read(mw_load *load, const mw_yaml_node *root, mw_shop_making *making)
{
    mw_raw_shop raw = {.name_at = mw_node_place(root),
                       .money = MW_NONE,
                       .energy = mw_nowhere(),
                       .picture_at = mw_nowhere()};
    *making = (mw_shop_making){0};
    mw_load_fields(load, &shop_keys, root, &raw);
    mw_shop *shop = &making->shop;
    shop->name = raw.name;
    shop->title = raw.title.length > 0 ? raw.title : raw.name;
    shop->file = raw.name_at.source;
    making->name_at = raw.name_at;
    mw_shop_money_read(load, &raw, &making->tender);
    shop->currency = making->tender.currency;
    mw_shop_times_read(load, &raw.times, shop);
    read_people(load, &raw, shop);
    read_machines(load, &raw, shop);
    read_promises(load, &raw, shop);
    read_lines(load, &raw, making);
    shop->exchanges = making->tender.exchange;
    shop->exchange_count = making->tender.exchange_count;
    mw_shop_offer_read(load, &raw, shop);
}
