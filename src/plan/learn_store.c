/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Keys, steps, levels and reasons of the exact search. */
#include "learn.h"

#include <string.h>

#include "mouldwright/memory.h"
#include "network.h"

static bool take_keys(learn *l, mw_arena *arena)
{
    size_t keys = (size_t)l->count * 2;
    l->bounds = plan_take(arena, keys, sizeof *l->bounds);
    l->roots = plan_take(arena, keys, sizeof *l->roots);
    l->last_step = plan_take(arena, keys, sizeof *l->last_step);
    l->needs = plan_take(arena, keys, sizeof *l->needs);
    l->need_steps = plan_take(arena, keys, sizeof *l->need_steps);
    l->key_marks = plan_take(arena, keys, sizeof *l->key_marks);
    l->need_keys = plan_take(arena, keys, sizeof *l->need_keys);
    l->clash = plan_take(arena, keys * 2 + 2, sizeof *l->clash);
    l->rule = plan_take(arena, keys + 1, sizeof *l->rule);
    l->moved = plan_take(arena, l->count, sizeof *l->moved);
    return l->bounds != NULL && l->roots != NULL && l->last_step != NULL && l->needs != NULL &&
           l->need_steps != NULL && l->need_keys != NULL && l->key_marks != NULL &&
           l->clash != NULL && l->rule != NULL && l->moved != NULL;
}

static bool take_values(learn *l, mw_arena *arena)
{
    size_t values = (size_t)l->count * (size_t)l->room;
    size_t slots = (size_t)l->room * 2 + 1;
    l->watches = plan_take(arena, values * 2, sizeof *l->watches);
    l->scores = plan_take(arena, values, sizeof *l->scores);
    l->heap = plan_take(arena, values, sizeof *l->heap);
    l->heap_place = plan_take(arena, values, sizeof *l->heap_place);
    l->level_marks = plan_take(arena, values + 2, sizeof *l->level_marks);
    l->free = plan_take(arena, slots * l->net->words, sizeof *l->free);
    if (l->watches == NULL || l->scores == NULL || l->heap == NULL || l->heap_place == NULL ||
        l->level_marks == NULL || l->free == NULL) {
        return false;
    }
    memset(l->watches, 0xff, values * 2 * sizeof *l->watches);
    memset(l->heap_place, 0xff, values * sizeof *l->heap_place);
    for (size_t i = 0; i < slots; i++) {
        memcpy(l->free + i * l->net->words, l->net->capacities, l->net->words * sizeof *l->free);
    }
    return true;
}

/* By key: the lags, both ways round, and for each activity its length before the end of all. */
static mw_status make_edges(learn *l, mw_arena *arena)
{
    const mw_slots_problem *problem = l->net->problem;
    uint32_t total = problem->lag_count + problem->activity_count;
    uint32_t *keys = plan_take(arena, (size_t)total * 2, sizeof *keys);
    l->edges = plan_take(arena, (size_t)total * 2, sizeof *l->edges);
    if (keys == NULL || l->edges == NULL) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < total; i++) {
        bool is_lag = i < problem->lag_count;
        uint32_t last = i - problem->lag_count;
        keys[(size_t)i * 2] = 2 * (is_lag ? problem->lags[i].from : last);
        keys[(size_t)i * 2 + 1] = 2 * (is_lag ? problem->lags[i].to : l->count - 1) + 1;
    }
    plan_lists lists;
    mw_status status = plan_lists_make(&lists, l->count * 2, keys, total * 2, arena);
    if (status != MW_OK) {
        return status;
    }
    l->edge_first = lists.first;
    for (uint32_t i = 0; i < total * 2; i++) {
        uint32_t row = lists.items[i] / 2;
        bool back = lists.items[i] % 2 == 1;
        bool is_lag = row < problem->lag_count;
        int32_t lag =
            is_lag ? problem->lags[row].least : problem->durations[row - problem->lag_count];
        uint32_t other = keys[row * 2 + (back ? 0 : 1)] ^ 1u;
        l->edges[i] = (learn_edge){.key = other, .lag = lag};
    }
    return MW_OK;
}

static void begin_keys(learn *l, int32_t last)
{
    for (uint32_t key = 0; key < l->count * 2; key++) {
        l->bounds[key] = l->roots[key] = key % 2 == 0 ? 0 : -last;
        l->last_step[key] = l->need_steps[key] = MW_NONE;
        l->moved[key / 2] = true;
    }
    learn_take_roots(l);
}

mw_status learn_make(learn *l, const slots_net *net, int32_t last, mw_arena *arena)
{
    *l = (learn){.net = net,
                 .count = net->count + 1,
                 .room = last + 2,
                 .bump = 1.0,
                 .rule_limit = 4000,
                 .full_at = -1};
    if (last < 0 || (uint64_t)l->count * (uint64_t)l->room > UINT32_MAX / 4 ||
        !take_keys(l, arena) || !take_values(l, arena)) {
        return MW_NO_MEMORY;
    }
    mw_status status = make_edges(l, arena);
    if (status == MW_OK) {
        begin_keys(l, last);
    }
    return status;
}

void learn_free(learn *l)
{
    mw_memory_give(l->steps);
    mw_memory_give(l->level_first);
    mw_memory_give(l->facts);
    mw_memory_give(l->words);
}

bool learn_raise(learn *l, learn_fact fact, learn_why why)
{
    if (l->bounds[fact.key] >= fact.value) {
        return true;
    }
    if (!mw_memory_grow32(&l->steps, &l->step_room, l->step_count + 1, sizeof(learn_step))) {
        l->no_memory = true;
        return true;
    }
    learn_step *step = (learn_step *)l->steps + l->step_count;
    *step = (learn_step){.key = fact.key,
                         .old = l->bounds[fact.key],
                         .value = fact.value,
                         .before = l->last_step[fact.key],
                         .level = l->level_count,
                         .cause = why.cause,
                         .at = why.at,
                         .lag = why.lag};
    learn_fact against = learn_opposite(fact);
    if (l->bounds[against.key] >= against.value) {
        l->clash_count = learn_explain(l, step, fact.value, l->clash);
        l->clash[l->clash_count++] = against;
        return false;
    }
    l->last_step[fact.key] = l->step_count++;
    l->bounds[fact.key] = fact.value;
    l->moved[fact.key / 2] = true;
    learn_take_part(l, step);
    return true;
}

void learn_decide(learn *l, learn_fact fact)
{
    if (!mw_memory_grow32(&l->level_first, &l->level_room, l->level_count + 1, sizeof(uint32_t))) {
        l->no_memory = true;
        return;
    }
    ((uint32_t *)l->level_first)[l->level_count++] = l->step_count;
    bool fine = learn_raise(l, fact, (learn_why){.cause = LEARN_DECISION});
    l->no_memory = l->no_memory || !fine; /* an undecided fact cannot clash */
}

void learn_retreat(learn *l, uint32_t level)
{
    if (level >= l->level_count) {
        return;
    }
    learn_step *steps = l->steps;
    uint32_t first = ((uint32_t *)l->level_first)[level];
    while (l->step_count > first) {
        learn_step *step = &steps[--l->step_count];
        learn_give_part(l, step);
        l->bounds[step->key] = step->old;
        l->last_step[step->key] = step->before;
        if (step->cause == LEARN_FACTS) {
            l->fact_count = step->at;
        }
        /* Facts that are open again may be decided on again. */
        uint32_t base = step->key / 2 * (uint32_t)l->room;
        for (int32_t value = step->old + 1; value <= step->value; value++) {
            learn_offer(l, base + (uint32_t)(step->key % 2 == 0 ? value : 1 - value));
        }
    }
    /* The level was concluded before the next began. */
    learn_calm(l);
    l->seen_count = l->step_count;
    l->level_count = level;
}

void learn_add_fact(learn *l, learn_fact fact)
{
    if (!mw_memory_grow32(&l->facts, &l->fact_room, l->fact_count + 1, sizeof(learn_fact))) {
        l->no_memory = true;
        return;
    }
    ((learn_fact *)l->facts)[l->fact_count++] = fact;
}

uint32_t learn_end_facts(learn *l, uint32_t first)
{
    if (!l->no_memory) {
        ((learn_fact *)l->facts)[first].key = l->fact_count - first - 1;
    }
    return first;
}

static uint32_t explain_by_rule(const learn *l, const learn_step *step, learn_fact *out)
{
    const uint32_t *rule = (const uint32_t *)l->words + step->at;
    const learn_fact *facts = (const learn_fact *)(rule + LEARN_HEAD_WORDS);
    uint32_t count = 0;
    for (uint32_t i = 0; i < rule[0]; i++) {
        if (facts[i].key != step->key) {
            out[count++] = learn_opposite(facts[i]);
        }
    }
    return count;
}

uint32_t learn_explain(const learn *l, const learn_step *step, int32_t value, learn_fact *out)
{
    switch (step->cause) {
    case LEARN_DECISION:
        return 0;
    case LEARN_RULE:
        return explain_by_rule(l, step, out);
    case LEARN_EDGE:
        out[0] = (learn_fact){.key = step->at, .value = value - step->lag};
        return 1;
    case LEARN_FACTS:
        break;
    }
    const learn_fact *facts = (const learn_fact *)l->facts + step->at;
    memcpy(out, facts + 1, facts[0].key * sizeof *out);
    return facts[0].key;
}
