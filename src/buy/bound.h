/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lower bounds of what a need costs. */
#ifndef MW_BUY_BOUND_H
#define MW_BUY_BOUND_H

#include "mouldwright/buy.h"

/* A size as the bound sees it: linear, at its lowest price. */
typedef struct bound_pack {
    double holds[MW_BUY_PARTS_MAX];
    double price;
} bound_pack;

#define BOUND_CORNERS_MAX 64

/* Prices of the parts at which no pack costs less than what it holds: the corners of all such prices. The dearest of them
 * for a need is the least that the need costs. */
typedef struct part_prices {
    double of[BOUND_CORNERS_MAX][MW_BUY_PARTS_MAX];
    uint32_t count;
    bool held[MW_BUY_PARTS_MAX]; /* whether some pack holds the part */
} part_prices;

/* Finds the corners for the packs given; where there are too many, some. */
void bound_prices(const bound_pack *packs, uint32_t count, uint32_t parts, part_prices *out);
/* The least that `need` (>= 0) costs; infinity: a part is needed that no pack holds. `*corner` (may be NULL) is the corner. */
double bound_cost(const part_prices *prices, const double *need, uint32_t parts, uint32_t *corner);

#endif
