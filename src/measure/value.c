/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values with their units as text. */
#include <math.h>

#include "decimal.h"
#include "measure.h"
#include "mouldwright/date.h"
#include "mouldwright/number.h"

/* Decimals of a temperature that the double behind it, in kelvin, still holds: the rest is
 * noise. */
enum { POINT_DECIMALS = 12 };

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

static void add_quantity(mw_measure *measure, double value, mw_unit unit, mw_text *out)
{
    double number = mw_unit_from_si(measure, unit, value);
    int digits = minor_digits(measure, unit);
    if (digits >= 0) {
        add_money(number, digits, out);
    } else if (mw_unit_offset(measure, unit) != 0 && isfinite(number)) {
        decimal rounded = decimal_of(number, DECIMAL_USUAL);
        decimal_round(&rounded, POINT_DECIMALS);
        mw_number_words(decimal_value(&rounded), out);
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
        add_quantity(measure, value, unit, out);
    }
}
