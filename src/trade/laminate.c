/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Laminate: mass and volume balance of a ply. Chamis, NASA TM-83320, 1983. */
#include "mouldwright/trade_laminate.h"

#include "inputs.h"
#include "rounding.h"

/* Voids that come out this far below 0 are an error of measuring, farther a contradiction. */
#define VOIDS_LEAST (-0.02)
/* More resin than this no cloth holds: common practice, no source. */
#define RESIN_SHARE_MAX 0.9

mw_trade_status mw_trade_ply_thickness(double areal_weight_kgm2, double fibre_density_kgm3,
                                       double fibre_share, double *thickness_m)
{
    if (!is_above_zero(areal_weight_kgm2) || !is_above_zero(fibre_density_kgm3) ||
        !is_share(fibre_share) || fibre_share == 0.0) {
        return MW_TRADE_NO_SENSE;
    }
    if (fibre_share > MW_FIBRE_SHARE_MAX) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(areal_weight_kgm2 / (fibre_density_kgm3 * fibre_share), thickness_m);
}

mw_trade_status mw_trade_measured_fibre_share(double plies, double areal_weight_kgm2,
                                              double fibre_density_kgm3, double thickness_m,
                                              double *fibre_share)
{
    if (!is_above_zero(plies) || !is_above_zero(areal_weight_kgm2) ||
        !is_above_zero(fibre_density_kgm3) || !is_above_zero(thickness_m)) {
        return MW_TRADE_NO_SENSE;
    }
    const double share = plies * areal_weight_kgm2 / (fibre_density_kgm3 * thickness_m);
    if (share > MW_FIBRE_SHARE_MAX) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(share, fibre_share);
}

mw_trade_status mw_trade_volume_share(const mw_mixture *mixture, double *volume_share)
{
    if (!is_share(mixture->share) || mixture->share == 0.0 ||
        !is_above_zero(mixture->density_kgm3) || !is_above_zero(mixture->other_density_kgm3) ||
        !is_share(mixture->voids) || mixture->voids == 1.0) {
        return MW_TRADE_NO_SENSE;
    }
    const double densities = mixture->density_kgm3 / mixture->other_density_kgm3;
    return trade_put((1.0 - mixture->voids) / (1.0 + densities * (1.0 / mixture->share - 1.0)),
                     volume_share);
}

mw_trade_status mw_trade_fibre_volume_share(const mw_mixture *mixture, double *fibre_share)
{
    double share = 0.0;
    const mw_trade_status status = mw_trade_volume_share(mixture, &share);
    if (status != MW_TRADE_OK) {
        return status;
    }
    if (share > MW_FIBRE_SHARE_MAX) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(share, fibre_share);
}

static mw_trade_status check_parts(const mw_ply_parts *parts)
{
    if (!is_share(parts->fibre_share) || parts->fibre_share == 0.0 || !is_share(parts->voids) ||
        parts->fibre_share + parts->voids >= 1.0 || !is_above_zero(parts->fibre_density_kgm3) ||
        !is_above_zero(parts->resin_density_kgm3)) {
        return MW_TRADE_NO_SENSE;
    }
    return parts->fibre_share > MW_FIBRE_SHARE_MAX ? MW_TRADE_OUT_OF_RANGE : MW_TRADE_OK;
}

static double fibre_of(const mw_ply_parts *parts)
{
    return parts->fibre_share * parts->fibre_density_kgm3;
}

static double resin_of(const mw_ply_parts *parts)
{
    return (1.0 - parts->fibre_share - parts->voids) * parts->resin_density_kgm3;
}

mw_trade_status mw_trade_fibre_mass_share(const mw_ply_parts *parts, double *fibre_mass_share)
{
    const mw_trade_status status = check_parts(parts);
    return status != MW_TRADE_OK
               ? status
               : trade_put(fibre_of(parts) / (fibre_of(parts) + resin_of(parts)), fibre_mass_share);
}

mw_trade_status mw_trade_laminate_density(const mw_ply_parts *parts, double *density_kgm3)
{
    const mw_trade_status status = check_parts(parts);
    return status != MW_TRADE_OK ? status
                                 : trade_put(fibre_of(parts) + resin_of(parts), density_kgm3);
}

mw_trade_status mw_trade_resin_to_fill(double areal_weight_kgm2, const mw_ply_parts *parts,
                                       double *resin_kgm2)
{
    if (!is_above_zero(areal_weight_kgm2)) {
        return MW_TRADE_NO_SENSE;
    }
    const mw_trade_status status = check_parts(parts);
    return status != MW_TRADE_OK
               ? status
               : trade_put(areal_weight_kgm2 * resin_of(parts) / fibre_of(parts), resin_kgm2);
}

mw_trade_status mw_trade_void_share(double density_kgm3, double fibre_mass_share,
                                    double fibre_density_kgm3, double resin_density_kgm3,
                                    double *voids)
{
    if (!is_above_zero(density_kgm3) || !is_share(fibre_mass_share) ||
        !is_above_zero(fibre_density_kgm3) || !is_above_zero(resin_density_kgm3)) {
        return MW_TRADE_NO_SENSE;
    }
    const double solid_m3kg =
        fibre_mass_share / fibre_density_kgm3 + (1.0 - fibre_mass_share) / resin_density_kgm3;
    const double share = 1.0 - density_kgm3 * solid_m3kg;
    if (share < VOIDS_LEAST) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(share, voids);
}

mw_trade_status mw_trade_resin_demand(double areal_weight_kgm2, double resin_share,
                                      double *resin_kgm2)
{
    if (!is_above_zero(areal_weight_kgm2) || !is_share(resin_share)) {
        return MW_TRADE_NO_SENSE;
    }
    if (resin_share > RESIN_SHARE_MAX) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(areal_weight_kgm2 * resin_share / (1.0 - resin_share), resin_kgm2);
}

mw_trade_status mw_trade_layer_thickness(double areal_weight_kgm2, double fibre_density_kgm3,
                                         double resin_kgm2, double resin_density_kgm3,
                                         double *thickness_m)
{
    if (!is_above_zero(areal_weight_kgm2) || !is_above_zero(fibre_density_kgm3) ||
        !is_zero_or_more(resin_kgm2) || !is_above_zero(resin_density_kgm3)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(areal_weight_kgm2 / fibre_density_kgm3 + resin_kgm2 / resin_density_kgm3,
                     thickness_m);
}

mw_trade_status mw_trade_resin_soaked(const mw_fabric *fabric, double resin_density_kgm3,
                                      double *resin_kgm2)
{
    if (!is_above_zero(fabric->thickness_m) || !is_above_zero(fabric->areal_weight_kgm2) ||
        !is_above_zero(fabric->fibre_density_kgm3) || !is_share(fabric->soaked) ||
        !is_above_zero(resin_density_kgm3)) {
        return MW_TRADE_NO_SENSE;
    }
    const double pores_m =
        fabric->thickness_m - fabric->areal_weight_kgm2 / fabric->fibre_density_kgm3;
    if (pores_m < 0.0) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(pores_m * fabric->soaked * resin_density_kgm3, resin_kgm2);
}

mw_trade_status mw_trade_plies_in_one_go(double layer_thickness_m, double wet_limit_m,
                                         double *plies)
{
    if (!is_above_zero(layer_thickness_m) || !is_above_zero(wet_limit_m)) {
        return MW_TRADE_NO_SENSE;
    }
    const double whole = whole_below(wet_limit_m / layer_thickness_m);
    if (whole < 1.0) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(whole, plies);
}
