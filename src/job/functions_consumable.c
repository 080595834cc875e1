/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Consumables and vacuum: from the arguments of a formula to the methods of the trade. */
#include "functions_consumable.h"

#include "functions_answer.h"
#include "mouldwright/trade_consumable.h"

double pleats_along(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_pleats(arguments[0], arguments[1], &value);
    return trade_answer(status, value);
}

double bag_film(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_bag_film(
        &(mw_bag){arguments[0], arguments[1], arguments[2], arguments[3]}, &value);
    return trade_answer(status, value);
}

double sealant_tape(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_sealant_tape(arguments[0], arguments[1], arguments[2], arguments[3], &value);
    return trade_answer(status, value);
}

double worn_out(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_worn_out(arguments[0], arguments[1], arguments[2], arguments[3], &value);
    return trade_answer(status, value);
}

double air_pressure(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_air_pressure(arguments[0], &value);
    return trade_answer(status, value);
}

double bag_force(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_bag_force(arguments[0], arguments[1], &value);
    return trade_answer(status, value);
}

double leak_rate(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_leak_rate(arguments[0], arguments[1], arguments[2], &value);
    return trade_answer(status, value);
}
