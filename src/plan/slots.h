/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A problem in whole slots made ready for solving, and schedule generation on it.
 *
 * Everything that generates schedules works on a side: the problem as it is, or its mirror image,
 * in which time runs backwards. A backward pass is a forward pass on the mirror side. */
#ifndef PLAN_SLOTS_H
#define PLAN_SLOTS_H

#include "mouldwright/arena.h"
#include "mouldwright/plan_slots.h"
#include "random.h"

/* What must lie between the start of another activity and that of this one. */
typedef struct slots_edge {
    uint32_t other;
    int32_t lag;
} slots_edge;

typedef struct slots_side {
    uint32_t *first;   /* by activity, one more than there are: where its edges begin */
    slots_edge *edges; /* what it must follow */
    uint32_t *order;   /* activities, each behind those that it must follow */
    int32_t *tail;     /* by activity: the longest path from its start to the end of all */
} slots_side;

enum { SLOTS_FORWARD = 0, SLOTS_MIRROR = 1, SLOTS_SIDES = 2, SLOTS_WORD_LANES = 4 };

typedef struct slots_net {
    const mw_slots_problem *problem;
    uint32_t count;  /* activities */
    uint32_t words;  /* 64-bit words for the resources of one slot, four resources a word */
    int32_t horizon; /* no best plan is longer; 0: too long for planning in slots */
    int32_t path;    /* the longest path */
    /* All lags agree with generation in both directions: none negative on either side, no cycle. */
    bool regular;
    const int32_t *durations;
    uint64_t *demands;             /* by activity and word: a lane of 16 bits a resource */
    uint64_t *capacities;          /* by word, with the guard bit of each lane set */
    slots_side sides[SLOTS_SIDES]; /* only of a regular net */
} slots_net;

/* The top bit of each lane: it stays set as long as what is subtracted fits. */
#define SLOTS_GUARDS 0x8000800080008000u

/* What is free in each slot, kept between schedules so that generation takes no memory. */
typedef struct slots_profile {
    uint64_t *free; /* by slot and word */
    int32_t used;   /* slots from 0 on that are not as at first */
} slots_profile;

/* Makes a checked problem ready; all memory comes from `arena`. */
mw_status slots_net_make(slots_net *net, const mw_slots_problem *problem,
                         mw_arena *arena) MW_MUST_USE;

/* Whether a problem is within the limits of the header. */
bool slots_problem_fits(const mw_slots_problem *problem);

mw_status slots_profile_make(slots_profile *profile, const slots_net *net,
                             mw_arena *arena) MW_MUST_USE;

/* As at first. */
void slots_profile_clear(slots_profile *profile, const slots_net *net);
/* Whether an activity fits into one slot. */
bool slots_profile_fits(const slots_profile *profile, const slots_net *net, int32_t slot,
                        uint32_t activity);
/* Takes what an activity needs from `at` on; `used` is the caller's to keep. */
void slots_profile_take(slots_profile *profile, const slots_net *net, int32_t at,
                        uint32_t activity);

typedef struct slots_run {
    const slots_net *net;
    const slots_side *side;
    slots_profile *profile;
    const uint32_t *list; /* all activities, each behind those that it must follow on the side */
    int32_t *starts;      /* by activity, in the time of the side: filled */
    int32_t limit;        /* nobody asks for a longer schedule */
} slots_run;

/* Serial generation: each activity of the list at its earliest. Returns the last end, or INT32_MAX
 * as soon as that is known to be beyond the limit. Adds to `*placed` how many were given a start.
 * Source: Kelley 1963; Kolisch, Serial and parallel resource-constrained project scheduling methods
 * revisited, EJOR 90, 1996. */
int32_t slots_serial(const slots_run *run, uint64_t *placed);

#endif
