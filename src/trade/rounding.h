/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole numbers of things. */
#ifndef MW_TRADE_ROUNDING_H
#define MW_TRADE_ROUNDING_H

#include <math.h>

/* A quotient this near to a whole number is one: 0.3 m is three times 0.1 m. */
#define WHOLE_WITHIN 1e-9

/* The whole number at or above x, which is 0 or more. */
static inline double whole_above(double x)
{
    return ceil(x * (1.0 - WHOLE_WITHIN));
}

/* The whole number at or below x, which is 0 or more. */
static inline double whole_below(double x)
{
    return floor(x * (1.0 + WHOLE_WITHIN));
}

#endif
