/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ranges that methods ask about again and again. NaN is in none of them. */
#ifndef MW_TRADE_RANGE_H
#define MW_TRADE_RANGE_H

#include <float.h>
#include <stdbool.h>

static inline bool is_above_zero(double x)
{
    return x > 0.0 && x <= DBL_MAX;
}

static inline bool is_zero_or_more(double x)
{
    return x >= 0.0 && x <= DBL_MAX;
}

/* From 0 to 1, both included. */
static inline bool is_share(double x)
{
    return x >= 0.0 && x <= 1.0;
}

#endif
