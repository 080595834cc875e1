/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Breeding of lists in which each item stands behind those that it must follow. */
#ifndef PLAN_LISTS_H
#define PLAN_LISTS_H

#include <stdbool.h>
#include <stdint.h>

#include "random.h"

typedef struct plan_list_breeding {
    uint32_t *list; /* the child */
    uint32_t count; /* items 0 to count - 1, each once */
    plan_random *random;
    bool *chosen; /* scratch, by item */
    /* Whether an item must stand behind another, known from a relation between just these two. */
    bool (*must_follow)(const void *context, uint32_t after, uint32_t before);
    const void *context;
} plan_list_breeding;

/* Makes a child: the head of the mother's list, then what of the father's is missing in a middle
 * part, then the rest in the mother's order. It is in order if both parents are.
 * Source: Hartmann, Naval Research Logistics 45, 1998 (two-point crossover). */
void plan_list_cross(const plan_list_breeding *breeding, const uint32_t *father,
                     const uint32_t *mother);

/* Moves some items some places, as far as the order allows. */
void plan_list_mutate(const plan_list_breeding *breeding);

#endif
