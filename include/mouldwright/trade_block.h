/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plug blocks: boards of stock size for a block, glue joints, parts for the mill; mass and handling.
 * Lengths in m, masses in kg. Source of all: geometry and arithmetic, but where a line says otherwise. */
#ifndef MOULDWRIGHT_TRADE_BLOCK_H
#define MOULDWRIGHT_TRADE_BLOCK_H

#include "mouldwright/trade.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Layers of board that reach a height: height over thickness, rounded up; 0 for no height. Height from
 * 0, thickness above 0. */
mw_trade_status mw_trade_board_layers(double height_m, double thickness_m,
                                      double *layers) MW_MUST_USE;

/* A block from above, and a board. All above 0. */
typedef struct mw_board_plan {
    double length_m, width_m;
    double board_length_m, board_width_m;
} mw_board_plan;

/* Boards that cover the block once, all laid the same way: along or across, whichever takes fewer. Strips
 * left over are not used again. */
mw_trade_status mw_trade_boards_in_layer(const mw_board_plan *plan, double *boards) MW_MUST_USE;

/* Area in m2 of all glue joints of a block: those between layers, each of the block's plan, and the butt
 * joints between boards of a layer. `thickness_m` of a board; `layers` from 0. Boards laid as above. */
mw_trade_status mw_trade_glue_area(const mw_board_plan *plan, double thickness_m, double layers,
                                   double *area_m2) MW_MUST_USE;

/* Parts that a length has to be made in where a machine takes so much at once: length over travel,
 * rounded up. Length from 0, travel above 0. */
mw_trade_status mw_trade_parts_for(double length_m, double travel_m, double *parts) MW_MUST_USE;

/* People who lift a mass, each no more than `each_kg`: rounded up. Mass from 0, `each_kg` above 0.
 * MW_TRADE_OUT_OF_RANGE: `each_kg` above 25 kg, the reference mass of ISO 11228-1:2021 (from memory);
 * or more than 8 people, where only gear lifts safely. How much a person may lift is for local rules
 * and for whoever is qualified to say. Source: common practice, no source. */
mw_trade_status mw_trade_people_to_lift(double mass_kg, double each_kg, double *people) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
