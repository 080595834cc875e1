/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sag of panels, discs and beams, and growth by heat, against published tables. */
#include "mouldwright/trade_panel.h"

#include "trade_rows.h"

#define TIMOSHENKO \
    "S. Timoshenko and S. Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed. 1959,"
#define LEVY    "Levy's series, summed by an independent program"
#define ROARK   "Roark's Formulas for Stress and Strain, 7th ed., table 11.4, case 1a, p. 502"
#define BEAM    "beam theory: 5/384"
#define REDDY   "J. N. Reddy, Mechanics of Laminated Composite Plates and Shells, CLPT table, memory"
#define LENGTH  "growth = coefficient x length x rise; typical coefficients, from memory"
#define BIMETAL "S. Timoshenko, J. Optical Society of America 11 (1925) 233-255, from memory"

/* Side one, stiffness one, load one; as long as in[0]. */
static mw_panel even(double length)
{
    return (mw_panel){1, length, 1, 0.3, 1, 0.35};
}

static mw_trade_status supported(const double *in, double *out)
{
    const mw_panel panel = even(in[0]);
    return mw_trade_panel_supported(&panel, 1.0, out);
}

static mw_trade_status clamped(const double *in, double *out)
{
    const mw_panel panel = even(in[0]);
    return mw_trade_panel_clamped(&panel, 1.0, out);
}

/* y = alpha q b^4 / (E t^3) */
static mw_trade_status roark(const double *in, double *out)
{
    const mw_trade_status status = supported(in, out);
    *out *= 12 * (1 - 0.09);
    return status;
}

static mw_trade_status moment(const double *in, double *out)
{
    const mw_panel panel = even(in[0]);
    mw_panel_moments moments = {*out, *out};
    const mw_trade_status status = mw_trade_panel_moments(&panel, 1.0, &moments);
    *out = moments.x_n;
    return status;
}

/* pressure, sides, thickness, modulus, Poisson's ratio, clamped: mm */
static mw_trade_status plate_mm(const double *in, double *out)
{
    double d = 0.0;
    assert_int_equal(mw_trade_plate_stiffness(in[4], in[5], in[3], &d), MW_TRADE_OK);
    const mw_panel panel = {in[1], in[2], d, in[5] * d, d, (1 - in[5]) / 2 * d};
    const mw_trade_status status = in[6] == 1 ? mw_trade_panel_clamped(&panel, in[0], out)
                                              : mw_trade_panel_supported(&panel, in[0], out);
    assert_true(mw_trade_panel_holds(&panel, in[3], *out));
    *out *= 1000;
    return status;
}

static mw_trade_status strip(const double *in, double *out)
{
    double fixed = 0.0;
    return mw_trade_beam_sag(in[0], 1.0, 1.0, out, &fixed);
}

/* pressure, radius, stiffness, nu, clamped: mm */
static mw_trade_status disc_mm(const double *in, double *out)
{
    double sag_m[2] = {*out, *out};
    const mw_trade_status status =
        mw_trade_disc_sag(&(mw_disc){in[1], in[2], in[3]}, in[0], &sag_m[0], &sag_m[1]);
    *out = sag_m[(size_t)in[4]] * (status == MW_TRADE_OK ? 1000 : 1);
    return status;
}

/* E1, E2, G12, nu12 of one ply one thick: 100 w E2 h^3 / (q a^4) */
static mw_trade_status reddy(const double *in, double *out)
{
    const double d = 1 / (12 * (1 - in[3] * in[3] * in[1] / in[0]));
    const mw_panel panel = {1, 1, in[0] * d, in[3] * in[1] * d, in[1] * d, in[2] / 12};
    const mw_trade_status status = mw_trade_panel_supported(&panel, 1.0, out);
    *out *= 100;
    return status;
}

static mw_trade_status growth_mm(const double *in, double *out)
{
    const mw_trade_status status = mw_trade_growth(in[0], in[1], in[2], out);
    *out *= status == MW_TRADE_OK ? 1000 : 1;
    return status;
}

static mw_trade_status strip_bend(const double *in, double *out)
{
    return mw_trade_strip_curvature(&(mw_strip){in[0], in[1], in[2]},
                                    &(mw_strip){in[3], in[4], in[5]}, in[6], out);
}

static const trade_row rows[] = {
    {"PLT-01 b/a 1", supported, {1}, 0.00406, 0, 0.006, SECOND_HAND, TIMOSHENKO " table 8"},
    {"PLT-02 b/a 1.1", supported, {1.1}, 0.00485, 0, 0.006, MEMORY, TIMOSHENKO " table 8"},
    {"PLT-03 b/a 1.2", supported, {1.2}, 0.00564, 0, 0.006, MEMORY, TIMOSHENKO " table 8"},
    {"PLT-04 b/a 1.3", supported, {1.3}, 0.00638, 0, 0.006, MEMORY, TIMOSHENKO " table 8"},
    {"PLT-05 b/a 1.4", supported, {1.4}, 0.00705, 0, 0.006, MEMORY, TIMOSHENKO " table 8"},
    {"PLT-06 b/a 1.5", supported, {1.5}, 0.00772, 0, 0.006, MEMORY, TIMOSHENKO " table 8"},
    {"PLT-07 b/a 1.6", supported, {1.6}, 0.0083, 0, 0.006, MEMORY, TIMOSHENKO " table 8"},
    {"PLT-08 b/a 1.7", supported, {1.7}, 0.00883, 0, 0.006, MEMORY, TIMOSHENKO " table 8"},
    {"PLT-09 b/a 1.8", supported, {1.8}, 0.00931, 0, 0.006, MEMORY, TIMOSHENKO " table 8"},
    {"PLT-10 b/a 1.9", supported, {1.9}, 0.00974, 0, 0.006, MEMORY, TIMOSHENKO " table 8"},
    {"PLT-11 b/a 2", supported, {2}, 0.01013, 0, 0.006, MEMORY, TIMOSHENKO " table 8"},
    {"PLT-12 b/a 3", supported, {3}, 0.01223, 0, 0.006, MEMORY, TIMOSHENKO " table 8"},
    {"PLT-13 b/a 4", supported, {4}, 0.01282, 0, 0.006, MEMORY, TIMOSHENKO " table 8"},
    {"PLT-14 b/a 5", supported, {5}, 0.01297, 0, 0.006, MEMORY, TIMOSHENKO " table 8"},
    {"PLT-15 b/a 1", supported, {1}, 0.004062, 1e-6, 0, DERIVED, LEVY},
    {"PLT-16 b/a 1.1", supported, {1.1}, 0.004869, 1e-6, 0, DERIVED, LEVY},
    {"PLT-17 b/a 1.2", supported, {1.2}, 0.005651, 1e-6, 0, DERIVED, LEVY},
    {"PLT-18 b/a 1.3", supported, {1.3}, 0.006392, 1e-6, 0, DERIVED, LEVY},
    {"PLT-19 b/a 1.4", supported, {1.4}, 0.007085, 1e-6, 0, DERIVED, LEVY},
    {"PLT-20 b/a 1.5", supported, {1.5}, 0.007724, 1e-6, 0, DERIVED, LEVY},
    {"PLT-21 b/a 1.6", supported, {1.6}, 0.008308, 1e-6, 0, DERIVED, LEVY},
    {"PLT-22 b/a 1.7", supported, {1.7}, 0.008838, 1e-6, 0, DERIVED, LEVY},
    {"PLT-23 b/a 1.8", supported, {1.8}, 0.009316, 1e-6, 0, DERIVED, LEVY},
    {"PLT-24 b/a 1.9", supported, {1.9}, 0.009745, 1e-6, 0, DERIVED, LEVY},
    {"PLT-25 b/a 2", supported, {2}, 0.010129, 1e-6, 0, DERIVED, LEVY},
    {"PLT-26 clamped b/a 1", clamped, {1}, 0.00126, 0, 0.006, SECOND_HAND, TIMOSHENKO " table 35"},
    {"PLT-27 clamped b/a 1.1",
     clamped,
     {1.1},
     0.0015,
     0,
     0.006,
     SECOND_HAND,
     TIMOSHENKO " table 35"},
    {"PLT-28 clamped b/a 1.2",
     clamped,
     {1.2},
     0.00172,
     0,
     0.006,
     SECOND_HAND,
     TIMOSHENKO " table 35"},
    {"PLT-29 clamped b/a 1.3",
     clamped,
     {1.3},
     0.00191,
     0,
     0.006,
     SECOND_HAND,
     TIMOSHENKO " table 35"},
    {"PLT-30 clamped b/a 1.4",
     clamped,
     {1.4},
     0.00207,
     0,
     0.006,
     SECOND_HAND,
     TIMOSHENKO " table 35"},
    {"PLT-31 clamped b/a 1.5",
     clamped,
     {1.5},
     0.0022,
     0,
     0.006,
     SECOND_HAND,
     TIMOSHENKO " table 35"},
    {"PLT-32 clamped b/a 1.6",
     clamped,
     {1.6},
     0.0023,
     0,
     0.006,
     SECOND_HAND,
     TIMOSHENKO " table 35"},
    {"PLT-33 clamped b/a 1.7",
     clamped,
     {1.7},
     0.00238,
     0,
     0.006,
     SECOND_HAND,
     TIMOSHENKO " table 35"},
    {"PLT-34 clamped b/a 1.8",
     clamped,
     {1.8},
     0.00245,
     0,
     0.006,
     SECOND_HAND,
     TIMOSHENKO " table 35"},
    {"PLT-35 clamped b/a 1.9",
     clamped,
     {1.9},
     0.00249,
     0,
     0.006,
     SECOND_HAND,
     TIMOSHENKO " table 35"},
    {"PLT-36 clamped b/a 2", clamped, {2}, 0.00254, 0, 0.006, SECOND_HAND, TIMOSHENKO " table 35"},
    {"PLT-37 clamped, endless",
     clamped,
     {1000},
     0.0026,
     1e-5,
     0,
     SECOND_HAND,
     TIMOSHENKO " table 35"},
    {"PLT-38 b/a 1", roark, {1}, 0.0444, 0, 0.006, CONFIRMED, ROARK},
    {"PLT-39 b/a 1.2", roark, {1.2}, 0.0616, 0, 0.006, CONFIRMED, ROARK},
    {"PLT-40 b/a 1.4", roark, {1.4}, 0.077, 0, 0.006, CONFIRMED, ROARK},
    {"PLT-41 b/a 1.6", roark, {1.6}, 0.0906, 0, 0.006, CONFIRMED, ROARK},
    {"PLT-42 b/a 1.8", roark, {1.8}, 0.1017, 0, 0.006, CONFIRMED, ROARK},
    {"PLT-43 b/a 2", roark, {2}, 0.111, 0, 0.006, CONFIRMED, ROARK},
    {"PLT-44 b/a 3", roark, {3}, 0.1335, 0, 0.006, CONFIRMED, ROARK},
    {"PLT-45 b/a 4", roark, {4}, 0.14, 0, 0.006, CONFIRMED, ROARK},
    {"PLT-46 b/a 5", roark, {5}, 0.1417, 0, 0.006, CONFIRMED, ROARK},
    {"PLT-49 moment of a square",
     moment,
     {1},
     0.0479,
     0,
     0.002,
     SECOND_HAND,
     TIMOSHENKO " table 8"},
    {"PLT-50 steel plate",
     plate_mm,
     {1e3, 1, 1, 0.01, 200e9, 0.3, 0},
     0.2218,
     0,
     0.002,
     DERIVED,
     TIMOSHENKO " coefficient of table 8"},
    {"PLT-51 the same clamped",
     plate_mm,
     {1e3, 1, 1, 0.01, 200e9, 0.3, 1},
     0.069,
     0,
     0.006,
     DERIVED,
     TIMOSHENKO " coefficient of table 35"},
    {"PLT-52 mould panel",
     plate_mm,
     {1600 * 9.80665 * 0.008, 0.5, 0.75, 0.008, 15e9, 0.3, 0},
     0.0862,
     0,
     0.006,
     DERIVED,
     TIMOSHENKO " table 8"},
    {"PLT-53 the same clamped",
     plate_mm,
     {1600 * 9.80665 * 0.008, 0.5, 0.75, 0.008, 15e9, 0.3, 1},
     0.0245,
     0,
     0.006,
     DERIVED,
     TIMOSHENKO " table 35"},
    {"PLT-54 strip", strip, {1}, 0.0130208, 1e-6, 0, DERIVED, BEAM},
    {"PLT-55 disc clamped",
     disc_mm,
     {1000, 0.5, 1000, 0.3, 1},
     0.9765625,
     0,
     1e-9,
     SECOND_HAND,
     TIMOSHENKO " article 16"},
    {"PLT-56 disc held up",
     disc_mm,
     {1000, 0.5, 1000, 0.3, 0},
     3.98137,
     0,
     1e-5,
     SECOND_HAND,
     TIMOSHENKO " article 16"},
    {"PLT-57 orthotropic square", reddy, {25, 1, 0.5, 0.25}, 0.6497, 0.0002, 0, MEMORY, REDDY},
    {"CTE-14", growth_mm, {2, 23.6e-6, 40}, 1.888, 1e-6, 0, MEMORY, LENGTH},
    {"CTE-15", growth_mm, {2, 12e-6, 40}, 0.96, 1e-6, 0, MEMORY, LENGTH},
    {"CTE-16", growth_mm, {2, 1.3e-6, 40}, 0.104, 1e-6, 0, MEMORY, LENGTH},
    {"CTE-17", growth_mm, {2, 55e-6, 40}, 4.4, 1e-6, 0, MEMORY, LENGTH},
    {"CTE-18", growth_mm, {2, 3e-6, 40}, 0.24, 1e-6, 0, MEMORY, LENGTH},
    {"CTE-19 board under carbon", growth_mm, {2, 55e-6 - 3e-6, 40}, 4.16, 1e-6, 0, MEMORY, LENGTH},
    {"CTE-20 strip",
     strip_bend,
     {1e-3, 10e9, 10e-6, 1e-3, 10e9, 30e-6, 40},
     0.6,
     0,
     1e-9,
     MEMORY,
     BIMETAL},
};

/* sides, d11, d12, d22, d66, pressure */
static mw_trade_status any_panel(const double *in, double *out)
{
    const mw_panel panel = {in[0], in[1], in[2], in[3], in[4], in[5]};
    return mw_trade_panel_supported(&panel, in[6], out);
}

static mw_trade_status any_clamped(const double *in, double *out)
{
    const mw_panel panel = {in[0], in[1], in[2], in[3], in[4], in[5]};
    return mw_trade_panel_clamped(&panel, in[6], out);
}

static mw_trade_status any_plate(const double *in, double *out)
{
    return mw_trade_plate_stiffness(in[0], in[1], in[2], out);
}

static const trade_refusal refusals[] = {
    {"no side", any_panel, {0, 1, 1, 0.3, 1, 0.35, 1}, MW_TRADE_NO_SENSE},
    {"no stiffness", any_panel, {1, 1, 0, 0.3, 1, 0.35, 1}, MW_TRADE_NO_SENSE},
    {"impossible coupling", any_panel, {1, 1, 1, 1.1, 1, 0.35, 1}, MW_TRADE_NO_SENSE},
    {"lifted", any_panel, {1, 1, 1, 0.3, 1, 0.35, -1}, MW_TRADE_NO_SENSE},
    {"NaN", any_clamped, {1, 1, 1, (double)NAN, 1, 0.35, 1}, MW_TRADE_NO_SENSE},
    {"too large to count", any_clamped, {1e90, 1, 1, 0.3, 1, 0.35, 1}, MW_TRADE_OUT_OF_RANGE},
    {"moments of a strip", moment, {9}, MW_TRADE_OUT_OF_RANGE},
    {"Poisson's ratio 0.6", any_plate, {1e9, 0.6, 1e-3}, MW_TRADE_NO_SENSE},
    {"thickness of nothing", any_plate, {1e9, 0.3, 0}, MW_TRADE_NO_SENSE},
    {"disc without radius", disc_mm, {1, 0, 1, 0.3, 0}, MW_TRADE_NO_SENSE},
    {"load below zero", strip, {-1}, MW_TRADE_NO_SENSE},
    {"growth of no length", growth_mm, {-1, 1e-6, 10}, MW_TRADE_NO_SENSE},
    {"strip of nothing", strip_bend, {0, 1e9, 0, 1, 1e9, 0, 1}, MW_TRADE_NO_SENSE},
};

/* A panel turned by a right angle sags as much; one held tighter sags less; so does a stiffer one. */
static void check_panels(void **state)
{
    (void)state;
    for (double length = 0.2; length < 6; length += 0.37) {
        const mw_panel panel = {1, length, 3, 0.5, 1, 0.7};
        const mw_panel turned = {length, 1, 1, 0.5, 3, 0.7};
        const mw_panel stiffer = {1, length, 3.3, 0.5, 1.1, 0.7};
        double sag[5];
        assert_int_equal(mw_trade_panel_supported(&panel, 1, &sag[0]), MW_TRADE_OK);
        assert_int_equal(mw_trade_panel_supported(&turned, 1, &sag[1]), MW_TRADE_OK);
        assert_int_equal(mw_trade_panel_clamped(&panel, 1, &sag[2]), MW_TRADE_OK);
        assert_int_equal(mw_trade_panel_clamped(&turned, 1, &sag[3]), MW_TRADE_OK);
        assert_int_equal(mw_trade_panel_supported(&stiffer, 1, &sag[4]), MW_TRADE_OK);
        assert_near(sag[1], sag[0], 1e-12);
        assert_near(sag[3], sag[2], 1e-12);
        assert_true(sag[2] < 0.5 * sag[0]);
        assert_true(sag[4] < sag[0]);
    }
}

/* Two strips alike in all: no curvature; changed round: the other way. */
static void check_strips(void **state)
{
    double one = 0.0;
    double other = 0.0;
    (void)state;
    const mw_strip thin = {1e-3, 20e9, 5e-6};
    const mw_strip thick = {3e-3, 60e9, 12e-6};
    assert_int_equal(mw_trade_strip_curvature(&thin, &thin, 30, &one), MW_TRADE_OK);
    assert_close(one, 0, 1e-15);
    assert_int_equal(mw_trade_strip_curvature(&thin, &thick, 30, &one), MW_TRADE_OK);
    assert_int_equal(mw_trade_strip_curvature(&thick, &thin, 30, &other), MW_TRADE_OK);
    assert_true(one > 0);
    assert_near(other, -one, 1e-12);
}

/* Levy's single series for panels of much twisting stiffness (d12 + 2 d66 above the root of d11 d22), sides a and b:
 * sum over odd m of 4 q a^4 / (m^5 pi^5 d11) (+-1) (1 - k2^2 / ((k2^2 - k1^2) cosh k1 h) + k1^2 / ((k2^2 - k1^2)
 * cosh k2 h)), h = m pi b / 2 a, k from d22 k^4 - 2 (d12 + 2 d66) k^2 + d11 = 0. Timoshenko and Woinowsky-Krieger
 * 1959, articles 30 and 85. */
static double levy(const mw_panel *panel)
{
    const double twist = panel->d12_n_m + 2 * panel->d66_n_m;
    const double root = sqrt(twist * twist - panel->d11_n_m * panel->d22_n_m);
    const double first = (twist - root) / panel->d22_n_m;
    const double second = (twist + root) / panel->d22_n_m;
    double sum = 0;
    for (int m = 1; m < 60; m += 2) {
        const double h = m * acos(-1.0) * panel->y_m / (2 * panel->x_m);
        const double ends = second / cosh(sqrt(first) * h) - first / cosh(sqrt(second) * h);
        const double term = (1 - ends / (second - first)) / pow(m, 5);
        sum += m % 4 == 1 ? term : -term;
    }
    return 4 * pow(panel->x_m, 4) / (pow(acos(-1.0), 5) * panel->d11_n_m) * sum;
}

/* What the ends do reaches far along such panels: no length may be off by more than is said. */
static void twist_carries_far(void **state)
{
    (void)state;
    for (double twist = 1.05; twist < 6; twist *= 1.2) {
        for (double longer = 0.8; longer < 30; longer *= 1.13) {
            const mw_panel panel = {1, longer, 1.3, 0.1, 0.7, (twist * sqrt(1.3 * 0.7) - 0.1) / 2};
            double sag_m = 0;
            assert_int_equal(mw_trade_panel_supported(&panel, 1, &sag_m), MW_TRADE_OK);
            assert_near(sag_m, levy(&panel), 1e-3);
            const mw_panel turned = {longer, 1, 0.7, 0.1, 1.3, panel.d66_n_m};
            assert_int_equal(mw_trade_panel_supported(&turned, 1, &sag_m), MW_TRADE_OK);
            assert_near(sag_m, levy(&panel), 1e-3);
        }
    }
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "row", rows, check_trade_row);
    test_add_rows(&tests, "refused", refusals, check_trade_refusal);
    test_add(&tests, check_panels);
    test_add(&tests, check_strips);
    test_add(&tests, twist_carries_far);
    return test_run(&tests, "trade_panel");
}
