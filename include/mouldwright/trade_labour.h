/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Labour by size: set-up plus rate, power law, slow start, published laws, shapes, work study.
 *
 * Labour is in person-seconds. Results go to `out`; with any status but MW_TRADE_OK it keeps what it
 * had. MW_TRADE_NO_SENSE for an input that is negative where it must not be, or no number. */
#ifndef MOULDWRIGHT_TRADE_LABOUR_H
#define MOULDWRIGHT_TRADE_LABOUR_H

#include "mouldwright/trade.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Labour of a set-up and so much work at a rate: set_up + size * rate. Set-up >= 0, person-s; size
 * >= 0 in any unit; rate >= 0, person-s per that unit. Source: common practice, no source. */
mw_trade_status mw_trade_labour_rate(double set_up_s, double size, double rate_s,
                                     double *out) MW_MUST_USE;

/* Labour of a job that is `ratio` times as big as one whose labour is known: known * ratio^exponent.
 * Known >= 0, person-s; ratio 0.01 to 100 and exponent 0 to 2 (else MW_TRADE_OUT_OF_RANGE).
 * Source: common practice, no source (the form of the power laws below without their set-up). */
mw_trade_status mw_trade_labour_power(double known_s, double ratio, double exponent,
                                      double *out) MW_MUST_USE;

/* Labour where each piece begins slowly, v = v0 (1 - exp(-t / tau)): t such that
 * t - tau (1 - exp(-t / tau)) = steady. Steady: labour at full speed (size / v0), >= 0, person-s;
 * delay: tau, > 0, person-s. Newton's method, relative error below 1e-12. Source: Gutowski, Hoult,
 * Dillon, Neoh, Muter, Kim, Tse, Development of a theoretical cost model for advanced composite
 * fabrication, Composites Manufacturing 5(4), 1994. */
mw_trade_status mw_trade_labour_slow_start(double steady_s, double delay_s,
                                           double *out) MW_MUST_USE;

/* The hyperbola near it: sqrt(steady^2 + 2 delay steady). Never above the exact labour and at most
 * 6.71 % below it. Inputs and source as above. */
mw_trade_status mw_trade_labour_hyperbola(double steady_s, double delay_s, double *out) MW_MUST_USE;

/* Laws of hand lay-up published for preimpregnated aircraft parts. */
typedef enum mw_labour_law {
    MW_LAW_CLOTH,     /* laying woven cloth: layers, area of each */
    MW_LAW_TAPE_3IN,  /* laying tape 3 in wide by hand: strips, length of each */
    MW_LAW_TAPE_12IN, /* laying tape 12 in wide with an aid: strips, length of each */
    MW_LAW_PATTERN,   /* placing a pattern and taping it down: area */
    MW_LAW_COMPACT,   /* pressing layers together under a throw-away bag: area */
    MW_LAW_CLEAN,     /* cleaning a lay-up tool: area */
    MW_LAW_RELEASE,   /* putting on release: area */
    MW_LAW_TRIM,      /* trimming: edge */
    MW_LAW_COUNT
} mw_labour_law;

/* Labour by such a law, person-s: hours = set-up + layers * factor * size^exponent with size in in
 * or in2. Layers (or strips) 1 to 10000, 1 for laws that have none; size > 0, m or m2, at most
 * 1000 m or 1000 m2 (else MW_TRADE_OUT_OF_RANGE); for which sizes the authors measured is not known
 * to us. An alternative to a shop's own rates, not a default: the laws are of 1976 and for
 * preimpregnated material. Constants from memory, those of cloth, the 3 in tape and the pattern
 * seen in a second document. Source: Northrop Corporation, Advanced Composite Cost Estimating
 * Manual, AFFDL-TR-76-87, volume I, 1976, equations of hand lay-up. */
mw_trade_status mw_trade_labour_law(mw_labour_law law, double layers, double size,
                                    double *out) MW_MUST_USE;

/* How many times as long a shape takes as a flat one, by class: 1 flat or gentle (1), 2 gently curved
 * both ways (1.15), 3 corners with wide fillets (1.3), 4 tight corners or deep (1.6), 5 tight, deep
 * and hard to reach (2); in between in proportion. Class 1 to 5 (else MW_TRADE_OUT_OF_RANGE).
 * Source: 1.3 to 2 for tight shapes is common practice, no source; the steps are ours. */
mw_trade_status mw_trade_shape_factor(double shape_class, double *out) MW_MUST_USE;

/* The same from how far a strip of cloth is bent on its way: 1 + angle / pi. Enclosed angle (length /
 * radius, added up over the bends), rad, 0 to 2 pi (else MW_TRADE_OUT_OF_RANGE). Source: that labour
 * grows with the enclosed angle is in Gutowski et al. 1994; the slope is common practice, no
 * source. */
mw_trade_status mw_trade_bend_factor(double angle_rad, double *out) MW_MUST_USE;

/* Basic time of an observation: observed * rating (1: the standard pace, 0.5 to 1.5, else
 * MW_TRADE_OUT_OF_RANGE); observed >= 0, s. Source: Kanawaty (ed.), Introduction to Work Study, ILO,
 * 4th edition, 1992, rating. */
mw_trade_status mw_trade_basic_time(double observed_s, double rating, double *out) MW_MUST_USE;

/* Standard time: basic * (1 + allowance for rest and interruptions, 0 to 1, else
 * MW_TRADE_OUT_OF_RANGE); basic >= 0, s. Source: as above, allowances. */
mw_trade_status mw_trade_standard_time(double basic_s, double allowance, double *out) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
