/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of consumables and vacuum, as the table of functions calls them. */
#ifndef MW_JOB_FUNCTIONS_CONSUMABLE_H
#define MW_JOB_FUNCTIONS_CONSUMABLE_H

#include <stdint.h>

double pleats_along(void *host, const double *arguments, uint32_t count);
double bag_film(void *host, const double *arguments, uint32_t count);
double sealant_tape(void *host, const double *arguments, uint32_t count);
double worn_out(void *host, const double *arguments, uint32_t count);
double air_pressure(void *host, const double *arguments, uint32_t count);
double bag_force(void *host, const double *arguments, uint32_t count);
double leak_rate(void *host, const double *arguments, uint32_t count);

#endif
