/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A population of lists of blocks, each read by serial generation on calendars. A list is sorted
 * anew by the starts that came out, so that it says what the plan does; a child takes the place of
 * its father if it is no worse. */
#include "breed.h"

#include <math.h>
#include <string.h>

#include "follows.h"
#include "justify.h"
#include "lists.h"

enum {
    SIZE_LEAST = 8,
    SIZE_MOST = 60,
    POLISH = 40,   /* schedules to look for less waiting in, even if the last end is proved */
    SIZE_SHARE = 9 /* the size is the root of schedules / 9 */
};

/* A founder goes by what its blocks have behind them, each made less by up to this share. */
#define ASTRAY 0.3

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
    plan_follows follows;
    member *members;
    uint32_t size;
    plan_justifying justifying;
    mw_plan_slot *other_slots; /* these and the next keep a plan while another is tried */
    uint32_t *other_list;
    double *by_activity;
    double *starts_s; /* by block */
    double *tails_s;  /* by block: the most that must come after one of its starts */
    bool stopped;
} breeding;

/* What an activity adds to the cost of its plan. */
static void add_activity(plan_cost *cost, const mw_plan_activity *row, const mw_plan_slot *slot,
                         double from_s)
{
    if (isinf(slot->end_s)) {
        cost->never_count++;
        return;
    }
    cost->last_s = slot->end_s > cost->last_s ? slot->end_s : cost->last_s;
    cost->sum_s += slot->end_s - from_s;
    if (row->weight > 0.0 && slot->end_s > row->due_s) {
        cost->late_s += row->weight * (slot->end_s - row->due_s);
    }
    if (row->agreed && slot->start_s > row->agreed_s) {
        cost->moved_s += slot->start_s - row->agreed_s;
    }
}

plan_cost plan_cost_of(const plan_state *state)
{
    const mw_plan_problem *problem = state->network->problem;
    plan_cost cost = {.last_s = plan_moment(problem->start_s)};
    for (uint32_t a = 0; a < problem->activity_count; a++) {
        add_activity(&cost, &problem->activities[a], &state->slots[a], problem->start_s);
    }
    for (uint32_t i = 0; i < problem->lag_count; i++) {
        if (problem->lags[i].maximum && plan_window_excess(state, i) > 0.0) {
            cost.missed_count++;
        }
    }
    return cost;
}

bool plan_cost_whole(const plan_cost *cost)
{
    return cost->never_count == 0 && cost->missed_count == 0;
}

bool plan_cost_better(const plan_cost *a, const plan_cost *b)
{
    if (a->never_count != b->never_count) {
        return a->never_count < b->never_count;
    }
    if (a->missed_count != b->missed_count) {
        return a->missed_count < b->missed_count;
    }
    if (a->moved_s != b->moved_s) {
        return a->moved_s < b->moved_s;
    }
    if (a->last_s != b->last_s) {
        return a->last_s < b->last_s;
    }
    return a->late_s < b->late_s || (a->late_s == b->late_s && a->sum_s < b->sum_s);
}

static bool is_over(breeding *b)
{
    if (b->budget->stop != NULL) {
        b->stopped = b->stopped || b->budget->stop(b->budget->context);
    }
    const plan_cost *cost = &b->best->cost;
    bool best = plan_cost_whole(cost) && cost->last_s <= b->best->bound_s &&
                cost->late_s + cost->moved_s == 0.0 && b->best->schedules >= POLISH;
    return b->stopped || best || b->best->schedules >= b->budget->schedules;
}

static bool must_follow(const void *context, uint32_t after, uint32_t before)
{
    return plan_must_follow(context, after, before);
}

/* Sorts a list by when the first activity of each block starts. */
static void sort_by_starts(breeding *b, uint32_t *list)
{
    const plan_network *network = b->state->network;
    for (uint32_t a = 0; a < network->problem->activity_count; a++) {
        b->by_activity[a] = b->state->slots[a].start_s;
    }
    plan_block_keys(network, b->by_activity, b->starts_s);
    plan_sort_blocks(&b->follows, b->starts_s, list);
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

static void swap_slots(breeding *b)
{
    mw_plan_slot *slots = b->state->slots;
    b->state->slots = b->other_slots;
    b->other_slots = slots;
}

/* Makes the plan of the child, and again in the order of what is urgent in it; keeps the better. */
static plan_cost generate_twice(breeding *b)
{
    plan_cost first = generate(b);
    if (is_over(b) || b->best->schedules + 2 > b->budget->schedules) {
        return first;
    }
    plan_justify(b->state, &b->justifying);
    b->best->schedules++;
    memcpy(b->other_list, b->lists.list, b->lists.count * sizeof *b->lists.list);
    plan_block_keys(b->state->network, b->justifying.start_s, b->starts_s);
    plan_sort_blocks(&b->follows, b->starts_s, b->lists.list);
    swap_slots(b);
    plan_cost second = generate(b);
    if (!plan_cost_better(&first, &second)) {
        return second;
    }
    swap_slots(b);
    memcpy(b->lists.list, b->other_list, b->lists.count * sizeof *b->lists.list);
    return first;
}

static void settle(breeding *b, member *m, const plan_cost *cost, uint64_t print)
{
    m->cost = *cost;
    m->print = print;
    memcpy(m->list, b->lists.list, b->lists.count * sizeof *m->list);
    sort_by_starts(b, m->list);
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

/* The list of the child becomes the order of the network, then that of the budget, then what has
 * most behind it first: the first of those goes by that alone, later ones are led astray by
 * chance. */
static void found_list(breeding *b, uint32_t founder)
{
    uint32_t given = b->budget->order != NULL ? 1 : 0;
    for (uint32_t block = 0; block < b->lists.count; block++) {
        b->lists.list[block] = block;
        double astray = founder > 1 + given ? ASTRAY * plan_random_part(&b->random) : 0.0;
        b->starts_s[block] = b->tails_s[block] * (astray - 1.0);
    }
    if (founder == 1 && given != 0) {
        plan_block_keys(b->state->network, b->budget->order, b->starts_s);
    }
    if (founder > 0) {
        plan_sort_blocks(&b->follows, b->starts_s, b->lists.list);
    }
}

static void found_population(breeding *b)
{
    for (uint32_t i = 0; i < b->size && (i == 0 || !is_over(b)); i++) {
        found_list(b, i);
        plan_cost cost = i == 0 ? generate(b) : generate_twice(b);
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
    plan_cost cost = generate_twice(b);
    uint64_t print = print_of(b->state);
    if (print != father->print && is_there(b, print) && !is_over(b)) {
        plan_list_mutate(&b->lists);
        cost = generate(b);
        print = print_of(b->state);
    }
    if (!plan_cost_better(&father->cost, &cost)) {
        settle(b, father, &cost, print);
    }
}

static mw_status take_memory(breeding *b, mw_arena *arena)
{
    uint32_t count = b->lists.count;
    uint32_t *lists = plan_take(arena, (size_t)b->size * count, sizeof *lists);
    b->members = plan_take(arena, b->size, sizeof *b->members);
    b->lists.list = plan_take(arena, count, sizeof *b->lists.list);
    b->lists.chosen = plan_take(arena, count, sizeof *b->lists.chosen);
    b->other_list = plan_take(arena, count, sizeof *b->other_list);
    size_t activities = b->state->network->problem->activity_count;
    b->other_slots = plan_take(arena, activities, sizeof *b->other_slots);
    b->by_activity = plan_take(arena, activities, sizeof *b->by_activity);
    b->starts_s = plan_take(arena, count, sizeof *b->starts_s);
    b->tails_s = plan_take(arena, count, sizeof *b->tails_s);
    if (lists == NULL || b->members == NULL || b->lists.list == NULL || b->lists.chosen == NULL ||
        b->starts_s == NULL || b->tails_s == NULL || b->other_list == NULL ||
        b->other_slots == NULL || b->by_activity == NULL) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < b->size; i++) {
        b->members[i].list = lists + (size_t)i * count;
    }
    mw_status status = plan_justify_make(&b->justifying, b->state->network, arena);
    return status == MW_OK ? plan_follows_make(&b->follows, b->state->network, arena) : status;
}

static void take_tails(breeding *b, const double *tails_s)
{
    const plan_network *network = b->state->network;
    for (uint32_t a = 0; a < network->problem->activity_count; a++) {
        double *tail_s = &b->tails_s[network->block_of[a]];
        *tail_s = fmax(*tail_s, tails_s[a]);
    }
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
                     const double *tails_s, mw_arena *arena)
{
    breeding b = {.state = state,
                  .budget = budget,
                  .best = best,
                  .random = {budget->seed},
                  .size = choose_size(budget->schedules)};
    b.lists = (plan_list_breeding){.count = state->network->block_count,
                                   .random = &b.random,
                                   .must_follow = must_follow,
                                   .context = &b.follows};
    mw_status status = take_memory(&b, arena);
    if (status != MW_OK) {
        return status;
    }
    take_tails(&b, tails_s);
    found_population(&b);
    while (b.lists.count > 1 && !is_over(&b)) {
        for (uint32_t i = 0; i < b.size && !is_over(&b); i++) {
            breed_member(&b, &b.members[i]);
        }
    }
    return MW_OK;
}
