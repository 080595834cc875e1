/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Decisions, restarts, and the verdict of the exact search. */
#include "learn.h"

enum {
    FIRST_RUN = 500,  /* conflicts of the first run, which decides on the earliest start */
    RUN_UNIT = 100,   /* the runs behind it: so many times the sequence of Luby */
    STOP_EVERY = 256, /* decisions between questions whether to stop */
    RULES_MORE = 500  /* how many more rules are kept each time that some were thrown away */
};

/* Returns the n-th number (from 1) of 1, 1, 2, 1, 1, 2, 4, ...
 * Source: Luby, Sinclair and Zuckerman, Optimal speedup of Las Vegas algorithms, Information
 * Processing Letters 47, 1993. */
static uint64_t luby(uint64_t n)
{
    for (;;) {
        uint64_t size = 1;
        while (size < n + 1) {
            size *= 2;
        }
        if (size == n + 1) {
            return size / 2;
        }
        n -= size / 2 - 1;
    }
}

/* What holds at level 0 holds for good: the steps that led there are forgotten. */
static void settle(learn *l)
{
    for (uint32_t key = 0; key < l->count * 2; key++) {
        l->roots[key] = l->bounds[key];
        l->last_step[key] = MW_NONE;
    }
    l->step_count = l->seen_count = 0;
    l->fact_count = 0;
    if (l->rule_count > l->rule_limit) {
        learn_forget(l);
        l->rule_limit += RULES_MORE;
    }
}

/* The undecided activity that can start earliest, to start then; key MW_NONE: all are decided. */
static learn_fact pick_earliest(const learn *l)
{
    learn_fact best = {.key = MW_NONE};
    int32_t least = INT32_MAX;
    int32_t greatest = INT32_MAX;
    for (uint32_t a = 0; a < l->count; a++) {
        int32_t from = l->bounds[(size_t)a * 2];
        int32_t until = -l->bounds[(size_t)a * 2 + 1];
        if (from < until && (from < least || (from == least && until < greatest))) {
            least = from;
            greatest = until;
            best = (learn_fact){a * 2 + 1, -from};
        }
    }
    return best;
}

static bool must_stop(const mw_slots_budget *budget, uint64_t tick)
{
    return budget->stop != NULL && tick % STOP_EVERY == 0 && budget->stop(budget->context);
}

learn_verdict learn_search(learn *l, int32_t end, uint64_t conflicts, const mw_slots_budget *budget)
{
    uint32_t last = (l->count - 1) * 2;
    uint64_t run = 0;
    uint64_t run_end = l->conflicts + FIRST_RUN;
    learn_retreat(l, 0);
    for (uint64_t tick = 1; !l->no_memory && !l->hopeless; tick++) {
        if (!learn_conclude(l)) {
            l->hopeless = !learn_from_clash(l);
            continue;
        }
        if (l->level_count > 0 && l->conflicts >= run_end) {
            run_end = l->conflicts + RUN_UNIT * luby(++run);
            learn_retreat(l, 0);
            continue;
        }
        if (l->level_count == 0) {
            settle(l);
            if (l->roots[last] > end) {
                return LEARN_NONE;
            }
        }
        if (l->conflicts >= conflicts || must_stop(budget, tick)) {
            return LEARN_GAVE_UP;
        }
        if (l->level_count == 0 && -l->bounds[last + 1] > end) {
            learn_decide(l, (learn_fact){last + 1, -end});
            continue;
        }
        learn_fact fact = run == 0 ? (learn_fact){.key = MW_NONE} : learn_pick(l);
        fact = fact.key == MW_NONE ? pick_earliest(l) : fact;
        if (fact.key == MW_NONE) {
            return LEARN_FOUND;
        }
        learn_decide(l, fact);
    }
    return l->no_memory ? LEARN_GAVE_UP : LEARN_NONE;
}
