/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Search for better plans on calendars: a population of lists of blocks. */
#ifndef PLAN_BREED_H
#define PLAN_BREED_H

#include "mouldwright/plan_search.h"
#include "place.h"

/* What makes one plan better than another, in this order. */
typedef struct plan_cost {
    uint32_t never_count;  /* activities */
    uint32_t missed_count; /* windows */
    double moved_s;        /* from what was agreed */
    double last_s;
    double late_s; /* weighted */
    double sum_s;  /* of all ends, from the start */
} plan_cost;

/* Of the slots of the state. */
plan_cost plan_cost_of(const plan_state *state);
/* Whether nothing is missing. */
bool plan_cost_whole(const plan_cost *cost);
/* Whether `a` is better than `b`. */
bool plan_cost_better(const plan_cost *a, const plan_cost *b);

typedef struct plan_best {
    mw_plan_slot *slots; /* by activity */
    plan_cost cost;
    double bound_s; /* the search ends when a plan with nothing missing ends then */
    uint64_t schedules;
} plan_best;

/* Makes plans within the budget, the first in the order of the network, the second by the tails of
 * the activities, and keeps the best. The slots of the state are scratch. */
mw_status plan_breed(plan_state *state, const mw_plan_budget *budget, plan_best *best,
                     const double *tails_s, mw_arena *arena) MW_MUST_USE;

#endif
