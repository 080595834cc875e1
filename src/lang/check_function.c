/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Checking the functions that are compiled to operations. */
#include "check.h"

/* Functions of one plain number. */
static const mw_operation operations[MW_FUNCTION_ROWS] = {
    [MW_FUNCTION_SUM] = MW_OP_ADD,
    [MW_FUNCTION_MEAN] = MW_OP_ADD,
    [MW_FUNCTION_SMALLEST] = MW_OP_SMALLER,
    [MW_FUNCTION_LARGEST] = MW_OP_LARGER,
    [MW_FUNCTION_SQRT] = MW_OP_SQRT,
    [MW_FUNCTION_EXP] = MW_OP_EXP,
    [MW_FUNCTION_LN] = MW_OP_LN,
    [MW_FUNCTION_LOG10] = MW_OP_LOG10,
    [MW_FUNCTION_SIN] = MW_OP_SIN,
    [MW_FUNCTION_COS] = MW_OP_COS,
    [MW_FUNCTION_TAN] = MW_OP_TAN,
    [MW_FUNCTION_ASIN] = MW_OP_ASIN,
    [MW_FUNCTION_ACOS] = MW_OP_ACOS,
    [MW_FUNCTION_ATAN] = MW_OP_ATAN,
    [MW_FUNCTION_ABS] = MW_OP_ABS,
    [MW_FUNCTION_ROUND_UP] = MW_OP_ROUND_UP,
    [MW_FUNCTION_ROUND_DOWN] = MW_OP_ROUND_DOWN,
    [MW_FUNCTION_ROUND_TO] = MW_OP_ROUND_TO,
};

/* sqrt: half of each power of the unit. */
static void check_root(mw_compiler *compiler, uint32_t at)
{
    mw_fact *fact = &compiler->facts[at];
    const mw_fact *part = &compiler->facts[at - 1];
    switch (mw_type_power(compiler->measure, part->type, 0.5, &fact->type)) {
    case MW_TYPE_FINE:
        fact->unit = part->type == MW_TYPE_NUMBER
                         ? MW_UNIT_ONE
                         : mw_unit_power(compiler->measure, part->unit, 0.5, fact->type);
        return;
    case MW_TYPE_POINTS:
        mw_check_refuse_point(compiler, at - 1, "put under a root");
        return;
    case MW_TYPE_MEMORY:
        compiler->no_memory = true;
        return;
    case MW_TYPE_KINDS:
    case MW_TYPE_CURRENCIES:
    case MW_TYPE_POWER: {
        const char *is = mw_check_is(compiler, at - 1, 0);
        mw_diags_error(compiler->diags, MW_CODE_BAD_POWER, mw_check_span(compiler, at - 1),
                       "%s; its root has no unit", is);
        return;
    }
    }
}

/* exp, ln, sin ...: a plain number. */
static void check_plain(mw_compiler *compiler, uint32_t at, mw_known known)
{
    if (compiler->facts[at - 1].type == MW_TYPE_NUMBER) {
        return;
    }
    size_t count;
    const char *is = mw_check_is(compiler, at - 1, 0);
    mw_diag *diag =
        mw_diags_error(compiler->diags, MW_CODE_WRONG_KIND, mw_check_span(compiler, at - 1),
                       "%s; %s needs a plain number", is, mw_functions(&count)[known].name);
    mw_diag_try(compiler->diags, diag, "divide by a unit first, as in length / 1 m");
}

static void check_abs(mw_compiler *compiler, uint32_t at)
{
    mw_fact *fact = &compiler->facts[at];
    const mw_fact *part = &compiler->facts[at - 1];
    if (mw_check_is_point(compiler, part->type)) {
        mw_check_refuse_point(compiler, at - 1, "taken without its sign");
        return;
    }
    fact->type = part->type;
    fact->unit = part->unit;
}

static void check_rounding(mw_compiler *compiler, uint32_t at)
{
    mw_fact *fact = &compiler->facts[at];
    const uint32_t step = at - 1;
    const uint32_t x = mw_check_before(compiler, step);
    const mw_type_fault fault = mw_type_join(compiler->measure, compiler->facts[x].type,
                                             compiler->facts[step].type, &fact->type);
    if (mw_check_is_point(compiler, compiler->facts[x].type)) {
        mw_check_refuse_point(compiler, x, "rounded");
    } else if (fault != MW_TYPE_FINE) {
        mw_check_clash(compiler,
                       &(mw_clash){fault, x, step, "used together: the step is of the kind of x"});
    } else {
        fact->unit = mw_check_common_unit(compiler, x, step, fact->type);
    }
}

/* A function that works element by element. */
static void check_mapped(mw_compiler *compiler, uint32_t at, mw_known known)
{
    const bool two = known >= MW_FUNCTION_ROUND_UP;
    bool fine = mw_check_shape(compiler, at, two ? 2 : 1) && mw_check_quantity(compiler, at - 1);
    if (fine && two) {
        fine = mw_check_quantity(compiler, mw_check_before(compiler, at - 1));
    }
    if (!fine) {
        return;
    }
    if (two) {
        check_rounding(compiler, at);
    } else if (known == MW_FUNCTION_SQRT) {
        check_root(compiler, at);
    } else if (known == MW_FUNCTION_ABS) {
        check_abs(compiler, at);
    } else {
        check_plain(compiler, at, known);
    }
    compiler->facts[at].operation = (uint16_t)operations[known];
    mw_check_fold(compiler, at, two ? 2 : 1);
}

/* The common kind of all values; a sum adds them. */
static bool join_values(mw_compiler *compiler, uint32_t at, uint32_t count, mw_known known)
{
    mw_fact *fact = &compiler->facts[at];
    const uint32_t *children = mw_check_children(compiler, at, count);
    fact->type = compiler->facts[children[0]].type;
    fact->unit = compiler->facts[children[0]].unit;
    const char *deed = known == MW_FUNCTION_SUM ? "added" : "compared";
    for (uint32_t i = 0; i < count; i++) {
        const uint32_t child = children[i];
        if (!mw_check_quantity(compiler, child)) {
            return false;
        }
        if (known == MW_FUNCTION_SUM && mw_check_is_point(compiler, compiler->facts[child].type)) {
            mw_check_refuse_point(compiler, child, deed);
            return false;
        }
        const mw_type_fault fault =
            mw_type_join(compiler->measure, fact->type, compiler->facts[child].type, &fact->type);
        if (fault != MW_TYPE_FINE) {
            mw_check_clash(compiler, &(mw_clash){fault, children[0], child, deed});
            return false;
        }
    }
    return true;
}

/* Whether some values are plain numbers and others shares of one. */
static bool has_mixed_shares(const mw_compiler *compiler, const uint32_t *values, uint32_t count)
{
    for (uint32_t i = 1; i < count; i++) {
        if (mw_check_mixes_shares(compiler, values[i - 1], values[i])) {
            return true;
        }
    }
    return false;
}

/* sum, mean, smallest, largest: of all elements of all arguments. */
static void check_reduction(mw_compiler *compiler, uint32_t at, mw_known known)
{
    mw_fact *fact = &compiler->facts[at];
    const uint32_t count = mw_check_node_of(compiler, at)->count;
    const uint32_t *children = mw_check_children(compiler, at, count);
    uint64_t values = 0;
    for (uint32_t i = 0; i < count; i++) {
        const mw_fact *part = &compiler->facts[children[i]];
        fact->bad = fact->bad || part->bad;
        values += part->list ? part->length : 1;
    }
    if (fact->bad || !join_values(compiler, at, count, known)) {
        return;
    }
    if (count > 1 && compiler->facts[children[0]].type == MW_TYPE_NUMBER) {
        fact->unit = operations[known] == MW_OP_ADD && has_mixed_shares(compiler, children, count)
                         ? MW_UNIT_ONE
                         : mw_check_common_unit(compiler, children[0], children[1], fact->type);
    }
    fact->operation = (uint16_t)operations[known];
    fact->first = (uint32_t)known;
    mw_check_block(compiler, at, MW_BLOCK_REDUCE);
    if (values == 0) {
        fact->value = known == MW_FUNCTION_SUM ? 0 : mw_error_value(MW_CODE_EMPTY_LIST);
        fact->from = MW_FROM_CONSTANT;
        fact->kind = MW_BLOCK_SKIP;
    }
}

/* count: known at once; the elements are not read. */
static void check_count_of(mw_compiler *compiler, uint32_t at)
{
    mw_fact *fact = &compiler->facts[at];
    const mw_fact *part = &compiler->facts[at - 1];
    if (part->bad) {
        fact->bad = true;
        return;
    }
    if (!part->list) {
        const char *is = mw_check_is(compiler, at - 1, 0);
        mw_diags_error(compiler->diags, MW_CODE_NOT_A_LIST, mw_check_span(compiler, at - 1),
                       "%s; count needs a list", is);
        return;
    }
    for (uint32_t i = fact->start; i < at; i++) {
        compiler->facts[i].uncounted = true;
    }
    fact->value = part->length;
    fact->from = MW_FROM_CONSTANT;
    mw_check_block(compiler, at, MW_BLOCK_SKIP);
}

void mw_check_known(mw_compiler *compiler, uint32_t at, mw_known known)
{
    if (known <= MW_FUNCTION_LARGEST) {
        check_reduction(compiler, at, known);
    } else if (known == MW_FUNCTION_COUNT_OF) {
        check_count_of(compiler, at);
    } else {
        check_mapped(compiler, at, known);
    }
}
