/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plug blocks and handling: from the arguments of a formula to the methods of the trade. */
#include "functions_block.h"

#include "functions_answer.h"
#include "mouldwright/trade_block.h"

double board_layers(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_board_layers(arguments[0], arguments[1], &value);
    return trade_answer(status, value);
}

double boards_in_layer(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_boards_in_layer(
        &(mw_board_plan){arguments[0], arguments[1], arguments[2], arguments[3]}, &value);
    return trade_answer(status, value);
}

double glue_area(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_glue_area(&(mw_board_plan){arguments[0], arguments[1], arguments[2], arguments[3]},
                           arguments[4], arguments[5], &value);
    return trade_answer(status, value);
}

double parts_for(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_parts_for(arguments[0], arguments[1], &value);
    return trade_answer(status, value);
}

double people_to_lift(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_people_to_lift(arguments[0], arguments[1], &value);
    return trade_answer(status, value);
}
