/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Units as text: writing. */
#include "measure.h"

#include <stdlib.h>

static mw_str symbol_text(const mw_measure *measure, symbol which, bool alone)
{
    if (which == MW_PERSON && !alone) {
        return mw_str_of("person"); /* 3 people, but 12 person*h */
    }
    const unit_row *row = row_of_symbol(which);
    if (row != NULL) {
        return mw_str_of(row->name);
    }
    symbol currency = which - UNIT_ROWS;
    if (currency < CURRENCY_ROWS) {
        return mw_str_of(currency_rows[currency].code);
    }
    return mw_names_text(measure->names, measure->shop_units[currency - CURRENCY_ROWS].name);
}

static int greatest_common_divisor(int a, int b)
{
    return b == 0 ? a : greatest_common_divisor(b, a % b);
}

/* Digits behind other names than these would be read as part of the name, or not at all. */
static bool ends_in_letter(mw_str name)
{
    char last = name.length > 0 ? name.at[name.length - 1] : 'x';
    return (last >= 'a' && last <= 'z') || (last >= 'A' && last <= 'Z');
}

/* Adds a power > 0 in sixtieths: "2", "^3/2", nothing for 1. */
static void add_power(int32_t sixtieths, bool after_letter, mw_text *out)
{
    if (sixtieths == MW_EXPONENT_ONE) {
        return;
    }
    int divisor = greatest_common_divisor(sixtieths, MW_EXPONENT_ONE);
    int over = sixtieths / divisor;
    int under = MW_EXPONENT_ONE / divisor;
    if (under != 1) {
        mw_text_addf(out, "^%d/%d", over, under);
    } else {
        mw_text_addf(out, after_letter ? "%d" : "^%d", over);
    }
}

static void add_factor(const mw_measure *measure, const unit_factor *item, bool alone, mw_text *out)
{
    uint32_t prefix = atom_prefix(item->atom);
    if (prefix != 0) {
        mw_text_adds(out, prefix_rows[prefix - 1].symbol);
    }
    mw_str name = symbol_text(measure, atom_symbol(item->atom), alone);
    mw_text_add_str(out, name);
    add_power(abs(item->exponent), ends_in_letter(name), out);
}

void factors_words(const mw_measure *measure, const factors *list, mw_text *out)
{
    bool alone = list->count == 1 && list->items[0].exponent == MW_EXPONENT_ONE;
    bool first = true;
    for (uint32_t i = 0; i < list->count; i++) {
        if (list->items[i].exponent > 0) {
            mw_text_adds(out, first ? "" : "*");
            add_factor(measure, &list->items[i], alone, out);
            first = false;
        }
    }
    if (first && list->count > 0) {
        mw_text_addc(out, '1');
    }
    for (uint32_t i = 0; i < list->count; i++) {
        if (list->items[i].exponent < 0) {
            mw_text_addc(out, '/');
            add_factor(measure, &list->items[i], alone, out);
        }
    }
}

void mw_unit_words(const mw_measure *measure, mw_unit unit, mw_text *out)
{
    if (unit < measure->unit_count) {
        factors_words(measure, &measure->units[unit].factors, out);
    }
}
