/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which packs to buy: the cheapest whole numbers of packs that cover a need. Plain numbers only.
 *
 * A pack of one size holds so much of each part (resin alone, hardener alone, both). Of a size at least `at_least` are bought
 * or none. The price of a size may fall with the number bought of it; the lower price then counts for all of them.
 * Method: depth first over the sizes, the cheapest by content first; the last size follows from what is still missing.
 * A branch is left when what it has cost plus a lower bound of the rest is no less than the best found. The bound prices
 * the parts so that no size costs less than what it holds (a solution of the dual of the linear relaxation, found by trying
 * its corners), rounded up to a multiple of what all prices are multiples of.
 * Source: Land and Doig, An automatic method of solving discrete programming problems, 1960 (branch and bound);
 * Gilmore and Gomory, The theory and computation of knapsack functions, 1966 (order of the sizes). */
#ifndef MOULDWRIGHT_BUY_H
#define MOULDWRIGHT_BUY_H

#include "mouldwright/status.h"

#include <stdbool.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#define MW_BUY_PACKS_MAX  12 /* sizes of a material */
#define MW_BUY_PARTS_MAX  3  /* parts, the least order among them */
#define MW_BUY_BREAKS_MAX 8  /* lower prices of a size */
#define MW_BUY_COUNT_MAX  1000000

/* From so many packs on each of them costs so much. */
typedef struct mw_buy_break {
    uint32_t from; /* 2 and more, rising */
    double price;  /* minor units, >= 0 */
} mw_buy_break;

/* A size of pack. */
typedef struct mw_buy_pack {
    double
        holds[MW_BUY_PARTS_MAX]; /* of each part, >= 0, not all 0; any unit, the same as the need */
    double price;                /* minor units of money, >= 0; need not be whole */
    mw_buy_break breaks[MW_BUY_BREAKS_MAX];
    uint32_t break_count;
    uint32_t at_least; /* packs in one order: 0 and 1 are the same */
} mw_buy_pack;

typedef struct mw_buy_problem {
    double need[MW_BUY_PARTS_MAX]; /* >= 0 */
    uint32_t part_count;           /* 1 to MW_BUY_PARTS_MAX */
    const mw_buy_pack *packs;
    uint32_t pack_count; /* 1 to MW_BUY_PACKS_MAX */
    uint64_t work_most;  /* nodes after which the search gives up; 0: two million */
} mw_buy_problem;

typedef struct mw_buy_answer {
    uint32_t counts[MW_BUY_PACKS_MAX]; /* of each size */
    int64_t cost;                      /* sum of mw_buy_line() over the sizes */
    bool proven;                       /* false: the work ran out; the best found so far */
    uint64_t work;                     /* nodes looked at */
} mw_buy_answer;

/* Minor units for `count` packs of a size: the price that counts at that number, rounded once, halves up. */
int64_t mw_buy_line(const mw_buy_pack *pack, uint32_t count);

/* Finds the cheapest cover. A need that is met but for one part in 1e9 is met. MW_OK; MW_FAILED: no number of packs covers the
 * need (nothing holds a part that is wanted, more than MW_BUY_COUNT_MAX packs of a size) or the figures are unfit;
 * `answer` is then all 0. Of covers of equal cost the first in the order of the search is taken. */
mw_status mw_buy_cheapest(const mw_buy_problem *problem, mw_buy_answer *answer) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
