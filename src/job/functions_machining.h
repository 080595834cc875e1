/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of milling, as the table of functions calls them. */
#ifndef MW_JOB_FUNCTIONS_MACHINING_H
#define MW_JOB_FUNCTIONS_MACHINING_H

#include <stdint.h>

double cusp_height(void *host, const double *arguments, uint32_t count);
double step_over(void *host, const double *arguments, uint32_t count);
double cutter_feed(void *host, const double *arguments, uint32_t count);
double spindle_for_feed(void *host, const double *arguments, uint32_t count);
double cutting_speed(void *host, const double *arguments, uint32_t count);
double spindle_for_speed(void *host, const double *arguments, uint32_t count);
double removal_rate(void *host, const double *arguments, uint32_t count);
double cutting_power(void *host, const double *arguments, uint32_t count);
double roughing_time(void *host, const double *arguments, uint32_t count);
double finishing_time(void *host, const double *arguments, uint32_t count);
double finishing_time_with_turns(void *host, const double *arguments, uint32_t count);
double cutter_approach(void *host, const double *arguments, uint32_t count);
double pass_time(void *host, const double *arguments, uint32_t count);
double mill_handling(void *host, const double *arguments, uint32_t count);

#endif
