/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shapes of chance as functions: their one value until risk is asked for. */
#include "functions_risk.h"

#include <math.h>
#include <string.h>

#include "mouldwright/values.h"

static const char *const names[MW_RISK_SHAPE_COUNT] = {
    [MW_RISK_TRIANGULAR] = "triangular", [MW_RISK_PERT] = "pert",
    [MW_RISK_UNIFORM] = "uniform",       [MW_RISK_NORMAL] = "normal",
    [MW_RISK_LOGNORMAL] = "lognormal",   [MW_RISK_CHANCE] = "chance",
};

mw_risk_shape functions_risk_shape(const char *name, uint32_t length)
{
    mw_risk_shape shape = MW_RISK_TRIANGULAR;
    while (shape < MW_RISK_SHAPE_COUNT &&
           (strlen(names[shape]) != length || memcmp(names[shape], name, length) != 0)) {
        shape++;
    }
    return shape;
}

/* The likely value of three points, else the mean. */
static double one_value(mw_risk_shape shape, const double *arguments)
{
    mw_risk_input input = {.shape = shape};
    for (uint32_t i = 0; i < mw_risk_parts(shape); i++) {
        input.at[i] = arguments[i];
    }
    if (!mw_risk_sound(&input)) {
        return mw_error_value(MW_CODE_OUT_OF_RANGE);
    }
    bool points = shape == MW_RISK_TRIANGULAR || shape == MW_RISK_PERT;
    return points ? input.at[1] : mw_risk_mean(&input);
}

#define RISK_CALL(name, shape)                                       \
    double name(void *host, const double *arguments, uint32_t count) \
    {                                                                \
        (void)host, (void)count;                                     \
        return one_value(shape, arguments);                          \
    }

RISK_CALL(risk_triangular, MW_RISK_TRIANGULAR)
RISK_CALL(risk_pert, MW_RISK_PERT)
RISK_CALL(risk_uniform, MW_RISK_UNIFORM)
RISK_CALL(risk_normal, MW_RISK_NORMAL)
RISK_CALL(risk_lognormal, MW_RISK_LOGNORMAL)
RISK_CALL(risk_chance, MW_RISK_CHANCE)
