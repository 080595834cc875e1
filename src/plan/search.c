/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Searching for plans as callers see it: a bound, a population, a proof. */
#include <math.h>
#include <string.h>

#include "exact.h"
#include "mouldwright/plan_search.h"
#include "workspace.h"

static bool has_agreed(const plan_state *state)
{
    const mw_plan_problem *problem = state->network->problem;
    for (uint32_t a = 0; a < problem->activity_count; a++) {
        if (problem->activities[a].agreed) {
            return true;
        }
    }
    return false;
}

static mw_status improve(plan_state *state, const mw_plan_budget *budget, plan_best *best,
                         plan_proof *proof, mw_arena *arena)
{
    mw_status status = plan_prove_bound(state, proof, arena);
    if (status != MW_OK) {
        return status;
    }
    best->bound_s = proof->bound_s;
    status = plan_breed(state, budget, best, proof->tails_s, arena);
    if (plan_cost_whole(&best->cost) && best->cost.last_s <= proof->bound_s) {
        proof->done = true;
        return status;
    }
    /* What was agreed goes before an earlier end. */
    bool wanted = status == MW_OK && budget->trials > 0 && !proof->done && !has_agreed(state);
    return wanted ? plan_prove_best(state, budget, best, proof, arena) : status;
}

static void report(mw_plan_outcome *outcome, const plan_best *best, const plan_proof *proof)
{
    bool whole = plan_cost_whole(&best->cost);
    mw_plan_verdict without = proof->done ? MW_PLAN_IMPOSSIBLE : MW_PLAN_NONE_FOUND;
    *outcome = (mw_plan_outcome){.verdict = whole ? MW_PLAN_PLANNED : without,
                                 .last_s = best->cost.last_s,
                                 .late_s = best->cost.late_s,
                                 .moved_s = best->cost.moved_s,
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
