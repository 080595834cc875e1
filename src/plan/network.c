/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lists of lags by activity, and what each activity holds. */
#include "network.h"

void *plan_take(mw_arena *arena, size_t count, size_t size)
{
    return count > SIZE_MAX / size ? NULL : mw_arena_get(arena, count * size);
}

mw_status plan_lists_make(plan_lists *lists, uint32_t key_count, const uint32_t *keys,
                          uint32_t count, mw_arena *arena)
{
    /* One more than needed: counting ahead by two leaves first[k + 1] as the place to fill list k,
     * which ends up as the beginning of list k + 1. */
    uint32_t *first = plan_take(arena, (size_t)key_count + 2, sizeof *first);
    uint32_t *items = plan_take(arena, count, sizeof *items);
    if (first == NULL || items == NULL) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < count; i++) {
        if (keys[i] != MW_NONE) {
            first[(size_t)keys[i] + 2]++;
        }
    }
    for (size_t k = 2; k < (size_t)key_count + 2; k++) {
        first[k] += first[k - 1];
    }
    for (uint32_t i = 0; i < count; i++) {
        if (keys[i] != MW_NONE) {
            items[first[(size_t)keys[i] + 1]++] = i;
        }
    }
    *lists = (plan_lists){.first = first, .items = items};
    return MW_OK;
}

/* The three lists of lags by activity. A window stands in the lists of both its ends: its keys are
 * written one behind the other, so that item i is the lag i / 2. */
static mw_status list_lags(plan_network *network, mw_arena *arena)
{
    const mw_plan_problem *problem = network->problem;
    uint32_t count = problem->lag_count;
    uint32_t *into = plan_take(arena, count, sizeof *into);
    uint32_t *out_of = plan_take(arena, count, sizeof *out_of);
    uint32_t *beside = plan_take(arena, (size_t)count * 2, sizeof *beside);
    if (into == NULL || out_of == NULL || beside == NULL) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < count; i++) {
        const mw_plan_lag *lag = &problem->lags[i];
        into[i] = lag->maximum ? MW_NONE : lag->to;
        out_of[i] = lag->maximum || !lag->from_end ? MW_NONE : lag->from;
        beside[(size_t)i * 2] = lag->maximum ? lag->from : MW_NONE;
        beside[(size_t)i * 2 + 1] = lag->maximum ? lag->to : MW_NONE;
    }
    uint32_t keys = problem->activity_count;
    mw_status status = plan_lists_make(&network->into, keys, into, count, arena);
    if (status == MW_OK) {
        status = plan_lists_make(&network->out_of, keys, out_of, count, arena);
    }
    if (status == MW_OK) {
        status = plan_lists_make(&network->beside, keys, beside, count * 2, arena);
    }
    return status;
}

/* Adds the needs of one activity to holds[from] and on; `place` knows for each resource where its
 * hold stands, if that is not before `from`. Returns the end of the holds. */
static uint32_t gather_needs(plan_network *network, const mw_plan_activity *activity, uint32_t from,
                             uint32_t *place)
{
    uint32_t end = from;
    for (uint32_t i = 0; i < activity->need_count; i++) {
        const mw_plan_need *need = &network->problem->needs[activity->first_need + i];
        if (need->amount == 0) {
            continue;
        }
        uint32_t at = place[need->resource];
        if (at < from || at >= end || network->holds[at].resource != need->resource) {
            at = end++;
            place[need->resource] = at;
            network->holds[at] = (plan_hold){.resource = need->resource};
        }
        network->holds[at].amount += need->amount;
        network->holds[at].wait_amount += need->wait_too ? need->amount : 0;
    }
    return end;
}

static mw_status list_holds(plan_network *network, mw_arena *arena)
{
    const mw_plan_problem *problem = network->problem;
    uint64_t total = 0;
    for (uint32_t i = 0; i < problem->activity_count; i++) {
        total += problem->activities[i].need_count;
    }
    if (total >= MW_NONE) {
        return MW_NO_MEMORY;
    }
    uint32_t *place = plan_take(arena, problem->resource_count, sizeof *place);
    network->hold_first =
        plan_take(arena, (size_t)problem->activity_count + 1, sizeof *network->hold_first);
    network->holds = plan_take(arena, (size_t)total, sizeof *network->holds);
    if (place == NULL || network->hold_first == NULL || network->holds == NULL) {
        return MW_NO_MEMORY;
    }
    uint32_t end = 0;
    for (uint32_t i = 0; i < problem->activity_count; i++) {
        network->hold_first[i] = end;
        end = gather_needs(network, &problem->activities[i], end, place);
    }
    network->hold_first[problem->activity_count] = end;
    return MW_OK;
}

mw_status plan_network_make(plan_network *network, const mw_plan_problem *problem, mw_arena *arena)
{
    *network = (plan_network){.problem = problem};
    /* Both ends of every lag are numbered. */
    if (problem->lag_count > MW_NONE / 2) {
        return MW_NO_MEMORY;
    }
    mw_status status = list_lags(network, arena);
    if (status == MW_OK) {
        status = list_holds(network, arena);
    }
    return status == MW_OK ? plan_network_order(network, arena) : status;
}
