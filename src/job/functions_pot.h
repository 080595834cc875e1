/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of pots, as the table of functions calls them. */
#ifndef MW_JOB_FUNCTIONS_POT_H
#define MW_JOB_FUNCTIONS_POT_H

#include <stdint.h>

double hydrogen_equivalent(void *host, const double *arguments, uint32_t count);
double mix_part(void *host, const double *arguments, uint32_t count);
double blend_equivalent(void *host, const double *arguments, uint32_t count);
double hardener_in(void *host, const double *arguments, uint32_t count);
double resin_in(void *host, const double *arguments, uint32_t count);
double part_by_mass(void *host, const double *arguments, uint32_t count);
double pot_life(void *host, const double *arguments, uint32_t count);
double largest_pot(void *host, const double *arguments, uint32_t count);
double pots_needed(void *host, const double *arguments, uint32_t count);
double pot_mass(void *host, const double *arguments, uint32_t count);
double adiabatic_rise(void *host, const double *arguments, uint32_t count);
double laminate_rise(void *host, const double *arguments, uint32_t count);
double heat_of_mix(void *host, const double *arguments, uint32_t count);
double self_heating(void *host, const double *arguments, uint32_t count);
double self_heating_limit(void *host, const double *arguments, uint32_t count);

#endif
