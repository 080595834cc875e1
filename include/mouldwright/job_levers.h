/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What would help: the smallest amount of each lever that keeps a window that is missed, and what would bring the last
 * ready date forward most. Each is found by planning again with that lever alone. */
#ifndef MOULDWRIGHT_JOB_LEVERS_H
#define MOULDWRIGHT_JOB_LEVERS_H

#include "mouldwright/job.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum mw_lever_kind {
    MW_LEVER_SHIFT,    /* each working day so much longer, s */
    MW_LEVER_PEOPLE,   /* more people, who also take part in both steps */
    MW_LEVER_FASTER,   /* the hours of both steps less by this share */
    MW_LEVER_HARDENER, /* slower: waits and window of the first step longer by this share */
    MW_LEVER_COLDER,   /* the room colder day and night, K */
    MW_LEVER_WARMER,   /* the room warmer day and night, K */
    MW_LEVER_SPLIT,    /* the area in so many parts, of which each keeps its window */
    MW_LEVER_HAND,     /* one more of a trade, nobody's crew changes */
    MW_LEVER_MACHINE,  /* one more machine or place */
    MW_LEVER_EVENING,  /* a second shift after the first, as long as it */
    MW_LEVER_NIGHT     /* warmer nights, K */
} mw_lever_kind;

/* A window that is missed, and one lever. */
typedef struct mw_cure_lever {
    mw_window_miss miss;
    mw_lever_kind kind;
    mw_str who;    /* SHIFT: the shift; PEOPLE: the trade; else empty */
    bool helps;    /* false: not up to `amount` */
    double amount; /* the smallest that keeps the window; the most that was tried where none does */
    double below;  /* with this much, the next smaller amount, it was missed again */
} mw_cure_lever;

typedef struct mw_gain_lever {
    mw_lever_kind kind;
    mw_str who; /* HAND, MACHINE: which; EVENING: the shift; NIGHT: `nights` */
    double amount;
    double last_s; /* when all is ready then; INFINITY: never */
    double gain_s; /* so much earlier than without it, at the same budget; INFINITY: else never */
    bool proven;   /* more than any plan without it could gain */
} mw_gain_lever;

typedef struct mw_levers {
    const mw_cure_lever *cures; /* by window */
    uint32_t cure_count;
    const mw_gain_lever *gains; /* the greatest first */
    uint32_t gain_count;
    double last_s, bound_s; /* without any, at the same budget */
    uint64_t schedules;     /* tried in all */
} mw_levers;

/* Finds them; valid until the next call. The job stays as it is. MW_FAILED: there is no plan (diagnosed), or told to
 * stop. */
mw_status mw_job_levers(mw_job *job, mw_levers *out, mw_diags *diags) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
