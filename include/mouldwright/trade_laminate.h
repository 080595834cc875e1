/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Laminate: ply thickness, shares of fibre, resin and voids, resin that cloth takes up, layers in
 * one go. Densities in kg/m3, areal weights in kg/m2, lengths in m, shares from 0 to 1.
 *
 * Mass balance and volume balance of a ply: C. C. Chamis, Simplified Composite Micromechanics
 * Equations for Hygral, Thermal and Mechanical Properties, NASA TM-83320, 1983. */
#ifndef MOULDWRIGHT_TRADE_LAMINATE_H
#define MOULDWRIGHT_TRADE_LAMINATE_H

#include "mouldwright/trade.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The closest packing of round fibres: pi / (2 sqrt 3). No share of fibre by volume is above it. */
#define MW_FIBRE_SHARE_MAX 0.9068996821171089

/* Thickness in m of a ply: areal weight over fibre density and share of fibre by volume. Areal
 * weight and density above 0; share above 0. MW_TRADE_OUT_OF_RANGE: share above
 * MW_FIBRE_SHARE_MAX. Source: Chamis 1983; ASTM D3171-15, method II. */
mw_trade_status mw_trade_ply_thickness(double areal_weight_kgm2, double fibre_density_kgm3,
                                       double fibre_share, double *thickness_m) MW_MUST_USE;

/* The share of fibre by volume of plies of a measured thickness: the same balance the other way.
 * `plies` above 0. MW_TRADE_OUT_OF_RANGE: it would be above MW_FIBRE_SHARE_MAX.
 * Source: ASTM D3171-15, method II, equation from memory. */
mw_trade_status mw_trade_measured_fibre_share(double plies, double areal_weight_kgm2,
                                              double fibre_density_kgm3, double thickness_m,
                                              double *fibre_share) MW_MUST_USE;

/* Two parts of a mixture by mass, with pores. */
typedef struct mw_mixture {
    double share;        /* by mass, of the part asked about, in the solid; above 0, up to 1 */
    double density_kgm3; /* of that part */
    double other_density_kgm3; /* of the other part */
    double voids;              /* share of the whole volume; 0 to below 1 */
} mw_mixture;

/* The share by volume of one part of a mixture: (1 - voids) / (1 + (density / other density) (1 /
 * share - 1)). The part asked about may be the fibre or the resin. Source: Chamis 1983. */
mw_trade_status mw_trade_volume_share(const mw_mixture *mixture, double *volume_share) MW_MUST_USE;

/* The share of fibre by volume from that by mass. As above, but MW_TRADE_OUT_OF_RANGE when it comes
 * out above MW_FIBRE_SHARE_MAX. */
mw_trade_status mw_trade_fibre_volume_share(const mw_mixture *mixture,
                                            double *fibre_share) MW_MUST_USE;

/* Fibre, resin and pores by volume. */
typedef struct mw_ply_parts {
    double fibre_share; /* by volume; above 0, up to MW_FIBRE_SHARE_MAX (else out of range) */
    double fibre_density_kgm3;
    double resin_density_kgm3;
    double voids; /* by volume, from 0; fibre and voids together below 1 */
} mw_ply_parts;

/* The share of fibre by mass: fibre volume x density over the density of the whole. Source: Chamis
 * 1983. */
mw_trade_status mw_trade_fibre_mass_share(const mw_ply_parts *parts,
                                          double *fibre_mass_share) MW_MUST_USE;

/* Density in kg/m3 of the laminate, pores included. Source: Chamis 1983. */
mw_trade_status mw_trade_laminate_density(const mw_ply_parts *parts,
                                          double *density_kgm3) MW_MUST_USE;

/* Resin in kg/m2 that fills one ply: areal weight x (resin density x its volume) over (fibre density
 * x its volume). Source: Chamis 1983. */
mw_trade_status mw_trade_resin_to_fill(double areal_weight_kgm2, const mw_ply_parts *parts,
                                       double *resin_kgm2) MW_MUST_USE;

/* The share of voids by volume from a measured density: 1 - density x (fibre share / fibre density +
 * resin share / resin density), shares by mass. Small negative results come from measuring and are
 * kept; MW_TRADE_OUT_OF_RANGE below -2 %: the figures do not belong together. `fibre_mass_share` from
 * 0 to 1. Source: ASTM D2734-16, equation from memory. */
mw_trade_status mw_trade_void_share(double density_kgm3, double fibre_mass_share,
                                    double fibre_density_kgm3, double resin_density_kgm3,
                                    double *voids) MW_MUST_USE;

/* Resin in kg/m2 of one ply from its share by mass: areal weight x share / (1 - share). Share from 0
 * to below 1. MW_TRADE_OUT_OF_RANGE: above 0.9, where no cloth holds it. Source: mass balance, Chamis
 * 1983. */
mw_trade_status mw_trade_resin_demand(double areal_weight_kgm2, double resin_share,
                                      double *resin_kgm2) MW_MUST_USE;

/* Thickness in m of one ply without voids: fibre volume and resin volume of a square metre. Resin
 * from 0 kg/m2. Source: volume balance, Chamis 1983. */
mw_trade_status mw_trade_layer_thickness(double areal_weight_kgm2, double fibre_density_kgm3,
                                         double resin_kgm2, double resin_density_kgm3,
                                         double *thickness_m) MW_MUST_USE;

/* A fabric that is laid on and comes off again, or stays in the bag: peel ply, breather. */
typedef struct mw_fabric {
    double thickness_m; /* as it lies under the bag */
    double areal_weight_kgm2;
    double fibre_density_kgm3;
    double soaked; /* share of its pores that fills with resin, 0 to 1 */
} mw_fabric;

/* Resin in kg/m2 that such a fabric takes up: the volume of its pores, as far as they fill.
 * MW_TRADE_NO_SENSE: more fibre than fits into the thickness. Source: volume balance; how far a
 * fabric fills is common practice, no source. */
mw_trade_status mw_trade_resin_soaked(const mw_fabric *fabric, double resin_density_kgm3,
                                      double *resin_kgm2) MW_MUST_USE;

/* Whole layers that may be laid in one go: as many as stay below the thickest wet stack; at least 1.
 * Both thicknesses above 0. MW_TRADE_OUT_OF_RANGE: a single layer is thicker than the limit.
 * Source: common practice, no source; the limit is that of the resin's data sheet. */
mw_trade_status mw_trade_plies_in_one_go(double layer_thickness_m, double wet_limit_m,
                                         double *plies) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
