/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers as text. */
#include "mouldwright/number.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "decimal.h"

enum {
    EXACT_TEN = 22,        /* the largest power of ten that a double holds */
    FEW_DIGITS = 19,       /* digits that 64 bits hold */
    SURE_DIGITS = 770,     /* no double needs more to be told from its neighbours */
    EXPONENT_LIMIT = 99999 /* beyond all doubles */
};

static const double exact_tens[EXACT_TEN + 1] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                                 1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                                 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* The pieces of a number that is being read. */
typedef struct scan {
    const char *begin;
    const char *end;
    uint64_t whole; /* the digits as one number, the point left out */
    int digits;     /* significant ones; `whole` is good up to FEW_DIGITS */
    int behind;     /* digits behind the point */
    int exponent;   /* as written */
} scan;

static const char *scan_digits(scan *in, const char *at)
{
    for (; at < in->end && is_digit(*at); at++) {
        if (in->digits > 0 || *at != '0') {
            in->digits++;
        }
        in->whole = in->digits <= FEW_DIGITS ? in->whole * 10 + (uint64_t)(*at - '0') : in->whole;
    }
    return at;
}

/* exponent = ("e" | "E") ["+" | "-"] digits */
static const char *scan_exponent(scan *in, const char *at)
{
    const char *digit = at + 1;
    bool negative = digit < in->end && *digit == '-';
    if (digit < in->end && (*digit == '-' || *digit == '+')) {
        digit++;
    }
    if (digit >= in->end || !is_digit(*digit)) {
        return at;
    }
    int value = 0;
    for (; digit < in->end && is_digit(*digit); digit++) {
        value = value < EXPONENT_LIMIT ? value * 10 + (*digit - '0') : value;
    }
    in->exponent = negative ? -value : value;
    return digit;
}

/* number = digits [ "." digits ] [ exponent ] */
static const char *scan_number(scan *in)
{
    const char *at = scan_digits(in, in->begin);
    if (at == in->begin) {
        return at;
    }
    if (at + 1 < in->end && *at == '.' && is_digit(at[1])) {
        const char *point = at;
        at = scan_digits(in, at + 1);
        in->behind = (int)(at - point - 1);
    }
    if (at < in->end && (*at == 'e' || *at == 'E')) {
        at = scan_exponent(in, at);
    }
    return at;
}

/* Reads the digits again through the C library, as a whole number with an exponent, so that no
 * decimal point of any locale comes in. Digits past SURE_DIGITS only matter for being there. */
static double read_slowly(const scan *in, const char *end)
{
    char text[SURE_DIGITS + 32];
    int count = 0;
    long long dropped = 0;
    bool beyond = false;
    for (const char *at = in->begin; at < end && *at != 'e' && *at != 'E'; at++) {
        if (!is_digit(*at) || (count == 0 && *at == '0')) {
            continue;
        }
        if (count < SURE_DIGITS) {
            text[count++] = *at;
        } else {
            beyond = beyond || *at != '0';
            dropped++;
        }
    }
    if (beyond) {
        text[count++] = '1';
        dropped--;
    }
    if (count == 0) {
        return 0;
    }
    snprintf(text + count, sizeof text - (size_t)count, "e%lld",
             dropped + in->exponent - in->behind);
    return strtod(text, NULL);
}

size_t mw_number_read(mw_str text, double *value)
{
    scan in = {.begin = text.at, .end = text.at + text.length};
    const char *end = scan_number(&in);
    if (end == in.begin) {
        return 0;
    }
    int ten = in.exponent - in.behind;
    /* Whole numbers up to 2^53 and powers of ten up to 10^22 are exact, so one operation rounds
     * once.
     * Source: Clinger 1990, How to read floating point numbers accurately. */
    bool exact = in.digits <= FEW_DIGITS && in.whole <= UINT64_C(1) << 53;
    if (exact && ten >= 0 && ten <= EXACT_TEN) {
        *value = (double)in.whole * exact_tens[ten];
    } else if (exact && ten < 0 && ten >= -EXACT_TEN) {
        *value = (double)in.whole / exact_tens[-ten];
    } else {
        *value = read_slowly(&in, end);
    }
    return (size_t)(end - in.begin);
}

/* --- writing --------------------------------------------------------------------------------- */

/* Adds what is no number; returns whether it was so. */
static bool add_strange(double value, mw_text *out)
{
    if (isnan(value)) {
        mw_text_adds(out, "not a number");
        return true;
    }
    if (isinf(value)) {
        mw_text_adds(out, value < 0 ? "-infinite" : "infinite");
        return true;
    }
    return false;
}

/* Adds a decimal in plain form with `decimals` digits behind the point, thousands parted. */
static void add_plain(const decimal *number, int decimals, char group, mw_text *out)
{
    if (number->negative) {
        mw_text_addc(out, '-');
    }
    int before = number->exponent > 0 ? number->exponent : 0;
    for (int ahead = before; ahead >= 0; ahead--) {
        mw_text_addc(out, decimal_digit(number, -ahead));
        if (group != 0 && ahead > 0 && ahead % 3 == 0) {
            mw_text_addc(out, group);
        }
    }
    if (decimals > 0) {
        mw_text_addc(out, '.');
    }
    for (int at = 1; at <= decimals; at++) {
        mw_text_addc(out, decimal_digit(number, at));
    }
}

/* Returns how many digits stand behind the point. */
static int decimals_of(const decimal *number)
{
    int decimals = number->count - 1 - number->exponent;
    return decimals > 0 ? decimals : 0;
}

static void add_exponent_form(const decimal *number, mw_text *out)
{
    if (number->negative) {
        mw_text_addc(out, '-');
    }
    mw_text_addc(out, number->digits[0]);
    if (number->count > 1) {
        mw_text_addc(out, '.');
        mw_text_add(out, number->digits + 1, (size_t)number->count - 1);
    }
    mw_text_addf(out, "e%d", number->exponent);
}

/* Adds a decimal, all its digits, in exponent form outside 10^lowest to 10^highest. */
static void add_shortest(const decimal *number, int lowest, int highest, char group, mw_text *out)
{
    if (number->exponent < lowest || number->exponent >= highest) {
        add_exponent_form(number, out);
    } else {
        add_plain(number, decimals_of(number), group, out);
    }
}

void mw_number_words(double value, mw_text *out)
{
    if (!add_strange(value, out)) {
        decimal number = decimal_of(value, DECIMAL_USUAL);
        add_shortest(&number, -6, 15, 0, out);
    }
}

void mw_number_short(double value, int digits, char group, mw_text *out)
{
    if (!add_strange(value, out)) {
        decimal number = decimal_of(value, DECIMAL_USUAL);
        decimal_round(&number, digits - 1 - number.exponent);
        add_shortest(&number, -20, 21, group, out);
    }
}

void mw_number_fixed(double value, int decimals, char group, mw_text *out)
{
    if (!add_strange(value, out)) {
        decimal number = decimal_of(value, DECIMAL_USUAL);
        decimal_round(&number, decimals);
        add_plain(&number, decimals, group, out);
    }
}
