/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Coats and putty: films, what is issued for them, passes. */
#include "mouldwright/trade_coat.h"

#include "inputs.h"
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
    return trade_put(area_m2 * film_m * density_kgm3, mass_kg);
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
    return status != MW_TRADE_OK ? status
                                 : trade_put(dry_film_m * (1.0 + thinner) / solids, wet_film_m);
}

mw_trade_status mw_trade_dry_film(double wet_film_m, double solids, double thinner,
                                  double *dry_film_m)
{
    const mw_trade_status status = check_film(wet_film_m, solids, thinner);
    return status != MW_TRADE_OK ? status
                                 : trade_put(wet_film_m * solids / (1.0 + thinner), dry_film_m);
}

mw_trade_status mw_trade_spreading_rate(double dry_film_m, double solids, double *rate_m2m3)
{
    if (!is_above_zero(dry_film_m) || !is_part(solids)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(solids / dry_film_m, rate_m2m3);
}

mw_trade_status mw_trade_issued_volume(double area_m2, double dry_film_m, double solids,
                                       double transfer, double *volume_m3)
{
    if (!is_zero_or_more(area_m2) || !is_zero_or_more(dry_film_m) || !is_part(solids) ||
        !is_part(transfer)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(area_m2 * dry_film_m / (solids * transfer), volume_m3);
}

mw_trade_status mw_trade_passes(double film_m, double pass_m, double *passes)
{
    if (!is_zero_or_more(film_m) || !is_above_zero(pass_m)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(whole_above(film_m / pass_m), passes);
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
    return trade_put(layers->undersize_m - layers->skin_m + layers->cut_m, putty_m);
}
