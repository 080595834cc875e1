/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a unit means: its type, its scale and its offset. Scales are kept as fractions and powers
 * of ten to the end, so that in3, cm3 or psi come out as the double nearest to their exact
 * value. */
#include "measure.h"

#include <math.h>
#include <string.h>

/* What one symbol means. */
typedef struct symbol_meaning {
    int32_t exponent[MW_BASE_COUNT]; /* in sixtieths */
    uint16_t currency;               /* inside */
    bool hours;                      /* bare time */
    long double numerator;
    long double denominator;
    int ten;
} symbol_meaning;

/* The sum of what the factors mean. */
typedef struct total {
    int32_t exponent[MW_BASE_COUNT];
    uint16_t currency;
    bool hours;      /* some factor is bare time */
    bool other_time; /* some other factor has time or people in it */
    long double over;
    long double under;
    int ten;
} total;

static symbol_meaning meaning_of_row(const unit_row *row)
{
    symbol_meaning out = {.numerator = row->numerator,
                          .denominator = row->denominator,
                          .ten = row->ten,
                          .hours = (row->flags & UNIT_HOURS) != 0};
    for (int i = 0; i < SI_KINDS; i++) {
        out.exponent[i] = row->kind[i] * MW_EXPONENT_ONE;
    }
    return out;
}

static symbol_meaning meaning_of_currency(const mw_measure *measure, uint16_t currency)
{
    long double rate = (long double)measure->rates[currency];
    symbol_meaning out = {.currency = effective_currency(measure, currency),
                          .numerator = rate > 0 ? rate : 1,
                          .denominator = 1};
    out.exponent[MW_MONEY] = MW_EXPONENT_ONE;
    return out;
}

static symbol_meaning meaning_of_shop_unit(const mw_measure *measure, const shop_unit *shop)
{
    const unit_record *unit = &measure->units[shop->unit];
    const mw_type_parts *parts = type_parts(measure, unit->type);
    symbol_meaning out = {.currency = parts->currency,
                          .hours = parts->soft != 0,
                          .numerator = (long double)shop->factor * (long double)unit->scale,
                          .denominator = 1};
    for (int i = 0; i < MW_BASE_COUNT; i++) {
        out.exponent[i] = parts->exponent[i];
    }
    return out;
}

static symbol_meaning meaning_of_symbol(const mw_measure *measure, symbol which)
{
    if (which < UNIT_ROWS) {
        return meaning_of_row(&unit_rows[which]);
    }
    if (which < UNIT_ROWS + CURRENCY_ROWS) {
        return meaning_of_currency(measure, (uint16_t)(which - UNIT_ROWS + 1));
    }
    return meaning_of_shop_unit(measure, &measure->shop_units[which - UNIT_ROWS - CURRENCY_ROWS]);
}

static int prefix_ten(atom item)
{
    uint32_t prefix = atom_prefix(item);
    return prefix == 0 ? 0 : prefix_rows[prefix - 1].ten;
}

bool atom_exponents(const mw_measure *measure, atom item, int32_t exponents[MW_BASE_COUNT])
{
    symbol_meaning meaning = meaning_of_symbol(measure, atom_symbol(item));
    bool plain = true;
    for (int i = 0; i < MW_BASE_COUNT; i++) {
        exponents[i] = meaning.exponent[i];
        plain = plain && exponents[i] == 0;
    }
    return plain;
}

static long double whole_power(long double base, int power)
{
    long double result = 1;
    for (int i = 0; i < power; i++) {
        result *= base;
    }
    return result;
}

/* Multiplies the total's scale by that of a symbol to a power in sixtieths. */
static void add_scale(total *sum, const symbol_meaning *meaning, int ten, int32_t sixtieths)
{
    if (sixtieths % MW_EXPONENT_ONE != 0) {
        long double scale = meaning->numerator / meaning->denominator * powl(10, ten);
        sum->over *= powl(scale, (long double)sixtieths / MW_EXPONENT_ONE);
        return;
    }
    int power = sixtieths / MW_EXPONENT_ONE;
    sum->ten += ten * power;
    if (power > 0) {
        sum->over *= whole_power(meaning->numerator, power);
        sum->under *= whole_power(meaning->denominator, power);
    } else {
        sum->over *= whole_power(meaning->denominator, -power);
        sum->under *= whole_power(meaning->numerator, -power);
    }
}

/* Adds the exponents of a symbol to a power. False where one is no whole number of sixtieths,
 * and where two currencies meet. */
static bool add_exponents(total *sum, const symbol_meaning *meaning, int32_t sixtieths)
{
    bool timed = meaning->exponent[MW_TIME] != 0;
    bool peopled = meaning->exponent[MW_PERSON] != 0;
    for (int i = 0; i < MW_BASE_COUNT; i++) {
        int64_t product = (int64_t)meaning->exponent[i] * sixtieths;
        if (product % MW_EXPONENT_ONE != 0) {
            return false;
        }
        sum->exponent[i] += (int32_t)(product / MW_EXPONENT_ONE);
    }
    sum->hours = sum->hours || meaning->hours;
    sum->other_time = sum->other_time || peopled || (timed && !meaning->hours);
    if (meaning->currency != 0 && sum->currency != 0 && meaning->currency != sum->currency) {
        return false;
    }
    sum->currency = meaning->currency != 0 ? meaning->currency : sum->currency;
    return true;
}

/* Returns a power of ten. From a table, so that each is rounded once and not at every step. */
static long double power_of_ten(int ten)
{
    static const long double powers[] = {
        1e0L,  1e1L,  1e2L,  1e3L,  1e4L,  1e5L,  1e6L,  1e7L,  1e8L,  1e9L,  1e10L, 1e11L, 1e12L,
        1e13L, 1e14L, 1e15L, 1e16L, 1e17L, 1e18L, 1e19L, 1e20L, 1e21L, 1e22L, 1e23L, 1e24L, 1e25L,
        1e26L, 1e27L, 1e28L, 1e29L, 1e30L, 1e31L, 1e32L, 1e33L, 1e34L, 1e35L, 1e36L, 1e37L, 1e38L,
        1e39L, 1e40L, 1e41L, 1e42L, 1e43L, 1e44L, 1e45L, 1e46L, 1e47L, 1e48L, 1e49L, 1e50L, 1e51L,
        1e52L, 1e53L, 1e54L, 1e55L, 1e56L, 1e57L, 1e58L, 1e59L, 1e60L,
    };
    return ten < (int)(sizeof powers / sizeof powers[0]) ? powers[ten] : powl(10, ten);
}

static double scale_of(const total *sum)
{
    long double over = sum->over * (sum->ten > 0 ? power_of_ten(sum->ten) : 1);
    long double under = sum->under * (sum->ten < 0 ? power_of_ten(-sum->ten) : 1);
    return (double)(over / under);
}

/* Makes a unit that stands alone and has a zero of its own a point. */
static void set_point(const factors *list, unit_meaning *out)
{
    const unit_row *row = list->count == 1 ? row_of_symbol(list->items[0].atom) : NULL;
    if (row == NULL || (row->flags & UNIT_POINT) == 0 ||
        list->items[0].exponent != MW_EXPONENT_ONE) {
        return;
    }
    for (int i = 0; i < POINT_ROWS; i++) {
        if (strcmp(point_rows[i].unit, row->name) == 0) {
            long double zero = point_rows[i].zero_hundredths;
            out->parts.point = 1;
            out->offset = (double)(zero * row->numerator / (row->denominator * 100));
        }
    }
}

mw_status meaning_of_factors(const mw_measure *measure, const factors *list, unit_meaning *out)
{
    total sum = {.over = 1, .under = 1};
    for (uint32_t i = 0; i < list->count; i++) {
        const unit_factor *item = &list->items[i];
        symbol_meaning meaning = meaning_of_symbol(measure, atom_symbol(item->atom));
        if (!add_exponents(&sum, &meaning, item->exponent)) {
            return MW_FAILED;
        }
        add_scale(&sum, &meaning, meaning.ten + prefix_ten(item->atom), item->exponent);
    }
    memset(out, 0, sizeof *out);
    for (int i = 0; i < MW_BASE_COUNT; i++) {
        if (sum.exponent[i] > INT16_MAX || sum.exponent[i] < INT16_MIN) {
            return MW_FAILED;
        }
        out->parts.exponent[i] = (int16_t)sum.exponent[i];
    }
    out->parts.currency = sum.currency;
    out->parts.soft = sum.hours && !sum.other_time;
    out->scale = scale_of(&sum);
    set_point(list, out);
    return isnormal(out->scale) ? MW_OK : MW_FAILED;
}
