/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Who takes over whose people and machines: units are handed on in the order of the starts, those first that have been
 * free the longest. What keeps these ties keeps the plan's use of resources.
 * Source: Artigues, Michelon and Reusser, EJOR 149, 2003 (flow of resource units from activity to activity). */
#include "plan_ties.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "mouldwright/memory.h"

/* Units of a resource that came free together. */
typedef struct chunk {
    uint32_t holder; /* MW_NONE: nobody, or promised work */
    double free_s;
    bool waits;
    uint32_t amount;
} chunk;

/* One that takes units: an activity, or promised work. */
typedef struct taker {
    double start_s, end_s;
    uint32_t activity; /* MW_NONE: promised work */
    uint32_t promise;
} taker;

static int by_start(const void *left, const void *right)
{
    const taker *a = left;
    const taker *b = right;
    if (a->start_s != b->start_s) {
        return a->start_s < b->start_s ? -1 : 1;
    }
    if (a->end_s != b->end_s) {
        return a->end_s < b->end_s ? -1 : 1;
    }
    if (a->activity != b->activity) {
        return a->activity < b->activity ? -1 : 1;
    }
    return (a->promise > b->promise) - (a->promise < b->promise);
}

double plan_ties_free_s(const plan_ties *ties, uint32_t from, bool waits)
{
    const mw_plan_lag *lags = ties->node->lags.items;
    const double end_s = ties->slots[from].end_s;
    double free_s = end_s;
    for (uint32_t i = ties->lag_first[from]; waits && i < ties->lag_first[from + 1]; i++) {
        const mw_plan_lag *lag = &lags[ties->lags_from[i]];
        const mw_calendar *clock = ties->node->calendars[lag->calendar];
        free_s = fmax(free_s, mw_calendar_advance(clock, end_s, lag->amount_s));
    }
    return free_s;
}

static void add_tie(plan_ties *ties, const plan_tie *tie)
{
    plan_tie *item = growing_add(&ties->made, sizeof *item);
    ties->lost = ties->lost || !item;
    if (item) {
        *item = *tie;
    }
}

/* The chunk that has been free the longest; NULL: all are gone. */
static chunk *longest_free(const growing *chunks)
{
    chunk *items = chunks->items;
    chunk *best = NULL;
    for (uint32_t i = 0; i < chunks->count; i++) {
        if (items[i].amount > 0 && (!best || items[i].free_s < best->free_s)) {
            best = &items[i];
        }
    }
    return best;
}

static void give_back(plan_ties *ties, growing *chunks, const chunk *units)
{
    chunk *items = chunks->items;
    for (uint32_t i = 0; i < chunks->count; i++) {
        if (items[i].amount == 0) {
            items[i] = *units;
            return;
        }
    }
    chunk *item = growing_add(chunks, sizeof *item);
    ties->lost = ties->lost || !item;
    if (item) {
        *item = *units;
    }
}

/* Hands `amount` units on to a taker. */
static void hand_on(plan_ties *ties, growing *chunks, const taker *to, const mw_plan_need *need)
{
    uint32_t left = need->amount;
    for (chunk *from = longest_free(chunks); from && left > 0; from = longest_free(chunks)) {
        const uint32_t taken = from->amount < left ? from->amount : left;
        const bool held = from->holder != MW_NONE && from->free_s <= to->start_s;
        if (held && to->activity != MW_NONE) {
            add_tie(ties, &(plan_tie){from->holder, to->activity, MW_NONE, from->waits});
        } else if (held) {
            double *by_s = &ties->by_s[from->holder];
            *by_s = fmin(*by_s, to->start_s);
        }
        from->amount -= taken;
        left -= taken;
    }
    const bool waits = to->activity != MW_NONE && need->wait_too;
    const double free_s =
        to->activity == MW_NONE ? to->end_s : plan_ties_free_s(ties, to->activity, waits);
    give_back(ties, chunks, &(chunk){to->activity, free_s, waits, need->amount - left});
}

static void add_taker(plan_ties *ties, const taker *of)
{
    taker *item = growing_add(&ties->takers, sizeof *item);
    ties->lost = ties->lost || !item;
    if (item) {
        *item = *of;
    }
}

/* All takers in the order of their starts. */
static void list_takers(plan_ties *ties)
{
    const plan_node *node = ties->node;
    ties->takers.count = 0;
    for (uint32_t a = 0; a < ties->activities; a++) {
        if (isfinite(ties->slots[a].end_s)) {
            add_taker(ties, &(taker){ties->slots[a].start_s, ties->slots[a].end_s, a, 0});
        }
    }
    for (uint32_t p = 0; p < node->promise_count; p++) {
        const mw_plan_promise *of = &node->promises[p];
        add_taker(ties, &(taker){of->from_s, of->until_s, MW_NONE, p});
    }
    if (ties->takers.count > 0) {
        qsort(ties->takers.items, ties->takers.count, sizeof(taker), by_start);
    }
}

static void take_units(plan_ties *ties, growing *chunks, const taker *to)
{
    const plan_node *node = ties->node;
    if (to->activity == MW_NONE) {
        const mw_plan_promise *of = &node->promises[to->promise];
        hand_on(ties, &chunks[of->resource], to, &(mw_plan_need){of->resource, of->amount, false});
        return;
    }
    const mw_plan_activity *row = (const mw_plan_activity *)node->activities.items + to->activity;
    const mw_plan_need *needs = (const mw_plan_need *)node->needs.items + row->first_need;
    for (uint32_t i = 0; i < row->need_count; i++) {
        hand_on(ties, &chunks[needs[i].resource], to, &needs[i]);
    }
}

static void hand_all(plan_ties *ties)
{
    const plan_node *node = ties->node;
    list_takers(ties);
    for (uint32_t r = 0; r < node->resource_count; r++) {
        ties->units[r].count = 0;
        give_back(ties, &ties->units[r],
                  &(chunk){MW_NONE, -(double)INFINITY, false, node->resources[r].capacity});
    }
    const taker *takers = ties->takers.items;
    for (uint32_t i = 0; i < ties->takers.count && !ties->lost; i++) {
        if (takers[i].activity != MW_NONE) {
            ties->order[ties->count++] = takers[i].activity;
        }
        take_units(ties, ties->units, &takers[i]);
    }
}

/* ---- lags ---- */

/* Counts become places one behind the last of each; what is put in from behind counts them down to the first. */
static void sum_up(uint32_t *counts, uint32_t count)
{
    for (uint32_t a = 1; a <= count; a++) {
        counts[a] += counts[a - 1];
    }
}

static bool leaves_end(const mw_plan_lag *lag)
{
    return !lag->maximum && lag->from_end;
}

/* By activity: the least lags that leave its end. */
static void index_lags(plan_ties *ties)
{
    const mw_plan_lag *lags = ties->node->lags.items;
    for (uint32_t i = 0; i < ties->node->lags.count; i++) {
        ties->lag_first[lags[i].from] += leaves_end(&lags[i]) ? 1 : 0;
    }
    sum_up(ties->lag_first, ties->activities);
    for (uint32_t i = ties->node->lags.count; i-- > 0;) {
        if (leaves_end(&lags[i])) {
            ties->lags_from[--ties->lag_first[lags[i].from]] = i;
        }
    }
}

static void tie_lags(plan_ties *ties)
{
    const mw_plan_lag *lags = ties->node->lags.items;
    for (uint32_t i = 0; i < ties->node->lags.count; i++) {
        const bool done = isfinite(ties->slots[lags[i].to].end_s);
        if (!lags[i].maximum && done) {
            add_tie(ties, &(plan_tie){lags[i].from, lags[i].to, i, false});
        }
    }
}

/* Puts the ties in the order of the activities that they lead to. */
static void sort_ties(plan_ties *ties)
{
    const plan_tie *made = ties->made.items;
    for (uint32_t i = 0; i < ties->made.count; i++) {
        ties->first[made[i].to]++;
    }
    sum_up(ties->first, ties->activities);
    for (uint32_t i = ties->made.count; i-- > 0;) {
        ties->ties[--ties->first[made[i].to]] = made[i];
    }
}

static void place_steps(plan_ties *ties)
{
    for (uint32_t a = 0; a < ties->activities; a++) {
        ties->step[a] = MW_NONE;
        ties->by_s[a] = (double)INFINITY;
    }
    for (uint32_t s = 0; s < ties->node->step_count; s++) {
        const planned_result *of = &ties->node->results[s];
        for (uint32_t i = 0; of->planned && i < of->count; i++) {
            ties->step[of->first + i] = s;
        }
    }
}

/* Room for `count` items, all 0; NULL: no memory. */
static void *take_room(growing *room, size_t count, size_t item_size)
{
    if (count >= UINT32_MAX ||
        !mw_memory_grow32(&room->items, &room->capacity, (uint32_t)count, item_size)) {
        return NULL;
    }
    return memset(room->items, 0, count * item_size);
}

static bool take_rooms(plan_ties *ties)
{
    const size_t count = (size_t)ties->activities + 1;
    ties->order = take_room(&ties->rooms[0], count, sizeof *ties->order);
    ties->first = take_room(&ties->rooms[1], count, sizeof *ties->first);
    ties->lag_first = take_room(&ties->rooms[2], count, sizeof *ties->lag_first);
    ties->lags_from =
        take_room(&ties->rooms[3], (size_t)ties->node->lags.count + 1, sizeof *ties->lags_from);
    ties->step = take_room(&ties->rooms[4], count, sizeof *ties->step);
    ties->by_s = take_room(&ties->rooms[5], count, sizeof *ties->by_s);
    ties->late_s = take_room(&ties->rooms[6], count, sizeof *ties->late_s);
    return ties->order && ties->first && ties->lag_first && ties->lags_from && ties->step &&
           ties->by_s && ties->late_s;
}

plan_ties *plan_ties_new(uint32_t resource_count)
{
    plan_ties *ties = mw_memory_get(sizeof *ties);
    growing *units = mw_memory_get(((size_t)resource_count + 1) * sizeof *units);
    if (!ties || !units) {
        mw_memory_give(ties);
        mw_memory_give(units);
        return NULL;
    }
    ties->units = units;
    ties->resource_count = resource_count;
    return ties;
}

void plan_ties_free(plan_ties *ties)
{
    if (!ties) {
        return;
    }
    for (size_t i = 0; i < sizeof ties->rooms / sizeof *ties->rooms; i++) {
        mw_memory_give(ties->rooms[i].items);
    }
    for (uint32_t r = 0; r < ties->resource_count; r++) {
        mw_memory_give(ties->units[r].items);
    }
    mw_memory_give(ties->units);
    mw_memory_give(ties->takers.items);
    mw_memory_give(ties->made.items);
    mw_memory_give(ties);
}

bool plan_ties_find(plan_ties *ties, const plan_node *node)
{
    ties->node = node;
    ties->slots = mw_plan_slots(node->plan);
    ties->activities = node->activities.count;
    ties->count = 0;
    ties->made.count = 0;
    ties->lost = false;
    if (!take_rooms(ties)) {
        return false;
    }
    place_steps(ties);
    index_lags(ties);
    tie_lags(ties);
    hand_all(ties);
    ties->ties = ties->lost
                     ? NULL
                     : take_room(&ties->rooms[7], (size_t)ties->made.count + 1, sizeof *ties->ties);
    if (!ties->ties) {
        return false;
    }
    sort_ties(ties);
    return true;
}
