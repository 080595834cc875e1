/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Says whether a plan is right, knowing only plan.h and the calendars: it shares no code and no
 * method with the planner. Moments may be off by the planner's rounding of about a thousandth of a
 * second. */
#ifndef TESTS_PLAN_CHECKER_H
#define TESTS_PLAN_CHECKER_H

#include <math.h>
#include <stdio.h>

#include "mouldwright/plan.h"
#include "support.h"

#define CHECKER_SLACK_S               0.005
#define CHECKER_WINDOW_SLACK_S        0.01
#define CHECKER_LONGEST_BREAK_MINUTES 90

typedef struct checker {
    const mw_plan_problem *problem;
    const mw_plan_slot *slots;
    const uint32_t *missed;
    uint32_t missed_count;
    char fault[200]; /* what is wrong first; empty: nothing */
} checker;

static inline void checker_says(checker *c, const char *what, uint32_t index, double off)
{
    if (c->fault[0] == '\0') {
        snprintf(c->fault, sizeof c->fault, "%s %u (%.6g)", what, (unsigned)index, off);
    }
}

static inline bool checker_done(const checker *c, uint32_t activity)
{
    return isfinite(c->slots[activity].start_s);
}

static inline double checker_point(const checker *c, uint32_t activity, bool end)
{
    return end ? c->slots[activity].end_s : c->slots[activity].start_s;
}

/* Walks the minutes between start and end: no closing longer than the longest break. */
static inline void checker_run(checker *c, uint32_t index, const mw_calendar *calendar)
{
    const mw_plan_slot *slot = &c->slots[index];
    int closed = 0;
    for (double at_s = ceil(slot->start_s / 60.0) * 60.0; at_s + 60.0 <= slot->end_s;
         at_s += 60.0) {
        closed = mw_calendar_rate(calendar, at_s) > 0.0 ? 0 : closed + 1;
        if (closed > CHECKER_LONGEST_BREAK_MINUTES) {
            checker_says(c, "parted, though it may not be: activity", index, at_s);
        }
    }
}

static inline void checker_activity(checker *c, uint32_t index)
{
    const mw_plan_activity *row = &c->problem->activities[index];
    const mw_plan_slot *slot = &c->slots[index];
    const mw_calendar *calendar = c->problem->calendars[row->calendar];
    if (!checker_done(c, index)) {
        if (slot->start_s != HUGE_VAL || slot->end_s != HUGE_VAL) {
            checker_says(c, "neither done nor never: activity", index, slot->end_s);
        }
        return;
    }
    double early_s = fmax(c->problem->start_s, row->earliest_s) - slot->start_s;
    if (!(early_s <= CHECKER_SLACK_S)) {
        checker_says(c, "too early: activity", index, early_s);
    }
    if (!(slot->ready_s <= slot->start_s)) {
        checker_says(c, "starts before it is ready: activity", index, slot->ready_s);
    }
    double off_s = mw_calendar_amount(calendar, slot->start_s, slot->end_s) - row->work_s;
    if (!(fabs(off_s) <= CHECKER_SLACK_S) || slot->end_s < slot->start_s) {
        checker_says(c, "not its work: activity", index, off_s);
    }
    if (row->work_s == 0.0) {
        return;
    }
    if (!(mw_calendar_rate(calendar, slot->start_s) > 0.0)) {
        checker_says(c, "starts where nobody works: activity", index, slot->start_s);
    }
    if (!(mw_calendar_amount(calendar, slot->end_s - 1.0, slot->end_s) > 0.0)) {
        checker_says(c, "ends where nobody works: activity", index, slot->end_s);
    }
    if (!row->interrupt) {
        checker_run(c, index, calendar);
    }
}

static inline bool checker_is_missed(const checker *c, uint32_t lag)
{
    for (uint32_t i = 0; i < c->missed_count; i++) {
        if (c->missed[i] == lag) {
            return true;
        }
    }
    return false;
}

static inline void checker_least(checker *c, uint32_t index)
{
    const mw_plan_lag *lag = &c->problem->lags[index];
    if (!checker_done(c, lag->to)) {
        return;
    }
    if (!checker_done(c, lag->from)) {
        checker_says(c, "follows what is never done: lag", index, 0.0);
        return;
    }
    double from_s = checker_point(c, lag->from, lag->from_end);
    double to_s = checker_point(c, lag->to, lag->to_end);
    double done_s = mw_calendar_amount(c->problem->calendars[lag->calendar], from_s, to_s);
    if (!(done_s >= lag->amount_s - CHECKER_SLACK_S) || to_s < from_s) {
        checker_says(c, "too short: lag", index, done_s - lag->amount_s);
    }
}

static inline void checker_window(checker *c, uint32_t index)
{
    const mw_plan_lag *lag = &c->problem->lags[index];
    bool kept = true;
    double over_s = 0.0;
    if (checker_done(c, lag->from)) {
        double from_s = checker_point(c, lag->from, lag->from_end);
        double to_s = checker_point(c, lag->to, lag->to_end);
        over_s = isinf(to_s)
                     ? HUGE_VAL
                     : mw_calendar_amount(c->problem->calendars[lag->calendar], from_s, to_s) -
                           lag->amount_s;
        kept = !(over_s > CHECKER_WINDOW_SLACK_S);
    }
    if (kept == checker_is_missed(c, index)) {
        checker_says(c, kept ? "kept, yet called missed: lag" : "missed in silence: lag", index,
                     over_s);
    }
}

/* Until when an activity holds a need. */
static inline double checker_held_until(const checker *c, uint32_t activity, bool wait_too)
{
    double until_s = c->slots[activity].end_s;
    for (uint32_t i = 0; wait_too && i < c->problem->lag_count; i++) {
        const mw_plan_lag *lag = &c->problem->lags[i];
        if (lag->from == activity && !lag->maximum && lag->from_end) {
            until_s = fmax(until_s, mw_calendar_advance(c->problem->calendars[lag->calendar],
                                                        c->slots[activity].end_s, lag->amount_s));
        }
    }
    return until_s - CHECKER_SLACK_S;
}

/* How much of a resource the plan's activities and the promises hold at a moment. */
static inline uint64_t checker_used(const checker *c, uint32_t resource, double at_s)
{
    const mw_plan_problem *p = c->problem;
    uint64_t used = 0;
    for (uint32_t i = 0; i < p->activity_count; i++) {
        for (uint32_t n = 0; checker_done(c, i) && n < p->activities[i].need_count; n++) {
            const mw_plan_need *need = &p->needs[p->activities[i].first_need + n];
            if (need->resource == resource && c->slots[i].start_s <= at_s &&
                at_s < checker_held_until(c, i, need->wait_too)) {
                used += need->amount;
            }
        }
    }
    for (uint32_t i = 0; i < p->promise_count; i++) {
        const mw_plan_promise *promise = &p->promises[i];
        if (promise->resource == resource && promise->from_s + CHECKER_SLACK_S <= at_s &&
            at_s < promise->until_s - CHECKER_SLACK_S) {
            used += promise->amount;
        }
    }
    return used;
}

/* What is used only grows where something begins: so look there, at what any activity needs. */
static inline void checker_needs(checker *c, uint32_t activity)
{
    const mw_plan_problem *p = c->problem;
    const mw_plan_activity *row = &p->activities[activity];
    for (uint32_t n = 0; checker_done(c, activity) && n < row->need_count; n++) {
        const mw_plan_need *need = &p->needs[row->first_need + n];
        uint64_t capacity = p->resources[need->resource].capacity;
        double until_s = checker_held_until(c, activity, need->wait_too);
        double from_s = c->slots[activity].start_s;
        if (need->amount == 0 || !(from_s < until_s)) {
            continue;
        }
        if (checker_used(c, need->resource, from_s) > capacity) {
            checker_says(c, "more than there is at the start: activity", activity, from_s);
        }
        for (uint32_t i = 0; i < p->promise_count; i++) {
            double at_s = p->promises[i].from_s + CHECKER_SLACK_S;
            if (p->promises[i].resource == need->resource && from_s <= at_s && at_s < until_s &&
                checker_used(c, need->resource, at_s) > capacity) {
                checker_says(c, "in the way of a promise: activity", activity, at_s);
            }
        }
    }
}

/* Returns NULL when the plan is right, else what is wrong with it first. */
static inline const char *checker_look(checker *c)
{
    for (uint32_t i = 0; i < c->problem->activity_count; i++) {
        checker_activity(c, i);
        checker_needs(c, i);
    }
    for (uint32_t i = 0; i < c->problem->lag_count; i++) {
        if (c->problem->lags[i].maximum) {
            checker_window(c, i);
        } else {
            checker_least(c, i);
        }
    }
    for (uint32_t i = 1; i < c->missed_count; i++) {
        if (c->missed[i - 1] >= c->missed[i]) {
            checker_says(c, "not in order in the list of missed windows: entry", i, 0.0);
        }
    }
    return c->fault[0] == '\0' ? NULL : c->fault;
}

/* Plans and looks; fails the test with the fault, if there is one. */
static inline void assert_right_plan(const mw_plan *plan, const mw_plan_problem *problem,
                                     const char *name)
{
    checker c = {.problem = problem, .slots = mw_plan_slots(plan)};
    c.missed = mw_plan_missed(plan, &c.missed_count);
    const char *fault = checker_look(&c);
    if (fault != NULL) {
        fail_msg("%s: %s", name, fault);
    }
}

#endif
