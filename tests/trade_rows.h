/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows of check values for methods of the trade: each names its source, how sure it is, and the
 * tolerance that goes with it. Confirmed: the number was read in the publication itself or in a page
 * that gives it; second hand: read where another document quotes it; derived: arithmetic on such
 * numbers or on exact definitions; memory: from memory. */
#ifndef TESTS_TRADE_ROWS_H
#define TESTS_TRADE_ROWS_H

#include <math.h>

#include "mouldwright/trade.h"
#include "support.h"

typedef enum trade_surety { CONFIRMED, SECOND_HAND, DERIVED, MEMORY } trade_surety;

/* The arguments of a method, in the order in which the row's function takes them. */
typedef mw_trade_status (*trade_method)(const double *in, double *out);

typedef struct trade_row {
    const char *name;
    trade_method method;
    double in[8];
    double want;
    double absolute; /* tolerance; or */
    double relative;
    trade_surety surety;
    const char *source;
} trade_row;

static inline void check_trade_row(void **state)
{
    const trade_row *row = *state;
    double got = (double)NAN;
    assert_int_equal(row->method(row->in, &got), MW_TRADE_OK);
    assert_true(row->source[0] != '\0');
    if (row->relative > 0.0) {
        assert_near(got, row->want, row->relative);
    } else {
        assert_close(got, row->want, row->absolute);
    }
}

/* Calls that must be refused, and must leave the result alone. */
typedef struct trade_refusal {
    const char *name;
    trade_method method;
    double in[8];
    mw_trade_status want;
} trade_refusal;

static inline void check_trade_refusal(void **state)
{
    const trade_refusal *row = *state;
    double got = 123.0;
    assert_int_equal(row->method(row->in, &got), row->want);
    assert_true(got == 123.0);
}

#endif
