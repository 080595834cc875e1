/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cure as a reaction: its rate, its degree after a temperature programme, and a post-cure that never
 * gets ahead of the glass transition.
 *
 * Temperatures are in K, 223.15 to 573.15 (else MW_TRADE_OUT_OF_RANGE); degrees of cure 0 to 1; times
 * in s. The constants of a law hold for the temperatures at which they were measured: a rate, a hold
 * or a target outside is MW_TRADE_OUT_OF_RANGE; on a ramp that starts colder nothing is counted until
 * it is warm enough, so that the degree is not taken too high. Results go to `out`; with any status
 * but MW_TRADE_OK it keeps what it had. */
#ifndef MOULDWRIGHT_TRADE_KINETICS_H
#define MOULDWRIGHT_TRADE_KINETICS_H

#include "mouldwright/trade_cure.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Laws of cure; each k is a factor times exp(-energy / R T). */
typedef enum mw_cure_law {
    MW_CURE_ORDER,         /* n-th order: k1 (1 - a)^n */
    MW_CURE_AUTOCATALYTIC, /* Kamal and Sourour 1973: (k1 + k2 a^m) (1 - a)^n */
    MW_CURE_LIMITED,   /* slowed by diffusion: k1 a^m (1 - a)^n / (1 + exp(c (a - a0 - aT T))) */
    MW_CURE_TWO_STAGE, /* up to a switch (k1 + k2 a) (1 - a) (b - a), then k3 (1 - a): Lee, Loos and
                        * Springer, Heat of reaction, degree of cure, and viscosity of Hercules
                        * 3501-6 resin, J. Composite Materials 16, 1982 */
    MW_CURE_LAW_COUNT
} mw_cure_law;

/* A law with its constants. What a law does not use may be anything. The published constants of the
 * last two go with R = 8.314 J/(mol K) as their authors wrote it; the first two use the exact one. */
typedef struct mw_kinetics {
    mw_cure_law law;
    double factor_1s[3];   /* of k1, k2, k3; >= 0, but k2 of the two-stage law may be below */
    double energy_jmol[3]; /* 0 to 300e3 */
    double m, n;           /* 0 to 5 */
    double limit_slope;    /* c, 0 to 200 */
    double limit_at;       /* a0, -10 to 10 */
    double limit_per_k;    /* aT, -0.1 to 0.1 */
    double base;           /* b, over `switch_at` to 1 */
    double switch_at;      /* over 0, below 1 */
    double coldest_k;      /* the constants were measured from here */
    double hottest_k;      /* to here */
} mw_kinetics;

/* Rate of cure at a temperature and a degree, 1/s; 0 where a law would have it run backwards. Source:
 * see mw_cure_law. */
mw_trade_status mw_trade_cure_rate(const mw_kinetics *kinetics, double at_k, double degree,
                                   double *out) MW_MUST_USE;

/* Room for integrating, made once: integrating takes no memory. One thread at a time may use it. It
 * keeps nothing from one call to the next. */
typedef struct mw_cure_solver mw_cure_solver;

/* Returns a solver, or NULL when there is no memory (GSL's handler of errors must be off, else GSL
 * ends the program then). Free with mw_cure_solver_free(). */
mw_cure_solver *mw_cure_solver_new(void) MW_MUST_USE;
void mw_cure_solver_free(mw_cure_solver *solver);

/* A temperature programme: from `start_k` with a ramp to each target and a hold there. */
typedef struct mw_cure_programme {
    double start_k;
    const double *target_k;
    const double
        *ramp_k_s;        /* steepness, > 0 (it may be anything where there is nothing to climb) */
    const double *hold_s; /* >= 0, at most 3.2e8 (10 years) */
    size_t count;
} mw_cure_programme;

/* Length of a programme, s: ramps and holds. Source: a sum. */
mw_trade_status mw_trade_programme_time(const mw_cure_programme *programme,
                                        double *out) MW_MUST_USE;

/* Degree of cure after a programme that begins at the degree `before`. Runge-Kutta-Prince-Dormand 8(9)
 * of GSL, error a step below 1e-9; from 1 - 1e-9 on it counts as cured. MW_TRADE_OUT_OF_RANGE also
 * when that takes over 100000 steps. The law that is slowed by diffusion needs `before` above 0, as
 * does the autocatalytic one without k1: else nothing ever starts. */
mw_trade_status mw_trade_cure_degree(mw_cure_solver *solver, const mw_kinetics *kinetics,
                                     const mw_cure_programme *programme, double before,
                                     double *out) MW_MUST_USE;

/* Time at a constant temperature from one degree to another (below 1), s; 0 when it is there already.
 * The same integrator over the degree. MW_TRADE_OUT_OF_RANGE when it never gets there, or not in
 * 3.2e8 s. */
mw_trade_status mw_trade_cure_time_to(mw_cure_solver *solver, const mw_kinetics *kinetics,
                                      double at_k, const double from_to[2],
                                      double *out) MW_MUST_USE;

#define MW_POST_CURE_STAGES_MOST 64

/* What a post-cure is asked for. */
typedef struct mw_post_cure {
    const mw_kinetics *kinetics;
    const mw_glass *glass;
    double start_k;  /* where it begins */
    double degree;   /* the degree of cure by then */
    double final_k;  /* where it ends, not below the start */
    double step_k;   /* climbs in steps of this, 1 to 50 K */
    double ramp_k_s; /* steepness of each climb, > 0 */
    double margin_k; /* the temperature may be so far above the glass transition, -50 to 50 K */
    double
        least_hold_s; /* after each climb but the last, >= 0: laws of cure leave out that a resin near its
                          * glass transition cures more slowly */
    double last_hold_s; /* at the final temperature, >= 0 */
} mw_post_cure;

/* The programme proposed: stage 0 holds at the start, each other climbs and holds. */
typedef struct mw_post_cure_plan {
    size_t count;
    double target_k[MW_POST_CURE_STAGES_MOST];
    double ramp_k_s[MW_POST_CURE_STAGES_MOST];
    double hold_s[MW_POST_CURE_STAGES_MOST]; /* whole minutes, but the last */
    double degree;                           /* at the end */
    double glass_k;                          /* at the end */
    double duration_s;
} mw_post_cure_plan;

/* Proposes a post-cure in which the temperature never is more than the margin above the glass
 * transition that the resin has by then: before each climb it holds until the glass transition stands
 * at most the margin below the temperature climbed to. MW_TRADE_OUT_OF_RANGE when the start is too
 * hot already, when a hold would take over 30 days, or when full cure would not be enough. The law's
 * constants are the user's: the proposal is no better than they are, and plug, tool and the
 * resin's data sheet may ask for less. Source: common practice to follow the glass transition; the
 * arithmetic is ours. */
mw_trade_status mw_trade_post_cure(mw_cure_solver *solver, const mw_post_cure *wanted,
                                   mw_post_cure_plan *out) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
