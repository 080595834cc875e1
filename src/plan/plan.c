/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plans as callers see them: the workspace, the newest plan, and what it misses. */
#include "mouldwright/plan.h"

#include "mouldwright/memory.h"
#include "workspace.h"

mw_plan *mw_plan_new(void)
{
    mw_plan *plan = mw_memory_get(sizeof *plan);
    if (plan == NULL) {
        return NULL;
    }
    plan->scratch = mw_arena_new();
    if (plan->scratch == NULL ||
        !mw_memory_grow(&plan->slots, &plan->slot_room, 1, sizeof(mw_plan_slot))) {
        mw_plan_free(plan);
        return NULL;
    }
    plan->empty = mw_arena_here(plan->scratch);
    return plan;
}

void mw_plan_free(mw_plan *plan)
{
    if (plan == NULL) {
        return;
    }
    mw_arena_free(plan->scratch);
    mw_memory_give(plan->slots);
    mw_memory_give(plan->missed);
    mw_memory_give(plan);
}

static size_t count_windows(const mw_plan_problem *problem)
{
    size_t count = 0;
    for (uint32_t i = 0; i < problem->lag_count; i++) {
        count += problem->lags[i].maximum ? 1 : 0;
    }
    return count;
}

/* Makes room for the result of a problem. What was there stays. */
static bool make_room(mw_plan *plan, const mw_plan_problem *problem)
{
    return mw_memory_grow(&plan->slots, &plan->slot_room, problem->activity_count,
                          sizeof(mw_plan_slot)) &&
           mw_memory_grow(&plan->missed, &plan->missed_room, count_windows(problem),
                          sizeof(uint32_t));
}

void plan_list_missed(mw_plan *plan, const plan_state *state)
{
    const mw_plan_problem *problem = state->network->problem;
    uint32_t *missed = plan->missed;
    plan->missed_count = 0;
    for (uint32_t i = 0; i < problem->lag_count; i++) {
        if (problem->lags[i].maximum && plan_window_excess(state, i) > 0.0) {
            missed[plan->missed_count++] = i;
        }
    }
}

mw_status plan_prepare(mw_plan *plan, const mw_plan_problem *problem, plan_network *network,
                       plan_state *state)
{
    mw_status status = plan_check(problem);
    if (status != MW_OK) {
        return status;
    }
    mw_arena_rewind(plan->scratch, plan->empty);
    status = plan_network_make(network, problem, plan->scratch);
    if (status == MW_OK && !make_room(plan, problem)) {
        status = MW_NO_MEMORY;
    }
    return status == MW_OK ? plan_state_make(state, network, plan->slots, plan->scratch) : status;
}

mw_status mw_plan_first(mw_plan *plan, const mw_plan_problem *problem)
{
    plan_network network;
    plan_state state;
    mw_status status = plan_prepare(plan, problem, &network, &state);
    if (status == MW_OK) {
        plan_serial(&state);
        plan_list_missed(plan, &state);
    }
    return status;
}

const mw_plan_slot *mw_plan_slots(const mw_plan *plan)
{
    return plan->slots;
}

const uint32_t *mw_plan_missed(const mw_plan *plan, uint32_t *count)
{
    *count = plan->missed_count;
    return plan->missed;
}
