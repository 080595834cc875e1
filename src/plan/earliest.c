/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Raising bounds until all lags, windows and orders are kept: the least fixed point. */
#include "earliest.h"

#include <math.h>

#define WINDOW_SLACK_S 0.01
#define LEAST_STEP_S   (1.0 / 1024.0)

typedef struct push {
    uint32_t activity;
    bool end; /* its end, not its start */
    double at_s;
    mw_plan_reason reason;
    uint32_t binding;
} push;

static double point_of(const plan_early *early, bool end)
{
    return end ? early->end_s : early->start_s;
}

static plan_clock *clock_of(const plan_earliest *e, uint32_t calendar)
{
    return &e->state->clocks[calendar];
}

/* Fits an activity anew within its bounds. */
static plan_earliest_verdict fit(plan_earliest *e, uint32_t activity)
{
    const mw_plan_activity *row = &e->state->network->problem->activities[activity];
    plan_early *early = &e->early[activity];
    plan_span span =
        plan_fit(clock_of(e, row->calendar), row, early->start_least_s, early->end_least_s);
    early->start_s = span.start_s;
    early->end_s = span.end_s;
    return span.end_s < e->limit_s ? PLAN_EARLIEST_FOUND : PLAN_EARLIEST_NONE;
}

plan_earliest_verdict plan_earliest_begin(plan_earliest *e)
{
    const mw_plan_problem *problem = e->state->network->problem;
    plan_earliest_verdict verdict = PLAN_EARLIEST_FOUND;
    for (uint32_t a = 0; a < problem->activity_count; a++) {
        double from_s = fmax(problem->start_s, problem->activities[a].earliest_s);
        e->early[a] = (plan_early){.start_least_s = plan_moment(from_s),
                                   .end_least_s = PLAN_ANY_TIME,
                                   .reason = MW_PLAN_AT_ONCE,
                                   .binding = MW_NONE};
        if (fit(e, a) != PLAN_EARLIEST_FOUND) {
            verdict = PLAN_EARLIEST_NONE;
        }
    }
    return verdict;
}

/* Raises a bound; `*changed` if that moves anything. */
static plan_earliest_verdict apply(plan_earliest *e, const push *p, bool *changed)
{
    plan_early *early = &e->early[p->activity];
    double *least_s = p->end ? &early->end_least_s : &early->start_least_s;
    if (!(p->at_s > point_of(early, p->end))) {
        *least_s = fmax(*least_s, p->at_s);
        return PLAN_EARLIEST_FOUND;
    }
    *least_s = p->at_s;
    if (p->reason != MW_PLAN_LAG) {
        early->reason = p->reason;
        early->binding = p->binding;
    }
    *changed = true;
    return fit(e, p->activity);
}

/* The bound that a least lag puts on its second end. */
static push push_least(const plan_earliest *e, uint32_t index)
{
    const mw_plan_lag *lag = &e->state->network->problem->lags[index];
    double from_s = point_of(&e->early[lag->from], lag->from_end);
    return (push){.activity = lag->to,
                  .end = lag->to_end,
                  .at_s = plan_advance(clock_of(e, lag->calendar), from_s, lag->amount_s),
                  .reason = MW_PLAN_LAG,
                  .binding = index};
}

/* The bound that a window puts on its first end. */
static push push_window(const plan_earliest *e, uint32_t index)
{
    const mw_plan_problem *problem = e->state->network->problem;
    const mw_plan_lag *lag = &problem->lags[index];
    double from_s = point_of(&e->early[lag->from], lag->from_end);
    double to_s = point_of(&e->early[lag->to], lag->to_end);
    push p = {.activity = lag->from,
              .end = lag->from_end,
              .at_s = from_s,
              .reason = MW_PLAN_WINDOW,
              .binding = index};
    if (from_s < to_s) {
        double excess_s = plan_amount(clock_of(e, lag->calendar), from_s, to_s) - lag->amount_s;
        if (excess_s > WINDOW_SLACK_S) {
            p.at_s = fmax(plan_advance(clock_of(e, lag->calendar), from_s, excess_s),
                          from_s + LEAST_STEP_S);
        }
    }
    return p;
}

double plan_earliest_freed(const plan_earliest *e, uint32_t activity)
{
    const plan_network *network = e->state->network;
    double end_s = e->early[activity].end_s;
    double freed_s = end_s;
    for (uint32_t i = network->out_of.first[activity]; i < network->out_of.first[activity + 1];
         i++) {
        const mw_plan_lag *lag = &network->problem->lags[network->out_of.items[i]];
        freed_s = fmax(freed_s, plan_advance(clock_of(e, lag->calendar), end_s, lag->amount_s));
    }
    return freed_s;
}

static push push_arc(const plan_earliest *e, const plan_arc *arc)
{
    double over_s = arc->from.until_s;
    if (arc->from.activity != MW_NONE) {
        over_s = arc->from.waiting ? plan_earliest_freed(e, arc->from.activity)
                                   : e->early[arc->from.activity].end_s;
    }
    return (push){.activity = arc->to.activity,
                  .end = arc->to.waiting,
                  .at_s = over_s,
                  .reason = MW_PLAN_RESOURCE,
                  .binding = arc->resource};
}

static plan_earliest_verdict settle_round(plan_earliest *e, bool *changed)
{
    const mw_plan_problem *problem = e->state->network->problem;
    plan_earliest_verdict verdict = PLAN_EARLIEST_FOUND;
    for (uint32_t i = 0; i < problem->lag_count && verdict == PLAN_EARLIEST_FOUND; i++) {
        push p = problem->lags[i].maximum ? push_window(e, i) : push_least(e, i);
        verdict = apply(e, &p, changed);
    }
    for (uint32_t i = 0; i < e->arc_count && verdict == PLAN_EARLIEST_FOUND; i++) {
        push p = push_arc(e, &e->arcs[i]);
        verdict = apply(e, &p, changed);
    }
    return verdict;
}

plan_earliest_verdict plan_earliest_settle(plan_earliest *e)
{
    plan_earliest_verdict verdict = PLAN_EARLIEST_FOUND;
    bool changed = true;
    while (changed && verdict == PLAN_EARLIEST_FOUND) {
        if (e->rounds >= e->rounds_most) {
            return PLAN_EARLIEST_GAVE_UP;
        }
        e->rounds++;
        changed = false;
        verdict = settle_round(e, &changed);
    }
    return verdict;
}

double plan_earliest_last(const plan_earliest *e)
{
    const mw_plan_problem *problem = e->state->network->problem;
    double last_s = plan_moment(problem->start_s);
    for (uint32_t a = 0; a < problem->activity_count; a++) {
        last_s = fmax(last_s, e->early[a].end_s);
    }
    return last_s;
}
