/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The earliest plan that keeps all lags, windows and given orders, people and machines left aside. */
#ifndef PLAN_EARLIEST_H
#define PLAN_EARLIEST_H

#include "place.h"

/* How far ahead plans are looked for. */
#define PLAN_HORIZON_S (400.0 * MW_DAY_S)

/* While an activity works, or while it waits, it holds things. */
typedef struct plan_part {
    uint32_t activity; /* MW_NONE: a promise */
    bool waiting;
    uint64_t amount;
    double from_s, until_s;
} plan_part;

/* `to` begins only when `from` is over, because of a resource. */
typedef struct plan_arc {
    plan_part from, to;
    uint32_t resource;
} plan_arc;

typedef struct plan_early {
    double start_least_s, end_least_s; /* bounds */
    double start_s, end_s;             /* the earliest span within them */
    mw_plan_reason reason;             /* what raised a bound last, but for least lags */
    uint32_t binding;
} plan_early;

typedef struct plan_earliest {
    plan_state *state;
    plan_early *early; /* by activity */
    const plan_arc *arcs;
    uint32_t arc_count;
    double limit_s; /* an end at or behind it is of no interest */
    uint64_t rounds, rounds_most;
} plan_earliest;

typedef enum plan_earliest_verdict {
    PLAN_EARLIEST_FOUND,
    PLAN_EARLIEST_NONE,   /* an end falls behind the limit, or never comes */
    PLAN_EARLIEST_GAVE_UP /* the rounds are spent; the bounds reached hold nevertheless */
} plan_earliest_verdict;

/* Begins with what each activity says for itself. */
plan_earliest_verdict plan_earliest_begin(plan_earliest *e);

/* Raises bounds until all is kept. */
plan_earliest_verdict plan_earliest_settle(plan_earliest *e);

/* Returns when every least lag from the end of an activity is over. */
double plan_earliest_freed(const plan_earliest *e, uint32_t activity);

/* Returns the last end, or the start where there is none. */
double plan_earliest_last(const plan_earliest *e);

#endif
