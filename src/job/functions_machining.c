/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of milling: from the values of a formula to the methods of the trade and back. */
#include "functions_machining.h"

#include "functions_answer.h"
#include "mouldwright/trade_machining.h"

double cusp_height(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_cusp_height(arguments[0], arguments[1], &out);
    return trade_answer(status, out);
}

double step_over(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_step_over(arguments[0], arguments[1], &out);
    return trade_answer(status, out);
}

double cutter_feed(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_feed(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}

double spindle_for_feed(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_spindle_for_feed(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}

double cutting_speed(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_cutting_speed(arguments[0], arguments[1], &out);
    return trade_answer(status, out);
}

double spindle_for_speed(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_spindle_for_speed(arguments[0], arguments[1], &out);
    return trade_answer(status, out);
}

double removal_rate(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_removal_rate(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}

double cutting_power(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_cutting_power(arguments[0], arguments[1], &out);
    return trade_answer(status, out);
}

double roughing_time(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_roughing_time(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}

double finishing_time(void *host, const double *arguments, uint32_t count)
{
    const mw_finishing plain = {
        .area_m2 = arguments[0], .step_over_m = arguments[1], .feed_m_s = arguments[2], .row_m = 1};
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_finishing_time(&plain, &out);
    return trade_answer(status, out);
}

double finishing_time_with_turns(void *host, const double *arguments, uint32_t count)
{
    const mw_finishing finishing = {.area_m2 = arguments[0],
                                    .step_over_m = arguments[1],
                                    .feed_m_s = arguments[2],
                                    .row_m = arguments[3],
                                    .turn_s = arguments[4],
                                    .plunges = arguments[5],
                                    .plunge_s = arguments[6]};
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_finishing_time(&finishing, &out);
    return trade_answer(status, out);
}

double cutter_approach(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_approach(arguments[0], arguments[1], &out);
    return trade_answer(status, out);
}

double pass_time(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_pass_time(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}

double mill_handling(void *host, const double *arguments, uint32_t count)
{
    const mw_mill_handling handling = {arguments[0], arguments[1], arguments[2],
                                       arguments[3], arguments[4], arguments[5]};
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_mill_handling(&handling, &out);
    return trade_answer(status, out);
}
