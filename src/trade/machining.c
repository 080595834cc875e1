/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Milling by geometry: feeds, removal, ridges, times. */
#include "inputs.h"
#include "mouldwright/trade_machining.h"

static const double pi = 3.14159265358979323846;

mw_trade_status mw_trade_cusp_height(double ball_diameter_m, double step_over_m, double *out)
{
    if (!is_above_zero(ball_diameter_m) || !is_above_zero(step_over_m)) {
        return MW_TRADE_NO_SENSE;
    }
    if (step_over_m > ball_diameter_m) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    /* R - sqrt(R^2 - q^2) without the loss of digits of a small difference */
    const double radius = ball_diameter_m / 2;
    const double half = step_over_m / 2;
    return trade_put(half * half / (radius + sqrt((radius - half) * (radius + half))), out);
}

mw_trade_status mw_trade_step_over(double ball_diameter_m, double cusp_height_m, double *out)
{
    if (!is_above_zero(ball_diameter_m) || !is_above_zero(cusp_height_m)) {
        return MW_TRADE_NO_SENSE;
    }
    if (cusp_height_m > ball_diameter_m / 2) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(2 * sqrt(cusp_height_m * (ball_diameter_m - cusp_height_m)), out);
}

static mw_trade_status check_teeth(double teeth)
{
    if (!is_above_zero(teeth) || teeth != floor(teeth)) {
        return MW_TRADE_NO_SENSE;
    }
    return teeth > 100 ? MW_TRADE_OUT_OF_RANGE : MW_TRADE_OK;
}

mw_trade_status mw_trade_feed(double spindle_per_s, double teeth, double chip_load_m, double *out)
{
    if (!is_above_zero(spindle_per_s) || !is_above_zero(chip_load_m)) {
        return MW_TRADE_NO_SENSE;
    }
    const mw_trade_status status = check_teeth(teeth);
    return status != MW_TRADE_OK ? status : trade_put(spindle_per_s * teeth * chip_load_m, out);
}

mw_trade_status mw_trade_spindle_for_feed(double feed_m_s, double teeth, double chip_load_m,
                                          double *out)
{
    if (!is_above_zero(feed_m_s) || !is_above_zero(chip_load_m)) {
        return MW_TRADE_NO_SENSE;
    }
    const mw_trade_status status = check_teeth(teeth);
    return status != MW_TRADE_OK ? status : trade_put(feed_m_s / (teeth * chip_load_m), out);
}

mw_trade_status mw_trade_cutting_speed(double diameter_m, double spindle_per_s, double *out)
{
    if (!is_above_zero(diameter_m) || !is_above_zero(spindle_per_s)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(pi * diameter_m * spindle_per_s, out);
}

mw_trade_status mw_trade_spindle_for_speed(double diameter_m, double cutting_m_s, double *out)
{
    if (!is_above_zero(diameter_m) || !is_above_zero(cutting_m_s)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(cutting_m_s / (pi * diameter_m), out);
}

mw_trade_status mw_trade_removal_rate(double depth_m, double width_m, double feed_m_s, double *out)
{
    if (!is_above_zero(depth_m) || !is_above_zero(width_m) || !is_above_zero(feed_m_s)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(depth_m * width_m * feed_m_s, out);
}

mw_trade_status mw_trade_cutting_power(double energy_j_m3, double removal_m3_s, double *out)
{
    if (!is_above_zero(energy_j_m3) || !is_above_zero(removal_m3_s)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(energy_j_m3 * removal_m3_s, out);
}

mw_trade_status mw_trade_roughing_time(double volume_m3, double removal_m3_s, double in_cut,
                                       double *out)
{
    if (!is_zero_or_more(volume_m3) || !is_above_zero(removal_m3_s) || !is_above_zero(in_cut) ||
        in_cut > 1) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(volume_m3 / removal_m3_s / in_cut, out);
}

mw_trade_status mw_trade_finishing_time(const mw_finishing *finishing, double *out)
{
    const mw_finishing *of = finishing;
    if (!is_zero_or_more(of->area_m2) || !is_above_zero(of->step_over_m) ||
        !is_above_zero(of->feed_m_s) || !is_above_zero(of->row_m) || !is_zero_or_more(of->turn_s) ||
        !is_zero_or_more(of->plunges) || !is_zero_or_more(of->plunge_s)) {
        return MW_TRADE_NO_SENSE;
    }
    const double rows = ceil(of->area_m2 / (of->step_over_m * of->row_m) * (1 - 1e-12));
    return trade_put(of->area_m2 / (of->step_over_m * of->feed_m_s) + rows * of->turn_s +
                         of->plunges * of->plunge_s,
                     out);
}

mw_trade_status mw_trade_approach(double diameter_m, double depth_m, double *out)
{
    if (!is_above_zero(diameter_m) || !is_zero_or_more(depth_m)) {
        return MW_TRADE_NO_SENSE;
    }
    if (depth_m > diameter_m / 2) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(sqrt(depth_m * (diameter_m - depth_m)), out);
}

mw_trade_status mw_trade_pass_time(double length_m, double approach_m, double feed_m_s, double *out)
{
    if (!is_zero_or_more(length_m) || !is_zero_or_more(approach_m) || !is_above_zero(feed_m_s)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put((length_m + approach_m) / feed_m_s, out);
}

mw_trade_status mw_trade_mill_handling(const mw_mill_handling *handling, double *out)
{
    const double pairs[][2] = {{handling->set_ups, handling->set_up_s},
                               {handling->tool_changes, handling->tool_change_s},
                               {handling->points, handling->point_s}};
    double time_s = 0;
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        if (!is_zero_or_more(pairs[i][0]) || !is_zero_or_more(pairs[i][1])) {
            return MW_TRADE_NO_SENSE;
        }
        time_s += pairs[i][0] * pairs[i][1];
    }
    return trade_put(time_s, out);
}
