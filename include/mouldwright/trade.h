/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What all methods of the trade share. They are pure functions of plain SI numbers: they keep
 * nothing, allocate nothing and may be called from any number of threads. */
#ifndef MOULDWRIGHT_TRADE_H
#define MOULDWRIGHT_TRADE_H

#include "mouldwright/status.h"

/* What a method reports. Unless it is MW_TRADE_OK, results are left as they were. */
typedef enum mw_trade_status {
    MW_TRADE_OK = 0,
    MW_TRADE_NO_SENSE,    /* an input that nothing real can have: a negative thickness, NaN */
    MW_TRADE_OUT_OF_RANGE /* possible, but outside the range in which the method holds */
} mw_trade_status;

#endif
