/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Searching for plans as callers see it: a bound, a population, a proof. */
#include <math.h>
#include <string.h>

#include "exact.h"
#include "mouldwright/plan_search.h"
#include "workspace.h"

static mw_status improve(plan_state *state, const mw_plan_budget *budget, plan_best *best,
                         plan_proof *proof, mw_arena *arena)
{
    mw_status status = plan_prove_bound(state, proof, arena);
    if (status != MW_OK) {
        return status;
    }
    best->bound_s = proof->bound_s;
    status = plan_breed(state, budget, best, proof->tails_s, arena);
    bool whole = best->cost.never_count == 0 && best->cost.missed_count == 0;
    if (whole && best->cost.last_s <= proof->bound_s) {
        proof->done = true;
        return status;
    }
    bool wanted = status == MW_OK && budget->trials > 0 && !proof->done;
    return wanted ? plan_prove_best(state, budget, best, proof, arena) : status;
}

static void report(mw_plan_outcome *outcome, const plan_best *best, const plan_proof *proof)
{
    bool whole = best->cost.never_count == 0 && best->cost.missed_count == 0;
    mw_plan_verdict without = proof->done ? MW_PLAN_IMPOSSIBLE : MW_PLAN_NONE_FOUND;
    *outcome = (mw_plan_outcome){.verdict = whole ? MW_PLAN_PLANNED : without,
                                 .last_s = best->cost.last_s,
                                 .bound_s = proof->bound_s,
                                 .schedules = best->schedules,
                                 .trials = proof->trials};
    if (whole && outcome->bound_s > outcome->last_s) {
        outcome->bound_s = outcome->last_s; /* within the rounding of sums */
    }
}

mw_status mw_plan_search(mw_plan *plan, const mw_plan_problem *problem,
                         const mw_plan_budget *budget, mw_plan_outcome *outcome)
{
    plan_network network;
    plan_state state;
    plan_proof proof = {0};
    mw_status status = plan_prepare(plan, problem, &network, &state);
    if (status != MW_OK) {
        return status;
    }
    plan_best best = {.slots =
                          plan_take(plan->scratch, problem->activity_count, sizeof *best.slots)};
    mw_plan_slot *scratch = plan_take(plan->scratch, problem->activity_count, sizeof *scratch);
    if (best.slots == NULL || scratch == NULL) {
        return MW_NO_MEMORY;
    }
    state.slots = scratch;
    status = improve(&state, budget, &best, &proof, plan->scratch);
    if (status != MW_OK) {
        return status;
    }
    if (problem->activity_count > 0) {
        memcpy(plan->slots, best.slots, problem->activity_count * sizeof *best.slots);
    }
    state.slots = plan->slots;
    plan_list_missed(plan, &state);
    report(outcome, &best, &proof);
    return MW_OK;
}
