/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Step functions in sorted arrays: finding is a binary search, taking moves what lies behind. */
#include "profile.h"

#include <assert.h>
#include <string.h>

#include "moment.h"

void plan_profile_clear(plan_profile *profile)
{
    profile->at_s[0] = PLAN_ANY_TIME;
    profile->used[0] = 0;
    profile->count = 1;
    profile->recent = 0;
}

/* Returns the last step that begins at or before `at_s`, among those from `low` to before `high`. */
static uint32_t find_between(const plan_profile *profile, double at_s, uint32_t low, uint32_t high)
{
    while (high - low > 1) {
        uint32_t middle = low + (high - low) / 2;
        if (profile->at_s[middle] <= at_s) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return low;
}

/* Steps looked at one by one around the one that was found last. */
#define NEARBY 6u

/* Returns the last step that begins at or before `at_s`. */
static uint32_t find_step(const plan_profile *profile, double at_s)
{
    const double *begins_s = profile->at_s;
    uint32_t count = profile->count;
    uint32_t step = profile->recent < count ? profile->recent : count - 1;
    if (begins_s[step] <= at_s) {
        for (uint32_t i = 0; i < NEARBY; i++, step++) {
            if (step + 1 == count || begins_s[step + 1] > at_s) {
                return step;
            }
        }
        return find_between(profile, at_s, step, count);
    }
    for (uint32_t i = 0; i < NEARBY && step > 0; i++) { /* the first begins before all time */
        if (begins_s[--step] <= at_s) {
            return step;
        }
    }
    return find_between(profile, at_s, 0, step);
}

/* Makes a step begin at `at_s` and returns it; behind the last step for INFINITY. */
static uint32_t split_step(plan_profile *profile, double at_s)
{
    if (at_s == PLAN_NEVER) {
        return profile->count;
    }
    uint32_t step = find_step(profile, at_s);
    if (profile->at_s[step] == at_s) {
        return step;
    }
    assert(profile->count < profile->room);
    uint32_t after = step + 1;
    size_t moved = profile->count - after;
    memmove(profile->at_s + after + 1, profile->at_s + after, moved * sizeof *profile->at_s);
    memmove(profile->used + after + 1, profile->used + after, moved * sizeof *profile->used);
    profile->at_s[after] = at_s;
    profile->used[after] = profile->used[step];
    profile->count++;
    return after;
}

/* Joins a step to the one before it when the same is taken in both. */
static void join_step(plan_profile *profile, uint32_t step)
{
    if (step == 0 || step >= profile->count || profile->used[step] != profile->used[step - 1]) {
        return;
    }
    size_t moved = profile->count - step - 1;
    memmove(profile->at_s + step, profile->at_s + step + 1, moved * sizeof *profile->at_s);
    memmove(profile->used + step, profile->used + step + 1, moved * sizeof *profile->used);
    profile->count--;
}

void plan_profile_take(plan_profile *profile, double from_s, double until_s, uint64_t amount)
{
    if (!(from_s < until_s) || amount == 0) {
        return;
    }
    uint32_t first = split_step(profile, from_s);
    profile->recent = first;
    uint32_t end = split_step(profile, until_s);
    for (uint32_t step = first; step < end; step++) {
        profile->used[step] += amount;
    }
    join_step(profile, end);
    join_step(profile, first);
}

void plan_profile_give(plan_profile *profile, double from_s, double until_s, uint64_t amount)
{
    /* Unsigned: taking the complement takes back. */
    plan_profile_take(profile, from_s, until_s, 0 - amount);
}

double plan_profile_free(plan_profile *profile, double from_s, double until_s, uint64_t amount)
{
    if (!(from_s < until_s)) {
        return from_s;
    }
    uint64_t most = profile->capacity - amount;
    uint32_t count = profile->count;
    uint32_t step = find_step(profile, from_s);
    profile->recent = step;
    uint32_t behind = 0; /* the step behind the last one in the way */
    do {
        behind = profile->used[step] > most ? step + 1 : behind;
        step++;
    } while (step < count && profile->at_s[step] < until_s);
    if (behind == 0) {
        return from_s;
    }
    while (behind < count && profile->used[behind] > most) {
        behind++;
    }
    return behind < count ? profile->at_s[behind] : PLAN_NEVER;
}

double plan_profile_free_before(const plan_profile *profile, double from_s, double until_s,
                                uint64_t amount)
{
    if (!(from_s < until_s)) {
        return until_s;
    }
    uint64_t most = profile->capacity - amount;
    uint32_t step = find_step(profile, from_s);
    while (step < profile->count && profile->at_s[step] < until_s && profile->used[step] <= most) {
        step++;
    }
    if (step == profile->count || profile->at_s[step] >= until_s) {
        return until_s;
    }
    while (step > 0 && profile->used[step - 1] > most) {
        step--;
    }
    return profile->at_s[step];
}
