/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading a shop: money, units, people, machines, promises and values; see shop_times.c for its hours. */
#include "recipe/files.h"

#include "mouldwright/date.h"
#include "mouldwright/money.h"
#include "recipe/raw.h"

typedef struct raw_shop {
    mw_str name, title, currency;
    mw_span name_at, currency_at;
    const mw_yaml_node *exchange, *units, *people, *machines, *shifts, *holidays, *part_days,
        *temperature, *promised, *lines;
} raw_shop;

/* clang-format off */
static const mw_field shop_fields[] = {
    MW_NEEDED_ALSO("shop", MW_FIELD_TEXT, raw_shop, name, name_at),
    MW_FIELD("name", MW_FIELD_TEXT, raw_shop, title),
    MW_NEEDED_ALSO("currency", MW_FIELD_TEXT, raw_shop, currency, currency_at),
    MW_FIELD("exchange", MW_FIELD_MAP, raw_shop, exchange),
    MW_FIELD("units", MW_FIELD_MAP, raw_shop, units),
    MW_NEEDED("people", MW_FIELD_LIST, raw_shop, people),
    MW_FIELD("machines", MW_FIELD_LIST, raw_shop, machines),
    MW_NEEDED("shifts", MW_FIELD_MAP, raw_shop, shifts),
    MW_FIELD("holidays", MW_FIELD_LIST, raw_shop, holidays),
    MW_FIELD("part_days", MW_FIELD_LIST, raw_shop, part_days),
    MW_NEEDED("temperature", MW_FIELD_LIST, raw_shop, temperature),
    MW_FIELD("promised", MW_FIELD_LIST, raw_shop, promised),
    MW_FIELD("lines", MW_FIELD_MAP, raw_shop, lines),
};
/* clang-format on */
static const mw_keys shop_form = MW_KEYS("a shop", shop_fields);

/* ---- money and units ---- */

static void read_currency(mw_load *load, const raw_shop *raw, mw_shop *shop)
{
    mw_measure *measure = load->calculator->measure;
    shop->currency = mw_currency_find(measure, raw->currency);
    if (shop->currency == 0) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_UNKNOWN_UNIT, raw->currency_at,
                                       "`%.*s` is no currency", MW_SHOW(raw->currency));
        mw_diag_try(load->diags, diag, "the three letters of ISO 4217: EUR");
        return;
    }
    load->no_memory |= mw_money_base(measure, shop->currency) == MW_NO_MEMORY;
}

static void read_rate(mw_load *load, const mw_yaml_node *node, uint16_t base)
{
    mw_measure *measure = load->calculator->measure;
    mw_span formula;
    double rate = 0.0;
    uint16_t currency = mw_currency_find(measure, node->key);
    if (currency == 0 || currency == base) {
        mw_diags_error(load->diags, MW_CODE_UNKNOWN_UNIT, node->key_span,
                       currency ? "`%.*s` is the shop's own currency" : "`%.*s` is no currency",
                       MW_SHOW(node->key));
        return;
    }
    if (!mw_load_formula(load, node, &formula) ||
        !mw_load_value(load, formula, MW_TYPE_NUMBER, &rate)) {
        return;
    }
    if (!(rate > 0.0)) {
        mw_diags_error(load->diags, MW_CODE_OUT_OF_RANGE, formula,
                       "a rate of exchange is more than 0");
        return;
    }
    load->no_memory |= mw_money_rate(measure, currency, rate) == MW_NO_MEMORY;
}

static void read_own_unit(mw_load *load, const mw_yaml_node *node)
{
    mw_measure *measure = load->calculator->measure;
    mw_span formula;
    mw_constant figure;
    if (!mw_load_formula(load, node, &formula) ||
        mw_calculate(load->calculator, formula, &figure, load->diags) != MW_OK) {
        return;
    }
    double factor = mw_unit_from_si(measure, figure.unit, figure.value);
    mw_status status = mw_unit_define(measure, node->key, factor, figure.unit);
    if (status == MW_NO_MEMORY) {
        load->no_memory = true;
    } else if (status != MW_OK) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_UNIT_EXISTS, node->key_span,
                                       status == MW_FAILED ? "`%.*s` is a unit already"
                                                           : "`%.*s` cannot be the name of a unit",
                                       MW_SHOW(node->key));
        mw_diag_try(load->diags, diag, "choose another word of letters");
    }
}

/* ---- people and machines ---- */

typedef struct raw_trade {
    mw_trade row;
} raw_trade;

static const mw_field trade_fields[] = {
    MW_NEEDED_ALSO("trade", MW_FIELD_TEXT, raw_trade, row.name, row.at),
    MW_NEEDED("count", MW_FIELD_COUNT, raw_trade, row.count),
    MW_NEEDED("rate", MW_FIELD_FORMULA, raw_trade, row.rate_at),
    MW_FIELD("shift", MW_FIELD_TEXT, raw_trade, row.shift),
};
static const mw_keys trade_form = MW_KEYS("a trade", trade_fields);

/* The type of the shop's money over that of `over`. */
static mw_type rate_type(mw_load *load, const mw_shop *shop, mw_type over)
{
    mw_measure *measure = load->calculator->measure;
    if (shop->currency == 0) {
        return MW_NONE; /* said already */
    }
    mw_type money = mw_money_type(measure, shop->currency);
    mw_type rate = MW_NONE;
    bool lost = money == MW_NONE || mw_type_divide(measure, money, over, &rate) != MW_TYPE_FINE;
    load->no_memory |= lost;
    return rate;
}

static void read_people(mw_load *load, const mw_yaml_node *list, mw_shop *shop)
{
    mw_trade *rows = mw_load_room(load, list->count, sizeof *rows);
    for (const mw_yaml_node *node = rows ? list->first : NULL; node; node = node->next) {
        raw_trade raw = {.row = {.rate_at = mw_nowhere()}};
        mw_load_fields(load, &trade_form, node, &raw);
        mw_load_value(load, raw.row.rate_at, rate_type(load, shop, MW_TYPE_LABOUR), &raw.row.rate);
        for (uint32_t i = 0; i < shop->trade_count; i++) {
            if (mw_same_name(rows[i].name, raw.row.name)) {
                mw_load_twice(load, "trade", raw.row.name, raw.row.at, rows[i].at);
            }
        }
        rows[shop->trade_count++] = raw.row;
    }
    shop->trades = rows;
}

typedef struct raw_machine {
    mw_machine_row row;
    const mw_yaml_node *size;
} raw_machine;

static const mw_field machine_fields[] = {
    MW_NEEDED_ALSO("machine", MW_FIELD_TEXT, raw_machine, row.name, row.at),
    MW_FIELD("count", MW_FIELD_COUNT, raw_machine, row.count),
    MW_FIELD("rate", MW_FIELD_FORMULA, raw_machine, row.rate_at),
    MW_FIELD("size", MW_FIELD_LIST, raw_machine, size),
    MW_FIELD("shift", MW_FIELD_TEXT, raw_machine, row.shift),
};
static const mw_keys machine_form = MW_KEYS("a machine", machine_fields);

static void read_size(mw_load *load, const mw_yaml_node *list, mw_machine_row *machine)
{
    size_t side = 0;
    if (list->count != 3) {
        mw_load_wrong_form(load, list, "length, width and height");
        return;
    }
    for (const mw_yaml_node *node = list->first; node; node = node->next, side++) {
        mw_span formula;
        if (mw_load_formula(load, node, &formula)) {
            mw_load_value(load, formula, MW_TYPE_LENGTH, &machine->size_m[side]);
        }
    }
}

static void read_machines(mw_load *load, const mw_yaml_node *list, mw_shop *shop)
{
    mw_machine_row *rows = mw_load_room(load, list->count, sizeof *rows);
    for (const mw_yaml_node *node = rows ? list->first : NULL; node; node = node->next) {
        raw_machine raw = {.row = {.count = 1, .rate_at = mw_nowhere()}};
        double rate = 0.0;
        mw_load_fields(load, &machine_form, node, &raw);
        if (raw.row.rate_at.source != MW_NONE) {
            mw_load_value(load, raw.row.rate_at, rate_type(load, shop, MW_TYPE_TIME), &rate);
        }
        if (raw.size) {
            read_size(load, raw.size, &raw.row);
        }
        for (uint32_t i = 0; i < shop->machine_count; i++) {
            if (mw_same_name(rows[i].name, raw.row.name)) {
                mw_load_twice(load, "machine", raw.row.name, raw.row.at, rows[i].at);
            }
        }
        rows[shop->machine_count++] = raw.row;
    }
    shop->machines = rows;
}

/* Shifts that people and machines name must exist. */
static void check_shift(mw_load *load, const mw_shop *shop, mw_str name, mw_span at)
{
    if (name.length == 0 || mw_str_is(name, "always")) {
        return;
    }
    mw_suggest nearest = mw_load_suggest(load, name);
    for (uint32_t i = 0; i < shop->shift_count; i++) {
        if (mw_str_equal(shop->shifts[i].name, name)) {
            return;
        }
        mw_suggest_offer(&nearest, shop->shifts[i].name);
    }
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_UNKNOWN_NAME, at,
                                   "it names a shift `%.*s` that is not there", MW_SHOW(name));
    mw_load_mean(load, diag, &nearest);
}

/* ---- promises ---- */

typedef struct raw_promise {
    mw_promise row;
    mw_span holds_at;
    const mw_yaml_node *from, *until;
} raw_promise;

static const mw_field promise_fields[] = {
    MW_NEEDED("what", MW_FIELD_TEXT, raw_promise, row.what),
    MW_NEEDED_ALSO("holds", MW_FIELD_TEXT, raw_promise, row.holds, holds_at),
    MW_FIELD("amount", MW_FIELD_COUNT, raw_promise, row.amount),
    MW_NEEDED("from", MW_FIELD_ANY, raw_promise, from),
    MW_NEEDED("until", MW_FIELD_ANY, raw_promise, until),
};
static const mw_keys promise_form = MW_KEYS("a promise", promise_fields);

static void check_held(mw_load *load, const mw_shop *shop, mw_str name, mw_span at)
{
    mw_suggest nearest = mw_load_suggest(load, name);
    bool known = false;
    for (uint32_t i = 0; i < shop->trade_count; i++) {
        known = known || mw_same_name(shop->trades[i].name, name);
        mw_suggest_offer(&nearest, shop->trades[i].name);
    }
    for (uint32_t i = 0; i < shop->machine_count; i++) {
        known = known || mw_same_name(shop->machines[i].name, name);
        mw_suggest_offer(&nearest, shop->machines[i].name);
    }
    if (!known) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_NOBODY, at,
                                       "the shop has no trade or machine `%.*s`", MW_SHOW(name));
        mw_load_mean(load, diag, &nearest);
    }
}

static void read_promises(mw_load *load, const mw_yaml_node *list, mw_shop *shop)
{
    mw_promise *rows = mw_load_room(load, list->count, sizeof *rows);
    for (const mw_yaml_node *node = rows ? list->first : NULL; node; node = node->next) {
        raw_promise raw = {.row = {.amount = 1}};
        int32_t from = 0;
        int32_t until = 0;
        mw_load_fields(load, &promise_form, node, &raw);
        raw.row.at = mw_node_place(node);
        if (raw.row.holds.length > 0) {
            check_held(load, shop, raw.row.holds, raw.holds_at);
        }
        bool dated = raw.from && raw.until && mw_day_read(load, raw.from, &from) &&
                     mw_day_read(load, raw.until, &until);
        if (dated && until <= from) {
            mw_diags_error(load->diags, MW_CODE_OUT_OF_RANGE, mw_node_place(raw.until),
                           "`until` must be after `from`: it is the first day that is free again");
        }
        raw.row.from_s = from * MW_DAY_S;
        raw.row.until_s = until * MW_DAY_S;
        rows[shop->promise_count++] = raw.row;
    }
    shop->promises = rows;
}

/* ---- values ---- */

typedef struct raw_value {
    mw_shop_line row;
    mw_str about;
} raw_value;

static const mw_field value_fields[] = {
    MW_NEEDED_ALSO("unit", MW_FIELD_UNIT, raw_value, row.type, row.unit),
    MW_NEEDED("is", MW_FIELD_FORMULA, raw_value, row.formula),
    MW_FIELD("about", MW_FIELD_TEXT, raw_value, about),
    MW_FIELD("source", MW_FIELD_TEXT, raw_value, row.source),
};
static const mw_keys value_form = MW_KEYS("a value of the shop", value_fields);

static void read_values(mw_load *load, const mw_yaml_node *map, mw_shop *shop)
{
    mw_shop_line *rows = mw_load_room(load, map->count, sizeof *rows);
    for (const mw_yaml_node *node = rows ? map->first : NULL; node; node = node->next) {
        raw_value raw = {.row = {.formula = mw_nowhere()}};
        mw_load_fields(load, &value_form, node, &raw);
        mw_load_name(load, node->key, node->key_span, "a value of the shop");
        raw.row.name = node->key;
        raw.row.name_at = node->key_span;
        rows[shop->line_count++] = raw.row;
    }
    shop->lines = rows;
}

/* ---- the file ---- */

static void read_money(mw_load *load, const raw_shop *raw, mw_shop *shop)
{
    read_currency(load, raw, shop);
    for (const mw_yaml_node *node = raw->exchange ? raw->exchange->first : NULL; node;
         node = node->next) {
        read_rate(load, node, shop->currency);
    }
    for (const mw_yaml_node *node = raw->units ? raw->units->first : NULL; node;
         node = node->next) {
        read_own_unit(load, node);
    }
}

static void check_shifts(mw_load *load, const mw_shop *shop)
{
    for (uint32_t i = 0; i < shop->trade_count; i++) {
        check_shift(load, shop, shop->trades[i].shift, shop->trades[i].at);
    }
    for (uint32_t i = 0; i < shop->machine_count; i++) {
        check_shift(load, shop, shop->machines[i].shift, shop->machines[i].at);
    }
}

mw_shop *mw_shop_read(mw_load *load, const mw_yaml_node *root)
{
    raw_shop raw = {0};
    mw_shop *shop = mw_load_room(load, 1, sizeof *shop);
    mw_load_fields(load, &shop_form, root, &raw);
    if (!shop) {
        return NULL;
    }
    shop->name = raw.name;
    shop->title = raw.title.length ? raw.title : raw.name;
    shop->file = root->span.source;
    read_money(load, &raw, shop);
    if (raw.people) {
        read_people(load, raw.people, shop);
    }
    if (raw.machines) {
        read_machines(load, raw.machines, shop);
    }
    mw_shop_times_read(load, root, shop);
    check_shifts(load, shop);
    if (raw.promised) {
        read_promises(load, raw.promised, shop);
    }
    if (raw.lines) {
        read_values(load, raw.lines, shop);
    }
    return shop;
}
