/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Temperatures that a resin may see, and the gas constant. */
#ifndef MW_TRADE_TEMPERATURE_H
#define MW_TRADE_TEMPERATURE_H

#include "inputs.h"

/* J/(mol K). Source: CODATA 2018, exact. */
#define TRADE_GAS_CONSTANT 8.31446261815324

static inline mw_trade_status check_temperature(double temperature_k)
{
    if (!isfinite(temperature_k) || temperature_k <= 0) {
        return MW_TRADE_NO_SENSE;
    }
    const double nothing_k = 1e-9; /* -50 degC in K is a rounding away from 223.15 */
    return temperature_k < 223.15 - nothing_k || temperature_k > 573.15 + nothing_k
               ? MW_TRADE_OUT_OF_RANGE
               : MW_TRADE_OK;
}

#endif
