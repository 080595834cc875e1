/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Micromechanics: elastic data of a ply from those of fibre and resin, where nobody has measured
 * them. Good to some ten per cent across the fibre; the figures compare lay-ups and approve nothing.
 *
 * `fibre_share` is the share of fibre by volume: above 0 and up to MW_FIBRE_SHARE_MOST, the closest
 * packing of round fibres in a square pattern; beyond it MW_TRADE_OUT_OF_RANGE. */
#ifndef MOULDWRIGHT_TRADE_FIBRE_H
#define MOULDWRIGHT_TRADE_FIBRE_H

#include "mouldwright/trade_stiffness.h"

#ifdef __cplusplus
extern "C" {
#endif

#define MW_FIBRE_SHARE_MOST 0.785

/* One property of fibre and resin: a modulus in Pa, above 0 (Poisson's ratio: 0 or more). */
typedef struct mw_pair {
    double fibre, resin;
    double fibre_share;
} mw_pair;

/* A fibre: along (1) and across (2). */
typedef struct mw_fibre {
    double e1_pa, e2_pa, g12_pa;
    double nu12;
    double growth1_per_k, growth2_per_k;
} mw_fibre;

/* A resin, alike in all directions: Poisson's ratio from 0 to below 0.5. */
typedef struct mw_resin {
    double e_pa;
    double nu;
    double growth_per_k;
} mw_resin;

/* How the fibre lies in a cloth. */
typedef struct mw_weave {
    double warp_share; /* of the fibre that runs along axis 1: 0 to 1; 1: all, unidirectional */
    double crimp;      /* share of the modulus along the fibre that waves leave: 0.5 to 1 */
    double mat_share;  /* of the fibre that runs in all directions: 0 to 1; 1: chopped strand mat */
} mw_weave;

/* Computes fibre * share + resin * (1 - share - voids): modulus along the fibre; Poisson's ratio
 * (there without voids). Voids: 0 to 0.2.
 * Source: Chamis, NASA TM-83320, 1983; Jones, Mechanics of Composite Materials, 1999, chapter 3. */
mw_trade_status mw_trade_along_fibres(const mw_pair *pair, double voids,
                                      double *property) MW_MUST_USE;

/* Computes 1 / (share / fibre + (1 - share) / resin): the lower bound across the fibre.
 * Source: Jones 1999, chapter 3 (Reuss 1929). */
mw_trade_status mw_trade_across_fibres(const mw_pair *pair, double *modulus) MW_MUST_USE;

/* Computes resin (1 + shape eta share) / (1 - eta share), eta = (f/r - 1) / (f/r + shape). The shape
 * is above 0: 2 for the modulus across round fibres, 1 for shear.
 * Source: Halpin and Kardos, Polymer Engineering and Science 16 (1976) 344-352. */
mw_trade_status mw_trade_halpin_tsai(const mw_pair *pair, double shape,
                                     double *modulus) MW_MUST_USE;

/* Computes the shape 1 + 40 share^10 for shear of closely packed fibres.
 * Source: Hewitt and de Malherbe, J. Composite Materials 4 (1970) 280-282. */
mw_trade_status mw_trade_shear_shape(double fibre_share, double *shape) MW_MUST_USE;

/* Computes resin / (1 - sqrt(share) (1 - resin / fibre)): modulus across the fibre, and shear along
 * it. Holds for shares of 0.3 to 0.7. Source: Chamis, NASA TM-83320, 1983. */
mw_trade_status mw_trade_chamis_across(const mw_pair *pair, double *modulus) MW_MUST_USE;

/* Computes the share of the stiffness along the fibre that fibres in several directions leave along
 * x: the sum of share cos^4 angle. The `count` shares are 0 or more and add up to 1 within 1e-6.
 * Source: Krenchel, Fibre Reinforcement, 1964. */
mw_trade_status mw_trade_krenchel_efficiency(const double *shares, const double *angles_rad,
                                             size_t count, double *efficiency) MW_MUST_USE;

/* Computes efficiency * fibre * share + resin * (1 - share). Efficiency: above 0, up to 1.
 * Source: Krenchel, Fibre Reinforcement, 1964. */
mw_trade_status mw_trade_krenchel_modulus(const mw_pair *pair, double efficiency,
                                          double *modulus_pa) MW_MUST_USE;

/* Computes the clear distance between round fibres of a square pattern, in m.
 * Source: Chamis, NASA TM-83320, 1983, example 3.2. */
mw_trade_status mw_trade_fibre_spacing(double diameter_m, double fibre_share,
                                       double *spacing_m) MW_MUST_USE;

/* Computes growth by heat along and across the fibre; e1_pa is that of the ply.
 * Source: Chamis, NASA TM-83320, 1983, example 5.2. */
mw_trade_status mw_trade_fibre_growth(const mw_fibre *fibre, const mw_resin *resin,
                                      double fibre_share, double growth_per_k[2]) MW_MUST_USE;

/* Computes a ply with all fibre along axis 1: e1 and nu12 by the rule of mixtures, e2 and g12 by
 * Halpin and Tsai with shapes 2 and 1, growth by Chamis. */
mw_trade_status mw_trade_unidirectional(const mw_fibre *fibre, const mw_resin *resin,
                                        double fibre_share, mw_ply_elastic *ply) MW_MUST_USE;

/* Computes a ply of cloth as thin sheets on top of each other, kept from bending: fibre along warp,
 * fibre along weft, their moduli along the fibre lowered by the crimp, and fibre in all directions,
 * with e = 3/8 e1 + 5/8 e2 and g = 1/8 e1 + 1/4 e2.
 * Source: laminate theory on the mosaic model of Ishikawa and Chou, J. Materials Science 17 (1982)
 * 3211-3220; mat: Tsai and Pagano, in: Composite Materials Workshop, 1968 (both from memory); crimp
 * 0.85 to 0.95 for woven, 1 for stitched cloth: common practice, no source. */
mw_trade_status mw_trade_cloth(const mw_fibre *fibre, const mw_resin *resin, double fibre_share,
                               const mw_weave *weave, mw_ply_elastic *ply) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
