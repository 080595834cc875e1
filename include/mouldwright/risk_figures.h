/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures of a sample: quantiles, moments, odds, a histogram, with standard errors from parts; and what of the inputs
 * moves the result. Plain numbers. */
#ifndef MOULDWRIGHT_RISK_FIGURES_H
#define MOULDWRIGHT_RISK_FIGURES_H

#include <stddef.h>

#include "mouldwright/risk_sample.h"

#ifdef __cplusplus
extern "C" {
#endif

/* A run is divided into so many stretches, of which the errors are found. */
#define MW_RISK_PARTS 16

/* The definition of quantiles that risk uses, of those that are numbered 1 to 9. */
#define MW_RISK_QUANTILE 7

/* Sorts values in rising order. No NaN among them. */
void mw_risk_sort(double *values, size_t count);

/* The quantile of sorted values at `share` (0 to 1) by definition 1 to 9. count >= 1. Source: Hyndman and Fan, Sample
 * quantiles in statistical packages, American Statistician 50(4), 1996. */
double mw_risk_quantile(const double *sorted, size_t count, double share, int definition);

typedef struct mw_risk_moments {
    double mean, deviation; /* deviation: with count - 1 below; 0 for one value */
    double low, high;
} mw_risk_moments;
/* Of `count` >= 1 values, in two passes. */
mw_risk_moments mw_risk_moments_of(const double *values, size_t count);

/* A figure with its standard error; NaN: fewer than two parts have values. */
typedef struct mw_risk_figure {
    double value, error;
} mw_risk_figure;

/* Samples of a run, sorted as a whole and within each part of the run. */
typedef struct mw_risk_sample mw_risk_sample;

/* Takes the results of samples 0 ... count - 1 of a run in their order. Those that are NaN (no value in that sample) are
 * counted and left out. NULL when there is no memory. */
mw_risk_sample *mw_risk_sample_new(const double *results, size_t count) MW_MUST_USE;
void mw_risk_sample_free(mw_risk_sample *sample);
/* How many results are values, and the values in rising order; lent. */
size_t mw_risk_sample_count(const mw_risk_sample *sample);
const double *mw_risk_sample_sorted(const mw_risk_sample *sample);

/* Figures of the whole; the error is the deviation of the parts' own figures over the root of their number. Each part is
 * a net of points itself; what is uneven in one is made up for by others, so the true error is as large for results
 * that are rough in many inputs, and less for smooth ones. Source: Owen, Monte Carlo theory, methods and examples,
 * chapter 17. */
mw_risk_figure mw_risk_sample_quantile(const mw_risk_sample *sample, double share);
mw_risk_figure mw_risk_sample_mean(const mw_risk_sample *sample);
mw_risk_figure mw_risk_sample_odds(const mw_risk_sample *sample, double at_most);
mw_risk_moments mw_risk_sample_moments(const mw_risk_sample *sample);

/* Bins of equal width from `low` to `high`; the last holds `high` itself. */
typedef struct mw_risk_bins {
    double low, high;
    uint32_t *counts; /* the caller's, `count` of them */
    uint32_t count;
} mw_risk_bins;
/* Counts values into bins. What lies outside is not counted. */
void mw_risk_histogram(const double *values, size_t count, const mw_risk_bins *bins);

/* What part of the variance is due to one input: alone (first order), and with all it does together with others
 * (total). */
typedef struct mw_risk_index {
    mw_risk_figure first, total;
} mw_risk_index;

/* Results of the design of Saltelli: `a` and `b` of samples whose shares are those of inputs 0 ... n-1 and n ... 2n-1 of
 * a sampler, and `mixed` as `a` with one input's shares from `b`; `count` samples of a run each. All are numbers. Where
 * nothing varies both are 0. Source: Saltelli, Annoni and others, Comp. Phys. Comm. 181, 2010, table 2 (b) and (f);
 * Jansen, Comp. Phys. Comm. 117, 1999. */
mw_risk_index mw_risk_index_of(const double *a, const double *b, const double *mixed, size_t count);

#ifdef __cplusplus
}
#endif

#endif
