/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One activity at its earliest: lags first, then the calendar, then windows, then people and
 * machines. */
#include "place.h"

/* Should bounds ever fail to move an activity on, it moves on by this much. */
#define LEAST_STEP_S 60.0

typedef struct bound {
    double at_s;
    mw_plan_reason reason;
    uint32_t binding;
} bound;

typedef struct bounds {
    bound start, end;
} bounds;

/* What stands between a span and the resources. */
typedef struct obstacle {
    double start_s;    /* the start has to be here or later */
    double end_s;      /* and the end here or later */
    uint32_t resource; /* the one that is free last; MW_NONE: nothing is in the way */
} obstacle;

static plan_span fit(const plan_state *state, uint32_t activity, double start_s, double end_s)
{
    const mw_plan_activity *row = &state->network->problem->activities[activity];
    if (state->more_s != NULL && state->more_s[activity] > 0.0) {
        mw_plan_activity more = *row;
        more.work_s += state->more_s[activity];
        return plan_fit(&state->clocks[row->calendar], &more, start_s, end_s);
    }
    return plan_fit(&state->clocks[row->calendar], row, start_s, end_s);
}

static void raise_bound(bound *b, double at_s, mw_plan_reason reason, uint32_t binding)
{
    if (at_s > b->at_s) {
        *b = (bound){.at_s = at_s, .reason = reason, .binding = binding};
    }
}

static bounds find_bounds(const plan_state *state, uint32_t activity)
{
    const plan_network *network = state->network;
    const mw_plan_problem *problem = network->problem;
    bounds b = {.start = {plan_moment(problem->start_s), MW_PLAN_AT_ONCE, MW_NONE},
                .end = {PLAN_ANY_TIME, MW_PLAN_AT_ONCE, MW_NONE}};
    raise_bound(&b.start, plan_moment(problem->activities[activity].earliest_s), MW_PLAN_AT_ONCE,
                MW_NONE);
    for (uint32_t i = network->into.first[activity]; i < network->into.first[activity + 1]; i++) {
        uint32_t index = network->into.items[i];
        const mw_plan_lag *lag = &problem->lags[index];
        const mw_plan_slot *from = &state->slots[lag->from];
        double at_s = plan_advance(&state->clocks[lag->calendar],
                                   lag->from_end ? from->end_s : from->start_s, lag->amount_s);
        raise_bound(lag->to_end ? &b.end : &b.start, at_s, MW_PLAN_LAG, index);
    }
    return b;
}

/* Returns when every least lag from an end at `end_s` is over. */
static double find_freed(const plan_state *state, uint32_t activity, double end_s)
{
    const plan_network *network = state->network;
    const mw_plan_problem *problem = network->problem;
    double freed_s = end_s;
    for (uint32_t i = network->out_of.first[activity]; i < network->out_of.first[activity + 1];
         i++) {
        const mw_plan_lag *lag = &problem->lags[network->out_of.items[i]];
        double at_s = plan_advance(&state->clocks[lag->calendar], end_s, lag->amount_s);
        freed_s = at_s > freed_s ? at_s : freed_s;
    }
    return freed_s;
}

static bool holds_while_waiting(const plan_network *network, uint32_t activity)
{
    for (uint32_t i = network->hold_first[activity]; i < network->hold_first[activity + 1]; i++) {
        if (network->holds[i].wait_amount > 0) {
            return true;
        }
    }
    return false;
}

static obstacle find_obstacle(const plan_state *state, uint32_t activity, plan_span span,
                              double freed_s)
{
    const plan_network *network = state->network;
    obstacle found = {.start_s = span.start_s, .end_s = span.end_s, .resource = MW_NONE};
    double latest_s = PLAN_ANY_TIME;
    for (uint32_t i = network->hold_first[activity]; i < network->hold_first[activity + 1]; i++) {
        const plan_hold *hold = &network->holds[i];
        plan_profile *profile = &state->profiles[hold->resource];
        double start_s = plan_profile_free(profile, span.start_s, span.end_s, hold->amount);
        double end_s = plan_profile_free(profile, span.end_s, freed_s, hold->wait_amount);
        found.start_s = start_s > found.start_s ? start_s : found.start_s;
        found.end_s = end_s > found.end_s ? end_s : found.end_s;
        double last_s = start_s > span.start_s ? start_s : PLAN_ANY_TIME;
        last_s = end_s > span.end_s && end_s > last_s ? end_s : last_s;
        if (last_s > latest_s) {
            latest_s = last_s;
            found.resource = hold->resource;
        }
    }
    return found;
}

/* Moves `span` on until all that the activity holds is free. Returns the resource that it waited
 * for last, or MW_NONE. */
static uint32_t fit_resources(plan_state *state, uint32_t activity, plan_span *span)
{
    bool waits = holds_while_waiting(state->network, activity);
    uint32_t resource = MW_NONE;
    while (isfinite(span->start_s)) {
        state->freed_s[activity] = waits ? find_freed(state, activity, span->end_s) : span->end_s;
        obstacle o = find_obstacle(state, activity, *span, state->freed_s[activity]);
        if (o.resource == MW_NONE) {
            break;
        }
        resource = o.resource;
        plan_span next = fit(state, activity, o.start_s, o.end_s);
        if (next.start_s <= span->start_s) {
            next = fit(state, activity, span->start_s + LEAST_STEP_S, o.end_s);
        }
        *span = next;
    }
    return resource;
}

/* Returns a resource of which the activity needs more than there is, or MW_NONE. */
static uint32_t find_lacking(const plan_state *state, uint32_t activity)
{
    const plan_network *network = state->network;
    for (uint32_t i = network->hold_first[activity]; i < network->hold_first[activity + 1]; i++) {
        const plan_hold *hold = &network->holds[i];
        if (hold->amount > state->profiles[hold->resource].capacity) {
            return hold->resource;
        }
    }
    return MW_NONE;
}

static void take_holds(plan_state *state, uint32_t activity,
                       void (*change)(plan_profile *, double, double, uint64_t))
{
    const plan_network *network = state->network;
    const mw_plan_slot *slot = &state->slots[activity];
    for (uint32_t i = network->hold_first[activity]; i < network->hold_first[activity + 1]; i++) {
        const plan_hold *hold = &network->holds[i];
        plan_profile *profile = &state->profiles[hold->resource];
        change(profile, slot->start_s, slot->end_s, hold->amount);
        if (hold->wait_amount > 0) {
            change(profile, slot->end_s, state->freed_s[activity], hold->wait_amount);
        }
    }
}

static void set_slot(mw_plan_slot *slot, plan_span span, mw_plan_reason reason, uint32_t binding)
{
    slot->start_s = span.start_s;
    slot->end_s = span.end_s;
    slot->reason = reason;
    slot->binding = binding;
}

/* The earliest span by lags and calendar; `slot` says what bound it. */
static plan_span place_by_lags(const plan_state *state, uint32_t activity, const bounds *b,
                               mw_plan_slot *slot)
{
    const mw_plan_problem *problem = state->network->problem;
    const mw_plan_activity *row = &problem->activities[activity];
    plan_span span = fit(state, activity, b->start.at_s, PLAN_ANY_TIME);
    const bound *binds = &b->start;
    if (span.end_s < b->end.at_s) {
        span = fit(state, activity, b->start.at_s, b->end.at_s);
        binds = &b->end;
    }
    bool by_shift = span.passed || (isinf(span.start_s) && isfinite(binds->at_s));
    set_slot(slot, span, by_shift ? MW_PLAN_SHIFT : binds->reason,
             by_shift ? row->calendar : binds->binding);
    slot->ready_s = span.start_s;
    return span;
}

/* Moves `span` on to where the windows of the block allow it. */
static plan_span place_by_windows(const plan_state *state, uint32_t activity, const bounds *b,
                                  mw_plan_slot *slot)
{
    const plan_release *release = &state->releases[activity];
    plan_span span = {.start_s = slot->start_s, .end_s = slot->end_s};
    if (release->start_s <= span.start_s && release->end_s <= span.end_s) {
        return span;
    }
    bool by_end = release->start_s <= span.start_s;
    span = fit(state, activity, fmax(b->start.at_s, release->start_s),
               fmax(b->end.at_s, release->end_s));
    set_slot(slot, span, MW_PLAN_WINDOW, by_end ? release->end_window : release->start_window);
    return span;
}

void plan_place(plan_state *state, uint32_t activity)
{
    mw_plan_slot *slot = &state->slots[activity];
    bounds b = find_bounds(state, activity);
    plan_span span = place_by_lags(state, activity, &b, slot);
    if (isinf(span.start_s)) {
        return;
    }
    uint32_t resource = find_lacking(state, activity);
    if (resource != MW_NONE) {
        span.start_s = span.end_s = PLAN_NEVER;
    } else {
        span = place_by_windows(state, activity, &b, slot);
        resource = fit_resources(state, activity, &span);
    }
    if (resource != MW_NONE) {
        set_slot(slot, span, MW_PLAN_RESOURCE, resource);
    }
    if (isfinite(slot->start_s)) {
        take_holds(state, activity, plan_profile_take);
    }
}

void plan_explain(plan_state *state, uint32_t activity, mw_plan_reason reason, uint32_t binding)
{
    mw_plan_slot *slot = &state->slots[activity];
    plan_span span = {.start_s = slot->start_s, .end_s = slot->end_s};
    mw_plan_slot alone;
    bounds b = find_bounds(state, activity);
    plan_span early = place_by_lags(state, activity, &b, &alone);
    if (early.start_s < span.start_s) {
        alone.reason = reason;
        alone.binding = binding;
    }
    set_slot(slot, span, alone.reason, alone.binding);
    slot->ready_s = early.start_s;
}

void plan_unplace(plan_state *state, uint32_t activity)
{
    if (isfinite(state->slots[activity].start_s)) {
        take_holds(state, activity, plan_profile_give);
    }
}

void plan_release_clear(plan_release *release)
{
    *release = (plan_release){.start_s = PLAN_ANY_TIME,
                              .end_s = PLAN_ANY_TIME,
                              .start_window = MW_NONE,
                              .end_window = MW_NONE};
}
