/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A lower bound from the work of resources: if all is to end by T, the activities must put so much
 * work into some stretch of time, wherever they are placed, that it holds no more.
 * Source: Erschler and Lopez, Energy-based approach for task scheduling under time and resources
 * constraints, 1990; Baptiste, Le Pape and Nuijten, Satisfiability tests and time-bound adjustments
 * for cumulative scheduling problems, Annals of Operations Research 92, 1999. */
#include "slots_bound.h"

#include "network.h"

typedef struct energy {
    const slots_net *net;
    int32_t end;          /* all is to end by then */
    const int32_t *heads; /* by activity: earliest start */
    const int32_t *ends;  /* by activity: latest end if all is to end at 0 */
    int64_t *work;        /* by resource, of one stretch */
    int32_t *points;      /* where stretches may begin, then where they may end */
} energy;

static int32_t least(int32_t a, int32_t b)
{
    return a < b ? a : b;
}

/* The slots of [from, until) in which an activity works, wherever it is placed. */
static int32_t least_overlap(const energy *e, uint32_t activity, int32_t from, int32_t until)
{
    int32_t length = e->net->durations[activity];
    int32_t pushed_left = e->heads[activity] + length - from;
    int32_t pushed_right = until - (e->end + e->ends[activity] - length);
    return least(least(length, until - from), least(pushed_left, pushed_right));
}

static bool is_overfull(const energy *e, int32_t from, int32_t until)
{
    const mw_slots_problem *problem = e->net->problem;
    uint32_t resources = problem->resource_count;
    for (uint32_t r = 0; r < resources; r++) {
        e->work[r] = -(int64_t)problem->capacities[r] * (until - from);
    }
    for (uint32_t a = 0; a < e->net->count; a++) {
        int32_t slots = least_overlap(e, a, from, until);
        for (uint32_t r = 0; slots > 0 && r < resources; r++) {
            e->work[r] += (int64_t)slots * problem->demands[a * resources + r];
        }
    }
    for (uint32_t r = 0; r < resources; r++) {
        if (e->work[r] > 0) {
            return true;
        }
    }
    return false;
}

/* Sorts and drops what is there twice; returns how many are left. */
static uint32_t sort_points(int32_t *points, uint32_t count)
{
    uint32_t kept = 0;
    for (uint32_t i = 0; i < count; i++) {
        int32_t point = points[i];
        uint32_t at = kept;
        while (at > 0 && points[at - 1] > point) {
            at--;
        }
        if (at > 0 && points[at - 1] == point) {
            continue;
        }
        for (uint32_t k = kept; k > at; k--) {
            points[k] = points[k - 1];
        }
        points[at] = point;
        kept++;
    }
    return kept;
}

static bool excludes(energy *e, int32_t end)
{
    uint32_t count = e->net->count;
    int32_t *begins = e->points;
    int32_t *closes = e->points + (size_t)count * 2;
    e->end = end;
    for (uint32_t a = 0; a < count; a++) {
        int32_t length = e->net->durations[a];
        begins[(size_t)a * 2] = e->heads[a];
        begins[(size_t)a * 2 + 1] = end + e->ends[a] - length;
        closes[(size_t)a * 2] = end + e->ends[a];
        closes[(size_t)a * 2 + 1] = e->heads[a] + length;
    }
    uint32_t begin_count = sort_points(begins, count * 2);
    uint32_t close_count = sort_points(closes, count * 2);
    for (uint32_t b = 0; b < begin_count; b++) {
        for (uint32_t c = 0; c < close_count; c++) {
            if (begins[b] < closes[c] && is_overfull(e, begins[b], closes[c])) {
                return true;
            }
        }
    }
    return false;
}

mw_status slots_bound(const slots_net *net, int32_t most, int32_t *bound, mw_arena *arena)
{
    uint32_t count = net->count;
    int32_t *heads = plan_take(arena, count, sizeof *heads);
    int32_t *ends = plan_take(arena, count, sizeof *ends);
    energy e = {.net = net, .heads = heads, .ends = ends};
    e.work = plan_take(arena, net->problem->resource_count, sizeof *e.work);
    e.points = plan_take(arena, (size_t)count * 4, sizeof *e.points);
    if (heads == NULL || ends == NULL || e.work == NULL || e.points == NULL) {
        return MW_NO_MEMORY;
    }
    for (uint32_t a = 0; a < count; a++) {
        heads[a] = net->sides[SLOTS_MIRROR].tail[a] - net->durations[a];
        ends[a] = net->durations[a] - net->sides[SLOTS_FORWARD].tail[a];
    }
    /* What excludes an end excludes every earlier one. */
    int32_t low = *bound;
    while (low < most) {
        int32_t middle = low + (most - low) / 2;
        if (excludes(&e, middle)) {
            low = middle + 1;
        } else {
            most = middle;
        }
    }
    *bound = low;
    return MW_OK;
}
