/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pots: mixing ratio, pot life, number and mass of pots. */
#include "mouldwright/trade_pot.h"

#include "inputs.h"
#include "rounding.h"

/* How far from the stated mass and temperature a pot life is answered: common practice, no source. */
#define MASS_TIMES_MAX 5.0
#define WARMER_MAX_K   15.0
#define DOUBLING_MIN_K 2.0
#define DOUBLING_MAX_K 40.0
#define GRAM_KG        1e-3

mw_trade_status mw_trade_hydrogen_equivalent(double molar_mass_kgmol, double hydrogens,
                                             double *equivalent_kgmol)
{
    if (!is_above_zero(molar_mass_kgmol) || !is_above_zero(hydrogens)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(molar_mass_kgmol / hydrogens, equivalent_kgmol);
}

mw_trade_status mw_trade_mix_part(double epoxide_equivalent_kgmol, double hydrogen_equivalent_kgmol,
                                  double *part)
{
    if (!is_above_zero(epoxide_equivalent_kgmol) || !is_above_zero(hydrogen_equivalent_kgmol)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(hydrogen_equivalent_kgmol / epoxide_equivalent_kgmol, part);
}

mw_trade_status mw_trade_blend_equivalent(const double *masses, const double *equivalents_kgmol,
                                          size_t count, double inert, double *equivalent_kgmol)
{
    double mass = inert;
    double equivalents = 0.0;
    if (!is_zero_or_more(inert)) {
        return MW_TRADE_NO_SENSE;
    }
    for (size_t i = 0; i < count; i++) {
        if (!is_zero_or_more(masses[i]) || !is_above_zero(equivalents_kgmol[i])) {
            return MW_TRADE_NO_SENSE;
        }
        mass += masses[i];
        equivalents += masses[i] / equivalents_kgmol[i];
    }
    if (!is_above_zero(equivalents)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(mass / equivalents, equivalent_kgmol);
}

mw_trade_status mw_trade_hardener_in(double batch_kg, double part, double *hardener_kg)
{
    if (!is_zero_or_more(batch_kg) || !is_zero_or_more(part)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(batch_kg * part / (1.0 + part), hardener_kg);
}

mw_trade_status mw_trade_part_by_mass(double part_by_volume, double resin_density_kgm3,
                                      double hardener_density_kgm3, double *part)
{
    if (!is_zero_or_more(part_by_volume) || !is_above_zero(resin_density_kgm3) ||
        !is_above_zero(hardener_density_kgm3)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(part_by_volume * hardener_density_kgm3 / resin_density_kgm3, part);
}

/* All but the mass. */
static mw_trade_status check_pot(const mw_pot *pot)
{
    if (!is_above_zero(pot->stated_life_s) || !is_above_zero(pot->stated_mass_kg) ||
        !(fabs(pot->warmer_k) <= DBL_MAX) || !is_above_zero(pot->doubling_k)) {
        return MW_TRADE_NO_SENSE;
    }
    const bool fine = fabs(pot->warmer_k) <= WARMER_MAX_K && pot->doubling_k >= DOUBLING_MIN_K &&
                      pot->doubling_k <= DOUBLING_MAX_K;
    return fine ? MW_TRADE_OK : MW_TRADE_OUT_OF_RANGE;
}

/* Life of a pot of the stated mass. */
static double life_of(const mw_pot *pot)
{
    return pot->stated_life_s * exp2(-pot->warmer_k / pot->doubling_k);
}

mw_trade_status mw_trade_pot_life(const mw_pot *pot, double *life_s)
{
    const mw_trade_status status = check_pot(pot);
    if (status != MW_TRADE_OK) {
        return status;
    }
    if (!is_above_zero(pot->mass_kg)) {
        return MW_TRADE_NO_SENSE;
    }
    const double times = pot->mass_kg / pot->stated_mass_kg;
    if (times * (1.0 - WHOLE_WITHIN) > MASS_TIMES_MAX ||
        times * (1.0 + WHOLE_WITHIN) < 1.0 / MASS_TIMES_MAX) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(life_of(pot) * pow(times, -MW_POT_MASS_POWER), life_s);
}

/* mass / rate = share * life(mass), solved for the mass over the stated one. */
mw_trade_status mw_trade_largest_pot(const mw_pot *pot, double rate_kgs, double share,
                                     double *mass_kg)
{
    const mw_trade_status status = check_pot(pot);
    if (status != MW_TRADE_OK) {
        return status;
    }
    if (!is_above_zero(rate_kgs) || !is_share(share) || share == 0.0) {
        return MW_TRADE_NO_SENSE;
    }
    const double usable = rate_kgs * share * life_of(pot) / pot->stated_mass_kg;
    const double times = pow(usable, 1.0 / (1.0 + MW_POT_MASS_POWER));
    const double held = fmax(fmin(times, MASS_TIMES_MAX), 1.0 / MASS_TIMES_MAX);
    return trade_put(held * pot->stated_mass_kg, mass_kg);
}

mw_trade_status mw_trade_pots_needed(double mass_kg, double pot_kg, double *pots)
{
    if (!is_zero_or_more(mass_kg) || !is_above_zero(pot_kg)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(whole_above(mass_kg / pot_kg), pots);
}

mw_trade_status mw_trade_pot_mass(double mass_kg, double pot_kg, double *each_kg)
{
    double pots = 0.0;
    const mw_trade_status status = mw_trade_pots_needed(mass_kg, pot_kg, &pots);
    return status != MW_TRADE_OK
               ? status
               : trade_put(pots > 0.0 ? whole_above(mass_kg / pots / GRAM_KG) * GRAM_KG : 0.0,
                           each_kg);
}
