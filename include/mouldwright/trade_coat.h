/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Coats and putty: wet and dry film, mass and volume to be issued, spreading rate, passes. Films in m,
 * densities in kg/m3, shares from 0 to 1. `solids` is the share by volume that stays: above 0, up to 1.
 * `transfer` is the share of what leaves the gun that lands on the job: above 0, up to 1. */
#ifndef MOULDWRIGHT_TRADE_COAT_H
#define MOULDWRIGHT_TRADE_COAT_H

#include "mouldwright/trade.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Mass in kg of a wet film: area x film x density. Area and film from 0, density above 0. Source:
 * definition of density. */
mw_trade_status mw_trade_film_mass(double area_m2, double film_m, double density_kgm3,
                                   double *mass_kg) MW_MUST_USE;

/* Wet film in m that dries to a film: dry film x (1 + thinner) / solids. `thinner` is its volume over
 * that of the paint as delivered: from 0; MW_TRADE_OUT_OF_RANGE above 1. Source: ISO 3233-3:2015,
 * volume of non-volatile matter; with thinner: common formula of the coating trade. */
mw_trade_status mw_trade_wet_film(double dry_film_m, double solids, double thinner,
                                  double *wet_film_m) MW_MUST_USE;

/* Dry film in m that a wet film leaves: the same the other way. */
mw_trade_status mw_trade_dry_film(double wet_film_m, double solids, double thinner,
                                  double *dry_film_m) MW_MUST_USE;

/* Area in m2 that one m3 covers to a dry film above 0, nothing lost: solids / film, in 1/m. Source:
 * ISO 3233-3:2015, theoretical spreading rate. */
mw_trade_status mw_trade_spreading_rate(double dry_film_m, double solids,
                                        double *rate_m2m3) MW_MUST_USE;

/* Volume in m3 to be issued for a dry film: area x film / (solids x transfer). Area and film from 0.
 * Source: transfer efficiency as solids on the part over solids used (ASTM D5009-02). */
mw_trade_status mw_trade_issued_volume(double area_m2, double dry_film_m, double solids,
                                       double transfer, double *volume_m3) MW_MUST_USE;

/* Passes that reach a film: film over what one pass may lay, rounded up; 0 for no film. Film from 0,
 * pass above 0. Source: common practice, no source. */
mw_trade_status mw_trade_passes(double film_m, double pass_m, double *passes) MW_MUST_USE;

/* The layers on a plug, from the foam outwards: skin, putty that stays, putty that is cut off. */
typedef struct mw_plug_layers {
    double undersize_m; /* of the foam below the final surface, from 0 */
    double skin_m;      /* from 0 */
    double cut_m;       /* what the cutter takes off again, from 0 */
} mw_plug_layers;

/* Putty in m to be sprayed so that the cutter ends on the final surface: undersize - skin + cut.
 * MW_TRADE_OUT_OF_RANGE: the skin alone stands above the final surface. Source: geometry. */
mw_trade_status mw_trade_sprayed_putty(const mw_plug_layers *layers, double *putty_m) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
