/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Laws of cure: constants looked at, and rates. */
#include "kinetics.h"

/* What the constants of a law must be within. */
typedef struct law_row {
    int ks;            /* of factor and energy */
    bool m, n;         /* whether it has these powers */
    double gas_jmolk;  /* that its constants go with */
    bool second_below; /* k2 may be below 0 */
} law_row;

static const law_row laws[MW_CURE_LAW_COUNT] = {
    [MW_CURE_ORDER] = {1, false, true, TRADE_GAS_CONSTANT, false},
    [MW_CURE_AUTOCATALYTIC] = {2, true, true, TRADE_GAS_CONSTANT, false},
    [MW_CURE_LIMITED] = {1, true, true, 8.314, false},
    [MW_CURE_TWO_STAGE] = {3, false, false, 8.314, true},
};

static bool within(double value, double low, double high)
{
    return value >= low && value <= high;
}

static mw_trade_status check_ks(const mw_kinetics *kinetics, const law_row *row)
{
    for (int i = 0; i < row->ks; i++) {
        const double factor = kinetics->factor_1s[i];
        if (!isfinite(factor) || (factor < 0 && !(row->second_below && i == 1)) ||
            !is_zero_or_more(kinetics->energy_jmol[i])) {
            return MW_TRADE_NO_SENSE;
        }
        if (kinetics->energy_jmol[i] > 300e3) {
            return MW_TRADE_OUT_OF_RANGE;
        }
    }
    return MW_TRADE_OK;
}

static mw_trade_status check_shape(const mw_kinetics *kinetics, const law_row *row)
{
    if ((row->m && !within(kinetics->m, 0, 5)) || (row->n && !within(kinetics->n, 0, 5))) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    if (kinetics->law == MW_CURE_LIMITED &&
        (!within(kinetics->limit_slope, 0, 200) || !within(kinetics->limit_at, -10, 10) ||
         !within(kinetics->limit_per_k, -0.1, 0.1))) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    if (kinetics->law == MW_CURE_TWO_STAGE &&
        !(kinetics->switch_at > 0 && kinetics->switch_at < kinetics->base && kinetics->base <= 1)) {
        return MW_TRADE_NO_SENSE;
    }
    return MW_TRADE_OK;
}

mw_trade_status kinetics_check(const mw_kinetics *kinetics)
{
    if ((unsigned)kinetics->law >= MW_CURE_LAW_COUNT) {
        return MW_TRADE_NO_SENSE;
    }
    const law_row *row = &laws[kinetics->law];
    mw_trade_status status = check_temperature(kinetics->coldest_k);
    if (status == MW_TRADE_OK) {
        status = check_temperature(kinetics->hottest_k);
    }
    if (status == MW_TRADE_OK && kinetics->hottest_k < kinetics->coldest_k) {
        status = MW_TRADE_NO_SENSE;
    }
    if (status == MW_TRADE_OK) {
        status = check_ks(kinetics, row);
    }
    return status == MW_TRADE_OK ? check_shape(kinetics, row) : status;
}

void kinetics_constants_at(const mw_kinetics *kinetics, double at_k, kinetics_constants *out)
{
    const law_row *row = &laws[kinetics->law];
    for (int i = 0; i < row->ks; i++) {
        out->k[i] =
            kinetics->factor_1s[i] * exp(-kinetics->energy_jmol[i] / (row->gas_jmolk * at_k));
    }
}

double kinetics_rate(const mw_kinetics *kinetics, const kinetics_constants *at, double at_k,
                     double degree)
{
    const double a = fmin(fmax(degree, 0), 1);
    const double *k = at->k;
    double rate = 0;
    switch (kinetics->law) {
    case MW_CURE_ORDER:
        rate = k[0] * pow(1 - a, kinetics->n);
        break;
    case MW_CURE_AUTOCATALYTIC:
        rate = (k[0] + k[1] * pow(a, kinetics->m)) * pow(1 - a, kinetics->n);
        break;
    case MW_CURE_LIMITED:
        rate = k[0] * pow(a, kinetics->m) * pow(1 - a, kinetics->n) /
               (1 + exp(kinetics->limit_slope *
                        (a - kinetics->limit_at - kinetics->limit_per_k * at_k)));
        break;
    case MW_CURE_TWO_STAGE:
        rate = a <= kinetics->switch_at ? (k[0] + k[1] * a) * (1 - a) * (kinetics->base - a)
                                        : k[2] * (1 - a);
        break;
    case MW_CURE_LAW_COUNT:
        break;
    }
    return a < 1 ? fmax(rate, 0) : 0;
}

bool kinetics_starts(const mw_kinetics *kinetics)
{
    if (kinetics->law == MW_CURE_LIMITED) {
        return kinetics->m == 0;
    }
    return kinetics->factor_1s[0] > 0 ||
           (kinetics->law == MW_CURE_AUTOCATALYTIC && kinetics->m == 0);
}

mw_trade_status mw_trade_cure_rate(const mw_kinetics *kinetics, double at_k, double degree,
                                   double *out)
{
    kinetics_constants at;
    const mw_trade_status status = kinetics_check(kinetics);
    if (status != MW_TRADE_OK || !is_share(degree) || !isfinite(at_k)) {
        return status != MW_TRADE_OK ? status : MW_TRADE_NO_SENSE;
    }
    if (at_k < kinetics->coldest_k || at_k > kinetics->hottest_k) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    kinetics_constants_at(kinetics, at_k, &at);
    return trade_put(kinetics_rate(kinetics, &at, at_k, degree), out);
}
