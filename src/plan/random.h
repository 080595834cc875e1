/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Random numbers whose sequence is the same everywhere.
 * Source: Steele, Lea and Flood, Fast splittable pseudorandom number generators, OOPSLA 2014. */
#ifndef PLAN_RANDOM_H
#define PLAN_RANDOM_H

#include <stdint.h>

typedef struct plan_random {
    uint64_t state;
} plan_random;

static inline uint64_t plan_random_next(plan_random *random)
{
    uint64_t z = random->state += 0x9e3779b97f4a7c15u;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

/* Returns a number from 0 to below - 1; `below` > 0. */
static inline uint32_t plan_random_below(plan_random *random, uint32_t below)
{
    return (uint32_t)(((plan_random_next(random) >> 32) * below) >> 32);
}

/* Returns a number from 0 up to but not including 1. */
static inline double plan_random_part(plan_random *random)
{
    return (double)(plan_random_next(random) >> 11) * (1.0 / 9007199254740992.0);
}

#endif
