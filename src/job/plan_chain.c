/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the last date hangs on: the chain of work that leads to it, and how much later all else could begin. */
#include <math.h>

#include "plan_ties.h"

enum {
    SWEEPS_MOST = 60, /* until nothing gets earlier; the steps stand nearly in order */
    RUNS_MOST = 400
};
static const double BREAK_S = 90.0 * 60.0; /* a longer one is a closing: mw_plan_activity */

/* When a tie lets its second activity begin (or end, where the lag leads to its end). */
static double opens_s(const plan_ties *in, const plan_tie *tie)
{
    if (tie->lag == MW_NONE) {
        return plan_ties_free_s(in, tie->from, tie->waits);
    }
    const mw_plan_lag *lag = (const mw_plan_lag *)in->node->lags.items + tie->lag;
    const mw_plan_slot *from = &in->slots[tie->from];
    return mw_calendar_advance(in->node->calendars[lag->calendar],
                               lag->from_end ? from->end_s : from->start_s, lag->amount_s);
}

/* The activity that held this one back the longest: of those whose people or machines it takes over where it waited for
 * these, else of those that it follows. MW_NONE: none. */
static uint32_t cause_of(const plan_ties *in, uint32_t activity)
{
    const bool by_resource = in->slots[activity].reason == MW_PLAN_RESOURCE;
    uint32_t cause = MW_NONE;
    double last_s = -(double)INFINITY;
    for (uint32_t i = in->first[activity]; i < in->first[activity + 1]; i++) {
        const plan_tie *tie = &in->ties[i];
        const double at_s = opens_s(in, tie);
        if ((tie->lag == MW_NONE) == by_resource && at_s > last_s) {
            cause = tie->from;
            last_s = at_s;
        }
    }
    return cause;
}

/* What was held back for a window after it waited for what its other end waited for. */
static uint32_t cause_before(const plan_ties *in, uint32_t activity)
{
    const mw_plan_slot *of = &in->slots[activity];
    if (of->reason == MW_PLAN_WINDOW) {
        const mw_plan_lag *window = (const mw_plan_lag *)in->node->lags.items + of->binding;
        const uint32_t cause = cause_of(in, window->to);
        if (cause != MW_NONE && in->slots[cause].start_s < of->start_s) {
            return cause;
        }
    }
    return cause_of(in, activity);
}

static void mark_chain(plan_node *node, const plan_ties *in)
{
    uint32_t at = MW_NONE;
    for (uint32_t i = 0; i < in->count; i++) {
        const uint32_t a = in->order[i];
        at = at == MW_NONE || in->slots[a].end_s > in->slots[at].end_s ? a : at;
    }
    for (uint32_t left = in->count; at != MW_NONE && left > 0; left--) {
        if (in->step[at] != MW_NONE) {
            node->results[in->step[at]].sets_date = true;
        }
        at = cause_before(in, at);
    }
}

/* ---- slack ---- */

/* The end of the open run that a moment stands in, breaks of a day not counted. */
static double run_end(const mw_calendar *shift, double at_s)
{
    double close_s = mw_calendar_close(shift, at_s);
    for (int i = 0; i < RUNS_MOST && isfinite(close_s); i++) {
        const double open_s = mw_calendar_open(shift, close_s);
        if (open_s - close_s > BREAK_S) {
            break;
        }
        close_s = mw_calendar_close(shift, open_s);
    }
    return close_s;
}

/* The latest start of an activity that ends by `end_s`. */
static double latest_start(const plan_node *node, uint32_t activity, double end_s)
{
    const mw_plan_activity *of = (const mw_plan_activity *)node->activities.items + activity;
    if (of->work_s <= 0.0) {
        return end_s;
    }
    const mw_calendar *shift = node->calendars[of->calendar];
    double start_s = mw_calendar_retreat(shift, end_s, of->work_s);
    for (int i = 0; !of->interrupt && i < RUNS_MOST; i++) {
        const double close_s = run_end(shift, start_s);
        if (!(close_s < mw_calendar_advance(shift, start_s, of->work_s))) {
            break;
        }
        start_s = mw_calendar_retreat(shift, close_s, of->work_s);
    }
    return start_s;
}

/* The latest end of a moment on the way of a lag of the second's, as latest end of the first. */
static double back_over(const plan_ties *in, const mw_plan_lag *lag, double point_s)
{
    const mw_plan_slot *from = &in->slots[lag->from];
    const double by_s =
        mw_calendar_retreat(in->node->calendars[lag->calendar], point_s, lag->amount_s);
    return lag->from_end ? by_s : by_s + (from->end_s - from->start_s);
}

/* The latest end of the first of a tie for the sake of its second. */
static double latest_through(const plan_ties *in, const plan_tie *tie, const double *late_s)
{
    const mw_plan_lag *lags = in->node->lags.items;
    const double start_s = latest_start(in->node, tie->to, late_s[tie->to]);
    if (tie->lag != MW_NONE) {
        return back_over(in, &lags[tie->lag], lags[tie->lag].to_end ? late_s[tie->to] : start_s);
    }
    double by_s = start_s;
    for (uint32_t i = in->lag_first[tie->from]; tie->waits && i < in->lag_first[tie->from + 1];
         i++) {
        by_s = fmin(by_s, back_over(in, &lags[in->lags_from[i]], start_s));
    }
    return by_s;
}

/* No later than the last date, than promised work of others that takes over, than windows that stand open. */
static void limit_each(const plan_ties *in, double *late_s)
{
    double last_s = -(double)INFINITY;
    for (uint32_t i = 0; i < in->count; i++) {
        last_s = fmax(last_s, in->slots[in->order[i]].end_s);
    }
    for (uint32_t a = 0; a < in->node->activities.count; a++) {
        late_s[a] = fmin(last_s, in->by_s[a]);
    }
    const mw_plan_lag *lags = in->node->lags.items;
    for (uint32_t i = 0; i < in->node->lags.count; i++) {
        const mw_plan_lag *lag = &lags[i];
        const mw_plan_slot *to = &in->slots[lag->to];
        if (!lag->maximum || !isfinite(in->slots[lag->from].end_s) || !isfinite(to->end_s)) {
            continue;
        }
        const mw_plan_slot *from = &in->slots[lag->from];
        double until_s =
            mw_calendar_advance(in->node->calendars[lag->calendar],
                                lag->from_end ? from->end_s : from->start_s, lag->amount_s);
        until_s += lag->to_end ? 0.0 : to->end_s - to->start_s;
        if (until_s >= to->end_s) { /* else it is missed as it is */
            late_s[lag->to] = fmin(late_s[lag->to], until_s);
        }
    }
}

static void find_latest(const plan_ties *in, double *late_s)
{
    limit_each(in, late_s);
    bool changed = true;
    for (int sweep = 0; changed && sweep < SWEEPS_MOST; sweep++) {
        changed = false;
        for (uint32_t i = in->count; i-- > 0;) {
            const uint32_t to = in->order[i];
            for (uint32_t k = in->first[to]; k < in->first[to + 1]; k++) {
                const double by_s = latest_through(in, &in->ties[k], late_s);
                if (by_s < late_s[in->ties[k].from] - 1e-3) {
                    late_s[in->ties[k].from] = by_s;
                    changed = true;
                }
            }
        }
    }
}

static void set_slack(plan_node *node, const plan_ties *in)
{
    for (uint32_t s = 0; s < node->step_count; s++) {
        planned_result *of = &node->results[s];
        of->slack_s = (double)INFINITY;
        for (uint32_t i = of->first; of->planned && i < of->first + of->count; i++) {
            const double later_s = latest_start(node, i, in->late_s[i]) - in->slots[i].start_s;
            of->slack_s = fmin(of->slack_s, isfinite(later_s) ? fmax(0.0, later_s) : later_s);
        }
    }
}

bool plan_node_chain(plan_node *node)
{
    if (node->spare_slack && node->spare_chain) {
        return true;
    }
    if (!plan_ties_find(node->ties, node)) {
        return false;
    }
    mark_chain(node, node->ties);
    if (!node->spare_slack) {
        find_latest(node->ties, node->ties->late_s);
        set_slack(node, node->ties);
    }
    return true;
}

static void count_reader(void *context, uint32_t cell)
{
    (void)cell;
    ++*(uint32_t *)context;
}

/* Whether some formula reads an output of a step, or it is among the cells that are watched. */
static bool is_read(const plan_node *node, uint32_t output, const uint32_t *cells, uint32_t count)
{
    uint32_t readers = 0;
    for (uint32_t s = 0; s < node->step_count; s++) {
        uint32_t cell = plan_node_output(node, s, output);
        mw_sheet_readers(node->in->sheet, cell, count_reader, &readers);
        for (uint32_t i = 0; i < count; i++) {
            readers += cells[i] == cell;
        }
    }
    return readers > 0;
}

uint32_t plan_node_output(const plan_node *node, uint32_t s, uint32_t output)
{
    return node->first_output + 1 + node->in->mould_count * OUT_MOULD_COUNT + s * OUT_STEP_COUNT +
           output;
}

uint32_t plan_node_step_count(const plan_node *node)
{
    return node ? node->step_count : 0;
}

uint32_t plan_node_sets(const plan_node *node, uint32_t s)
{
    return plan_node_output(node, s, OUT_STEP_SETS);
}

void plan_node_spare(plan_node *node, const uint32_t *cells, uint32_t count)
{
    if (node) {
        node->spare_slack = !is_read(node, OUT_STEP_SLACK, cells, count);
        node->spare_chain = !is_read(node, OUT_STEP_SETS, cells, count);
    }
}

/* ---- what the plan holds, for reports ---- */

uint32_t mw_job_resource_count(const mw_job *job)
{
    const plan_node *node = job->build->plan;
    return node ? node->resource_count : 0;
}

mw_resource_view mw_job_resource(const mw_job *job, uint32_t resource)
{
    const plan_node *node = job->build->plan;
    const mw_shop *shop = node->in->shop;
    bool machine = resource >= shop->trade_count;
    const mw_trade *trade = machine ? NULL : &shop->trades[resource];
    const mw_machine_row *row = machine ? &shop->machines[resource - shop->trade_count] : NULL;
    double count = node->newest_known ? node->newest[IN_FIXED_COUNT + resource] : 0.0;
    return (mw_resource_view){
        .name = machine ? row->name : trade->name,
        .machine = machine,
        .count = count > 0.0 ? floor(count) : 0.0,
        .shift = node->calendars[plan_node_shift(shop, machine ? row->shift : trade->shift)]};
}

const mw_plan_promise *mw_job_promised(const mw_job *job, uint32_t *count)
{
    const plan_node *node = job->build->plan;
    *count = node ? node->promise_count : 0;
    return node ? node->promises : NULL;
}

const mw_plan_need *mw_job_holds(const mw_job *job, const mw_session *of)
{
    return (const mw_plan_need *)job->build->plan->holds.items + of->first_hold;
}
