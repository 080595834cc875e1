/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of micromechanics: from the arguments of a formula to the methods of the trade. */
#include "functions_fibre.h"

#include "functions_answer.h"
#include "mouldwright/trade_fibre.h"

static mw_pair pair_of(const double *arguments)
{
    return (mw_pair){arguments[0], arguments[1], arguments[2]};
}

double along_fibres(void *host, const double *arguments, uint32_t count)
{
    const mw_pair pair = pair_of(arguments);
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_along_fibres(&pair, 0.0, &value);
    return trade_answer(status, value);
}

double across_fibres(void *host, const double *arguments, uint32_t count)
{
    const mw_pair pair = pair_of(arguments);
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_across_fibres(&pair, &value);
    return trade_answer(status, value);
}

double halpin_tsai(void *host, const double *arguments, uint32_t count)
{
    const mw_pair pair = pair_of(arguments);
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_halpin_tsai(&pair, arguments[3], &value);
    return trade_answer(status, value);
}

double shear_shape(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_shear_shape(arguments[0], &value);
    return trade_answer(status, value);
}

double chamis_across(void *host, const double *arguments, uint32_t count)
{
    const mw_pair pair = pair_of(arguments);
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_chamis_across(&pair, &value);
    return trade_answer(status, value);
}

double krenchel_efficiency(void *host, const double *arguments, uint32_t count)
{
    const uint32_t length = count / 2;
    double value = 0.0;
    (void)host;
    const mw_trade_status status =
        mw_trade_krenchel_efficiency(arguments, arguments + length, length, &value);
    return trade_answer(status, value);
}

double krenchel_modulus(void *host, const double *arguments, uint32_t count)
{
    const mw_pair pair = pair_of(arguments);
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_krenchel_modulus(&pair, arguments[3], &value);
    return trade_answer(status, value);
}

double fibre_spacing(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_fibre_spacing(arguments[0], arguments[1], &value);
    return trade_answer(status, value);
}

/* axis, fibre e1, growth along and across, resin e, nu, growth, share */
double fibre_growth(void *host, const double *arguments, uint32_t count)
{
    const mw_fibre fibre = {
        .e1_pa = arguments[1], .growth1_per_k = arguments[2], .growth2_per_k = arguments[3]};
    const mw_resin resin = {arguments[4], arguments[5], arguments[6]};
    double growth[2] = {0.0, 0.0};
    (void)host, (void)count;
    if (arguments[0] != 1.0 && arguments[0] != 2.0) {
        return trade_answer(MW_TRADE_NO_SENSE, 0.0);
    }
    const mw_trade_status status = mw_trade_fibre_growth(&fibre, &resin, arguments[7], growth);
    return trade_answer(status, growth[arguments[0] == 1.0 ? 0 : 1]);
}

/* fibre e1, e2, g12, nu12, resin e, nu, share, share along the warp, crimp, share of mat */
static mw_trade_status cloth_of(const double *arguments, const double growth[3],
                                mw_ply_elastic *ply)
{
    const mw_fibre fibre = {arguments[0], arguments[1], arguments[2],
                            arguments[3], growth[0],    growth[1]};
    const mw_resin resin = {arguments[4], arguments[5], growth[2]};
    const mw_weave weave = {arguments[7], arguments[8], arguments[9]};
    return mw_trade_cloth(&fibre, &resin, arguments[6], &weave, ply);
}

double cloth_modulus(void *host, const double *arguments, uint32_t count)
{
    static const double none[3] = {0.0, 0.0, 0.0};
    mw_ply_elastic ply = {.e1_pa = 0.0};
    (void)host, (void)count;
    const mw_trade_status status = cloth_of(arguments + 1, none, &ply);
    const double axis = arguments[0];
    if (axis != 1.0 && axis != 2.0 && axis != 6.0) {
        return trade_answer(MW_TRADE_NO_SENSE, 0.0);
    }
    return trade_answer(status, axis == 1.0 ? ply.e1_pa : axis == 2.0 ? ply.e2_pa : ply.g12_pa);
}

double cloth_poisson(void *host, const double *arguments, uint32_t count)
{
    static const double none[3] = {0.0, 0.0, 0.0};
    mw_ply_elastic ply = {.e1_pa = 0.0};
    (void)host, (void)count;
    const mw_trade_status status = cloth_of(arguments, none, &ply);
    return trade_answer(status, ply.nu12);
}

double cloth_growth(void *host, const double *arguments, uint32_t count)
{
    mw_ply_elastic ply = {.e1_pa = 0.0};
    (void)host, (void)count;
    if (arguments[0] != 1.0 && arguments[0] != 2.0) {
        return trade_answer(MW_TRADE_NO_SENSE, 0.0);
    }
    const mw_trade_status status = cloth_of(arguments + 1, arguments + 11, &ply);
    return trade_answer(status, arguments[0] == 1.0 ? ply.growth1_per_k : ply.growth2_per_k);
}
