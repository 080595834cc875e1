/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Splitting an amount so that the parts sum to it: largest remainders, in whole numbers
 * throughout. */
#include "mouldwright/money.h"

#include <math.h>

enum { WEIGHT_BITS = 62 };

__extension__ typedef unsigned __int128 wide;

/* Shares as whole numbers that sum to `sum`. Whatever a double says of a share down to 2^-62 of
 * the sum is kept, so equal shares stay equal and plain proportions stay exact. */
typedef struct weights {
    const double *shares;
    int shift;
    uint64_t sum;
} weights;

static uint64_t weight_of(const weights *all, size_t at)
{
    return (uint64_t)ldexp(all->shares[at], all->shift);
}

/* Returns false when a share is negative or no number, or all are 0. */
static bool weigh(weights *all, size_t count)
{
    double largest = 0;
    double sum = 0;
    for (size_t i = 0; i < count; i++) {
        if (!(all->shares[i] >= 0) || isinf(all->shares[i])) {
            return false;
        }
        largest = all->shares[i] > largest ? all->shares[i] : largest;
    }
    if (!(largest > 0)) {
        return false;
    }
    int exponent;
    frexp(largest, &exponent);
    for (size_t i = 0; i < count; i++) {
        sum += ldexp(all->shares[i], -exponent);
    }
    int more;
    frexp(sum, &more);
    all->shift = WEIGHT_BITS - exponent - more;
    for (size_t i = 0; i < count; i++) {
        all->sum += weight_of(all, i);
    }
    return all->sum > 0;
}

/* Returns the part rounded down; sets the remainder, below the sum of the weights. */
static uint64_t share_down(const weights *all, uint64_t total, size_t at, uint64_t *remainder)
{
    wide product = (wide)total * weight_of(all, at);
    *remainder = (uint64_t)(product % all->sum);
    return (uint64_t)(product / all->sum);
}

/* Returns the largest bound such that at least `wanted` of the remainders in `parts` reach it. */
static uint64_t find_bound(const int64_t *parts, size_t count, uint64_t wanted, uint64_t above)
{
    uint64_t low = 0;
    uint64_t high = above;
    while (high - low > 1) {
        uint64_t middle = low + (high - low) / 2;
        uint64_t reached = 0;
        for (size_t i = 0; i < count; i++) {
            reached += (uint64_t)parts[i] >= middle;
        }
        if (reached >= wanted) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return low;
}

bool mw_money_split(int64_t total, const double *shares, size_t count, int64_t *parts)
{
    weights all = {.shares = shares};
    if (!weigh(&all, count)) {
        return false;
    }
    uint64_t amount = total < 0 ? 0 - (uint64_t)total : (uint64_t)total;
    uint64_t left = amount;
    uint64_t remainder;
    for (size_t i = 0; i < count; i++) {
        left -= share_down(&all, amount, i, &remainder);
        parts[i] = (int64_t)remainder;
    }
    uint64_t bound = find_bound(parts, count, left, all.sum);
    uint64_t ties = left;
    for (size_t i = 0; i < count; i++) {
        ties -= (uint64_t)parts[i] > bound;
    }
    for (size_t i = 0; i < count; i++) {
        uint64_t part = share_down(&all, amount, i, &remainder);
        bool tie = remainder == bound && ties > 0 && left > 0;
        ties -= tie;
        part += remainder > bound || tie;
        parts[i] = (int64_t)(total < 0 ? 0 - part : part);
    }
    return true;
}
