/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of money and of the shop's calendar, as the table of functions calls them. */
#ifndef MW_JOB_FUNCTIONS_SHOP_H
#define MW_JOB_FUNCTIONS_SHOP_H

#include <stdint.h>

double round_money(void *host, const double *arguments, uint32_t count);
double workday_after(void *host, const double *arguments, uint32_t count);
double workdays(void *host, const double *arguments, uint32_t count);
double work_until(void *host, const double *arguments, uint32_t count);
double work_between(void *host, const double *arguments, uint32_t count);

#endif
