/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The one array of constants, temporaries and cells; errors as NaNs that carry their code. */
#include "mouldwright/values.h"

#include <math.h>
#include <string.h>

#include "mouldwright/memory.h"
#include "mouldwright/names.h"

/* Constants seen lately, by a hash of their bits: sharing them costs one look, and forgetting an
 * old one only costs 8 bytes more. */
#define RECENT_BITS 12
#define RECENT      (1u << RECENT_BITS)

#define FIRST_CONSTANTS 64u
#define MOST_CELLS      ((uint32_t)INT32_MAX - 1)
#define MOST_CONSTANTS  ((uint32_t)INT32_MAX - MW_TEMPORARIES - 1)

struct mw_values {
    double *block; /* room for constants, then temporaries, then cells */
    double *base;  /* the first cell */
    uint32_t cells, cell_capacity;
    uint32_t constants, constant_capacity;
    mw_names *texts;
    uint32_t recent[RECENT]; /* index of the constant + 1; may be out of date */
};

static bool resize(mw_values *values, uint32_t constant_capacity, uint32_t cell_capacity);

mw_values *mw_values_new(void)
{
    mw_values *values = mw_memory_get(sizeof *values);
    if (values == NULL) {
        return NULL;
    }
    values->texts = mw_names_new();
    if (values->texts == NULL || !resize(values, FIRST_CONSTANTS, 0)) {
        mw_values_free(values);
        return NULL;
    }
    memset(values->base - MW_TEMPORARIES, 0, MW_TEMPORARIES * sizeof(double));
    return values;
}

void mw_values_free(mw_values *values)
{
    if (values == NULL) {
        return;
    }
    mw_names_free(values->texts);
    mw_memory_give(values->block);
    mw_memory_give(values);
}

/* Constants count downwards and so sit at the upper end of their room: when that grows, everything
 * moves up. */
static bool resize(mw_values *values, uint32_t constant_capacity, uint32_t cell_capacity)
{
    const size_t front = (size_t)constant_capacity + MW_TEMPORARIES;
    const size_t old_front = (size_t)values->constant_capacity + MW_TEMPORARIES;
    const size_t used = values->constants + (size_t)MW_TEMPORARIES + values->cells;
    double *block = mw_memory_resize(values->block, (front + cell_capacity) * sizeof(double));
    if (block == NULL) {
        return false;
    }
    if (values->block != NULL && front != old_front) {
        memmove(block + constant_capacity - values->constants,
                block + values->constant_capacity - values->constants, used * sizeof(double));
    }
    values->block = block;
    values->base = block + front;
    values->constant_capacity = constant_capacity;
    values->cell_capacity = cell_capacity;
    return true;
}

bool mw_values_reserve(mw_values *values, uint32_t cells)
{
    if (cells > MOST_CELLS) {
        return false;
    }
    if (cells > values->cell_capacity) {
        const uint32_t half_more = values->cell_capacity + values->cell_capacity / 2;
        uint32_t capacity = half_more > MOST_CELLS ? MOST_CELLS : half_more;
        capacity = capacity < cells ? cells : capacity;
        if (!resize(values, values->constant_capacity, capacity)) {
            return false;
        }
    }
    const double nothing = mw_error_value(MW_CODE_NOT_A_VALUE);
    for (; values->cells < cells; values->cells++) {
        values->base[values->cells] = nothing;
    }
    return true;
}

double *mw_values_base(mw_values *values)
{
    return values->base;
}

static uint64_t bits_of(double value)
{
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    return bits;
}

static mw_operand constant_operand(uint32_t index)
{
    return -(mw_operand)(MW_TEMPORARIES + 1 + index);
}

mw_operand mw_values_constant(mw_values *values, double constant)
{
    const uint64_t bits = bits_of(constant);
    uint32_t *recent = &values->recent[(bits * 0x9e3779b97f4a7c15u) >> (64 - RECENT_BITS)];
    const uint32_t known = *recent;
    if (known != 0 && known <= values->constants &&
        bits_of(values->base[constant_operand(known - 1)]) == bits) {
        return constant_operand(known - 1);
    }
    if (values->constants == values->constant_capacity) {
        if (values->constants > MOST_CONSTANTS / 2 ||
            !resize(values, 2 * values->constant_capacity, values->cell_capacity)) {
            return 0;
        }
    }
    const mw_operand operand = constant_operand(values->constants++);
    values->base[operand] = constant;
    *recent = values->constants;
    return operand;
}

uint32_t mw_values_constants(const mw_values *values)
{
    return values->constants;
}

void mw_values_forget(mw_values *values, uint32_t constants)
{
    if (constants < values->constants) {
        values->constants = constants;
    }
}

double mw_values_text(mw_values *values, mw_str text)
{
    const uint32_t id = mw_names_add(values->texts, text);
    return id == MW_NONE ? (double)NAN : (double)id;
}

mw_str mw_values_text_of(const mw_values *values, double id)
{
    const bool known = id >= 0 && id < mw_names_count(values->texts);
    return known ? mw_names_text(values->texts, (uint32_t)id) : mw_str_of("");
}

size_t mw_values_bytes(const mw_values *values)
{
    const size_t room = (size_t)values->constant_capacity + MW_TEMPORARIES + values->cell_capacity;
    return sizeof *values + room * sizeof(double) + mw_names_bytes(values->texts);
}

/* A quiet NaN with a mark of ours in its payload, so that a NaN from elsewhere is told apart. */
#define ERROR_MARK 0x7ff84d5700000000u
#define MARK_MASK  0x7fffffff00000000u

double mw_error_value(mw_code code)
{
    const uint64_t bits = ERROR_MARK | (uint64_t)code;
    double value;
    memcpy(&value, &bits, sizeof value);
    return value;
}

mw_code mw_error_code(double value)
{
    if (isnan(value)) {
        const uint64_t bits = bits_of(value);
        const uint64_t code = bits & ~MARK_MASK & 0xffffffffu;
        const bool ours = (bits & MARK_MASK) == ERROR_MARK && code < MW_CODE_COUNT;
        return ours ? (mw_code)code : MW_CODE_NOT_A_VALUE;
    }
    return isinf(value) ? MW_CODE_TOO_LARGE : MW_CODE_COUNT;
}
