/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Crossover and mutation of lists. */
#include "lists.h"

#include <string.h>

/* Found by trying on open sets. */
#define MIDDLE_LEAST 0.25 /* of the list that comes from the father */
#define MIDDLE_MOST  0.75
#define SHIFTS       2.0 /* items of a child moved, on average */

enum { SHIFT_MOST = 12 /* places */ };

static void take(const plan_list_breeding *b, uint32_t *count, uint32_t item)
{
    b->chosen[item] = true;
    b->list[(*count)++] = item;
}

void plan_list_cross(const plan_list_breeding *b, const uint32_t *father, const uint32_t *mother)
{
    double share = MIDDLE_LEAST + (MIDDLE_MOST - MIDDLE_LEAST) * plan_random_part(b->random);
    uint32_t middle = (uint32_t)(share * b->count);
    uint32_t head = plan_random_below(b->random, b->count - middle + 1);
    uint32_t known = 0;
    memset(b->chosen, 0, b->count * sizeof *b->chosen);
    while (known < head) {
        take(b, &known, mother[known]);
    }
    for (uint32_t i = 0; known < head + middle; i++) {
        if (!b->chosen[father[i]]) {
            take(b, &known, father[i]);
        }
    }
    for (uint32_t i = 0; i < b->count; i++) {
        if (!b->chosen[mother[i]]) {
            take(b, &known, mother[i]);
        }
    }
}

static void shift(const plan_list_breeding *b, uint32_t place)
{
    uint32_t *list = b->list;
    uint32_t item = list[place];
    int32_t by = (int32_t)plan_random_below(b->random, 2 * SHIFT_MOST + 1) - SHIFT_MOST;
    while (by < 0 && place > 0 && !b->must_follow(b->context, item, list[place - 1])) {
        list[place] = list[place - 1];
        place--;
        by++;
    }
    while (by > 0 && place + 1 < b->count && !b->must_follow(b->context, list[place + 1], item)) {
        list[place] = list[place + 1];
        place++;
        by--;
    }
    list[place] = item;
}

void plan_list_mutate(const plan_list_breeding *b)
{
    for (uint32_t place = 0; place < b->count; place++) {
        if (plan_random_part(b->random) * b->count < SHIFTS) {
            shift(b, place);
        }
    }
}
