/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far people and machines are used, week by week, and which of them everything waits for. */
#include <math.h>

#include "figures.h"

/* A stretch of the plan. */
typedef struct stretch {
    double from_s, until_s;
} stretch;

/* Time of one resource within a stretch, all of it that there is. */
typedef struct used_time {
    double open_s, ours_s, promised_s;
} used_time;

static double overlap(const mw_calendar *shift, const stretch *of, double from_s, double until_s)
{
    double begin_s = fmax(of->from_s, from_s);
    double end_s = fmin(of->until_s, until_s);
    return begin_s < end_s ? mw_calendar_amount(shift, begin_s, end_s) : 0.0;
}

static used_time time_of(const mw_job *job, uint32_t resource, const stretch *of)
{
    mw_resource_view who = mw_job_resource(job, resource);
    used_time sum = {.open_s = who.count * overlap(who.shift, of, of->from_s, of->until_s)};
    uint32_t count = 0;
    const mw_session *list = mw_job_sessions(job, &count);
    for (uint32_t i = 0; i < count; i++) {
        const mw_plan_need *holds = mw_job_holds(job, &list[i]);
        for (uint32_t k = 0; k < list[i].hold_count; k++) {
            if (holds[k].resource == resource && isfinite(list[i].end_s)) {
                double until_s = holds[k].wait_too ? list[i].wait_until_s : list[i].end_s;
                sum.ours_s += holds[k].amount * overlap(who.shift, of, list[i].start_s, until_s);
            }
        }
    }
    const mw_plan_promise *promises = mw_job_promised(job, &count);
    for (uint32_t i = 0; i < count; i++) {
        if (promises[i].resource == resource) {
            sum.promised_s += promises[i].amount *
                              overlap(who.shift, of, promises[i].from_s, promises[i].until_s);
        }
    }
    return sum;
}

static double share_of(const used_time *of)
{
    return of->open_s > 0.0 ? (of->ours_s + of->promised_s) / of->open_s : 0.0;
}

/* The plan from its first session to the last date, in whole days. */
static bool whole_plan(const mw_job *job, stretch *of)
{
    uint32_t count = 0;
    const mw_session *list = mw_job_sessions(job, &count);
    *of = (stretch){(double)INFINITY, -(double)INFINITY};
    for (uint32_t i = 0; i < count; i++) {
        if (isfinite(list[i].end_s)) {
            of->from_s = fmin(of->from_s, floor(list[i].start_s / MW_DAY_S) * MW_DAY_S);
            of->until_s = fmax(of->until_s, ceil(list[i].end_s / MW_DAY_S) * MW_DAY_S);
        }
    }
    return of->from_s < of->until_s;
}

static mw_str week_text(report *in, double moment_s)
{
    mw_text text = {0};
    mw_date_week_words(moment_s, &text);
    return report_take(in, &text);
}

static mw_unit percent(report *in)
{
    size_t used = 0;
    mw_unit unit = MW_UNIT_ONE;
    return mw_unit_read(mw_job_measure(in->job), mw_str_of("%"), &used, &unit) == MW_OK
               ? unit
               : (mw_unit)MW_UNIT_ONE;
}

/* One week of one resource, in full. */
static void week_row(report *in, grid *to, uint32_t resource, const stretch *week)
{
    used_time of = time_of(in->job, resource, week);
    grid_text(in, to, week_text(in, week->from_s));
    grid_text(in, to, mw_job_resource(in->job, resource).name);
    grid_value(in, to, of.ours_s, MW_TYPE_TIME, in->hour);
    grid_value(in, to, of.promised_s, MW_TYPE_TIME, in->hour);
    grid_value(in, to, of.open_s, MW_TYPE_TIME, in->hour);
    grid_value(in, to, share_of(&of), MW_TYPE_NUMBER, percent(in));
}

/* The next week of the plan behind `week`; false: there is none. */
static bool next_week(const stretch *plan, stretch *week)
{
    double from_s = fmax(plan->from_s, week->until_s);
    int32_t day = (int32_t)floor(from_s / MW_DAY_S);
    double monday_s = (day - mw_day_weekday(day) + 1) * MW_DAY_S;
    *week = (stretch){from_s, fmin(plan->until_s, monday_s + 7.0 * MW_DAY_S)};
    return from_s < plan->until_s;
}

static void weeks_in_full(report *in, const stretch *plan)
{
    grid *to = report_grid(in, "weeks", NULL);
    to->only = GRID_JSON;
    columns_text(to, "week", "week");
    columns_text(to, "who", "who");
    columns_value(to, "ours", "this job", 1, MW_NONE);
    columns_value(to, "promised", "promised", 1, MW_NONE);
    columns_value(to, "open", "there is", 1, MW_NONE);
    columns_value(to, "share", "share", 0, percent(in));
    for (stretch week = {0.0, plan->from_s}; next_week(plan, &week);) {
        for (uint32_t r = 0; r < mw_job_resource_count(in->job); r++) {
            week_row(in, to, r, &week);
        }
    }
}

/* Weeks down, who across: shares. */
static void weeks_at_a_glance(report *in, const stretch *plan)
{
    grid *to = report_grid(in, "shares", "used, % of what there is, promised work included");
    to->only = GRID_SCREEN;
    columns_text(to, "week", "week");
    uint32_t shown[GRID_COLUMNS_MAX];
    uint32_t count = 0;
    for (uint32_t r = 0; r < mw_job_resource_count(in->job); r++) {
        used_time of = time_of(in->job, r, plan);
        mw_str name = mw_job_resource(in->job, r).name;
        if (of.ours_s > 0.0 && count + 1 < GRID_COLUMNS_MAX) {
            const char *head = report_text(in, "%.*s", (int)name.length, name.at).at;
            columns_value(to, "share", head ? head : "", 0, MW_NONE);
            shown[count++] = r;
        }
    }
    for (stretch week = {0.0, plan->from_s}; next_week(plan, &week);) {
        grid_text(in, to, week_text(in, week.from_s));
        for (uint32_t i = 0; i < count; i++) {
            used_time of = time_of(in->job, shown[i], &week);
            grid_value(in, to, share_of(&of) * 100.0, MW_TYPE_NUMBER, MW_UNIT_ONE);
        }
    }
}

/* Sessions in the chain that sets the date for which a resource is needed. */
static uint32_t count_chain(const mw_job *job, uint32_t resource, uint32_t *all)
{
    uint32_t count = 0;
    uint32_t its = 0;
    *all = 0;
    const mw_session *list = mw_job_sessions(job, &count);
    for (uint32_t i = 0; i < count; i++) {
        const mw_plan_need *holds = mw_job_holds(job, &list[i]);
        *all += list[i].sets_date ? 1 : 0;
        bool holds_it = false;
        for (uint32_t k = 0; k < list[i].hold_count; k++) {
            holds_it = holds_it || holds[k].resource == resource;
        }
        its += list[i].sets_date && holds_it ? 1 : 0;
    }
    return its;
}

/* The one that is used most of all, in words. */
static void bottleneck(report *in, const stretch *plan)
{
    uint32_t most = MW_NONE;
    double most_share = 0.0;
    for (uint32_t r = 0; r < mw_job_resource_count(in->job); r++) {
        used_time of = time_of(in->job, r, plan);
        if (of.ours_s > 0.0 && share_of(&of) > most_share) {
            most = r;
            most_share = share_of(&of);
        }
    }
    if (most == MW_NONE) {
        return;
    }
    stretch fullest = *plan;
    double full_share = -1.0;
    for (stretch week = {0.0, plan->from_s}; next_week(plan, &week);) {
        used_time of = time_of(in->job, most, &week);
        if (share_of(&of) > full_share) {
            full_share = share_of(&of);
            fullest = week;
        }
    }
    uint32_t all;
    uint32_t its = count_chain(in->job, most, &all);
    mw_str name = mw_job_resource(in->job, most).name;
    mw_str week = week_text(in, fullest.from_s);
    report_note(in, false,
                report_text(in,
                            "the bottleneck is %.*s: in use %.0f %% of the time from start to end, "
                            "most in %.*s (%.0f %%); it takes part in %u of the %u sessions that "
                            "set the date",
                            (int)name.length, name.at, most_share * 100.0, (int)week.length,
                            week.at, full_share * 100.0, (unsigned)its, (unsigned)all));
}

mw_status report_use(report *in, const mw_request *request)
{
    stretch plan;
    if (request->argument.length > 0) {
        mw_diag *diag = mw_diags_error(in->diags, MW_CODE_SYNTAX, request->argument_at,
                                       "`use` is of all moulds together, nothing follows it");
        mw_diag_try(in->diags, diag, "use");
        return MW_FAILED;
    }
    if (whole_plan(in->job, &plan)) {
        weeks_in_full(in, &plan);
        weeks_at_a_glance(in, &plan);
        bottleneck(in, &plan);
    }
    return MW_OK;
}
