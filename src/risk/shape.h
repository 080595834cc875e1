/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The numbers of shapes that drawing uses too. */
#ifndef MW_RISK_SHAPE_H
#define MW_RISK_SHAPE_H

#include "beta.h"
#include "draw_kernels.h"
#include "mouldwright/risk.h"

risk_triangle risk_triangle_of(const mw_risk_input *input);
/* Of an input with high > low. */
risk_beta risk_pert_of(const mw_risk_input *input);
/* Mean and deviation of the logarithm. */
void risk_lognormal_of(const mw_risk_input *input, double *mean, double *deviation);

#endif
