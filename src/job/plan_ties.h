/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What ties the activities of a plan to one another: its least lags, and people and machines that go from one to the next.
 */
#ifndef MW_JOB_PLAN_TIES_H
#define MW_JOB_PLAN_TIES_H

#include "plan_node.h"

/* `to` comes behind `from`: by a lag, or (lag MW_NONE) since it takes over a unit of a resource. */
typedef struct plan_tie {
    uint32_t from, to;
    uint32_t lag;
    bool waits; /* the unit was held until the waits after `from` were over */
} plan_tie;

/* Workspace, kept from run to run so that one as large takes no memory. */
struct plan_ties {
    const plan_node *node;
    const mw_plan_slot *slots;
    uint32_t activities;
    uint32_t count;      /* activities that have dates */
    uint32_t *order;     /* these, by start */
    plan_tie *ties;      /* by `to` */
    uint32_t *first;     /* by activity: its first tie; one more at the end */
    uint32_t *lag_first; /* by activity: in lags_from[], its least lags from its end; one more */
    uint32_t *lags_from;
    uint32_t *step; /* by activity: planned step, MW_NONE: none */
    double *by_s;   /* by activity: the units that it holds go on to promised work then */
    double *late_s; /* by activity: its latest end */
    growing made;   /* plan_tie, as they are found */
    uint32_t resource_count;
    growing *units; /* by resource: who has them */
    growing takers;
    growing rooms[8]; /* where the arrays above lie */
    bool lost;
};

/* Finds all ties of the newest plan. False: no memory. */
bool plan_ties_find(plan_ties *ties, const plan_node *node) MW_MUST_USE;
/* When what `from` holds until its waits are over is free again. */
double plan_ties_free_s(const plan_ties *ties, uint32_t from, bool waits);

#endif
