/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Serial schedule generation, block by block.
 *
 * A block is placed with each member at its earliest. Where a window is then missed, the activity
 * at its first end is told to wait: not to start (or end) before the first moment from which the
 * other end, where it stands now, is inside the window. All members are placed anew with what they
 * have been told, which may miss further windows, until all are kept. No member moves further than
 * its windows force it to, so this is the earliest placement of the block in this order that keeps
 * them (as long as its members do not take the same resource from each other). Where a member has
 * had to move by more than 30 days, or too many tries were made, the block goes back to where it
 * was first.
 * Source: Franck, Neumann and Schwindt, Truncated branch-and-bound, schedule-construction, and
 * schedule-improvement procedures for resource-constrained project scheduling, OR Spektrum 23, 2001
 * (the unscheduling step). */
#include "place.h"

#define FURTHEST_S     (30.0 * MW_DAY_S)
#define WINDOW_SLACK_S 0.01

enum {
    FREE_TRIES = 48, /* after so many an activity that is told to wait waits for the next opening */
    BASE_TRIES = 128, /* after so many, and this many a member, a block gives up */
    MEMBER_TRIES = 2
};

typedef enum verdict { KEPT, TOLD, HOPELESS } verdict;

typedef struct range {
    const uint32_t *members;
    uint32_t count;
} range;

static range members_of(const plan_network *network, uint32_t block)
{
    uint32_t first = network->block_first[block];
    return (range){.members = network->order + first,
                   .count = network->block_first[block + 1] - first};
}

static void place_members(plan_state *state, range r)
{
    for (uint32_t i = 0; i < r.count; i++) {
        plan_place(state, r.members[i]);
    }
}

static void unplace_members(plan_state *state, range r)
{
    for (uint32_t i = 0; i < r.count; i++) {
        plan_unplace(state, r.members[i]);
    }
}

static double point_of(const mw_plan_slot *slot, bool end)
{
    return end ? slot->end_s : slot->start_s;
}

double plan_window_excess(const plan_state *state, uint32_t window)
{
    const mw_plan_problem *problem = state->network->problem;
    const mw_plan_lag *lag = &problem->lags[window];
    double from_s = point_of(&state->slots[lag->from], lag->from_end);
    double to_s = point_of(&state->slots[lag->to], lag->to_end);
    if (!(from_s < to_s)) {
        return 0.0;
    }
    if (isinf(to_s)) {
        return PLAN_NEVER;
    }
    double excess_s = plan_amount(&state->clocks[lag->calendar], from_s, to_s) - lag->amount_s;
    return excess_s > WINDOW_SLACK_S ? excess_s : 0.0;
}

/* The next moment worth a try for an activity that small steps do not help: its next opening, at
 * most a day on. */
static double next_opening(const plan_state *state, uint32_t activity, double from_s)
{
    plan_clock *clock = &state->clocks[state->network->problem->activities[activity].calendar];
    double open_s = plan_open(clock, plan_close(clock, from_s));
    return plan_moment(fmin(open_s, from_s + MW_DAY_S));
}

/* Tells the first end of a window that is exceeded to wait. */
static verdict tell_to_wait(plan_state *state, uint32_t window, double excess_s, bool in_leaps)
{
    const mw_plan_problem *problem = state->network->problem;
    const mw_plan_lag *lag = &problem->lags[window];
    double from_s = point_of(&state->slots[lag->from], lag->from_end);
    double first_s = point_of(&state->earliest[lag->from], lag->from_end);
    double until_s = plan_advance(&state->clocks[lag->calendar], from_s, excess_s);
    if (in_leaps || !(until_s > from_s)) {
        until_s = fmax(until_s, next_opening(state, lag->from, from_s));
    }
    if (!(until_s - first_s <= FURTHEST_S)) {
        return HOPELESS;
    }
    plan_release *release = &state->releases[lag->from];
    if (lag->from_end && until_s > release->end_s) {
        release->end_s = until_s;
        release->end_window = window;
    } else if (!lag->from_end && until_s > release->start_s) {
        release->start_s = until_s;
        release->start_window = window;
    }
    return TOLD;
}

/* Looks at all windows of a block. One whose second end is never done cannot be kept by waiting. */
static verdict check_windows(plan_state *state, uint32_t block, bool in_leaps)
{
    const plan_lists *windows = &state->network->windows;
    verdict result = KEPT;
    for (uint32_t i = windows->first[block]; i < windows->first[block + 1]; i++) {
        double excess_s = plan_window_excess(state, windows->items[i]);
        if (excess_s > 0.0 && isfinite(excess_s)) {
            result = tell_to_wait(state, windows->items[i], excess_s, in_leaps);
            if (result == HOPELESS) {
                break;
            }
        }
    }
    return result;
}

static void place_block(plan_state *state, uint32_t block)
{
    const plan_lists *windows = &state->network->windows;
    range r = members_of(state->network, block);
    place_members(state, r);
    if (windows->first[block] == windows->first[block + 1]) {
        return;
    }
    for (uint32_t i = 0; i < r.count; i++) {
        state->earliest[r.members[i]] = state->slots[r.members[i]];
    }
    uint64_t most = BASE_TRIES + (uint64_t)r.count * MEMBER_TRIES;
    verdict v = check_windows(state, block, false);
    for (uint64_t tries = 1; v == TOLD; tries++) {
        unplace_members(state, r);
        place_members(state, r);
        v = tries >= most ? HOPELESS : check_windows(state, block, tries >= FREE_TRIES);
    }
    if (v == HOPELESS) {
        unplace_members(state, r);
        for (uint32_t i = 0; i < r.count; i++) {
            plan_release_clear(&state->releases[r.members[i]]);
        }
        place_members(state, r);
    }
}

/* The rework of all windows that an activity has missed where it stands. */
static double rework_of(const plan_state *state, uint32_t activity)
{
    const plan_network *network = state->network;
    const plan_lists *beside = &network->beside;
    double rework_s = 0.0;
    for (uint32_t i = beside->first[activity]; i < beside->first[activity + 1]; i++) {
        const uint32_t index = beside->items[i] / 2;
        const mw_plan_lag *lag = &network->problem->lags[index];
        bool late = lag->to == activity && lag->from != activity && lag->rework_s > 0.0;
        rework_s += late && plan_window_excess(state, index) > 0.0 ? lag->rework_s : 0.0;
    }
    return rework_s;
}

/* Rework takes time, which may miss further windows. */
static void place_reworked(plan_state *state, uint32_t activity)
{
    const plan_lists *beside = &state->network->beside;
    uint32_t tries = beside->first[activity + 1] - beside->first[activity];
    double more_s = rework_of(state, activity);
    for (; tries > 0 && more_s > state->more_s[activity]; tries--) {
        plan_unplace(state, activity);
        state->more_s[activity] = more_s;
        plan_place(state, activity);
        more_s = rework_of(state, activity);
    }
}

static void place_in_turn(plan_state *state)
{
    const uint32_t count = state->network->problem->activity_count;
    for (uint32_t i = 0; i < count; i++) {
        const uint32_t activity = state->turns[i];
        plan_place(state, activity);
        if (state->more_s != NULL) {
            place_reworked(state, activity);
        }
    }
}

void plan_serial(plan_state *state)
{
    if (state->in_turn) {
        place_in_turn(state);
        return;
    }
    for (uint32_t block = 0; block < state->network->block_count; block++) {
        place_block(state, state->blocks == NULL ? block : state->blocks[block]);
    }
}
