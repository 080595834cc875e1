/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Depth-first search over what comes first where parts clash. */
#include "exact.h"

#include <math.h>
#include <string.h>

#include "earliest.h"

enum {
    SMALL_MOST = 40,  /* activities of a problem that is searched exactly */
    DEPTH_MOST = 400, /* orders given at once; deeper, the search is not complete */
    PARTS_MOST = 128,
    STOP_EVERY = 64
};

typedef struct exact {
    plan_earliest earliest;
    const mw_plan_budget *budget;
    plan_best *best;
    bool have_whole; /* the best misses nothing */
    bool complete;
    plan_arc *arcs;
    plan_early *kept; /* by depth and activity */
    uint32_t count;
    uint64_t visits;
} exact;

/* --- clashes ----------------------------------------------------------------------------------- */

typedef struct clash {
    plan_part parts[PARTS_MOST];
    uint32_t count;
    uint32_t resource;
    double at_s;
} clash;

static void add_part(clash *c, plan_part part, double at_s)
{
    if (part.amount > 0 && part.from_s <= at_s && at_s < part.until_s && c->count < PARTS_MOST) {
        c->parts[c->count++] = part;
    }
}

static void add_activity(const exact *x, clash *c, uint32_t activity, double at_s)
{
    const plan_network *network = x->earliest.state->network;
    const plan_early *early = &x->earliest.early[activity];
    for (uint32_t i = network->hold_first[activity]; i < network->hold_first[activity + 1]; i++) {
        const plan_hold *hold = &network->holds[i];
        if (hold->resource != c->resource) {
            continue;
        }
        plan_part part = {activity, false, hold->amount, early->start_s, early->end_s};
        add_part(c, part, at_s);
        if (hold->wait_amount > 0) {
            part = (plan_part){activity, true, hold->wait_amount, early->end_s,
                               plan_earliest_freed(&x->earliest, activity)};
            add_part(c, part, at_s);
        }
    }
}

/* Lists what takes the clash's resource at a moment; returns whether it is too much. */
static bool is_clash(const exact *x, clash *c, double at_s)
{
    const mw_plan_problem *problem = x->earliest.state->network->problem;
    c->count = 0;
    for (uint32_t i = 0; i < problem->promise_count; i++) {
        const mw_plan_promise *p = &problem->promises[i];
        if (p->resource == c->resource) {
            add_part(c,
                     (plan_part){MW_NONE, false, p->amount, plan_moment(p->from_s),
                                 plan_moment(p->until_s)},
                     at_s);
        }
    }
    for (uint32_t a = 0; a < x->count; a++) {
        add_activity(x, c, a, at_s);
    }
    uint64_t sum = 0;
    bool works = false;
    for (uint32_t i = 0; i < c->count; i++) {
        sum += c->parts[i].amount;
        works = works || c->parts[i].activity != MW_NONE;
    }
    return works && sum > problem->resources[c->resource].capacity;
}

/* Tries a moment; keeps the clash if it is earlier than `first`. */
static void try_moment(const exact *x, clash *first, uint32_t resource, double at_s)
{
    clash c = {.resource = resource, .at_s = at_s};
    if ((first->count == 0 || at_s < first->at_s) && is_clash(x, &c, at_s)) {
        *first = c;
    }
}

/* Finds the earliest moment at which something is taken too often. It is one at which a part of an
 * activity or a promise begins. */
static void find_clash(const exact *x, clash *first)
{
    const plan_network *network = x->earliest.state->network;
    const mw_plan_problem *problem = network->problem;
    first->count = 0;
    for (uint32_t a = 0; a < x->count; a++) {
        for (uint32_t i = network->hold_first[a]; i < network->hold_first[a + 1]; i++) {
            try_moment(x, first, network->holds[i].resource, x->earliest.early[a].start_s);
            if (network->holds[i].wait_amount > 0) {
                try_moment(x, first, network->holds[i].resource, x->earliest.early[a].end_s);
            }
        }
    }
    for (uint32_t i = 0; i < problem->promise_count; i++) {
        try_moment(x, first, problem->promises[i].resource,
                   plan_moment(problem->promises[i].from_s));
    }
}

/* Leaves out parts without which there is still too much: the large ones stay. */
static void reduce_clash(const exact *x, clash *c)
{
    const mw_plan_problem *problem = x->earliest.state->network->problem;
    uint64_t capacity = problem->resources[c->resource].capacity;
    uint64_t sum = 0;
    for (uint32_t i = 0; i < c->count; i++) {
        sum += c->parts[i].amount;
    }
    for (;;) {
        uint32_t least = MW_NONE;
        for (uint32_t i = 0; i < c->count; i++) {
            bool spare = sum - c->parts[i].amount > capacity;
            if (spare && (least == MW_NONE || c->parts[i].amount < c->parts[least].amount)) {
                least = i;
            }
        }
        if (least == MW_NONE) {
            return;
        }
        sum -= c->parts[least].amount;
        c->parts[least] = c->parts[--c->count];
    }
}

/* --- search ------------------------------------------------------------------------------------ */

static void keep_plan(exact *x)
{
    plan_state *state = x->earliest.state;
    for (uint32_t a = 0; a < x->count; a++) {
        state->slots[a].start_s = x->earliest.early[a].start_s;
        state->slots[a].end_s = x->earliest.early[a].end_s;
    }
    for (uint32_t a = 0; a < x->count; a++) {
        plan_explain(state, a, x->earliest.early[a].reason, x->earliest.early[a].binding);
    }
    x->best->cost = plan_cost_of(state);
    memcpy(x->best->slots, state->slots, x->count * sizeof *x->best->slots);
    x->have_whole = true;
    x->earliest.limit_s = x->best->cost.last_s;
}

static bool must_stop(exact *x)
{
    const mw_plan_budget *budget = x->budget;
    if (budget->stop != NULL && x->visits++ % STOP_EVERY == 0 && budget->stop(budget->context)) {
        x->complete = false;
    }
    return !x->complete || (x->have_whole && x->best->cost.last_s <= x->best->bound_s);
}

static void visit(exact *x, uint32_t depth);

/* One part behind the other: settles, goes deeper, and comes back. */
static void try_order(exact *x, uint32_t depth, const clash *c, plan_arc arc)
{
    plan_early *kept = x->kept + (size_t)depth * x->count;
    arc.resource = c->resource;
    x->arcs[depth] = arc;
    x->earliest.arc_count = depth + 1;
    plan_earliest_verdict verdict = plan_earliest_settle(&x->earliest);
    if (verdict == PLAN_EARLIEST_FOUND) {
        visit(x, depth + 1);
    } else if (verdict == PLAN_EARLIEST_GAVE_UP) {
        x->complete = false;
    }
    x->earliest.arc_count = depth;
    memcpy(x->earliest.early, kept, x->count * sizeof *kept);
}

/* All pairs of a clash, those first whose first part is over soonest. */
static void try_orders(exact *x, uint32_t depth, clash *c)
{
    for (uint32_t i = 1; i < c->count; i++) {
        plan_part part = c->parts[i];
        uint32_t place = i;
        while (place > 0 && c->parts[place - 1].until_s > part.until_s) {
            c->parts[place] = c->parts[place - 1];
            place--;
        }
        c->parts[place] = part;
    }
    for (uint32_t i = 0; i < c->count; i++) {
        for (uint32_t k = 0; k < c->count && !must_stop(x); k++) {
            if (i != k && c->parts[k].activity != MW_NONE) {
                try_order(x, depth, c, (plan_arc){.from = c->parts[i], .to = c->parts[k]});
            }
        }
    }
}

static void visit(exact *x, uint32_t depth)
{
    clash c;
    if (plan_earliest_last(&x->earliest) >= x->earliest.limit_s) {
        return; /* a shorter plan was found meanwhile */
    }
    find_clash(x, &c);
    if (c.count == 0) {
        keep_plan(x);
        return;
    }
    if (depth == DEPTH_MOST || c.count == PARTS_MOST) {
        x->complete = false;
        return;
    }
    reduce_clash(x, &c);
    memcpy(x->kept + (size_t)depth * x->count, x->earliest.early, x->count * sizeof *x->kept);
    try_orders(x, depth, &c);
}

mw_status plan_prove_best(plan_state *state, const mw_plan_budget *budget, plan_best *best,
                          plan_proof *proof, mw_arena *arena)
{
    const mw_plan_problem *problem = state->network->problem;
    exact x = {.budget = budget, .best = best, .complete = true, .count = problem->activity_count};
    x.have_whole = plan_cost_whole(&best->cost);
    if (x.count > SMALL_MOST) {
        return MW_OK;
    }
    x.arcs = plan_take(arena, DEPTH_MOST + 1, sizeof *x.arcs);
    x.kept = plan_take(arena, ((size_t)DEPTH_MOST + 1) * x.count, sizeof *x.kept);
    x.earliest = (plan_earliest){.state = state,
                                 .early = plan_take(arena, x.count, sizeof(plan_early)),
                                 .arcs = x.arcs,
                                 .rounds_most = budget->trials};
    if (x.arcs == NULL || x.kept == NULL || x.earliest.early == NULL) {
        return MW_NO_MEMORY;
    }
    x.earliest.limit_s =
        x.have_whole ? best->cost.last_s : plan_moment(problem->start_s) + PLAN_HORIZON_S;
    plan_earliest_verdict verdict = plan_earliest_begin(&x.earliest);
    verdict = verdict == PLAN_EARLIEST_FOUND ? plan_earliest_settle(&x.earliest) : verdict;
    if (verdict == PLAN_EARLIEST_FOUND) {
        visit(&x, 0);
    }
    proof->done = x.complete && verdict != PLAN_EARLIEST_GAVE_UP;
    proof->trials += x.earliest.rounds;
    if (proof->done) {
        proof->bound_s = x.have_whole ? best->cost.last_s : PLAN_NEVER;
    }
    return MW_OK;
}
