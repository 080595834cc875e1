/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the status of a trade's method to the value that a formula goes on with. */
#ifndef MW_JOB_FUNCTIONS_ANSWER_H
#define MW_JOB_FUNCTIONS_ANSWER_H

#include "mouldwright/trade.h"
#include "mouldwright/values.h"

/* Returns the value, or the error value that says why there is none. */
static inline double trade_answer(mw_trade_status status, double value)
{
    switch (status) {
    case MW_TRADE_OK:
        return value;
    case MW_TRADE_NO_SENSE:
        return mw_error_value(MW_CODE_OUT_OF_DOMAIN);
    case MW_TRADE_OUT_OF_RANGE:
        return mw_error_value(MW_CODE_OUT_OF_RANGE);
    }
    return mw_error_value(MW_CODE_INTERNAL);
}

#endif
