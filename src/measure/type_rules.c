/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rules by which types go together. Each is worked out once for a pair and then remembered. */
#include "measure.h"

#include <math.h>
#include <stdlib.h>

typedef enum rule { RULE_ADD, RULE_SUBTRACT, RULE_MULTIPLY, RULE_DIVIDE, RULE_JOIN } rule;

/* Whether all exponents but that of the person agree. */
static bool same_kind(const mw_type_parts *a, const mw_type_parts *b)
{
    for (int i = 0; i < MW_BASE_COUNT; i++) {
        if (i != MW_PERSON && a->exponent[i] != b->exponent[i]) {
            return false;
        }
    }
    return a->form == b->form;
}

/* Whether soft hours of `a`, read as person-hours, make it the kind of `b`. */
static bool reads_as(const mw_type_parts *a, const mw_type_parts *b)
{
    return a->soft != 0 && b->exponent[MW_PERSON] == a->exponent[MW_PERSON] + a->exponent[MW_TIME];
}

/* The common type of two differences (or of two points: the marks must agree).
 * soft hours + clock hours = clock hours; soft hours + person-hours = person-hours. */
static mw_type_fault join_parts(const mw_type_parts *a, const mw_type_parts *b, mw_type_parts *out)
{
    if (!same_kind(a, b)) {
        return MW_TYPE_KINDS;
    }
    if (a->exponent[MW_PERSON] == b->exponent[MW_PERSON]) {
        *out = *a;
        out->soft = a->soft != 0 && b->soft != 0;
    } else if (reads_as(a, b)) {
        *out = *b;
    } else if (reads_as(b, a)) {
        *out = *a;
    } else {
        return MW_TYPE_KINDS;
    }
    if (a->currency != b->currency) {
        return MW_TYPE_CURRENCIES;
    }
    return a->point == b->point ? MW_TYPE_FINE : MW_TYPE_POINTS;
}

/* point + difference = point, difference + point = point. */
static mw_type_fault add_parts(const mw_type_parts *a, const mw_type_parts *b, mw_type_parts *out)
{
    mw_type_parts x = *a;
    mw_type_parts y = *b;
    x.point = 0;
    y.point = 0;
    mw_type_fault fault = join_parts(&x, &y, out);
    if (fault != MW_TYPE_FINE) {
        return fault;
    }
    if (a->form != MW_FORM_NUMBER) {
        return MW_TYPE_KINDS;
    }
    out->point = a->point | b->point;
    return a->point != 0 && b->point != 0 ? MW_TYPE_POINTS : MW_TYPE_FINE;
}

/* point - point = difference, point - difference = point. */
static mw_type_fault subtract_parts(const mw_type_parts *a, const mw_type_parts *b,
                                    mw_type_parts *out)
{
    if (b->point == 0) {
        return add_parts(a, b, out);
    }
    mw_type_parts difference = *b;
    difference.point = 0;
    mw_type_fault fault = add_parts(a, &difference, out);
    if (fault != MW_TYPE_FINE) {
        return fault;
    }
    out->point = 0;
    return a->point != 0 ? MW_TYPE_FINE : MW_TYPE_POINTS;
}

/* Reads the soft hours of a product as person-hours where that brings its people nearer to none, by
 * `shift` exponents: labour * 58 EUR/h is money, 24 h / 2 people is clock time. */
static void settle_people(mw_type_parts *product, int shift)
{
    int people = product->exponent[MW_PERSON];
    int other = people + shift;
    if (abs(other) < abs(people)) {
        product->exponent[MW_PERSON] = (int16_t)other;
        product->soft = 0;
    }
}

/* a * b (sign 1) or a / b (sign -1). */
static mw_type_fault multiply_parts(const mw_type_parts *a, const mw_type_parts *b, int sign,
                                    mw_type_parts *out)
{
    if (a->form != MW_FORM_NUMBER || b->form != MW_FORM_NUMBER) {
        return MW_TYPE_KINDS;
    }
    if (a->point != 0 || b->point != 0) {
        return MW_TYPE_POINTS;
    }
    if (a->currency != 0 && b->currency != 0 && a->currency != b->currency) {
        return MW_TYPE_CURRENCIES;
    }
    *out = *a;
    for (int i = 0; i < MW_BASE_COUNT; i++) {
        int sum = a->exponent[i] + sign * b->exponent[i];
        if (sum > INT16_MAX || sum < INT16_MIN) {
            return MW_TYPE_POWER;
        }
        out->exponent[i] = (int16_t)sum;
    }
    out->currency = a->currency != 0 ? a->currency : b->currency;
    out->soft = a->soft | b->soft;
    if (out->soft != 0) {
        int shift = (a->soft != 0 ? a->exponent[MW_TIME] : 0) +
                    (b->soft != 0 ? sign * b->exponent[MW_TIME] : 0);
        settle_people(out, shift);
    }
    return MW_TYPE_FINE;
}

static mw_type_fault work_out(rule which, const mw_type_parts *a, const mw_type_parts *b,
                              mw_type_parts *out)
{
    switch (which) {
    case RULE_ADD:
        return add_parts(a, b, out);
    case RULE_SUBTRACT:
        return subtract_parts(a, b, out);
    case RULE_MULTIPLY:
        return multiply_parts(a, b, 1, out);
    case RULE_DIVIDE:
        return multiply_parts(a, b, -1, out);
    case RULE_JOIN:
        return join_parts(a, b, out);
    }
    return MW_TYPE_KINDS;
}

static mw_type_fault apply(mw_measure *measure, rule which, mw_type a, mw_type b, mw_type *out)
{
    uint64_t key = ((uint64_t)a << 32 | b) * UINT64_C(0x9e3779b97f4a7c15) + which;
    type_memo *memo = &measure->type_memo[(key >> 40 ^ key) & ((1U << TYPE_MEMO_BITS) - 1)];
    if (memo->a == a && memo->b == b && memo->rule == which) {
        if (memo->fault == MW_TYPE_FINE) {
            *out = memo->out;
        }
        return (mw_type_fault)memo->fault;
    }
    mw_type_parts parts;
    mw_type type = MW_NONE;
    mw_type_fault fault = work_out(which, type_parts(measure, a), type_parts(measure, b), &parts);
    if (fault == MW_TYPE_FINE) {
        type = mw_type_of(measure, &parts);
        if (type == MW_NONE) {
            return MW_TYPE_MEMORY;
        }
        *out = type;
    }
    *memo = (type_memo){a, b, type, (uint16_t)which, (uint16_t)fault};
    return fault;
}

mw_type_fault mw_type_add(mw_measure *measure, mw_type a, mw_type b, mw_type *out)
{
    return apply(measure, RULE_ADD, a, b, out);
}

mw_type_fault mw_type_subtract(mw_measure *measure, mw_type a, mw_type b, mw_type *out)
{
    return apply(measure, RULE_SUBTRACT, a, b, out);
}

mw_type_fault mw_type_multiply(mw_measure *measure, mw_type a, mw_type b, mw_type *out)
{
    return apply(measure, RULE_MULTIPLY, a, b, out);
}

mw_type_fault mw_type_divide(mw_measure *measure, mw_type a, mw_type b, mw_type *out)
{
    return apply(measure, RULE_DIVIDE, a, b, out);
}

mw_type_fault mw_type_join(mw_measure *measure, mw_type a, mw_type b, mw_type *out)
{
    return apply(measure, RULE_JOIN, a, b, out);
}

mw_type_fault mw_type_power(mw_measure *measure, mw_type a, double power, mw_type *out)
{
    if (a == MW_TYPE_NUMBER) {
        *out = MW_TYPE_NUMBER;
        return MW_TYPE_FINE;
    }
    mw_type_parts parts = *type_parts(measure, a);
    if (parts.form != MW_FORM_NUMBER) {
        return MW_TYPE_KINDS;
    }
    if (parts.point != 0) {
        return MW_TYPE_POINTS;
    }
    for (int i = 0; i < MW_BASE_COUNT; i++) {
        /* A third is not exact in binary: the product may miss the whole number by a little. */
        double exact = parts.exponent[i] * power;
        double whole = nearbyint(exact);
        if (!(fabs(exact - whole) <= 1e-9 && fabs(whole) <= INT16_MAX)) {
            return MW_TYPE_POWER;
        }
        parts.exponent[i] = (int16_t)whole;
    }
    mw_type type = mw_type_of(measure, &parts);
    if (type == MW_NONE) {
        return MW_TYPE_MEMORY;
    }
    *out = type;
    return MW_TYPE_FINE;
}

mw_type_fault mw_type_fits(mw_measure *measure, mw_type from, mw_type slot)
{
    if (from == slot || (from == MW_TYPE_NUMBER && slot == MW_TYPE_PEOPLE)) {
        return MW_TYPE_FINE;
    }
    mw_type joined;
    mw_type_fault fault = mw_type_join(measure, from, slot, &joined);
    if (fault != MW_TYPE_FINE) {
        return fault;
    }
    /* Hours of a slot that says which they are stay so. */
    return joined == slot || type_parts(measure, slot)->soft != 0 ? MW_TYPE_FINE : MW_TYPE_KINDS;
}
