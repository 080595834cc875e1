/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A double as decimal digits: the one place that turns binary into decimal and rounds it. */
#ifndef MOULDWRIGHT_MEASURE_DECIMAL_H
#define MOULDWRIGHT_MEASURE_DECIMAL_H

#include <stdbool.h>

enum {
    DECIMAL_USUAL = 15, /* digits that any decimal keeps through a double */
    DECIMAL_WHOLE = 20  /* digits that write whole numbers below 10^20 to the last */
};

/* The number digits[0] . digits[1] ... * 10^exponent; no zeros at the end; count 0 is zero. */
typedef struct decimal {
    char digits[DECIMAL_WHOLE + 1]; /* '0' to '9', not ended by NUL */
    int count;
    int exponent;
    bool negative;
} decimal;

/* Returns the decimal of `digits` (1 to DECIMAL_WHOLE) significant digits nearest to a finite
 * value. */
decimal decimal_of(double value, int digits);

/* Rounds to `places` digits behind the point (negative: before it), halves away from zero. */
void decimal_round(decimal *number, int places);

/* Returns the double nearest to a decimal. */
double decimal_value(const decimal *number);

/* Returns digit `at` behind the point (0: the ones, 1: the tenths, -1: the tens), '0' outside. */
char decimal_digit(const decimal *number, int at);

#endif
