/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A lower bound of a regular net from the work of its resources. */
#ifndef PLAN_SLOTS_BOUND_H
#define PLAN_SLOTS_BOUND_H

#include "slots.h"

/* Raises `*bound`, a proven lower bound of the last end, as far as the work of resources proves,
 * `most` at most. */
mw_status slots_bound(const slots_net *net, int32_t most, int32_t *bound,
                      mw_arena *arena) MW_MUST_USE;

#endif
