/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The order between blocks, from the least lags between their activities. */
#include "follows.h"

#include "moment.h"

mw_status plan_follows_make(plan_follows *follows, const plan_network *network, mw_arena *arena)
{
    const mw_plan_problem *problem = network->problem;
    uint32_t *keys = plan_take(arena, problem->lag_count, sizeof *keys);
    follows->count = network->block_count;
    follows->before = plan_take(arena, problem->lag_count, sizeof *follows->before);
    if (keys == NULL || follows->before == NULL) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < problem->lag_count; i++) {
        const mw_plan_lag *lag = &problem->lags[i];
        follows->before[i] = network->block_of[lag->from];
        keys[i] = lag->maximum || network->block_of[lag->to] == follows->before[i]
                      ? MW_NONE
                      : network->block_of[lag->to];
    }
    return plan_lists_make(&follows->rows, network->block_count, keys, problem->lag_count, arena);
}

bool plan_must_follow(const plan_follows *follows, uint32_t after, uint32_t before)
{
    for (uint32_t i = follows->rows.first[after]; i < follows->rows.first[after + 1]; i++) {
        if (follows->before[follows->rows.items[i]] == before) {
            return true;
        }
    }
    return false;
}

void plan_sort_blocks(const plan_follows *follows, const double *keys, uint32_t *list)
{
    for (uint32_t i = 1; i < follows->count; i++) {
        uint32_t block = list[i];
        uint32_t place = i;
        while (place > 0 && keys[list[place - 1]] > keys[block] &&
               !plan_must_follow(follows, block, list[place - 1])) {
            list[place] = list[place - 1];
            place--;
        }
        list[place] = block;
    }
}

void plan_block_keys(const plan_network *network, const double *by_activity, double *keys)
{
    for (uint32_t block = 0; block < network->block_count; block++) {
        keys[block] = PLAN_NEVER;
    }
    for (uint32_t a = 0; a < network->problem->activity_count; a++) {
        double *key = &keys[network->block_of[a]];
        *key = by_activity[a] < *key ? by_activity[a] : *key;
    }
}
