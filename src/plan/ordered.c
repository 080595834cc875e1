/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Schedules in a kept order. */
#include "follows.h"
#include "mouldwright/plan_order.h"
#include "turns.h"
#include "workspace.h"

static bool has_rework(const mw_plan_problem *problem)
{
    bool any = false;
    for (uint32_t i = 0; i < problem->lag_count; i++) {
        any = any || problem->lags[i].rework_s > 0.0;
    }
    return any;
}

mw_status mw_plan_keep_order(mw_plan *plan, const mw_plan_problem *problem, const double *order)
{
    mw_status status = plan_prepare(plan, problem, &plan->kept, &plan->kept_state);
    plan_follows follows;
    if (status == MW_OK) {
        status = plan_follows_make(&follows, &plan->kept, plan->scratch);
    }
    if (status != MW_OK) {
        return status;
    }
    plan->kept_state.turns =
        order == NULL ? plan->kept.order : plan_turns_make(&plan->kept, order, plan->scratch);
    if (has_rework(problem)) {
        plan->kept_state.more_s =
            plan_take(plan->scratch, problem->activity_count, sizeof *plan->kept_state.more_s);
        if (plan->kept_state.more_s == NULL) {
            return MW_NO_MEMORY;
        }
    }
    if (plan->kept_state.turns == NULL || order == NULL) {
        return plan->kept_state.turns == NULL ? MW_NO_MEMORY : MW_OK;
    }
    uint32_t count = plan->kept.block_count;
    double *keys = plan_take(plan->scratch, count, sizeof *keys);
    uint32_t *list = plan_take(plan->scratch, count, sizeof *list);
    if (keys == NULL || list == NULL) {
        return MW_NO_MEMORY;
    }
    for (uint32_t block = 0; block < count; block++) {
        list[block] = block;
    }
    plan_block_keys(&plan->kept, order, keys);
    plan_sort_blocks(&follows, keys, list);
    plan->kept_state.blocks = list;
    return MW_OK;
}

void mw_plan_again(mw_plan *plan, mw_plan_foresight foresight)
{
    plan_state_reset(&plan->kept_state);
    plan->kept_state.in_turn = foresight == MW_PLAN_IN_TURN;
    for (uint32_t i = 0; plan->kept_state.more_s != NULL && i < plan->kept.problem->activity_count;
         i++) {
        plan->kept_state.more_s[i] = 0.0;
    }
    plan_serial(&plan->kept_state);
    plan_list_missed(plan, &plan->kept_state);
}

double mw_plan_advance(mw_plan *plan, uint32_t calendar, double from_s, double amount_s)
{
    const plan_clock *clock = &plan->kept_state.clocks[calendar];
    return plan_days_advance(clock->days, clock->calendar, from_s, amount_s);
}
