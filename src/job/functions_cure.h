/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of cure, as the table of functions calls them. */
#ifndef MW_JOB_FUNCTIONS_CURE_H
#define MW_JOB_FUNCTIONS_CURE_H

#include <stdint.h>

double cure_time_at(void *host, const double *arguments, uint32_t count);
double cure_time_by_doubling(void *host, const double *arguments, uint32_t count);
double cure_energy(void *host, const double *arguments, uint32_t count);
double arrhenius_factor(void *host, const double *arguments, uint32_t count);
double cure_energy_of_doubling(void *host, const double *arguments, uint32_t count);
double cure_speed(void *host, const double *arguments, uint32_t count);
double peak_energy(void *host, const double *arguments, uint32_t count);
double peak_energy_ozawa(void *host, const double *arguments, uint32_t count);
double glass_transition(void *host, const double *arguments, uint32_t count);
double glass_degree(void *host, const double *arguments, uint32_t count);
double gel_degree(void *host, const double *arguments, uint32_t count);

#endif
