/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far panels, discs and beams sag under a uniform load such as their own weight or a vacuum, and
 * how mould and plug grow apart by heat. The figures compare designs; they approve nothing.
 *
 * Thin plate theory: it holds for panels thinner than a tenth of the short side that sag by less
 * than half their thickness. Beyond that a panel also carries as a skin, and the figure is an upper
 * bound: mw_trade_panel_holds() tells. */
#ifndef MOULDWRIGHT_TRADE_PANEL_H
#define MOULDWRIGHT_TRADE_PANEL_H

#include "mouldwright/trade.h"

#include <stdbool.h>

#ifdef __cplusplus
extern "C" {
#endif

/* A rectangular panel; its bending stiffness along x, across, along y and in twist, all above 0 but
 * d12. Entries 16 and 26 are left out: of stacks that have them the sag is a little larger. */
typedef struct mw_panel {
    double x_m, y_m; /* sides, above 0 */
    double d11_n_m, d12_n_m, d22_n_m, d66_n_m;
} mw_panel;

/* Bending moments at the middle in N m for a metre of width. */
typedef struct mw_panel_moments {
    double x_n, y_n;
} mw_panel_moments;

/* Computes the sag at the middle of a panel held up along its edges, in m; pressure 0 or more, in Pa.
 * A panel more than eight times as long as wide, as its stiffness goes and as far as its ends matter, counts as a strip:
 * 0.1 %. MW_TRADE_OUT_OF_RANGE over 1000 times as long and of so much twisting stiffness that its ends still matter.
 * Source: Navier's series: Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed.
 * 1959, articles 28 and 85. */
mw_trade_status mw_trade_panel_supported(const mw_panel *panel, double pressure_pa,
                                         double *sag_m) MW_MUST_USE;

/* The same for a panel clamped along its edges; a strip from six times as long as wide:
 * within 0.5 % for d12 + 2 d66 up to three times the root of d11 d22.
 * Source: Ritz's method with polynomials (1 - x^2)^2 x^2i (1 - y^2)^2 y^2j, i and j up to 5;
 * Timoshenko and Woinowsky-Krieger 1959, article 44, table 35, has the values for isotropic ones. */
mw_trade_status mw_trade_panel_clamped(const mw_panel *panel, double pressure_pa,
                                       double *sag_m) MW_MUST_USE;

/* Computes the moments at the middle of a panel held up along its edges, up to eight times as long as
 * wide; else MW_TRADE_OUT_OF_RANGE. Source: as mw_trade_panel_supported(). */
mw_trade_status mw_trade_panel_moments(const mw_panel *panel, double pressure_pa,
                                       mw_panel_moments *moments) MW_MUST_USE;

/* Whether thin plate theory holds: thickness below a tenth of the short side, sag below half the
 * thickness. Source: Timoshenko and Woinowsky-Krieger 1959, introduction. */
bool mw_trade_panel_holds(const mw_panel *panel, double thickness_m, double sag_m);

/* Computes a panel that is alike in all directions: E h^3 / (12 (1 - nu^2)). Modulus above 0; nu
 * from 0 to 0.5. Source: Timoshenko and Woinowsky-Krieger 1959, eq. 3. */
mw_trade_status mw_trade_plate_stiffness(double modulus_pa, double nu, double thickness_m,
                                         double *stiffness_n_m) MW_MUST_USE;

/* A disc that is alike in all directions; Poisson's ratio from 0 to 0.5. */
typedef struct mw_disc {
    double radius_m, stiffness_n_m, nu;
} mw_disc;

/* Computes the sag at the middle of a disc held up or clamped along its rim.
 * Source: Timoshenko and Woinowsky-Krieger 1959, article 16. */
mw_trade_status mw_trade_disc_sag(const mw_disc *disc, double pressure_pa, double *supported_m,
                                  double *clamped_m) MW_MUST_USE;

/* Computes the sag at the middle of a beam or strip under a uniform load: 5/384 q L^4 / (E I) on two
 * supports, 1/384 clamped at both ends. A strip of a panel: load in Pa and stiffness d11.
 * Source: beam theory: Timoshenko, Strength of Materials, part 1, 3rd ed. 1955. */
mw_trade_status mw_trade_beam_sag(double load_n_per_m, double span_m, double stiffness_n_m2,
                                  double *supported_m, double *clamped_m) MW_MUST_USE;

/* Computes growth coefficient * length * rise, in m. Length 0 or more.
 * Source: definition of the coefficient of expansion. */
mw_trade_status mw_trade_growth(double length_m, double growth_per_k, double rise_k,
                                double *longer_m) MW_MUST_USE;

/* Two layers bonded over each other, as plain strips. */
typedef struct mw_strip {
    double thickness_m, modulus_pa, growth_per_k;
} mw_strip;

/* Computes the curvature that a rise of temperature gives to two strips, 1/m: above 0 where the
 * second grows more. Source: Timoshenko, J. Optical Society of America 11 (1925) 233-255. */
mw_trade_status mw_trade_strip_curvature(const mw_strip *first, const mw_strip *second,
                                         double rise_k, double *curvature_per_m) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
