/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Between the laws of cure and their integration. */
#ifndef MW_TRADE_KINETICS_H
#define MW_TRADE_KINETICS_H

#include "mouldwright/trade_kinetics.h"
#include "temperature.h"

/* From here on a resin counts as cured. */
#define KINETICS_CURED (1 - 1e-9)

/* Looks at the constants of a law. */
mw_trade_status kinetics_check(const mw_kinetics *kinetics);

/* The k of a law at a temperature. */
typedef struct kinetics_constants {
    double k[3];
} kinetics_constants;
void kinetics_constants_at(const mw_kinetics *kinetics, double at_k, kinetics_constants *out);

/* The rate at a degree that may have left 0 to 1 by a trial step; never below 0. */
double kinetics_rate(const mw_kinetics *kinetics, const kinetics_constants *at, double at_k,
                     double degree);

/* Whether the law has any rate at degree 0. */
bool kinetics_starts(const mw_kinetics *kinetics);

#endif
