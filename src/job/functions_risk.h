/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of what is not known exactly: shapes other than a plain range. Until risk is asked for, each is one value. */
#ifndef MW_JOB_FUNCTIONS_RISK_H
#define MW_JOB_FUNCTIONS_RISK_H

#include <stdint.h>

#include "mouldwright/risk.h"

/* The shape that a function of this name stands for; MW_RISK_SHAPE_COUNT: none. */
mw_risk_shape functions_risk_shape(const char *name, uint32_t length);

double risk_triangular(void *host, const double *arguments, uint32_t count);
double risk_pert(void *host, const double *arguments, uint32_t count);
double risk_uniform(void *host, const double *arguments, uint32_t count);
double risk_normal(void *host, const double *arguments, uint32_t count);
double risk_lognormal(void *host, const double *arguments, uint32_t count);
double risk_chance(void *host, const double *arguments, uint32_t count);

#endif
