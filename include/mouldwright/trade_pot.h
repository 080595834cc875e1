/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pots: mixing ratio, pot life, how much a crew can use up in time, how many pots of what mass, how far
 * a pot can heat itself. Masses in kg, times in s, temperatures in K, equivalents in kg/mol.
 *
 * What the data sheet and the label say goes before anything computed here. */
#ifndef MOULDWRIGHT_TRADE_POT_H
#define MOULDWRIGHT_TRADE_POT_H

#include <stddef.h>

#include "mouldwright/trade.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Amine hydrogen equivalent in kg/mol: molar mass over active hydrogens. Both above 0. Source: the
 * definition, H. Lee and K. Neville, Handbook of Epoxy Resins, 1967, chapter 7 (from memory). */
mw_trade_status mw_trade_hydrogen_equivalent(double molar_mass_kgmol, double hydrogens,
                                             double *equivalent_kgmol) MW_MUST_USE;

/* Hardener by resin, by mass, at one amine hydrogen for each epoxide: the ratio of the equivalents.
 * Holds for amines that add to epoxide, not for those that only start it, nor for anhydrides. Source: as
 * above. */
mw_trade_status mw_trade_mix_part(double epoxide_equivalent_kgmol, double hydrogen_equivalent_kgmol,
                                  double *part) MW_MUST_USE;

/* Equivalent in kg/mol of a blend: sum of masses over sum of mass / equivalent. `masses` are parts by
 * mass in one unit, each from 0; `inert` is that of filler, which has no equivalents. MW_TRADE_NO_SENSE
 * where nothing reacts. Source: as above. */
mw_trade_status mw_trade_blend_equivalent(const double *masses, const double *equivalents_kgmol,
                                          size_t count, double inert,
                                          double *equivalent_kgmol) MW_MUST_USE;

/* Hardener in kg of a batch of resin and hardener: mass x part / (1 + part). Batch and part from 0.
 * Source: mass balance. */
mw_trade_status mw_trade_hardener_in(double batch_kg, double part, double *hardener_kg) MW_MUST_USE;

/* Part by mass from a part by volume: times the ratio of the densities, hardener over resin. Source:
 * definition of density. */
mw_trade_status mw_trade_part_by_mass(double part_by_volume, double resin_density_kgm3,
                                      double hardener_density_kgm3, double *part) MW_MUST_USE;

/* A stated pot life and the pot at hand. */
typedef struct mw_pot {
    double stated_life_s;
    double stated_mass_kg;
    double mass_kg;
    double warmer_k;   /* temperature of resin and room above the stated one; may be below 0 */
    double doubling_k; /* cure runs twice as fast per so many kelvin, 2 to 40 */
} mw_pot;

/* How many times as long a pot of half the mass lasts: 2^MW_POT_MASS_POWER. */
#define MW_POT_MASS_POWER 0.25

/* Pot life in s: stated life x 2^(-warmer / doubling) x (stated mass / mass)^(1/4).
 * MW_TRADE_OUT_OF_RANGE: mass outside a fifth to five times the stated one; more than 15 K from the
 * stated temperature. Source: the doubling rule and the power of the mass are common practice, no
 * source; no open series of pot life against mass is known to us. A trial pot decides. */
mw_trade_status mw_trade_pot_life(const mw_pot *pot, double *life_s) MW_MUST_USE;

/* Largest pot in kg that a crew uses up in time: the mass at which using it up takes `share` of its pot
 * life. `pot` as above, its mass_kg not read. `rate_kgs`: what the crew works in, above 0; `share` above
 * 0, up to 1. The result is held between a fifth and five times the stated mass, beyond which
 * mw_trade_pot_life() does not answer: at the lower end the pot may gel before it is used up, which
 * its user has to ask of that. Source: follows from mw_trade_pot_life(); a share of about 70 %: common practice, no source. */
mw_trade_status mw_trade_largest_pot(const mw_pot *pot, double rate_kgs, double share,
                                     double *mass_kg) MW_MUST_USE;

/* Pots that hold a mass, all alike: mass over the largest pot, rounded up; 0 for no mass. Mass from 0,
 * pot above 0. Source: arithmetic. */
mw_trade_status mw_trade_pots_needed(double mass_kg, double pot_kg, double *pots) MW_MUST_USE;

/* Mass in kg of each of them, rounded up to the whole gram; 0 for no mass. */
mw_trade_status mw_trade_pot_mass(double mass_kg, double pot_kg, double *each_kg) MW_MUST_USE;

/* How much hotter in K a pot gets if no heat leaves it: heat of reaction in J/kg over heat capacity in
 * J/(kg K). Heat from 0, capacity above 0. An upper bound, to be wary of, not a forecast. Source: heat
 * balance; A. C. Loos and G. S. Springer, J. Composite Materials 17, 1983. */
mw_trade_status mw_trade_adiabatic_rise(double heat_jkg, double capacity_jkgk,
                                        double *rise_k) MW_MUST_USE;

/* Heat of reaction in J/kg of resin and amine at one to one: heat of one epoxide in J/mol over the sum
 * of the equivalents. Source: stoichiometry; 98 to 110 kJ/mol: open literature, from memory. */
mw_trade_status mw_trade_heat_of_mix(double heat_jmol, double epoxide_equivalent_kgmol,
                                     double hydrogen_equivalent_kgmol,
                                     double *heat_jkg) MW_MUST_USE;

/* A laminate that heats itself. */
typedef struct mw_laminate_heat {
    double fibre_share; /* by volume, 0 to below 1 */
    double resin_density_kgm3;
    double heat_jkg; /* of the resin */
    double laminate_density_kgm3;
    double capacity_jkgk; /* of the laminate */
} mw_laminate_heat;

/* How much hotter in K a laminate gets if no heat leaves it. Source: as for the pot. */
mw_trade_status mw_trade_laminate_rise(const mw_laminate_heat *laminate,
                                       double *rise_k) MW_MUST_USE;

/* What decides whether a mass runs away. */
typedef struct mw_self_heating {
    double activation_jmol;
    double half_size_m; /* half the thickness of a slab, radius of a cylinder or a sphere */
    double heat_jkg;
    double density_kgm3;
    double rate_per_s; /* A of the reaction, before exp(-E / RT) */
    double conductivity_wmk;
    double temperature_k; /* of what is round it */
} mw_self_heating;

/* Frank-Kamenetskii's number: E r^2 Q rho A exp(-E / R T) / (k R T^2). All above 0. Source: D. A.
 * Frank-Kamenetskii, Diffusion and Heat Exchange in Chemical Kinetics, 1955, chapter VI. */
mw_trade_status mw_trade_self_heating(const mw_self_heating *of, double *number) MW_MUST_USE;

/* The number above which it runs away: 0.878 for 1 (heat leaves a slab in one direction), 2 for 2 (a
 * cylinder), 3.322 for 3 (a sphere). MW_TRADE_NO_SENSE for other directions. Source: as above. */
mw_trade_status mw_trade_self_heating_limit(double directions, double *number) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
