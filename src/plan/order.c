/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Blocks and the order in which they are placed.
 *
 * Activities joined by windows are placed as one, together with all that must lie between them:
 * those are the strong components of the graph in which an activity points at what it must follow,
 * and a window points both ways. Walking depth first from the activities in the order given, the
 * components end in an order in which each comes after those that it must follow, and what an early
 * activity must follow inherits its place in the order.
 * Source: Tarjan, Depth-first search and linear graph algorithms, SIAM J. Comput. 1(2), 1972. */
#include "network.h"

typedef struct walk {
    plan_network *network;
    uint32_t *number;    /* by activity: when it was first met, from 1; 0: not yet */
    uint32_t *low;       /* by activity: the lowest number that it reaches inside its component */
    uint32_t *next_edge; /* by activity: how many of its edges have been followed */
    uint32_t *path;      /* from the root to where the walk stands */
    uint32_t path_count;
    uint32_t *open; /* met, component not yet known */
    uint32_t open_count;
    uint32_t met_count;
} walk;

static uint32_t list_size(const plan_lists *lists, uint32_t key)
{
    return lists->first[key + 1] - lists->first[key];
}

/* Returns the activity at the other end of the edge that `activity` follows next; MW_NONE when it
 * has followed all. */
static uint32_t follow_edge(walk *w, uint32_t activity)
{
    const plan_network *network = w->network;
    const mw_plan_lag *lags = network->problem->lags;
    uint32_t edge = w->next_edge[activity]++;
    uint32_t into_count = list_size(&network->into, activity);
    if (edge < into_count) {
        return lags[network->into.items[network->into.first[activity] + edge]].from;
    }
    edge -= into_count;
    if (edge < list_size(&network->beside, activity)) {
        uint32_t end = network->beside.items[network->beside.first[activity] + edge];
        return end % 2 == 0 ? lags[end / 2].to : lags[end / 2].from;
    }
    return MW_NONE;
}

static void enter(walk *w, uint32_t activity)
{
    w->number[activity] = w->low[activity] = ++w->met_count;
    w->path[w->path_count++] = activity;
    w->open[w->open_count++] = activity;
}

static void lower(walk *w, uint32_t activity, uint32_t to)
{
    if (to < w->low[activity]) {
        w->low[activity] = to;
    }
}

/* The last of the path has no edge left: it closes its component if it reaches none met before
 * it. */
static void leave(walk *w)
{
    plan_network *network = w->network;
    uint32_t activity = w->path[--w->path_count];
    if (w->low[activity] == w->number[activity]) {
        uint32_t member;
        do {
            member = w->open[--w->open_count];
            network->block_of[member] = network->block_count;
        } while (member != activity);
        network->block_count++;
    }
    if (w->path_count > 0) {
        lower(w, w->path[w->path_count - 1], w->low[activity]);
    }
}

static void walk_from(walk *w, uint32_t root)
{
    if (w->number[root] != 0) {
        return;
    }
    enter(w, root);
    while (w->path_count > 0) {
        uint32_t activity = w->path[w->path_count - 1];
        uint32_t other = follow_edge(w, activity);
        if (other == MW_NONE) {
            leave(w);
        } else if (w->number[other] == 0) {
            enter(w, other);
        } else if (w->network->block_of[other] == MW_NONE) {
            lower(w, activity, w->number[other]);
        }
    }
}

static bool take_walk(walk *w, mw_arena *arena)
{
    size_t count = w->network->problem->activity_count;
    w->number = plan_take(arena, count, sizeof *w->number);
    w->low = plan_take(arena, count, sizeof *w->low);
    w->next_edge = plan_take(arena, count, sizeof *w->next_edge);
    w->path = plan_take(arena, count, sizeof *w->path);
    w->open = plan_take(arena, count, sizeof *w->open);
    return w->number != NULL && w->low != NULL && w->next_edge != NULL && w->path != NULL &&
           w->open != NULL;
}

/* Returns the next activity of the same block that `activity` must follow; MW_NONE when there is
 * none left. */
static uint32_t follow_inside(walk *w, uint32_t activity)
{
    const plan_network *network = w->network;
    uint32_t into_count = list_size(&network->into, activity);
    while (w->next_edge[activity] < into_count) {
        uint32_t edge = network->into.first[activity] + w->next_edge[activity]++;
        uint32_t from = network->problem->lags[network->into.items[edge]].from;
        if (network->block_of[from] == network->block_of[activity]) {
            return from;
        }
    }
    return MW_NONE;
}

enum { UNMET = 0, ON_PATH = 1, ORDERED = 2 };

/* Writes to `ordered` what `root` must follow inside its block, then `root`. Returns false at a
 * cycle. */
static bool order_before(walk *w, uint32_t root, uint32_t *ordered, uint32_t *ordered_count)
{
    if (w->number[root] == ORDERED) {
        return true;
    }
    w->path[w->path_count++] = root;
    w->number[root] = ON_PATH;
    while (w->path_count > 0) {
        uint32_t activity = w->path[w->path_count - 1];
        uint32_t before = follow_inside(w, activity);
        if (before == MW_NONE) {
            w->number[activity] = ORDERED;
            w->path_count--;
            ordered[(*ordered_count)++] = activity;
        } else if (w->number[before] == ON_PATH) {
            return false;
        } else if (w->number[before] == UNMET) {
            w->number[before] = ON_PATH;
            w->path[w->path_count++] = before;
        }
    }
    return true;
}

/* Puts the members of a block, which stand in the order given, behind those that they must
 * follow. */
static bool order_block(walk *w, uint32_t block)
{
    plan_network *network = w->network;
    uint32_t first = network->block_first[block];
    uint32_t count = network->block_first[block + 1] - first;
    uint32_t *members = network->order + first;
    for (uint32_t i = 0; i < count; i++) {
        w->number[members[i]] = UNMET;
        w->next_edge[members[i]] = 0;
    }
    uint32_t ordered_count = 0;
    for (uint32_t i = 0; i < count; i++) {
        if (!order_before(w, members[i], w->open, &ordered_count)) {
            return false;
        }
    }
    for (uint32_t i = 0; i < count; i++) {
        members[i] = w->open[i];
    }
    return true;
}

static mw_status order_members(walk *w, mw_arena *arena)
{
    plan_network *network = w->network;
    plan_lists members;
    mw_status status = plan_lists_make(&members, network->block_count, network->block_of,
                                       network->problem->activity_count, arena);
    if (status != MW_OK) {
        return status;
    }
    network->block_first = members.first;
    network->order = members.items;
    for (uint32_t block = 0; block < network->block_count; block++) {
        if (members.first[block + 1] - members.first[block] > 1 && !order_block(w, block)) {
            return MW_FAILED;
        }
    }
    return MW_OK;
}

static mw_status list_windows(plan_network *network, mw_arena *arena)
{
    const mw_plan_problem *problem = network->problem;
    uint32_t *keys = plan_take(arena, problem->lag_count, sizeof *keys);
    if (keys == NULL) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < problem->lag_count; i++) {
        const mw_plan_lag *lag = &problem->lags[i];
        keys[i] = lag->maximum ? network->block_of[lag->from] : MW_NONE;
    }
    return plan_lists_make(&network->windows, network->block_count, keys, problem->lag_count,
                           arena);
}

mw_status plan_network_order(plan_network *network, mw_arena *arena)
{
    uint32_t count = network->problem->activity_count;
    walk w = {.network = network};
    network->block_of = plan_take(arena, count, sizeof *network->block_of);
    if (network->block_of == NULL || !take_walk(&w, arena)) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < count; i++) {
        network->block_of[i] = MW_NONE;
    }
    for (uint32_t i = 0; i < count; i++) {
        walk_from(&w, i);
    }
    mw_status status = order_members(&w, arena);
    return status == MW_OK ? list_windows(network, arena) : status;
}
