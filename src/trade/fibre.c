/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Micromechanics: single rules. */
#include "mouldwright/trade_fibre.h"

#include "inputs.h"

static mw_trade_status check_share(double fibre_share)
{
    if (!(fibre_share > 0.0)) {
        return MW_TRADE_NO_SENSE;
    }
    return fibre_share <= MW_FIBRE_SHARE_MOST ? MW_TRADE_OK : MW_TRADE_OUT_OF_RANGE;
}

static mw_trade_status check_moduli(const mw_pair *pair)
{
    const bool fine = is_above_zero(pair->fibre) && is_above_zero(pair->resin);
    return fine ? check_share(pair->fibre_share) : MW_TRADE_NO_SENSE;
}

mw_trade_status mw_trade_along_fibres(const mw_pair *pair, double voids, double *property)
{
    const mw_trade_status status = check_share(pair->fibre_share);
    if (!isfinite(pair->fibre) || !isfinite(pair->resin) || !(voids >= 0.0)) {
        return MW_TRADE_NO_SENSE;
    }
    if (status != MW_TRADE_OK || voids > 0.2) {
        return status != MW_TRADE_OK ? status : MW_TRADE_OUT_OF_RANGE;
    }
    const double resin_share = 1.0 - pair->fibre_share - voids;
    return trade_put(pair->fibre * pair->fibre_share + pair->resin * resin_share, property);
}

mw_trade_status mw_trade_across_fibres(const mw_pair *pair, double *modulus)
{
    const mw_trade_status status = check_moduli(pair);
    if (status == MW_TRADE_OK) {
        const double share = pair->fibre_share;
        *modulus = 1.0 / (share / pair->fibre + (1.0 - share) / pair->resin);
    }
    return status;
}

mw_trade_status mw_trade_halpin_tsai(const mw_pair *pair, double shape, double *modulus)
{
    const mw_trade_status status = check_moduli(pair);
    if (status != MW_TRADE_OK || !is_above_zero(shape)) {
        return status != MW_TRADE_OK ? status : MW_TRADE_NO_SENSE;
    }
    const double ratio = pair->fibre / pair->resin;
    const double part = (ratio - 1.0) / (ratio + shape) * pair->fibre_share;
    return trade_put(pair->resin * (1.0 + shape * part) / (1.0 - part), modulus);
}

mw_trade_status mw_trade_shear_shape(double fibre_share, double *shape)
{
    const mw_trade_status status = check_share(fibre_share);
    return status != MW_TRADE_OK ? status : trade_put(1.0 + 40.0 * pow(fibre_share, 10.0), shape);
}

mw_trade_status mw_trade_chamis_across(const mw_pair *pair, double *modulus)
{
    const mw_trade_status status = check_moduli(pair);
    if (status != MW_TRADE_OK) {
        return status;
    }
    if (pair->fibre_share < 0.3 || pair->fibre_share > 0.7) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    const double root = sqrt(pair->fibre_share);
    return trade_put(pair->resin / (1.0 - root * (1.0 - pair->resin / pair->fibre)), modulus);
}

mw_trade_status mw_trade_krenchel_efficiency(const double *shares, const double *angles_rad,
                                             size_t count, double *efficiency)
{
    double whole = 0.0;
    double along = 0.0;
    for (size_t i = 0; i < count; i++) {
        if (!(shares[i] >= 0.0) || !isfinite(angles_rad[i])) {
            return MW_TRADE_NO_SENSE;
        }
        const double square = 0.5 + 0.5 * cos(2.0 * angles_rad[i]); /* of the cosine */
        whole += shares[i];
        along += shares[i] * square * square;
    }
    if (!(fabs(whole - 1.0) <= 1e-6)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(along, efficiency);
}

mw_trade_status mw_trade_krenchel_modulus(const mw_pair *pair, double efficiency,
                                          double *modulus_pa)
{
    const mw_trade_status status = check_moduli(pair);
    if (status != MW_TRADE_OK || !(efficiency > 0.0 && efficiency <= 1.0)) {
        return status != MW_TRADE_OK ? status : MW_TRADE_NO_SENSE;
    }
    const double share = pair->fibre_share;
    return trade_put(efficiency * pair->fibre * share + pair->resin * (1.0 - share), modulus_pa);
}

mw_trade_status mw_trade_fibre_spacing(double diameter_m, double fibre_share, double *spacing_m)
{
    const double pi = 3.14159265358979323846;
    const mw_trade_status status = check_share(fibre_share);
    if (status != MW_TRADE_OK || !is_above_zero(diameter_m)) {
        return status != MW_TRADE_OK ? status : MW_TRADE_NO_SENSE;
    }
    return trade_put(diameter_m * (sqrt(pi / (4.0 * fibre_share)) - 1.0), spacing_m);
}
