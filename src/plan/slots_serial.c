/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Serial generation in whole slots with packed counts: the four resources of a word are compared by
 * one subtraction. */
#include "slots.h"

mw_status slots_profile_make(slots_profile *profile, const slots_net *net, mw_arena *arena)
{
    /* No start lies behind the horizon, no end behind twice it. */
    uint64_t slots = (uint64_t)net->horizon * 2 + 1;
    *profile = (slots_profile){0};
    if (slots * net->words > SIZE_MAX / 16) {
        return MW_NO_MEMORY;
    }
    profile->free = mw_arena_get(arena, (size_t)slots * net->words * sizeof *profile->free);
    if (profile->free == NULL) {
        return MW_NO_MEMORY;
    }
    for (uint64_t t = 0; t < slots; t++) {
        for (uint32_t w = 0; w < net->words; w++) {
            profile->free[t * net->words + w] = net->capacities[w];
        }
    }
    return MW_OK;
}

/* Returns the first slot at or after `at` from which `demand` is free for `length` slots. The window
 * is looked through from its last slot backwards: where something is in the way the next window
 * starts behind it, and what was seen behind that needs no second look. */
static int32_t find_free(const uint64_t *free, uint64_t demand, int32_t at, int32_t length)
{
    int32_t seen = at; /* the first slot of the window not yet known to be free */
    for (int32_t slot = at + length - 1; slot >= seen; slot--) {
        if (((free[slot] - demand) & SLOTS_GUARDS) != SLOTS_GUARDS) {
            seen = at + length;
            at = slot + 1;
            slot = at + length;
        }
    }
    return at;
}

static bool fits_wide(const slots_net *net, const uint64_t *free, const uint64_t *demand)
{
    uint64_t guards = SLOTS_GUARDS;
    for (uint32_t w = 0; w < net->words; w++) {
        guards &= free[w] - demand[w];
    }
    return guards == SLOTS_GUARDS;
}

/* The same for more than four resources. */
static int32_t find_free_wide(const slots_net *net, const uint64_t *free, uint32_t activity,
                              int32_t at)
{
    const uint64_t *demand = net->demands + (size_t)activity * net->words;
    int32_t length = net->durations[activity];
    int32_t seen = at;
    for (int32_t slot = at + length - 1; slot >= seen; slot--) {
        if (!fits_wide(net, free + (size_t)slot * net->words, demand)) {
            seen = at + length;
            at = slot + 1;
            slot = at + length;
        }
    }
    return at;
}

void slots_profile_clear(slots_profile *profile, const slots_net *net)
{
    size_t slots = (size_t)profile->used;
    profile->used = 0;
    if (net->words == 1) {
        uint64_t all = net->capacities[0];
        for (size_t slot = 0; slot < slots; slot++) {
            profile->free[slot] = all;
        }
        return;
    }
    for (size_t slot = 0; slot < slots; slot++) {
        for (uint32_t w = 0; w < net->words; w++) {
            profile->free[slot * net->words + w] = net->capacities[w];
        }
    }
}

bool slots_profile_fits(const slots_profile *profile, const slots_net *net, int32_t slot,
                        uint32_t activity)
{
    return fits_wide(net, profile->free + (size_t)slot * net->words,
                     net->demands + (size_t)activity * net->words);
}

void slots_profile_take(slots_profile *profile, const slots_net *net, int32_t at, uint32_t activity)
{
    const uint64_t *demand = net->demands + (size_t)activity * net->words;
    uint64_t *free = profile->free + (size_t)at * net->words;
    for (int32_t i = 0; i < net->durations[activity]; i++) {
        for (uint32_t w = 0; w < net->words; w++) {
            free[w] -= demand[w];
        }
        free += net->words;
    }
}

static int32_t earliest_start(const slots_side *side, uint32_t activity, const int32_t *starts)
{
    int32_t at = 0;
    for (uint32_t e = side->first[activity]; e < side->first[activity + 1]; e++) {
        int32_t bound = starts[side->edges[e].other] + side->edges[e].lag;
        at = bound > at ? bound : at;
    }
    return at;
}

/* Places one activity; returns its start. */
static int32_t place(const slots_run *run, uint32_t activity)
{
    const slots_net *net = run->net;
    uint64_t *free = run->profile->free;
    int32_t at = earliest_start(run->side, activity, run->starts);
    if (net->words > 1) {
        at = find_free_wide(net, free, activity, at);
        slots_profile_take(run->profile, net, at, activity);
        return at;
    }
    uint64_t demand = net->demands[activity];
    int32_t length = net->durations[activity];
    at = find_free(free, demand, at, length);
    for (int32_t slot = at; slot < at + length; slot++) {
        free[slot] -= demand;
    }
    return at;
}

int32_t slots_serial(const slots_run *run, uint64_t *placed)
{
    const slots_net *net = run->net;
    int32_t last = 0;
    bool late = false;
    uint32_t i = 0;
    slots_profile_clear(run->profile, net);
    while (i < net->count && !late) {
        uint32_t activity = run->list[i++];
        int32_t at = place(run, activity);
        int32_t end = at + net->durations[activity];
        run->starts[activity] = at;
        last = end > last ? end : last;
        late = run->side->tail[activity] > run->limit - at;
    }
    *placed += i;
    run->profile->used = last;
    return late ? INT32_MAX : last;
}
