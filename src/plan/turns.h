/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The turns in which single activities are placed. */
#ifndef PLAN_TURNS_H
#define PLAN_TURNS_H

#include "network.h"

/* Returns all activities, by `order` (least first, ties by index), each behind those that it must follow; NULL when there
 * is no memory. Least lags form no cycle. */
const uint32_t *plan_turns_make(const plan_network *network, const double *order, mw_arena *arena);

#endif
