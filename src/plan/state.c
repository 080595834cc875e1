/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The memory of a plan in the making, taken all at once so that placing cannot fail. */
#include "place.h"

/* How many stretches of time can be taken of each resource: two for what is held while waiting
 * too. */
static uint64_t count_stretches(const plan_network *network, uint64_t *stretches)
{
    const mw_plan_problem *problem = network->problem;
    for (uint32_t i = 0; i < problem->promise_count; i++) {
        stretches[problem->promises[i].resource]++;
    }
    uint32_t hold_count = network->hold_first[problem->activity_count];
    for (uint32_t i = 0; i < hold_count; i++) {
        const plan_hold *hold = &network->holds[i];
        stretches[hold->resource] += hold->wait_amount > 0 ? 2 : 1;
    }
    uint64_t total = 0;
    for (uint32_t i = 0; i < problem->resource_count; i++) {
        total += stretches[i];
    }
    return total;
}

static void enter_promises(plan_state *state)
{
    const mw_plan_problem *problem = state->network->problem;
    for (uint32_t i = 0; i < problem->promise_count; i++) {
        const mw_plan_promise *promise = &problem->promises[i];
        plan_profile_take(&state->profiles[promise->resource], plan_moment(promise->from_s),
                          plan_moment(promise->until_s), promise->amount);
    }
}

static mw_status make_profiles(plan_state *state, mw_arena *arena)
{
    const plan_network *network = state->network;
    const mw_plan_problem *problem = network->problem;
    uint32_t count = problem->resource_count;
    uint64_t *stretches = plan_take(arena, count, sizeof *stretches);
    state->profiles = plan_take(arena, count, sizeof *state->profiles);
    if (stretches == NULL || state->profiles == NULL) {
        return MW_NO_MEMORY;
    }
    uint64_t steps = count_stretches(network, stretches) * 2 + count;
    if (steps >= MW_NONE) {
        return MW_NO_MEMORY;
    }
    double *at_s = plan_take(arena, (size_t)steps, sizeof *at_s);
    uint64_t *used = plan_take(arena, (size_t)steps, sizeof *used);
    if (at_s == NULL || used == NULL) {
        return MW_NO_MEMORY;
    }
    size_t first = 0;
    for (uint32_t i = 0; i < count; i++) {
        uint32_t room = (uint32_t)stretches[i] * 2 + 1;
        state->profiles[i] = (plan_profile){.at_s = at_s + first,
                                            .used = used + first,
                                            .room = room,
                                            .capacity = problem->resources[i].capacity};
        plan_profile_clear(&state->profiles[i]);
        first += room;
    }
    enter_promises(state);
    return MW_OK;
}

mw_status plan_state_make(plan_state *state, const plan_network *network, mw_plan_slot *slots,
                          mw_arena *arena)
{
    *state = (plan_state){.network = network, .slots = slots};
    uint32_t count = network->problem->activity_count;
    state->releases = plan_take(arena, count, sizeof *state->releases);
    state->freed_s = plan_take(arena, count, sizeof *state->freed_s);
    state->earliest = plan_take(arena, count, sizeof *state->earliest);
    state->clocks = plan_take(arena, network->problem->calendar_count, sizeof *state->clocks);
    if (state->clocks == NULL || state->releases == NULL || state->freed_s == NULL ||
        state->earliest == NULL) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < count; i++) {
        plan_release_clear(&state->releases[i]);
    }
    for (uint32_t i = 0; i < network->problem->calendar_count; i++) {
        plan_clock *clock = &state->clocks[i];
        clock->calendar = network->problem->calendars[i];
        clock->days = plan_take(arena, PLAN_DAY_ROOM, sizeof *clock->days);
        if (clock->days == NULL) {
            return MW_NO_MEMORY;
        }
        plan_days_clear(clock->days);
    }
    return make_profiles(state, arena);
}

void plan_state_reset(plan_state *state)
{
    const mw_plan_problem *problem = state->network->problem;
    for (uint32_t i = 0; i < problem->resource_count; i++) {
        plan_profile_clear(&state->profiles[i]);
    }
    enter_promises(state);
    for (uint32_t i = 0; i < problem->activity_count; i++) {
        plan_release_clear(&state->releases[i]);
    }
}
