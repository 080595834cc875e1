/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Milling: how fast the cutter goes, how long roughing and finishing take, how rough it is left.
 *
 * Geometry only: what a machine loses by speeding up and slowing down comes on top. Results go to
 * `out`; with any status but MW_TRADE_OK it keeps what it had. */
#ifndef MOULDWRIGHT_TRADE_MACHINING_H
#define MOULDWRIGHT_TRADE_MACHINING_H

#include "mouldwright/trade.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Height of the ridge between two rows of a ball cutter on a flat surface, m:
 * R - sqrt(R^2 - s^2 / 4). Ball diameter 2 R > 0, m; step-over s > 0 and at most 2 R, m (else
 * MW_TRADE_OUT_OF_RANGE: the rows would leave a strip standing). Exact for a plane; on a surface
 * that bends, the ridge differs by about R over its radius. Source: plane geometry. */
mw_trade_status mw_trade_cusp_height(double ball_diameter_m, double step_over_m,
                                     double *out) MW_MUST_USE;

/* Step-over that leaves ridges of a wanted height, m: 2 sqrt(h (2 R - h)). Ball diameter 2 R > 0,
 * m; height h > 0 and at most R, m (else MW_TRADE_OUT_OF_RANGE). Source: plane geometry. */
mw_trade_status mw_trade_step_over(double ball_diameter_m, double cusp_height_m,
                                   double *out) MW_MUST_USE;

/* Feed of the table, m/s: spindle speed (turns a second, > 0) * teeth (a whole number, 1 to 100) *
 * feed a tooth (m, > 0). Source: Groover, Fundamentals of Modern Manufacturing, chapter on
 * milling. */
mw_trade_status mw_trade_feed(double spindle_per_s, double teeth, double chip_load_m,
                              double *out) MW_MUST_USE;

/* Spindle speed, turns a second, that gives a feed (m/s, > 0) at that feed a tooth; the inverse of
 * mw_trade_feed(). */
mw_trade_status mw_trade_spindle_for_feed(double feed_m_s, double teeth, double chip_load_m,
                                          double *out) MW_MUST_USE;

/* Speed of the cutting edge, m/s: pi * diameter (m, > 0) * spindle speed (turns a second, > 0);
 * and the spindle speed for a cutting speed. Source: as mw_trade_feed(). */
mw_trade_status mw_trade_cutting_speed(double diameter_m, double spindle_per_s,
                                       double *out) MW_MUST_USE;
mw_trade_status mw_trade_spindle_for_speed(double diameter_m, double cutting_m_s,
                                           double *out) MW_MUST_USE;

/* Volume cut away, m3/s: depth (m) * width (m) * feed (m/s), all > 0. Source: as
 * mw_trade_feed(). */
mw_trade_status mw_trade_removal_rate(double depth_m, double width_m, double feed_m_s,
                                      double *out) MW_MUST_USE;

/* Power at the cutter, W: specific energy (J/m3, > 0) * removal rate (m3/s, > 0). Source: Ghosh and
 * Mallik, Manufacturing Science, chapter on machining. */
mw_trade_status mw_trade_cutting_power(double energy_j_m3, double removal_m3_s,
                                       double *out) MW_MUST_USE;

/* Time of roughing, s: volume (m3, >= 0) / removal rate (m3/s, > 0) / share of the time in which
 * the cutter is in the material (over 0, at most 1). Source: definition of the removal rate. */
mw_trade_status mw_trade_roughing_time(double volume_m3, double removal_m3_s, double in_cut,
                                       double *out) MW_MUST_USE;

/* How a surface is finished: in rows side by side. */
typedef struct mw_finishing {
    double area_m2;     /* >= 0 */
    double step_over_m; /* > 0 */
    double feed_m_s;    /* > 0 */
    double row_m;       /* length of a row, > 0 */
    double turn_s;      /* turning round at the end of each row, >= 0 */
    double plunges;     /* how often the cutter comes down anew, >= 0 */
    double plunge_s;    /* each, >= 0 */
} mw_finishing;

/* Time of finishing, s: area / (step-over * feed), and the turns and plunges: there are
 * area / (step-over * row) rows, rounded up. Without turns and plunges it is the geometric least.
 * Source: geometry. */
mw_trade_status mw_trade_finishing_time(const mw_finishing *finishing, double *out) MW_MUST_USE;

/* How far a cutter on its side travels before it is fully in, m: sqrt(d (D - d)). Diameter D > 0, m;
 * depth d >= 0 and at most D / 2, m (else MW_TRADE_OUT_OF_RANGE). Source: Groover, Fundamentals of
 * Modern Manufacturing, peripheral milling. */
mw_trade_status mw_trade_approach(double diameter_m, double depth_m, double *out) MW_MUST_USE;

/* Time of one pass, s: (length + approach) / feed; m >= 0, m >= 0, m/s > 0. Source: as
 * mw_trade_approach(). */
mw_trade_status mw_trade_pass_time(double length_m, double approach_m, double feed_m_s,
                                   double *out) MW_MUST_USE;

/* What a mill does beside cutting: counts (>= 0) and how long each takes (s, >= 0). */
typedef struct mw_mill_handling {
    double set_ups, set_up_s; /* clamping, finding the datum */
    double tool_changes, tool_change_s;
    double points, point_s; /* probed: bushings, datum, a surface measured */
} mw_mill_handling;

/* Time of it all, s. Source: a sum. */
mw_trade_status mw_trade_mill_handling(const mw_mill_handling *handling, double *out) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
