/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of the laminate: from the arguments of a formula to the methods of the trade. */
#include "functions_laminate.h"

#include "functions_answer.h"
#include "mouldwright/trade_laminate.h"

double ply_thickness(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_ply_thickness(arguments[0], arguments[1], arguments[2], &value);
    return trade_answer(status, value);
}

double measured_fibre_share(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_measured_fibre_share(
        arguments[0], arguments[1], arguments[2], arguments[3], &value);
    return trade_answer(status, value);
}

static mw_mixture mixture_of(const double *arguments)
{
    return (mw_mixture){.share = arguments[0],
                        .density_kgm3 = arguments[1],
                        .other_density_kgm3 = arguments[2],
                        .voids = arguments[3]};
}

double fibre_volume_share(void *host, const double *arguments, uint32_t count)
{
    const mw_mixture mixture = mixture_of(arguments);
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_fibre_volume_share(&mixture, &value);
    return trade_answer(status, value);
}

double resin_volume_share(void *host, const double *arguments, uint32_t count)
{
    const mw_mixture mixture = mixture_of(arguments);
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_volume_share(&mixture, &value);
    return trade_answer(status, value);
}

static mw_ply_parts parts_of(const double *arguments)
{
    return (mw_ply_parts){.fibre_share = arguments[0],
                          .fibre_density_kgm3 = arguments[1],
                          .resin_density_kgm3 = arguments[2],
                          .voids = arguments[3]};
}

double fibre_mass_share(void *host, const double *arguments, uint32_t count)
{
    const mw_ply_parts parts = parts_of(arguments);
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_fibre_mass_share(&parts, &value);
    return trade_answer(status, value);
}

double laminate_density(void *host, const double *arguments, uint32_t count)
{
    const mw_ply_parts parts = parts_of(arguments);
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_laminate_density(&parts, &value);
    return trade_answer(status, value);
}

double resin_to_fill(void *host, const double *arguments, uint32_t count)
{
    const mw_ply_parts parts = parts_of(arguments + 1);
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_resin_to_fill(arguments[0], &parts, &value);
    return trade_answer(status, value);
}

double void_share(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_void_share(arguments[0], arguments[1], arguments[2], arguments[3], &value);
    return trade_answer(status, value);
}

double resin_demand(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_resin_demand(arguments[0], arguments[1], &value);
    return trade_answer(status, value);
}

double layer_thickness(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_layer_thickness(arguments[0], arguments[1], arguments[2], arguments[3], &value);
    return trade_answer(status, value);
}

double resin_soaked(void *host, const double *arguments, uint32_t count)
{
    const mw_fabric fabric = {.thickness_m = arguments[0],
                              .areal_weight_kgm2 = arguments[1],
                              .fibre_density_kgm3 = arguments[2],
                              .soaked = arguments[4]};
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_resin_soaked(&fabric, arguments[3], &value);
    return trade_answer(status, value);
}

double plies_in_one_go(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_plies_in_one_go(arguments[0], arguments[1], &value);
    return trade_answer(status, value);
}
