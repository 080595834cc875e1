/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of the laminate, as the table of functions calls them. */
#ifndef MW_JOB_FUNCTIONS_LAMINATE_H
#define MW_JOB_FUNCTIONS_LAMINATE_H

#include <stdint.h>

double ply_thickness(void *host, const double *arguments, uint32_t count);
double measured_fibre_share(void *host, const double *arguments, uint32_t count);
double fibre_volume_share(void *host, const double *arguments, uint32_t count);
double resin_volume_share(void *host, const double *arguments, uint32_t count);
double fibre_mass_share(void *host, const double *arguments, uint32_t count);
double laminate_density(void *host, const double *arguments, uint32_t count);
double resin_to_fill(void *host, const double *arguments, uint32_t count);
double void_share(void *host, const double *arguments, uint32_t count);
double resin_demand(void *host, const double *arguments, uint32_t count);
double layer_thickness(void *host, const double *arguments, uint32_t count);
double resin_soaked(void *host, const double *arguments, uint32_t count);
double plies_in_one_go(void *host, const double *arguments, uint32_t count);

#endif
