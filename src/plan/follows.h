/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which blocks must stand behind which in a list, and lists sorted as far as that allows. */
#ifndef PLAN_FOLLOWS_H
#define PLAN_FOLLOWS_H

#include "network.h"

typedef struct plan_follows {
    plan_lists rows;  /* by block: rows of `before` */
    uint32_t *before; /* the block that holds what must be placed first */
    uint32_t count;   /* blocks */
} plan_follows;

mw_status plan_follows_make(plan_follows *follows, const plan_network *network,
                            mw_arena *arena) MW_MUST_USE;

/* Whether a block must stand behind another because of a lag between just these two. */
bool plan_must_follow(const plan_follows *follows, uint32_t after, uint32_t before);

/* Sorts a list in which each block stands behind those that it must follow, by keys (one a block,
 * least first), as far as that stays so. Quick for lists that are nearly sorted. */
void plan_sort_blocks(const plan_follows *follows, const double *keys, uint32_t *list);

/* By block: the least of the keys of its activities. */
void plan_block_keys(const plan_network *network, const double *by_activity, double *keys);

#endif
