/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The incomplete beta function and its inverse. */
#include "beta.h"

#include <math.h>

#define TINY 1e-300

risk_beta risk_beta_of(double alpha, double beta)
{
    return (risk_beta){alpha, beta, lgamma(alpha) + lgamma(beta) - lgamma(alpha + beta)};
}

/* Even and odd terms of the continued fraction. */
static double term(double alpha, double beta, double x, int at)
{
    const int half = at / 2; /* whole */
    const double m = half;
    if (at % 2 == 0) {
        return m * (beta - m) * x / ((alpha + 2 * m - 1) * (alpha + 2 * m));
    }
    return -(alpha + m) * (alpha + beta + m) * x / ((alpha + 2 * m) * (alpha + 2 * m + 1));
}

static double keep_off_zero(double value)
{
    return fabs(value) < TINY ? TINY : value;
}

/* Lentz, Applied Optics 15, 1976, in the form of Thompson and Barnett. */
static double fraction(double alpha, double beta, double x)
{
    double product = 1.0;
    double over = 1.0;
    double under = 0.0;
    for (int at = 1; at < 1000; at++) {
        const double next = term(alpha, beta, x, at);
        under = 1.0 / keep_off_zero(1.0 + next * under);
        over = keep_off_zero(1.0 + next / over);
        const double step = over * under;
        product *= step;
        if (fabs(step - 1.0) < 1e-16) {
            break;
        }
    }
    return product;
}

double risk_beta_share(const risk_beta *of, double x)
{
    if (!(x > 0.0)) {
        return 0.0;
    }
    if (x >= 1.0) {
        return 1.0;
    }
    const double front = exp(of->alpha * log(x) + of->beta * log1p(-x) - of->log_scale);
    if (x < (of->alpha + 1.0) / (of->alpha + of->beta + 2.0)) {
        return front / (of->alpha * fraction(of->alpha, of->beta, x));
    }
    return 1.0 - front / (of->beta * fraction(of->beta, of->alpha, 1.0 - x));
}

double risk_beta_density(const risk_beta *of, double x)
{
    return exp((of->alpha - 1.0) * log(x) + (of->beta - 1.0) * log1p(-x) - of->log_scale);
}

double risk_beta_value(const risk_beta *of, double share)
{
    double low = 0.0;
    double high = 1.0;
    double x = of->alpha / (of->alpha + of->beta);
    for (int i = 0; i < 200 && high - low > 0.0; i++) {
        const double error = risk_beta_share(of, x) - share;
        if (error < 0.0) {
            low = x;
        } else {
            high = x;
        }
        double next = x - error / risk_beta_density(of, x);
        if (!(next > low && next < high)) {
            next = 0.5 * (low + high);
        }
        if (error == 0.0 || fabs(next - x) <= 1e-16 * x) {
            break;
        }
        x = next;
    }
    return x;
}
