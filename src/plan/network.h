/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The problem made ready for planning: lags by activity, what each activity holds, and the order in
 * which activities are placed, cut into blocks that are placed as one. */
#ifndef PLAN_NETWORK_H
#define PLAN_NETWORK_H

#include "mouldwright/arena.h"
#include "mouldwright/plan.h"

/* For each key k the items first[k] up to first[k + 1]. */
typedef struct plan_lists {
    uint32_t *first;
    uint32_t *items;
} plan_lists;

/* What an activity takes of one resource: all its needs of it together. */
typedef struct plan_hold {
    uint32_t resource;
    uint64_t amount;      /* from start to end */
    uint64_t wait_amount; /* from the end until every least lag from the end is over */
} plan_hold;

typedef struct plan_network {
    const mw_plan_problem *problem;
    plan_lists into;   /* by activity: the least lags that it must wait for */
    plan_lists out_of; /* by activity: the least lags that count from its end */
    plan_lists beside; /* by activity: the windows (maximum lags) from it or to it */

    uint32_t *hold_first; /* by activity, one more than there are */
    plan_hold *holds;

    /* A block is a set of activities joined by windows, with all that must lie between them. */
    uint32_t block_count;
    uint32_t *block_of; /* by activity */
    uint32_t
        *block_first;   /* by block, one more than there are: where its members begin in `order` */
    uint32_t *order;    /* activities, each after all that it must follow */
    plan_lists windows; /* by block: its windows */
} plan_network;

/* Returns MW_OK unless an index is out of range, a number is NaN or outside what the header allows,
 * or a least lag leads from an activity to itself. Takes no memory. */
mw_status plan_check(const mw_plan_problem *problem) MW_MUST_USE;

/* Fills `network` for a checked problem; all memory comes from `arena`. MW_FAILED: least lags form
 * a cycle. */
mw_status plan_network_make(plan_network *network, const mw_plan_problem *problem,
                            mw_arena *arena) MW_MUST_USE;

/* Finds blocks and order once the lists of lags are there. */
mw_status plan_network_order(plan_network *network, mw_arena *arena) MW_MUST_USE;

/* Returns `count` zeroed items from the arena, or NULL when there is no memory. */
void *plan_take(mw_arena *arena, size_t count, size_t size) MW_MUST_USE;

/* Puts `count` items into lists by key: item i goes into the list keys[i], in the order of i;
 * MW_NONE: into none. */
mw_status plan_lists_make(plan_lists *lists, uint32_t key_count, const uint32_t *keys,
                          uint32_t count, mw_arena *arena) MW_MUST_USE;

#endif
