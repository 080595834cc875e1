/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of plug blocks and of handling, as the table of functions calls them. */
#ifndef MW_JOB_FUNCTIONS_BLOCK_H
#define MW_JOB_FUNCTIONS_BLOCK_H

#include <stdint.h>

double board_layers(void *host, const double *arguments, uint32_t count);
double boards_in_layer(void *host, const double *arguments, uint32_t count);
double glue_area(void *host, const double *arguments, uint32_t count);
double parts_for(void *host, const double *arguments, uint32_t count);
double people_to_lift(void *host, const double *arguments, uint32_t count);

#endif
