/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Units as interned ids, and the names under which they are found. */
#include "measure.h"

#include <string.h>

#include "mouldwright/memory.h"

enum { FIRST_UNIT_SLOT_BITS = 7, NAMES_AT_START = 600 };

static uint32_t hash_factors(const factors *list)
{
    uint64_t hash = list->count;
    for (uint32_t i = 0; i < list->count; i++) {
        uint64_t exponent = (uint32_t)list->items[i].exponent;
        hash = mix_bits(hash + ((uint64_t)list->items[i].atom << 32 | exponent));
    }
    return (uint32_t)hash;
}

static bool same_factors(const factors *a, const factors *b)
{
    return a->count == b->count && memcmp(a->items, b->items, a->count * sizeof(unit_factor)) == 0;
}

/* Returns the slot where a unit stands or would stand. */
static uint32_t *slot_of(const mw_measure *measure, const factors *list)
{
    uint32_t mask = (1U << measure->unit_slot_bits) - 1;
    uint32_t at = hash_factors(list) & mask;
    while (measure->unit_slots[at] != MW_NONE &&
           !same_factors(&measure->units[measure->unit_slots[at]].factors, list)) {
        at = (at + 1) & mask;
    }
    return &measure->unit_slots[at];
}

static bool open_slots(mw_measure *measure, uint32_t bits)
{
    uint32_t *slots = empty_slots(bits);
    if (slots == NULL) {
        return false;
    }
    mw_memory_give(measure->unit_slots);
    measure->unit_slots = slots;
    measure->unit_slot_bits = bits;
    for (mw_unit unit = 0; unit < measure->unit_count; unit++) {
        *slot_of(measure, &measure->units[unit].factors) = unit;
    }
    return true;
}

static bool make_room(mw_measure *measure)
{
    void *units = measure->units;
    if (!mw_memory_grow(&units, &measure->unit_capacity, (size_t)measure->unit_count + 1,
                        sizeof(unit_record))) {
        return false;
    }
    measure->units = units;
    return measure->unit_count + 1 <= (1U << measure->unit_slot_bits) / 2 ||
           open_slots(measure, measure->unit_slot_bits + 1);
}

mw_status unit_of_factors(mw_measure *measure, const factors *list, mw_unit *unit)
{
    mw_unit known = *slot_of(measure, list);
    if (known != MW_NONE) {
        *unit = known;
        return MW_OK;
    }
    unit_meaning meaning;
    mw_status status = meaning_of_factors(measure, list, &meaning);
    if (status != MW_OK) {
        return status;
    }
    mw_type type = mw_type_of(measure, &meaning.parts);
    if (type == MW_NONE || !make_room(measure)) {
        return MW_NO_MEMORY;
    }
    *unit = measure->unit_count++;
    measure->units[*unit] = (unit_record){*list, type, meaning.scale, meaning.offset};
    *slot_of(measure, list) = *unit;
    return MW_OK;
}

mw_status units_refresh(mw_measure *measure)
{
    /* Units come after those that they are made of, so one pass does. */
    for (mw_unit unit = 0; unit < measure->unit_count; unit++) {
        unit_record *record = &measure->units[unit];
        unit_meaning meaning;
        if (meaning_of_factors(measure, &record->factors, &meaning) != MW_OK) {
            continue;
        }
        mw_type type = mw_type_of(measure, &meaning.parts);
        if (type == MW_NONE) {
            return MW_NO_MEMORY;
        }
        record->type = type;
        record->scale = meaning.scale;
    }
    units_forget(measure);
    return MW_OK;
}

void units_forget(mw_measure *measure)
{
    memset(measure->unit_texts, 0, sizeof measure->unit_texts);
    memset(measure->unit_memo, 0, sizeof measure->unit_memo);
    for (mw_type type = 0; type < measure->type_count; type++) {
        type_record_of(measure, type)->usual = MW_NONE;
    }
}

/* Enters a name. The ids of names count up, so that they find their meaning by index. */
static bool enter_name(mw_measure *measure, const char *name, name_meaning meaning)
{
    uint32_t id = mw_names_add(measure->names, mw_str_of(name));
    void *meanings = measure->meanings;
    if (id == MW_NONE || !mw_memory_grow(&meanings, &measure->meaning_capacity, (size_t)id + 1,
                                         sizeof(name_meaning))) {
        return false;
    }
    measure->meanings = meanings;
    measure->meanings[id] = meaning;
    return true;
}

static mw_status enter_tables(mw_measure *measure)
{
    for (symbol row = 0; row < UNIT_ROWS; row++) {
        if (!enter_name(measure, unit_rows[row].name,
                        (name_meaning){row, unit_rows[row].prefixes})) {
            return MW_NO_MEMORY;
        }
    }
    for (symbol row = 0; row < CURRENCY_ROWS; row++) {
        if (!enter_name(measure, currency_rows[row].code,
                        (name_meaning){UNIT_ROWS + row, PREFIX_NONE})) {
            return MW_NO_MEMORY;
        }
    }
    for (int row = 0; row < ALIAS_ROWS; row++) {
        const alias_row *alias = &alias_rows[row];
        size_t used;
        mw_unit unit;
        mw_status status = mw_unit_read(measure, mw_str_of(alias->unit), &used, &unit);
        if (status != MW_OK) {
            return status;
        }
        atom item = measure->units[unit].factors.items[0].atom;
        unit_prefixes prefixes =
            alias->prefixes ? unit_rows[atom_symbol(item)].prefixes : PREFIX_NONE;
        if (!enter_name(measure, alias->name, (name_meaning){item, prefixes})) {
            return MW_NO_MEMORY;
        }
    }
    return MW_OK;
}

/* Makes the types of all rows, so that the table can be listed without taking memory. */
static mw_status make_row_types(mw_measure *measure)
{
    for (symbol row = 0; row < UNIT_ROWS; row++) {
        factors list = {.items = {{row, MW_EXPONENT_ONE}}, .count = 1};
        unit_meaning meaning;
        mw_status status = meaning_of_factors(measure, &list, &meaning);
        if (status != MW_OK) {
            return status;
        }
        if (mw_type_of(measure, &meaning.parts) == MW_NONE) {
            return MW_NO_MEMORY;
        }
    }
    return MW_OK;
}

mw_status units_start(mw_measure *measure)
{
    measure->names = mw_names_new();
    measure->rates = mw_memory_get((CURRENCY_ROWS + 1) * sizeof(double));
    if (measure->names == NULL || measure->rates == NULL ||
        !mw_names_reserve(measure->names, NAMES_AT_START) ||
        !open_slots(measure, FIRST_UNIT_SLOT_BITS)) {
        return MW_NO_MEMORY;
    }
    mw_unit one;
    mw_status status = unit_of_factors(measure, &(factors){.count = 0}, &one);
    if (status == MW_OK) {
        status = enter_tables(measure);
    }
    return status == MW_OK ? make_row_types(measure) : status;
}

void units_free(mw_measure *measure)
{
    mw_names_free(measure->names);
    mw_memory_give(measure->meanings);
    mw_memory_give(measure->shop_units);
    mw_memory_give(measure->units);
    mw_memory_give(measure->unit_slots);
    mw_memory_give(measure->rates);
}
