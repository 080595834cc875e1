/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of labour and learning: from the values of a formula to the methods of the trade and
 * back. */
#include "functions_labour.h"

#include "functions_answer.h"
#include "mouldwright/trade_labour.h"
#include "mouldwright/trade_learning.h"

double labour_by_rate(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_labour_rate(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}

double labour_by_power(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_labour_power(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}

double labour_slow_start(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_labour_slow_start(arguments[0], arguments[1], &out);
    return trade_answer(status, out);
}

double labour_hyperbola(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_labour_hyperbola(arguments[0], arguments[1], &out);
    return trade_answer(status, out);
}

static double by_law(mw_labour_law law, double layers, double size)
{
    double out = 0;
    const mw_trade_status status = mw_trade_labour_law(law, layers, size, &out);
    return trade_answer(status, out);
}

double published_cloth_labour(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return by_law(MW_LAW_CLOTH, arguments[0], arguments[1]);
}

double published_tape_labour(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return by_law(MW_LAW_TAPE_3IN, arguments[0], arguments[1]);
}

double published_wide_tape_labour(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return by_law(MW_LAW_TAPE_12IN, arguments[0], arguments[1]);
}

double published_pattern_labour(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return by_law(MW_LAW_PATTERN, 1, arguments[0]);
}

double published_compacting_labour(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return by_law(MW_LAW_COMPACT, 1, arguments[0]);
}

double published_cleaning_labour(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return by_law(MW_LAW_CLEAN, 1, arguments[0]);
}

double published_release_labour(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return by_law(MW_LAW_RELEASE, 1, arguments[0]);
}

double published_trimming_labour(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return by_law(MW_LAW_TRIM, 1, arguments[0]);
}

double shape_factor(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_shape_factor(arguments[0], &out);
    return trade_answer(status, out);
}

double bend_factor(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_bend_factor(arguments[0], &out);
    return trade_answer(status, out);
}

double basic_time(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_basic_time(arguments[0], arguments[1], &out);
    return trade_answer(status, out);
}

double standard_time(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_standard_time(arguments[0], arguments[1], &out);
    return trade_answer(status, out);
}

double learning_slope(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_learning_slope(arguments[0], &out);
    return trade_answer(status, out);
}

double unit_learning(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_unit_piece(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}

double unit_learning_lot(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_unit_lot(arguments[0], arguments[1], arguments[2], arguments[3], &out);
    return trade_answer(status, out);
}

double unit_learning_lot_quick(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_unit_lot_by_integral(arguments[0], arguments[1], arguments[2], arguments[3], &out);
    return trade_answer(status, out);
}

double unit_learning_midpoint(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_unit_midpoint(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}

double unit_learning_midpoint_quick(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_unit_midpoint_by_integral(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}

double unit_learning_first(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_unit_first(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}

double average_learning(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_average_mean(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}

double average_learning_lot(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_average_lot(arguments[0], arguments[1], arguments[2], arguments[3], &out);
    return trade_answer(status, out);
}

double average_learning_first(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_average_first(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}

double learning_error(void *host, const double *arguments, uint32_t count)
{
    double out = 0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_learning_error(arguments[0], arguments[1], arguments[2], &out);
    return trade_answer(status, out);
}
