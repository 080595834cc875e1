/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The time table: an activity whose greatest start lies before its least end is certain to work in
 * between. Bounds of others are raised past slots in which nothing is left for them.
 * Source: Schutt, Feydy, Stuckey and Wallace, Explaining the cumulative propagator, Constraints 16,
 * 2011 (pointwise explanations). */
#include "learn.h"

#include <string.h>

typedef struct span {
    int32_t from, until;
} span;

static int32_t least_start(const learn *l, uint32_t activity)
{
    return l->bounds[(size_t)activity * 2];
}

static int32_t greatest_start(const learn *l, uint32_t activity)
{
    return -l->bounds[(size_t)activity * 2 + 1];
}

static const uint64_t *demand_of(const learn *l, uint32_t activity)
{
    return l->net->demands + (size_t)activity * l->net->words;
}

static int32_t demand_at(const learn *l, uint32_t activity, uint32_t resource)
{
    const mw_slots_problem *problem = l->net->problem;
    return problem->demands[activity * problem->resource_count + resource];
}

static bool slot_fits(const learn *l, int32_t slot, const uint64_t *demand)
{
    const uint64_t *free = l->free + (size_t)slot * l->net->words;
    uint64_t guards = SLOTS_GUARDS;
    for (uint32_t w = 0; w < l->net->words; w++) {
        guards &= free[w] - demand[w];
    }
    return guards == SLOTS_GUARDS;
}

/* The slots that a step of an activity makes certain. */
static span new_part(const learn *l, const learn_step *step)
{
    uint32_t activity = step->key / 2;
    int32_t length = l->net->durations[activity];
    if (step->key % 2 == 0) {
        int32_t latest = greatest_start(l, activity);
        int32_t from = step->old + length;
        return (span){from > latest ? from : latest, step->value + length};
    }
    int32_t until = least_start(l, activity) + length;
    return (span){-step->value, until < -step->old ? until : -step->old};
}

static void take_span(learn *l, uint32_t activity, span s)
{
    const uint64_t *demand = demand_of(l, activity);
    for (int32_t slot = s.from; slot < s.until; slot++) {
        uint64_t *free = l->free + (size_t)slot * l->net->words;
        uint64_t guards = SLOTS_GUARDS;
        for (uint32_t w = 0; w < l->net->words; w++) {
            free[w] -= demand[w];
            guards &= free[w];
        }
        if (guards != SLOTS_GUARDS && l->full_at < 0) {
            l->full_at = slot;
        }
    }
    if (s.from < s.until) {
        l->touched_from = s.from < l->touched_from ? s.from : l->touched_from;
        l->touched_until = s.until > l->touched_until ? s.until : l->touched_until;
    }
}

void learn_take_part(learn *l, const learn_step *step)
{
    if (step->key / 2 < l->net->count) {
        take_span(l, step->key / 2, new_part(l, step));
    }
}

void learn_give_part(learn *l, const learn_step *step)
{
    if (step->key / 2 >= l->net->count) {
        return;
    }
    span s = new_part(l, step);
    const uint64_t *demand = demand_of(l, step->key / 2);
    for (int32_t slot = s.from; slot < s.until; slot++) {
        for (uint32_t w = 0; w < l->net->words; w++) {
            l->free[(size_t)slot * l->net->words + w] += demand[w];
        }
    }
}

void learn_calm(learn *l)
{
    l->touched_from = INT32_MAX;
    l->touched_until = -1;
    l->full_at = -1;
    memset(l->moved, 0, l->count * sizeof *l->moved);
}

void learn_take_roots(learn *l)
{
    learn_calm(l);
    for (uint32_t a = 0; a < l->net->count; a++) {
        l->moved[a] = true;
        take_span(l, a, (span){greatest_start(l, a), least_start(l, a) + l->net->durations[a]});
    }
}

static bool is_certain(const learn *l, uint32_t activity, int32_t slot)
{
    return greatest_start(l, activity) <= slot &&
           slot < least_start(l, activity) + l->net->durations[activity];
}

/* Returns a resource of which `demand_by` (MW_NONE: nothing) and what is certain in a slot need more
 * than there is, and by how much; resource_count if there is none. */
static uint32_t find_lacking(const learn *l, int32_t slot, uint32_t demand_by, int64_t *excess)
{
    const mw_slots_problem *problem = l->net->problem;
    uint32_t resource = 0;
    for (; resource < problem->resource_count; resource++) {
        int64_t sum = demand_by == MW_NONE ? 0 : demand_at(l, demand_by, resource);
        for (uint32_t a = 0; a < l->net->count; a++) {
            sum += a != demand_by && is_certain(l, a, slot) ? demand_at(l, a, resource) : 0;
        }
        *excess = sum - problem->capacities[resource];
        if (*excess > 0) {
            break;
        }
    }
    return resource;
}

/* Adds the facts that make others certain in a slot; leaves out those that are not needed for there
 * to be too little. */
static void add_certain(learn *l, int32_t slot, uint32_t except)
{
    int64_t excess = 0;
    uint32_t resource = find_lacking(l, slot, except, &excess);
    for (uint32_t a = 0; a < l->net->count && resource < l->net->problem->resource_count; a++) {
        int32_t demand = demand_at(l, a, resource);
        if (a == except || demand == 0 || !is_certain(l, a, slot)) {
            continue;
        }
        if (demand < excess) {
            excess -= demand;
            continue;
        }
        learn_add_fact(l, (learn_fact){a * 2, slot - l->net->durations[a] + 1});
        learn_add_fact(l, (learn_fact){a * 2 + 1, -slot});
    }
}

static bool clash_at(learn *l, int32_t slot)
{
    uint32_t first = l->fact_count;
    add_certain(l, slot, MW_NONE);
    if (!l->no_memory) {
        l->clash_count = l->fact_count - first;
        memcpy(l->clash, (learn_fact *)l->facts + first, l->clash_count * sizeof *l->clash);
    }
    l->fact_count = first;
    return false;
}

/* Raises a key of an activity because there is too little left for it in a slot. */
static bool raise_past(learn *l, uint32_t key, int32_t slot)
{
    int32_t length = l->net->durations[key / 2];
    uint32_t first = l->fact_count;
    learn_add_fact(l, (learn_fact){0, 0});
    int32_t own = key % 2 == 0 ? slot - length + 1 : -slot;
    int32_t value = key % 2 == 0 ? slot + 1 : length - slot;
    learn_add_fact(l, (learn_fact){key, own});
    add_certain(l, slot, key / 2);
    first = learn_end_facts(l, first);
    return learn_raise(l, (learn_fact){key, value}, (learn_why){LEARN_FACTS, first, 0});
}

static bool filter_least(learn *l, uint32_t a)
{
    const uint64_t *demand = demand_of(l, a);
    int32_t length = l->net->durations[a];
    int32_t end = least_start(l, a) + length;
    end = end < greatest_start(l, a) ? end : greatest_start(l, a);
    for (int32_t slot = end - 1; slot >= least_start(l, a) && !l->no_memory; slot--) {
        if (!slot_fits(l, slot, demand)) {
            if (!raise_past(l, a * 2, slot)) {
                return false;
            }
            end = least_start(l, a) + length;
            end = end < greatest_start(l, a) ? end : greatest_start(l, a);
            slot = end;
        }
    }
    return true;
}

static bool filter_greatest(learn *l, uint32_t a)
{
    const uint64_t *demand = demand_of(l, a);
    int32_t length = l->net->durations[a];
    int32_t from = least_start(l, a) + length;
    from = from > greatest_start(l, a) ? from : greatest_start(l, a);
    for (int32_t slot = from; slot < greatest_start(l, a) + length && !l->no_memory; slot++) {
        if (!slot_fits(l, slot, demand)) {
            if (!raise_past(l, a * 2 + 1, slot)) {
                return false;
            }
            from = least_start(l, a) + length;
            from = from > greatest_start(l, a) ? from : greatest_start(l, a);
            slot = from - 1;
        }
    }
    return true;
}

static bool filter_activity(learn *l, uint32_t a, span touched)
{
    int32_t length = l->net->durations[a];
    int32_t least = least_start(l, a);
    int32_t greatest = greatest_start(l, a);
    if (least == greatest) {
        return true; /* all of it is in the table */
    }
    bool near_least = least < touched.until && least + length > touched.from;
    bool near_greatest = greatest < touched.until && greatest + length > touched.from;
    bool moved = l->moved[a];
    l->moved[a] = false;
    if ((moved || near_least) && !filter_least(l, a)) {
        return false;
    }
    return !(moved || near_greatest) || filter_greatest(l, a);
}

bool learn_filter(learn *l)
{
    if (l->full_at >= 0) {
        return clash_at(l, l->full_at);
    }
    span touched = {l->touched_from, l->touched_until};
    l->touched_from = INT32_MAX;
    l->touched_until = -1;
    for (uint32_t a = 0; a < l->net->count; a++) {
        if (!filter_activity(l, a, touched)) {
            return false;
        }
        if (l->full_at >= 0) {
            return clash_at(l, l->full_at);
        }
    }
    return true;
}
