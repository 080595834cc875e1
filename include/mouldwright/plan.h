/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Planning: activities on calendars with people and machines, and time lags of all four kinds.
 * Takes and gives plain numbers; knows nothing of moulds. Times are seconds since
 * 1970-01-01T00:00. */
#ifndef MOULDWRIGHT_PLAN_H
#define MOULDWRIGHT_PLAN_H

#include "mouldwright/calendar.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What an activity needs while it works: held from its start to its end without gaps, nights and
 * breaks included. A half-milled block stays on the mill; people lose nothing by it as long as all
 * work that needs them runs on one calendar. Needs of the same resource count together. */
typedef struct mw_plan_need {
    uint32_t resource;
    uint32_t amount;
    bool wait_too; /* held also until every least lag from its end is over */
} mw_plan_need;

/* An activity: work of `work_s` (>= 0, finite) on a calendar. It starts where the calendar is open
 * and ends when the work is done: at closing time, not at the next opening. Without work it is a
 * moment that needs no open calendar. */
typedef struct mw_plan_activity {
    double work_s;
    uint32_t calendar; /* index in the problem */
    /* May stop when the calendar closes and go on when it opens; else it must fit one open run (a
     * break inside a day, such as noon, of up to 90 minutes is no closing). */
    bool interrupt;
    double earliest_s;   /* not before; -INFINITY: any time */
    uint32_t first_need; /* in needs[] */
    uint32_t need_count;
    uint32_t group; /* activities of one group (a mould) are kept in order where they tie */
    /* A search weighs each second that it ends later than due_s; weight 0: not due. >= 0, finite. */
    double weight, due_s;
    /* It has been agreed to start at agreed_s (not before: `earliest_s` says so), and a search keeps
     * to that where it can. */
    bool agreed;
    double agreed_s;
} mw_plan_activity;

/* A lag: (start or end of `to`) - (start or end of `from`), measured on `calendar`, is at least (or
 * at most) amount_s. A maximum lag may lead from an activity to itself (its work must not be drawn
 * out too long); it is kept if exceeded by no more than a hundredth of a second. Where an end may
 * not come before a moment at which its activity's calendar is closed, a last minute of the work is
 * left for the next opening. */
typedef struct mw_plan_lag {
    uint32_t from, to; /* activities */
    bool from_end;
    bool to_end;
    bool maximum;
    double amount_s; /* >= 0; INFINITY: never over, or no limit */
    /* Of a maximum lag between two: where `to` is placed in its turn and the lag is then exceeded, `to` has so much more
     * work (MW_PLAN_IN_TURN; elsewhere it counts for nothing). >= 0, finite. */
    double rework_s;
    uint32_t calendar;
} mw_plan_lag;

typedef struct mw_plan_resource {
    uint32_t capacity;
} mw_plan_resource;

/* Part of a resource that others have already. */
typedef struct mw_plan_promise {
    uint32_t resource;
    uint32_t amount;
    double from_s, until_s;
} mw_plan_promise;

/* A problem; everything is borrowed until planning returns. Least lags must not form a cycle. */
typedef struct mw_plan_problem {
    double start_s; /* nothing before; in the years 1 to 9999 */
    const mw_calendar *const *calendars;
    uint32_t calendar_count;
    const mw_plan_resource *resources;
    uint32_t resource_count;
    const mw_plan_promise *promises;
    uint32_t promise_count;
    const mw_plan_need *needs;
    uint32_t need_count;
    const mw_plan_activity *activities; /* in the order of preference */
    uint32_t activity_count;
    const mw_plan_lag *lags;
    uint32_t lag_count;
} mw_plan_problem;

/* What held an activity back. The next opening after a moment counts as that moment. */
typedef enum mw_plan_reason {
    MW_PLAN_AT_ONCE,  /* the start of the job or its own earliest time; `binding` is MW_NONE */
    MW_PLAN_LAG,      /* a least lag: `binding` is its index */
    MW_PLAN_RESOURCE, /* people or a machine: `binding` is the resource */
    MW_PLAN_SHIFT,    /* it had to fit an open run of its calendar: `binding` is the calendar */
    MW_PLAN_WINDOW /* it was put later so that a window after it is kept: `binding` is that lag */
} mw_plan_reason;

typedef struct mw_plan_slot {
    double start_s;
    /* INFINITY with start_s INFINITY: it can never be done (calendar, need above capacity). */
    double end_s;
    /* From when on its needs and lags were satisfied but for resources: what follows until start_s
     * is queueing (or, with MW_PLAN_WINDOW, held back for that window). It may be finite for what
     * can never be done for want of a resource. */
    double ready_s;
    mw_plan_reason reason;
    uint32_t binding;
} mw_plan_slot;

typedef struct mw_plan mw_plan;

/* A reusable workspace with the newest plan; NULL when there is no memory. */
mw_plan *mw_plan_new(void) MW_MUST_USE;
void mw_plan_free(mw_plan *plan);

/* Makes a first plan: serial schedule generation in the order given (before an activity come
 * those that it must follow), each at its earliest among those placed before it. Activities
 * joined by windows (maximum lags), with all that lies between them, are placed as one: where a
 * window is missed, the activity at its first end moves on as far as it must, and the others
 * with it, up to 30 days, until all windows are kept; else all stay at their earliest and the
 * windows count as missed. What needs more than there is, or finds no open run within about 400
 * days, is never done, nor is what must follow it; the rest goes on. Moments are whole 1024ths
 * of a second. The same problem gives the same plan. No memory is taken once problems as large
 * have been planned.
 * MW_FAILED: the problem is unfit (index out of range, cycle of least lags, NaN, amount below 0,
 * start outside the years 1 to 9999). When it fails the plan of before stays.
 * Source: Kelley 1963 (serial scheme); Franck, Neumann and Schwindt 2001 (calendars, time
 * windows). */
mw_status mw_plan_first(mw_plan *plan, const mw_plan_problem *problem) MW_MUST_USE;

/* The slots, one an activity, in the order of the problem; valid until the next planning. */
const mw_plan_slot *mw_plan_slots(const mw_plan *plan);
/* The maximum lags that are not kept, `*count` of them, as indices of lags in rising order; one
 * whose first end is done and whose second never is counts among them. Valid until the next
 * planning. */
const uint32_t *mw_plan_missed(const mw_plan *plan, uint32_t *count);

#ifdef __cplusplus
}
#endif

#endif
