/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plates, discs and beams by closed formulas; growth by heat. */
#include <math.h>

#include "inputs.h"
#include "mouldwright/trade_panel.h"

mw_trade_status mw_trade_plate_stiffness(double modulus_pa, double nu, double thickness_m,
                                         double *stiffness_n_m)
{
    if (!is_above_zero(modulus_pa) || !is_above_zero(thickness_m) || !(nu >= 0.0 && nu <= 0.5)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(modulus_pa * pow(thickness_m, 3) / (12.0 * (1.0 - nu * nu)), stiffness_n_m);
}

mw_trade_status mw_trade_disc_sag(const mw_disc *disc, double pressure_pa, double *supported_m,
                                  double *clamped_m)
{
    if (!is_zero_or_more(pressure_pa) || !is_above_zero(disc->radius_m) ||
        !is_above_zero(disc->stiffness_n_m) || !(disc->nu >= 0.0 && disc->nu <= 0.5)) {
        return MW_TRADE_NO_SENSE;
    }
    const double clamped = pressure_pa * pow(disc->radius_m, 4) / (64.0 * disc->stiffness_n_m);
    const double supported = clamped * (5.0 + disc->nu) / (1.0 + disc->nu);
    if (trade_put(supported, supported_m) != MW_TRADE_OK) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(clamped, clamped_m);
}

mw_trade_status mw_trade_beam_sag(double load_n_per_m, double span_m, double stiffness_n_m2,
                                  double *supported_m, double *clamped_m)
{
    if (!is_zero_or_more(load_n_per_m) || !is_above_zero(span_m) ||
        !is_above_zero(stiffness_n_m2)) {
        return MW_TRADE_NO_SENSE;
    }
    const double whole = load_n_per_m * pow(span_m, 4) / (384.0 * stiffness_n_m2);
    if (trade_put(5.0 * whole, supported_m) != MW_TRADE_OK) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(whole, clamped_m);
}

mw_trade_status mw_trade_growth(double length_m, double growth_per_k, double rise_k,
                                double *longer_m)
{
    if (!is_zero_or_more(length_m) || !isfinite(growth_per_k) || !isfinite(rise_k)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(length_m * growth_per_k * rise_k, longer_m);
}

/* m = t1/t2, n = E1/E2: 6 (a2 - a1) dT (1+m)^2 / (h (3 (1+m)^2 + (1 + m n)(m^2 + 1/(m n)))) */
mw_trade_status mw_trade_strip_curvature(const mw_strip *first, const mw_strip *second,
                                         double rise_k, double *curvature_per_m)
{
    if (!is_above_zero(first->thickness_m) || !is_above_zero(second->thickness_m) ||
        !is_above_zero(first->modulus_pa) || !is_above_zero(second->modulus_pa) ||
        !isfinite(first->growth_per_k) || !isfinite(second->growth_per_k) || !isfinite(rise_k)) {
        return MW_TRADE_NO_SENSE;
    }
    const double m = first->thickness_m / second->thickness_m;
    const double n = first->modulus_pa / second->modulus_pa;
    const double square = (1.0 + m) * (1.0 + m);
    const double apart = (second->growth_per_k - first->growth_per_k) * rise_k;
    const double below = 3.0 * square + (1.0 + m * n) * (m * m + 1.0 / (m * n));
    return trade_put(6.0 * apart * square / ((first->thickness_m + second->thickness_m) * below),
                     curvature_per_m);
}
