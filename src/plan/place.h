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
    const uint32_t *blocks; /* all blocks in the order of placing; NULL: as they are numbered */
    const uint32_t *turns;  /* all activities, for placing one by one */
    double *more_s; /* by activity: rework for windows that it missed; NULL: no window has any */
    bool in_turn;   /* so, and windows move nothing: they are kept or missed */
} plan_state;

/* Takes the memory of a state and enters the promises; `slots` is the caller's. */
mw_status plan_state_make(plan_state *state, const plan_network *network, mw_plan_slot *slots,
                          mw_arena *arena) MW_MUST_USE;

/* Takes away all that is placed: the promises stay. */
void plan_state_reset(plan_state *state);

/* Places an activity; all that it must follow is placed. Its slot says where and why. */
void plan_place(plan_state *state, uint32_t activity);

/* Says of an activity placed by others what held it back: a lag or the calendar, or, where it starts
 * later than those say, `reason`. All slots have their starts and ends. */
void plan_explain(plan_state *state, uint32_t activity, mw_plan_reason reason, uint32_t binding);

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
