/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which facts were in dead ends of late: a heap of scores that fade.
 * Source: Moskewicz et al., Chaff, DAC 2001 (variable state independent decaying sum). */
#include "learn.h"

#define FADE       0.95
#define SCORE_MOST 1e100

static void put(learn *l, uint32_t place, uint32_t index)
{
    l->heap[place] = index;
    l->heap_place[index] = place;
}

static void sift_up(learn *l, uint32_t place)
{
    uint32_t index = l->heap[place];
    while (place > 0) {
        uint32_t above = (place - 1) / 2;
        if (l->scores[l->heap[above]] >= l->scores[index]) {
            break;
        }
        put(l, place, l->heap[above]);
        place = above;
    }
    put(l, place, index);
}

static void sift_down(learn *l, uint32_t place)
{
    uint32_t index = l->heap[place];
    for (;;) {
        uint32_t below = place * 2 + 1;
        if (below >= l->heap_count) {
            break;
        }
        if (below + 1 < l->heap_count &&
            l->scores[l->heap[below + 1]] > l->scores[l->heap[below]]) {
            below++;
        }
        if (l->scores[l->heap[below]] <= l->scores[index]) {
            break;
        }
        put(l, place, l->heap[below]);
        place = below;
    }
    put(l, place, index);
}

void learn_offer(learn *l, uint32_t index)
{
    if (l->scores[index] > 0.0 && l->heap_place[index] == MW_NONE) {
        put(l, l->heap_count++, index);
        sift_up(l, l->heap_count - 1);
    }
}

void learn_bump(learn *l, learn_fact fact)
{
    int32_t value = fact.key % 2 == 0 ? fact.value : 1 - fact.value;
    uint32_t index = fact.key / 2 * (uint32_t)l->room + (uint32_t)value;
    l->scores[index] += l->bump;
    if (l->scores[index] > SCORE_MOST) {
        for (size_t i = 0; i < (size_t)l->count * (size_t)l->room; i++) {
            l->scores[i] /= SCORE_MOST;
        }
        l->bump /= SCORE_MOST;
    }
    if (l->heap_place[index] == MW_NONE) {
        learn_offer(l, index);
    } else {
        sift_up(l, l->heap_place[index]);
    }
}

void learn_cool(learn *l)
{
    l->bump /= FADE;
}

learn_fact learn_pick(learn *l)
{
    while (l->heap_count > 0) {
        uint32_t index = l->heap[0];
        l->heap_place[index] = MW_NONE;
        if (--l->heap_count > 0) {
            put(l, 0, l->heap[l->heap_count]);
            sift_down(l, 0);
        }
        uint32_t activity = index / (uint32_t)l->room;
        int32_t value = (int32_t)(index % (uint32_t)l->room);
        learn_fact fact = {.key = activity * 2, .value = value};
        if (!learn_holds(l, fact) && !learn_excluded(l, fact)) {
            bool late = l->wish != NULL && activity + 1 < l->count && l->wish[activity] >= value;
            return late ? fact : learn_opposite(fact);
        }
    }
    return (learn_fact){.key = MW_NONE};
}
