/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Learning curves: unit and cumulative-average form. */
#include "inputs.h"
#include "mouldwright/trade_learning.h"

static const double pieces_most = 1e9;

mw_trade_status mw_trade_learning_slope(double rate, double *out)
{
    if (!is_above_zero(rate)) {
        return MW_TRADE_NO_SENSE;
    }
    if (rate <= 0.5 || rate > 1) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return trade_put(log2(rate), out);
}

static mw_trade_status check_number(double number)
{
    if (!isfinite(number) || number < 1) {
        return MW_TRADE_NO_SENSE;
    }
    return number > pieces_most ? MW_TRADE_OUT_OF_RANGE : MW_TRADE_OK;
}

static mw_trade_status check_lot(double from, double to)
{
    if (!isfinite(from) || !isfinite(to) || from < 1 || to < from || from != floor(from) ||
        to != floor(to)) {
        return MW_TRADE_NO_SENSE;
    }
    return to > pieces_most ? MW_TRADE_OUT_OF_RANGE : MW_TRADE_OK;
}

/* Looks at a curve and a lot, and works out the slope. */
static mw_trade_status start_lot(double rate, double from, double to, double *slope)
{
    const mw_trade_status status = check_lot(from, to);
    return status != MW_TRADE_OK ? status : mw_trade_learning_slope(rate, slope);
}

static mw_trade_status start_piece(double labour, double rate, double number, double *slope)
{
    if (!is_zero_or_more(labour)) {
        return MW_TRADE_NO_SENSE;
    }
    const mw_trade_status status = check_number(number);
    return status != MW_TRADE_OK ? status : mw_trade_learning_slope(rate, slope);
}

/* Integral of x^slope from `from` to `to`, slope over -1, without the loss of digits of a small
 * difference. */
static double integral(double slope, double from, double to)
{
    const double power = 1 + slope;
    return from > 0 ? pow(from, power) * expm1(power * log(to / from)) / power
                    : pow(to, power) / power;
}

/* Sum of k^slope over whole k from `from` to `to`: the first ones one by one, the rest by the formula
 * of Euler and Maclaurin with derivatives up to the fifth (Abramowitz and Stegun, 1964, 23.1.30). */
static double sum_powers(double slope, double from, double to)
{
    const double direct = 64;
    double sum = 0;
    double next = from;
    for (; next <= to && next < from + direct; next++) {
        sum += pow(next, slope);
    }
    if (next > to) {
        return sum;
    }
    const double low = pow(next, slope);
    const double high = pow(to, slope);
    double tail = integral(slope, next, to) + (low + high) / 2;
    const double first = slope;
    const double third = first * (slope - 1) * (slope - 2);
    const double fifth = third * (slope - 3) * (slope - 4);
    tail += first / 12 * (high / to - low / next);
    tail -= third / 720 * (high / pow(to, 3) - low / pow(next, 3));
    tail += fifth / 30240 * (high / pow(to, 5) - low / pow(next, 5));
    return sum + tail;
}

mw_trade_status mw_trade_unit_piece(double first, double rate, double number, double *out)
{
    double slope = 0;
    const mw_trade_status status = start_piece(first, rate, number, &slope);
    return status != MW_TRADE_OK ? status : trade_put(first * pow(number, slope), out);
}

mw_trade_status mw_trade_unit_lot(double first, double rate, double from, double to, double *out)
{
    double slope = 0;
    const mw_trade_status status = start_lot(rate, from, to, &slope);
    if (status != MW_TRADE_OK || !is_zero_or_more(first)) {
        return status != MW_TRADE_OK ? status : MW_TRADE_NO_SENSE;
    }
    return trade_put(first * sum_powers(slope, from, to), out);
}

mw_trade_status mw_trade_unit_lot_by_integral(double first, double rate, double from, double to,
                                              double *out)
{
    double slope = 0;
    const mw_trade_status status = start_lot(rate, from, to, &slope);
    if (status != MW_TRADE_OK || !is_zero_or_more(first)) {
        return status != MW_TRADE_OK ? status : MW_TRADE_NO_SENSE;
    }
    return trade_put(first * integral(slope, from - 0.5, to + 0.5), out);
}

/* The piece whose labour is the mean of a lot whose powers sum to `sum`. */
static mw_trade_status find_midpoint(double slope, double from, double to, double sum, double *out)
{
    const double count = to - from + 1;
    if (slope > -1e-8) { /* any piece does, and a root of 1 / slope would have no digits left */
        return trade_put((from + to) / 2, out);
    }
    return trade_put(pow(sum / count, 1 / slope), out);
}

mw_trade_status mw_trade_unit_midpoint(double rate, double from, double to, double *out)
{
    double slope = 0;
    const mw_trade_status status = start_lot(rate, from, to, &slope);
    return status != MW_TRADE_OK ? status
                                 : find_midpoint(slope, from, to, sum_powers(slope, from, to), out);
}

mw_trade_status mw_trade_unit_midpoint_by_integral(double rate, double from, double to, double *out)
{
    double slope = 0;
    const mw_trade_status status = start_lot(rate, from, to, &slope);
    return status != MW_TRADE_OK
               ? status
               : find_midpoint(slope, from, to, integral(slope, from - 0.5, to + 0.5), out);
}

mw_trade_status mw_trade_unit_first(double known, double rate, double number, double *out)
{
    double slope = 0;
    const mw_trade_status status = start_piece(known, rate, number, &slope);
    return status != MW_TRADE_OK ? status : trade_put(known / pow(number, slope), out);
}

mw_trade_status mw_trade_average_mean(double first, double rate, double count, double *out)
{
    return mw_trade_unit_piece(first, rate, count, out);
}

/* What the pieces of a lot take in the average form, the first piece taking 1. */
static double average_lot(double slope, double from, double to)
{
    return (1 + slope) * integral(slope, from - 1, to);
}

mw_trade_status mw_trade_average_lot(double first, double rate, double from, double to, double *out)
{
    double slope = 0;
    const mw_trade_status status = start_lot(rate, from, to, &slope);
    if (status != MW_TRADE_OK || !is_zero_or_more(first)) {
        return status != MW_TRADE_OK ? status : MW_TRADE_NO_SENSE;
    }
    return trade_put(first * average_lot(slope, from, to), out);
}

mw_trade_status mw_trade_average_first(double known, double rate, double number, double *out)
{
    double slope = 0;
    const mw_trade_status status = start_lot(rate, number, number, &slope);
    if (status != MW_TRADE_OK || !is_zero_or_more(known)) {
        return status != MW_TRADE_OK ? status : MW_TRADE_NO_SENSE;
    }
    return trade_put(known / average_lot(slope, number, number), out);
}

mw_trade_status mw_trade_learning_error(double taken, double true_rate, double number, double *out)
{
    double taken_slope = 0;
    double true_slope = 0;
    mw_trade_status status = check_number(number);
    if (status == MW_TRADE_OK) {
        status = mw_trade_learning_slope(taken, &taken_slope);
    }
    if (status == MW_TRADE_OK) {
        status = mw_trade_learning_slope(true_rate, &true_slope);
    }
    return status != MW_TRADE_OK ? status
                                 : trade_put(expm1((true_slope - taken_slope) * log(number)), out);
}
