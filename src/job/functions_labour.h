/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of labour and learning, as the table of functions calls them. */
#ifndef MW_JOB_FUNCTIONS_LABOUR_H
#define MW_JOB_FUNCTIONS_LABOUR_H

#include <stdint.h>

double labour_by_rate(void *host, const double *arguments, uint32_t count);
double labour_by_power(void *host, const double *arguments, uint32_t count);
double labour_slow_start(void *host, const double *arguments, uint32_t count);
double labour_hyperbola(void *host, const double *arguments, uint32_t count);
double published_cloth_labour(void *host, const double *arguments, uint32_t count);
double published_tape_labour(void *host, const double *arguments, uint32_t count);
double published_wide_tape_labour(void *host, const double *arguments, uint32_t count);
double published_pattern_labour(void *host, const double *arguments, uint32_t count);
double published_compacting_labour(void *host, const double *arguments, uint32_t count);
double published_cleaning_labour(void *host, const double *arguments, uint32_t count);
double published_release_labour(void *host, const double *arguments, uint32_t count);
double published_trimming_labour(void *host, const double *arguments, uint32_t count);
double shape_factor(void *host, const double *arguments, uint32_t count);
double bend_factor(void *host, const double *arguments, uint32_t count);
double basic_time(void *host, const double *arguments, uint32_t count);
double standard_time(void *host, const double *arguments, uint32_t count);
double learning_slope(void *host, const double *arguments, uint32_t count);
double unit_learning(void *host, const double *arguments, uint32_t count);
double unit_learning_lot(void *host, const double *arguments, uint32_t count);
double unit_learning_lot_quick(void *host, const double *arguments, uint32_t count);
double unit_learning_midpoint(void *host, const double *arguments, uint32_t count);
double unit_learning_midpoint_quick(void *host, const double *arguments, uint32_t count);
double unit_learning_first(void *host, const double *arguments, uint32_t count);
double average_learning(void *host, const double *arguments, uint32_t count);
double average_learning_lot(void *host, const double *arguments, uint32_t count);
double average_learning_first(void *host, const double *arguments, uint32_t count);
double learning_error(void *host, const double *arguments, uint32_t count);

#endif
