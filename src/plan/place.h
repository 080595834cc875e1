/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Placing one activity at its earliest among those placed before it, and taking it away again. */
#ifndef PLAN_PLACE_H
#define PLAN_PLACE_H

#include "moment.h"
#include "network.h"
#include "profile.h"

/* Bounds that the windows of its block put on an activity; -INFINITY: none. */
typedef struct plan_release {
    double start_s, end_s;
    uint32_t start_window, end_window; /* the lags that say so */
} plan_release;

typedef struct plan_state {
    const plan_network *network;
    plan_clock *clocks;     /* by calendar */
    plan_profile *profiles; /* by resource: promises and what is placed */
    plan_release *releases; /* by activity */
    double *freed_s;        /* by activity: until when it holds what it holds while waiting */
    mw_plan_slot *slots;    /* by activity */
    mw_plan_slot *earliest; /* by activity: where its block was first tried */
} plan_state;

/* Takes the memory of a state and enters the promises; `slots` is the caller's. */
mw_status plan_state_make(plan_state *state, const plan_network *network, mw_plan_slot *slots,
                          mw_arena *arena) MW_MUST_USE;

/* Places an activity; all that it must follow is placed. Its slot says where and why. */
void plan_place(plan_state *state, uint32_t activity);

/* Gives back what a placed activity holds. */
void plan_unplace(plan_state *state, uint32_t activity);

/* No window holds the activity back any more. */
void plan_release_clear(plan_release *release);

/* Places all activities, block by block. */
void plan_serial(plan_state *state);

/* Returns by how much a window is exceeded; 0 when it is kept (a hundredth of a second is no
 * matter) or its first end is never done. */
double plan_window_excess(const plan_state *state, uint32_t window);

#endif
