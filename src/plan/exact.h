/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lower bounds on calendars, and exact search on them for small problems.
 *
 * Leaving people and machines aside, there is one earliest plan: every constraint says that a start
 * or an end is not before a moment that only moves on as other starts and ends do. Where that plan
 * takes more of a resource than there is, one of the parts that clash must be over before another
 * begins: each such pair is one more constraint of the same kind, tried in turn.
 * Source: De Reyck and Herroelen, EJOR 111, 1998 (delaying alternatives); Fest, Mohring, Stork and
 * Uetz, Resource-constrained project scheduling with time windows: a branching scheme based on
 * dynamic release dates, TU Berlin report 596, 1999. */
#ifndef PLAN_EXACT_H
#define PLAN_EXACT_H

#include "breed.h"

typedef struct plan_proof {
    bool done;       /* the search has come to its end: the best plan is the best there is, or, if
                        it misses something, every plan does */
    double bound_s;  /* no plan with nothing missing ends before */
    uint64_t trials; /* rounds of raising bounds */
    double *tails_s; /* by activity, see plan_tails() */
} plan_proof;

/* -- bound.c -- */
/* Finds a bound and tails; if nothing can be done and kept at all, `done` and a bound of INFINITY. */
mw_status plan_prove_bound(plan_state *state, plan_proof *proof, mw_arena *arena) MW_MUST_USE;

/* -- exact.c -- */
/* Searches exactly, if the problem is small, for what is better than `best` in its last end, and
 * writes it there. The slots of the state are scratch. */
mw_status plan_prove_best(plan_state *state, const mw_plan_budget *budget, plan_best *best,
                          plan_proof *proof, mw_arena *arena) MW_MUST_USE;

#endif
