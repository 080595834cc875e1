/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A double as decimal digits. Works in every locale: the decimal point of the C library is
 * skipped when it is written and never stands in what it reads. */
#include "decimal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static void drop_zeros(decimal *number)
{
    while (number->count > 0 && number->digits[number->count - 1] == '0') {
        number->count--;
    }
    if (number->count == 0) {
        number->exponent = 0;
        number->negative = false;
    }
}

decimal decimal_of(double value, int digits)
{
    char text[64];
    decimal out = {.negative = value < 0};
    snprintf(text, sizeof text, "%.*e", digits - 1, value < 0 ? -value : value);
    const char *at = text;
    for (; *at != 'e' && *at != '\0'; at++) {
        if (is_digit(*at) && out.count < DECIMAL_WHOLE) {
            out.digits[out.count++] = *at;
        }
    }
    out.exponent = *at == 'e' ? (int)strtol(at + 1, NULL, 10) : 0;
    drop_zeros(&out);
    return out;
}

/* Adds one to the last digit. */
static void count_up(decimal *number)
{
    int at = number->count - 1;
    while (at >= 0 && number->digits[at] == '9') {
        number->digits[at--] = '0';
    }
    if (at >= 0) {
        number->digits[at]++;
        return;
    }
    number->digits[0] = '1';
    number->count = 1;
    number->exponent++;
}

void decimal_round(decimal *number, int places)
{
    int kept = number->exponent + 1 + places;
    if (kept >= number->count) {
        return;
    }
    if (kept < 0) {
        number->count = 0;
        drop_zeros(number);
        return;
    }
    bool up = number->digits[kept] >= '5';
    number->count = kept;
    if (up) {
        count_up(number);
    }
    drop_zeros(number);
}

double decimal_value(const decimal *number)
{
    char text[DECIMAL_WHOLE + 32];
    if (number->count == 0) {
        return 0;
    }
    snprintf(text, sizeof text, "%s%.*se%d", number->negative ? "-" : "", number->count,
             number->digits, number->exponent - number->count + 1);
    return strtod(text, NULL);
}

char decimal_digit(const decimal *number, int at)
{
    int index = number->exponent + at;
    return index >= 0 && index < number->count ? number->digits[index] : '0';
}
