/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two populations of lists that breed each other: one is read forward, one on the mirror side.
 *
 * A schedule that a list gave on one side is read as a list by its starts on the other: generating
 * from that list moves everything back against the other end, and never makes it longer
 * (justification). A child takes the head of one parent's list, the middle of another's, and the
 * rest of the first; it takes the place of a member of the other population if it is no longer. A
 * child that is there already makes way for a fresh sample, which keeps the population from becoming
 * all alike.
 * Sources: Hartmann, Naval Research Logistics 45, 1998 (crossover of lists); Valls, Ballestin and
 * Quintanilla, EJOR 165, 2005 (justification); Debels and Vanhoucke, LNCS 3483, 2005 (two
 * populations). */
#include "slots_search.h"

#include <string.h>

#include "lists.h"
#include "network.h"
#include "slots_sample.h"

enum {
    SIZE_LEAST = 10, /* members of a population */
    SIZE_MOST = 120,
    SIZE_SHARE = 9, /* of the budget: the size is the root of schedules / 9 */
    STOP_EVERY = 64 /* schedules between questions whether to stop */
};

typedef struct member {
    uint32_t *list; /* in the order for the side that reads it */
    int32_t length; /* of the schedule that it was read from; INT32_MAX: none yet */
    uint64_t print; /* of that schedule: the same for the same starts */
} member;

typedef struct search {
    const slots_net *net;
    const mw_slots_budget *budget;
    slots_best *best;
    slots_maker maker;
    uint32_t size;                /* members of a population */
    member *members[SLOTS_SIDES]; /* by the side that reads them */
    uint32_t *counts;             /* by slot: for sorting */
    bool *chosen;
    bool stopped;
} search;

static bool is_over(search *s)
{
    const mw_slots_budget *budget = s->budget;
    s->best->schedules = (s->maker.placed + s->net->count - 1) / s->net->count;
    if (budget->stop != NULL && s->best->schedules % STOP_EVERY == 0) {
        s->stopped = s->stopped || budget->stop(budget->context);
    }
    return s->stopped || s->best->length <= s->best->bound ||
           s->best->schedules >= budget->schedules;
}

static int32_t turned_start(const search *s, uint32_t activity, int32_t length)
{
    return length - s->maker.starts[activity] - s->net->durations[activity];
}

/* Writes the activities sorted by start on the other side of time. Those of one start keep the
 * reverse of the order that they were placed in: so each still stands behind those that it must
 * follow. */
static void turn_list(search *s, int32_t length, uint32_t *list)
{
    uint32_t count = s->net->count;
    memset(s->counts, 0, ((size_t)length + 2) * sizeof *s->counts);
    for (uint32_t a = 0; a < count; a++) {
        s->counts[turned_start(s, a, length) + 1]++;
    }
    for (int32_t slot = 1; slot <= length; slot++) {
        s->counts[slot] += s->counts[slot - 1];
    }
    for (uint32_t i = count; i-- > 0;) {
        uint32_t a = s->maker.list[i];
        list[s->counts[turned_start(s, a, length)]++] = a;
    }
}

static uint64_t print_of(const search *s, int32_t length)
{
    uint64_t print = (uint64_t)length;
    for (uint32_t a = 0; a < s->net->count; a++) {
        print = (print ^ (uint64_t)turned_start(s, a, length)) * 0x9e3779b97f4a7c15u;
        print ^= print >> 29;
    }
    return print;
}

static void keep_best(search *s, int side, int32_t length)
{
    if (length >= s->best->length) {
        return;
    }
    s->best->length = length;
    for (uint32_t a = 0; a < s->net->count; a++) {
        s->best->starts[a] =
            side == SLOTS_FORWARD ? s->maker.starts[a] : turned_start(s, a, length);
    }
}

static void settle(search *s, member *m, int32_t length, uint64_t print)
{
    m->length = length;
    m->print = print;
    turn_list(s, length, m->list);
}

/* Fills a member of the population that the other side reads with a sample of its own. */
static void sample_member(search *s, int side, member *m)
{
    int32_t length = slots_sample(&s->maker, side);
    keep_best(s, side, length);
    settle(s, m, length, print_of(s, length));
}

static bool must_follow(const void *context, uint32_t after, uint32_t before)
{
    const slots_side *side = context;
    for (uint32_t e = side->first[after]; e < side->first[after + 1]; e++) {
        if (side->edges[e].other == before) {
            return true;
        }
    }
    return false;
}

/* The shorter of two members; another than `self` where that makes no difference. */
static uint32_t choose_mother(search *s, const member *from, uint32_t self)
{
    uint32_t one = plan_random_below(&s->maker.random, s->size);
    uint32_t two = plan_random_below(&s->maker.random, s->size);
    bool better = from[two].length < from[one].length;
    bool other = from[two].length == from[one].length && one == self;
    return better || other ? two : one;
}

static bool is_there(const search *s, const member *population, uint64_t print)
{
    for (uint32_t i = 0; i < s->size; i++) {
        if (population[i].print == print) {
            return true;
        }
    }
    return false;
}

static void breed_member(search *s, int side, uint32_t index)
{
    const member *from = s->members[side];
    member *to = &s->members[!side][index];
    uint32_t mother = choose_mother(s, from, index);
    plan_list_breeding breeding = {.list = s->maker.list,
                                   .count = s->net->count,
                                   .random = &s->maker.random,
                                   .chosen = s->chosen,
                                   .must_follow = must_follow,
                                   .context = &s->net->sides[side]};
    plan_list_cross(&breeding, from[index].list, from[mother].list);
    plan_list_mutate(&breeding);
    int32_t length = slots_generate(&s->maker, side, to->length);
    if (length == INT32_MAX) {
        return;
    }
    keep_best(s, side, length);
    uint64_t print = print_of(s, length);
    if (to->length != INT32_MAX && is_there(s, s->members[!side], print)) {
        sample_member(s, side, to);
    } else {
        settle(s, to, length, print);
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

static mw_status take_memory(search *s, mw_arena *arena)
{
    uint32_t count = s->net->count;
    s->chosen = plan_take(arena, count, sizeof *s->chosen);
    s->counts = plan_take(arena, (size_t)s->net->horizon + 2, sizeof *s->counts);
    if (s->chosen == NULL || s->counts == NULL) {
        return MW_NO_MEMORY;
    }
    for (int side = 0; side < SLOTS_SIDES; side++) {
        s->members[side] = plan_take(arena, s->size, sizeof *s->members[side]);
        uint32_t *lists = plan_take(arena, (size_t)s->size * count, sizeof *lists);
        if (s->members[side] == NULL || lists == NULL) {
            return MW_NO_MEMORY;
        }
        for (uint32_t i = 0; i < s->size; i++) {
            s->members[side][i] = (member){.list = lists + (size_t)i * count, .length = INT32_MAX};
        }
    }
    return slots_maker_make(&s->maker, s->net, s->budget->seed, arena);
}

mw_status slots_search(const slots_net *net, const mw_slots_budget *budget, slots_best *best,
                       mw_arena *arena)
{
    search s = {.net = net, .budget = budget, .best = best, .size = choose_size(budget->schedules)};
    mw_status status = take_memory(&s, arena);
    if (status != MW_OK || net->count == 0) {
        return status;
    }
    uint32_t sampled = 0;
    do {
        sample_member(&s, SLOTS_FORWARD, &s.members[SLOTS_MIRROR][sampled++]);
    } while (sampled < s.size && !is_over(&s));
    for (int side = SLOTS_MIRROR; !is_over(&s); side = !side) {
        for (uint32_t i = 0; i < s.size && !is_over(&s); i++) {
            breed_member(&s, side, i);
        }
    }
    return MW_OK;
}
