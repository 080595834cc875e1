/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pushing a finished plan to the right: what can start late without the end moving is not urgent. */
#ifndef PLAN_JUSTIFY_H
#define PLAN_JUSTIFY_H

#include "place.h"

typedef struct plan_justifying {
    uint32_t *order; /* room for all activities */
    double *start_s; /* by activity: the result */
    uint32_t
        *out_of;    /* by activity: the first of the lags from it in `lags`, one more at the end */
    uint32_t *lags; /* least lags by `from` */
} plan_justifying;

/* Takes the memory, and lists the lags. */
mw_status plan_justify_make(plan_justifying *j, const plan_network *network,
                            mw_arena *arena) MW_MUST_USE;

/* Finds for each activity of the plan in the slots of the state about the latest start at which the
 * last end stays: going back from that end, latest ends first, each activity moves on as far as what
 * follows it and what else is held by then allow, taking as long as it takes in the plan. Nights and
 * windows are left aside, so that this is an order of urgency and no plan. The profiles of the state
 * are used and left as plan_state_reset() leaves them. What is never done is urgent last.
 * Source: Li and Willis, EJOR 56, 1992 (iterative forward and backward scheduling); Valls, Ballestin
 * and Quintanilla, EJOR 165, 2005 (justification). */
void plan_justify(plan_state *state, plan_justifying *j);

#endif
