/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Better plans: a search that starts from the first plan, a proven bound beside it, and a verdict. */
#ifndef MOULDWRIGHT_PLAN_SEARCH_H
#define MOULDWRIGHT_PLAN_SEARCH_H

#include "mouldwright/plan.h"

#ifdef __cplusplus
extern "C" {
#endif

/* How much work may be spent. The same seed and budget give the same plan. */
typedef struct mw_plan_budget {
    uint64_t seed;
    uint64_t schedules;          /* to be generated, the first plan included */
    uint64_t trials;             /* of the exact search behind it, for small problems; 0: none */
    bool (*stop)(void *context); /* asked now and then; the best so far is kept; NULL: never */
    void *context;
    /* By activity: an order that is known to be good, such as the starts of an earlier plan; it is
     * tried second. NULL: none. */
    const double *order;
} mw_plan_budget;

typedef enum mw_plan_verdict {
    MW_PLAN_PLANNED,    /* all is done and every window kept */
    MW_PLAN_IMPOSSIBLE, /* proved: no plan does all and keeps every window within about 400 days of
                           the start; the slots hold what comes nearest */
    MW_PLAN_NONE_FOUND  /* none found within the budget, none excluded; the slots hold what comes
                           nearest */
} mw_plan_verdict;

typedef struct mw_plan_outcome {
    mw_plan_verdict verdict;
    double last_s;  /* the last end of what is done; the start when nothing is */
    double late_s;  /* weighted lateness: over all that is due, weight * what its end is too late */
    double moved_s; /* over all that was agreed, how much later it starts */
    double bound_s; /* proved: no plan that does all and keeps every window ends before */
    uint64_t schedules, trials; /* spent */
} mw_plan_outcome;

/* Makes the best plan it finds: fewest activities that are never done, then fewest windows missed,
 * then the least moved from what was agreed, then the earliest last end, then the least weighted
 * lateness, then the earliest ends on average. It is never worse than that of
 * mw_plan_first(), which it begins with, or than what the order of the budget gives. The plan is read by mw_plan_slots() and mw_plan_missed().
 * `last_s == bound_s` (and MW_PLAN_PLANNED): proven best as for the last end. Fails as
 * mw_plan_first() does. Source: Hartmann, Naval Research Logistics 45, 1998 (lists and their
 * crossover); Valls, Ballestin and Quintanilla, EJOR 165, 2005 (justification); De Reyck and Herroelen, EJOR 111, 1998, and Fest, Mohring, Stork and Uetz 1999 (exact
 * search that puts one part of what clashes behind another). */
mw_status mw_plan_search(mw_plan *plan, const mw_plan_problem *problem,
                         const mw_plan_budget *budget, mw_plan_outcome *outcome) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
