/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Learning over repeats: each doubling of the count takes `rate` times as much.
 *
 * Two forms, which differ: in the unit form (Crawford) the labour of the n-th piece is
 * first * n^b; in the cumulative-average form (Wright) the mean labour of the first n pieces is.
 * b = log2(rate). `first` is the labour of the first piece (>= 0, any unit; results are in it). Rate
 * over 0.5 up to 1 (else MW_TRADE_OUT_OF_RANGE: below, and with growing labour, the forms have no
 * published use that we know of). Pieces count from 1 to 1e9 (else MW_TRADE_OUT_OF_RANGE); whole
 * numbers where a lot `from` ... `to` is meant, both counted. Results go to `out`; with any status
 * but MW_TRADE_OK it keeps what it had.
 * Source of all: Jacobs and Chase, Operations and Supply Chain Management, chapter on learning
 * curves (unit form, exhibits 4A.2 to 4A.4); Boehmke and Freels, learningCurve 1.1.2, 2018 (both
 * forms, lots, midpoint); Wright, Factors affecting the cost of airplanes, 1936. */
#ifndef MOULDWRIGHT_TRADE_LEARNING_H
#define MOULDWRIGHT_TRADE_LEARNING_H

#include "mouldwright/trade.h"

#ifdef __cplusplus
extern "C" {
#endif

/* b = log2(rate), 0 or below. */
mw_trade_status mw_trade_learning_slope(double rate, double *out) MW_MUST_USE;

/* Unit form: labour of the piece `number` (>= 1, need not be whole: a lot's midpoint). */
mw_trade_status mw_trade_unit_piece(double first, double rate, double number,
                                    double *out) MW_MUST_USE;
/* Unit form: labour of a lot: the sum itself, relative error below 1e-12 for lots of any size. */
mw_trade_status mw_trade_unit_lot(double first, double rate, double from, double to,
                                  double *out) MW_MUST_USE;
/* Unit form: the usual approximation of the sum, first / (1 + b) ((to + 1/2)^(1+b) -
 * (from - 1/2)^(1+b)): 0.04 % high for 125 pieces at 85 %. */
mw_trade_status mw_trade_unit_lot_by_integral(double first, double rate, double from, double to,
                                              double *out) MW_MUST_USE;
/* Unit form: the piece of a lot that takes the mean labour of the lot, from the sum itself and from
 * the approximation. At rate 1 every piece does: the middle is given. */
mw_trade_status mw_trade_unit_midpoint(double rate, double from, double to,
                                       double *out) MW_MUST_USE;
mw_trade_status mw_trade_unit_midpoint_by_integral(double rate, double from, double to,
                                                   double *out) MW_MUST_USE;
/* Unit form: labour of the first piece when that of the piece `number` is known. */
mw_trade_status mw_trade_unit_first(double known, double rate, double number,
                                    double *out) MW_MUST_USE;

/* Average form: mean labour of the first `count` pieces. */
mw_trade_status mw_trade_average_mean(double first, double rate, double count,
                                      double *out) MW_MUST_USE;
/* Average form: labour of a lot: first * (to^(1+b) - (from - 1)^(1+b)). One piece: from = to. */
mw_trade_status mw_trade_average_lot(double first, double rate, double from, double to,
                                     double *out) MW_MUST_USE;
/* Average form: labour of the first piece when that of the piece `number` is known. */
mw_trade_status mw_trade_average_first(double known, double rate, double number,
                                       double *out) MW_MUST_USE;

/* Error of the labour of the piece `number` when the rate is taken for `taken` but is `true_rate`:
 * number^(b_true - b_taken) - 1, both forms. */
mw_trade_status mw_trade_learning_error(double taken, double true_rate, double number,
                                        double *out) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
