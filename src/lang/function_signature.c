/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading the texts of a function table. */
#include "function_signature.h"

#include "mouldwright/memory.h"
#include "mouldwright/names.h"

typedef struct kind_word {
    const char *word;
    mw_take take;
    mw_type type;
} kind_word;

/* Kinds that have a word of their own; all others are written as a unit. */
static const kind_word kind_words[] = {
    {"any", MW_TAKE_ANY, MW_TYPE_NUMBER},     {"same", MW_TAKE_SAME, MW_TYPE_NUMBER},
    {"1", MW_TAKE_TYPE, MW_TYPE_NUMBER},      {"date", MW_TAKE_TYPE, MW_TYPE_DATE},
    {"degC", MW_TAKE_TYPE, MW_TYPE_DEGREES},  {"truth", MW_TAKE_TYPE, MW_TYPE_TRUTH},
    {"text", MW_TAKE_TYPE, MW_TYPE_TEXT},     {"people", MW_TAKE_TYPE, MW_TYPE_PEOPLE},
    {"labour", MW_TAKE_TYPE, MW_TYPE_LABOUR}, {"time", MW_TAKE_TYPE, MW_TYPE_TIME},
};

static mw_take_row read_word(mw_measure *measure, mw_str text)
{
    for (size_t i = 0; i < sizeof kind_words / sizeof kind_words[0]; i++) {
        if (mw_str_is(text, kind_words[i].word)) {
            const mw_type type = kind_words[i].type;
            const bool usual = type != MW_TYPE_NUMBER && type != MW_TYPE_TRUTH &&
                               type != MW_TYPE_TEXT && type != MW_TYPE_DATE;
            const mw_unit unit = usual ? mw_unit_usual(measure, type) : MW_UNIT_ONE;
            return (mw_take_row){.type = unit == MW_NONE ? MW_NONE : type,
                                 .unit = unit,
                                 .take = (uint8_t)kind_words[i].take};
        }
    }
    size_t used = 0;
    mw_unit unit = MW_UNIT_ONE;
    const mw_status status = mw_unit_read(measure, text, &used, &unit);
    if (status != MW_OK || used != text.length) {
        return (mw_take_row){.take = MW_TAKE_BROKEN,
                             .type = status == MW_NO_MEMORY ? MW_NONE : MW_TYPE_NUMBER};
    }
    return (mw_take_row){.take = MW_TAKE_UNIT, .unit = unit};
}

/* takes = ["list " | "each "] kind ["..."] */
static mw_take_row read_kind(mw_measure *measure, const char *text, bool *repeated)
{
    mw_str rest = mw_str_trim(mw_str_of(text));
    *repeated = rest.length >= 3 && mw_str_is((mw_str){rest.at + rest.length - 3, 3}, "...");
    if (*repeated) {
        rest.length -= 3;
    }
    const bool each = rest.length > 5 && mw_str_is((mw_str){rest.at, 5}, "each ");
    const bool list = each || (rest.length > 5 && mw_str_is((mw_str){rest.at, 5}, "list "));
    if (list) {
        rest = (mw_str){rest.at + 5, rest.length - 5};
    }
    mw_take_row row = read_word(measure, mw_str_trim(rest));
    row.list = list;
    row.each = each;
    return row;
}

/* Returns false when there was no memory. */
static bool read_row(mw_measure *measure, const mw_function *row, mw_signature *signature)
{
    bool known = true;
    signature->row = row;
    while (signature->count < MW_ARGUMENTS_MAX && row->takes[signature->count] != NULL) {
        mw_take_row *take = &signature->takes[signature->count];
        *take = read_kind(measure, row->takes[signature->count], &signature->repeated);
        known = known && take->type != MW_NONE;
        signature->count++;
    }
    bool ignored;
    signature->gives = read_kind(measure, row->gives, &ignored);
    return known && signature->gives.type != MW_NONE;
}

static void enter(mw_signatures *signatures, uint32_t index)
{
    const mw_str name = mw_str_of(signatures->rows[index].name);
    uint32_t slot = mw_names_hash(name) & signatures->mask;
    while (signatures->slots[slot] != 0) {
        slot = (slot + 1) & signatures->mask;
    }
    signatures->slots[slot] = index + 1;
}

mw_status mw_signatures_make(mw_signatures *signatures, mw_measure *measure,
                             const mw_function *rows, size_t count)
{
    mw_signatures_free(signatures);
    uint32_t size = 16;
    while (size < 2 * count) {
        size *= 2;
    }
    signatures->items = mw_memory_get(count * sizeof *signatures->items);
    signatures->slots = mw_memory_get(size * sizeof *signatures->slots);
    if (signatures->items == NULL || signatures->slots == NULL) {
        mw_signatures_free(signatures);
        return MW_NO_MEMORY;
    }
    signatures->rows = rows;
    signatures->count = (uint32_t)count;
    signatures->mask = size - 1;
    for (uint32_t i = 0; i < signatures->count; i++) {
        if (!read_row(measure, &rows[i], &signatures->items[i])) {
            mw_signatures_free(signatures);
            return MW_NO_MEMORY;
        }
        enter(signatures, i);
    }
    return MW_OK;
}

void mw_signatures_free(mw_signatures *signatures)
{
    mw_memory_give(signatures->items);
    mw_memory_give(signatures->slots);
    *signatures = (mw_signatures){.rows = NULL};
}

const mw_signature *mw_signatures_find(const mw_signatures *signatures, mw_str name)
{
    if (signatures->count == 0) {
        return NULL;
    }
    uint32_t slot = mw_names_hash(name) & signatures->mask;
    for (; signatures->slots[slot] != 0; slot = (slot + 1) & signatures->mask) {
        const mw_signature *found = &signatures->items[signatures->slots[slot] - 1];
        if (mw_str_is(name, found->row->name)) {
            return found;
        }
    }
    return NULL;
}
