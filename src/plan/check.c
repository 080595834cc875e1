/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether a problem is fit to be planned. */
#include <math.h>

#include "moment.h"
#include "network.h"

static bool in_range(double at_s)
{
    return at_s >= PLAN_FIRST_S && at_s <= PLAN_LAST_S; /* false for NaN */
}

static bool amount_fits(double amount_s)
{
    return amount_s >= 0.0; /* false for NaN; INFINITY is "never" */
}

static bool activity_fits(const mw_plan_problem *problem, const mw_plan_activity *activity)
{
    return amount_fits(activity->work_s) && isfinite(activity->work_s) &&
           amount_fits(activity->weight) && isfinite(activity->weight) && !isnan(activity->due_s) &&
           !isnan(activity->agreed_s) && !isnan(activity->earliest_s) &&
           activity->calendar < problem->calendar_count &&
           activity->need_count <= problem->need_count &&
           activity->first_need <= problem->need_count - activity->need_count;
}

static bool lag_fits(const mw_plan_problem *problem, const mw_plan_lag *lag)
{
    return lag->from < problem->activity_count && lag->to < problem->activity_count &&
           lag->calendar < problem->calendar_count && amount_fits(lag->amount_s) &&
           amount_fits(lag->rework_s) && isfinite(lag->rework_s) &&
           (lag->maximum || lag->from != lag->to);
}

static bool calendars_fit(const mw_plan_problem *problem)
{
    for (uint32_t i = 0; i < problem->calendar_count; i++) {
        if (problem->calendars[i] == NULL) {
            return false;
        }
    }
    return true;
}

static bool resources_fit(const mw_plan_problem *problem)
{
    for (uint32_t i = 0; i < problem->need_count; i++) {
        if (problem->needs[i].resource >= problem->resource_count) {
            return false;
        }
    }
    for (uint32_t i = 0; i < problem->promise_count; i++) {
        const mw_plan_promise *promise = &problem->promises[i];
        if (promise->resource >= problem->resource_count || isnan(promise->from_s) ||
            isnan(promise->until_s)) {
            return false;
        }
    }
    return true;
}

mw_status plan_check(const mw_plan_problem *problem)
{
    if (!in_range(problem->start_s) || !calendars_fit(problem) || !resources_fit(problem)) {
        return MW_FAILED;
    }
    for (uint32_t i = 0; i < problem->activity_count; i++) {
        if (!activity_fits(problem, &problem->activities[i])) {
            return MW_FAILED;
        }
    }
    for (uint32_t i = 0; i < problem->lag_count; i++) {
        if (!lag_fits(problem, &problem->lags[i])) {
            return MW_FAILED;
        }
    }
    return MW_OK;
}
