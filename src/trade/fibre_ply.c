/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Micromechanics: whole plies. */
#include "mouldwright/trade_fibre.h"

#include <math.h>

#include "range.h"

static bool is_resin(const mw_resin *resin)
{
    return resin->e_pa > 0.0 && isfinite(resin->e_pa) && resin->nu >= 0.0 && resin->nu < 0.5 &&
           isfinite(resin->growth_per_k);
}

static mw_trade_status growth_of(const mw_fibre *fibre, const mw_resin *resin, double share,
                                 double e1_pa, double growth_per_k[2])
{
    const double root = sqrt(share);
    const double stretch = 1.0 + share * resin->nu * fibre->e1_pa / e1_pa;
    growth_per_k[0] = (share * fibre->growth1_per_k * fibre->e1_pa +
                       (1.0 - share) * resin->growth_per_k * resin->e_pa) /
                      e1_pa;
    growth_per_k[1] = fibre->growth2_per_k * root + (1.0 - root) * stretch * resin->growth_per_k;
    return MW_TRADE_OK;
}

mw_trade_status mw_trade_fibre_growth(const mw_fibre *fibre, const mw_resin *resin,
                                      double fibre_share, double growth_per_k[2])
{
    double e1_pa = 0.0;
    const mw_pair along = {fibre->e1_pa, resin->e_pa, fibre_share};
    if (!is_resin(resin) || !(fibre->e1_pa > 0.0) || !isfinite(fibre->growth1_per_k) ||
        !isfinite(fibre->growth2_per_k)) {
        return MW_TRADE_NO_SENSE;
    }
    const mw_trade_status status = mw_trade_along_fibres(&along, 0.0, &e1_pa);
    return status == MW_TRADE_OK ? growth_of(fibre, resin, fibre_share, e1_pa, growth_per_k)
                                 : status;
}

mw_trade_status mw_trade_unidirectional(const mw_fibre *fibre, const mw_resin *resin,
                                        double fibre_share, mw_ply_elastic *ply)
{
    const double share = fibre_share;
    const double resin_g_pa = resin->e_pa / (2.0 * (1.0 + resin->nu));
    double growth[2] = {0.0, 0.0};
    mw_ply_elastic out = {.e1_pa = 0.0};
    mw_trade_status status = mw_trade_fibre_growth(fibre, resin, share, growth);
    if (status != MW_TRADE_OK || !(fibre->nu12 >= 0.0)) {
        return status != MW_TRADE_OK ? status : MW_TRADE_NO_SENSE;
    }
    if ((status = mw_trade_along_fibres(&(mw_pair){fibre->e1_pa, resin->e_pa, share}, 0.0,
                                        &out.e1_pa)) != MW_TRADE_OK ||
        (status = mw_trade_along_fibres(&(mw_pair){fibre->nu12, resin->nu, share}, 0.0,
                                        &out.nu12)) != MW_TRADE_OK ||
        (status = mw_trade_halpin_tsai(&(mw_pair){fibre->e2_pa, resin->e_pa, share}, 2.0,
                                       &out.e2_pa)) != MW_TRADE_OK ||
        (status = mw_trade_halpin_tsai(&(mw_pair){fibre->g12_pa, resin_g_pa, share}, 1.0,
                                       &out.g12_pa)) != MW_TRADE_OK) {
        return status;
    }
    out.growth1_per_k = growth[0];
    out.growth2_per_k = growth[1];
    *ply = out;
    return MW_TRADE_OK;
}

/* Stiffness and thermal force of sheets one metre thick together: Pa and Pa/K. */
typedef struct sheets {
    double q11, q12, q22, q66;
    double force[2];
} sheets;

/* Fibre along x and along y. */
static void add_crossed(sheets *out, const mw_ply_elastic *single, double along, double across)
{
    const double left = 1.0 - single->nu12 * single->nu12 * single->e2_pa / single->e1_pa;
    const double q11 = single->e1_pa / left;
    const double q22 = single->e2_pa / left;
    const double q12 = single->nu12 * q22;
    const double force1 = q11 * single->growth1_per_k + q12 * single->growth2_per_k;
    const double force2 = q12 * single->growth1_per_k + q22 * single->growth2_per_k;
    out->q11 += along * q11 + across * q22;
    out->q22 += along * q22 + across * q11;
    out->q12 += (along + across) * q12;
    out->q66 += (along + across) * single->g12_pa;
    out->force[0] += along * force1 + across * force2;
    out->force[1] += along * force2 + across * force1;
}

/* Fibre in all directions: Tsai and Pagano 1968. It grows as fibre laid half along and half across. */
static void add_mat(sheets *out, const mw_ply_elastic *single, double share)
{
    const double e_pa = 0.375 * single->e1_pa + 0.625 * single->e2_pa;
    const double g_pa = 0.125 * single->e1_pa + 0.25 * single->e2_pa;
    const double nu = e_pa / (2.0 * g_pa) - 1.0;
    const double q11 = e_pa / (1.0 - nu * nu);
    sheets half = {.q11 = 0.0};
    add_crossed(&half, single, 0.5, 0.5);
    const double growth_per_k = half.force[0] / (half.q11 + half.q12);
    out->q11 += share * q11;
    out->q22 += share * q11;
    out->q12 += share * q11 * nu;
    out->q66 += share * g_pa;
    out->force[0] += share * q11 * (1.0 + nu) * growth_per_k;
    out->force[1] += share * q11 * (1.0 + nu) * growth_per_k;
}

static mw_trade_status check_weave(const mw_weave *weave)
{
    if (!is_share(weave->warp_share) || !is_share(weave->mat_share) || !is_share(weave->crimp) ||
        weave->crimp == 0.0) {
        return MW_TRADE_NO_SENSE;
    }
    return weave->crimp < 0.5 ? MW_TRADE_OUT_OF_RANGE : MW_TRADE_OK;
}

mw_trade_status mw_trade_cloth(const mw_fibre *fibre, const mw_resin *resin, double fibre_share,
                               const mw_weave *weave, mw_ply_elastic *ply)
{
    mw_ply_elastic single;
    sheets all = {.q11 = 0.0};
    mw_trade_status status = check_weave(weave);
    if (status == MW_TRADE_OK) {
        status = mw_trade_unidirectional(fibre, resin, fibre_share, &single);
    }
    if (status != MW_TRADE_OK) {
        return status;
    }
    single.e1_pa *= weave->crimp;
    if (!(single.nu12 * single.nu12 * single.e2_pa < single.e1_pa)) { /* no real material */
        return MW_TRADE_NO_SENSE;
    }
    const double woven = 1.0 - weave->mat_share;
    add_crossed(&all, &single, woven * weave->warp_share, woven * (1.0 - weave->warp_share));
    add_mat(&all, &single, weave->mat_share);
    const double whole = all.q11 * all.q22 - all.q12 * all.q12;
    *ply = (mw_ply_elastic){
        .e1_pa = whole / all.q22,
        .e2_pa = whole / all.q11,
        .g12_pa = all.q66,
        .nu12 = all.q12 / all.q22,
        .growth1_per_k = (all.q22 * all.force[0] - all.q12 * all.force[1]) / whole,
        .growth2_per_k = (all.q11 * all.force[1] - all.q12 * all.force[0]) / whole};
    return MW_TRADE_OK;
}
