/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of cure as a reaction, as the table of functions calls them. */
#ifndef MW_JOB_FUNCTIONS_KINETICS_H
#define MW_JOB_FUNCTIONS_KINETICS_H

#include <stdint.h>

double order_cure_rate(void *host, const double *arguments, uint32_t count);
double order_cure_degree(void *host, const double *arguments, uint32_t count);
double order_cure_time(void *host, const double *arguments, uint32_t count);
double autocatalytic_cure_rate(void *host, const double *arguments, uint32_t count);
double autocatalytic_cure_degree(void *host, const double *arguments, uint32_t count);
double autocatalytic_cure_time(void *host, const double *arguments, uint32_t count);
double limited_cure_rate(void *host, const double *arguments, uint32_t count);
double limited_cure_degree(void *host, const double *arguments, uint32_t count);
double limited_cure_time(void *host, const double *arguments, uint32_t count);
double two_stage_cure_rate(void *host, const double *arguments, uint32_t count);
double two_stage_cure_degree(void *host, const double *arguments, uint32_t count);
double two_stage_cure_time(void *host, const double *arguments, uint32_t count);
double programme_time(void *host, const double *arguments, uint32_t count);
double post_cure_time(void *host, const double *arguments, uint32_t count);
double post_cure_stages(void *host, const double *arguments, uint32_t count);
double post_cure_degree(void *host, const double *arguments, uint32_t count);
double post_cure_glass(void *host, const double *arguments, uint32_t count);
double post_cure_target(void *host, const double *arguments, uint32_t count);
double post_cure_hold(void *host, const double *arguments, uint32_t count);

#endif
