/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quantiles, moments, odds, histogram and indices. */
#include "mouldwright/risk_figures.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "support.h"

#define SEED 20270111
#define PI   3.14159265358979323846

/* --- quantiles of 1 ... 10 at .1 .25 .5 .8 .9 .95: R 4.2.2, stats::quantile; Hyndman and Fan 1996 --- */

typedef struct quantile_row {
    const char *name;
    int definition;
    double want[6];
} quantile_row;

static const quantile_row quantile_rows[] = {
    {"1", 1, {1, 3, 5, 8, 9, 10}},
    {"2", 2, {1.5, 3, 5.5, 8.5, 9.5, 10}},
    {"3", 3, {1, 2, 5, 8, 9, 10}},
    {"4", 4, {1, 2.5, 5, 8, 9, 9.5}},
    {"5", 5, {1.5, 3, 5.5, 8.5, 9.5, 10}},
    {"6", 6, {1.1, 2.75, 5.5, 8.8, 9.9, 10}},
    {"7", 7, {1.9, 3.25, 5.5, 8.2, 9.1, 9.55}},
    {"8", 8, {1.366667, 2.916667, 5.5, 8.6, 9.633333, 10}},
    {"9", 9, {1.4, 2.9375, 5.5, 8.575, 9.6, 10}},
};

static const double to_ten[] = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10};

static void quantiles(void **state)
{
    static const double shares[] = {0.1, 0.25, 0.5, 0.8, 0.9, 0.95};
    const quantile_row *row = *state;
    for (int i = 0; i < 6; i++) {
        assert_close(mw_risk_quantile(to_ten, 10, shares[i], row->definition), row->want[i], 1e-6);
    }
}

/* All definitions at fifteen shares, read from the folder of checks. */
static void quantiles_of_the_file(void **state)
{
    (void)state;
    const char *folder = getenv("MOULDWRIGHT_CHECKS");
    char path[512];
    snprintf(path, sizeof path, "%s/data/statistics/quantile_types_R422.csv",
             folder ? folder : "../shared/checks");
    FILE *file = fopen(path, "r");
    if (!file) {
        printf("# SKIP quantiles_of_the_file: MOULDWRIGHT_CHECKS is not there\n");
        skip();
    }
    char line[256];
    int compared = 0;
    while (fgets(line, sizeof line, file)) {
        char set[32];
        int definition;
        double share;
        double want;
        if (sscanf(line, "%31[^,],%d,%lf,%lf", set, &definition, &share, &want) == 4 &&
            strcmp(set, "seq1to10") == 0) {
            assert_close(mw_risk_quantile(to_ten, 10, share, definition), want, 1e-12);
            compared++;
        }
    }
    fclose(file);
    assert_int_equal(compared, 135);
}

static void quantile_of_one(void **state)
{
    (void)state;
    const double one[] = {4.5};
    for (int definition = 1; definition <= 9; definition++) {
        assert_close(mw_risk_quantile(one, 1, 0.8, definition), 4.5, 0.0);
    }
}

/* --- moments. Source: NIST Statistical Reference Datasets, univariate, certified values --- */

/* NumAcc4: 10000000.2, then .1 and .3 in turn. */
static void numbers_that_differ_little(void **state)
{
    (void)state;
    double values[1001] = {10000000.2};
    for (int i = 1; i <= 1000; i++) {
        values[i] = i % 2 == 1 ? 10000000.1 : 10000000.3;
    }
    const mw_risk_moments found = mw_risk_moments_of(values, 1001);
    assert_near(found.mean, 10000000.2, 1e-15);
    assert_near(found.deviation, 0.1, 2e-8); /* what doubles of this size can hold */
    assert_close(found.low, 10000000.1, 0.0);
    assert_close(found.high, 10000000.3, 0.0);
}

/* NumAcc1: 10000001, 10000003, 10000002. */
static void three_large_numbers(void **state)
{
    (void)state;
    const double values[] = {10000001, 10000003, 10000002};
    const mw_risk_moments found = mw_risk_moments_of(values, 3);
    assert_near(found.mean, 10000002, 0);
    assert_near(found.deviation, 1, 0);
}

/* --- samples --- */

static void a_sample_without_some_values(void **state)
{
    (void)state;
    enum { COUNT = 3000 }; /* not a whole number of tiles */
    double results[COUNT];
    for (int i = 0; i < COUNT; i++) {
        results[i] = i % 10 == 0 ? (double)NAN : (double)(i * 7919 % COUNT);
    }
    mw_risk_sample *sample = mw_risk_sample_new(results, COUNT);
    assert_non_null(sample);
    assert_int_equal(mw_risk_sample_count(sample), COUNT - COUNT / 10);
    const double *sorted = mw_risk_sample_sorted(sample);
    for (size_t i = 1; i < mw_risk_sample_count(sample); i++) {
        assert_true(sorted[i - 1] <= sorted[i]);
    }
    const mw_risk_figure odds = mw_risk_sample_odds(sample, 1499.5);
    assert_close(odds.value, 0.5, 0.01);
    assert_true(odds.error > 0.0 && odds.error < 0.05);
    assert_close(mw_risk_sample_odds(sample, -1).value, 0.0, 0.0);
    assert_close(mw_risk_sample_odds(sample, 1e9).value, 1.0, 0.0);
    mw_risk_sample_free(sample);
}

static void a_sample_of_nothing(void **state)
{
    (void)state;
    const double results[] = {(double)NAN, (double)NAN};
    mw_risk_sample *sample = mw_risk_sample_new(results, 2);
    assert_int_equal(mw_risk_sample_count(sample), 0);
    assert_true(isnan(mw_risk_sample_mean(sample).value));
    assert_true(isnan(mw_risk_sample_mean(sample).error));
    assert_true(isnan(mw_risk_sample_moments(sample).mean));
    mw_risk_sample_free(sample);
}

static void histogram(void **state)
{
    (void)state;
    uint32_t counts[3];
    mw_risk_histogram(to_ten, 10, &(mw_risk_bins){1, 10, counts, 3});
    assert_int_equal(counts[0], 3);
    assert_int_equal(counts[1], 3);
    assert_int_equal(counts[2], 4);
    mw_risk_histogram(to_ten, 10, &(mw_risk_bins){2, 4, counts, 2});
    assert_int_equal(counts[0] + counts[1], 3);
    const double same[] = {5, 5, 5};
    mw_risk_histogram(same, 3, &(mw_risk_bins){5, 5, counts, 3});
    assert_int_equal(counts[0], 3);
}

/* --- indices --- */

typedef double model(const double *x);

/* Ishigami and Homma 1990, a = 7, b = 0.1; inputs from -pi to pi. */
static double ishigami(const double *x)
{
    const double a = (2 * x[0] - 1) * PI;
    const double b = (2 * x[1] - 1) * PI;
    const double c = (2 * x[2] - 1) * PI;
    return sin(a) + 7 * sin(b) * sin(b) + 0.1 * c * c * c * c * sin(a);
}

/* Sobol's g-function, a = 0 1 4.5 9 99 99 99 99. */
static double g_function(const double *x)
{
    static const double a[] = {0, 1, 4.5, 9, 99, 99, 99, 99};
    double product = 1.0;
    for (int i = 0; i < 8; i++) {
        product *= (fabs(4 * x[i] - 2) + a[i]) / (1 + a[i]);
    }
    return product;
}

static double linear(const double *x)
{
    return x[0] + 2 * x[1] + 3 * x[2];
}

static double constant(const double *x)
{
    (void)x;
    return 3.0;
}

typedef struct index_row {
    const char *name;
    model *of;
    uint32_t inputs;
    double first[8], total[8];
    double within;
    const char *source;
} index_row;

#define SALTELLI "Saltelli et al., Global Sensitivity Analysis, 2008, chapter 4, exercise 5"
static const index_row index_rows[] = {
    {"Ishigami",
     ishigami,
     3,
     {0.313905191148, 0.442411144790, 0},
     {0.557588855210, 0.442411144790, 0.243683664062},
     1e-2,
     SALTELLI},
    {"g-function",
     g_function,
     8,
     {0.716192, 0.179048, 0.023676, 0.007162, 7.2e-5, 7.2e-5, 7.2e-5, 7.2e-5},
     {0.787144, 0.242198, 0.034317, 0.010460, 0.000105, 0.000105, 0.000105, 0.000105},
     1e-2,
     "closed form, V_i = 1 / (3 (1 + a_i)^2)"},
    {"linear",
     linear,
     3,
     {1 / 14.0, 4 / 14.0, 9 / 14.0},
     {1 / 14.0, 4 / 14.0, 9 / 14.0},
     2e-3,
     "decomposition of variance"},
    {"constant", constant, 2, {0, 0}, {0, 0}, 0, "nothing varies"},
};

static void indices(void **state)
{
    const index_row *row = *state;
    enum { SAMPLES = 4096, MOST = 8 };
    static double a[SAMPLES], b[SAMPLES], mixed[MOST][SAMPLES];
    const uint32_t n = row->inputs;
    mw_risk_sampler *sampler = mw_risk_sampler_new(2 * n, SEED);
    for (size_t tile = 0; tile < SAMPLES / MW_RISK_TILE; tile++) {
        double shares[2 * MOST][MW_RISK_TILE];
        for (uint32_t d = 0; d < 2 * n; d++) {
            mw_risk_shares(sampler, d, tile, shares[d]);
        }
        for (size_t i = 0; i < MW_RISK_TILE; i++) {
            double xa[MOST];
            double xb[MOST];
            for (uint32_t d = 0; d < n; d++) {
                xa[d] = shares[d][i];
                xb[d] = shares[n + d][i];
            }
            const size_t at = tile * MW_RISK_TILE + i;
            a[at] = row->of(xa);
            b[at] = row->of(xb);
            for (uint32_t d = 0; d < n; d++) {
                const double own = xa[d];
                xa[d] = xb[d];
                mixed[d][at] = row->of(xa);
                xa[d] = own;
            }
        }
    }
    for (uint32_t d = 0; d < n; d++) {
        const mw_risk_index found = mw_risk_index_of(a, b, mixed[d], SAMPLES);
        assert_close(found.first.value, row->first[d], row->within);
        assert_close(found.total.value, row->total[d], row->within);
        assert_close(found.first.value, row->first[d], 6 * found.first.error);
        assert_close(found.total.value, row->total[d], 6 * found.total.error);
    }
    mw_risk_sampler_free(sampler);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "quantile definition", quantile_rows, quantiles);
    test_add(&list, quantiles_of_the_file);
    test_add(&list, quantile_of_one);
    test_add(&list, numbers_that_differ_little);
    test_add(&list, three_large_numbers);
    test_add(&list, a_sample_without_some_values);
    test_add(&list, a_sample_of_nothing);
    test_add(&list, histogram);
    test_add_rows(&list, "indices", index_rows, indices);
    return test_run(&list, "risk figures");
}
