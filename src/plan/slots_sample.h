/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Making schedules: from a list, or as a random sample. */
#ifndef PLAN_SLOTS_SAMPLE_H
#define PLAN_SLOTS_SAMPLE_H

#include "slots.h"

/* What making needs, so that it takes no memory. */
typedef struct slots_maker {
    const slots_net *net;
    plan_random random;
    slots_profile profile;
    uint64_t placed;   /* starts given to activities so far: one schedule is as many as there are */
    uint32_t *list;    /* the list to be read; in the end the order in which starts were given */
    int32_t *starts;   /* by activity, in the time of the side */
    uint32_t *ready;   /* what may be placed next */
    uint32_t *fitting; /* places in `ready` */
    uint32_t *waiting; /* by activity: how many that it must follow are not placed */
    double *weights;
} slots_maker;

mw_status slots_maker_make(slots_maker *maker, const slots_net *net, uint64_t seed,
                           mw_arena *arena) MW_MUST_USE;

/* Generates from maker->list; returns the length, or INT32_MAX as soon as it is known to be beyond
 * `limit`. */
int32_t slots_generate(slots_maker *maker, int side, int32_t limit);

/* Parallel generation: in each slot from the first on what is ready and fits, chosen by chance with
 * a bias to what has the longest path behind it. Returns the length.
 * Source: Brooks and White 1965 (parallel scheme); Drexl, Scheduling of project networks by job
 * assignment, Management Science 37, 1991 (regret-based biased sampling). */
int32_t slots_sample(slots_maker *maker, int side);

#endif
