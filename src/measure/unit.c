/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a unit says about values; units that a shop defines; the list of units. */
#include "mouldwright/unit.h"

#include <math.h>

#include "measure.h"
#include "mouldwright/memory.h"
#include "mouldwright/suggest.h"

/* Ids that are no unit mean the plain number. */
static const unit_record *record_of(const mw_measure *measure, mw_unit unit)
{
    return &measure->units[unit < measure->unit_count ? unit : MW_UNIT_ONE];
}

mw_type mw_unit_type(const mw_measure *measure, mw_unit unit)
{
    return record_of(measure, unit)->type;
}

double mw_unit_scale(const mw_measure *measure, mw_unit unit)
{
    return record_of(measure, unit)->scale;
}

double mw_unit_offset(const mw_measure *measure, mw_unit unit)
{
    return record_of(measure, unit)->offset;
}

/* The exact fraction of a point unit: 5/9 has no double, and 32 degF must be 0 degC. */
static const unit_row *point_row_of(const unit_record *record)
{
    return row_of_symbol(record->factors.items[0].atom);
}

double mw_unit_to_si(const mw_measure *measure, mw_unit unit, double value)
{
    const unit_record *record = record_of(measure, unit);
    if (record->offset == 0) {
        return value * record->scale;
    }
    const unit_row *row = point_row_of(record);
    long double shifted =
        (long double)value * row->numerator / row->denominator + (long double)record->offset;
    return (double)shifted;
}

double mw_unit_from_si(const mw_measure *measure, mw_unit unit, double value)
{
    const unit_record *record = record_of(measure, unit);
    if (record->offset == 0) {
        return value / record->scale;
    }
    const unit_row *row = point_row_of(record);
    long double shifted = (long double)value - (long double)record->offset;
    return (double)(shifted * row->denominator / row->numerator);
}

/* Whether a unit is an absolute scale of temperature (K, mK, degR), so that it shows points too. */
static bool is_absolute(const unit_record *record)
{
    if (record->type != MW_TYPE_TEMPERATURE || record->factors.count != 1) {
        return false;
    }
    const unit_row *row = row_of_symbol(atom_symbol(record->factors.items[0].atom));
    return row != NULL && (row->flags & (UNIT_STEP | UNIT_POINT)) == 0;
}

bool mw_unit_shows(mw_measure *measure, mw_unit unit, mw_type type)
{
    const unit_record *record = record_of(measure, unit);
    if (record->type == type) {
        return true;
    }
    const mw_type_parts *parts = type_parts(measure, type);
    if (parts->form != MW_FORM_NUMBER || type == MW_TYPE_DATE) {
        return unit == MW_UNIT_ONE;
    }
    if (type == MW_TYPE_DEGREES) {
        return is_absolute(record);
    }
    mw_type joined;
    return mw_type_join(measure, record->type, type, &joined) == MW_TYPE_FINE;
}

/* --- units of a shop ------------------------------------------------------------------------- */

/* word = letter { letter | digit | "_" } */
static bool is_word(mw_str name)
{
    for (size_t i = 0; i < name.length; i++) {
        char c = name.at[i];
        bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
        bool digit = c >= '0' && c <= '9';
        if (!letter && (i == 0 || (!digit && c != '_'))) {
            return false;
        }
    }
    return name.length > 0;
}

static shop_unit *find_shop_unit(mw_measure *measure, mw_str name)
{
    uint32_t id = mw_names_find(measure->names, name);
    if (id == MW_NONE || id >= mw_names_count(measure->names)) {
        return NULL;
    }
    symbol which = measure->meanings[id].atom;
    return which < UNIT_ROWS + CURRENCY_ROWS || atom_prefix(which) != 0
               ? NULL
               : &measure->shop_units[which - UNIT_ROWS - CURRENCY_ROWS];
}

/* Whether a name reads as some unit already. */
static bool is_taken(mw_measure *measure, mw_str name)
{
    size_t used;
    mw_unit unit;
    mw_status status = mw_unit_read(measure, name, &used, &unit);
    return word_reserved(name) || (status != MW_NOT_FOUND && used == name.length);
}

/* Adds a unit under a name, or in place of the one that had it. */
static mw_status add_shop_unit(mw_measure *measure, mw_str name, double factor, mw_unit unit)
{
    void *units = measure->shop_units;
    void *meanings = measure->meanings;
    if (!mw_memory_grow(&units, &measure->shop_capacity, (size_t)measure->shop_count + 1,
                        sizeof(shop_unit))) {
        return MW_NO_MEMORY;
    }
    measure->shop_units = units;
    if (!mw_memory_grow(&meanings, &measure->meaning_capacity,
                        (size_t)mw_names_count(measure->names) + 1, sizeof(name_meaning))) {
        return MW_NO_MEMORY;
    }
    measure->meanings = meanings;
    uint32_t id = mw_names_add(measure->names, name);
    if (id == MW_NONE) {
        return MW_NO_MEMORY;
    }
    measure->shop_units[measure->shop_count] = (shop_unit){id, unit, factor};
    measure->meanings[id] =
        (name_meaning){UNIT_ROWS + CURRENCY_ROWS + measure->shop_count, PREFIX_NONE};
    measure->shop_count++;
    units_forget(measure);
    return MW_OK;
}

mw_status mw_unit_define(mw_measure *measure, mw_str name, double factor, mw_unit unit)
{
    if (!is_word(name)) {
        return MW_NOT_FOUND;
    }
    const shop_unit *known = find_shop_unit(measure, name);
    if (known != NULL && known->unit == unit && known->factor == factor) {
        return MW_OK;
    }
    double scale = factor * mw_unit_scale(measure, unit);
    if ((known == NULL && is_taken(measure, name)) || !(factor > 0) || !isnormal(scale) ||
        mw_unit_offset(measure, unit) != 0) {
        return MW_FAILED;
    }
    return add_shop_unit(measure, name, factor, unit);
}

/* --- lists ----------------------------------------------------------------------------------- */

/* Words that are written for a unit but are none, and what to write: they mean several things, or need a sign. */
static const struct {
    const char *word;
    const char *meant;
} meant_units[] = {
    {"ton", "t, ton_us or ton_uk"},
    {"tons", "t, ton_us or ton_uk"},
    {"Nm", "N*m"},
    {"kNm", "kN*m"},
    {"M2", "m2"},
    {"M3", "m3"},
    {"sqm", "m2"},
    {"sqft", "ft2"},
    {"cbm", "m3"},
    {"mtr", "m"},
    {"kgs", "kg"},
    {"ltr", "L"},
};

static bool has_small_letter(mw_str word)
{
    for (size_t i = 0; i < word.length; i++) {
        if (word.at[i] >= 'a' && word.at[i] <= 'z') {
            return true;
        }
    }
    return false;
}

/* A currency is meant by capitals, or by its very letters: `1 ton` is no misspelt RON, but `1 eur` is EUR. */
static bool may_be_meant(const mw_measure *measure, uint32_t id, mw_str wanted)
{
    symbol which = atom_symbol(measure->meanings[id].atom);
    bool currency = which >= UNIT_ROWS && which < UNIT_ROWS + CURRENCY_ROWS;
    return !currency || !has_small_letter(wanted) ||
           mw_suggest_distance(wanted, mw_names_text(measure->names, id), 0) == 0;
}

void mw_unit_suggest(const mw_measure *measure, struct mw_suggest *suggest)
{
    for (size_t i = 0; i < sizeof meant_units / sizeof meant_units[0]; i++) {
        if (mw_str_is(suggest->wanted, meant_units[i].word)) {
            suggest->best = mw_str_of(meant_units[i].meant);
            suggest->distance = 0;
        }
    }
    /* of two that are equally near the common one is meant */
    for (int i = 0; i < COMMON_ROWS; i++) {
        mw_suggest_offer(suggest, mw_str_of(common_units[i]));
    }
    for (uint32_t id = 0; id < mw_names_count(measure->names); id++) {
        if (may_be_meant(measure, id, suggest->wanted)) {
            mw_suggest_offer(suggest, mw_names_text(measure->names, id));
        }
    }
}

void mw_unit_each(const mw_measure *measure,
                  void (*each)(void *context, mw_str name, mw_str about, mw_type type,
                               double scale),
                  void *context)
{
    for (symbol row = 0; row < UNIT_ROWS; row++) {
        factors list = {.items = {{row, MW_EXPONENT_ONE}}, .count = 1};
        unit_meaning meaning;
        if (meaning_of_factors(measure, &list, &meaning) == MW_OK) {
            each(context, mw_str_of(unit_rows[row].name), mw_str_of(unit_rows[row].about),
                 type_find(measure, &meaning.parts), meaning.scale);
        }
    }
    for (int row = 0; row < PREFIX_ROWS; row++) {
        each(context, mw_str_of(prefix_rows[row].symbol), mw_str_of(prefix_rows[row].about),
             MW_TYPE_NUMBER, pow(10, prefix_rows[row].ten));
    }
}
