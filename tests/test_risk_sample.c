/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sampler: the published sequence, how evenly inputs are spread, what runs over it come to, and bonds. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "mouldwright/risk_figures.h"
#include "support.h"

#define SEED 20270111

/* --- the sequence --- */

/* Source: Joe and Kuo, as quoted in the tests of SciPy (test_qmc.py, TestSobol). */
static void first_points(void **state)
{
    (void)state;
    static const double want[8][2] = {{0, 0},       {.5, .5},     {.75, .25},   {.25, .75},
                                      {.375, .375}, {.875, .875}, {.625, .125}, {.125, .625}};
    mw_risk_sampler *sampler = mw_risk_sampler_plain(2);
    double shares[MW_RISK_TILE];
    for (uint32_t d = 0; d < 2; d++) {
        mw_risk_shares(sampler, d, 0, shares);
        for (int i = 0; i < 8; i++) {
            assert_true(shares[i] == want[i][d]);
        }
    }
    mw_risk_sampler_free(sampler);
}

/* 32 points in ten dimensions: Joe and Kuo's sequence by SciPy 1.10.1, read from the folder of checks. */
static void published_points(void **state)
{
    (void)state;
    const char *folder = getenv("MOULDWRIGHT_CHECKS");
    char path[512];
    snprintf(path, sizeof path, "%s/data/sobol/sobol_unscrambled_10d_first32.csv",
             folder ? folder : "../shared/checks");
    FILE *file = fopen(path, "r");
    if (!file) {
        printf("# SKIP published_points: MOULDWRIGHT_CHECKS is not there\n");
        skip();
    }
    mw_risk_sampler *sampler = mw_risk_sampler_plain(10);
    double shares[10][MW_RISK_TILE];
    for (uint32_t d = 0; d < 10; d++) {
        mw_risk_shares(sampler, d, 0, shares[d]);
    }
    char line[1024];
    int compared = 0;
    while (fgets(line, sizeof line, file)) {
        char *at = line;
        const long i = strtol(at, &at, 10);
        for (int d = 0; d < 10 && *at == ','; d++) {
            assert_true(strtod(at + 1, &at) == shares[d][i]);
            compared++;
        }
    }
    fclose(file);
    assert_int_equal(compared, 320);
    mw_risk_sampler_free(sampler);
}

typedef struct integral_row {
    const char *name;
    uint32_t tiles;
    double value;
} integral_row;

/* The product of |4 x - 2| over five dimensions: SciPy 1.10.1, qmc.Sobol without scrambling. */
static const integral_row integral_rows[] = {
    {"2^8 points", 4, 1.030776977539},
    {"2^12 points", 64, 1.003185590263},
    {"2^16 points", 1024, 1.000488557205},
};

static void integral(void **state)
{
    const integral_row *row = *state;
    mw_risk_sampler *sampler = mw_risk_sampler_plain(5);
    double sum = 0.0;
    for (uint32_t tile = 0; tile < row->tiles; tile++) {
        double shares[5][MW_RISK_TILE];
        for (uint32_t d = 0; d < 5; d++) {
            mw_risk_shares(sampler, d, tile, shares[d]);
        }
        for (int i = 0; i < MW_RISK_TILE; i++) {
            double product = 1.0;
            for (int d = 0; d < 5; d++) {
                product *= fabs(4.0 * shares[d][i] - 2.0);
            }
            sum += product;
        }
    }
    assert_close(sum / (row->tiles * (double)MW_RISK_TILE), row->value, 1e-11);
    mw_risk_sampler_free(sampler);
}

/* --- randomized --- */

/* 2^k points of one input lie one in each of 2^k equal parts, beyond the table too. */
static void evenly_spread(void **state)
{
    (void)state;
    enum { BLOCKS = 4 };
    mw_risk_sampler *sampler = mw_risk_sampler_new(100, SEED);
    for (uint32_t d = 0; d < 100; d++) {
        for (uint64_t first = 0; first < 64 * BLOCKS; first += 16 * BLOCKS) {
            bool seen[BLOCKS * MW_RISK_TILE] = {false};
            for (uint64_t block = 0; block < BLOCKS; block++) {
                double shares[MW_RISK_TILE];
                mw_risk_shares(sampler, d, first + block, shares);
                for (int i = 0; i < MW_RISK_TILE; i++) {
                    assert_true(shares[i] > 0.0 && shares[i] < 1.0);
                    bool *part = &seen[(size_t)(shares[i] * BLOCKS * MW_RISK_TILE)];
                    assert_false(*part);
                    *part = true;
                }
            }
        }
    }
    mw_risk_sampler_free(sampler);
}

static void fill_inputs(mw_risk_sampler *sampler, uint32_t inputs, size_t samples, double *shares)
{
    for (size_t tile = 0; tile < samples / MW_RISK_TILE; tile++) {
        for (uint32_t d = 0; d < inputs; d++) {
            mw_risk_shares(sampler, d, tile, shares + d * samples + tile * MW_RISK_TILE);
        }
    }
}

static double correlation_of(const double *a, const double *b, size_t count)
{
    const mw_risk_moments ma = mw_risk_moments_of(a, count);
    const mw_risk_moments mb = mw_risk_moments_of(b, count);
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        sum += (a[i] - ma.mean) * (b[i] - mb.mean);
    }
    return sum / (double)(count - 1) / (ma.deviation * mb.deviation);
}

/* No two inputs go together, those that share a row of the table included: 4096 samples, 5 standard errors of chance. */
static void inputs_are_independent(void **state)
{
    (void)state;
    enum { INPUTS = 90, SAMPLES = 4096 };
    double *shares = malloc((size_t)INPUTS * SAMPLES * sizeof *shares);
    mw_risk_sampler *sampler = mw_risk_sampler_new(INPUTS, SEED);
    fill_inputs(sampler, INPUTS, SAMPLES, shares);
    for (size_t a = 0; a < INPUTS; a++) {
        for (size_t b = 0; b < a; b++) {
            const double r = correlation_of(shares + a * SAMPLES, shares + b * SAMPLES, SAMPLES);
            assert_close(r, 0.0, 5.0 / 64.0);
        }
    }
    mw_risk_sampler_free(sampler);
    free(shares);
}

static void seeds_differ_and_repeat(void **state)
{
    (void)state;
    double first[MW_RISK_TILE];
    double again[MW_RISK_TILE];
    double other[MW_RISK_TILE];
    mw_risk_sampler *a = mw_risk_sampler_new(3, 1);
    mw_risk_sampler *b = mw_risk_sampler_new(50, 1);
    mw_risk_sampler *c = mw_risk_sampler_new(3, 2);
    mw_risk_shares(a, 2, 7, first);
    mw_risk_shares(b, 2, 7, again); /* the number of inputs does not matter */
    mw_risk_shares(c, 2, 7, other);
    assert_memory_equal(first, again, sizeof first);
    assert_memory_not_equal(first, other, sizeof first);
    mw_risk_sampler_free(a);
    mw_risk_sampler_free(b);
    mw_risk_sampler_free(c);
}

/* --- runs: the latest of independent durations --- */

typedef struct latest_row {
    const char *name;
    mw_risk_input input;
    uint32_t count;
    double mean, deviation; /* deviation 0: not given */
    const char *source;
} latest_row;

#define D2    "control-chart table d2: ASTM MNL 7; Joglekar 2003, appendix G"
#define EXACT "exact integral of 1 - F^n"
static const latest_row latest_rows[] = {
    {"2 normal", {MW_RISK_NORMAL, {0, 1, 0}}, 2, 0.564189583548, 0.825645271177, D2},
    {"3 normal", {MW_RISK_NORMAL, {0, 1, 0}}, 3, 0.846284375322, 0.747975403203, D2},
    {"4 normal", {MW_RISK_NORMAL, {0, 1, 0}}, 4, 1.029375373004, 0.701224098898, D2},
    {"5 normal", {MW_RISK_NORMAL, {0, 1, 0}}, 5, 1.162964473641, 0.669, D2},
    {"10 normal", {MW_RISK_NORMAL, {0, 1, 0}}, 10, 1.538752730835, 0.586808165639, D2},
    {"1 triangle", {MW_RISK_TRIANGULAR, {0, 1, 2}}, 1, 1.0, 0, EXACT},
    {"3 triangles", {MW_RISK_TRIANGULAR, {0, 1, 2}}, 3, 1.35, 0, EXACT},
    {"4 triangles", {MW_RISK_TRIANGULAR, {0, 1, 2}}, 4, 1.424206349, 0, EXACT},
    {"1 skew triangle", {MW_RISK_TRIANGULAR, {8, 10, 15}}, 1, 11.0, 0, EXACT},
};

static void latest(void **state)
{
    const latest_row *row = *state;
    enum { SAMPLES = 65536 };
    double *shares = malloc((size_t)row->count * SAMPLES * sizeof *shares);
    mw_risk_sampler *sampler = mw_risk_sampler_new(row->count, SEED);
    mw_risk_drawer *drawer = mw_risk_drawer_new(&row->input);
    fill_inputs(sampler, row->count, SAMPLES, shares);
    mw_risk_draw(drawer, shares, shares, row->count * SAMPLES);
    for (uint32_t d = 1; d < row->count; d++) {
        for (size_t i = 0; i < SAMPLES; i++) {
            shares[i] = fmax(shares[i], shares[d * SAMPLES + i]);
        }
    }
    mw_risk_sample *sample = mw_risk_sample_new(shares, SAMPLES);
    const mw_risk_figure mean = mw_risk_sample_mean(sample);
    const double deviation = mw_risk_sample_moments(sample).deviation;
    /* at least as good as plain chance, and the error that is told covers the true one */
    assert_close(mean.value, row->mean, 4.0 * deviation / sqrt(SAMPLES));
    assert_close(mean.value, row->mean, fmax(5.0 * mean.error, 1e-9));
    assert_true(mean.error < deviation / sqrt(SAMPLES));
    if (row->deviation > 0.0) {
        assert_near(deviation, row->deviation, 5e-3);
    }
    mw_risk_sample_free(sample);
    mw_risk_drawer_free(drawer);
    mw_risk_sampler_free(sampler);
    free(shares);
}

/* --- sums. Source: JCGM 101:2008 (GUM Supplement 1), 9.2; values derived, the printed ones from memory --- */

typedef struct sum_row {
    const char *name;
    mw_risk_input inputs[4];
    double deviation, half_width, within; /* half_width: of the middle 95 % */
} sum_row;

#define BOX(r)                                                 \
    {                                                          \
        MW_RISK_UNIFORM,                                       \
        {                                                      \
            -(r)*1.7320508075688772, (r)*1.7320508075688772, 0 \
        }                                                      \
    }
#define BELL            \
    {                   \
        MW_RISK_NORMAL, \
        {               \
            0, 1, 0     \
        }               \
    }
static const sum_row sum_rows[] = {
    {"four normal", {BELL, BELL, BELL, BELL}, 2.0, 3.919927969, 0.01},
    {"three uniform and a wide one",
     {BOX(1), BOX(1), BOX(1), BOX(10)},
     10.148891565,
     17.0158,
     0.05},
};

static void sum_of_four(void **state)
{
    const sum_row *row = *state;
    enum { SAMPLES = 262144 };
    double *sums = calloc(SAMPLES, sizeof *sums);
    mw_risk_sampler *sampler = mw_risk_sampler_new(4, SEED);
    for (uint32_t d = 0; d < 4; d++) {
        mw_risk_drawer *drawer = mw_risk_drawer_new(&row->inputs[d]);
        for (size_t tile = 0; tile < SAMPLES / MW_RISK_TILE; tile++) {
            double values[MW_RISK_TILE];
            mw_risk_shares(sampler, d, tile, values);
            mw_risk_draw(drawer, values, values, MW_RISK_TILE);
            for (int i = 0; i < MW_RISK_TILE; i++) {
                sums[tile * MW_RISK_TILE + (size_t)i] += values[i];
            }
        }
        mw_risk_drawer_free(drawer);
    }
    mw_risk_sample *sample = mw_risk_sample_new(sums, SAMPLES);
    assert_close(mw_risk_sample_moments(sample).deviation, row->deviation, row->within);
    assert_close(mw_risk_sample_quantile(sample, 0.975).value, row->half_width, row->within);
    assert_close(mw_risk_sample_quantile(sample, 0.025).value, -row->half_width, row->within);
    mw_risk_sample_free(sample);
    mw_risk_sampler_free(sampler);
    free(sums);
}

/* --- bonds --- */

/* The rank correlation that was asked for comes out, and each input keeps its own shape. */
static void bonds_come_out(void **state)
{
    (void)state;
    enum { INPUTS = 4, SAMPLES = 16384 };
    static double shares[INPUTS * SAMPLES];
    const mw_risk_bond list[] = {{0, 2, 0.6}, {2, 3, -0.5}, {0, 3, -0.2}};
    mw_risk_bonds *bonds = NULL;
    assert_int_equal(mw_risk_bonds_new(INPUTS, list, 3, &bonds), MW_OK);
    mw_risk_sampler *sampler = mw_risk_sampler_new(INPUTS, SEED);
    fill_inputs(sampler, INPUTS, SAMPLES, shares);
    for (size_t i = 0; i < SAMPLES; i++) {
        double one[INPUTS];
        for (size_t d = 0; d < INPUTS; d++) {
            one[d] = shares[d * SAMPLES + i];
        }
        const double free_one = one[1];
        mw_risk_bond_shares(bonds, one);
        assert_true(one[1] == free_one);
        for (size_t d = 0; d < INPUTS; d++) {
            shares[d * SAMPLES + i] = one[d];
        }
    }
    /* shares are ranks already */
    assert_close(correlation_of(shares, shares + 2 * SAMPLES, SAMPLES), 0.6, 0.01);
    assert_close(correlation_of(shares + 2 * SAMPLES, shares + 3 * SAMPLES, SAMPLES), -0.5, 0.01);
    assert_close(correlation_of(shares, shares + 3 * SAMPLES, SAMPLES), -0.2, 0.01);
    assert_close(correlation_of(shares, shares + SAMPLES, SAMPLES), 0.0, 0.01);
    for (size_t d = 0; d < INPUTS; d++) {
        mw_risk_moments m = mw_risk_moments_of(shares + d * SAMPLES, SAMPLES);
        assert_close(m.mean, 0.5, 2e-3);
        assert_close(m.deviation, sqrt(1.0 / 12.0), 2e-3);
    }
    mw_risk_bonds_free(bonds);
    mw_risk_sampler_free(sampler);
}

static void bonds_that_contradict(void **state)
{
    (void)state;
    const mw_risk_bond list[] = {{0, 1, 0.9}, {1, 2, 0.9}, {0, 2, -0.9}};
    mw_risk_bonds *bonds = NULL;
    assert_int_equal(mw_risk_bonds_new(3, list, 3, &bonds), MW_FAILED);
    assert_null(bonds);
}

static support_outcome make_all(void *context)
{
    (void)context;
    const mw_risk_bond list[] = {{0, 1, 0.5}};
    mw_risk_bonds *bonds = NULL;
    mw_risk_sampler *sampler = mw_risk_sampler_new(2, SEED);
    const mw_status status = mw_risk_bonds_new(2, list, 1, &bonds);
    const double results[] = {1, 2, 3};
    mw_risk_sample *sample = mw_risk_sample_new(results, 3);
    const bool made = sampler != NULL && status == MW_OK && sample != NULL;
    mw_risk_sampler_free(sampler);
    mw_risk_bonds_free(bonds);
    mw_risk_sample_free(sample);
    return made ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void without_memory(void **state)
{
    (void)state;
    assert_int_equal(support_fail_each_allocation(make_all, NULL), 8);
}

int main(void)
{
    test_list list = {0};
    test_add(&list, first_points);
    test_add(&list, published_points);
    test_add_rows(&list, "integral", integral_rows, integral);
    test_add(&list, evenly_spread);
    test_add(&list, inputs_are_independent);
    test_add(&list, seeds_differ_and_repeat);
    test_add_rows(&list, "latest of", latest_rows, latest);
    test_add_rows(&list, "sum", sum_rows, sum_of_four);
    test_add(&list, bonds_come_out);
    test_add(&list, bonds_that_contradict);
    test_add(&list, without_memory);
    return test_run(&list, "risk sample");
}
