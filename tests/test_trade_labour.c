/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Labour by size against published laws and worked examples. */
#include "mouldwright/trade_labour.h"

#include <math.h>

#include "trade_rows.h"

#define INCH_M 0.0254
#define PI     3.14159265358979323846

#define MANUAL \
    "Northrop Corp., Advanced Composite Cost Estimating Manual, AFFDL-TR-76-87, volume I, 1976"
#define GUTOWSKI                                                                       \
    "Gutowski et al., Development of a theoretical cost model for advanced composite " \
    "fabrication, Composites Manufacturing 5(4), 1994: the law; its root by another program"
#define ILO "Kanawaty (ed.), Introduction to Work Study, ILO, 4th ed., 1992"

/* law, layers, area in2: h */
static mw_trade_status law_area_h(const double *in, double *out)
{
    double labour_s = (double)NAN;
    const mw_trade_status status =
        mw_trade_labour_law((mw_labour_law)in[0], in[1], in[2] * INCH_M * INCH_M, &labour_s);
    if (status == MW_TRADE_OK) {
        *out = labour_s / 3600;
    }
    return status;
}

/* law, strips, length in: h */
static mw_trade_status law_length_h(const double *in, double *out)
{
    double labour_s = (double)NAN;
    const mw_trade_status status =
        mw_trade_labour_law((mw_labour_law)in[0], in[1], in[2] * INCH_M, &labour_s);
    if (status == MW_TRADE_OK) {
        *out = labour_s / 3600;
    }
    return status;
}

/* steady / delay: labour / delay */
static mw_trade_status slow_start(const double *in, double *out)
{
    return mw_trade_labour_slow_start(in[0], 1, out);
}

static mw_trade_status hyperbola(const double *in, double *out)
{
    return mw_trade_labour_hyperbola(in[0], 1, out);
}

/* observed s, rating: s */
static mw_trade_status basic(const double *in, double *out)
{
    return mw_trade_basic_time(in[0], in[1], out);
}

/* basic s, allowance: s */
static mw_trade_status standard(const double *in, double *out)
{
    return mw_trade_standard_time(in[0], in[1], out);
}

/* Hours have nine decimals, so they agree to half of the last. Of MANUAL, those SECOND_HAND are from memory too, their constants seen in a second document. */
static const trade_row rows[] = {
    {"L1.1", law_area_h, {MW_LAW_CLOTH, 1, 100}, 0.063634523, 5e-10, 0, SECOND_HAND, MANUAL},
    {"L1.2", law_area_h, {MW_LAW_CLOTH, 1, 1000}, 0.108095158, 5e-10, 0, SECOND_HAND, MANUAL},
    {"L1.4", law_area_h, {MW_LAW_CLOTH, 8, 5000}, 1.330063581, 5e-10, 0, SECOND_HAND, MANUAL},
    {"L2.2", law_length_h, {MW_LAW_TAPE_3IN, 1, 36}, 0.077908457, 5e-10, 0, SECOND_HAND, MANUAL},
    {"L2.3", law_length_h, {MW_LAW_TAPE_3IN, 10, 36}, 0.329084565, 5e-10, 0, SECOND_HAND, MANUAL},
    {"L3.1", law_area_h, {MW_LAW_PATTERN, 1, 1000}, 0.021855653, 5e-10, 0, SECOND_HAND, MANUAL},
    {"L3.3", law_area_h, {MW_LAW_COMPACT, 1, 1000}, 0.040717533, 5e-10, 0, MEMORY, MANUAL},
    {"L3.4", law_area_h, {MW_LAW_CLEAN, 1, 1000}, 0.006, 5e-10, 0, MEMORY, MANUAL},
    /* another transcription has a tenth of it */
    {"L3.5", law_area_h, {MW_LAW_RELEASE, 1, 1000}, 0.009, 5e-10, 0, MEMORY, MANUAL},
    {"L3.6", law_length_h, {MW_LAW_TRIM, 1, 120}, 0.0132, 5e-10, 0, MEMORY, MANUAL},
    /* another transcription has the exponent 0.583 */
    {"L3.7", law_length_h, {MW_LAW_TAPE_12IN, 1, 100}, 0.120702809, 5e-10, 0, MEMORY, MANUAL},
    {"L4.1a", slow_start, {0.01}, 0.144834751067, 0, 1e-10, DERIVED, GUTOWSKI},
    {"L4.1b", hyperbola, {0.01}, 0.141774468788, 0, 1e-10, DERIVED, GUTOWSKI},
    {"L4.2b", hyperbola, {0.1}, 0.458257569496, 0, 1e-10, DERIVED, GUTOWSKI},
    {"L4.3a", slow_start, {1}, 1.84140566044, 0, 1e-10, DERIVED, GUTOWSKI},
    {"L4.3b", hyperbola, {1}, 1.73205080757, 0, 1e-10, DERIVED, GUTOWSKI},
    {"L4.4a", slow_start, {10}, 10.999983298, 0, 1e-10, DERIVED, GUTOWSKI},
    {"L4.5a", slow_start, {100}, 101.0, 0, 1e-10, DERIVED, GUTOWSKI},
    {"L4.5b", hyperbola, {100}, 100.995049384, 0, 1e-10, DERIVED, GUTOWSKI},
    {"L5.1", basic, {800, 1.10}, 880, 0, 1e-12, CONFIRMED, ILO},
    {"L5.2", standard, {880, 0.15}, 1012, 0, 1e-12, DERIVED, ILO},
};

static const trade_refusal refusals[] = {
    {"no such law", law_area_h, {MW_LAW_COUNT, 1, 100}, MW_TRADE_NO_SENSE},
    {"half a layer", law_area_h, {MW_LAW_CLOTH, 1.5, 100}, MW_TRADE_NO_SENSE},
    {"no layer", law_area_h, {MW_LAW_CLOTH, 0, 100}, MW_TRADE_NO_SENSE},
    {"no area", law_area_h, {MW_LAW_CLOTH, 1, 0}, MW_TRADE_NO_SENSE},
    {"a field", law_area_h, {MW_LAW_CLOTH, 1, 1.6e6}, MW_TRADE_OUT_OF_RANGE},
    {"layers of release", law_area_h, {MW_LAW_RELEASE, 2, 100}, MW_TRADE_OUT_OF_RANGE},
    {"negative work", slow_start, {-1}, MW_TRADE_NO_SENSE},
    {"infinite work", hyperbola, {(double)INFINITY}, MW_TRADE_NO_SENSE},
    {"rating of a sprint", basic, {800, 1.6}, MW_TRADE_OUT_OF_RANGE},
    {"no rating", basic, {800, 0}, MW_TRADE_NO_SENSE},
    {"more rest than work", standard, {880, 1.1}, MW_TRADE_OUT_OF_RANGE},
    {"negative allowance", standard, {880, -0.1}, MW_TRADE_NO_SENSE},
};

/* L4.6 (derived): the hyperbola is never above the root and at most 6.7092531 % below it, within
 * 1e-6. That value belongs to 0.4467; the maximum itself, 6.70934 %, stands at 0.4507. */
static void hyperbola_stays_near_the_root(void **state)
{
    (void)state;
    double worst = 0;
    double worst_at = 0;
    double at_row[2] = {(double)NAN, (double)NAN};
    assert_int_equal(mw_trade_labour_slow_start(0.4467, 1, &at_row[0]), MW_TRADE_OK);
    assert_int_equal(mw_trade_labour_hyperbola(0.4467, 1, &at_row[1]), MW_TRADE_OK);
    assert_close(1 - at_row[1] / at_row[0], 0.067092531, 1e-8);
    for (double work = 1e-4; work < 1e4; work *= 1.0005) {
        double exact = (double)NAN;
        double near_it = (double)NAN;
        assert_int_equal(mw_trade_labour_slow_start(work, 1, &exact), MW_TRADE_OK);
        assert_int_equal(mw_trade_labour_hyperbola(work, 1, &near_it), MW_TRADE_OK);
        assert_true(near_it <= exact * (1 + 1e-14));
        if (1 - near_it / exact > worst) {
            worst = 1 - near_it / exact;
            worst_at = work;
        }
    }
    assert_close(worst, 0.067092531, 1e-6);
    assert_close(worst_at, 0.4507, 0.001);
}

/* L4.7 (derived): little work takes sqrt(2 tau x / v0), much takes x / v0 + tau; the exact time does
 * the work that was asked for. */
static void slow_start_has_its_limits(void **state)
{
    (void)state;
    double out = (double)NAN;
    assert_int_equal(mw_trade_labour_slow_start(1e-12, 1, &out), MW_TRADE_OK);
    assert_near(out, sqrt(2e-12), 1e-6);
    assert_int_equal(mw_trade_labour_slow_start(1e6, 1, &out), MW_TRADE_OK);
    assert_near(out, 1e6 + 1, 1e-14);
    assert_int_equal(mw_trade_labour_slow_start(0, 1, &out), MW_TRADE_OK);
    assert_true(out == 0);
    for (double work = 0.003; work < 1000; work *= 1.7) {
        assert_int_equal(mw_trade_labour_slow_start(work, 1, &out), MW_TRADE_OK);
        assert_near(out + expm1(-out), work, 1e-10);
    }
}

static void rates_powers_and_shapes(void **state)
{
    (void)state;
    double out = (double)NAN;
    /* by hand */
    assert_int_equal(mw_trade_labour_rate(2700, 6.4, 1260, &out), MW_TRADE_OK);
    assert_near(out, 2700 + 8064, 1e-12);
    assert_int_equal(mw_trade_labour_power(1000, 8, 2.0 / 3, &out), MW_TRADE_OK);
    assert_near(out, 4000, 1e-12);
    assert_int_equal(mw_trade_labour_power(1000, 101, 0.5, &out), MW_TRADE_OUT_OF_RANGE);
    assert_int_equal(mw_trade_labour_power(1000, 2, 2.1, &out), MW_TRADE_OUT_OF_RANGE);
    assert_int_equal(mw_trade_labour_power(1000, 0, 1, &out), MW_TRADE_NO_SENSE);
    assert_int_equal(mw_trade_labour_rate(-1, 6.4, 1260, &out), MW_TRADE_NO_SENSE);
    const double classes[][2] = {{1, 1}, {2, 1.15}, {2.5, 1.225}, {3, 1.3}, {4, 1.6}, {5, 2}};
    for (size_t i = 0; i < sizeof classes / sizeof classes[0]; i++) {
        assert_int_equal(mw_trade_shape_factor(classes[i][0], &out), MW_TRADE_OK);
        assert_near(out, classes[i][1], 1e-14);
    }
    assert_int_equal(mw_trade_shape_factor(0.9, &out), MW_TRADE_OUT_OF_RANGE);
    assert_int_equal(mw_trade_shape_factor(5.1, &out), MW_TRADE_OUT_OF_RANGE);
    assert_int_equal(mw_trade_shape_factor((double)NAN, &out), MW_TRADE_NO_SENSE);
    assert_int_equal(mw_trade_bend_factor(PI, &out), MW_TRADE_OK);
    assert_near(out, 2, 1e-14);
    assert_int_equal(mw_trade_bend_factor(6.3, &out), MW_TRADE_OUT_OF_RANGE);
    assert_int_equal(mw_trade_bend_factor(-0.1, &out), MW_TRADE_NO_SENSE);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "published", rows, check_trade_row);
    test_add_rows(&tests, "refused", refusals, check_trade_refusal);
    test_add(&tests, hyperbola_stays_near_the_root);
    test_add(&tests, slow_start_has_its_limits);
    test_add(&tests, rates_powers_and_shapes);
    return test_run(&tests, "trade_labour");
}
