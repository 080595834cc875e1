/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Variance-based indices of one input. */
#include <math.h>

#include "mouldwright/risk_figures.h"

/* Sums over some of the samples. Results are taken from the mean of all: the estimate of the first order differs less
 * then. */
typedef struct sums {
    double n, first, total, plain, squares;
} sums;

static void add(sums *to, double a, double b, double mixed)
{
    to->n += 1.0;
    to->first += b * (mixed - a);               /* Saltelli 2010, table 2 (b) */
    to->total += (a - mixed) * (a - mixed) / 2; /* Jansen: table 2 (f) */
    to->plain += a + b;
    to->squares += a * a + b * b;
}

static double share_of(const sums *of, double part)
{
    const double mean = of->plain / (2.0 * of->n);
    const double variance = of->squares / (2.0 * of->n) - mean * mean;
    return variance > 0.0 ? part / of->n / variance : 0.0;
}

static double mean_of(const double *a, const double *b, size_t count)
{
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        sum += (a[i] - a[0]) + (b[i] - a[0]);
    }
    return a[0] + sum / (2.0 * (double)count);
}

static double error_of(const double *each, uint32_t count)
{
    return count > 1 ? mw_risk_moments_of(each, count).deviation / sqrt((double)count)
                     : (double)NAN;
}

mw_risk_index mw_risk_index_of(const double *a, const double *b, const double *mixed, size_t count)
{
    sums parts[MW_RISK_PARTS] = {{0}};
    sums all = {0};
    const double mean = count > 0 ? mean_of(a, b, count) : 0.0;
    for (size_t i = 0; i < count; i++) {
        const size_t part = i * MW_RISK_PARTS / count;
        add(&parts[part], a[i] - mean, b[i] - mean, mixed[i] - mean);
        add(&all, a[i] - mean, b[i] - mean, mixed[i] - mean);
    }
    double first[MW_RISK_PARTS];
    double total[MW_RISK_PARTS];
    uint32_t filled = 0;
    for (uint32_t i = 0; i < MW_RISK_PARTS; i++) {
        if (parts[i].n > 0.0) {
            first[filled] = share_of(&parts[i], parts[i].first);
            total[filled++] = share_of(&parts[i], parts[i].total);
        }
    }
    return (mw_risk_index){
        .first = {share_of(&all, all.first), error_of(first, filled)},
        .total = {share_of(&all, all.total), error_of(total, filled)},
    };
}
