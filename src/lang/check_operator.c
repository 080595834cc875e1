/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Checking operators: which kinds go together, what kind comes out, and the unit it is shown in. */
#include "check.h"

typedef mw_type_fault (*type_rule)(mw_measure *measure, mw_type a, mw_type b, mw_type *out);

typedef struct operator_row {
    mw_operation operation;
    type_rule rule;
    const char *deed; /* "they cannot be ..." */
} operator_row;

static const operator_row rows[MW_OPERATOR_COUNT] = {
    [MW_ADD] = {MW_OP_ADD, mw_type_add, "added"},
    [MW_SUBTRACT] = {MW_OP_SUBTRACT, mw_type_subtract, "subtracted"},
    [MW_MULTIPLY] = {MW_OP_MULTIPLY, mw_type_multiply, "multiplied"},
    [MW_DIVIDE] = {MW_OP_DIVIDE, mw_type_divide, "divided"},
    [MW_POWER] = {MW_OP_POWER, NULL, "raised to a power"},
    [MW_LESS] = {MW_OP_LESS, mw_type_join, "compared"},
    [MW_LESS_EQUAL] = {MW_OP_LESS_EQUAL, mw_type_join, "compared"},
    [MW_EQUAL] = {MW_OP_EQUAL, mw_type_join, "compared"},
    [MW_UNEQUAL] = {MW_OP_UNEQUAL, mw_type_join, "compared"},
    [MW_GREATER_EQUAL] = {MW_OP_GREATER_EQUAL, mw_type_join, "compared"},
    [MW_GREATER] = {MW_OP_GREATER, mw_type_join, "compared"},
    [MW_AND] = {MW_OP_AND, NULL, NULL},
    [MW_OR] = {MW_OP_OR, NULL, NULL},
};

static bool is_quantity(const mw_fact *fact)
{
    return fact->type != MW_TYPE_TRUTH && fact->type != MW_TYPE_TEXT;
}

bool mw_check_quantity(mw_compiler *compiler, uint32_t at)
{
    const mw_fact *fact = &compiler->facts[at];
    if (is_quantity(fact)) {
        return true;
    }
    const char *is = mw_check_is(compiler, at, 0);
    mw_diag *diag = mw_diags_error(compiler->diags, MW_CODE_WRONG_KIND, mw_check_span(compiler, at),
                                   "%s; a quantity is expected here", is);
    mw_diag_try(compiler->diags, diag, "%s",
                fact->type == MW_TYPE_TRUTH ? "make a number of it: if ... then 1 else 0"
                                            : "only = and <> work on texts");
    return false;
}

bool mw_check_truth(mw_compiler *compiler, uint32_t at, const char *where)
{
    if (compiler->facts[at].type == MW_TYPE_TRUTH) {
        return true;
    }
    const char *is = mw_check_is(compiler, at, 0);
    mw_diag *diag = mw_diags_error(compiler->diags, MW_CODE_WRONG_KIND, mw_check_span(compiler, at),
                                   "%s; %s needs yes or no", is, where);
    mw_diag_try(compiler->diags, diag, "compare it, as in: plies > 4");
    return false;
}

/* Whether a fact is a number without a unit that was worked out already: it has no say in units. */
static bool is_bare(const mw_fact *fact)
{
    return fact->from == MW_FROM_CONSTANT && fact->unit == MW_UNIT_ONE &&
           fact->type == MW_TYPE_NUMBER;
}

mw_unit mw_check_common_unit(mw_compiler *compiler, uint32_t left, uint32_t right, mw_type type)
{
    const mw_fact *first = &compiler->facts[left];
    const mw_fact *second = &compiler->facts[right];
    if (first->type == type && first->unit == second->unit) {
        return first->unit; /* the usual case */
    }
    if (is_bare(first) && !is_bare(second)) {
        first = second;
        second = &compiler->facts[left];
    }
    if (first->type == type) {
        return first->unit;
    }
    if (second->type == type) {
        return second->unit;
    }
    if (first->type == MW_TYPE_DATE && type == MW_TYPE_TIME) {
        return compiler->day;
    }
    const bool shows = mw_unit_shows(compiler->measure, first->unit, type);
    return shows ? first->unit : mw_unit_usual(compiler->measure, type);
}

/* The unit of a product or quotient. Plain factors such as % do not stay in it. */
static mw_unit product_unit(mw_compiler *compiler, mw_operator op, uint32_t left, uint32_t right)
{
    const mw_fact *a = &compiler->facts[left];
    const mw_fact *b = &compiler->facts[right];
    const mw_type type = compiler->facts[right + 1].type;
    if (b->type == MW_TYPE_NUMBER && (a->type != MW_TYPE_NUMBER || b->unit == MW_UNIT_ONE)) {
        return a->unit;
    }
    if (a->type == MW_TYPE_NUMBER && op == MW_MULTIPLY &&
        (b->type != MW_TYPE_NUMBER || a->unit == MW_UNIT_ONE)) {
        return b->unit;
    }
    if (type == MW_TYPE_NUMBER) {
        return MW_UNIT_ONE;
    }
    const mw_unit over = a->type == MW_TYPE_NUMBER ? MW_UNIT_ONE : a->unit;
    return op == MW_MULTIPLY ? mw_unit_multiply(compiler->measure, over, b->unit, type)
                             : mw_unit_divide(compiler->measure, over, b->unit, type);
}

static void check_product(mw_compiler *compiler, uint32_t at, mw_operator op, uint32_t left)
{
    mw_fact *fact = &compiler->facts[at];
    const mw_type a = compiler->facts[left].type;
    const mw_type b = compiler->facts[at - 1].type;
    const mw_type_fault fault = rows[op].rule(compiler->measure, a, b, &fact->type);
    if (fault == MW_TYPE_POINTS) {
        const uint32_t point = mw_check_is_point(compiler, a) ? left : at - 1;
        mw_check_refuse_point(compiler, point, rows[op].deed);
    } else if (fault != MW_TYPE_FINE) {
        mw_check_clash(compiler, &(mw_clash){fault, left, at - 1, rows[op].deed});
    } else {
        fact->unit = product_unit(compiler, op, left, at - 1);
    }
}

/* Whether a unit is no more than a way to write a plain number: 8 % is 0.08. */
static bool is_share(const mw_compiler *compiler, mw_unit unit)
{
    return unit == compiler->percent || unit == compiler->ppm;
}

bool mw_check_mixes_shares(const mw_compiler *compiler, uint32_t one, uint32_t other)
{
    const mw_fact *a = &compiler->facts[one];
    const mw_fact *b = &compiler->facts[other];
    return a->type == MW_TYPE_NUMBER && b->type == MW_TYPE_NUMBER &&
           ((a->unit == MW_UNIT_ONE && is_share(compiler, b->unit)) ||
            (b->unit == MW_UNIT_ONE && is_share(compiler, a->unit)));
}

static void check_sum(mw_compiler *compiler, uint32_t at, mw_operator op, uint32_t left)
{
    mw_fact *fact = &compiler->facts[at];
    const mw_type a = compiler->facts[left].type;
    const mw_type b = compiler->facts[at - 1].type;
    const mw_type_fault fault = rows[op].rule(compiler->measure, a, b, &fact->type);
    if (fault != MW_TYPE_FINE) {
        mw_check_clash(compiler, &(mw_clash){fault, left, at - 1, rows[op].deed});
        return;
    }
    if (!mw_check_mixes_shares(compiler, left, at - 1)) {
        fact->unit = mw_check_common_unit(compiler, left, at - 1, fact->type);
    }
    if (fact->type == MW_TYPE_DATE) {
        fact->operation = op == MW_ADD ? MW_OP_LATER : MW_OP_EARLIER;
    }
}

/* Says why a base with a unit cannot have this power. */
static void report_power(mw_compiler *compiler, uint32_t at, uint32_t left, bool fixed)
{
    const char *is = mw_check_is(compiler, left, 0);
    const char *power = mw_check_piece(compiler, at - 1, 1);
    mw_diag *diag =
        mw_diags_error(compiler->diags, MW_CODE_BAD_POWER, mw_check_span(compiler, at - 1),
                       fixed ? "%s; to the power %s it has no unit"
                             : "%s; its power must be a fixed number, not %s",
                       is, power);
    mw_diag_other(compiler->diags, diag, mw_check_span(compiler, left), "%s", is);
}

static void check_power(mw_compiler *compiler, uint32_t at, uint32_t left)
{
    mw_fact *fact = &compiler->facts[at];
    const mw_fact *base = &compiler->facts[left];
    const mw_fact *power = &compiler->facts[at - 1];
    if (power->type != MW_TYPE_NUMBER) {
        const char *is = mw_check_is(compiler, at - 1, 0);
        mw_diags_error(compiler->diags, MW_CODE_WRONG_KIND, mw_check_span(compiler, at - 1),
                       "%s; a power is a plain number", is);
        return;
    }
    if (base->type == MW_TYPE_NUMBER) {
        return;
    }
    if (power->from != MW_FROM_CONSTANT || !mw_is_number(power->value)) {
        report_power(compiler, at, left, false);
        return;
    }
    switch (mw_type_power(compiler->measure, base->type, power->value, &fact->type)) {
    case MW_TYPE_FINE:
        fact->unit = mw_unit_power(compiler->measure, base->unit, power->value, fact->type);
        return;
    case MW_TYPE_POINTS:
        mw_check_refuse_point(compiler, left, rows[MW_POWER].deed);
        return;
    case MW_TYPE_MEMORY:
        compiler->no_memory = true;
        return;
    case MW_TYPE_KINDS:
    case MW_TYPE_CURRENCIES:
    case MW_TYPE_POWER:
        report_power(compiler, at, left, true);
        return;
    }
}

static void check_comparison(mw_compiler *compiler, uint32_t at, mw_operator op, uint32_t left)
{
    const mw_fact *a = &compiler->facts[left];
    mw_type joined;
    const mw_type_fault fault =
        rows[op].rule(compiler->measure, a->type, compiler->facts[at - 1].type, &joined);
    compiler->facts[at].type = MW_TYPE_TRUTH;
    if (fault != MW_TYPE_FINE) {
        mw_check_clash(compiler, &(mw_clash){fault, left, at - 1, rows[op].deed});
    } else if (op != MW_EQUAL && op != MW_UNEQUAL &&
               (a->type == MW_TYPE_TRUTH || a->type == MW_TYPE_TEXT)) {
        const char *is = mw_check_is(compiler, left, 0);
        mw_diag *diag = mw_diags_error(compiler->diags, MW_CODE_WRONG_KIND,
                                       mw_check_span(compiler, left), "%s; it has no order", is);
        mw_diag_try(compiler->diags, diag, "compare it with = or <>");
    }
}

static void check_logic(mw_compiler *compiler, uint32_t at, mw_operator op, uint32_t left)
{
    const char *where = op == MW_AND ? "`and`" : "`or`";
    compiler->facts[at].type = MW_TYPE_TRUTH;
    const bool fine = mw_check_truth(compiler, left, where);
    if (!mw_check_truth(compiler, at - 1, where) || !fine) {
        compiler->facts[at].bad = true;
    }
}

static bool both_quantities(mw_compiler *compiler, uint32_t left, uint32_t right)
{
    if (is_quantity(&compiler->facts[left]) && is_quantity(&compiler->facts[right])) {
        return true;
    }
    const bool fine = mw_check_quantity(compiler, left);
    return mw_check_quantity(compiler, right) && fine;
}

void mw_check_binary(mw_compiler *compiler, uint32_t at)
{
    mw_fact *fact = &compiler->facts[at];
    const mw_operator op = (mw_operator)mw_check_node_of(compiler, at)->op;
    const uint32_t left = mw_check_before(compiler, at - 1);
    if (!mw_check_shape(compiler, at, 2)) {
        return;
    }
    fact->operation = (uint16_t)rows[op].operation;
    if (rows[op].rule == mw_type_join) {
        check_comparison(compiler, at, op, left);
    } else if (rows[op].deed == NULL) {
        check_logic(compiler, at, op, left);
    } else if (!both_quantities(compiler, left, at - 1)) {
        return;
    } else if (op == MW_POWER) {
        check_power(compiler, at, left);
    } else if (op == MW_ADD || op == MW_SUBTRACT) {
        check_sum(compiler, at, op, left);
    } else {
        check_product(compiler, at, op, left);
    }
    mw_check_fold(compiler, at, 2);
}

void mw_check_choice(mw_compiler *compiler, uint32_t at)
{
    mw_fact *fact = &compiler->facts[at];
    const uint32_t otherwise = at - 1;
    const uint32_t then = mw_check_before(compiler, otherwise);
    const uint32_t condition = mw_check_before(compiler, then);
    if (!mw_check_shape(compiler, at, 3) || !mw_check_truth(compiler, condition, "`if`")) {
        return;
    }
    const mw_type_fault fault = mw_type_join(compiler->measure, compiler->facts[then].type,
                                             compiler->facts[otherwise].type, &fact->type);
    if (fault != MW_TYPE_FINE) {
        mw_check_clash(compiler, &(mw_clash){fault, then, otherwise, "results of one `if`"});
        return;
    }
    fact->unit = mw_check_common_unit(compiler, then, otherwise, fact->type);
    fact->operation = MW_OP_SELECT;
    mw_check_fold(compiler, at, 3);
}
