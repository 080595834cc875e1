/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shapes of chance against published and independently computed moments and quantiles. */
#include <math.h>

#include "mouldwright/risk.h"
#include "support.h"

#define BETA     "SciPy 1.10.1 stats.beta; qbeta of R 4.2.2 agrees"
#define NORMAL   "qnorm of R 4.2.2"
#define TAYLOR   "Taylor, Introduction to Management Science, chapter 8, example problem"
#define INTEGRAL "exact integral of 1 - F^n, by hand"
#define KOTZ     "Kotz and van Dorp, Beyond beta, 2004, section 1.1"
#define JOHNSON  "Johnson, Kotz and Balakrishnan, Continuous univariate distributions, 1995"

typedef struct value_row {
    const char *name;
    mw_risk_input input;
    double share, value, within;
    const char *source;
} value_row;

#define PERT(a, m, b) \
    {                 \
        MW_RISK_PERT, \
        {             \
            a, m, b   \
        }             \
    }
#define TRI(a, m, b)        \
    {                       \
        MW_RISK_TRIANGULAR, \
        {                   \
            a, m, b         \
        }                   \
    }
#define NOR(m, s)       \
    {                   \
        MW_RISK_NORMAL, \
        {               \
            m, s, 0     \
        }               \
    }

/* clang-format off */
static const value_row value_rows[] = {
    {"pert 5 8 17 P05", PERT(5, 8, 17), 0.05, 5.917284697, 1e-8, BETA},
    {"pert 5 8 17 P10", PERT(5, 8, 17), 0.10, 6.346819503, 1e-8, BETA},
    {"pert 5 8 17 P50", PERT(5, 8, 17), 0.50, 8.765722045, 1e-8, BETA},
    {"pert 5 8 17 P80", PERT(5, 8, 17), 0.80, 10.882308116, 1e-8, BETA},
    {"pert 5 8 17 P90", PERT(5, 8, 17), 0.90, 12.006684495, 1e-8, BETA},
    {"pert 5 8 17 P95", PERT(5, 8, 17), 0.95, 12.888899816, 1e-8, BETA},
    {"pert 2 5 14 P05", PERT(2, 5, 14), 0.05, 2.917284697, 1e-8, BETA},
    {"pert 2 5 14 P80", PERT(2, 5, 14), 0.80, 7.882308116, 1e-8, BETA},
    {"pert 10 12 20 P05", PERT(10, 12, 20), 0.05, 10.589773876, 1e-8, BETA},
    {"pert 10 12 20 P10", PERT(10, 12, 20), 0.10, 10.899021305, 1e-8, BETA},
    {"pert 10 12 20 P50", PERT(10, 12, 20), 0.50, 12.766722594, 1e-8, BETA},
    {"pert 10 12 20 P80", PERT(10, 12, 20), 0.80, 14.502586138, 1e-8, BETA},
    {"pert 10 12 20 P90", PERT(10, 12, 20), 0.90, 15.453340504, 1e-8, BETA},
    {"pert 10 12 20 P95", PERT(10, 12, 20), 0.95, 16.212767240, 1e-8, BETA},
    {"triangle 8 10 15 P80", TRI(8, 10, 15), 0.80, 12.354248689, 1e-8, INTEGRAL},
    {"triangle 8 10 15 at its likely value", TRI(8, 10, 15), 2.0 / 7.0, 10.0, 1e-12, INTEGRAL},
    {"triangle without a left side", TRI(0, 0, 2), 0.75, 1.0, 1e-14, KOTZ},
    {"triangle without a right side", TRI(0, 2, 2), 0.25, 1.0, 1e-14, KOTZ},
    {"triangle without width", TRI(3, 3, 3), 0.25, 3.0, 0, KOTZ},
    {"pert without width", PERT(3, 3, 3), 0.25, 3.0, 0, BETA},
    {"uniform", {MW_RISK_UNIFORM, {2, 6, 0}}, 0.25, 3.0, 0, JOHNSON},
    {"normal P80", NOR(0, 1), 0.8, 0.841621233572914, 1e-14, NORMAL},
    {"normal P90", NOR(0, 1), 0.9, 1.281551565544601, 1e-14, NORMAL},
    {"normal P95", NOR(0, 1), 0.95, 1.644853626951472, 1e-14, NORMAL},
    {"normal P97.5", NOR(0, 1), 0.975, 1.959963984540054, 1e-14, NORMAL},
    {"normal P99", NOR(0, 1), 0.99, 2.326347874040841, 1e-14, NORMAL},
    {"normal P05", NOR(10, 2), 0.05, 10 - 2 * 1.644853626951472, 1e-13, NORMAL},
    {"path of four, P96.32", NOR(24, 2.2360679774997896), 0.9632, 28, 5e-3, TAYLOR},
    {"lognormal P50", {MW_RISK_LOGNORMAL, {5, 2, 0}}, 0.5, 4.642383454, 1e-8, JOHNSON},
    {"chance that happens", {MW_RISK_CHANCE, {0.2, 8, 0}}, 0.19, 8, 0, JOHNSON},
    {"chance that does not", {MW_RISK_CHANCE, {0.2, 8, 0}}, 0.21, 0, 0, JOHNSON},
};

typedef struct moment_row {
    const char *name;
    mw_risk_input input;
    double mean, variance, within;
    const char *source;
} moment_row;

static const moment_row moment_rows[] = {
    {"pert 5 8 17", PERT(5, 8, 17), 9, 2.138089935299 * 2.138089935299, 1e-9, BETA},
    {"pert 2 5 14", PERT(2, 5, 14), 6, 2.138089935299 * 2.138089935299, 1e-9, BETA},
    {"pert 10 12 20", PERT(10, 12, 20), 13, 3, 1e-9, BETA},
    {"pert mean 7 10 13", PERT(7, 10, 13), 10, 36.0 / 28.0, 1e-12, TAYLOR ": the mean"},
    {"pert without width", PERT(3, 3, 3), 3, 0, 0, TAYLOR},
    {"triangle 0 1 2", TRI(0, 1, 2), 1, 1.0 / 6.0, 1e-12, KOTZ},
    {"triangle 8 10 15", TRI(8, 10, 15), 11, 39.0 / 18.0, 1e-12, KOTZ},
    {"uniform", {MW_RISK_UNIFORM, {0, 12, 0}}, 6, 12, 1e-12, JOHNSON},
    {"normal", NOR(4, 3), 4, 9, 1e-12, JOHNSON},
    {"lognormal", {MW_RISK_LOGNORMAL, {5, 2, 0}}, 5, 4, 1e-12, JOHNSON},
    {"chance", {MW_RISK_CHANCE, {0.25, 8, 0}}, 2, 12, 1e-12, JOHNSON},
};
/* clang-format on */

static void value_of_share(void **state)
{
    const value_row *row = *state;
    assert_true(mw_risk_sound(&row->input));
    assert_close(mw_risk_value(&row->input, row->share), row->value, row->within);
    if (row->within > 0.0 && row->within < 1e-3) {
        assert_close(mw_risk_share(&row->input, row->value), row->share, 1e-7);
    }
}

static void moments(void **state)
{
    const moment_row *row = *state;
    assert_near(mw_risk_mean(&row->input), row->mean, 1e-12);
    const double deviation = mw_risk_deviation(&row->input);
    assert_close(deviation * deviation, row->variance, row->within);
}

/* The mean is the integral of the value over the share: midpoints, and the ends by themselves. */
static void mean_is_the_integral(void **state)
{
    const moment_row *row = *state;
    enum { STEPS = 20000 };
    double sum = 0.0;
    for (int i = 0; i < STEPS; i++) {
        sum += mw_risk_value(&row->input, (i + 0.5) / STEPS);
    }
    assert_close(sum / STEPS, row->mean, 2e-3);
}

/* Drawing many gives what drawing one gives, whatever the number; a pert by its table nearly. */
static void drawn_alike(void **state)
{
    const moment_row *row = *state;
    enum { COUNT = 4099 };
    static double shares[COUNT];
    static double values[COUNT];
    for (int i = 0; i < COUNT; i++) {
        shares[i] = (i + 0.5) / COUNT;
    }
    mw_risk_drawer *drawer = mw_risk_drawer_new(&row->input);
    assert_non_null(drawer);
    mw_risk_draw(drawer, shares, values, COUNT);
    const double width = row->input.at[2] - row->input.at[0];
    const double within = row->input.shape == MW_RISK_PERT ? 1e-7 * width : 0.0;
    for (int i = 0; i < COUNT; i++) {
        assert_close(values[i], mw_risk_value(&row->input, shares[i]), within);
        double alone;
        mw_risk_draw(drawer, &shares[i], &alone, 1);
        assert_true(alone == values[i]);
    }
    mw_risk_drawer_free(drawer);
}

static void shares_go_there_and_back(void **state)
{
    const moment_row *row = *state;
    if (row->variance == 0.0 || row->input.shape == MW_RISK_CHANCE) {
        return;
    }
    for (int i = 1; i < 1000; i++) {
        const double share = i / 1000.0;
        assert_close(mw_risk_share(&row->input, mw_risk_value(&row->input, share)), share, 1e-12);
    }
    assert_close(mw_risk_share(&row->input, -1e9), 0.0, 0.0);
    assert_close(mw_risk_share(&row->input, 1e9), 1.0, 1e-12);
}

typedef struct unsound_row {
    const char *name;
    mw_risk_input input;
} unsound_row;

static const unsound_row unsound_rows[] = {
    {"triangle that falls", TRI(2, 1, 3)},
    {"pert that falls", PERT(1, 3, 2)},
    {"triangle of NaN", TRI(1, (double)NAN, 3)},
    {"uniform that falls", {MW_RISK_UNIFORM, {2, 1, 0}}},
    {"negative deviation", NOR(1, -1)},
    {"lognormal around 0", {MW_RISK_LOGNORMAL, {0, 1, 0}}},
    {"probability above 1", {MW_RISK_CHANCE, {1.5, 1, 0}}},
    {"negative probability", {MW_RISK_CHANCE, {-0.5, 1, 0}}},
    {"endless", {MW_RISK_UNIFORM, {0, (double)INFINITY, 0}}},
};

static void unsound(void **state)
{
    const unsound_row *row = *state;
    assert_false(mw_risk_sound(&row->input));
}

static support_outcome make_drawer(void *context)
{
    mw_risk_drawer *drawer = mw_risk_drawer_new(context);
    const bool made = drawer != NULL;
    mw_risk_drawer_free(drawer);
    return made ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void drawer_without_memory(void **state)
{
    (void)state;
    mw_risk_input input = PERT(1, 2, 4);
    assert_int_equal(support_fail_each_allocation(make_drawer, &input), 2);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "value", value_rows, value_of_share);
    test_add_rows(&list, "moments", moment_rows, moments);
    test_add_rows(&list, "integral", moment_rows, mean_is_the_integral);
    test_add_rows(&list, "drawn", moment_rows, drawn_alike);
    test_add_rows(&list, "there and back", moment_rows, shares_go_there_and_back);
    test_add_rows(&list, "unsound", unsound_rows, unsound);
    test_add(&list, drawer_without_memory);
    return test_run(&list, "risk shapes");
}
