/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading the currency, rates of exchange and own units of a shop. */
#include <math.h>

#include "mouldwright/money.h"
#include "recipe/raw.h"
#include "recipe/shop_parts.h"

/* Notes what the measure context says to something that was checked: only memory can be wanting. */
static bool accepted(mw_load *load, mw_status status)
{
    load->no_memory |= status == MW_NO_MEMORY;
    return status == MW_OK;
}

static void read_currency(mw_load *load, mw_raw_shop *raw, mw_tender *tender)
{
    mw_measure *measure = load->calculator->measure;
    uint16_t currency = mw_currency_find(measure, raw->currency);
    if (raw->currency.length == 0) {
        return;
    }
    if (currency == 0) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_UNKNOWN_UNIT, raw->currency_at,
                                       "`%.*s` is no currency", MW_SHOW(raw->currency));
        mw_diag_try(load->diags, diag, "use the three letters of ISO 4217, as in EUR");
    } else if (accepted(load, mw_money_base(measure, currency))) {
        tender->currency = currency;
        raw->money = mw_money_type(measure, currency);
        load->no_memory |= raw->money == MW_NONE;
    }
}

static void read_rate(mw_load *load, const mw_yaml_node *node, mw_tender *tender)
{
    mw_measure *measure = load->calculator->measure;
    uint16_t currency = mw_currency_find(measure, node->key);
    if (currency == 0 || currency == tender->currency) {
        mw_diags_error(load->diags, MW_CODE_UNKNOWN_UNIT, node->key_span,
                       currency == 0 ? "`%.*s` is no currency"
                                     : "`%.*s` is the shop's own currency; it needs no rate",
                       MW_SHOW(node->key));
        return;
    }
    mw_span formula = mw_nowhere();
    mw_constant rate;
    if (!mw_load_formula(load, node, &formula) ||
        !mw_load_figure(load, formula, MW_TYPE_NUMBER, &rate)) {
        return;
    }
    if (!(rate.low > 0) || !isnormal(rate.value)) {
        mw_load_range(load, formula, "a rate of exchange is more than 0");
    } else if (tender->currency != 0 &&
               accepted(load, mw_money_rate(measure, currency, rate.value))) {
        tender->exchange[tender->exchange_count++] = (mw_exchange){currency, rate.value};
    }
}

/* Returns the unit as text that any measure context can read. */
static mw_str unit_text(mw_load *load, mw_unit unit)
{
    mw_text words = {0};
    mw_unit_words(load->calculator->measure, unit, &words);
    char *copy =
        words.failed ? NULL : mw_arena_copy(load->rows, mw_text_chars(&words), words.length);
    mw_str text = {copy, words.length};
    load->no_memory |= copy == NULL;
    mw_text_free(&words);
    return text;
}

static void read_unit(mw_load *load, const mw_yaml_node *node, mw_tender *tender)
{
    mw_measure *measure = load->calculator->measure;
    mw_span formula = mw_nowhere();
    mw_constant figure;
    if (!mw_load_formula(load, node, &formula) ||
        !mw_load_figure(load, formula, MW_NONE, &figure)) {
        return;
    }
    mw_str name = mw_load_key(load, node);
    double factor = mw_unit_from_si(measure, figure.unit, figure.value);
    mw_type type = mw_unit_type(measure, figure.unit);
    bool plain = mw_type_fits(measure, figure.type, type) == MW_TYPE_FINE;
    if (!plain || mw_type_look(measure, figure.type)->point != 0 || !(figure.low > 0) ||
        !isnormal(figure.value)) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_WRONG_KIND, formula,
                                       "a unit is an amount above 0 of another unit");
        mw_diag_try(load->diags, diag, "write it as in drum: 200 kg");
        return;
    }
    mw_status status = mw_unit_define(measure, name, factor, figure.unit);
    if (accepted(load, status)) {
        tender->units[tender->unit_count++] =
            (mw_own_unit){name, factor, unit_text(load, figure.unit)};
    } else if (status != MW_NO_MEMORY) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_UNIT_EXISTS, node->key_span,
                                       status == MW_FAILED ? "`%.*s` is a unit already"
                                                           : "`%.*s` cannot be the name of a unit",
                                       MW_SHOW(name));
        mw_diag_try(load->diags, diag, "choose another word of letters");
    }
}

void mw_shop_money_read(mw_load *load, mw_raw_shop *raw, mw_tender *tender)
{
    size_t rates = raw->exchange == NULL ? 0 : raw->exchange->count;
    size_t units = raw->units == NULL ? 0 : raw->units->count;
    tender->exchange = mw_load_room(load, rates, sizeof *tender->exchange);
    tender->units = mw_load_room(load, units, sizeof *tender->units);
    if (tender->exchange == NULL || tender->units == NULL) {
        return;
    }
    read_currency(load, raw, tender);
    if (raw->exchange != NULL) {
        for (const mw_yaml_node *node = raw->exchange->first; node != NULL; node = node->next) {
            read_rate(load, node, tender);
        }
    }
    if (raw->units != NULL) {
        for (const mw_yaml_node *node = raw->units->first; node != NULL; node = node->next) {
            read_unit(load, node, tender);
        }
    }
}

mw_status mw_tender_apply(const mw_tender *tender, mw_measure *measure)
{
    mw_status status = mw_money_base(measure, tender->currency);
    for (uint32_t i = 0; i < tender->exchange_count && status == MW_OK; i++) {
        status = mw_money_rate(measure, tender->exchange[i].currency, tender->exchange[i].rate);
    }
    for (uint32_t i = 0; i < tender->unit_count && status == MW_OK; i++) {
        mw_unit unit;
        size_t used;
        status = mw_unit_read(measure, tender->units[i].of, &used, &unit);
        if (tender->units[i].of.length == 0) {
            unit = MW_UNIT_ONE;
            status = MW_OK;
        }
        if (status == MW_OK) {
            status = mw_unit_define(measure, tender->units[i].name, tender->units[i].factor, unit);
        }
    }
    return status;
}
