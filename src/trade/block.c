/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plug blocks from boards; hands that lift. */
#include "mouldwright/trade_block.h"

#include "inputs.h"
#include "rounding.h"

#define LIFT_EACH_MAX_KG 25.0
#define LIFT_PEOPLE_MAX  8.0

mw_trade_status mw_trade_board_layers(double height_m, double thickness_m, double *layers)
{
    if (!is_zero_or_more(height_m) || !is_above_zero(thickness_m)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(whole_above(height_m / thickness_m), layers);
}

/* Boards along and across the block. */
typedef struct rows {
    double along, across;
} rows;

static bool is_plan(const mw_board_plan *plan)
{
    return is_above_zero(plan->length_m) && is_above_zero(plan->width_m) &&
           is_above_zero(plan->board_length_m) && is_above_zero(plan->board_width_m);
}

static rows lay_boards(const mw_board_plan *plan)
{
    const rows straight = {whole_above(plan->length_m / plan->board_length_m),
                           whole_above(plan->width_m / plan->board_width_m)};
    const rows turned = {whole_above(plan->length_m / plan->board_width_m),
                         whole_above(plan->width_m / plan->board_length_m)};
    return turned.along * turned.across < straight.along * straight.across ? turned : straight;
}

mw_trade_status mw_trade_boards_in_layer(const mw_board_plan *plan, double *boards)
{
    if (!is_plan(plan)) {
        return MW_TRADE_NO_SENSE;
    }
    const rows laid = lay_boards(plan);
    return trade_put(laid.along * laid.across, boards);
}

mw_trade_status mw_trade_glue_area(const mw_board_plan *plan, double thickness_m, double layers,
                                   double *area_m2)
{
    if (!is_plan(plan) || !is_above_zero(thickness_m) || !is_zero_or_more(layers)) {
        return MW_TRADE_NO_SENSE;
    }
    const rows laid = lay_boards(plan);
    const double between_m2 = fmax(layers - 1.0, 0.0) * plan->length_m * plan->width_m;
    const double butts_m =
        (laid.along - 1.0) * plan->width_m + (laid.across - 1.0) * plan->length_m;
    return trade_put(between_m2 + layers * thickness_m * butts_m, area_m2);
}

mw_trade_status mw_trade_parts_for(double length_m, double travel_m, double *parts)
{
    if (!is_zero_or_more(length_m) || !is_above_zero(travel_m)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(whole_above(length_m / travel_m), parts);
}

mw_trade_status mw_trade_people_to_lift(double mass_kg, double each_kg, double *people)
{
    if (!is_zero_or_more(mass_kg) || !is_above_zero(each_kg)) {
        return MW_TRADE_NO_SENSE;
    }
    const double needed = whole_above(mass_kg / each_kg);
    if (each_kg > LIFT_EACH_MAX_KG || needed > LIFT_PEOPLE_MAX) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(needed, people);
}
