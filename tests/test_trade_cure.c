/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cure by data sheet: times, energies, glass transition and gel point against published values. */
#include "mouldwright/trade_cure.h"

#include "trade_rows.h"

#define ZERO_C 273.15
#define GAS    8.31446261815324

/* from K, step K: kJ/mol */
static mw_trade_status doubling_kjmol(const double *in, double *out)
{
    double energy_jmol = (double)NAN;
    const mw_trade_status status = mw_trade_cure_energy_of_doubling(in[0], in[1], &energy_jmol);
    if (status == MW_TRADE_OK) {
        *out = energy_jmol / 1000;
    }
    return status;
}

/* kJ/mol, from degC, to degC */
static mw_trade_status speed(const double *in, double *out)
{
    return mw_trade_cure_speed(in[0] * 1000, in[1] + ZERO_C, in[2] + ZERO_C, out);
}

/* 1/s, kJ/mol, degC: ln of the factor */
static mw_trade_status factor_ln(const double *in, double *out)
{
    double factor = (double)NAN;
    const mw_trade_status status =
        mw_trade_cure_factor(in[0], in[1] * 1000, in[2] + ZERO_C, &factor);
    if (status == MW_TRADE_OK) {
        *out = log(factor);
    }
    return status;
}

/* the inverse of it: how the time changes */
static mw_trade_status time_factor(const double *in, double *out)
{
    double speeds = (double)NAN;
    const mw_trade_status status = speed(in, &speeds);
    if (status == MW_TRADE_OK) {
        *out = 1 / speeds;
    }
    return status;
}

/* Tg0 degC, Tg1 degC, lambda, degree: degC */
static mw_trade_status glass_c(const double *in, double *out)
{
    const mw_glass glass = {in[0] + ZERO_C, in[1] + ZERO_C, in[2]};
    double glass_k = (double)NAN;
    const mw_trade_status status = mw_trade_glass_transition(&glass, in[3], &glass_k);
    if (status == MW_TRADE_OK) {
        *out = glass_k - ZERO_C;
    }
    return status;
}

static mw_trade_status glass_degree(const double *in, double *out)
{
    const mw_glass glass = {in[0] + ZERO_C, in[1] + ZERO_C, in[2]};
    return mw_trade_glass_degree(&glass, in[3] + ZERO_C, out);
}

/* ratio, groups of the resin, of the hardener */
static mw_trade_status gel(const double *in, double *out)
{
    return mw_trade_gel_degree(in[0], in[1], in[2], out);
}

/* one point: degC, s, doubling K; at degC: s */
static mw_trade_status one_point(const double *in, double *out)
{
    const double at_k = in[0] + ZERO_C;
    const mw_cure_points points = {&at_k, &in[1], 1, in[2]};
    return mw_trade_cure_time(&points, in[3] + ZERO_C, out);
}

/* two points: degC, s, degC, s; at degC: s */
static mw_trade_status two_points(const double *in, double *out)
{
    const double at_k[] = {in[0] + ZERO_C, in[2] + ZERO_C};
    const double time_s[] = {in[1], in[3]};
    const mw_cure_points points = {at_k, time_s, 2, 0};
    return mw_trade_cure_time(&points, in[4] + ZERO_C, out);
}

#define DOUBLING  "rate doubled over 10 K: Ea = (T / 10 + 1) R T ln 2, open derivation"
#define ARRHENIUS "Arrhenius' law with the energy named"
#define GLASS \
    "DiBenedetto's equation; constants of an open model of a TGDDM/DDS resin (derived from both)"
#define FLORY "Flory, Principles of Polymer Chemistry, 1953; Stockmayer (from memory)"

/* clang-format off */
static const trade_row rows[] = {
    {"CUR-43", doubling_kjmol, {298.15, 10}, 52.95, 0.01, 0, CONFIRMED, DOUBLING},
    {"CUR-44", doubling_kjmol, {293.15, 10}, 51.22, 0.01, 0, DERIVED, DOUBLING},
    {"CUR-46", speed, {57.5, 20, 40}, 4.512, 0, 1e-3, DERIVED, ARRHENIUS},
    {"CUR-47", speed, {57.5, 20, 60}, 16.99, 0, 1e-3, DERIVED, ARRHENIUS},
    {"CUR-48", speed, {57.5, 25, 15}, 0.4471, 0, 1e-3, DERIVED, ARRHENIUS},
    {"CUR-54", glass_c, {-20, 220, 0.5, 0.0}, -20, 0.01, 0, DERIVED, GLASS},
    {"CUR-55", glass_c, {-20, 220, 0.5, 0.5}, 60, 0.01, 0, DERIVED, GLASS},
    {"CUR-56", glass_c, {-20, 220, 0.5, 0.8}, 140, 0.01, 0, DERIVED, GLASS},
    {"CUR-57", glass_c, {-20, 220, 0.5, 0.9}, 176.364, 0.01, 0, DERIVED, GLASS},
    {"CUR-58", glass_c, {-20, 220, 0.5, 1.0}, 220, 0.01, 0, DERIVED, GLASS},
    {"CUR-62", gel, {1, 2, 4}, 0.57735, 1e-5, 0, MEMORY, FLORY},
    {"CUR-63", gel, {1, 2, 6}, 0.44721, 1e-5, 0, MEMORY, FLORY},
    {"CUR-64", gel, {1, 2, 5}, 0.5, 1e-9, 0, MEMORY, FLORY},
    {"EXO-09", time_factor, {52.95, 20, 30}, 0.5, 0, 0.05, CONFIRMED,
     "user guidance of an epoxy supplier (brand withheld): pot life is halved for every 18 degF"},
    {"factor of CUR-30", factor_ln, {0.0009126, 104.6, 120}, 25, 1e-3, 0, SECOND_HAND,
     "Peyser and Bascom, J. Applied Polymer Science 21, 1977: 25 kcal/mol, ln A = 25; k at 120 degC derived"},
    /* by hand */
    {"half as long 10 K warmer", one_point, {20, 18000, 10, 30}, 9000, 0, 1e-12, DERIVED, "the rule"},
    {"twice as long 10 K colder", one_point, {20, 18000, 10, 10}, 36000, 0, 1e-12, DERIVED, "the rule"},
    {"at its own temperature", one_point, {23, 1234, 8, 23}, 1234, 0, 1e-12, DERIVED, "the rule"},
    {"first of two points", two_points, {15, 7200, 25, 3000, 15}, 7200, 0, 1e-9, DERIVED, "through both"},
    {"second of two points", two_points, {15, 7200, 25, 3000, 25}, 3000, 0, 1e-9, DERIVED, "through both"},
    /* exp(ln 3000 + ln 2.4 (1/293.15 - 1/298.15) / (1/288.15 - 1/298.15)) */
    {"between two points", two_points, {15, 7200, 25, 3000, 20}, 4613.01017, 0, 1e-8, DERIVED, ARRHENIUS},
    {"back from the glass transition", glass_degree, {-20, 220, 0.5, 140}, 0.8, 0, 1e-12, DERIVED, GLASS},
};

static const trade_refusal refusals[] = {
    {"absolute zero", doubling_kjmol, {0, 10}, MW_TRADE_NO_SENSE},
    {"steel mill", doubling_kjmol, {600, 10}, MW_TRADE_OUT_OF_RANGE},
    {"step of nothing", doubling_kjmol, {293, 0}, MW_TRADE_NO_SENSE},
    {"step of 41 K", doubling_kjmol, {293, 41}, MW_TRADE_OUT_OF_RANGE},
    {"negative energy", speed, {-1, 20, 30}, MW_TRADE_NO_SENSE},
    {"301 kJ/mol", speed, {301, 20, 30}, MW_TRADE_OUT_OF_RANGE},
    {"factor of a negative rate", factor_ln, {-1, 50, 20}, MW_TRADE_NO_SENSE},
    {"factor, 301 kJ/mol", factor_ln, {1, 301, 20}, MW_TRADE_OUT_OF_RANGE},
    {"factor below -50 degC", factor_ln, {1, 50, -51}, MW_TRADE_OUT_OF_RANGE},
    {"below -50 degC", speed, {57.5, 20, -51}, MW_TRADE_OUT_OF_RANGE},
    {"glass upside down", glass_c, {220, -20, 0.5, 0.5}, MW_TRADE_NO_SENSE},
    {"more than cured", glass_c, {-20, 220, 0.5, 1.01}, MW_TRADE_NO_SENSE},
    {"lambda of 0", glass_c, {-20, 220, 0, 0.5}, MW_TRADE_NO_SENSE},
    {"above full cure", glass_degree, {-20, 220, 0.5, 221}, MW_TRADE_OUT_OF_RANGE},
    {"below the mix", glass_degree, {-20, 220, 0.5, -21}, MW_TRADE_OUT_OF_RANGE},
    {"never gels", gel, {0.4, 2, 3}, MW_TRADE_OUT_OF_RANGE},
    {"one group", gel, {1, 1, 4}, MW_TRADE_OUT_OF_RANGE},
    {"ratio over 1", gel, {1.1, 2, 4}, MW_TRADE_NO_SENSE},
    {"doubling too far", one_point, {20, 100, 10, 61}, MW_TRADE_OUT_OF_RANGE},
    {"doubling of 1 K", one_point, {20, 100, 1, 21}, MW_TRADE_OUT_OF_RANGE},
    {"no doubling", one_point, {20, 100, 0, 21}, MW_TRADE_NO_SENSE},
    {"no time", one_point, {20, 0, 10, 21}, MW_TRADE_NO_SENSE},
    {"20.1 K beyond", two_points, {15, 7200, 25, 3000, 45.1}, MW_TRADE_OUT_OF_RANGE},
    {"20.1 K before", two_points, {15, 7200, 25, 3000, -5.1}, MW_TRADE_OUT_OF_RANGE},
    {"slower when warm", two_points, {15, 3000, 25, 7200, 20}, MW_TRADE_NO_SENSE},
    {"twice the same", two_points, {20, 3000, 20, 7200, 20}, MW_TRADE_NO_SENSE},
};
/* clang-format on */

/* Points that lie on a law of known energy give it back, however many; points that scatter give the
 * slope of least squares, worked out here by its sums. */
static void energies_come_back(void **state)
{
    (void)state;
    double at_k[6];
    double time_s[6];
    double out = (double)NAN;
    for (size_t i = 0; i < 6; i++) {
        at_k[i] = 285.3 + 7.1 * (double)i;
        time_s[i] = 2.385e-7 * exp(57.5e3 / (GAS * at_k[i]));
    }
    for (size_t count = 2; count <= 6; count++) {
        const mw_cure_points points = {at_k, time_s, count, 0};
        assert_int_equal(mw_trade_cure_energy(&points, &out), MW_TRADE_OK);
        assert_near(out, 57.5e3, 1e-9);
        assert_int_equal(mw_trade_cure_time(&points, 290, &out), MW_TRADE_OK);
        assert_near(out, 2.385e-7 * exp(57.5e3 / (GAS * 290)), 1e-9);
    }
    double mean_x = 0;
    double mean_y = 0;
    double over = 0;
    double under = 0;
    time_s[1] *= 1.21;
    time_s[4] *= 0.87;
    for (size_t i = 0; i < 6; i++) {
        mean_x += 1 / at_k[i] / 6;
        mean_y += log(time_s[i]) / 6;
    }
    for (size_t i = 0; i < 6; i++) {
        over += (1 / at_k[i] - mean_x) * (log(time_s[i]) - mean_y);
        under += (1 / at_k[i] - mean_x) * (1 / at_k[i] - mean_x);
    }
    const mw_cure_points points = {at_k, time_s, 6, 0};
    assert_int_equal(mw_trade_cure_energy(&points, &out), MW_TRADE_OK);
    assert_near(out, over / under * GAS, 1e-9);
    const mw_cure_points none = {at_k, time_s, 0, 10};
    assert_int_equal(mw_trade_cure_energy(&none, &out), MW_TRADE_NO_SENSE);
    assert_int_equal(mw_trade_cure_time(&none, 290, &out), MW_TRADE_NO_SENSE);
}

/* The peak of a first-order reaction heated at a constant rate stands where
 * E rate / (R Tp^2) = A exp(-E / R Tp) (Kissinger 1957): so rates that belong to peaks give E back, and
 * Ozawa's slope, with Doyle's approximation, does within 4 % (E / R Tp of 22) and 3 % (31 and more). */
static void peaks_give_their_energy(void **state)
{
    (void)state;
    const double energies[] = {63.6e3, 90e3, 120e3};
    const double within[] = {0.04, 0.03, 0.03};
    for (size_t e = 0; e < 3; e++) {
        double peak_k[5];
        double heating[5];
        double out = (double)NAN;
        for (size_t i = 0; i < 5; i++) {
            peak_k[i] = 330 + 9.7 * (double)i;
            heating[i] = 1e8 * exp(-energies[e] / (GAS * peak_k[i])) * GAS * peak_k[i] * peak_k[i] /
                         energies[e];
        }
        assert_int_equal(mw_trade_peak_energy(heating, peak_k, 5, &out), MW_TRADE_OK);
        assert_near(out, energies[e], 1e-9);
        assert_int_equal(mw_trade_peak_energy_ozawa(heating, peak_k, 5, &out), MW_TRADE_OK);
        assert_near(out, energies[e], within[e]);
    }
    const double peak_k[] = {400, 350};
    const double heating[] = {1, 2};
    double out = 7;
    assert_int_equal(mw_trade_peak_energy(heating, peak_k, 2, &out), MW_TRADE_NO_SENSE);
    assert_int_equal(mw_trade_peak_energy(heating, peak_k, 1, &out), MW_TRADE_NO_SENSE);
    assert_int_equal(mw_trade_peak_energy_ozawa(heating, peak_k, 2, &out), MW_TRADE_NO_SENSE);
    assert_true(out == 7);
}

/* Glass transition and degree undo each other, and one grows with the other. */
static void glass_and_degree_agree(void **state)
{
    (void)state;
    const mw_glass glass = {248, 361, 0.43};
    double before_k = 0;
    for (double degree = 0; degree <= 1; degree += 1.0 / 64) {
        double glass_k = (double)NAN;
        double back = (double)NAN;
        assert_int_equal(mw_trade_glass_transition(&glass, degree, &glass_k), MW_TRADE_OK);
        assert_true(glass_k > before_k);
        before_k = glass_k;
        assert_int_equal(mw_trade_glass_degree(&glass, fmin(glass_k, 361), &back), MW_TRADE_OK);
        assert_close(back, degree, 1e-12);
    }
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "published", rows, check_trade_row);
    test_add_rows(&tests, "refused", refusals, check_trade_refusal);
    test_add(&tests, energies_come_back);
    test_add(&tests, peaks_give_their_energy);
    test_add(&tests, glass_and_degree_agree);
    return test_run(&tests, "trade_cure");
}
