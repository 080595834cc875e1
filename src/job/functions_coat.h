/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of coats and putty, as the table of functions calls them. */
#ifndef MW_JOB_FUNCTIONS_COAT_H
#define MW_JOB_FUNCTIONS_COAT_H

#include <stdint.h>

double film_mass(void *host, const double *arguments, uint32_t count);
double wet_film(void *host, const double *arguments, uint32_t count);
double dry_film(void *host, const double *arguments, uint32_t count);
double spreading_rate(void *host, const double *arguments, uint32_t count);
double issued_volume(void *host, const double *arguments, uint32_t count);
double issued_mass(void *host, const double *arguments, uint32_t count);
double passes_to_film(void *host, const double *arguments, uint32_t count);
double sprayed_putty(void *host, const double *arguments, uint32_t count);

#endif
