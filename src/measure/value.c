/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values with their units as text. */
#include <math.h>

#include "decimal.h"
#include "measure.h"
#include "mouldwright/date.h"
#include "mouldwright/number.h"

/* Temperatures are doubles in kelvin, of which the thirteenth decimal is noise. */
enum { SURE_DECIMALS = 12 };

/* Two roundings of a temperature below 512 K. */
#define NOISE_K 0x1p-43

/* Returns the minor digits of a unit that is a currency alone, -1 for all others. */
static int minor_digits(const mw_measure *measure, mw_unit unit)
{
    const factors *list = &measure->units[unit].factors;
    bool alone = list->count == 1 && list->items[0].exponent == MW_EXPONENT_ONE;
    symbol which = alone ? list->items[0].atom : 0;
    bool currency = which >= UNIT_ROWS && which < UNIT_ROWS + CURRENCY_ROWS;
    return currency ? currency_rows[which - UNIT_ROWS].digits : -1;
}

/* Adds an amount with the digits of its minor unit if it has no more than those. */
static void add_money(double amount, int digits, mw_text *out)
{
    decimal number = isfinite(amount) ? decimal_of(amount, DECIMAL_USUAL) : (decimal){.count = 0};
    bool more = number.count - 1 - number.exponent > digits;
    if (!isfinite(amount) || more || number.exponent >= DECIMAL_USUAL) {
        mw_number_words(amount, out);
    } else {
        mw_number_fixed(amount, digits, 0, out);
    }
}

/* Whether a difference can be one of two temperatures: those above 128 K are whole multiples of 2^-45 K, and so is what
 * lies between two of them. Any other difference was written as such, and is shown to its last digit. */
static bool lies_between_points(double difference_k)
{
    double steps = difference_k * 0x1p45;
    return fabs(difference_k) < 0x1p6 && steps == nearbyint(steps);
}

/* Whether the last digits of a value in a unit are noise of temperatures. */
static bool is_noisy(const mw_measure *measure, double value, mw_type type, mw_unit unit)
{
    if (mw_unit_offset(measure, unit) != 0) {
        return true;
    }
    return type == MW_TYPE_TEMPERATURE && mw_unit_scale(measure, unit) > 0.1 &&
           lies_between_points(value);
}

/* The decimal that was meant: where one with fewer decimals lies within `noise` it is taken for that, so that 40 degF
 * less 32 degF is 8 steps of degF; a number that goes on, as 100 degF in degC does, is shown with all its digits. */
static double without_noise(double number, double noise)
{
    decimal rounded = decimal_of(number, DECIMAL_WHOLE);
    decimal_round(&rounded, SURE_DECIMALS);
    double meant = rounded.count == 0 ? 0 : decimal_value(&rounded);
    bool shorter = rounded.count - 1 - rounded.exponent < SURE_DECIMALS - 1;
    return shorter && fabs(number - meant) <= noise ? meant : number;
}

static void add_quantity(mw_measure *measure, double value, mw_type type, mw_unit unit,
                         mw_text *out)
{
    double number = mw_unit_from_si(measure, unit, value);
    int digits = minor_digits(measure, unit);
    if (digits >= 0) {
        add_money(number, digits, out);
    } else if (isfinite(number) && is_noisy(measure, value, type, unit)) {
        mw_number_words(without_noise(number, NOISE_K / mw_unit_scale(measure, unit)), out);
    } else {
        mw_number_words(number, out);
    }
    if (unit != MW_UNIT_ONE) {
        mw_text_addc(out, ' ');
        mw_unit_words(measure, unit, out);
    }
}

void mw_value_words(mw_measure *measure, double value, mw_type type, mw_unit unit, mw_text *out)
{
    if (type == MW_TYPE_TRUTH) {
        mw_text_adds(out, value != 0 ? "yes" : "no");
    } else if (type == MW_TYPE_DATE) {
        mw_date_words(value, out);
    } else if (type != MW_TYPE_TEXT) {
        if (unit >= measure->unit_count || !mw_unit_shows(measure, unit, type)) {
            unit = mw_unit_usual(measure, type);
        }
        if (unit == MW_NONE) {
            out->failed = true;
            return;
        }
        add_quantity(measure, value, type, unit, out);
    }
}
