/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much must come after the start of each activity: what priority rules go by. */
#ifndef PLAN_TAILS_H
#define PLAN_TAILS_H

#include "earliest.h"

/* By activity: the clock time from its start to the last end of all that must follow it, as long as
 * it took in the earliest plan. No bound: nights fall elsewhere in another plan. Where the earliest
 * plan has no end, 0. */
void plan_tails(const plan_earliest *e, double *tails_s);

#endif
