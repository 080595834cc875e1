/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Many schedules in one order: the network is made ready once, then amounts change and all is placed
 * anew. For samples of what may happen, where the order of work in the shop is kept. */
#ifndef MOULDWRIGHT_PLAN_ORDER_H
#define MOULDWRIGHT_PLAN_ORDER_H

#include "mouldwright/plan.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Makes a problem ready to be placed in an order: by activity, those with the least number first,
 * as far as lags allow (activities joined by windows go together, by the least of their numbers);
 * the starts of a plan give the order of that plan. NULL: the order of the activities. The problem
 * is borrowed until the last mw_plan_again(), `order` for this call only. MW_FAILED, MW_NO_MEMORY:
 * as mw_plan_first(). */
mw_status mw_plan_keep_order(mw_plan *plan, const mw_plan_problem *problem,
                             const double *order) MW_MUST_USE;

/* How a window is met. */
typedef enum mw_plan_foresight {
    MW_PLAN_FORESEE, /* work before it is held back so that it is kept, as mw_plan_first() does */
    /* Each activity has its turn by its own number and goes on at its earliest; the windows that this
     * misses count as missed. In the order of the starts of a plan none starts later than there as long as
     * amounts are no greater. */
    MW_PLAN_IN_TURN
} mw_plan_foresight;

/* Places all activities in the order that was kept, with what the problem says by now: work_s and
 * earliest_s of activities, amount_s of lags and start_s may have changed (within what the headers
 * allow: this is not checked again), the rest has not. Takes no memory. The result is read by
 * mw_plan_slots() and mw_plan_missed(). Any other planning with the same workspace ends this. */
void mw_plan_again(mw_plan *plan, mw_plan_foresight foresight);

/* As mw_calendar_advance() on a calendar of the problem whose order is kept, but for rounding: the days that placing has
 * opened out are used again. */
double mw_plan_advance(mw_plan *plan, uint32_t calendar, double from_s, double amount_s);

#ifdef __cplusplus
}
#endif

#endif
