/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cure by data sheet. */
#include "mouldwright/trade_cure.h"

#include <gsl/gsl_fit.h>

#include "temperature.h"

/* --- Arrhenius ---------------------------------------------------------------------------------
 */

/* ln(time) = intercept + slope / T by least squares. */
typedef struct line {
    double intercept;
    double slope; /* E / R, K */
    double coldest_k;
    double hottest_k;
} line;

static mw_trade_status check_points(const mw_cure_points *points)
{
    mw_trade_status status = MW_TRADE_OK;
    if (points->count < 1 || points->count > MW_CURE_POINTS_MOST) {
        return MW_TRADE_NO_SENSE;
    }
    for (size_t i = 0; i < points->count && status == MW_TRADE_OK; i++) {
        status = is_above_zero(points->time_s[i]) ? check_temperature(points->temperature_k[i])
                                                  : MW_TRADE_NO_SENSE;
    }
    return status;
}

/* The line through y over 1 / T; false when all temperatures are the same. */
static bool fit_line(const double *temperature_k, const double *y, size_t count, line *fitted)
{
    double inverse[MW_CURE_POINTS_MOST];
    double ignored[4];
    *fitted = (line){.coldest_k = temperature_k[0], .hottest_k = temperature_k[0]};
    for (size_t i = 0; i < count; i++) {
        inverse[i] = 1 / temperature_k[i];
        fitted->coldest_k = fmin(fitted->coldest_k, temperature_k[i]);
        fitted->hottest_k = fmax(fitted->hottest_k, temperature_k[i]);
    }
    if (fitted->hottest_k - fitted->coldest_k < 0.1) {
        return false;
    }
    gsl_fit_linear(inverse, 1, y, 1, count, &fitted->intercept, &fitted->slope, &ignored[0],
                   &ignored[1], &ignored[2], &ignored[3]);
    return isfinite(fitted->slope) && isfinite(fitted->intercept);
}

static mw_trade_status fit_points(const mw_cure_points *points, line *fitted)
{
    double logarithms[MW_CURE_POINTS_MOST];
    const mw_trade_status status = check_points(points);
    if (status != MW_TRADE_OK) {
        return status;
    }
    for (size_t i = 0; i < points->count; i++) {
        logarithms[i] = log(points->time_s[i]);
    }
    if (points->count < 2 || !fit_line(points->temperature_k, logarithms, points->count, fitted) ||
        fitted->slope <= 0) {
        return MW_TRADE_NO_SENSE;
    }
    return MW_TRADE_OK;
}

static mw_trade_status time_by_doubling(const mw_cure_points *point, double at_k, double *out)
{
    const mw_trade_status status = check_points(point);
    const double colder_k = point->temperature_k[0] - at_k;
    if (status != MW_TRADE_OK) {
        return status;
    }
    if (!is_above_zero(point->doubling_k)) {
        return MW_TRADE_NO_SENSE;
    }
    if (point->doubling_k < 2 || point->doubling_k > 40 ||
        fabs(colder_k) > MW_CURE_BEYOND_DOUBLING_K + 1e-9) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(point->time_s[0] * exp2(colder_k / point->doubling_k), out);
}

mw_trade_status mw_trade_cure_time(const mw_cure_points *points, double at_k, double *out)
{
    line fitted;
    mw_trade_status status = check_temperature(at_k);
    if (status != MW_TRADE_OK) {
        return status;
    }
    if (points->count == 1) {
        return time_by_doubling(points, at_k, out);
    }
    status = fit_points(points, &fitted);
    if (status != MW_TRADE_OK) {
        return status;
    }
    if (at_k < fitted.coldest_k - MW_CURE_BEYOND_POINTS_K - 1e-9 ||
        at_k > fitted.hottest_k + MW_CURE_BEYOND_POINTS_K + 1e-9) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(exp(fitted.intercept + fitted.slope / at_k), out);
}

mw_trade_status mw_trade_cure_energy(const mw_cure_points *points, double *out)
{
    line fitted;
    const mw_trade_status status = fit_points(points, &fitted);
    return status != MW_TRADE_OK ? status : trade_put(fitted.slope * TRADE_GAS_CONSTANT, out);
}

mw_trade_status mw_trade_cure_energy_of_doubling(double at_k, double step_k, double *out)
{
    const double ln_2 = 0.693147180559945309417;
    const mw_trade_status status = check_temperature(at_k);
    if (status != MW_TRADE_OK) {
        return status;
    }
    if (!is_above_zero(step_k)) {
        return MW_TRADE_NO_SENSE;
    }
    if (step_k < 1 || step_k > 40) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(TRADE_GAS_CONSTANT * ln_2 * at_k * (at_k + step_k) / step_k, out);
}

mw_trade_status mw_trade_cure_factor(double rate, double energy_jmol, double at_k, double *out)
{
    const mw_trade_status status = check_temperature(at_k);
    if (status != MW_TRADE_OK || !is_zero_or_more(rate) || !is_zero_or_more(energy_jmol)) {
        return status != MW_TRADE_OK ? status : MW_TRADE_NO_SENSE;
    }
    if (energy_jmol > 300e3) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(rate * exp(energy_jmol / (TRADE_GAS_CONSTANT * at_k)), out);
}

mw_trade_status mw_trade_cure_speed(double energy_jmol, double from_k, double to_k, double *out)
{
    mw_trade_status status = check_temperature(from_k);
    if (status == MW_TRADE_OK) {
        status = check_temperature(to_k);
    }
    if (status != MW_TRADE_OK || !is_zero_or_more(energy_jmol)) {
        return status != MW_TRADE_OK ? status : MW_TRADE_NO_SENSE;
    }
    if (energy_jmol > 300e3) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(exp(energy_jmol / TRADE_GAS_CONSTANT * (1 / from_k - 1 / to_k)), out);
}

/* --- peaks at constant heating rates -----------------------------------------------------------
 */

/* The line of ln(rate / Tp^power) over 1 / Tp. */
static mw_trade_status fit_peaks(const double *heating_k_s, const double *peak_k, size_t count,
                                 double power, line *fitted)
{
    double logarithms[MW_CURE_POINTS_MOST];
    if (count < 2 || count > MW_CURE_POINTS_MOST) {
        return MW_TRADE_NO_SENSE;
    }
    for (size_t i = 0; i < count; i++) {
        const mw_trade_status status = check_temperature(peak_k[i]);
        if (status != MW_TRADE_OK || !is_above_zero(heating_k_s[i])) {
            return status != MW_TRADE_OK ? status : MW_TRADE_NO_SENSE;
        }
        logarithms[i] = log(heating_k_s[i]) - power * log(peak_k[i]);
    }
    return fit_line(peak_k, logarithms, count, fitted) && fitted->slope < 0 ? MW_TRADE_OK
                                                                            : MW_TRADE_NO_SENSE;
}

mw_trade_status mw_trade_peak_energy(const double *heating_k_s, const double *peak_k, size_t count,
                                     double *out)
{
    line fitted;
    const mw_trade_status status = fit_peaks(heating_k_s, peak_k, count, 2, &fitted);
    return status != MW_TRADE_OK ? status : trade_put(-fitted.slope * TRADE_GAS_CONSTANT, out);
}

mw_trade_status mw_trade_peak_energy_ozawa(const double *heating_k_s, const double *peak_k,
                                           size_t count, double *out)
{
    line fitted;
    const mw_trade_status status = fit_peaks(heating_k_s, peak_k, count, 0, &fitted);
    if (status != MW_TRADE_OK) {
        return status;
    }
    const double reduced = -fitted.slope / 1.052; /* E / R */
    if (reduced / fitted.hottest_k < 20 || reduced / fitted.coldest_k > 60) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(reduced * TRADE_GAS_CONSTANT, out);
}

/* --- glass transition and gel ------------------------------------------------------------------
 */

static mw_trade_status check_glass(const mw_glass *glass)
{
    mw_trade_status status = check_temperature(glass->uncured_k);
    if (status == MW_TRADE_OK) {
        status = check_temperature(glass->full_k);
    }
    if (status == MW_TRADE_OK &&
        (glass->full_k <= glass->uncured_k || !is_above_zero(glass->lambda) || glass->lambda > 1)) {
        status = MW_TRADE_NO_SENSE;
    }
    return status;
}

mw_trade_status mw_trade_glass_transition(const mw_glass *glass, double degree, double *out)
{
    const mw_trade_status status = check_glass(glass);
    if (status != MW_TRADE_OK || !is_share(degree)) {
        return status != MW_TRADE_OK ? status : MW_TRADE_NO_SENSE;
    }
    const double share = glass->lambda * degree / (1 - (1 - glass->lambda) * degree);
    return trade_put(glass->uncured_k + (glass->full_k - glass->uncured_k) * share, out);
}

mw_trade_status mw_trade_glass_degree(const mw_glass *glass, double glass_k, double *out)
{
    const mw_trade_status status = check_glass(glass);
    if (status != MW_TRADE_OK || !isfinite(glass_k)) {
        return status != MW_TRADE_OK ? status : MW_TRADE_NO_SENSE;
    }
    const double share = (glass_k - glass->uncured_k) / (glass->full_k - glass->uncured_k);
    if (share < 0 || share > 1) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(share / (glass->lambda + (1 - glass->lambda) * share), out);
}

mw_trade_status mw_trade_gel_degree(double ratio, double resin_groups, double hardener_groups,
                                    double *out)
{
    if (!is_above_zero(ratio) || ratio > 1 || !is_above_zero(resin_groups) ||
        !is_above_zero(hardener_groups)) {
        return MW_TRADE_NO_SENSE;
    }
    if (resin_groups < 2 || resin_groups > 20 || hardener_groups < 2 || hardener_groups > 20) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    const double degree = 1 / sqrt(ratio * (resin_groups - 1) * (hardener_groups - 1));
    return degree > 1 ? MW_TRADE_OUT_OF_RANGE : trade_put(degree, out);
}
