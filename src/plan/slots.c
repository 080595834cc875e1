/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Problems in whole slots as callers see them: search for a short plan, then proof. */
#include <string.h>

#include "learn.h"
#include "slots_bound.h"
#include "slots_search.h"

typedef struct solving {
    const slots_net *net;
    const mw_slots_budget *budget;
    mw_arena *arena;
    slots_best best;
    bool impossible;
    uint64_t conflicts;
} solving;

enum {
    FIRST_STEP = 2000,    /* conflicts for one slot more of the bound, at first */
    PROOF_MOST = 8000000, /* activities times slots: beyond that no exact search is tried */
    LOWER_SHARE = 4       /* so many times as many for a shorter plan */
};

static void keep_found(solving *s, const learn *l)
{
    s->best.length = l->bounds[((size_t)l->count - 1) * 2];
    for (uint32_t a = 0; a < s->net->count; a++) {
        s->best.starts[a] = l->bounds[(size_t)a * 2];
    }
}

/* Raises the bound step by step: is there nothing that ends by it? Gives up at the first that takes
 * more than `most` conflicts. Returns whether the bound was met. */
static void raise_bound(solving *s, learn *l, uint64_t most)
{
    while (!l->no_memory && s->best.bound < s->best.length && l->conflicts < s->budget->conflicts) {
        uint64_t until = l->conflicts + most;
        until = until < s->budget->conflicts ? until : s->budget->conflicts;
        learn_verdict verdict = learn_search(l, s->best.bound, until, s->budget);
        if (verdict == LEARN_FOUND) {
            keep_found(s, l);
        } else if (verdict == LEARN_NONE && !l->hopeless) {
            s->best.bound = l->roots[((size_t)l->count - 1) * 2] > s->best.bound
                                ? l->roots[((size_t)l->count - 1) * 2]
                                : s->best.bound + 1;
        } else {
            break;
        }
    }
}

static void lower_length(solving *s, learn *l, uint64_t until)
{
    until = until < s->budget->conflicts ? until : s->budget->conflicts;
    while (!l->no_memory && !l->hopeless && s->best.bound < s->best.length) {
        learn_verdict verdict = learn_search(l, s->best.length - 1, until, s->budget);
        if (verdict == LEARN_FOUND) {
            keep_found(s, l);
        } else if (verdict == LEARN_NONE && !l->hopeless) {
            s->best.bound = s->best.length;
        } else {
            break;
        }
    }
}

static bool stopped(const mw_slots_budget *budget)
{
    return budget->stop != NULL && budget->stop(budget->context);
}

static bool is_open(const solving *s, const learn *l)
{
    return !l->no_memory && !l->hopeless && s->best.length != INT32_MAX &&
           s->best.bound < s->best.length && l->conflicts < s->budget->conflicts &&
           !stopped(s->budget);
}

/* Where no search by lists is possible, any plan comes first. */
static void find_any(solving *s, learn *l)
{
    learn_verdict verdict = learn_search(l, s->net->horizon, s->budget->conflicts, s->budget);
    if (verdict == LEARN_FOUND) {
        keep_found(s, l);
    }
    s->impossible = verdict == LEARN_NONE;
}

static mw_status prove(solving *s)
{
    bool found = s->best.length != INT32_MAX;
    learn l;
    mw_status status = learn_make(&l, s->net, found ? s->best.length : s->net->horizon, s->arena);
    if (status == MW_OK) {
        if (!found) {
            find_any(s, &l);
        }
        l.wish = s->best.starts;
        for (uint64_t most = FIRST_STEP; is_open(s, &l); most *= 2) {
            raise_bound(s, &l, most);
            lower_length(s, &l, l.conflicts + most * LOWER_SHARE);
        }
        s->conflicts = l.conflicts;
        status = l.no_memory ? MW_NO_MEMORY : MW_OK;
    }
    learn_free(&l);
    return status;
}

static bool asks_too_much(const mw_slots_problem *problem)
{
    for (uint32_t a = 0; a < problem->activity_count; a++) {
        for (uint32_t r = 0; r < problem->resource_count; r++) {
            if (problem->demands[a * problem->resource_count + r] > problem->capacities[r] &&
                problem->durations[a] > 0) {
                return true;
            }
        }
    }
    return false;
}

static mw_status solve(solving *s, slots_net *net, const mw_slots_problem *problem)
{
    mw_status status = slots_net_make(net, problem, s->arena);
    s->best.starts = mw_arena_get(s->arena, (size_t)problem->activity_count * sizeof(int32_t));
    if (status != MW_OK || s->best.starts == NULL) {
        return MW_NO_MEMORY;
    }
    s->net = net;
    s->best.bound = net->path;
    s->impossible = asks_too_much(problem);
    if (s->impossible || net->count == 0) {
        s->best.length = s->impossible ? INT32_MAX : 0;
        return MW_OK;
    }
    if (net->regular) {
        status = slots_bound(net, net->horizon, &s->best.bound, s->arena);
        status = status == MW_OK ? slots_search(net, s->budget, &s->best, s->arena) : status;
    }
    int32_t last = s->best.length == INT32_MAX ? net->horizon : s->best.length;
    bool is_done = s->best.bound >= s->best.length || s->budget->conflicts == 0 ||
                   (uint64_t)net->count * (uint64_t)last > PROOF_MOST || last == 0;
    return status == MW_OK && !is_done ? prove(s) : status;
}

mw_status mw_slots_solve(const mw_slots_problem *problem, const mw_slots_budget *budget,
                         mw_slots_answer *answer, int32_t *starts)
{
    if (!slots_problem_fits(problem)) {
        return MW_FAILED;
    }
    slots_net net;
    solving s = {.budget = budget, .arena = mw_arena_new(), .best = {.length = INT32_MAX}};
    mw_status status = s.arena == NULL ? MW_NO_MEMORY : solve(&s, &net, problem);
    if (status == MW_OK) {
        bool found = s.best.length != INT32_MAX;
        mw_slots_verdict without = s.impossible ? MW_SLOTS_IMPOSSIBLE : MW_SLOTS_NONE_FOUND;
        *answer = (mw_slots_answer){.verdict = found ? MW_SLOTS_PLANNED : without,
                                    .length = s.best.length,
                                    .bound = s.best.bound,
                                    .path = net.path,
                                    .schedules = s.best.schedules,
                                    .conflicts = s.conflicts};
        if (found && problem->activity_count > 0) {
            memcpy(starts, s.best.starts, problem->activity_count * sizeof *starts);
        }
    }
    mw_arena_free(s.arena);
    return status;
}
