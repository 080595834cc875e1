/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pots: from the arguments of a formula to the methods of the trade. */
#include "functions_pot.h"

#include "functions_answer.h"
#include "mouldwright/trade_pot.h"

double hydrogen_equivalent(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_hydrogen_equivalent(arguments[0], arguments[1], &value);
    return trade_answer(status, value);
}

double mix_part(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_mix_part(arguments[0], arguments[1], &value);
    return trade_answer(status, value);
}

/* A list of masses, a list of equivalents, and the filler. */
double blend_equivalent(void *host, const double *arguments, uint32_t count)
{
    const size_t parts = (count - 1) / 2;
    double value = 0.0;
    (void)host;
    if (count % 2 == 0) {
        return mw_error_value(MW_CODE_LIST_LENGTHS);
    }
    const mw_trade_status status = mw_trade_blend_equivalent(arguments, arguments + parts, parts,
                                                             arguments[2 * parts], &value);
    return trade_answer(status, value);
}

double hardener_in(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_hardener_in(arguments[0], arguments[1], &value);
    return trade_answer(status, value);
}

/* The rest of the batch. */
double resin_in(void *host, const double *arguments, uint32_t count)
{
    double hardener_kg = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_hardener_in(arguments[0], arguments[1], &hardener_kg);
    return trade_answer(status, arguments[0] - hardener_kg);
}

double part_by_mass(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_part_by_mass(arguments[0], arguments[1], arguments[2], &value);
    return trade_answer(status, value);
}

/* pot_life(life, stated_mass, mass, stated_at, temperature, doubling) */
double pot_life(void *host, const double *arguments, uint32_t count)
{
    const mw_pot pot = {.stated_life_s = arguments[0],
                        .stated_mass_kg = arguments[1],
                        .mass_kg = arguments[2],
                        .warmer_k = arguments[4] - arguments[3],
                        .doubling_k = arguments[5]};
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_pot_life(&pot, &value);
    return trade_answer(status, value);
}

/* largest_pot(life, stated_mass, rate, share, stated_at, temperature, doubling) */
double largest_pot(void *host, const double *arguments, uint32_t count)
{
    const mw_pot pot = {.stated_life_s = arguments[0],
                        .stated_mass_kg = arguments[1],
                        .warmer_k = arguments[5] - arguments[4],
                        .doubling_k = arguments[6]};
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_largest_pot(&pot, arguments[2], arguments[3], &value);
    return trade_answer(status, value);
}

double pots_needed(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_pots_needed(arguments[0], arguments[1], &value);
    return trade_answer(status, value);
}

double pot_mass(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_pot_mass(arguments[0], arguments[1], &value);
    return trade_answer(status, value);
}

double adiabatic_rise(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_adiabatic_rise(arguments[0], arguments[1], &value);
    return trade_answer(status, value);
}

double laminate_rise(void *host, const double *arguments, uint32_t count)
{
    const mw_laminate_heat laminate = {.fibre_share = arguments[0],
                                       .resin_density_kgm3 = arguments[1],
                                       .heat_jkg = arguments[2],
                                       .laminate_density_kgm3 = arguments[3],
                                       .capacity_jkgk = arguments[4]};
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_laminate_rise(&laminate, &value);
    return trade_answer(status, value);
}

double heat_of_mix(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_heat_of_mix(arguments[0], arguments[1], arguments[2], &value);
    return trade_answer(status, value);
}

double self_heating(void *host, const double *arguments, uint32_t count)
{
    const mw_self_heating of = {.activation_jmol = arguments[0],
                                .half_size_m = arguments[1],
                                .heat_jkg = arguments[2],
                                .density_kgm3 = arguments[3],
                                .rate_per_s = arguments[4],
                                .conductivity_wmk = arguments[5],
                                .temperature_k = arguments[6]};
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_self_heating(&of, &value);
    return trade_answer(status, value);
}

double self_heating_limit(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_self_heating_limit(arguments[0], &value);
    return trade_answer(status, value);
}
