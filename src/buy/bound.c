/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The dual of the linear relaxation: maximise need . y, where y >= 0 and holds_i . y <= price_i for every size. With at most
 * three parts its corners are tried one by one. */
#include "bound.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* A row a . y = b: a size whose price is met, or a part whose price is 0. */
typedef struct bound_row {
    double of[MW_BUY_PARTS_MAX];
    double right;
} bound_row;

#define SINGULAR 1e-12
#define SLACK    1e-12

static void swap_rows(bound_row *a, bound_row *b)
{
    const bound_row kept = *a;
    *a = *b;
    *b = kept;
}

/* Solves the rows in place by elimination with the largest pivot; false: they have no single solution. */
static bool solve_rows(bound_row *rows, uint32_t parts, double *out)
{
    for (uint32_t c = 0; c < parts; c++) {
        uint32_t largest = c;
        for (uint32_t r = c + 1; r < parts; r++) {
            largest = fabs(rows[r].of[c]) > fabs(rows[largest].of[c]) ? r : largest;
        }
        if (fabs(rows[largest].of[c]) < SINGULAR) {
            return false;
        }
        swap_rows(&rows[c], &rows[largest]);
        for (uint32_t r = 0; r < parts; r++) {
            const double factor = r == c ? 0.0 : rows[r].of[c] / rows[c].of[c];
            for (uint32_t k = 0; k < parts; k++) {
                rows[r].of[k] -= factor * rows[c].of[k];
            }
            rows[r].right -= factor * rows[c].right;
        }
    }
    for (uint32_t c = 0; c < parts; c++) {
        out[c] = rows[c].right / rows[c].of[c];
    }
    return true;
}

/* Row `at` of the sizes and, behind them, of the parts; scaled so that its largest figure is 1. */
static bound_row row_at(const bound_pack *packs, uint32_t count, uint32_t parts, uint32_t at)
{
    bound_row row = {{0}, 0};
    if (at >= count) {
        row.of[at - count] = 1.0;
        return row;
    }
    double largest = 0.0;
    for (uint32_t c = 0; c < parts; c++) {
        largest = fmax(largest, packs[at].holds[c]);
    }
    for (uint32_t c = 0; c < parts; c++) {
        row.of[c] = packs[at].holds[c] / largest;
    }
    row.right = packs[at].price / largest;
    return row;
}

static double dot(const double *a, const double *b, uint32_t parts)
{
    double sum = 0.0;
    for (uint32_t c = 0; c < parts; c++) {
        sum += a[c] * b[c];
    }
    return sum;
}

/* Whether no size costs less than what it holds. */
static bool prices_fit(const bound_pack *packs, uint32_t count, uint32_t parts, const double *y)
{
    for (uint32_t c = 0; c < parts; c++) {
        if (!(y[c] >= -SLACK && isfinite(y[c]))) {
            return false;
        }
    }
    for (uint32_t i = 0; i < count; i++) {
        if (dot(packs[i].holds, y, parts) > packs[i].price * (1.0 + SLACK)) {
            return false;
        }
    }
    return true;
}

/* The next choice of `parts` rows out of `rows`, in order; false: that was the last. */
static bool next_choice(uint32_t *choice, uint32_t parts, uint32_t rows)
{
    for (uint32_t c = parts; c-- > 0;) {
        if (choice[c] < rows - parts + c) {
            choice[c]++;
            for (uint32_t k = c + 1; k < parts; k++) {
                choice[k] = choice[k - 1] + 1;
            }
            return true;
        }
    }
    return false;
}

/* The corner where the rows chosen are met; false: it is none. */
static bool corner_of(const bound_pack *packs, uint32_t count, uint32_t parts,
                      const uint32_t *choice, double *y)
{
    bound_row rows[MW_BUY_PARTS_MAX];
    for (uint32_t c = 0; c < parts; c++) {
        rows[c] = row_at(packs, count, parts, choice[c]);
    }
    if (!solve_rows(rows, parts, y) || !prices_fit(packs, count, parts, y)) {
        return false;
    }
    for (uint32_t c = 0; c < parts; c++) {
        y[c] = fmax(y[c], 0.0);
    }
    return true;
}

void bound_prices(const bound_pack *packs, uint32_t count, uint32_t parts, part_prices *out)
{
    uint32_t choice[MW_BUY_PARTS_MAX];
    assert(parts <= MW_BUY_PARTS_MAX);
    for (uint32_t c = 0; c < MW_BUY_PARTS_MAX; c++) {
        choice[c] = c;
    }
    *out = (part_prices){.count = 0};
    for (uint32_t i = 0; i < count; i++) {
        for (uint32_t c = 0; c < parts; c++) {
            out->held[c] = out->held[c] || packs[i].holds[c] > 0.0;
        }
    }
    do {
        double y[MW_BUY_PARTS_MAX] = {0};
        if (corner_of(packs, count, parts, choice, y)) {
            memcpy(out->of[out->count++], y, sizeof y);
        }
    } while (out->count < BOUND_CORNERS_MAX && next_choice(choice, parts, count + parts));
}

double bound_cost(const part_prices *prices, const double *need, uint32_t parts, uint32_t *corner)
{
    double most = 0.0;
    for (uint32_t c = 0; c < parts; c++) {
        if (need[c] > 0.0 && !prices->held[c]) {
            return (double)INFINITY;
        }
    }
    for (uint32_t k = 0; k < prices->count; k++) {
        const double cost = dot(prices->of[k], need, parts);
        if (corner && cost > most) {
            *corner = k;
        }
        most = fmax(most, cost);
    }
    return most;
}
