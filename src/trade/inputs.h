/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Looking at what comes into a method, and handing on what comes out. */
#ifndef MW_TRADE_INPUTS_H
#define MW_TRADE_INPUTS_H

#include <math.h>
#include <stddef.h>

#include "mouldwright/trade.h"
#include "range.h"

/* Hands on a result of sound inputs: one that is no number has left the range. */
static inline mw_trade_status trade_put(double value, double *out)
{
    if (!isfinite(value)) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    *out = value;
    return MW_TRADE_OK;
}

#endif
