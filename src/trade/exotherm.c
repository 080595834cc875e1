/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far a pot or a laminate can heat itself, and when it runs away. */
#include "mouldwright/trade_pot.h"

#include "inputs.h"

/* J/(mol K). Source: CODATA 2018, exact. */
#define GAS_CONSTANT 8.31446261815324

mw_trade_status mw_trade_adiabatic_rise(double heat_jkg, double capacity_jkgk, double *rise_k)
{
    if (!is_zero_or_more(heat_jkg) || !is_above_zero(capacity_jkgk)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(heat_jkg / capacity_jkgk, rise_k);
}

mw_trade_status mw_trade_heat_of_mix(double heat_jmol, double epoxide_equivalent_kgmol,
                                     double hydrogen_equivalent_kgmol, double *heat_jkg)
{
    if (!is_zero_or_more(heat_jmol) || !is_above_zero(epoxide_equivalent_kgmol) ||
        !is_above_zero(hydrogen_equivalent_kgmol)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(heat_jmol / (epoxide_equivalent_kgmol + hydrogen_equivalent_kgmol), heat_jkg);
}

mw_trade_status mw_trade_laminate_rise(const mw_laminate_heat *laminate, double *rise_k)
{
    if (!is_share(laminate->fibre_share) || laminate->fibre_share == 1.0 ||
        !is_above_zero(laminate->resin_density_kgm3) || !is_zero_or_more(laminate->heat_jkg) ||
        !is_above_zero(laminate->laminate_density_kgm3) ||
        !is_above_zero(laminate->capacity_jkgk)) {
        return MW_TRADE_NO_SENSE;
    }
    const double heat_jm3 =
        (1.0 - laminate->fibre_share) * laminate->resin_density_kgm3 * laminate->heat_jkg;
    return trade_put(heat_jm3 / (laminate->laminate_density_kgm3 * laminate->capacity_jkgk),
                     rise_k);
}

mw_trade_status mw_trade_self_heating(const mw_self_heating *of, double *number)
{
    if (!is_above_zero(of->activation_jmol) || !is_above_zero(of->half_size_m) ||
        !is_above_zero(of->heat_jkg) || !is_above_zero(of->density_kgm3) ||
        !is_above_zero(of->rate_per_s) || !is_above_zero(of->conductivity_wmk) ||
        !is_above_zero(of->temperature_k)) {
        return MW_TRADE_NO_SENSE;
    }
    const double thermal_jmol = GAS_CONSTANT * of->temperature_k;
    const double heat_wm3 =
        of->heat_jkg * of->density_kgm3 * of->rate_per_s * exp(-of->activation_jmol / thermal_jmol);
    return trade_put(of->activation_jmol * of->half_size_m * of->half_size_m * heat_wm3 /
                         (of->conductivity_wmk * thermal_jmol * of->temperature_k),
                     number);
}

mw_trade_status mw_trade_self_heating_limit(double directions, double *number)
{
    /* slab: largest 2 x^2 / cosh^2 x, where x tanh x = 1; cylinder: exact; sphere: numerical */
    static const double limits[] = {0.8784576797812903, 2.0, 3.321992};
    if (!(directions == 1.0 || directions == 2.0 || directions == 3.0)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(limits[(int)directions - 1], number);
}
