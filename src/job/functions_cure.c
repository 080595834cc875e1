/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of cure: from the values of a formula to the methods of the trade and back. */
#include "functions_cure.h"

#include "functions_answer.h"
#include "mouldwright/trade_cure.h"

double cure_time_at(void *host, const double *arguments, uint32_t count)
{
    const size_t points = (count - 1) / 2;
    const mw_cure_points known = {&arguments[1], &arguments[1 + points], points, 10};
    double out = 0;
    (void)host;
    const mw_trade_status status = mw_trade_cure_time(&known, arguments[0], &out);
    return trade_answer(status, out);
}

double cure_time_by_doubling(void *host, const double *arguments, uint32_t count)
{
    const mw_cure_points known = {&arguments[1], &arguments[2], 1, arguments[3]};
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_cure_time(&known, arguments[0], &out);
    return trade_answer(status, out);
}

double cure_energy(void *host, const double *arguments, uint32_t count)
{
    const size_t points = count / 2;
    const mw_cure_points known = {arguments, &arguments[points], points, 10};
    double out = 0;
    (void)host;
    const mw_trade_status status = mw_trade_cure_energy(&known, &out);
    return trade_answer(status, out);
}

double arrhenius_factor(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host;
    (void)count;
    const mw_trade_status status =
        mw_trade_cure_factor(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}

double cure_energy_of_doubling(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_cure_energy_of_doubling(arguments[0], arguments[1], &out);
    return trade_answer(status, out);
}

double cure_speed(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_cure_speed(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}

double peak_energy(void *host, const double *arguments, uint32_t count)
{
    const size_t points = count / 2;
    double out = 0;
    (void)host;
    const mw_trade_status status =
        mw_trade_peak_energy(arguments, &arguments[points], points, &out);
    return trade_answer(status, out);
}

double peak_energy_ozawa(void *host, const double *arguments, uint32_t count)
{
    const size_t points = count / 2;
    double out = 0;
    (void)host;
    const mw_trade_status status =
        mw_trade_peak_energy_ozawa(arguments, &arguments[points], points, &out);
    return trade_answer(status, out);
}

double glass_transition(void *host, const double *arguments, uint32_t count)
{
    const mw_glass glass = {arguments[1], arguments[2], arguments[3]};
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_glass_transition(&glass, arguments[0], &out);
    return trade_answer(status, out);
}

double glass_degree(void *host, const double *arguments, uint32_t count)
{
    const mw_glass glass = {arguments[1], arguments[2], arguments[3]};
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_glass_degree(&glass, arguments[0], &out);
    return trade_answer(status, out);
}

double gel_degree(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_gel_degree(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}
