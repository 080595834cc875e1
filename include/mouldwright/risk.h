/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is not known exactly, as a shape of chance: its values from shares, its moments. Plain numbers; the unit is the
 * caller's, the same for all of one input. A share is a probability, over 0 and below 1. */
#ifndef MOULDWRIGHT_RISK_H
#define MOULDWRIGHT_RISK_H

#include <stdbool.h>
#include <stdint.h>

#include "mouldwright/status.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum mw_risk_shape {
    MW_RISK_TRIANGULAR, /* low <= likely <= high */
    MW_RISK_PERT,    /* the same three; beta with 1 + 4 (likely - low) / (high - low), and so on */
    MW_RISK_UNIFORM, /* low <= high */
    MW_RISK_NORMAL,  /* mean, standard deviation >= 0 */
    MW_RISK_LOGNORMAL, /* mean > 0, standard deviation >= 0, both of the value itself */
    MW_RISK_CHANCE,    /* probability 0 to 1, the value if it happens, the value if not */
    MW_RISK_SHAPE_COUNT
} mw_risk_shape;

/* An input: at[] as listed above, what is not listed is 0. */
typedef struct mw_risk_input {
    mw_risk_shape shape;
    double at[3];
} mw_risk_input;

/* How many of at[] a shape has: 2 or 3. */
uint32_t mw_risk_parts(mw_risk_shape shape);

/* Whether the numbers of an input are finite and within the limits above. The functions below need it. */
bool mw_risk_sound(const mw_risk_input *input);

/* The mean and the standard deviation. Source: Johnson, Kotz and Balakrishnan, Continuous univariate distributions,
 * 1995 (triangular, beta, lognormal); Malcolm, Roseboom, Clark and Fazar, Operations Research 7, 1959 (the weights of
 * three points). */
double mw_risk_mean(const mw_risk_input *input);
double mw_risk_deviation(const mw_risk_input *input);

/* The probability of a value of at most `value`. */
double mw_risk_share(const mw_risk_input *input, double value);

/* The value at a share: the inverse of the above; relative error of the shape below 1e-12. A chance happens at shares below its
 * probability. Source: Wichura, Algorithm AS 241, Applied Statistics 37, 1988 (normal). */
double mw_risk_value(const mw_risk_input *input, double share);

/* The share and value of the standard normal distribution. */
double mw_risk_normal_share(double value);
double mw_risk_normal_value(double share);

/* An input made ready to be drawn many times. Several threads may draw from one. */
typedef struct mw_risk_drawer mw_risk_drawer;

/* Returns a drawer of a sound input, or NULL when there is no memory. Free with mw_risk_drawer_free(). */
mw_risk_drawer *mw_risk_drawer_new(const mw_risk_input *input) MW_MUST_USE;
void mw_risk_drawer_free(mw_risk_drawer *drawer);

/* Turns `count` shares into values; `values` may be `shares` itself. Values of MW_RISK_PERT between the shares 1/64 and
 * 63/64 come from a table: within 1e-7 of the range. The bits do not depend on how many are drawn at a time. */
void mw_risk_draw(const mw_risk_drawer *drawer, const double *shares, double *values,
                  uint32_t count);

#ifdef __cplusplus
}
#endif

#endif
