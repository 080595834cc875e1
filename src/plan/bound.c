/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bounds on the last end: by lags, windows and calendars alone, and by the work that people and
 * machines have to do. */
#include <math.h>
#include <stdlib.h>

#include "exact.h"
#include "tails.h"

enum { BOUND_ROUNDS = 2000 };

/* Work of one activity for one resource on one calendar. */
typedef struct load {
    uint32_t resource, calendar;
    double start_s; /* not before */
    double work_s;  /* of all that it takes, one after the other */
} load;

/* By resource and calendar, late starts first. */
static int by_start(const void *left, const void *right)
{
    const load *a = left;
    const load *b = right;
    if (a->resource != b->resource) {
        return a->resource < b->resource ? -1 : 1;
    }
    if (a->calendar != b->calendar) {
        return a->calendar < b->calendar ? -1 : 1;
    }
    return (a->start_s < b->start_s) - (a->start_s > b->start_s);
}

static uint32_t list_loads(const plan_earliest *e, load *loads)
{
    const plan_network *network = e->state->network;
    const mw_plan_problem *problem = network->problem;
    uint32_t count = 0;
    for (uint32_t a = 0; a < problem->activity_count; a++) {
        const mw_plan_activity *row = &problem->activities[a];
        for (uint32_t i = network->hold_first[a]; i < network->hold_first[a + 1]; i++) {
            const plan_hold *hold = &network->holds[i];
            if (row->work_s > 0.0 && problem->resources[hold->resource].capacity > 0) {
                loads[count++] = (load){hold->resource, row->calendar, e->early[a].start_s,
                                        (double)hold->amount * row->work_s};
            }
        }
    }
    return count;
}

/* What starts no earlier than a moment takes at least so long, all of the resource at work. */
static double bound_by_work(const plan_earliest *e, load *loads)
{
    const mw_plan_problem *problem = e->state->network->problem;
    uint32_t count = list_loads(e, loads);
    double bound_s = PLAN_ANY_TIME;
    double work_s = 0.0;
    if (count > 0) {
        qsort(loads, count, sizeof *loads, by_start);
    }
    for (uint32_t i = 0; i < count; i++) {
        const load *of = &loads[i];
        bool first = i == 0 || of->resource != loads[i - 1].resource ||
                     of->calendar != loads[i - 1].calendar;
        work_s = (first ? 0.0 : work_s) + of->work_s;
        double end_s = plan_advance(&e->state->clocks[of->calendar], of->start_s,
                                    work_s / problem->resources[of->resource].capacity);
        bound_s = fmax(bound_s, end_s - 1.0 / 1024.0); /* what the sum may be off */
    }
    return bound_s;
}

static bool lacks_resource(const plan_network *network)
{
    const mw_plan_problem *problem = network->problem;
    for (uint32_t i = 0; i < network->hold_first[problem->activity_count]; i++) {
        if (network->holds[i].amount > problem->resources[network->holds[i].resource].capacity) {
            return true;
        }
    }
    return false;
}

mw_status plan_prove_bound(plan_state *state, plan_proof *proof, mw_arena *arena)
{
    const plan_network *network = state->network;
    uint32_t count = network->problem->activity_count;
    plan_earliest e = {.state = state,
                       .limit_s = plan_moment(network->problem->start_s) + PLAN_HORIZON_S,
                       .rounds_most = BOUND_ROUNDS};
    e.early = plan_take(arena, count, sizeof *e.early);
    double *tails_s = plan_take(arena, count, sizeof *tails_s);
    load *loads = plan_take(arena, network->hold_first[count], sizeof *loads);
    if (e.early == NULL || tails_s == NULL || loads == NULL) {
        return MW_NO_MEMORY;
    }
    plan_earliest_verdict verdict = plan_earliest_begin(&e);
    verdict = verdict == PLAN_EARLIEST_FOUND ? plan_earliest_settle(&e) : verdict;
    *proof = (plan_proof){.trials = e.rounds, .tails_s = tails_s};
    plan_tails(&e, tails_s);
    if (verdict == PLAN_EARLIEST_NONE || lacks_resource(network)) {
        proof->done = true;
        proof->bound_s = PLAN_NEVER;
        return MW_OK;
    }
    proof->bound_s = fmax(plan_earliest_last(&e), bound_by_work(&e, loads));
    return MW_OK;
}
