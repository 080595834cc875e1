/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A population of lists of blocks, each read by serial generation on calendars. A list is sorted
 * anew by the starts that came out, so that it says what the plan does; a child takes the place of
 * its father if it is no worse. */
#include "breed.h"

#include <math.h>
#include <string.h>

#include "lists.h"

enum {
    SIZE_LEAST = 8,
    SIZE_MOST = 60,
    SIZE_SHARE = 9, /* the size is the root of schedules / 9 */
    ROUGH = 4       /* mutations that make a new member of the first */
};

typedef struct member {
    uint32_t *list;
    plan_cost cost;
    uint64_t print;
} member;

typedef struct breeding {
    plan_state *state;
    const mw_plan_budget *budget;
    plan_best *best;
    plan_random random;
    plan_list_breeding lists;
    plan_lists follows; /* by block: rows of `before`, the blocks that it must follow */
    uint32_t *before;
    member *members;
    uint32_t size;
    double *starts_s; /* by block */
    bool stopped;
} breeding;

plan_cost plan_cost_of(const plan_state *state)
{
    const mw_plan_problem *problem = state->network->problem;
    plan_cost cost = {.last_s = plan_moment(problem->start_s)};
    double sum_s = 0.0;
    for (uint32_t a = 0; a < problem->activity_count; a++) {
        double end_s = state->slots[a].end_s;
        if (isinf(end_s)) {
            cost.never_count++;
        } else {
            cost.last_s = end_s > cost.last_s ? end_s : cost.last_s;
            sum_s += end_s - problem->start_s;
        }
    }
    cost.mean_s = sum_s;
    for (uint32_t i = 0; i < problem->lag_count; i++) {
        if (problem->lags[i].maximum && plan_window_excess(state, i) > 0.0) {
            cost.missed_count++;
        }
    }
    return cost;
}

bool plan_cost_better(const plan_cost *a, const plan_cost *b)
{
    if (a->never_count != b->never_count) {
        return a->never_count < b->never_count;
    }
    if (a->missed_count != b->missed_count) {
        return a->missed_count < b->missed_count;
    }
    return a->last_s < b->last_s || (a->last_s == b->last_s && a->mean_s < b->mean_s);
}

static bool is_over(breeding *b)
{
    if (b->budget->stop != NULL) {
        b->stopped = b->stopped || b->budget->stop(b->budget->context);
    }
    const plan_cost *cost = &b->best->cost;
    bool best =
        cost->never_count == 0 && cost->missed_count == 0 && cost->last_s <= b->best->bound_s;
    return b->stopped || best || b->best->schedules >= b->budget->schedules;
}

static bool must_follow(const void *context, uint32_t after, uint32_t before)
{
    const breeding *b = context;
    for (uint32_t i = b->follows.first[after]; i < b->follows.first[after + 1]; i++) {
        if (b->before[b->follows.items[i]] == before) {
            return true;
        }
    }
    return false;
}

/* By block: when its first activity starts. */
static void find_starts(breeding *b)
{
    const plan_network *network = b->state->network;
    for (uint32_t block = 0; block < network->block_count; block++) {
        b->starts_s[block] = PLAN_NEVER;
    }
    for (uint32_t a = 0; a < network->problem->activity_count; a++) {
        double *start_s = &b->starts_s[network->block_of[a]];
        *start_s = fmin(*start_s, b->state->slots[a].start_s);
    }
}

/* Sorts by start as far as the order that must be kept allows. */
static void sort_list(const breeding *b, uint32_t *list)
{
    for (uint32_t i = 1; i < b->lists.count; i++) {
        uint32_t block = list[i];
        uint32_t place = i;
        while (place > 0 && b->starts_s[list[place - 1]] > b->starts_s[block] &&
               !must_follow(b, block, list[place - 1])) {
            list[place] = list[place - 1];
            place--;
        }
        list[place] = block;
    }
}

static uint64_t print_of(const plan_state *state)
{
    uint64_t print = 0;
    for (uint32_t a = 0; a < state->network->problem->activity_count; a++) {
        uint64_t bits;
        memcpy(&bits, &state->slots[a].start_s, sizeof bits);
        print = (print ^ bits) * 0x9e3779b97f4a7c15u;
        print ^= print >> 29;
    }
    return print;
}

/* Makes the plan of the child and keeps it if it is the best. */
static plan_cost generate(breeding *b)
{
    plan_state_reset(b->state);
    b->state->blocks = b->lists.list;
    plan_serial(b->state);
    plan_cost cost = plan_cost_of(b->state);
    if (b->best->schedules++ == 0 || plan_cost_better(&cost, &b->best->cost)) {
        b->best->cost = cost;
        memcpy(b->best->slots, b->state->slots,
               b->state->network->problem->activity_count * sizeof *b->best->slots);
    }
    return cost;
}

static void settle(breeding *b, member *m, const plan_cost *cost, uint64_t print)
{
    m->cost = *cost;
    m->print = print;
    memcpy(m->list, b->lists.list, b->lists.count * sizeof *m->list);
    find_starts(b);
    sort_list(b, m->list);
}

static bool is_there(const breeding *b, uint64_t print)
{
    for (uint32_t i = 0; i < b->size; i++) {
        if (b->members[i].print == print) {
            return true;
        }
    }
    return false;
}

/* The list of the child becomes that of the first member, well shaken. */
static void shake_first(breeding *b)
{
    memcpy(b->lists.list, b->members[0].list, b->lists.count * sizeof *b->lists.list);
    for (int i = 0; i < ROUGH; i++) {
        plan_list_mutate(&b->lists);
    }
}

static void found_population(breeding *b)
{
    for (uint32_t i = 0; i < b->size && (i == 0 || !is_over(b)); i++) {
        if (i == 0) {
            for (uint32_t block = 0; block < b->lists.count; block++) {
                b->lists.list[block] = block;
            }
        } else {
            shake_first(b);
        }
        plan_cost cost = generate(b);
        settle(b, &b->members[i], &cost, print_of(b->state));
    }
}

static void breed_member(breeding *b, member *father)
{
    uint32_t one = plan_random_below(&b->random, b->size);
    uint32_t two = plan_random_below(&b->random, b->size);
    bool second = plan_cost_better(&b->members[two].cost, &b->members[one].cost);
    plan_list_cross(&b->lists, father->list, b->members[second ? two : one].list);
    plan_list_mutate(&b->lists);
    plan_cost cost = generate(b);
    uint64_t print = print_of(b->state);
    if (print != father->print && is_there(b, print)) {
        plan_list_mutate(&b->lists);
        cost = generate(b);
        print = print_of(b->state);
    }
    if (!plan_cost_better(&father->cost, &cost)) {
        settle(b, father, &cost, print);
    }
}

/* By block: the blocks that hold what its activities must follow. */
static mw_status list_follows(breeding *b, mw_arena *arena)
{
    const plan_network *network = b->state->network;
    const mw_plan_problem *problem = network->problem;
    uint32_t *keys = plan_take(arena, problem->lag_count, sizeof *keys);
    b->before = plan_take(arena, problem->lag_count, sizeof *b->before);
    if (keys == NULL || b->before == NULL) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < problem->lag_count; i++) {
        const mw_plan_lag *lag = &problem->lags[i];
        b->before[i] = network->block_of[lag->from];
        keys[i] = lag->maximum || network->block_of[lag->to] == b->before[i]
                      ? MW_NONE
                      : network->block_of[lag->to];
    }
    return plan_lists_make(&b->follows, network->block_count, keys, problem->lag_count, arena);
}

static mw_status take_memory(breeding *b, mw_arena *arena)
{
    uint32_t count = b->lists.count;
    uint32_t *lists = plan_take(arena, (size_t)b->size * count, sizeof *lists);
    b->members = plan_take(arena, b->size, sizeof *b->members);
    b->lists.list = plan_take(arena, count, sizeof *b->lists.list);
    b->lists.chosen = plan_take(arena, count, sizeof *b->lists.chosen);
    b->starts_s = plan_take(arena, count, sizeof *b->starts_s);
    if (lists == NULL || b->members == NULL || b->lists.list == NULL || b->lists.chosen == NULL ||
        b->starts_s == NULL) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < b->size; i++) {
        b->members[i].list = lists + (size_t)i * count;
    }
    return list_follows(b, arena);
}

static uint32_t choose_size(uint64_t schedules)
{
    uint32_t size = SIZE_LEAST;
    while (size < SIZE_MOST && (uint64_t)size * size * SIZE_SHARE < schedules) {
        size++;
    }
    return size;
}

mw_status plan_breed(plan_state *state, const mw_plan_budget *budget, plan_best *best,
                     mw_arena *arena)
{
    breeding b = {.state = state,
                  .budget = budget,
                  .best = best,
                  .random = {budget->seed},
                  .size = choose_size(budget->schedules)};
    b.lists = (plan_list_breeding){.count = state->network->block_count,
                                   .random = &b.random,
                                   .must_follow = must_follow,
                                   .context = &b};
    mw_status status = take_memory(&b, arena);
    if (status != MW_OK) {
        return status;
    }
    found_population(&b);
    while (b.lists.count > 1 && !is_over(&b)) {
        for (uint32_t i = 0; i < b.size && !is_over(&b); i++) {
            breed_member(&b, &b.members[i]);
        }
    }
    return MW_OK;
}
