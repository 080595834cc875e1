/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The search for a plan of what was gathered: how much work an answer is worth, and from which order it sets out. */
#include <math.h>

#include "mouldwright/memory.h"
#include "plan_node.h"

/* What an answer may take, counted: activities placed, and lags looked at by the proof. Some 20 ms of a machine of
 * 2020. */
#define PLACED_AT_ONCE 30000u
#define LOOKED_AT_ONCE 40000u
#define SCHEDULES_MOST 300u
#define SEED           20270111u

uint64_t plan_node_effort(const plan_node *node)
{
    uint32_t count = node->activities.count;
    uint64_t schedules = count > 0 ? PLACED_AT_ONCE / count : 1;
    schedules = schedules > SCHEDULES_MOST ? SCHEDULES_MOST : schedules;
    return schedules > 0 ? schedules : 1;
}

static bool order_room(plan_node *node)
{
    void *order_s = node->order_s;
    bool room = mw_memory_grow32(&order_s, &node->order_room, node->activities.count + 1,
                                 sizeof *node->order_s);
    node->order_s = order_s;
    return room;
}

/* The order of the best plan that is known; NULL: none is. What is new stands at the end. */
static mw_status find_order(plan_node *node, const double **order_s)
{
    *order_s = NULL;
    if (!node->in->job->known_names) {
        return MW_OK;
    }
    if (!order_room(node)) {
        return MW_NO_MEMORY;
    }
    for (uint32_t a = 0; a < node->activities.count; a++) {
        node->order_s[a] = (double)INFINITY;
    }
    *order_s = node->order_s;
    return plan_node_recall(node, node->order_s);
}

/* Asking takes longer than a small schedule. */
#define ASK_EVERY 32u

typedef struct trial_search {
    mw_job *job;
    uint64_t asked;
} trial_search;

static bool is_stopped(void *context)
{
    trial_search *search = context;
    return ++search->asked % ASK_EVERY == 0 && !job_goes_on(search->job, -1.0);
}

void plan_node_pose(plan_node *node, const double *inputs)
{
    for (uint32_t i = 0; i < node->resource_count; i++) {
        double count = inputs[IN_FIXED_COUNT + i];
        uint32_t capacity = count > 0.0 && count < 1e6 ? (uint32_t)count : 0;
        node->same_structure = node->same_structure && node->resources[i].capacity == capacity;
        node->resources[i].capacity = capacity;
    }
    node->problem = (mw_plan_problem){.start_s = node->start_s,
                                      .calendars = node->calendars,
                                      .calendar_count = node->calendar_count,
                                      .resources = node->resources,
                                      .resource_count = node->resource_count,
                                      .promises = node->promises,
                                      .promise_count = node->promise_count,
                                      .needs = node->needs.items,
                                      .need_count = node->needs.count,
                                      .activities = node->activities.items,
                                      .activity_count = node->activities.count,
                                      .lags = node->lags.items,
                                      .lag_count = node->lags.count};
}

/* What can be said of a plan in turns that are kept: it is what it is, nothing was searched. */
static void judge_in_turn(plan_node *node)
{
    const mw_plan_slot *slots = mw_plan_slots(node->plan);
    double last_s = node->problem.start_s;
    for (uint32_t a = 0; a < node->activities.count; a++) {
        last_s = isfinite(slots[a].end_s) ? fmax(last_s, slots[a].end_s) : last_s;
    }
    node->outcome = (mw_plan_outcome){
        .verdict = MW_PLAN_PLANNED, .last_s = last_s, .bound_s = -(double)INFINITY, .schedules = 1};
}

mw_status plan_node_solve(plan_node *node, const double *inputs, const mw_plan_budget *budget)
{
    const kept_order *kept = NULL;
    const double *order_s = NULL;
    plan_node_pose(node, inputs);
    mw_status status = plan_node_kept(node, inputs, &kept);
    if (status == MW_OK && kept) {
        status = plan_node_in_turn(node, kept);
        if (status == MW_OK) {
            judge_in_turn(node);
        }
        return status;
    }
    node->turns_known = false;
    status = status == MW_OK ? find_order(node, &order_s) : status;
    if (status != MW_OK) {
        return status;
    }
    /* What changes the present build goes through to its end: an answer must not hang on when it was stopped. */
    bool trial = node->quiet || node->in != node->in->job->build;
    trial_search search = {.job = node->in->job};
    mw_plan_budget answer = {.seed = SEED,
                             .schedules = plan_node_effort(node),
                             .trials = LOOKED_AT_ONCE / (node->problem.lag_count + 1),
                             .stop = trial ? is_stopped : NULL,
                             .context = &search};
    answer = budget ? *budget : answer;
    answer.order = order_s;
    return mw_plan_search(node->plan, &node->problem, &answer, &node->outcome);
}
