/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shapes of chance: what each is, one row a shape. */
#include <assert.h>
#include <math.h>

#include "shape.h"

uint32_t mw_risk_parts(mw_risk_shape shape)
{
    return shape == MW_RISK_UNIFORM || shape == MW_RISK_NORMAL || shape == MW_RISK_LOGNORMAL ? 2
                                                                                             : 3;
}

bool mw_risk_sound(const mw_risk_input *input)
{
    const double *at = input->at;
    for (uint32_t i = 0; i < mw_risk_parts(input->shape); i++) {
        if (!isfinite(at[i])) {
            return false;
        }
    }
    switch (input->shape) {
    case MW_RISK_TRIANGULAR:
    case MW_RISK_PERT:
        return at[0] <= at[1] && at[1] <= at[2] && isfinite(at[2] - at[0]);
    case MW_RISK_UNIFORM:
        return at[0] <= at[1] && isfinite(at[1] - at[0]);
    case MW_RISK_NORMAL:
        return at[1] >= 0.0;
    case MW_RISK_LOGNORMAL:
        return at[0] > 0.0 && at[1] >= 0.0 && isfinite(at[1] / at[0]);
    case MW_RISK_CHANCE:
        return at[0] >= 0.0 && at[0] <= 1.0;
    case MW_RISK_SHAPE_COUNT:
        break;
    }
    return false;
}

/* --- triangle --- */

risk_triangle risk_triangle_of(const mw_risk_input *input)
{
    const double *at = input->at;
    const double width = at[2] - at[0];
    return (risk_triangle){.low = at[0],
                           .high = at[2],
                           .split = width > 0.0 ? (at[1] - at[0]) / width : 0.0,
                           .left = width * (at[1] - at[0]),
                           .right = width * (at[2] - at[1])};
}

static double triangle_share(const mw_risk_input *input, double value)
{
    const risk_triangle of = risk_triangle_of(input);
    if (value >= of.high) {
        return 1.0;
    }
    if (value <= of.low) {
        return 0.0;
    }
    return value < input->at[1] ? (value - of.low) * (value - of.low) / of.left
                                : 1.0 - (of.high - value) * (of.high - value) / of.right;
}

/* --- beta from three points --- */

risk_beta risk_pert_of(const mw_risk_input *input)
{
    const double *at = input->at;
    const double width = at[2] - at[0];
    return risk_beta_of(1.0 + 4.0 * (at[1] - at[0]) / width, 1.0 + 4.0 * (at[2] - at[1]) / width);
}

static double pert_deviation(const mw_risk_input *input)
{
    const double width = input->at[2] - input->at[0];
    if (width == 0.0) {
        return 0.0;
    }
    const risk_beta of = risk_pert_of(input);
    const double both = of.alpha + of.beta;
    return width * sqrt(of.alpha * of.beta / (both * both * (both + 1.0)));
}

static double pert_share(const mw_risk_input *input, double value)
{
    const double width = input->at[2] - input->at[0];
    if (width == 0.0) {
        return value >= input->at[0] ? 1.0 : 0.0;
    }
    const risk_beta of = risk_pert_of(input);
    return risk_beta_share(&of, (value - input->at[0]) / width);
}

/* --- lognormal: the normal distribution of the logarithm --- */

void risk_lognormal_of(const mw_risk_input *input, double *mean, double *deviation)
{
    const double spread = input->at[1] / input->at[0];
    const double variance = log1p(spread * spread);
    *mean = log(input->at[0]) - 0.5 * variance;
    *deviation = sqrt(variance);
}

/* --- all --- */

double mw_risk_mean(const mw_risk_input *input)
{
    const double *at = input->at;
    switch (input->shape) {
    case MW_RISK_TRIANGULAR:
        return (at[0] + at[1] + at[2]) / 3.0;
    case MW_RISK_PERT:
        return (at[0] + 4.0 * at[1] + at[2]) / 6.0;
    case MW_RISK_UNIFORM:
        return 0.5 * (at[0] + at[1]);
    case MW_RISK_NORMAL:
    case MW_RISK_LOGNORMAL:
        return at[0];
    case MW_RISK_CHANCE:
        return at[0] * at[1] + (1.0 - at[0]) * at[2];
    case MW_RISK_SHAPE_COUNT:
        break;
    }
    return (double)NAN;
}

double mw_risk_deviation(const mw_risk_input *input)
{
    const double *at = input->at;
    switch (input->shape) {
    case MW_RISK_TRIANGULAR: {
        const double left = at[1] - at[0];
        const double right = at[2] - at[1];
        return sqrt((left * left + left * right + right * right) / 18.0);
    }
    case MW_RISK_PERT:
        return pert_deviation(input);
    case MW_RISK_UNIFORM:
        return (at[1] - at[0]) / sqrt(12.0);
    case MW_RISK_NORMAL:
    case MW_RISK_LOGNORMAL:
        return at[1];
    case MW_RISK_CHANCE:
        return fabs(at[1] - at[2]) * sqrt(at[0] * (1.0 - at[0]));
    case MW_RISK_SHAPE_COUNT:
        break;
    }
    return (double)NAN;
}

static double normal_share(double value, double mean, double deviation)
{
    if (deviation == 0.0) {
        return value >= mean ? 1.0 : 0.0;
    }
    return mw_risk_normal_share((value - mean) / deviation);
}

static double lognormal_share(const mw_risk_input *input, double value)
{
    double mean;
    double deviation;
    risk_lognormal_of(input, &mean, &deviation);
    return value > 0.0 ? normal_share(log(value), mean, deviation) : 0.0;
}

double mw_risk_share(const mw_risk_input *input, double value)
{
    const double *at = input->at;
    switch (input->shape) {
    case MW_RISK_TRIANGULAR:
        return triangle_share(input, value);
    case MW_RISK_PERT:
        return pert_share(input, value);
    case MW_RISK_UNIFORM:
        return value >= at[1] ? 1.0 : value <= at[0] ? 0.0 : (value - at[0]) / (at[1] - at[0]);
    case MW_RISK_NORMAL:
        return normal_share(value, at[0], at[1]);
    case MW_RISK_LOGNORMAL:
        return lognormal_share(input, value);
    case MW_RISK_CHANCE:
        return (value >= at[1] ? at[0] : 0.0) + (value >= at[2] ? 1.0 - at[0] : 0.0);
    case MW_RISK_SHAPE_COUNT:
        break;
    }
    return (double)NAN;
}

double mw_risk_value(const mw_risk_input *input, double share)
{
    const double *at = input->at;
    switch (input->shape) {
    case MW_RISK_TRIANGULAR: {
        const risk_triangle of = risk_triangle_of(input);
        return share < of.split ? of.low + sqrt(share * of.left)
                                : of.high - sqrt((1.0 - share) * of.right);
    }
    case MW_RISK_PERT: {
        const double width = at[2] - at[0];
        const risk_beta of = width > 0.0 ? risk_pert_of(input) : risk_beta_of(1.0, 1.0);
        return width > 0.0 ? at[0] + width * risk_beta_value(&of, share) : at[0];
    }
    case MW_RISK_UNIFORM:
        return at[0] + (at[1] - at[0]) * share;
    case MW_RISK_NORMAL:
        return at[0] + at[1] * mw_risk_normal_value(share);
    case MW_RISK_LOGNORMAL: {
        double mean;
        double deviation;
        risk_lognormal_of(input, &mean, &deviation);
        return exp(mean + deviation * mw_risk_normal_value(share));
    }
    case MW_RISK_CHANCE:
        return share < at[0] ? at[1] : at[2];
    case MW_RISK_SHAPE_COUNT:
        break;
    }
    return (double)NAN;
}
