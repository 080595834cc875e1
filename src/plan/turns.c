/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The turns in which activities are placed one by one: by a number of each, as far as lags allow. What an activity
 * must follow goes before it, and inherits its place where its own number is greater.
 * Source: Kelley 1963 (serial scheme). */
#include "turns.h"

#include <stdlib.h>

typedef struct keyed {
    double key;
    uint32_t activity;
} keyed;

static int by_key(const void *left, const void *right)
{
    const keyed *a = left;
    const keyed *b = right;
    if (a->key != b->key) {
        return a->key < b->key ? -1 : 1;
    }
    return (a->activity > b->activity) - (a->activity < b->activity);
}

typedef struct turns_walk {
    const plan_network *network;
    uint32_t *next; /* by activity: how many of its least lags were followed, plus 1; 0: not met */
    uint32_t *path;
    uint32_t *turns;
    uint32_t count;
} turns_walk;

/* What must be placed before an activity and was not met yet; MW_NONE: nothing. */
static uint32_t unmet_before(turns_walk *walk, uint32_t activity)
{
    const plan_lists *into = &walk->network->into;
    while (into->first[activity] + walk->next[activity] - 1 < into->first[activity + 1]) {
        uint32_t lag = into->items[into->first[activity] + walk->next[activity]++ - 1];
        uint32_t from = walk->network->problem->lags[lag].from;
        if (walk->next[from] == 0) {
            return from;
        }
    }
    return MW_NONE;
}

static void walk_from(turns_walk *walk, uint32_t root)
{
    uint32_t depth = 0;
    if (walk->next[root] != 0) {
        return;
    }
    walk->next[root] = 1;
    walk->path[depth++] = root;
    while (depth > 0) {
        uint32_t before = unmet_before(walk, walk->path[depth - 1]);
        if (before == MW_NONE) {
            walk->turns[walk->count++] = walk->path[--depth];
        } else {
            walk->next[before] = 1;
            walk->path[depth++] = before;
        }
    }
}

const uint32_t *plan_turns_make(const plan_network *network, const double *order, mw_arena *arena)
{
    uint32_t count = network->problem->activity_count;
    keyed *keys = plan_take(arena, count, sizeof *keys);
    turns_walk walk = {.network = network,
                       .next = plan_take(arena, count, sizeof *walk.next),
                       .path = plan_take(arena, count, sizeof *walk.path),
                       .turns = plan_take(arena, count, sizeof *walk.turns)};
    if (keys == NULL || walk.next == NULL || walk.path == NULL || walk.turns == NULL) {
        return NULL;
    }
    for (uint32_t a = 0; a < count; a++) {
        keys[a] = (keyed){order[a], a};
    }
    if (count > 0) {
        qsort(keys, count, sizeof *keys, by_key);
    }
    for (uint32_t i = 0; i < count; i++) {
        walk_from(&walk, keys[i].activity);
    }
    return walk.turns;
}
