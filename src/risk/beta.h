/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The beta distribution on 0 to 1. */
#ifndef MW_RISK_BETA_H
#define MW_RISK_BETA_H

typedef struct risk_beta {
    double alpha, beta; /* each >= 1 */
    double log_scale;   /* ln of the complete beta function */
} risk_beta;

risk_beta risk_beta_of(double alpha, double beta);
/* The probability of at most x. Source: Abramowitz and Stegun, 26.5.8, by the method of Lentz. */
double risk_beta_share(const risk_beta *of, double x);
double risk_beta_density(const risk_beta *of, double x);
/* The x of a share, by Newton steps kept inside an interval that halves. */
double risk_beta_value(const risk_beta *of, double share);

#endif
