/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Search for short plans of a regular net by populations of lists. */
#ifndef PLAN_SLOTS_SEARCH_H
#define PLAN_SLOTS_SEARCH_H

#include "slots.h"

typedef struct slots_best {
    int32_t length;
    int32_t *starts;    /* by activity */
    int32_t bound;      /* proved: not shorter; the search ends when it is reached */
    uint64_t schedules; /* generated so far */
} slots_best;

/* Searches within the budget and writes what is shorter than best->length (INT32_MAX: nothing known
 * yet) into `best`; at least one schedule is made. All memory comes from `arena`. */
mw_status slots_search(const slots_net *net, const mw_slots_budget *budget, slots_best *best,
                       mw_arena *arena) MW_MUST_USE;

#endif
