/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The unit in which a product, a quotient or a power is shown. */
#include "measure.h"

#include <math.h>

enum { COMBINE_MULTIPLY = 1, COMBINE_DIVIDE, COMBINE_POWER };

/* Whether two atoms are of one kind or powers of it: m and ft, m and L, s and Hz. */
static bool of_one_kind(const mw_measure *measure, atom a, atom b)
{
    int32_t x[MW_BASE_COUNT];
    int32_t y[MW_BASE_COUNT];
    if (atom_exponents(measure, a, x) || atom_exponents(measure, b, y)) {
        return false;
    }
    for (int i = 0; i < MW_BASE_COUNT; i++) {
        for (int j = i + 1; j < MW_BASE_COUNT; j++) {
            if (x[i] * y[j] != x[j] * y[i]) {
                return false;
            }
        }
    }
    for (int i = 0; i < MW_BASE_COUNT; i++) {
        if ((x[i] != 0) != (y[i] != 0)) {
            return false;
        }
    }
    return true;
}

static bool any_of_one_kind(const mw_measure *measure, const factors *list)
{
    for (uint32_t i = 0; i < list->count; i++) {
        for (uint32_t j = i + 1; j < list->count; j++) {
            if (of_one_kind(measure, list->items[i].atom, list->items[j].atom)) {
                return true;
            }
        }
    }
    return false;
}

/* Takes plain numbers such as % out of a unit, except where it is one such alone. */
static void drop_plain(const mw_measure *measure, factors *list)
{
    if (list->count == 1 && list->items[0].exponent == MW_EXPONENT_ONE) {
        return;
    }
    factors kept = {.count = 0};
    for (uint32_t i = 0; i < list->count; i++) {
        int32_t exponents[MW_BASE_COUNT];
        if (!atom_exponents(measure, list->items[i].atom, exponents)) {
            kept.items[kept.count++] = list->items[i];
        }
    }
    *list = kept;
}

/* Adds the factors of a unit to a power. False where a power is no sixtieth or too much. */
static bool add_factors(factors *list, const factors *more, double power)
{
    for (uint32_t i = 0; i < more->count; i++) {
        double exact = more->items[i].exponent * power;
        double whole = nearbyint(exact);
        if (!(fabs(exact - whole) <= 1e-9 && fabs(whole) <= POWER_MAX * MW_EXPONENT_ONE) ||
            !factors_add(list, more->items[i].atom, (int32_t)whole)) {
            return false;
        }
    }
    return true;
}

/* Whether people stand beside their hours: the usual unit writes such labour as h. */
static bool is_written_out(const mw_measure *measure, const factors *list, mw_type type)
{
    const mw_type_parts *parts = type_parts(measure, type);
    bool labour =
        parts->exponent[MW_PERSON] != 0 && parts->exponent[MW_PERSON] == parts->exponent[MW_TIME];
    for (uint32_t i = 0; i < list->count; i++) {
        if (labour && list->items[i].atom == MW_PERSON) {
            return true;
        }
    }
    return false;
}

static mw_status finish(mw_measure *measure, factors *list, mw_type type, mw_unit *unit)
{
    drop_plain(measure, list);
    if (any_of_one_kind(measure, list) || is_written_out(measure, list, type)) {
        return MW_FAILED;
    }
    mw_status status = unit_of_factors(measure, list, unit);
    if (status != MW_OK) {
        return status;
    }
    return mw_unit_shows(measure, *unit, type) ? MW_OK : MW_FAILED;
}

/* Shows in the unit of the factors if that is a fair one, else in the usual unit of the type. */
static mw_unit settle(mw_measure *measure, factors *list, bool fits, mw_type type)
{
    mw_unit unit = MW_NONE;
    mw_status status = fits ? finish(measure, list, type, &unit) : MW_FAILED;
    if (status == MW_NO_MEMORY) {
        return MW_NONE;
    }
    return status == MW_OK ? unit : mw_unit_usual(measure, type);
}

/* Returns the first of the two slots in which a key may stand. */
static unit_memo *slots_of(mw_measure *measure, const unit_memo *key)
{
    uint64_t mixed =
        mix_bits((uint64_t)key->a << 32 | key->b) + mix_bits(key->type * 4 + key->rule);
    return &measure->unit_memo[(mixed >> 20) & ((1U << UNIT_MEMO_BITS) - 2)];
}

static bool same_key(const unit_memo *a, const unit_memo *b)
{
    return a->a == b->a && a->b == b->b && a->type == b->type && a->rule == b->rule;
}

/* Returns whether a key was worked out before; sets its `out` then. */
static bool recall(mw_measure *measure, unit_memo *key)
{
    const unit_memo *slots = slots_of(measure, key);
    for (int i = 0; i < 2; i++) {
        if (same_key(&slots[i], key)) {
            key->out = slots[i].out;
            return true;
        }
    }
    return false;
}

/* Remembers a key; the older of the two that stood there gives way. */
static void remember(mw_measure *measure, const unit_memo *key)
{
    unit_memo *slots = slots_of(measure, key);
    if (key->out != MW_NONE) {
        slots[1] = slots[0];
        slots[0] = *key;
    }
}

static mw_unit combine(mw_measure *measure, unit_memo key)
{
    if (key.a == MW_UNIT_ONE && key.b == MW_UNIT_ONE && key.type == MW_TYPE_NUMBER) {
        return MW_UNIT_ONE;
    }
    if (recall(measure, &key)) {
        return key.out;
    }
    if (key.a >= measure->unit_count || key.b >= measure->unit_count) {
        return mw_unit_usual(measure, key.type);
    }
    factors list = measure->units[key.a].factors;
    bool fits =
        add_factors(&list, &measure->units[key.b].factors, key.rule == COMBINE_MULTIPLY ? 1 : -1);
    key.out = settle(measure, &list, fits, key.type);
    remember(measure, &key);
    return key.out;
}

mw_unit mw_unit_multiply(mw_measure *measure, mw_unit a, mw_unit b, mw_type type)
{
    return combine(measure, (unit_memo){.a = a, .b = b, .type = type, .rule = COMBINE_MULTIPLY});
}

mw_unit mw_unit_divide(mw_measure *measure, mw_unit a, mw_unit b, mw_type type)
{
    return combine(measure, (unit_memo){.a = a, .b = b, .type = type, .rule = COMBINE_DIVIDE});
}

mw_unit mw_unit_power(mw_measure *measure, mw_unit a, double power, mw_type type)
{
    if (a == MW_UNIT_ONE && type == MW_TYPE_NUMBER) {
        return MW_UNIT_ONE;
    }
    /* Powers that are no whole number of sixtieths are not remembered. */
    double sixtieths = power * MW_EXPONENT_ONE;
    bool whole = sixtieths == nearbyint(sixtieths) && fabs(sixtieths) < 1e6;
    unit_memo key = {.a = a, .type = type, .rule = COMBINE_POWER};
    key.b = whole ? (uint32_t)(int32_t)sixtieths : 0;
    if (whole && recall(measure, &key)) {
        return key.out;
    }
    if (a >= measure->unit_count) {
        return mw_unit_usual(measure, type);
    }
    factors list = {.count = 0};
    bool fits = add_factors(&list, &measure->units[a].factors, power);
    key.out = settle(measure, &list, fits, type);
    if (whole) {
        remember(measure, &key);
    }
    return key.out;
}
