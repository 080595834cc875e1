/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Consumables of a bag and of a session, and the vacuum in the bag. Lengths in m, areas in m2,
 * pressures in Pa, times in s. */
#ifndef MOULDWRIGHT_TRADE_CONSUMABLE_H
#define MOULDWRIGHT_TRADE_CONSUMABLE_H

#include "mouldwright/trade.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Pleats along an edge: edge over their spacing, rounded up. Edge from 0, spacing above 0. Source:
 * common practice, no source: one every 0.3 to 0.5 m. */
mw_trade_status mw_trade_pleats(double edge_m, double spacing_m, double *pleats) MW_MUST_USE;

/* A bag. */
typedef struct mw_bag {
    double area_m2;  /* covered, from 0 */
    double edge_m;   /* of what is covered, from 0 */
    double margin_m; /* film past the edge all round, from 0 */
    double slack;    /* extra film as a share of the area, 0 to 1; above: MW_TRADE_OUT_OF_RANGE */
} mw_bag;

/* Film of a bag in m2: area x (1 + slack) + edge x margin. Source: common practice, no source: a slack of
 * 20 to 30 % on deep shapes, 30 to 50 % with pleats at every corner. */
mw_trade_status mw_trade_bag_film(const mw_bag *bag, double *film_m2) MW_MUST_USE;

/* Sealant tape in m: (edge + 2 x pleat height x pleats) x (1 + spare). All from 0; `spare` up to 1, above:
 * MW_TRADE_OUT_OF_RANGE. Source: geometry of a pleat, which is taped up and down; spare of about 10 %:
 * common practice, no source. */
mw_trade_status mw_trade_sealant_tape(double edge_m, double pleats, double pleat_height_m,
                                      double spare, double *tape_m) MW_MUST_USE;

/* Pieces that wear out in the hand (gloves, rollers): sessions x people x (time of a session over the
 * life of a piece, rounded up). Sessions and people from 0, time from 0, life above 0. Source:
 * arithmetic. */
mw_trade_status mw_trade_worn_out(double sessions, double people, double session_s, double life_s,
                                  double *pieces) MW_MUST_USE;

/* Pressure of the air in Pa at a height in m above sea level: 101325 (1 - 2.25577e-5 h)^5.25588.
 * MW_TRADE_OUT_OF_RANGE: outside 0 to 11 km. Source: U.S. Standard Atmosphere, 1976. */
mw_trade_status mw_trade_air_pressure(double height_m, double *pressure_pa) MW_MUST_USE;

/* Force in N on an area under a pressure difference, both from 0. MW_TRADE_OUT_OF_RANGE: more than one
 * standard atmosphere, which no vacuum gives. Source: definition of pressure. */
mw_trade_status mw_trade_bag_force(double area_m2, double difference_pa,
                                   double *force_n) MW_MUST_USE;

/* Leak rate in Pa m3/s: volume x rise of pressure over time. Volume and time above 0, rise from 0.
 * Source: pressure rise method, EN 1779:1999 (title from memory). */
mw_trade_status mw_trade_leak_rate(double volume_m3, double rise_pa, double time_s,
                                   double *rate_pam3s) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
