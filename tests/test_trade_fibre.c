/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Micromechanics against published examples. */
#include "mouldwright/trade_fibre.h"

#include "trade_rows.h"

#define TM_83320                                                                           \
    "C. C. Chamis, Simplified Composite Micromechanics Equations for Hygral, Thermal and " \
    "Mechanical Properties, NASA TM-83320, 1983,"
#define TP_2515 "P. L. N. Murthy and C. C. Chamis, ICAN, NASA TP-2515, 1986, p. 57 (scan: .1127)"
#define CALLISTER \
    "W. D. Callister, Materials Science and Engineering, chapter 16, examples 16.1 and 16.2"
#define REUSS "open course note on the Reuss bound; A. Reuss, 1929"
#define KAW_MICRO \
    "A. K. Kaw, Mechanics of Composite Materials, 2nd ed. 2006, chapter 3, from memory"
#define KRENCHEL "H. Krenchel, Fibre Reinforcement, 1964, as open course notes give it"

#define PI 3.14159265358979323846

/* Ef1, Ef2, Gf12, nuf, Em, num, Vf */
static mw_trade_status chamis_e1(const double *in, double *out)
{
    return mw_trade_along_fibres(&(mw_pair){in[0], in[4], in[6]}, 0.0, out);
}

static mw_trade_status chamis_e2(const double *in, double *out)
{
    return mw_trade_chamis_across(&(mw_pair){in[1], in[4], in[6]}, out);
}

static mw_trade_status chamis_g12(const double *in, double *out)
{
    return mw_trade_chamis_across(&(mw_pair){in[2], in[4] / (2 * (1 + in[5])), in[6]}, out);
}

static mw_trade_status chamis_nu12(const double *in, double *out)
{
    return mw_trade_along_fibres(&(mw_pair){in[3], in[5], in[6]}, 0.0, out);
}

static mw_trade_status spacing(const double *in, double *out)
{
    return mw_trade_fibre_spacing(in[0], in[1], out);
}

static mw_trade_status along(const double *in, double *out)
{
    return mw_trade_along_fibres(&(mw_pair){in[0], in[1], in[2]}, 0.0, out);
}

static mw_trade_status along_voids(const double *in, double *out)
{
    return mw_trade_along_fibres(&(mw_pair){in[0], in[1], in[2]}, in[3], out);
}

static mw_trade_status across(const double *in, double *out)
{
    return mw_trade_across_fibres(&(mw_pair){in[0], in[1], in[2]}, out);
}

/* GPa, GPa, share, area m2, stress Pa: what the fibre carries in N */
static mw_trade_status fibre_load(const double *in, double *out)
{
    double modulus = 0.0;
    const mw_trade_status status = along(in, &modulus);
    *out = in[3] * in[4] * in[0] * in[2] / modulus;
    return status;
}

static mw_trade_status halpin(const double *in, double *out)
{
    return mw_trade_halpin_tsai(&(mw_pair){in[0], in[1], in[2]}, in[3], out);
}

static mw_trade_status halpin_shaped(const double *in, double *out)
{
    double shape = 0.0;
    assert_int_equal(mw_trade_shear_shape(in[2], &shape), MW_TRADE_OK);
    return mw_trade_halpin_tsai(&(mw_pair){in[0], in[1], in[2]}, shape, out);
}

static mw_trade_status chamis(const double *in, double *out)
{
    return mw_trade_chamis_across(&(mw_pair){in[0], in[1], in[2]}, out);
}

/* so many equal shares at angles in degrees */
static mw_trade_status efficiency(const double *in, double *out)
{
    double shares[8], angles[8];
    const size_t count = (size_t)in[0];
    for (size_t i = 0; i < count; i++) {
        shares[i] = 1.0 / in[0];
        angles[i] = in[i + 1] * PI / 180.0;
    }
    return mw_trade_krenchel_efficiency(shares, angles, count, out);
}

/* Fibre in all directions of space: of the angle t from an axis there is sin t dt, which the three nodes of Gauss
 * and Legendre for cos t from 0 to 1 take up exactly as far as the fifth power. */
static mw_trade_status efficiency_in_space(const double *in, double *out)
{
    const double shares[] = {5.0 / 18.0, 8.0 / 18.0, 5.0 / 18.0};
    const double angles[] = {acos((1.0 - sqrt(0.6)) / 2.0), acos(0.5),
                             acos((1.0 + sqrt(0.6)) / 2.0)};
    (void)in;
    return mw_trade_krenchel_efficiency(shares, angles, 3, out);
}

static mw_trade_status part_missing(const double *in, double *out)
{
    return mw_trade_krenchel_efficiency(in, in + 2, 2, out);
}

static mw_trade_status krenchel(const double *in, double *out)
{
    return mw_trade_krenchel_modulus(&(mw_pair){in[0], in[1], in[2]}, in[3], out);
}

/* Ef, Em, num, Vf, af, am */
static mw_trade_status growth(const double *in, double *out, size_t axis)
{
    double both[2] = {*out, *out};
    const mw_fibre fibre = {.e1_pa = in[0], .growth1_per_k = in[4], .growth2_per_k = in[4]};
    const mw_resin resin = {in[1], in[2], in[5]};
    const mw_trade_status status = mw_trade_fibre_growth(&fibre, &resin, in[3], both);
    *out = both[axis];
    return status;
}

static mw_trade_status growth_1(const double *in, double *out)
{
    return growth(in, out, 0);
}

static mw_trade_status growth_2(const double *in, double *out)
{
    return growth(in, out, 1);
}

static const trade_row rows[] = {
    {"MIC-01 E1",
     chamis_e1,
     {31e6, 2e6, 2e6, 0.2, 0.5e6, 0.41, 0.63},
     19700000,
     5e4,
     0,
     CONFIRMED,
     TM_83320 " example 4.1"},
    {"MIC-02 E2",
     chamis_e2,
     {31e6, 2e6, 2e6, 0.2, 0.5e6, 0.41, 0.63},
     1240000,
     5e3,
     0,
     CONFIRMED,
     TM_83320 " example 4.1"},
    {"MIC-03 G12",
     chamis_g12,
     {31e6, 2e6, 2e6, 0.2, 0.5e6, 0.41, 0.63},
     640000,
     5e3,
     0,
     CONFIRMED,
     TM_83320 " example 4.1"},
    {"MIC-04 E2 with voids",
     chamis_e2,
     {31e6, 2e6, 2e6, 0.2, 0.5e6, 0.41, 0.624},
     1230000,
     5e3,
     0,
     CONFIRMED,
     TM_83320 " example 4.1"},
    {"MIC-05 G12 with voids",
     chamis_g12,
     {31e6, 2e6, 2e6, 0.2, 0.5e6, 0.41, 0.624},
     630000,
     5e3,
     0,
     CONFIRMED,
     TM_83320 " example 4.1"},
    {"MIC-06 nu12",
     chamis_nu12,
     {31e6, 2e6, 2e6, 0.2, 0.5e6, 0.41, 0.63},
     0.278,
     0.0005,
     0,
     CONFIRMED,
     TM_83320 " example 4.2"},
    {"MIC-12 E2",
     chamis_e2,
     {31e6, 2e6, 2e6, 0.2, 0.5e6, 0.41, 0.55},
     1127000,
     0,
     5e-4,
     CONFIRMED,
     TP_2515},
    {"MIC-16 spacing in inches",
     spacing,
     {0.0003, 0.5},
     7.6e-05,
     1e-6,
     0,
     CONFIRMED,
     TM_83320 " example 3.2"},
    {"MIC-17 E along", along, {69, 3.4, 0.4}, 30, 0.5, 0, DERIVED, CALLISTER},
    {"MIC-18 E across", across, {69, 3.4, 0.4}, 5.5, 0.05, 0, DERIVED, CALLISTER},
    {"MIC-19 load on the fibre",
     fibre_load,
     {69, 3.4, 0.4, 250e-6, 50e6},
     11640,
     5,
     0,
     DERIVED,
     CALLISTER},
    {"MIC-24 Reuss", across, {74, 3.35, 0.60}, 7.8424549, 0, 1e-6, SECOND_HAND, REUSS},
    {"MIC-25 E1", along, {85, 3.4, 0.7}, 60.52, 0.005, 0, MEMORY, KAW_MICRO},
    {"MIC-26 E2 inverse rule", across, {85, 3.4, 0.7}, 10.37, 0.005, 0, MEMORY, KAW_MICRO},
    {"MIC-27 nu12", along, {0.2, 0.3, 0.7}, 0.23, 0.0005, 0, MEMORY, KAW_MICRO},
    {"MIC-28 G12 inverse rule",
     across,
     {85 / 2.4, 3.4 / 2.6, 0.7},
     4.014,
     0.002,
     0,
     MEMORY,
     KAW_MICRO},
    {"MIC-29 E2 Halpin-Tsai", halpin, {85, 3.4, 0.7, 2}, 20.2, 0.01, 0, MEMORY, KAW_MICRO},
    {"MIC-30 G12 Halpin-Tsai",
     halpin,
     {85 / 2.4, 3.4 / 2.6, 0.7, 1},
     6.169,
     0.002,
     0,
     MEMORY,
     KAW_MICRO},
    {"MIC-31 G12 Hewitt shape",
     halpin_shaped,
     {85 / 2.4, 3.4 / 2.6, 0.7},
     8.13,
     0.002,
     0,
     MEMORY,
     KAW_MICRO},
    {"MIC-32 unidirectional", efficiency, {1, 0}, 1, 0, 0, CONFIRMED, KRENCHEL},
    {"MIC-33 0/90", efficiency, {2, 0, 90}, 0.5, 0, 0, CONFIRMED, KRENCHEL},
    {"MIC-34 +-45", efficiency, {2, 45, -45}, 0.25, 0, 0, CONFIRMED, KRENCHEL},
    {"MIC-35 in all directions of the plane",
     efficiency,
     {4, 0, 45, 90, -45},
     0.375,
     0,
     0,
     CONFIRMED,
     KRENCHEL},
    {"MIC-36 in all directions of space",
     efficiency_in_space,
     {0},
     0.2,
     0,
     1e-12,
     CONFIRMED,
     KRENCHEL},
    {"MIC-37 0/90 carbon", krenchel, {230, 3.5, 0.5, 0.5}, 59.25, 0.01, 0, DERIVED, KRENCHEL},
    {"MIC-38 mat", krenchel, {72, 3.4, 0.19, 0.375}, 7.884, 0.001, 0, DERIVED, KRENCHEL},
    {"CTE-01 E1",
     along,
     {12.4e6, 0.5e6, 0.605},
     7700000,
     5e3,
     0,
     CONFIRMED,
     TM_83320 " example 5.2"},
    {"CTE-02 along",
     growth_1,
     {12.4e6, 0.5e6, 0.41, 0.605, 2.8e-6, 57e-6},
     4.19e-06,
     1e-7,
     0,
     CONFIRMED,
     TM_83320 " example 5.2"},
    {"CTE-03 across",
     growth_2,
     {12.4e6, 0.5e6, 0.41, 0.605, 2.8e-6, 57e-6},
     1.99e-05,
     0.05e-6,
     0,
     CONFIRMED,
     TM_83320 " example 5.2"},
};

static const trade_refusal refusals[] = {
    {"no fibre", along, {85, 3.4, 0}, MW_TRADE_NO_SENSE},
    {"closer than can be", along, {85, 3.4, 0.8}, MW_TRADE_OUT_OF_RANGE},
    {"no number", along, {(double)NAN, 3.4, 0.5}, MW_TRADE_NO_SENSE},
    {"voids below zero", along_voids, {85, 3.4, 0.5, -0.1}, MW_TRADE_NO_SENSE},
    {"more holes than that", along_voids, {85, 3.4, 0.5, 0.3}, MW_TRADE_OUT_OF_RANGE},
    {"no resin", across, {85, 0, 0.5}, MW_TRADE_NO_SENSE},
    {"share unknown", across, {85, 3.4, (double)NAN}, MW_TRADE_NO_SENSE},
    {"shape zero", halpin, {85, 3.4, 0.5, 0}, MW_TRADE_NO_SENSE},
    {"lean ply", chamis, {85, 3.4, 0.29}, MW_TRADE_OUT_OF_RANGE},
    {"dense ply", chamis, {85, 3.4, 0.71}, MW_TRADE_OUT_OF_RANGE},
    {"efficiency above one", krenchel, {85, 3.4, 0.5, 1.1}, MW_TRADE_NO_SENSE},
    {"shares of 0.9", part_missing, {0.5, 0.4, 0, 1}, MW_TRADE_NO_SENSE},
    {"no diameter", spacing, {0, 0.5}, MW_TRADE_NO_SENSE},
    {"resin that swells", growth_1, {12e6, 0.5e6, 0.5, 0.6, 1e-6, 50e-6}, MW_TRADE_NO_SENSE},
};

static const mw_fibre carbon = {230e9, 15e9, 24e9, 0.2, -0.6e-6, 10e-6};
static const mw_resin epoxy = {3.2e9, 0.35, 60e-6};

/* A cloth of warp only is the unidirectional ply; one of half and half is alike both ways; mat is
 * alike all ways. Fibre like the resin: the resin. */
static void check_cloth(void **state)
{
    mw_ply_elastic single, cloth, mat;
    (void)state;
    assert_int_equal(mw_trade_unidirectional(&carbon, &epoxy, 0.5, &single), MW_TRADE_OK);
    assert_int_equal(mw_trade_cloth(&carbon, &epoxy, 0.5, &(mw_weave){1, 1, 0}, &cloth),
                     MW_TRADE_OK);
    assert_near(cloth.e1_pa, single.e1_pa, 1e-12);
    assert_near(cloth.e2_pa, single.e2_pa, 1e-12);
    assert_near(cloth.nu12, single.nu12, 1e-12);
    assert_near(cloth.growth1_per_k, single.growth1_per_k, 1e-9);
    assert_int_equal(mw_trade_cloth(&carbon, &epoxy, 0.5, &(mw_weave){0.5, 0.9, 0}, &cloth),
                     MW_TRADE_OK);
    assert_near(cloth.e1_pa, cloth.e2_pa, 1e-12);
    assert_true(cloth.e1_pa > 0.4 * single.e1_pa && cloth.e1_pa < 0.55 * single.e1_pa);
    assert_int_equal(mw_trade_cloth(&carbon, &epoxy, 0.5, &(mw_weave){0.5, 1, 1}, &mat),
                     MW_TRADE_OK);
    assert_near(mat.e1_pa, 2 * mat.g12_pa * (1 + mat.nu12), 1e-12);
    assert_near(mat.e1_pa, 0.375 * single.e1_pa + 0.625 * single.e2_pa, 1e-12);
    const mw_fibre same = {3.2e9, 3.2e9, 3.2e9 / 2.7, 0.35, 60e-6, 60e-6};
    assert_int_equal(mw_trade_cloth(&same, &epoxy, 0.3, &(mw_weave){0.5, 1, 0}, &cloth),
                     MW_TRADE_OK);
    assert_near(cloth.e1_pa, 3.2e9, 1e-12);
    assert_near(cloth.g12_pa, 3.2e9 / 2.7, 1e-12);
}

/* The same ply from laminate theory: half at 0, half at 90 degrees, and kept flat. */
static void check_mosaic(void **state)
{
    mw_ply_elastic single, cloth;
    mw_laminate laminate;
    (void)state;
    assert_int_equal(mw_trade_unidirectional(&carbon, &epoxy, 0.5, &single), MW_TRADE_OK);
    assert_int_equal(mw_trade_cloth(&carbon, &epoxy, 0.5, &(mw_weave){0.6, 1, 0}, &cloth),
                     MW_TRADE_OK);
    const mw_ply plies[3] = {
        {.elastic = single, .thickness_m = 0.3, .count = 1},
        {.elastic = single, .thickness_m = 0.4, .angle_rad = PI / 2, .count = 1},
        {.elastic = single, .thickness_m = 0.3, .count = 1}};
    mw_flexibility flexibility;
    mw_moduli pulled, bent;
    assert_int_equal(mw_trade_laminate(plies, 3, &laminate), MW_TRADE_OK);
    assert_int_equal(mw_trade_laminate_invert(&laminate, &flexibility), MW_TRADE_OK);
    mw_trade_laminate_moduli(&flexibility, 1.0, &pulled, &bent);
    assert_near(cloth.e1_pa, pulled.ex_pa, 1e-9);
    assert_near(cloth.e2_pa, pulled.ey_pa, 1e-9);
    assert_near(cloth.g12_pa, pulled.gxy_pa, 1e-9);
    assert_near(cloth.nu12, pulled.nuxy, 1e-9);
    mw_response r;
    mw_trade_laminate_respond(&laminate, &flexibility, &(mw_edge_load){{0}, {0}}, 1.0, &r);
    assert_near(cloth.growth1_per_k, r.strain[0], 1e-9);
    assert_near(cloth.growth2_per_k, r.strain[1], 1e-9);
}

static void check_weaves(void **state)
{
    mw_ply_elastic ply;
    (void)state;
    assert_int_equal(mw_trade_cloth(&carbon, &epoxy, 0.5, &(mw_weave){1.1, 1, 0}, &ply),
                     MW_TRADE_NO_SENSE);
    assert_int_equal(mw_trade_cloth(&carbon, &epoxy, 0.5, &(mw_weave){0.5, 0, 0}, &ply),
                     MW_TRADE_NO_SENSE);
    assert_int_equal(mw_trade_cloth(&carbon, &epoxy, 0.5, &(mw_weave){0.5, 0.4, 0}, &ply),
                     MW_TRADE_OUT_OF_RANGE);
    assert_int_equal(mw_trade_cloth(&carbon, &epoxy, 0.9, &(mw_weave){0.5, 1, 0}, &ply),
                     MW_TRADE_OUT_OF_RANGE);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "row", rows, check_trade_row);
    test_add_rows(&tests, "refused", refusals, check_trade_refusal);
    test_add(&tests, check_cloth);
    test_add(&tests, check_mosaic);
    test_add(&tests, check_weaves);
    return test_run(&tests, "trade_fibre");
}
