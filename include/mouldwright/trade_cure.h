/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cure by data sheet: times at another temperature, energies from measured points, the glass
 * transition and the gel point by degree of cure.
 *
 * Temperatures are in K, 223.15 to 573.15 (-50 to 300 degC), else MW_TRADE_OUT_OF_RANGE. Results go to
 * `out`; with any status but MW_TRADE_OK it keeps what it had. What a data sheet says of a product
 * goes before all of this. */
#ifndef MOULDWRIGHT_TRADE_CURE_H
#define MOULDWRIGHT_TRADE_CURE_H

#include <stddef.h>

#include "mouldwright/trade.h"

#ifdef __cplusplus
extern "C" {
#endif

#define MW_CURE_POINTS_MOST 32

/* How far beyond its points a curve may be followed, K. Common practice, no source. */
#define MW_CURE_BEYOND_POINTS_K 20.0
/* How far the doubling rule may be followed, K. Common practice, no source. */
#define MW_CURE_BEYOND_DOUBLING_K 40.0

/* Times of the same event (gel, tack gone, demould) at several temperatures. */
typedef struct mw_cure_points {
    const double *temperature_k;
    const double *time_s; /* > 0 */
    size_t count;         /* 1 to MW_CURE_POINTS_MOST */
    double doubling_k;    /* with one point: the rate doubles per so many kelvin, 2 to 40 */
} mw_cure_points;

/* Time of the event at a temperature, s. Two or more points at different temperatures: the straight
 * line of least squares of ln(time) over 1 / T (Arrhenius), up to MW_CURE_BEYOND_POINTS_K outside the
 * points. One point: time * 2^((T point - T) / doubling), up to MW_CURE_BEYOND_DOUBLING_K from it.
 * Farther off: MW_TRADE_OUT_OF_RANGE. MW_TRADE_NO_SENSE when times grow with temperature or all
 * points are at one. Source: Arrhenius' law; that cure doubles per 10 K: common practice, no source. */
mw_trade_status mw_trade_cure_time(const mw_cure_points *points, double at_k,
                                   double *out) MW_MUST_USE;

/* Activation energy of two or more such points, J/mol. Source: Arrhenius' law, least squares. */
mw_trade_status mw_trade_cure_energy(const mw_cure_points *points, double *out) MW_MUST_USE;

/* Activation energy with which a rate doubles from `at_k` to `at_k + step_k` (step 1 to 40 K), J/mol:
 * R ln 2 T (T + step) / step. Source: Arrhenius' law. */
mw_trade_status mw_trade_cure_energy_of_doubling(double at_k, double step_k,
                                                 double *out) MW_MUST_USE;

/* Factor A of a rate that is A exp(-E / R T), from the rate (>= 0, in any unit of 1/time) at one temperature;
 * in the unit of the rate. E 0 to 300 kJ/mol, given in J/mol (else MW_TRADE_OUT_OF_RANGE). Source: Arrhenius' law. */
mw_trade_status mw_trade_cure_factor(double rate, double energy_jmol, double at_k,
                                     double *out) MW_MUST_USE;

/* How many times as fast cure goes at `to_k` as at `from_k`: exp(E / R (1 / from - 1 / to)). E 0 to
 * 300 kJ/mol, given in J/mol (else MW_TRADE_OUT_OF_RANGE). Source: Arrhenius' law. */
mw_trade_status mw_trade_cure_speed(double energy_jmol, double from_k, double to_k,
                                    double *out) MW_MUST_USE;

/* Activation energy from the peaks that a reaction shows at several constant heating rates (K/s, > 0;
 * two or more, at different peak temperatures), J/mol. Kissinger: slope of ln(rate / Tp^2) over 1 / Tp
 * is -E / R. Ozawa, Flynn and Wall: slope of ln(rate) is -1.052 E / R, with Doyle's approximation,
 * good to 4 % for E / R Tp of 20 to 60 (else MW_TRADE_OUT_OF_RANGE). Source: Kissinger,
 * Reaction kinetics in differential thermal analysis, Analytical Chemistry 29, 1957; Ozawa, A new
 * method of analyzing thermogravimetric data, Bull. Chem. Soc. Japan 38, 1965. */
mw_trade_status mw_trade_peak_energy(const double *heating_k_s, const double *peak_k, size_t count,
                                     double *out) MW_MUST_USE;
mw_trade_status mw_trade_peak_energy_ozawa(const double *heating_k_s, const double *peak_k,
                                           size_t count, double *out) MW_MUST_USE;

/* What the glass transition of a resin depends on. */
typedef struct mw_glass {
    double uncured_k; /* glass transition of the mix before cure */
    double full_k;    /* of the fully cured resin, above that */
    double lambda;    /* shape of the curve, over 0, at most 1 */
} mw_glass;

/* Glass transition at a degree of cure of 0 to 1, K: Tg0 + (Tg1 - Tg0) l a / (1 - (1 - l) a). Source:
 * DiBenedetto, Prediction of the glass transition temperature of polymers, J. Polymer Science B 25,
 * 1987, in the form of Pascault and Williams, 1990. */
mw_trade_status mw_trade_glass_transition(const mw_glass *glass, double degree,
                                          double *out) MW_MUST_USE;
/* Degree of cure at which the glass transition is `glass_k`: the inverse. MW_TRADE_OUT_OF_RANGE below
 * that of the mix and above that of full cure. */
mw_trade_status mw_trade_glass_degree(const mw_glass *glass, double glass_k,
                                      double *out) MW_MUST_USE;

/* Degree of cure (of what there is less of) at which a resin gels: 1 / sqrt(r (f - 1) (g - 1)). Ratio
 * r of the groups, the smaller to the larger, over 0 to 1; f, g: groups a molecule of resin and of
 * hardener, 2 to 20. MW_TRADE_OUT_OF_RANGE where it would never gel. Source: Flory, Principles of
 * Polymer Chemistry, 1953, chapter IX; Stockmayer. */
mw_trade_status mw_trade_gel_degree(double ratio, double resin_groups, double hardener_groups,
                                    double *out) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
