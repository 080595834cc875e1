/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Laminate theory: from A, B and D to strains, curvatures and moduli. */
#include "mouldwright/trade_stiffness.h"

#include <math.h>

/* Rows of a matrix from its six entries. */
static void fill(const double entries[MW_ENTRY_COUNT], double rows[3][3])
{
    rows[0][0] = entries[MW_ENTRY_11];
    rows[0][1] = rows[1][0] = entries[MW_ENTRY_12];
    rows[0][2] = rows[2][0] = entries[MW_ENTRY_16];
    rows[1][1] = entries[MW_ENTRY_22];
    rows[1][2] = rows[2][1] = entries[MW_ENTRY_26];
    rows[2][2] = entries[MW_ENTRY_66];
}

/* Inverts a symmetric matrix by its cofactors; false where it is not positive. */
static bool invert(double m[3][3], double out[3][3])
{
    const double c00 = m[1][1] * m[2][2] - m[1][2] * m[1][2];
    const double c01 = m[0][2] * m[1][2] - m[0][1] * m[2][2];
    const double c02 = m[0][1] * m[1][2] - m[0][2] * m[1][1];
    const double whole = m[0][0] * c00 + m[0][1] * c01 + m[0][2] * c02;
    if (!(whole > 0.0) || !(c00 > 0.0) || !isfinite(1.0 / whole)) {
        return false;
    }
    out[0][0] = c00 / whole;
    out[0][1] = out[1][0] = c01 / whole;
    out[0][2] = out[2][0] = c02 / whole;
    out[1][1] = (m[0][0] * m[2][2] - m[0][2] * m[0][2]) / whole;
    out[1][2] = out[2][1] = (m[0][1] * m[0][2] - m[0][0] * m[1][2]) / whole;
    out[2][2] = (m[0][0] * m[1][1] - m[0][1] * m[0][1]) / whole;
    return true;
}

static void multiply(double left[3][3], double right[3][3], double out[3][3])
{
    for (size_t i = 0; i < 3; i++) {
        for (size_t j = 0; j < 3; j++) {
            out[i][j] =
                left[i][0] * right[0][j] + left[i][1] * right[1][j] + left[i][2] * right[2][j];
        }
    }
}

static void keep_entries(double rows[3][3], double entries[MW_ENTRY_COUNT])
{
    entries[MW_ENTRY_11] = rows[0][0];
    entries[MW_ENTRY_12] = rows[0][1];
    entries[MW_ENTRY_16] = rows[0][2];
    entries[MW_ENTRY_22] = rows[1][1];
    entries[MW_ENTRY_26] = rows[1][2];
    entries[MW_ENTRY_66] = rows[2][2];
}

/* With s = A^-1 B, so that B A^-1 = s transposed:
 *     D* = D - B s     d = D*^-1     b = -s d     a = A^-1 - b s^T          (Kaw 2006, section 4.3) */
mw_trade_status mw_trade_laminate_invert(const mw_laminate *laminate, mw_flexibility *flexibility)
{
    double a[3][3], b[3][3], d[3][3], inverse[3][3], s[3][3], lost[3][3];
    mw_flexibility out;
    fill(laminate->a_n_per_m, a);
    fill(laminate->b_n, b);
    fill(laminate->d_n_m, d);
    if (!invert(a, inverse)) {
        return MW_TRADE_NO_SENSE;
    }
    multiply(inverse, b, s);
    multiply(b, s, lost);
    for (size_t i = 0; i < 3; i++) {
        for (size_t j = 0; j < 3; j++) {
            d[i][j] -= 0.5 * (lost[i][j] + lost[j][i]);
        }
    }
    if (!invert(d, out.d_per_n_m)) {
        return MW_TRADE_NO_SENSE;
    }
    keep_entries(d, out.bending_n_m);
    multiply(s, out.d_per_n_m, out.b_per_n);
    for (size_t i = 0; i < 3; i++) {
        for (size_t j = 0; j < 3; j++) {
            const double *row = out.b_per_n[i];
            out.a_m_per_n[i][j] =
                inverse[i][j] + row[0] * s[j][0] + row[1] * s[j][1] + row[2] * s[j][2];
        }
    }
    for (size_t i = 0; i < 9; i++) {
        out.b_per_n[i / 3][i % 3] *= -1.0;
    }
    *flexibility = out;
    return MW_TRADE_OK;
}

/* Kaw 2006, section 4.4: pulled, with `scale` h; bent, with h^3/12. */
static void find_moduli(const double give[3][3], double scale, mw_moduli *moduli)
{
    moduli->ex_pa = 1.0 / (scale * give[0][0]);
    moduli->ey_pa = 1.0 / (scale * give[1][1]);
    moduli->gxy_pa = 1.0 / (scale * give[2][2]);
    moduli->nuxy = -give[0][1] / give[0][0];
}

void mw_trade_laminate_moduli(const mw_flexibility *flexibility, double thickness_m,
                              mw_moduli *pulled, mw_moduli *bent)
{
    const double cube = thickness_m * thickness_m * thickness_m / 12.0;
    find_moduli(flexibility->a_m_per_n, thickness_m, pulled);
    find_moduli(flexibility->d_per_n_m, cube, bent);
}

void mw_trade_laminate_respond(const mw_laminate *laminate, const mw_flexibility *flexibility,
                               const mw_edge_load *load, double rise_k, mw_response *response)
{
    double force[3], moment[3];
    for (size_t i = 0; i < 3; i++) {
        force[i] = load->force_n_per_m[i] + rise_k * laminate->force_n_per_m_k[i];
        moment[i] = load->moment_n[i] + rise_k * laminate->moment_n_per_k[i];
    }
    const mw_flexibility *f = flexibility;
    for (size_t i = 0; i < 3; i++) {
        double strain = 0.0;
        double curvature = 0.0;
        for (size_t j = 0; j < 3; j++) {
            strain += f->a_m_per_n[i][j] * force[j] + f->b_per_n[i][j] * moment[j];
            curvature += f->b_per_n[j][i] * force[j] + f->d_per_n_m[i][j] * moment[j];
        }
        response->strain[i] = strain;
        response->curvature_per_m[i] = curvature;
    }
}
