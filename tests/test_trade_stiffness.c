/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Laminate theory against published examples, and what holds for every stack. */
#include "mouldwright/trade_stiffness.h"

#include "trade_rows.h"

#define KAW        "A. K. Kaw, Mechanics of Composite Materials, 2nd ed. 2006, "
#define KAW_PLY    KAW "example 2.6"
#define KAW_3      KAW "example 4.2: [0/30/-45], 5 mm plies"
#define KAW_3_LOAD KAW "example 4.3, from memory: the same under 1000 N/m along x and y"
#define KAW_090    KAW "chapter 4, worked example [0/90/0] of the author's courseware"
#define TSAI       "S. W. Tsai and H. T. Hahn, Introduction to Composite Materials, 1980, table 3, memory"
#define PLATE      "plate theory: E h / (1 - nu^2), E h^3 / (12 (1 - nu^2))"
#define TUTTLE                                                                                \
    "M. E. Tuttle, Structural Analysis of Polymeric Composite Materials, example [30/0/90]: " \
    "ply data from memory, entries worked out"
#define KAW_HEAT KAW "chapter 4, [0/90] cooled by 75 K, from memory"
#define CLOSED \
    "closed form of a stack alike in all directions: (a1 (Q11 + Q12) + a2 (Q12 + Q22)) / ..."

#define PI     3.14159265358979323846
#define DEGREE (PI / 180.0)

static const mw_ply_elastic graphite = {181e9, 10.3e9, 7.17e9, 0.28, 0.02e-6, 22.5e-6};

static size_t place_of(double number)
{
    return (size_t)number;
}

/* Up to eight layers of one ply. */
static mw_laminate stack_of(const mw_ply_elastic *ply, const double *degrees, size_t count,
                            double thickness_m)
{
    mw_ply plies[8];
    mw_laminate laminate = {.thickness_m = 0.0};
    for (size_t i = 0; i < count; i++) {
        plies[i] = (mw_ply){.elastic = *ply,
                            .thickness_m = thickness_m,
                            .angle_rad = degrees[i] * DEGREE,
                            .count = 1.0};
    }
    assert_int_equal(mw_trade_laminate(plies, count, &laminate), MW_TRADE_OK);
    return laminate;
}

/* A from 0, B from 6, D from 12. */
static double entry_of(const mw_laminate *laminate, double number)
{
    const size_t place = place_of(number);
    const double *const of[3] = {laminate->a_n_per_m, laminate->b_n, laminate->d_n_m};
    return of[place / 6][place % 6];
}

static mw_flexibility inverse_of(const mw_laminate *laminate)
{
    mw_flexibility flexibility;
    assert_int_equal(mw_trade_laminate_invert(laminate, &flexibility), MW_TRADE_OK);
    return flexibility;
}

static mw_trade_status q_gpa(const double *in, double *out)
{
    double q_pa[MW_ENTRY_COUNT];
    const mw_trade_status status = mw_trade_ply_stiffness(&graphite, 0.0, q_pa);
    *out = q_pa[place_of(in[0])] / 1e9;
    return status;
}

static mw_trade_status u_gpa(const double *in, double *out)
{
    double u_pa[5];
    const mw_trade_status status = mw_trade_ply_invariants(&graphite, u_pa);
    *out = u_pa[place_of(in[0])] / 1e9;
    return status;
}

static mw_laminate three(void)
{
    return stack_of(&graphite, (const double[]){0, 30, -45}, 3, 5e-3);
}

static mw_laminate crossed(void)
{
    return stack_of(&graphite, (const double[]){0, 90, 0}, 3, 5e-3);
}

static mw_trade_status kaw_3(const double *in, double *out)
{
    const mw_laminate laminate = three();
    *out = entry_of(&laminate, in[0]);
    return MW_TRADE_OK;
}

static double respond(const mw_laminate *laminate, const mw_edge_load *load, double rise_k,
                      size_t place)
{
    const mw_flexibility flexibility = inverse_of(laminate);
    mw_response response;
    mw_trade_laminate_respond(laminate, &flexibility, load, rise_k, &response);
    return place < 3 ? response.strain[place] : response.curvature_per_m[place - 3];
}

static mw_trade_status kaw_3_load(const double *in, double *out)
{
    const mw_laminate laminate = three();
    const mw_edge_load load = {{1000, 1000, 0}, {0, 0, 0}};
    *out = respond(&laminate, &load, 0.0, place_of(in[0]));
    return MW_TRADE_OK;
}

static mw_trade_status kaw_090(const double *in, double *out)
{
    const mw_laminate laminate = crossed();
    *out = entry_of(&laminate, in[0]);
    return MW_TRADE_OK;
}

/* Ex Ey Gxy nuxy pulled, then bent; GPa. */
static double modulus_of(const mw_laminate *laminate, size_t place)
{
    const mw_flexibility flexibility = inverse_of(laminate);
    mw_moduli moduli[2];
    mw_trade_laminate_moduli(&flexibility, laminate->thickness_m, &moduli[0], &moduli[1]);
    const mw_moduli *of = &moduli[place / 4];
    const double values[4] = {of->ex_pa / 1e9, of->ey_pa / 1e9, of->gxy_pa / 1e9, of->nuxy};
    return values[place % 4];
}

static mw_trade_status kaw_090_moduli(const double *in, double *out)
{
    const mw_laminate laminate = crossed();
    *out = modulus_of(&laminate, place_of(in[0]));
    return MW_TRADE_OK;
}

static mw_trade_status kaw_090_pulled(const double *in, double *out)
{
    const mw_laminate laminate = crossed();
    const mw_edge_load load = {{1, 0, 0}, {0, 0, 0}};
    *out = respond(&laminate, &load, 0.0, place_of(in[0]));
    return MW_TRADE_OK;
}

static const double quasi_degrees[8] = {0, 45, -45, 90, 90, -45, 45, 0};

static mw_trade_status quasi(const double *in, double *out)
{
    const mw_laminate laminate = stack_of(&graphite, quasi_degrees, 8, 1e-3);
    *out = modulus_of(&laminate, place_of(in[0]));
    return MW_TRADE_OK;
}

static mw_trade_status quasi_growth(const double *in, double *out)
{
    const mw_laminate laminate = stack_of(&graphite, quasi_degrees, 8, 1e-3);
    const mw_edge_load none = {{0, 0, 0}, {0, 0, 0}};
    (void)in;
    *out = respond(&laminate, &none, 1.0, 0);
    assert_near(respond(&laminate, &none, 1.0, 1), *out, 1e-9);
    return MW_TRADE_OK;
}

static mw_trade_status isotropic(const double *in, double *out)
{
    const mw_ply_elastic metal = {70e9, 70e9, 70e9 / 2.6, 0.3, 0, 0};
    const mw_laminate laminate = stack_of(&metal, (const double[]){0, 17, -60, 90}, 4, 1e-3);
    *out = entry_of(&laminate, in[0]);
    return MW_TRADE_OK;
}

static const mw_ply_elastic tuttle_ply = {170e9, 10e9, 13e9, 0.3, 0, 0};

static mw_trade_status tuttle_q(const double *in, double *out)
{
    double q_pa[MW_ENTRY_COUNT];
    const mw_trade_status status = mw_trade_ply_stiffness(&tuttle_ply, 30 * DEGREE, q_pa);
    *out = q_pa[place_of(in[0])] / 1e9;
    return status;
}

static mw_trade_status tuttle(const double *in, double *out)
{
    const mw_laminate laminate = stack_of(&tuttle_ply, (const double[]){30, 0, 90}, 3, 0.125e-3);
    *out = entry_of(&laminate, in[0]);
    return MW_TRADE_OK;
}

static mw_trade_status kaw_heat(const double *in, double *out)
{
    const mw_laminate laminate = stack_of(&graphite, (const double[]){0, 90}, 2, 5e-3);
    const mw_edge_load none = {{0, 0, 0}, {0, 0, 0}};
    const double rise_k = -75.0;
    const double values[5] = {
        rise_k * laminate.force_n_per_m_k[0], rise_k * laminate.moment_n_per_k[0],
        respond(&laminate, &none, rise_k, 0), respond(&laminate, &none, rise_k, 3),
        respond(&laminate, &none, rise_k, 4)};
    *out = values[place_of(in[0])];
    return MW_TRADE_OK;
}

static const trade_row rows[] = {
    {"CLT-31 Q11", q_gpa, {0}, 181.8, 0, 5e-4, SECOND_HAND, KAW_PLY},
    {"CLT-32 Q12", q_gpa, {1}, 2.897, 0, 5e-4, SECOND_HAND, KAW_PLY},
    {"CLT-33 Q22", q_gpa, {3}, 10.35, 0, 5e-4, SECOND_HAND, KAW_PLY},
    {"CLT-34 Q66", q_gpa, {5}, 7.17, 0, 5e-4, SECOND_HAND, KAW_PLY},
    {"CLT-41 A11", kaw_3, {0}, 1739000000, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-42 A12", kaw_3, {1}, 388400000, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-43 A16", kaw_3, {2}, 56630000, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-44 A22", kaw_3, {3}, 453300000, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-45 A26", kaw_3, {4}, -114100000, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-46 A66", kaw_3, {5}, 452500000, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-47 B11", kaw_3, {6}, -3129000, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-48 B12", kaw_3, {7}, 985500, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-49 B16", kaw_3, {8}, -1072000, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-50 B22", kaw_3, {9}, 1158000, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-51 B26", kaw_3, {10}, -1072000, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-52 B66", kaw_3, {11}, 985500, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-53 D11", kaw_3, {12}, 33430, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-54 D12", kaw_3, {13}, 6461, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-55 D16", kaw_3, {14}, -5240, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-56 D22", kaw_3, {15}, 9320, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-57 D26", kaw_3, {16}, -5596, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-58 D66", kaw_3, {17}, 7663, 0, 6e-4, SECOND_HAND, KAW_3},
    {"CLT-59 eps x", kaw_3_load, {0}, 3.123e-07, 0, 5e-4, MEMORY, KAW_3_LOAD},
    {"CLT-60 eps y", kaw_3_load, {1}, 3.492e-06, 0, 5e-4, MEMORY, KAW_3_LOAD},
    {"CLT-61 gamma xy", kaw_3_load, {2}, -7.598e-07, 0, 5e-4, MEMORY, KAW_3_LOAD},
    {"CLT-62 kappa x", kaw_3_load, {3}, 2.971e-05, 0, 5e-4, MEMORY, KAW_3_LOAD},
    {"CLT-63 kappa y", kaw_3_load, {4}, -0.0003285, 0, 5e-4, MEMORY, KAW_3_LOAD},
    {"CLT-64 kappa xy", kaw_3_load, {5}, 0.0004101, 0, 5e-4, MEMORY, KAW_3_LOAD},
    {"CLT-65 A11", kaw_090, {0}, 1870000000, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-66 A12", kaw_090, {1}, 43450000, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-67 A22", kaw_090, {3}, 1013000000, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-68 A66", kaw_090, {5}, 107600000, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-69 D11", kaw_090, {12}, 49350, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-70 D12", kaw_090, {13}, 814.8, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-71 D22", kaw_090, {15}, 4696, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-72 D66", kaw_090, {17}, 2017, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-73 Ex", kaw_090_moduli, {0}, 124.5, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-74 Ey", kaw_090_moduli, {1}, 67.43, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-75 Gxy", kaw_090_moduli, {2}, 7.17, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-76 nuxy", kaw_090_moduli, {3}, 0.04292, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-77 Ex bent", kaw_090_moduli, {4}, 175, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-78 Ey bent", kaw_090_moduli, {5}, 16.65, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-79 nuxy bent", kaw_090_moduli, {7}, 0.1735, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-80 eps x", kaw_090_pulled, {0}, 5.353e-10, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-81 eps y", kaw_090_pulled, {1}, -2.297e-11, 0, 1e-3, SECOND_HAND, KAW_090},
    {"CLT-82 U1", u_gpa, {0}, 76.37, 0.006, 0, MEMORY, TSAI},
    {"CLT-83 U2", u_gpa, {1}, 85.73, 0.006, 0, MEMORY, TSAI},
    {"CLT-84 U3", u_gpa, {2}, 19.71, 0.006, 0, MEMORY, TSAI},
    {"CLT-85 U4", u_gpa, {3}, 22.61, 0.006, 0, MEMORY, TSAI},
    {"CLT-86 U5", u_gpa, {4}, 26.88, 0.006, 0, MEMORY, TSAI},
    {"CLT-87 E of [0/45/-45/90]s",
     quasi,
     {0},
     69.68,
     0.01,
     0,
     MEMORY,
     TSAI " identity of U1 and U4"},
    {"CLT-88 nu of it", quasi, {3}, 0.296, 0.0002, 0, DERIVED, TSAI " identity of U1 and U4"},
    {"CLT-89 A11", isotropic, {0}, 307692307.7, 0, 1e-9, DERIVED, PLATE},
    {"CLT-90 D11", isotropic, {12}, 410.2564103, 0, 1e-9, DERIVED, PLATE},
    {"CLT-91 Qbar11", tuttle_q, {0}, 107.6, 0.1, 0, DERIVED, TUTTLE},
    {"CLT-92 A11", tuttle, {0}, 36075000, 0, 2e-4, DERIVED, TUTTLE},
    {"CLT-93 A66", tuttle, {5}, 7756100, 0, 2e-4, DERIVED, TUTTLE},
    {"CLT-94 B11", tuttle, {6}, -1524.8, 0, 2e-4, DERIVED, TUTTLE},
    {"CLT-95 B22", tuttle, {9}, 2245.1, 0, 2e-4, DERIVED, TUTTLE},
    {"CLT-96 D11", tuttle, {12}, 0.27685, 0, 2e-4, DERIVED, TUTTLE},
    {"CLT-97 D22", tuttle, {15}, 0.42084, 0, 2e-4, DERIVED, TUTTLE},
    {"CTE-08 force x", kaw_heat, {0}, -113100, 0, 6e-4, MEMORY, KAW_HEAT},
    {"CTE-09 moment x", kaw_heat, {1}, -153.8, 0, 6e-4, MEMORY, KAW_HEAT},
    {"CTE-10 eps x", kaw_heat, {2}, -0.0003907, 0, 6e-4, MEMORY, KAW_HEAT},
    {"CTE-11 kappa x", kaw_heat, {3}, -0.1276, 0, 6e-4, MEMORY, KAW_HEAT},
    {"CTE-12 kappa y", kaw_heat, {4}, 0.1276, 0, 6e-4, MEMORY, KAW_HEAT},
    {"CTE-13 quasi-isotropic", quasi_growth, {0}, 1.52393e-06, 0, 1e-4, DERIVED, CLOSED},
};

/* --- refused ------------------------------------------------------------------------------------ */

/* e1, e2, g12, nu12, thickness, angle, layers */
static mw_trade_status any_stack(const double *in, double *out)
{
    const mw_ply ply = {.elastic = {in[0], in[1], in[2], in[3], 0, 0},
                        .thickness_m = in[4],
                        .angle_rad = in[5],
                        .count = in[6]};
    mw_laminate laminate = {.thickness_m = *out};
    const mw_trade_status status = mw_trade_laminate(&ply, 1, &laminate);
    *out = laminate.thickness_m;
    return status;
}

static const trade_refusal refusals[] = {
    {"no modulus", any_stack, {0, 1e9, 1e9, 0.3, 1e-3, 0, 1}, MW_TRADE_NO_SENSE},
    {"negative modulus", any_stack, {1e9, -1e9, 1e9, 0.3, 1e-3, 0, 1}, MW_TRADE_NO_SENSE},
    {"NaN", any_stack, {1e9, 1e9, (double)NAN, 0.3, 1e-3, 0, 1}, MW_TRADE_NO_SENSE},
    {"endless modulus",
     any_stack,
     {(double)INFINITY, 1e9, 1e9, 0.3, 1e-3, 0, 1},
     MW_TRADE_NO_SENSE},
    {"more energy than put in", any_stack, {1e9, 1e9, 1e9, 1.0, 1e-3, 0, 1}, MW_TRADE_NO_SENSE},
    {"no thickness", any_stack, {1e9, 1e9, 1e9, 0.3, 0, 0, 1}, MW_TRADE_NO_SENSE},
    {"no angle", any_stack, {1e9, 1e9, 1e9, 0.3, 1e-3, (double)NAN, 1}, MW_TRADE_NO_SENSE},
    {"half a layer", any_stack, {1e9, 1e9, 1e9, 0.3, 1e-3, 0, 1.5}, MW_TRADE_NO_SENSE},
    {"layers below zero", any_stack, {1e9, 1e9, 1e9, 0.3, 1e-3, 0, -1}, MW_TRADE_NO_SENSE},
    {"no layer at all", any_stack, {1e9, 1e9, 1e9, 0.3, 1e-3, 0, 0}, MW_TRADE_NO_SENSE},
    {"too many layers", any_stack, {1e9, 1e9, 1e9, 0.3, 1e-3, 0, 10001}, MW_TRADE_OUT_OF_RANGE},
};

/* --- what holds for every stack ----------------------------------------------------------------- */

/* A small generator with the seed written down: the same stacks in every run. */
static double draw(uint64_t *seed, double low, double high)
{
    *seed = *seed * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * (double)(*seed >> 11) / 9007199254740992.0;
}

static mw_ply draw_ply(uint64_t *seed)
{
    const double e1 = draw(seed, 5e9, 200e9);
    return (mw_ply){.elastic = {e1, draw(seed, 3e9, e1), draw(seed, 1e9, 30e9),
                                draw(seed, 0.0, 0.45), draw(seed, -1e-6, 30e-6),
                                draw(seed, 0, 60e-6)},
                    .thickness_m = draw(seed, 1e-4, 2e-3),
                    .angle_rad = draw(seed, -PI, PI),
                    .count = 1.0};
}

enum { TRIES = 200, LAYERS = 6 };

/* Turning the whole stack leaves the invariants of A, B and D alone. */
static void check_turning(void **state)
{
    uint64_t seed = 20270111;
    (void)state;
    for (int n = 0; n < TRIES; n++) {
        mw_ply plies[LAYERS];
        mw_laminate before, after;
        for (int i = 0; i < LAYERS; i++) {
            plies[i] = draw_ply(&seed);
        }
        assert_int_equal(mw_trade_laminate(plies, LAYERS, &before), MW_TRADE_OK);
        const double turn = draw(&seed, -4.0, 4.0);
        for (int i = 0; i < LAYERS; i++) {
            plies[i].angle_rad += turn;
        }
        assert_int_equal(mw_trade_laminate(plies, LAYERS, &after), MW_TRADE_OK);
        const double *const was[3] = {before.a_n_per_m, before.b_n, before.d_n_m};
        const double *const is[3] = {after.a_n_per_m, after.b_n, after.d_n_m};
        for (int i = 0; i < 3; i++) {
            const double size = fabs(was[i][0]) + fabs(was[i][3]);
            assert_close(is[i][0] + is[i][3] + 2 * is[i][1], was[i][0] + was[i][3] + 2 * was[i][1],
                         1e-11 * size);
            assert_close(is[i][5] - is[i][1], was[i][5] - was[i][1], 1e-11 * size);
        }
        assert_near(after.force_n_per_m_k[0] + after.force_n_per_m_k[1],
                    before.force_n_per_m_k[0] + before.force_n_per_m_k[1], 1e-11);
    }
}

/* A stack and its mirror image: no B, no curl; one that is not: found out. */
static void check_mirror(void **state)
{
    uint64_t seed = 20270112;
    (void)state;
    for (int n = 0; n < TRIES; n++) {
        mw_ply plies[2 * LAYERS];
        mw_laminate laminate;
        for (int i = 0; i < LAYERS; i++) {
            plies[i] = plies[2 * LAYERS - 1 - i] = draw_ply(&seed);
        }
        assert_int_equal(mw_trade_laminate(plies, 2 * LAYERS, &laminate), MW_TRADE_OK);
        assert_true(mw_trade_laminate_is_symmetric(&laminate));
        const mw_flexibility flexibility = inverse_of(&laminate);
        for (int i = 0; i < MW_ENTRY_COUNT; i++) {
            assert_close(flexibility.bending_n_m[i], laminate.d_n_m[i],
                         1e-9 * laminate.d_n_m[MW_ENTRY_11]);
        }
        plies[0].thickness_m *= 1.01;
        assert_int_equal(mw_trade_laminate(plies, 2 * LAYERS, &laminate), MW_TRADE_OK);
        assert_false(mw_trade_laminate_is_symmetric(&laminate));
    }
}

/* The response to a load gives the load back: A e + B k = N, B e + D k = M. */
static void check_inverse(void **state)
{
    static const size_t at[3][3] = {{0, 1, 2}, {1, 3, 4}, {2, 4, 5}};
    uint64_t seed = 20270113;
    (void)state;
    for (int n = 0; n < TRIES; n++) {
        mw_ply plies[LAYERS];
        mw_laminate l;
        mw_response r;
        mw_edge_load load;
        for (int i = 0; i < LAYERS; i++) {
            plies[i] = draw_ply(&seed);
        }
        for (int i = 0; i < 3; i++) {
            load.force_n_per_m[i] = draw(&seed, -1000, 1000);
            load.moment_n[i] = draw(&seed, -1, 1);
        }
        assert_int_equal(mw_trade_laminate(plies, LAYERS, &l), MW_TRADE_OK);
        const mw_flexibility flexibility = inverse_of(&l);
        mw_trade_laminate_respond(&l, &flexibility, &load, 0.0, &r);
        for (int i = 0; i < 3; i++) {
            double force = 0.0;
            double moment = 0.0;
            for (int j = 0; j < 3; j++) {
                force +=
                    l.a_n_per_m[at[i][j]] * r.strain[j] + l.b_n[at[i][j]] * r.curvature_per_m[j];
                moment += l.b_n[at[i][j]] * r.strain[j] + l.d_n_m[at[i][j]] * r.curvature_per_m[j];
            }
            assert_close(force, load.force_n_per_m[i], 1e-6);
            assert_close(moment, load.moment_n[i], 1e-9);
        }
    }
}

/* A block of layers that turn is the same as its layers one by one. */
static void check_blocks(void **state)
{
    (void)state;
    const mw_ply blocks[2] = {
        {.elastic = graphite, .thickness_m = 1e-3, .angle_rad = 0.1, .turn_rad = 0.7, .count = 3},
        {.elastic = tuttle_ply, .thickness_m = 2e-3, .angle_rad = -1.0, .count = 2}};
    mw_ply plies[5];
    mw_laminate together, apart;
    for (int i = 0; i < 5; i++) {
        plies[i] = blocks[i < 3 ? 0 : 1];
        plies[i].angle_rad += i < 3 ? i * 0.7 : 0.0;
        plies[i].count = 1.0;
        plies[i].turn_rad = 0.0;
    }
    assert_int_equal(mw_trade_laminate(blocks, 2, &together), MW_TRADE_OK);
    assert_int_equal(mw_trade_laminate(plies, 5, &apart), MW_TRADE_OK);
    for (size_t i = 0; i < 18; i++) {
        assert_close(entry_of(&together, (double)i), entry_of(&apart, (double)i),
                     1e-12 * fabs(entry_of(&apart, (double)(i / 6 * 6))));
    }
}

static void check_balance(void **state)
{
    (void)state;
    const mw_laminate balanced = stack_of(&graphite, (const double[]){30, -30, 0}, 3, 1e-3);
    const mw_laminate not_so = stack_of(&graphite, (const double[]){30, -29, 0}, 3, 1e-3);
    assert_true(mw_trade_laminate_is_balanced(&balanced));
    assert_false(mw_trade_laminate_is_balanced(&not_so));
    assert_false(mw_trade_laminate_is_symmetric(&balanced));
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "row", rows, check_trade_row);
    test_add_rows(&tests, "refused", refusals, check_trade_refusal);
    test_add(&tests, check_turning);
    test_add(&tests, check_mirror);
    test_add(&tests, check_inverse);
    test_add(&tests, check_blocks);
    test_add(&tests, check_balance);
    return test_run(&tests, "trade_stiffness");
}
