/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much of a resource is taken when: a step function of time. */
#ifndef PLAN_PROFILE_H
#define PLAN_PROFILE_H

#include <stdint.h>

/* From at_s[i] until at_s[i + 1] (or for ever) used[i] is taken; at_s[0] is -INFINITY; neighbours
 * differ. So the same holds give the same profile, in whatever order they came and whatever went in
 * between. The arrays have room for all steps that there can be: two for each stretch of time that
 * is taken, and one more. */
typedef struct plan_profile {
    double *at_s;
    uint64_t *used;
    uint32_t count;
    uint32_t room; /* steps that the arrays hold */
    uint64_t capacity;
    uint32_t recent; /* the step that was found last: those that ask ask nearby */
} plan_profile;

/* Makes the profile empty: one step, nothing taken. */
void plan_profile_clear(plan_profile *profile);

/* Takes `amount` from `from_s` until `until_s`; nothing when that is not later. */
void plan_profile_take(plan_profile *profile, double from_s, double until_s, uint64_t amount);

/* Gives back what was taken with the same arguments. */
void plan_profile_give(plan_profile *profile, double from_s, double until_s, uint64_t amount);

/* Returns `from_s` when `amount` (<= capacity) is free from `from_s` until `until_s`; else the
 * first moment behind the last stretch in the way at which it is free: INFINITY if never. */
double plan_profile_free(plan_profile *profile, double from_s, double until_s, uint64_t amount);

/* The same looking back: returns `until_s`, or the beginning of the first stretch in the way, or of
 * what is taken without a gap before it: -INFINITY if `amount` was never free before. */
double plan_profile_free_before(const plan_profile *profile, double from_s, double until_s,
                                uint64_t amount);

#endif
