/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Work and lags on calendars, free of rounding errors. */
#include "moment.h"

#define PARTS_PER_SECOND 1024.0
#define PART_S           (1.0 / PARTS_PER_SECOND)

/* What half a part of the start can make of the end, at rates that differ by no more than 100. */
#define ROUNDING_S (1.0 / 16.0)

/* A break of a day that does not part a run. */
#define LONGEST_BREAK_S (90.0 * 60.0)
#define LOOK_AHEAD_S    (400.0 * MW_DAY_S)
/* How much of the work is left for behind a closing when the end has to fall behind it. */
#define LAST_PIECE_S 60.0

static const plan_span NOWHERE = {.start_s = PLAN_NEVER, .end_s = PLAN_NEVER, .passed = false};

double plan_moment(double at_s)
{
    if (at_s > PLAN_LAST_S) {
        return PLAN_NEVER;
    }
    if (at_s < PLAN_FIRST_S) {
        return PLAN_ANY_TIME;
    }
    double parts = at_s * PARTS_PER_SECOND;
    return (double)(int64_t)(parts < 0.0 ? parts - 0.5 : parts + 0.5) / PARTS_PER_SECOND;
}

static bool in_known_run(const plan_clock *clock, double at_s)
{
    return clock->open_s <= at_s && at_s < clock->close_s;
}

double plan_open(const plan_clock *clock, double from_s)
{
    return in_known_run(clock, from_s) ? from_s
                                       : plan_days_open(clock->days, clock->calendar, from_s);
}

double plan_close(plan_clock *clock, double at_s)
{
    if (!in_known_run(clock, at_s)) {
        double close_s = plan_days_close(clock->days, clock->calendar, at_s);
        if (!(close_s > at_s)) {
            return at_s;
        }
        clock->open_s = at_s;
        clock->close_s = close_s;
    }
    return clock->close_s;
}

double plan_amount(plan_clock *clock, double from_s, double to_s)
{
    return plan_days_amount(clock->days, clock->calendar, from_s, to_s);
}

static bool is_open(const plan_clock *clock, double at_s)
{
    return in_known_run(clock, at_s) || plan_days_rate(clock->days, clock->calendar, at_s) > 0.0;
}

double plan_advance(plan_clock *clock, double from_s, double amount_s)
{
    if (amount_s == 0.0 || isinf(from_s)) {
        return from_s;
    }
    if (isinf(amount_s)) {
        return PLAN_NEVER;
    }
    bool inside;
    double done_s = plan_days_reach(clock->days, clock->calendar, from_s, amount_s, &inside);
    /* Nothing was going on just before: did the last bit of the amount fall behind an opening only
     * because of a rounding error? */
    if (!inside && isfinite(done_s) && amount_s > PART_S &&
        !is_open(clock, done_s - 2.0 * PART_S)) {
        double nearly_s =
            plan_days_advance(clock->days, clock->calendar, from_s, amount_s - PART_S);
        double close_s = plan_close(clock, nearly_s);
        done_s = close_s < done_s ? close_s : done_s;
    }
    return plan_moment(done_s);
}

/* Returns the end of the run that `at_s` stands in, breaks included; no further than to
 * `enough_s`. */
static double run_end(plan_clock *clock, double at_s, double enough_s)
{
    double close_s = plan_close(clock, at_s);
    while (close_s < enough_s) {
        double open_s = plan_open(clock, close_s);
        if (!(open_s - close_s <= LONGEST_BREAK_S)) {
            break;
        }
        double next_s = plan_close(clock, open_s);
        if (!(next_s > close_s)) {
            break;
        }
        close_s = next_s;
    }
    return close_s;
}

/* The earliest span of work that must not be parted, from an open moment on. */
static plan_span fit_run(plan_clock *clock, double work_s, double from_s)
{
    double last_s = from_s + LOOK_AHEAD_S;
    bool passed = false;
    for (double start_s = from_s; start_s <= last_s;) {
        double end_s = plan_advance(clock, start_s, work_s);
        if (isinf(end_s)) {
            break;
        }
        double close_s = run_end(clock, start_s, end_s);
        if (end_s <= close_s) {
            return (plan_span){.start_s = start_s, .end_s = end_s, .passed = passed};
        }
        passed = true;
        double open_s = plan_moment(plan_open(clock, close_s));
        start_s = open_s > start_s ? open_s : start_s + PART_S;
    }
    return NOWHERE;
}

static plan_span fit_from(plan_clock *clock, const mw_plan_activity *activity, double from_s)
{
    if (isinf(from_s)) {
        return NOWHERE;
    }
    double start_s = plan_moment(plan_open(clock, from_s));
    if (isinf(start_s)) {
        return NOWHERE;
    }
    if (!activity->interrupt) {
        return fit_run(clock, activity->work_s, start_s);
    }
    double end_s = plan_advance(clock, start_s, activity->work_s);
    return isinf(end_s) ? NOWHERE : (plan_span){.start_s = start_s, .end_s = end_s};
}

static plan_span fit_work(plan_clock *clock, const mw_plan_activity *activity, double start_s,
                          double end_s)
{
    plan_span span = fit_from(clock, activity, start_s);
    if (span.end_s >= end_s) {
        return span;
    }
    double work_s = activity->work_s;
    double latest_s = plan_moment(mw_calendar_retreat(clock->calendar, end_s, work_s));
    double from_s = latest_s > span.start_s ? latest_s : span.start_s;
    span = fit_from(clock, activity, from_s);
    if (span.end_s >= end_s) {
        return span;
    }
    if (end_s - span.end_s <= ROUNDING_S) { /* taken off by rounding the start */
        span = fit_from(clock, activity, from_s + PART_S);
        if (span.end_s >= end_s && span.end_s - end_s <= ROUNDING_S) {
            return span;
        }
    }
    /* The end has to fall where the calendar is closed: a last piece of the work is left for when
     * it opens again. */
    double piece_s = work_s < LAST_PIECE_S ? work_s : LAST_PIECE_S;
    span = fit_from(clock, activity, plan_advance(clock, from_s, piece_s));
    return span.end_s >= end_s ? span : fit_from(clock, activity, end_s);
}

plan_span plan_fit(plan_clock *clock, const mw_plan_activity *activity, double start_s,
                   double end_s)
{
    if (activity->work_s == 0.0) {
        double at_s = start_s > end_s ? start_s : end_s;
        return (plan_span){.start_s = at_s, .end_s = at_s};
    }
    return fit_work(clock, activity, start_s, end_s);
}
