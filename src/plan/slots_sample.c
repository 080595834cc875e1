/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Random samples by parallel generation. */
#include "slots_sample.h"

#include "network.h"

mw_status slots_maker_make(slots_maker *maker, const slots_net *net, uint64_t seed, mw_arena *arena)
{
    uint32_t count = net->count;
    *maker = (slots_maker){.net = net, .random = {seed}};
    maker->list = plan_take(arena, count, sizeof *maker->list);
    maker->starts = plan_take(arena, count, sizeof *maker->starts);
    maker->ready = plan_take(arena, count, sizeof *maker->ready);
    maker->fitting = plan_take(arena, count, sizeof *maker->fitting);
    maker->waiting = plan_take(arena, count, sizeof *maker->waiting);
    maker->weights = plan_take(arena, count, sizeof *maker->weights);
    if (maker->list == NULL || maker->starts == NULL || maker->ready == NULL ||
        maker->fitting == NULL || maker->waiting == NULL || maker->weights == NULL) {
        return MW_NO_MEMORY;
    }
    return slots_profile_make(&maker->profile, net, arena);
}

int32_t slots_generate(slots_maker *maker, int side, int32_t limit)
{
    return slots_serial(&(slots_run){.net = maker->net,
                                     .side = &maker->net->sides[side],
                                     .profile = &maker->profile,
                                     .list = maker->list,
                                     .starts = maker->starts,
                                     .limit = limit},
                        &maker->placed);
}

typedef struct sampling {
    slots_maker *maker;
    const slots_side *side;  /* what each must follow */
    const slots_side *other; /* what must follow each */
    uint32_t ready_count, placed_count;
    int32_t slot, last;
} sampling;

static void begin(sampling *s)
{
    slots_maker *maker = s->maker;
    slots_profile_clear(&maker->profile, maker->net);
    for (uint32_t a = 0; a < maker->net->count; a++) {
        maker->starts[a] = 0;
        maker->waiting[a] = s->side->first[a + 1] - s->side->first[a];
        if (maker->waiting[a] == 0) {
            maker->ready[s->ready_count++] = a;
        }
    }
}

/* Lists what is ready and fits now; returns how many. `*next` becomes the slot in which the next
 * activity gets ready, if that is sooner. */
static uint32_t list_fitting(const sampling *s, int32_t *next)
{
    slots_maker *maker = s->maker;
    uint32_t count = 0;
    for (uint32_t i = 0; i < s->ready_count; i++) {
        uint32_t a = maker->ready[i];
        if (maker->starts[a] > s->slot) {
            *next = maker->starts[a] < *next ? maker->starts[a] : *next;
        } else if (maker->net->durations[a] == 0 ||
                   slots_profile_fits(&maker->profile, maker->net, s->slot, a)) {
            maker->fitting[count++] = i;
        }
    }
    return count;
}

/* Chooses one of those that fit: the longer the path behind it, the likelier. */
static uint32_t choose(const sampling *s, uint32_t count)
{
    slots_maker *maker = s->maker;
    int32_t least = INT32_MAX;
    for (uint32_t i = 0; i < count; i++) {
        int32_t tail = s->side->tail[maker->ready[maker->fitting[i]]];
        least = tail < least ? tail : least;
    }
    double sum = 0.0;
    for (uint32_t i = 0; i < count; i++) {
        double regret = s->side->tail[maker->ready[maker->fitting[i]]] - least + 1;
        sum += regret;
        maker->weights[i] = sum;
    }
    double at = plan_random_part(&maker->random) * sum;
    uint32_t pick = 0;
    while (pick + 1 < count && maker->weights[pick] <= at) {
        pick++;
    }
    return maker->fitting[pick];
}

static void place(sampling *s, uint32_t at)
{
    slots_maker *maker = s->maker;
    uint32_t activity = maker->ready[at];
    maker->ready[at] = maker->ready[--s->ready_count];
    maker->starts[activity] = s->slot;
    maker->list[s->placed_count++] = activity;
    slots_profile_take(&maker->profile, maker->net, s->slot, activity);
    int32_t end = s->slot + maker->net->durations[activity];
    s->last = end > s->last ? end : s->last;
    for (uint32_t e = s->other->first[activity]; e < s->other->first[activity + 1]; e++) {
        uint32_t next = s->other->edges[e].other;
        /* The edge of the other side, turned back to this one. */
        int32_t lag =
            s->other->edges[e].lag + maker->net->durations[activity] - maker->net->durations[next];
        int32_t from = s->slot + lag;
        maker->starts[next] = from > maker->starts[next] ? from : maker->starts[next];
        if (--maker->waiting[next] == 0) {
            maker->ready[s->ready_count++] = next;
        }
    }
}

/* Returns the next slot in which something ends. */
static int32_t next_end(const sampling *s)
{
    const slots_maker *maker = s->maker;
    int32_t next = INT32_MAX;
    for (uint32_t i = 0; i < s->placed_count; i++) {
        uint32_t a = maker->list[i];
        int32_t end = maker->starts[a] + maker->net->durations[a];
        next = end > s->slot && end < next ? end : next;
    }
    return next;
}

int32_t slots_sample(slots_maker *maker, int side)
{
    sampling s = {
        .maker = maker, .side = &maker->net->sides[side], .other = &maker->net->sides[!side]};
    begin(&s);
    while (s.placed_count < maker->net->count) {
        int32_t next = INT32_MAX;
        uint32_t count = list_fitting(&s, &next);
        if (count > 0) {
            place(&s, choose(&s, count));
        } else {
            int32_t end = next_end(&s);
            s.slot = end < next ? end : next;
        }
    }
    maker->profile.used = s.last;
    maker->placed += maker->net->count;
    return s.last;
}
