/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sag of rectangular panels. */
#include "mouldwright/trade_panel.h"

#include <math.h>
#include <stddef.h>

#include "range.h"

#define PI 3.14159265358979323846

/* Longer than this, the ends no longer matter in the middle: less than 0.1 %. Lengths count as far as what the ends do
 * dies away, which twisting stiffness carries farther than bending does. */
#define LONGEST         8.0
#define LONGEST_CLAMPED 6.0
/* Series for longer ones are not summed. */
#define LENGTH_MOST 1000.0

/* A panel with its stiffer direction, as its sides go, along x:
 *     sag = q a^4 / d11 * f(twist, other, ratio) */
typedef struct scaled {
    double load_m; /* q a^4 / d11 */
    double twist;  /* (d12 + 2 d66) / d11 (a/b)^2 */
    double other;  /* d22 / d11 (a/b)^4, at most 1 */
    double side_ratio2;
    double d12_ratio, d22_ratio; /* over d11 */
    double length;               /* as the stiffness goes: other^(-1/4) */
    double ends;                 /* the same, as far as the ends matter */
    bool swapped;
} scaled;

/* Real part of the smallest root k of other k^4 - 2 twist k^2 + 1, times the length. */
static double reach_of_ends(const scaled *s)
{
    const double ratio = s->twist / sqrt(s->other);
    const double root = ratio > 1.0 ? sqrt(1.0 / (ratio + sqrt((ratio - 1.0) * (ratio + 1.0))))
                                    : sqrt(fmax(0.0, (1.0 + ratio) / 2.0));
    return s->length * root;
}

static mw_trade_status scale(const mw_panel *panel, double pressure_pa, scaled *out)
{
    if (!is_above_zero(panel->x_m) || !is_above_zero(panel->y_m) ||
        !is_above_zero(panel->d11_n_m) || !is_above_zero(panel->d22_n_m) ||
        !is_above_zero(panel->d66_n_m) || !is_zero_or_more(pressure_pa) ||
        !(panel->d12_n_m * panel->d12_n_m <= panel->d11_n_m * panel->d22_n_m)) {
        return MW_TRADE_NO_SENSE;
    }
    const double x4 = pow(panel->x_m, 4);
    const double y4 = pow(panel->y_m, 4);
    const bool swap = panel->d22_n_m * x4 > panel->d11_n_m * y4;
    const double d11 = swap ? panel->d22_n_m : panel->d11_n_m;
    const double d22 = swap ? panel->d11_n_m : panel->d22_n_m;
    const double a = swap ? panel->y_m : panel->x_m;
    const double b = swap ? panel->x_m : panel->y_m;
    out->swapped = swap;
    out->side_ratio2 = a / b * (a / b);
    out->d12_ratio = panel->d12_n_m / d11;
    out->d22_ratio = d22 / d11;
    out->load_m = pressure_pa * pow(a, 4) / d11;
    out->twist = (panel->d12_n_m + 2.0 * panel->d66_n_m) / d11 * out->side_ratio2;
    out->other = out->d22_ratio * out->side_ratio2 * out->side_ratio2;
    out->length = 1.0 / sqrt(sqrt(out->other));
    out->ends = reach_of_ends(out);
    const bool long_one = out->length > LENGTH_MOST && out->ends <= LONGEST;
    return isfinite(out->load_m) && isfinite(out->length) && isfinite(out->ends) && !long_one
               ? MW_TRADE_OK
               : MW_TRADE_OUT_OF_RANGE;
}

/* --- held up: Navier ----------------------------------------------------------------------------- */

enum { WAVES = 31 };

/* Sums of (-1)^.. / (m n (m^4 + 2 twist m^2 n^2 + other n^4)) times 1, m^2 and n^2. */
typedef struct sums {
    double sag, bend_x, bend_y;
} sums;

static sums add_waves(const scaled *s)
{
    sums out = {0.0, 0.0, 0.0};
    const int most = (int)(WAVES * s->length) | 1;
    for (int i = WAVES; i > 0; i -= 2) {
        const double m2 = (double)i * i;
        for (int j = most; j > 0; j -= 2) {
            const double n2 = (double)j * j;
            const double stiffness = m2 * m2 + 2.0 * s->twist * m2 * n2 + s->other * n2 * n2;
            const double size = 1.0 / ((double)i * j * stiffness);
            const double term = ((i + j) / 2) % 2 == 1 ? size : -size;
            out.sag += term;
            out.bend_x += term * m2;
            out.bend_y += term * n2;
        }
    }
    return out;
}

mw_trade_status mw_trade_panel_supported(const mw_panel *panel, double pressure_pa, double *sag_m)
{
    scaled s;
    const mw_trade_status status = scale(panel, pressure_pa, &s);
    if (status != MW_TRADE_OK) {
        return status;
    }
    *sag_m = s.load_m * (s.ends > LONGEST ? 5.0 / 384.0 : 16.0 / pow(PI, 6) * add_waves(&s).sag);
    return MW_TRADE_OK;
}

mw_trade_status mw_trade_panel_moments(const mw_panel *panel, double pressure_pa,
                                       mw_panel_moments *moments)
{
    scaled s;
    const mw_trade_status status = scale(panel, pressure_pa, &s);
    if (status != MW_TRADE_OK || s.ends > LONGEST) {
        return status != MW_TRADE_OK ? status : MW_TRADE_OUT_OF_RANGE;
    }
    const sums waves = add_waves(&s);
    const double a = s.swapped ? panel->y_m : panel->x_m;
    const double scale_n = 16.0 / pow(PI, 4) * pressure_pa * a * a;
    const double along = scale_n * (waves.bend_x + s.d12_ratio * s.side_ratio2 * waves.bend_y);
    const double across =
        scale_n * (s.d12_ratio * waves.bend_x + s.d22_ratio * s.side_ratio2 * waves.bend_y);
    *moments = s.swapped ? (mw_panel_moments){across, along} : (mw_panel_moments){along, across};
    return MW_TRADE_OK;
}

/* --- clamped: Ritz --------------------------------------------------------------------------------
 */

enum { TERMS = 6, UNKNOWNS = TERMS * TERMS };

/* Integrals over -1 to 1 of X_i X_j, their slopes and their curvatures, X_i = (1 - x^2)^2 x^2i. */
typedef struct shapes {
    double plain[TERMS][TERMS], slope[TERMS][TERMS], bend[TERMS][TERMS];
    double load[TERMS];
} shapes;

/* Integral of x^power, power even. */
static double whole_of(int power)
{
    return 2.0 / (power + 1);
}

static void add_products(shapes *out, int i, int j)
{
    static const double factor[3] = {1.0, -2.0, 1.0}; /* of (1 - x^2)^2 */
    for (int k = 0; k < 3; k++) {
        for (int l = 0; l < 3; l++) {
            const int p = 2 * i + 2 * k;
            const int q = 2 * j + 2 * l;
            const double both = factor[k] * factor[l];
            out->plain[i][j] += both * whole_of(p + q);
            out->slope[i][j] += p * q == 0 ? 0.0 : both * p * q * whole_of(p + q - 2);
            out->bend[i][j] +=
                p * q == 0 ? 0.0 : both * p * (p - 1) * q * (q - 1) * whole_of(p + q - 4);
        }
    }
}

static void find_shapes(shapes *out)
{
    *out = (shapes){.load = {0.0}};
    for (int i = 0; i < TERMS; i++) {
        for (int j = 0; j < TERMS; j++) {
            add_products(out, i, j);
        }
        out->load[i] = whole_of(2 * i) - 2.0 * whole_of(2 * i + 2) + whole_of(2 * i + 4);
    }
}

/* Solves a positive system by Cholesky's method, in place; false where it is not. */
static bool solve(double m[UNKNOWNS][UNKNOWNS], double x[UNKNOWNS])
{
    for (int i = 0; i < UNKNOWNS; i++) {
        for (int j = 0; j <= i; j++) {
            double left = m[i][j];
            for (int k = 0; k < j; k++) {
                left -= m[i][k] * m[j][k];
            }
            if (i == j && !(left > 0.0)) {
                return false;
            }
            m[i][j] = i == j ? sqrt(left) : left / m[j][j];
        }
        for (int k = 0; k < i; k++) {
            x[i] -= m[i][k] * x[k];
        }
        x[i] /= m[i][i];
    }
    for (int i = UNKNOWNS - 1; i >= 0; i--) {
        for (int k = i + 1; k < UNKNOWNS; k++) {
            x[i] -= m[k][i] * x[k];
        }
        x[i] /= m[i][i];
    }
    return true;
}

/* Sides from -1 to 1: a factor of 16 for the fourth power of half a side. */
static bool bend_clamped(const scaled *s, double *factor)
{
    shapes of;
    double m[UNKNOWNS][UNKNOWNS];
    double x[UNKNOWNS];
    find_shapes(&of);
    for (int i = 0; i < UNKNOWNS; i++) {
        for (int j = 0; j < UNKNOWNS; j++) {
            const int ix = i / TERMS, iy = i % TERMS, jx = j / TERMS, jy = j % TERMS;
            m[i][j] = of.bend[ix][jx] * of.plain[iy][jy] +
                      2.0 * s->twist * of.slope[ix][jx] * of.slope[iy][jy] +
                      s->other * of.plain[ix][jx] * of.bend[iy][jy];
        }
        x[i] = of.load[i / TERMS] * of.load[i % TERMS] / 16.0;
    }
    const bool solved = solve(m, x);
    *factor = x[0]; /* the only shape that is not 0 in the middle */
    return solved;
}

mw_trade_status mw_trade_panel_clamped(const mw_panel *panel, double pressure_pa, double *sag_m)
{
    scaled s;
    double factor = 1.0 / 384.0;
    const mw_trade_status status = scale(panel, pressure_pa, &s);
    if (status != MW_TRADE_OK) {
        return status;
    }
    if (s.length <= LONGEST_CLAMPED && !bend_clamped(&s, &factor)) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    *sag_m = s.load_m * factor;
    return MW_TRADE_OK;
}

bool mw_trade_panel_holds(const mw_panel *panel, double thickness_m, double sag_m)
{
    return thickness_m <= 0.1 * fmin(panel->x_m, panel->y_m) && fabs(sag_m) <= 0.5 * thickness_m;
}
