/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Laminate theory: from plies to A, B and D. */
#include "mouldwright/trade_stiffness.h"

#include <math.h>

#include "range.h"

/* The reduced stiffness of a ply in its own axes. */
typedef struct reduced {
    double q11, q12, q22, q66;
} reduced;

/* Kaw 2006, section 2.4. */
static mw_trade_status reduce(const mw_ply_elastic *ply, reduced *q)
{
    if (!is_above_zero(ply->e1_pa) || !is_above_zero(ply->e2_pa) || !is_above_zero(ply->g12_pa)) {
        return MW_TRADE_NO_SENSE;
    }
    /* Positive strain energy: Jones, Mechanics of Composite Materials, 2nd ed. 1999, section 2.4. */
    const double left = 1.0 - ply->nu12 * ply->nu12 * ply->e2_pa / ply->e1_pa;
    if (!(left > 0.0)) {
        return MW_TRADE_NO_SENSE;
    }
    q->q11 = ply->e1_pa / left;
    q->q22 = ply->e2_pa / left;
    q->q12 = ply->nu12 * q->q22;
    q->q66 = ply->g12_pa;
    return MW_TRADE_OK;
}

/* Tsai and Hahn 1980, chapter 3. */
static void find_invariants(const reduced *q, double u[5])
{
    const double sum = q->q11 + q->q22;
    u[0] = (3.0 * sum + 2.0 * q->q12 + 4.0 * q->q66) / 8.0;
    u[1] = (q->q11 - q->q22) / 2.0;
    u[2] = (sum - 2.0 * q->q12 - 4.0 * q->q66) / 8.0;
    u[3] = (sum + 6.0 * q->q12 - 4.0 * q->q66) / 8.0;
    u[4] = (sum - 2.0 * q->q12 + 4.0 * q->q66) / 8.0;
}

/* Kaw 2006, section 2.6, by invariants. */
static void turn(const double u[5], double cos2, double sin2, double q[MW_ENTRY_COUNT])
{
    const double cos4 = 2.0 * cos2 * cos2 - 1.0;
    const double sin4 = 2.0 * sin2 * cos2;
    q[MW_ENTRY_11] = u[0] + u[1] * cos2 + u[2] * cos4;
    q[MW_ENTRY_12] = u[3] - u[2] * cos4;
    q[MW_ENTRY_16] = 0.5 * u[1] * sin2 + u[2] * sin4;
    q[MW_ENTRY_22] = u[0] - u[1] * cos2 + u[2] * cos4;
    q[MW_ENTRY_26] = 0.5 * u[1] * sin2 - u[2] * sin4;
    q[MW_ENTRY_66] = u[4] - u[2] * cos4;
}

mw_trade_status mw_trade_ply_stiffness(const mw_ply_elastic *ply, double angle_rad,
                                       double q_pa[MW_ENTRY_COUNT])
{
    reduced q;
    double u[5];
    const mw_trade_status status = reduce(ply, &q);
    if (status != MW_TRADE_OK || !isfinite(angle_rad)) {
        return MW_TRADE_NO_SENSE;
    }
    find_invariants(&q, u);
    turn(u, cos(2.0 * angle_rad), sin(2.0 * angle_rad), q_pa);
    return MW_TRADE_OK;
}

mw_trade_status mw_trade_ply_invariants(const mw_ply_elastic *ply, double u_pa[5])
{
    reduced q;
    const mw_trade_status status = reduce(ply, &q);
    if (status == MW_TRADE_OK) {
        find_invariants(&q, u_pa);
    }
    return status;
}

/* --- a stack ------------------------------------------------------------------------------------ */

/* Checks the blocks and adds up their thickness. */
static mw_trade_status measure_stack(const mw_ply *plies, size_t count, double *thickness_m)
{
    double layers = 0.0;
    double thickness = 0.0;
    for (size_t i = 0; i < count; i++) {
        const mw_ply *ply = &plies[i];
        if (!is_above_zero(ply->thickness_m) || !isfinite(ply->angle_rad) ||
            !isfinite(ply->turn_rad) || !(ply->count >= 0.0)) {
            return MW_TRADE_NO_SENSE;
        }
        if (ply->count > MW_LAYERS_MOST) {
            return MW_TRADE_OUT_OF_RANGE;
        }
        if (ply->count != (double)(int)ply->count) {
            return MW_TRADE_NO_SENSE;
        }
        layers += ply->count;
        thickness += ply->count * ply->thickness_m;
    }
    if (layers > MW_LAYERS_MOST) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    *thickness_m = thickness;
    return layers > 0.0 && isfinite(thickness) ? MW_TRADE_OK : MW_TRADE_NO_SENSE;
}

/* One layer that is being added. */
typedef struct layer {
    double q[MW_ENTRY_COUNT];
    double growth[3]; /* x, y, xy */
    double middle_m;  /* its z */
    double thickness_m;
} layer;

/* Growth along x and y: Kaw 2006, section 2.9. */
static void turn_growth(const mw_ply_elastic *ply, double cos2, double sin2, double growth[3])
{
    const double mean = 0.5 * (ply->growth1_per_k + ply->growth2_per_k);
    const double half = 0.5 * (ply->growth1_per_k - ply->growth2_per_k);
    growth[0] = mean + half * cos2;
    growth[1] = mean - half * cos2;
    growth[2] = 2.0 * half * sin2;
}

/* Kaw 2006, sections 4.3 and 4.5, with z^2 and z^3 written by the middle of the layer, so that thin
 * layers far out lose no digits. */
static void add_layer(mw_laminate *out, const layer *now)
{
    const double t = now->thickness_m;
    const double arm = t * now->middle_m;
    const double inertia = arm * now->middle_m + t * t * t / 12.0;
    for (size_t i = 0; i < MW_ENTRY_COUNT; i++) {
        out->a_n_per_m[i] += now->q[i] * t;
        out->b_n[i] += now->q[i] * arm;
        out->d_n_m[i] += now->q[i] * inertia;
    }
    const double *q = now->q;
    const double *g = now->growth;
    const double force[3] = {q[MW_ENTRY_11] * g[0] + q[MW_ENTRY_12] * g[1] + q[MW_ENTRY_16] * g[2],
                             q[MW_ENTRY_12] * g[0] + q[MW_ENTRY_22] * g[1] + q[MW_ENTRY_26] * g[2],
                             q[MW_ENTRY_16] * g[0] + q[MW_ENTRY_26] * g[1] + q[MW_ENTRY_66] * g[2]};
    for (size_t i = 0; i < 3; i++) {
        out->force_n_per_m_k[i] += force[i] * t;
        out->moment_n_per_k[i] += force[i] * arm;
    }
}

/* Adds the layers of a block, the lowest face of which is at *bottom_m. */
static mw_trade_status add_block(mw_laminate *out, const mw_ply *ply, double *bottom_m)
{
    reduced q;
    double u[5];
    const mw_trade_status status = reduce(&ply->elastic, &q);
    if (status != MW_TRADE_OK) {
        return status;
    }
    find_invariants(&q, u);
    layer now = {.thickness_m = ply->thickness_m, .middle_m = *bottom_m + 0.5 * ply->thickness_m};
    const uint64_t layers = (uint64_t)ceil(ply->count);
    for (uint64_t n = 0; n < layers; n++) {
        const double i = (double)n;
        if (n == 0 || ply->turn_rad != 0.0) {
            const double twice = 2.0 * (ply->angle_rad + i * ply->turn_rad);
            const double cos2 = cos(twice);
            const double sin2 = sin(twice);
            turn(u, cos2, sin2, now.q);
            turn_growth(&ply->elastic, cos2, sin2, now.growth);
        }
        add_layer(out, &now);
        now.middle_m += ply->thickness_m;
    }
    *bottom_m += ply->count * ply->thickness_m;
    return MW_TRADE_OK;
}

mw_trade_status mw_trade_laminate(const mw_ply *plies, size_t count, mw_laminate *laminate)
{
    mw_laminate out = {.thickness_m = 0.0};
    mw_trade_status status = measure_stack(plies, count, &out.thickness_m);
    double bottom_m = -0.5 * out.thickness_m;
    for (size_t i = 0; i < count && status == MW_TRADE_OK; i++) {
        status = add_block(&out, &plies[i], &bottom_m);
    }
    if (status == MW_TRADE_OK) {
        *laminate = out;
    }
    return status;
}

/* --- what the entries tell ---------------------------------------------------------------------- */

#define NEXT_TO_NOTHING 1e-6

static double largest_of(const double *values, size_t count)
{
    double largest = 0.0;
    for (size_t i = 0; i < count; i++) {
        largest = fmax(largest, fabs(values[i]));
    }
    return largest;
}

bool mw_trade_laminate_is_symmetric(const mw_laminate *laminate)
{
    const double arm_m = 0.5 * laminate->thickness_m * NEXT_TO_NOTHING;
    const double force = largest_of(laminate->force_n_per_m_k, 3);
    return largest_of(laminate->b_n, MW_ENTRY_COUNT) <=
               largest_of(laminate->a_n_per_m, MW_ENTRY_COUNT) * arm_m &&
           largest_of(laminate->moment_n_per_k, 3) <= force * arm_m;
}

bool mw_trade_laminate_is_balanced(const mw_laminate *laminate)
{
    const double *a = laminate->a_n_per_m;
    const double least = NEXT_TO_NOTHING * (a[MW_ENTRY_11] + a[MW_ENTRY_22]);
    return fabs(a[MW_ENTRY_16]) <= least && fabs(a[MW_ENTRY_26]) <= least;
}
