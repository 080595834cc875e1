/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How fast the trade's methods compute, by CPU time.
 *
 * laminate-stack ns for A, B, D and thermal forces of a stack of 8 layers, each of another angle;
 * limit: the same arithmetic as one plain loop that checks nothing, compiled alike
 * laminate-stack-rate the same in stacks a second (more is better)
 * cure-integration us for an autocatalytic cure of an hour at 60 degC to an error of 1e-9; limit: a
 * plain loop of the classical Runge-Kutta method with as many equal steps as that error asks for */
#include <math.h>
#include <stddef.h>

#include "bench.h"
#include "mouldwright/trade_kinetics.h"
#include "mouldwright/trade_stiffness.h"

enum { LAYERS = 8, STACKS = 512, ROUNDS = 40, RUNS = 9 };

static mw_ply stacks[STACKS][LAYERS];

static void make_stacks(void)
{
    for (int s = 0; s < STACKS; s++) {
        for (int i = 0; i < LAYERS; i++) {
            stacks[s][i] = (mw_ply){
                .elastic = {150e9 + 1e8 * s, 9e9 + 1e6 * s, 5e9 + 1e7 * i, 0.28, 1e-6, 25e-6},
                .thickness_m = 1.25e-4 + 1e-6 * i,
                .angle_rad = 0.01 * ((s * 31 + i * 17) % 314),
                .count = 1.0};
        }
    }
}

/* --- the plain loop: A, B, D in one array, Q turned by invariants -------------------------------- */

#if defined(__GNUC__)
#define NOINLINE __attribute__((noinline))
#else
#define NOINLINE
#endif

NOINLINE static void plain_stack(const mw_ply *plies, size_t count, double out[25])
{
    double whole = 0;
    for (size_t i = 0; i < count; i++) {
        whole += plies[i].thickness_m;
    }
    for (int i = 0; i < 25; i++) {
        out[i] = 0;
    }
    out[24] = whole;
    double bottom = -0.5 * whole;
    for (size_t i = 0; i < count; i++) {
        const mw_ply *p = &plies[i];
        const mw_ply_elastic *e = &p->elastic;
        const double left = 1 - e->nu12 * e->nu12 * e->e2_pa / e->e1_pa;
        const double q11 = e->e1_pa / left, q22 = e->e2_pa / left, q12 = e->nu12 * q22;
        const double q66 = e->g12_pa, sum = q11 + q22;
        const double u1 = (3 * sum + 2 * q12 + 4 * q66) / 8, u2 = (q11 - q22) / 2;
        const double u3 = (sum - 2 * q12 - 4 * q66) / 8, u4 = (sum + 6 * q12 - 4 * q66) / 8;
        const double u5 = (sum - 2 * q12 + 4 * q66) / 8;
        const double c = cos(2 * p->angle_rad), s = sin(2 * p->angle_rad);
        const double c4 = 2 * c * c - 1, s4 = 2 * s * c;
        const double q[6] = {u1 + u2 * c + u3 * c4, u4 - u3 * c4,           0.5 * u2 * s + u3 * s4,
                             u1 - u2 * c + u3 * c4, 0.5 * u2 * s - u3 * s4, u5 - u3 * c4};
        const double mean = 0.5 * (e->growth1_per_k + e->growth2_per_k);
        const double half = 0.5 * (e->growth1_per_k - e->growth2_per_k);
        const double gx = mean + half * c, gy = mean - half * c, gxy = 2 * half * s;
        const double t = p->thickness_m, z = bottom + 0.5 * t;
        const double arm = t * z, inertia = arm * z + t * t * t / 12;
        for (int k = 0; k < 6; k++) {
            out[k] += q[k] * t;
            out[6 + k] += q[k] * arm;
            out[12 + k] += q[k] * inertia;
        }
        const double f[3] = {q[0] * gx + q[1] * gy + q[2] * gxy, q[1] * gx + q[3] * gy + q[4] * gxy,
                             q[2] * gx + q[4] * gy + q[5] * gxy};
        for (int k = 0; k < 3; k++) {
            out[18 + k] += f[k] * t;
            out[21 + k] += f[k] * arm;
        }
        bottom += t;
    }
}

static double seconds_of_ours(double *check)
{
    const double from = bench_now_s();
    for (int r = 0; r < ROUNDS; r++) {
        for (int s = 0; s < STACKS; s++) {
            mw_laminate laminate;
            bench_must(mw_trade_laminate(stacks[s], LAYERS, &laminate) == MW_TRADE_OK, "refused");
            *check += laminate.d_n_m[MW_ENTRY_11];
        }
    }
    return bench_now_s() - from;
}

static double seconds_of_plain(double *check)
{
    const double from = bench_now_s();
    for (int r = 0; r < ROUNDS; r++) {
        for (int s = 0; s < STACKS; s++) {
            double out[25];
            plain_stack(stacks[s], LAYERS, out);
            *check += out[12];
        }
    }
    return bench_now_s() - from;
}

static void bench_stacks(void)
{
    double ours[RUNS], plain[RUNS];
    double check[2] = {0, 0};
    make_stacks();
    for (int i = 0; i < RUNS; i++) {
        ours[i] = seconds_of_ours(&check[0]) / (ROUNDS * STACKS);
        plain[i] = seconds_of_plain(&check[1]) / (ROUNDS * STACKS);
    }
    bench_must(fabs(check[0] - check[1]) <= 1e-9 * fabs(check[1]), "the two loops differ");
    const double ours_s = bench_median(ours, RUNS);
    const double plain_s = bench_median(plain, RUNS);
    bench_print("laminate-stack", ours_s * 1e9, "ns", plain_s * 1e9);
    bench_print("laminate-stack-rate", 1 / ours_s, "stacks/s", 1 / plain_s);
}

/* --- cure ---------------------------------------------------------------------------------------- */

#define GAS_CONSTANT 8.314462618

static const mw_kinetics kinetics = {.law = MW_CURE_AUTOCATALYTIC,
                                     .factor_1s = {1e4, 2e5, 0},
                                     .energy_jmol = {55e3, 55e3, 0},
                                     .m = 0.5,
                                     .n = 1.5,
                                     .coldest_k = 280,
                                     .hottest_k = 400};
#define AT_K   333.15
#define HOLD_S 3600.0

/* The rate constants anew at each call, as a temperature that changes would ask for. */
static double plain_rate(double degree)
{
    const double hot = exp(-55e3 / (GAS_CONSTANT * AT_K));
    return (1e4 * hot + 2e5 * hot * pow(degree, 0.5)) * pow(1 - degree, 1.5);
}

NOINLINE static double plain_cure(int steps)
{
    const double h = HOLD_S / steps;
    double a = 0.01;
    for (int i = 0; i < steps; i++) {
        const double k1 = plain_rate(a), k2 = plain_rate(a + 0.5 * h * k1);
        const double k3 = plain_rate(a + 0.5 * h * k2), k4 = plain_rate(a + h * k3);
        a += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
    }
    return a;
}

/* The fewest steps, doubled each time, that come within 1e-9. */
static int steps_needed(void)
{
    const double exact = plain_cure(1 << 16);
    int steps = 1;
    while (fabs(plain_cure(steps) - exact) > 1e-9) {
        steps *= 2;
    }
    return steps;
}

static void bench_cure(void)
{
    enum { TIMES = 200 };
    double ours[RUNS], plain[RUNS];
    const double target_k = AT_K, ramp = 1.0, hold_s = HOLD_S;
    const mw_cure_programme programme = {AT_K, &target_k, &ramp, &hold_s, 1};
    mw_cure_solver *solver = mw_cure_solver_new();
    bench_must(solver != NULL, "no memory");
    const int steps = steps_needed();
    double degree = 0;
    double other = 0;
    for (int i = 0; i < RUNS; i++) {
        double from = bench_now_s();
        for (int j = 0; j < TIMES; j++) {
            bench_must(mw_trade_cure_degree(solver, &kinetics, &programme, 0.01, &degree) ==
                           MW_TRADE_OK,
                       "cure refused");
        }
        ours[i] = (bench_now_s() - from) / TIMES;
        from = bench_now_s();
        for (int j = 0; j < TIMES; j++) {
            other = plain_cure(steps);
        }
        plain[i] = (bench_now_s() - from) / TIMES;
    }
    bench_must(fabs(degree - other) < 1e-7, "the two integrations differ");
    const double ours_s = bench_median(ours, RUNS);
    bench_print("cure-integration", ours_s * 1e6, "us", bench_median(plain, RUNS) * 1e6);
    mw_cure_solver_free(solver);
}

int main(void)
{
    bench_stacks();
    bench_cure();
    return EXIT_SUCCESS;
}
