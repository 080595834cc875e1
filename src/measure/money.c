/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Currencies, their rates, and the one place that rounds money. */
#include "mouldwright/money.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "decimal.h"
#include "measure.h"

/* --- currencies ------------------------------------------------------------------------------ */

uint16_t mw_currency_find(const mw_measure *measure, mw_str code)
{
    uint32_t id = mw_names_find(measure->names, code);
    if (id == MW_NONE) {
        return 0;
    }
    atom item = measure->meanings[id].atom;
    bool currency = item >= UNIT_ROWS && item < UNIT_ROWS + CURRENCY_ROWS;
    return currency ? (uint16_t)(item - UNIT_ROWS + 1) : 0;
}

/* Returns the row of a currency, or NULL where the id is none. */
static const currency_row *row_of(uint16_t currency)
{
    return currency >= 1 && currency <= CURRENCY_ROWS ? &currency_rows[currency - 1] : NULL;
}

const char *mw_currency_code(const mw_measure *measure, uint16_t currency)
{
    (void)measure;
    const currency_row *row = row_of(currency);
    return row != NULL ? row->code : "";
}

int mw_currency_digits(const mw_measure *measure, uint16_t currency)
{
    (void)measure;
    const currency_row *row = row_of(currency);
    return row != NULL ? row->digits : 0;
}

mw_type mw_money_type(mw_measure *measure, uint16_t currency)
{
    if (row_of(currency) == NULL) {
        return MW_NONE;
    }
    mw_type_parts parts = {.currency = effective_currency(measure, currency),
                           .form = MW_FORM_NUMBER};
    parts.exponent[MW_MONEY] = MW_EXPONENT_ONE;
    return mw_type_of(measure, &parts);
}

uint16_t mw_money_base_of(const mw_measure *measure)
{
    return measure->base_currency;
}

/* Works all units out again. Where memory runs out, the currency and the rates of before are put
 * back; that cannot fail, since their types exist. */
static mw_status refresh_or_restore(mw_measure *measure, uint16_t base, const double *rates)
{
    mw_status status = units_refresh(measure);
    if (status != MW_OK) {
        measure->base_currency = base;
        memcpy(measure->rates, rates, (CURRENCY_ROWS + 1) * sizeof *rates);
        mw_status back = units_refresh(measure);
        assert(back == MW_OK);
        (void)back;
    }
    return status;
}

mw_status mw_money_base(mw_measure *measure, uint16_t currency)
{
    if (row_of(currency) == NULL) {
        return MW_NOT_FOUND;
    }
    if (currency == measure->base_currency) {
        return MW_OK;
    }
    double rates[CURRENCY_ROWS + 1];
    uint16_t base = measure->base_currency;
    memcpy(rates, measure->rates, sizeof rates);
    /* The rates were stated in the currency that was the shop's. */
    memset(measure->rates, 0, sizeof rates);
    measure->base_currency = currency;
    return refresh_or_restore(measure, base, rates);
}

mw_status mw_money_rate(mw_measure *measure, uint16_t currency, double rate)
{
    if (row_of(currency) == NULL) {
        return MW_NOT_FOUND;
    }
    bool base_itself = currency == measure->base_currency;
    if (measure->base_currency == 0 || !(rate > 0) || !isnormal(rate) ||
        (base_itself && rate != 1)) {
        return MW_FAILED;
    }
    if (base_itself || measure->rates[currency] == rate) {
        return MW_OK;
    }
    double rates[CURRENCY_ROWS + 1];
    memcpy(rates, measure->rates, sizeof rates);
    measure->rates[currency] = rate;
    return refresh_or_restore(measure, measure->base_currency, rates);
}

/* --- rounding -------------------------------------------------------------------------------- */

/* An amount as a decimal rounded to minor digits. Fifteen digits make 1.005 the half that was
 * meant; where they would end before the minor digits, the double is taken as it is. */
static decimal rounded_amount(double amount, int digits)
{
    decimal number = decimal_of(amount, DECIMAL_USUAL);
    if (number.exponent + digits + 1 >= DECIMAL_USUAL) {
        number = decimal_of(amount, DECIMAL_WHOLE);
    }
    decimal_round(&number, digits);
    return number;
}

/* Where no half is near, the decimals need not be written out: the fifteen digits move an amount of this size by less than
 * the distance that is asked for, and a whole number over a power of ten is the double nearest to that decimal. */
static bool rounded_at_once(double amount, int digits, double *out)
{
    static const double powers[] = {1, 10, 100, 1000, 10000};
    static const double most = 1e9;
    static const double far_from_half = 1e-4;
    if (digits < 0 || digits >= (int)(sizeof powers / sizeof *powers)) {
        return false;
    }
    const double scaled = fabs(amount) * powers[digits];
    const double whole = floor(scaled);
    const double part = scaled - whole;
    if (!(scaled < most) || !(fabs(part - 0.5) > far_from_half)) {
        return false;
    }
    const double size = (whole + (part > 0.5 ? 1 : 0)) / powers[digits];
    *out = amount < 0 && size > 0 ? -size : size;
    return true;
}

double mw_money_round(double amount, int digits)
{
    double at_once;
    if (!isfinite(amount)) {
        return amount;
    }
    if (rounded_at_once(amount, digits, &at_once)) {
        return at_once;
    }
    decimal number = rounded_amount(amount, digits);
    return decimal_value(&number);
}

bool mw_money_minor(double amount, int digits, int64_t *minor)
{
    static const int64_t limit = INT64_C(1) << 62;
    if (!isfinite(amount) || fabs(amount) > 1e19) {
        return false;
    }
    decimal number = rounded_amount(amount, digits);
    int64_t whole = 0;
    for (int at = -number.exponent; at <= digits; at++) {
        int digit = decimal_digit(&number, at) - '0';
        if (whole > (limit - digit) / 10) {
            return false;
        }
        whole = whole * 10 + digit;
    }
    *minor = number.negative ? -whole : whole;
    return true;
}

void mw_money_words(int64_t minor, int digits, char group, mw_text *out)
{
    char figures[24];
    int count = 0;
    uint64_t rest = minor < 0 ? 0 - (uint64_t)minor : (uint64_t)minor;
    do {
        figures[count++] = (char)('0' + rest % 10);
        rest /= 10;
    } while (rest > 0 || count <= digits);
    if (minor < 0) {
        mw_text_addc(out, '-');
    }
    for (int at = count - 1; at >= 0; at--) {
        mw_text_addc(out, figures[at]);
        int ahead = at - digits; /* figures that follow before the point */
        if (ahead == 0 && digits > 0) {
            mw_text_addc(out, '.');
        } else if (ahead > 0 && ahead % 3 == 0 && group != 0) {
            mw_text_addc(out, group);
        }
    }
}

double mw_margin_of_markup(double markup)
{
    return markup / (1 + markup);
}

double mw_markup_of_margin(double margin)
{
    return margin / (1 - margin);
}
