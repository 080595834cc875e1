/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A backward pass in clock time. */
#include "justify.h"

#include <string.h>

mw_status plan_justify_make(plan_justifying *j, const plan_network *network, mw_arena *arena)
{
    const mw_plan_problem *problem = network->problem;
    uint32_t *keys = plan_take(arena, problem->lag_count, sizeof *keys);
    j->order = plan_take(arena, (size_t)problem->activity_count * 2, sizeof *j->order);
    j->start_s = plan_take(arena, problem->activity_count, sizeof *j->start_s);
    if (keys == NULL || j->order == NULL || j->start_s == NULL) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < problem->lag_count; i++) {
        keys[i] = problem->lags[i].maximum ? MW_NONE : problem->lags[i].from;
    }
    plan_lists lists;
    mw_status status =
        plan_lists_make(&lists, problem->activity_count, keys, problem->lag_count, arena);
    if (status == MW_OK) {
        j->out_of = lists.first;
        j->lags = lists.items;
    }
    return status;
}

/* Sorts by end, latest first; ties stand against the order of the network, so that what must follow
 * comes before what it follows. Merging runs: the order of the network is nearly sorted. */
static void sort_by_end(const plan_state *state, plan_justifying *j)
{
    const plan_network *network = state->network;
    uint32_t count = network->problem->activity_count;
    uint32_t *from = j->order;
    uint32_t *to = j->order + count;
    for (uint32_t i = 0; i < count; i++) {
        from[i] = network->order[count - 1 - i];
    }
    for (uint32_t width = 1; width < count; width *= 2) {
        for (uint32_t first = 0; first < count; first += 2 * width) {
            uint32_t middle = first + width < count ? first + width : count;
            uint32_t end = middle + width < count ? middle + width : count;
            uint32_t a = first;
            uint32_t b = middle;
            for (uint32_t k = first; k < end; k++) {
                bool left = b == end || (a < middle && state->slots[from[a]].end_s >=
                                                           state->slots[from[b]].end_s);
                to[k] = left ? from[a++] : from[b++];
            }
        }
        uint32_t *other = from;
        from = to;
        to = other;
    }
    if (from != j->order) {
        memcpy(j->order, from, count * sizeof *from);
    }
}

/* The latest end that what follows allows. */
static double latest_end(const plan_state *state, const plan_justifying *j, uint32_t activity,
                         double last_s)
{
    const mw_plan_problem *problem = state->network->problem;
    const mw_plan_slot *slot = &state->slots[activity];
    double span_s = slot->end_s - slot->start_s;
    double latest_s = last_s;
    for (uint32_t i = j->out_of[activity]; i < j->out_of[activity + 1]; i++) {
        const mw_plan_lag *lag = &problem->lags[j->lags[i]];
        const mw_plan_slot *to = &state->slots[lag->to];
        if (isinf(to->end_s)) {
            continue;
        }
        double at_s = lag->from_end ? slot->end_s : slot->start_s;
        double gap_s =
            lag->amount_s == 0.0
                ? 0.0
                : plan_advance(&state->clocks[lag->calendar], at_s, lag->amount_s) - at_s;
        double point_s = j->start_s[lag->to] + (lag->to_end ? to->end_s - to->start_s : 0.0);
        double by_s = point_s - gap_s + (lag->from_end ? 0.0 : span_s);
        latest_s = by_s < latest_s ? by_s : latest_s;
    }
    return latest_s;
}

/* Moves the end back until all that the activity holds is free, and takes it. */
static void place_back(plan_state *state, plan_justifying *j, uint32_t activity, double end_s)
{
    const plan_network *network = state->network;
    double span_s = state->slots[activity].end_s - state->slots[activity].start_s;
    uint32_t first = network->hold_first[activity];
    uint32_t last = network->hold_first[activity + 1];
    for (bool moved = true; moved;) {
        moved = false;
        for (uint32_t i = first; i < last; i++) {
            const plan_hold *hold = &network->holds[i];
            double by_s = plan_profile_free_before(&state->profiles[hold->resource], end_s - span_s,
                                                   end_s, hold->amount);
            moved = moved || by_s < end_s;
            end_s = by_s;
        }
    }
    for (uint32_t i = first; i < last; i++) {
        const plan_hold *hold = &network->holds[i];
        plan_profile_take(&state->profiles[hold->resource], end_s - span_s, end_s, hold->amount);
    }
    j->start_s[activity] = end_s - span_s;
}

void plan_justify(plan_state *state, plan_justifying *j)
{
    uint32_t count = state->network->problem->activity_count;
    double last_s = PLAN_ANY_TIME;
    plan_state_reset(state);
    sort_by_end(state, j);
    for (uint32_t i = 0; i < count; i++) {
        uint32_t a = j->order[i];
        if (isinf(state->slots[a].end_s)) {
            j->start_s[a] = PLAN_NEVER;
            continue;
        }
        last_s = fmax(last_s, state->slots[a].end_s);
        place_back(state, j, a, latest_end(state, j, a, last_s));
    }
    plan_state_reset(state);
}
