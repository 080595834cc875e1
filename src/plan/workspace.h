/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands behind mw_plan. */
#ifndef PLAN_WORKSPACE_H
#define PLAN_WORKSPACE_H

#include "network.h"
#include "place.h"

struct mw_plan {
    mw_arena *scratch;
    mw_arena_mark empty;
    void *slots; /* mw_plan_slot */
    size_t slot_room;
    void *missed; /* uint32_t */
    size_t missed_room;
    uint32_t missed_count;
    plan_network kept; /* these two only between mw_plan_keep_order() and the next planning */
    plan_state kept_state;
};

/* Makes network and state for a problem in the scratch arena, and room for its result; the slots of
 * the state are the plan's own. The plan of before is lost only when this succeeds. */
mw_status plan_prepare(mw_plan *plan, const mw_plan_problem *problem, plan_network *network,
                       plan_state *state) MW_MUST_USE;

/* Lists the windows that the slots of the plan miss. */
void plan_list_missed(mw_plan *plan, const plan_state *state);

#endif
