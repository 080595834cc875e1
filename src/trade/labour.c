/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Labour by size. */
#include "inputs.h"
#include "mouldwright/trade_labour.h"

static const double pi = 3.14159265358979323846;

mw_trade_status mw_trade_labour_rate(double set_up_s, double size, double rate_s, double *out)
{
    if (!is_zero_or_more(set_up_s) || !is_zero_or_more(size) || !is_zero_or_more(rate_s)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(set_up_s + size * rate_s, out);
}

mw_trade_status mw_trade_labour_power(double known_s, double ratio, double exponent, double *out)
{
    if (!is_zero_or_more(known_s) || !is_above_zero(ratio) || !isfinite(exponent)) {
        return MW_TRADE_NO_SENSE;
    }
    if (ratio < 0.01 || ratio > 100 || exponent < 0 || exponent > 2) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(known_s * pow(ratio, exponent), out);
}

/* T - (1 - exp(-T)), which loses its digits near 0 when written so: there it is the series. */
static double done_by(double time)
{
    if (time > 0.5) {
        return time + expm1(-time);
    }
    double term = time * time / 2;
    double sum = term;
    for (int i = 3; i < 20; i++) {
        term *= -time / i;
        sum += term;
    }
    return sum;
}

mw_trade_status mw_trade_labour_slow_start(double steady_s, double delay_s, double *out)
{
    if (!is_zero_or_more(steady_s) || !is_above_zero(delay_s)) {
        return MW_TRADE_NO_SENSE;
    }
    const double wanted = steady_s / delay_s;
    if (wanted == 0) {
        return trade_put(0, out);
    }
    /* The work done is convex in time and the hyperbola is never late: one step of Newton's lands
     * beyond the root, the others come down to it. */
    double time = sqrt(wanted * (wanted + 2));
    for (int i = 0; i < 50; i++) {
        const double step = (done_by(time) - wanted) / -expm1(-time);
        time -= step;
        if (fabs(step) <= 1e-14 * time) {
            break;
        }
    }
    return trade_put(time * delay_s, out);
}

mw_trade_status mw_trade_labour_hyperbola(double steady_s, double delay_s, double *out)
{
    if (!is_zero_or_more(steady_s) || !is_above_zero(delay_s)) {
        return MW_TRADE_NO_SENSE;
    }
    return trade_put(sqrt(steady_s * (steady_s + 2 * delay_s)), out);
}

/* hours = set_up_h + layers * factor * size^exponent, size in in or in2. */
typedef struct law_row {
    double set_up_h;
    double factor;
    double exponent;
    bool area;   /* size is an area, else a length */
    bool layers; /* has a number of layers or strips */
} law_row;

static const law_row laws[MW_LAW_COUNT] = {
    [MW_LAW_CLOTH] = {0.05, 0.000751, 0.6295, true, true},
    [MW_LAW_TAPE_3IN] = {0.05, 0.001454, 0.8245, false, true},
    [MW_LAW_TAPE_12IN] = {0.1, 0.001585, 0.558, false, true},
    [MW_LAW_PATTERN] = {0, 0.000107, 0.77006, true, false},
    [MW_LAW_COMPACT] = {0.02, 0.000175, 0.6911, true, false},
    [MW_LAW_CLEAN] = {0, 0.000006, 1, true, false},
    [MW_LAW_RELEASE] = {0, 0.000009, 1, true, false},
    [MW_LAW_TRIM] = {0, 0.00011, 1, false, false},
};

mw_trade_status mw_trade_labour_law(mw_labour_law law, double layers, double size, double *out)
{
    const double inch_m = 0.0254;
    if ((unsigned)law >= MW_LAW_COUNT || !is_above_zero(layers) || layers != floor(layers) ||
        !is_above_zero(size)) {
        return MW_TRADE_NO_SENSE;
    }
    const law_row *row = &laws[law];
    if (layers > 10000 || size > 1000 || (layers != 1 && !row->layers)) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    const double inches = row->area ? size / (inch_m * inch_m) : size / inch_m;
    return trade_put((row->set_up_h + layers * row->factor * pow(inches, row->exponent)) * 3600,
                     out);
}

mw_trade_status mw_trade_shape_factor(double shape_class, double *out)
{
    static const double factors[] = {1, 1.15, 1.3, 1.6, 2};
    const int last = sizeof factors / sizeof factors[0] - 1;
    if (!isfinite(shape_class)) {
        return MW_TRADE_NO_SENSE;
    }
    if (shape_class < 1 || shape_class > last + 1) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    const int below = shape_class >= last + 1 ? last - 1 : (int)floor(shape_class) - 1;
    const double share = shape_class - 1 - below;
    return trade_put(factors[below] + share * (factors[below + 1] - factors[below]), out);
}

mw_trade_status mw_trade_bend_factor(double angle_rad, double *out)
{
    if (!is_zero_or_more(angle_rad)) {
        return MW_TRADE_NO_SENSE;
    }
    if (angle_rad > 2 * pi * (1 + 1e-12)) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(1 + angle_rad / pi, out);
}

mw_trade_status mw_trade_basic_time(double observed_s, double rating, double *out)
{
    if (!is_zero_or_more(observed_s) || !is_above_zero(rating)) {
        return MW_TRADE_NO_SENSE;
    }
    if (rating < 0.5 || rating > 1.5) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(observed_s * rating, out);
}

mw_trade_status mw_trade_standard_time(double basic_s, double allowance, double *out)
{
    if (!is_zero_or_more(basic_s) || !is_zero_or_more(allowance)) {
        return MW_TRADE_NO_SENSE;
    }
    if (allowance > 1) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(basic_s * (1 + allowance), out);
}
