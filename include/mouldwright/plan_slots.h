/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Planning in whole time slots: activities of fixed length, renewable resources, and least time
 * lags from start to start, negative ones included. Knows no calendars; the planner of a workshop
 * stands on it where every calendar is always open. The last end is made as early as can be. */
#ifndef MOULDWRIGHT_PLAN_SLOTS_H
#define MOULDWRIGHT_PLAN_SLOTS_H

#include <stdbool.h>
#include <stdint.h>

#include "mouldwright/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* start(to) - start(from) is at least `least` slots. A negative amount says that `from` starts at
 * most that many slots after `to`: a maximum lag. */
typedef struct mw_slots_lag {
    uint32_t from, to; /* activities */
    int32_t least;     /* -1,000,000 to 1,000,000 */
} mw_slots_lag;

/* A problem; everything is borrowed until solving returns. */
typedef struct mw_slots_problem {
    uint32_t activity_count;   /* at most 10,000 */
    const int32_t *durations;  /* by activity: 0 to 1,000,000 */
    uint32_t resource_count;   /* at most 64 */
    const int32_t *capacities; /* by resource: 0 to 30,000 */
    const int32_t *demands; /* of activity a of resource r: [a * resource_count + r], 0 to 30,000 */
    const mw_slots_lag *lags;
    uint32_t lag_count;
} mw_slots_problem;

/* How much work may be spent. The same seed and budget give the same answer; `stop` is for those
 * who would not wait for it. */
typedef struct mw_slots_budget {
    uint64_t seed;
    /* Schedules to be generated; a pass that gives each activity one start counts one, backward
     * ones too. Source: Kolisch and Hartmann, EJOR 174, 2006. */
    uint64_t schedules;
    /* Conflicts of the exact search behind it; 0: no exact search. */
    uint64_t conflicts;
    bool (*stop)(void *context); /* asked some hundred times a second; NULL: never stop */
    void *context;
} mw_slots_budget;

typedef enum mw_slots_verdict {
    MW_SLOTS_PLANNED,    /* there is a plan */
    MW_SLOTS_IMPOSSIBLE, /* proved: there is none */
    MW_SLOTS_NONE_FOUND  /* none found within the budget, none excluded */
} mw_slots_verdict;

typedef struct mw_slots_answer {
    mw_slots_verdict verdict;
    int32_t length; /* the last end of the plan; meaningless without one */
    int32_t bound;  /* proved: no plan ends before it. `bound == length`: proven best */
    int32_t path;   /* the longest path through the lags alone */
    uint64_t schedules, conflicts; /* spent */
} mw_slots_answer;

/* Solves a problem. `starts`, one an activity, gets the plan, if there is one; slots count from 0.
 * MW_FAILED: the problem is unfit (out of range). MW_NO_MEMORY. Then nothing is written.
 * Sources: Hartmann, A competitive genetic algorithm for resource-constrained project scheduling,
 * Naval Research Logistics 45, 1998; Valls, Ballestin and Quintanilla, Justification and RCPSP,
 * EJOR 165, 2005; Debels and Vanhoucke, A bi-population based genetic algorithm for the RCPSP, LNCS
 * 3483, 2005; Schutt, Feydy, Stuckey and Wallace, Explaining the cumulative propagator, Constraints
 * 16, 2011, and Solving RCPSP/max by lazy clause generation, J. Scheduling 16, 2013. */
mw_status mw_slots_solve(const mw_slots_problem *problem, const mw_slots_budget *budget,
                         mw_slots_answer *answer, int32_t *starts) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
