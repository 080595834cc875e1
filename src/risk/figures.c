/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quantiles, moments, histogram. */
#include <math.h>
#include <stdlib.h>

#include "mouldwright/risk_figures.h"

static int compare(const void *a, const void *b)
{
    const double *x = a;
    const double *y = b;
    return (*x > *y) - (*x < *y);
}

void mw_risk_sort(double *values, size_t count)
{
    if (count > 1) {
        qsort(values, count, sizeof *values, compare);
    }
}

/* The k-th smallest, from 1, the ends standing for what lies beyond them. */
static double order_value(const double *sorted, size_t count, double k)
{
    const double at = fmin(fmax(k, 1.0), (double)count);
    return sorted[(size_t)at - 1];
}

/* Definitions 1 to 3 have steps. `fuzz` keeps n p from missing a whole number by rounding. */
static double stepped(const double *sorted, size_t count, double share, int definition)
{
    const double place = (double)count * share - (definition == 3 ? 0.5 : 0.0);
    const double fuzz = 4.0 * 0x1p-52;
    const double j = floor(place + fuzz);
    const bool between = place > j + fuzz;
    const double low = order_value(sorted, count, j);
    const double high = order_value(sorted, count, j + 1.0);
    if (between) {
        return high;
    }
    if (definition == 2) {
        return 0.5 * (low + high);
    }
    return definition == 1 || fmod(j, 2.0) == 0.0 ? low : high;
}

double mw_risk_quantile(const double *sorted, size_t count, double share, int definition)
{
    if (definition <= 3) {
        return stepped(sorted, count, share, definition);
    }
    /* Hyndman and Fan, definitions 4 to 9: p_k = (k - a) / (n + 1 - a - b) */
    static const double a_of[] = {0.0, 0.5, 0.0, 1.0, 1.0 / 3.0, 3.0 / 8.0};
    static const double b_of[] = {1.0, 0.5, 0.0, 1.0, 1.0 / 3.0, 3.0 / 8.0};
    const double a = a_of[definition - 4];
    const double b = b_of[definition - 4];
    const double fuzz = 4.0 * 0x1p-52;
    const double place = a + share * ((double)count + 1.0 - a - b);
    const double j = floor(place + fuzz);
    double part = place - j;
    part = fabs(part) < fuzz ? 0.0 : part;
    const double low = order_value(sorted, count, j);
    const double high = order_value(sorted, count, j + 1.0);
    return part == 0.0 ? low : part == 1.0 ? high : low + part * (high - low);
}

mw_risk_moments mw_risk_moments_of(const double *values, size_t count)
{
    mw_risk_moments found = {.low = values[0], .high = values[0]};
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        sum += values[i] - values[0];
        found.low = fmin(found.low, values[i]);
        found.high = fmax(found.high, values[i]);
    }
    const double shift = sum / (double)count; /* from the first: large numbers that differ little */
    found.mean = values[0] + shift;
    double squares = 0.0;
    double rest = 0.0;
    for (size_t i = 0; i < count; i++) {
        const double off = (values[i] - values[0]) - shift;
        squares += off * off;
        rest += off;
    }
    /* Chan, Golub and LeVeque, American Statistician 37, 1983: the corrected two-pass sum */
    squares -= rest * rest / (double)count;
    found.deviation = count > 1 ? sqrt(fmax(squares, 0.0) / (double)(count - 1)) : 0.0;
    return found;
}

void mw_risk_histogram(const double *values, size_t count, const mw_risk_bins *bins)
{
    for (uint32_t i = 0; i < bins->count; i++) {
        bins->counts[i] = 0;
    }
    const double width = (bins->high - bins->low) / bins->count;
    for (size_t i = 0; i < count; i++) {
        if (!(values[i] >= bins->low && values[i] <= bins->high)) {
            continue;
        }
        const double place = width > 0.0 ? floor((values[i] - bins->low) / width) : 0.0;
        bins->counts[place < bins->count ? (uint32_t)place : bins->count - 1]++;
    }
}
