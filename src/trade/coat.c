/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Coats and putty: films, what is issued for them, passes. */
#include "mouldwright/trade_coat.h"

#include "range.h"
#include "rounding.h"

/* More thinner than paint is no paint any more: common practice, no source. */
#define THINNER_MAX 1.0

static bool is_part(double share)
{
    return is_share(share) && share > 0.0;
}

mw_trade_status mw_trade_film_mass(double area_m2, double film_m, double density_kgm3,
                                   double *mass_kg)
{
    if (!is_zero_or_more(area_m2) || !is_zero_or_more(film_m) || !is_above_zero(density_kgm3)) {
        return MW_TRADE_NO_SENSE;
    }
    *mass_kg = area_m2 * film_m * density_kgm3;
    return MW_TRADE_OK;
}

static mw_trade_status check_film(double film_m, double solids, double thinner)
{
    if (!is_zero_or_more(film_m) || !is_part(solids) || !is_zero_or_more(thinner)) {
        return MW_TRADE_NO_SENSE;
    }
    return thinner > THINNER_MAX ? MW_TRADE_OUT_OF_RANGE : MW_TRADE_OK;
}

mw_trade_status mw_trade_wet_film(double dry_film_m, double solids, double thinner,
                                  double *wet_film_m)
{
    const mw_trade_status status = check_film(dry_film_m, solids, thinner);
    if (status == MW_TRADE_OK) {
        *wet_film_m = dry_film_m * (1.0 + thinner) / solids;
    }
    return status;
}

mw_trade_status mw_trade_dry_film(double wet_film_m, double solids, double thinner,
                                  double *dry_film_m)
{
    const mw_trade_status status = check_film(wet_film_m, solids, thinner);
    if (status == MW_TRADE_OK) {
        *dry_film_m = wet_film_m * solids / (1.0 + thinner);
    }
    return status;
}

mw_trade_status mw_trade_spreading_rate(double dry_film_m, double solids, double *rate_m2m3)
{
    if (!is_above_zero(dry_film_m) || !is_part(solids)) {
        return MW_TRADE_NO_SENSE;
    }
    *rate_m2m3 = solids / dry_film_m;
    return MW_TRADE_OK;
}

mw_trade_status mw_trade_issued_volume(double area_m2, double dry_film_m, double solids,
                                       double transfer, double *volume_m3)
{
    if (!is_zero_or_more(area_m2) || !is_zero_or_more(dry_film_m) || !is_part(solids) ||
        !is_part(transfer)) {
        return MW_TRADE_NO_SENSE;
    }
    *volume_m3 = area_m2 * dry_film_m / (solids * transfer);
    return MW_TRADE_OK;
}

mw_trade_status mw_trade_passes(double film_m, double pass_m, double *passes)
{
    if (!is_zero_or_more(film_m) || !is_above_zero(pass_m)) {
        return MW_TRADE_NO_SENSE;
    }
    *passes = whole_above(film_m / pass_m);
    return MW_TRADE_OK;
}

mw_trade_status mw_trade_sprayed_putty(const mw_plug_layers *layers, double *putty_m)
{
    if (!is_zero_or_more(layers->undersize_m) || !is_zero_or_more(layers->skin_m) ||
        !is_zero_or_more(layers->cut_m)) {
        return MW_TRADE_NO_SENSE;
    }
    if (layers->skin_m > layers->undersize_m) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    *putty_m = layers->undersize_m - layers->skin_m + layers->cut_m;
    return MW_TRADE_OK;
}
