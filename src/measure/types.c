/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Types as interned ids: equal parts, equal id. */
#include "measure.h"

#include <assert.h>
#include <string.h>

#include "mouldwright/memory.h"

enum { FIRST_TYPE_SLOT_BITS = 8 };

/* Exponents of length, mass, time, current, temperature, amount, luminous, person of a fixed
 * type. */
typedef struct fixed_row {
    mw_form form;
    int8_t exponent[SI_KINDS];
    uint8_t point;
} fixed_row;

static const fixed_row fixed_rows[] = {
    [MW_TYPE_NUMBER] = {MW_FORM_NUMBER, {0}, 0},
    [MW_TYPE_TRUTH] = {MW_FORM_TRUTH, {0}, 0},
    [MW_TYPE_TEXT] = {MW_FORM_TEXT, {0}, 0},
    [MW_TYPE_LENGTH] = {MW_FORM_NUMBER, {[MW_LENGTH] = 1}, 0},
    [MW_TYPE_AREA] = {MW_FORM_NUMBER, {[MW_LENGTH] = 2}, 0},
    [MW_TYPE_VOLUME] = {MW_FORM_NUMBER, {[MW_LENGTH] = 3}, 0},
    [MW_TYPE_MASS] = {MW_FORM_NUMBER, {[MW_MASS] = 1}, 0},
    [MW_TYPE_TIME] = {MW_FORM_NUMBER, {[MW_TIME] = 1}, 0},
    [MW_TYPE_LABOUR] = {MW_FORM_NUMBER, {[MW_TIME] = 1, [MW_PERSON] = 1}, 0},
    [MW_TYPE_PEOPLE] = {MW_FORM_NUMBER, {[MW_PERSON] = 1}, 0},
    [MW_TYPE_DATE] = {MW_FORM_NUMBER, {[MW_TIME] = 1}, 1},
    [MW_TYPE_DEGREES] = {MW_FORM_NUMBER, {[MW_TEMPERATURE] = 1}, 1},
    [MW_TYPE_TEMPERATURE] = {MW_FORM_NUMBER, {[MW_TEMPERATURE] = 1}, 0},
};
_Static_assert(sizeof fixed_rows / sizeof fixed_rows[0] == MW_TYPE_FIXED_COUNT,
               "one row for each fixed type");

/* Whether the exponents are those of a temperature or of a time, alone. */
static bool may_be_point(const mw_type_parts *parts)
{
    int others = 0;
    for (int i = 0; i < MW_BASE_COUNT; i++) {
        others += i != MW_TIME && i != MW_TEMPERATURE && parts->exponent[i] != 0;
    }
    int time = parts->exponent[MW_TIME];
    int temperature = parts->exponent[MW_TEMPERATURE];
    return others == 0 && ((time == MW_EXPONENT_ONE && temperature == 0) ||
                           (time == 0 && temperature == MW_EXPONENT_ONE));
}

/* The one spelling of a type: marks that mean nothing are taken off. */
static mw_type_parts canonical(const mw_type_parts *parts)
{
    mw_type_parts out;
    memset(&out, 0, sizeof out);
    out.form = parts->form;
    if (parts->form != MW_FORM_NUMBER) {
        return out;
    }
    memcpy(out.exponent, parts->exponent, sizeof out.exponent);
    out.currency = out.exponent[MW_MONEY] != 0 ? parts->currency : 0;
    out.point = parts->point != 0 && may_be_point(&out);
    /* Hours beside as many people are labour already. */
    out.soft = parts->soft != 0 && out.point == 0 && out.exponent[MW_TIME] != 0 &&
               out.exponent[MW_PERSON] != out.exponent[MW_TIME];
    return out;
}

static bool same_parts(const mw_type_parts *a, const mw_type_parts *b)
{
    return memcmp(a->exponent, b->exponent, sizeof a->exponent) == 0 &&
           a->currency == b->currency && a->form == b->form && a->point == b->point &&
           a->soft == b->soft;
}

static uint32_t hash_parts(const mw_type_parts *parts)
{
    uint64_t hash = (uint64_t)parts->currency << 24 | (uint64_t)parts->form << 16 |
                    (uint64_t)parts->point << 8 | parts->soft;
    for (int i = 0; i < MW_BASE_COUNT; i++) {
        hash = mix_bits(hash + (uint16_t)parts->exponent[i]);
    }
    return (uint32_t)hash;
}

/* Returns the slot where canonical parts stand or would stand. */
static uint32_t *slot_of(const mw_measure *measure, const mw_type_parts *parts)
{
    uint32_t mask = (1U << measure->type_slot_bits) - 1;
    uint32_t at = hash_parts(parts) & mask;
    while (measure->type_slots[at] != MW_NONE &&
           !same_parts(type_parts(measure, measure->type_slots[at]), parts)) {
        at = (at + 1) & mask;
    }
    return &measure->type_slots[at];
}

static bool open_slots(mw_measure *measure, uint32_t bits)
{
    uint32_t *slots = empty_slots(bits);
    if (slots == NULL) {
        return false;
    }
    mw_memory_give(measure->type_slots);
    measure->type_slots = slots;
    measure->type_slot_bits = bits;
    for (mw_type type = 0; type < measure->type_count; type++) {
        *slot_of(measure, type_parts(measure, type)) = type;
    }
    return true;
}

/* Makes room for one more type. */
static bool make_room(mw_measure *measure)
{
    uint32_t count = measure->type_count;
    if (count % TYPE_CHUNK == 0) {
        void *chunks = measure->type_chunks;
        if (!mw_memory_grow(&chunks, &measure->type_chunk_capacity, count / TYPE_CHUNK + 1,
                            sizeof(type_record *))) {
            return false;
        }
        measure->type_chunks = chunks;
        type_record *chunk = mw_memory_get(TYPE_CHUNK * sizeof(type_record));
        if (chunk == NULL) {
            return false;
        }
        measure->type_chunks[count / TYPE_CHUNK] = chunk;
    }
    bool slots_do = count + 1 <= (1U << measure->type_slot_bits) / 2 ||
                    open_slots(measure, measure->type_slot_bits + 1);
    if (!slots_do && count % TYPE_CHUNK == 0) {
        mw_memory_give(measure->type_chunks[count / TYPE_CHUNK]);
    }
    return slots_do;
}

mw_type mw_type_of(mw_measure *measure, const mw_type_parts *parts)
{
    mw_type_parts key = canonical(parts);
    uint32_t *slot = slot_of(measure, &key);
    if (*slot != MW_NONE) {
        return *slot;
    }
    if (!make_room(measure)) {
        return MW_NONE;
    }
    mw_type type = measure->type_count++;
    *type_record_of(measure, type) = (type_record){.parts = key, .usual = MW_NONE};
    *slot_of(measure, &key) = type;
    return type;
}

mw_type type_find(const mw_measure *measure, const mw_type_parts *parts)
{
    mw_type_parts key = canonical(parts);
    return *slot_of(measure, &key);
}

const mw_type_parts *mw_type_look(const mw_measure *measure, mw_type type)
{
    assert(type < measure->type_count);
    return type_parts(measure, type);
}

mw_status types_start(mw_measure *measure)
{
    if (!open_slots(measure, FIRST_TYPE_SLOT_BITS)) {
        return MW_NO_MEMORY;
    }
    for (mw_type type = 0; type < MW_TYPE_FIXED_COUNT; type++) {
        const fixed_row *row = &fixed_rows[type];
        mw_type_parts parts = {.form = (uint8_t)row->form, .point = row->point};
        for (int i = 0; i < SI_KINDS; i++) {
            parts.exponent[i] = (int16_t)(row->exponent[i] * MW_EXPONENT_ONE);
        }
        mw_type made = mw_type_of(measure, &parts);
        if (made == MW_NONE) {
            return MW_NO_MEMORY;
        }
        assert(made == type);
    }
    return MW_OK;
}

void types_free(mw_measure *measure)
{
    uint32_t chunks = (measure->type_count + TYPE_CHUNK - 1) / TYPE_CHUNK;
    for (uint32_t i = 0; i < chunks; i++) {
        mw_memory_give(measure->type_chunks[i]);
    }
    mw_memory_give(measure->type_chunks);
    mw_memory_give(measure->type_slots);
}
