/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A problem in whole slots made ready: edges by activity for both directions of time, an order, the
 * longest paths, packed demands. */
#include "network.h"
#include "slots.h"

enum {
    ACTIVITIES_MOST = 10000,
    RESOURCES_MOST = 64,
    AMOUNT_MOST = 30000,
    LENGTH_MOST = 1000000,
    HORIZON_MOST = 1 << 28
};

static bool in_range(int32_t value, int32_t least, int32_t most)
{
    return value >= least && value <= most;
}

bool slots_problem_fits(const mw_slots_problem *problem)
{
    if (problem->activity_count > ACTIVITIES_MOST || problem->resource_count > RESOURCES_MOST) {
        return false;
    }
    bool fits = true;
    for (uint32_t r = 0; r < problem->resource_count; r++) {
        fits = fits && in_range(problem->capacities[r], 0, AMOUNT_MOST);
    }
    for (uint32_t a = 0; a < problem->activity_count; a++) {
        fits = fits && in_range(problem->durations[a], 0, LENGTH_MOST);
    }
    for (uint32_t i = 0; i < problem->activity_count * problem->resource_count; i++) {
        fits = fits && in_range(problem->demands[i], 0, AMOUNT_MOST);
    }
    for (uint32_t i = 0; i < problem->lag_count; i++) {
        const mw_slots_lag *lag = &problem->lags[i];
        fits = fits && lag->from < problem->activity_count && lag->to < problem->activity_count &&
               in_range(lag->least, -LENGTH_MOST, LENGTH_MOST);
    }
    return fits;
}

/* No best plan is longer: everything one after another, each with its longest lag.
 * Source: De Reyck and Herroelen, A branch-and-bound procedure for the RCPSP with generalized
 * precedence relations, EJOR 111, 1998. */
static int32_t find_horizon(const mw_slots_problem *problem, mw_arena *arena)
{
    int32_t *longest = plan_take(arena, problem->activity_count, sizeof *longest);
    if (longest == NULL) {
        return -1;
    }
    int64_t sum = 0;
    for (uint32_t a = 0; a < problem->activity_count; a++) {
        longest[a] = problem->durations[a];
    }
    for (uint32_t i = 0; i < problem->lag_count; i++) {
        const mw_slots_lag *lag = &problem->lags[i];
        longest[lag->from] = lag->least > longest[lag->from] ? lag->least : longest[lag->from];
    }
    for (uint32_t a = 0; a < problem->activity_count; a++) {
        sum += longest[a];
    }
    return sum > HORIZON_MOST ? 0 : (int32_t)sum;
}

static bool pack_amounts(slots_net *net, mw_arena *arena)
{
    const mw_slots_problem *problem = net->problem;
    net->words = (problem->resource_count + SLOTS_WORD_LANES - 1) / SLOTS_WORD_LANES;
    net->words = net->words == 0 ? 1 : net->words;
    net->demands = plan_take(arena, (size_t)net->count * net->words, sizeof *net->demands);
    net->capacities = plan_take(arena, net->words, sizeof *net->capacities);
    if (net->demands == NULL || net->capacities == NULL) {
        return false;
    }
    for (uint32_t w = 0; w < net->words; w++) {
        net->capacities[w] = SLOTS_GUARDS;
    }
    for (uint32_t r = 0; r < problem->resource_count; r++) {
        uint32_t word = r / SLOTS_WORD_LANES;
        uint32_t shift = r % SLOTS_WORD_LANES * 16;
        net->capacities[word] += (uint64_t)problem->capacities[r] << shift;
        for (uint32_t a = 0; a < net->count; a++) {
            uint64_t demand = (uint64_t)problem->demands[a * problem->resource_count + r];
            net->demands[(size_t)a * net->words + word] += demand << shift;
        }
    }
    return true;
}

/* The edges of one side: lags as they are, or those of the mirror image. Moving backwards, an
 * activity starts where it ends: start' = -(start + duration). */
static mw_status make_edges(slots_side *side, const mw_slots_problem *problem, bool mirror,
                            mw_arena *arena)
{
    plan_lists lists;
    uint32_t *keys = plan_take(arena, problem->lag_count, sizeof *keys);
    side->edges = plan_take(arena, problem->lag_count, sizeof *side->edges);
    if (keys == NULL || side->edges == NULL) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < problem->lag_count; i++) {
        keys[i] = mirror ? problem->lags[i].from : problem->lags[i].to;
    }
    mw_status status =
        plan_lists_make(&lists, problem->activity_count, keys, problem->lag_count, arena);
    if (status != MW_OK) {
        return status;
    }
    side->first = lists.first;
    for (uint32_t i = 0; i < problem->lag_count; i++) {
        const mw_slots_lag *lag = &problem->lags[lists.items[i]];
        int32_t turned = lag->least + problem->durations[lag->to] - problem->durations[lag->from];
        side->edges[i] =
            mirror ? (slots_edge){lag->to, turned} : (slots_edge){lag->from, lag->least};
    }
    return MW_OK;
}

static bool has_negative(const slots_side *side, uint32_t count)
{
    for (uint32_t i = 0; i < side->first[count]; i++) {
        if (side->edges[i].lag < 0) {
            return true;
        }
    }
    return false;
}

/* Fills the order of a side, given the edges of the other one: from what depends on nothing
 * onwards. Returns false at a cycle. `waiting` is scratch, one an activity. */
static bool find_order(slots_side *side, const slots_side *other, uint32_t count, uint32_t *waiting)
{
    uint32_t known = 0;
    for (uint32_t a = 0; a < count; a++) {
        waiting[a] = side->first[a + 1] - side->first[a];
        if (waiting[a] == 0) {
            side->order[known++] = a;
        }
    }
    for (uint32_t at = 0; at < known; at++) {
        uint32_t a = side->order[at];
        for (uint32_t e = other->first[a]; e < other->first[a + 1]; e++) {
            uint32_t next = other->edges[e].other;
            if (--waiting[next] == 0) {
                side->order[known++] = next;
            }
        }
    }
    return known == count;
}

/* The longest paths of one side to its end. An edge of lag l from a to b on this side is the edge of
 * lag l among those into b. */
static void find_tails(const slots_net *net, slots_side *side)
{
    for (uint32_t a = 0; a < net->count; a++) {
        side->tail[a] = net->durations[a];
    }
    for (uint32_t at = net->count; at-- > 0;) {
        uint32_t a = side->order[at];
        for (uint32_t e = side->first[a]; e < side->first[a + 1]; e++) {
            int32_t length = side->edges[e].lag + side->tail[a];
            uint32_t before = side->edges[e].other;
            side->tail[before] = length > side->tail[before] ? length : side->tail[before];
        }
    }
}

static mw_status make_sides(slots_net *net, mw_arena *arena)
{
    uint32_t *waiting = plan_take(arena, net->count, sizeof *waiting);
    for (int s = 0; s < SLOTS_SIDES; s++) {
        slots_side *side = &net->sides[s];
        mw_status status = make_edges(side, net->problem, s == SLOTS_MIRROR, arena);
        side->order = plan_take(arena, net->count, sizeof *side->order);
        side->tail = plan_take(arena, net->count, sizeof *side->tail);
        if (status != MW_OK || waiting == NULL || side->order == NULL || side->tail == NULL) {
            return MW_NO_MEMORY;
        }
    }
    slots_side *forward = &net->sides[SLOTS_FORWARD];
    slots_side *mirror = &net->sides[SLOTS_MIRROR];
    net->regular = net->horizon > 0 && !has_negative(forward, net->count) &&
                   !has_negative(mirror, net->count) &&
                   find_order(forward, mirror, net->count, waiting) &&
                   find_order(mirror, forward, net->count, waiting);
    if (net->regular) {
        find_tails(net, forward);
        find_tails(net, mirror);
        for (uint32_t a = 0; a < net->count; a++) {
            net->path = forward->tail[a] > net->path ? forward->tail[a] : net->path;
        }
    }
    return MW_OK;
}

mw_status slots_net_make(slots_net *net, const mw_slots_problem *problem, mw_arena *arena)
{
    *net = (slots_net){
        .problem = problem, .count = problem->activity_count, .durations = problem->durations};
    net->horizon = find_horizon(problem, arena);
    if (net->horizon < 0 || !pack_amounts(net, arena)) {
        return MW_NO_MEMORY;
    }
    return make_sides(net, arena);
}
