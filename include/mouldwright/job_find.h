/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far: the values of one input for which a condition holds, also across the plan. */
#ifndef MOULDWRIGHT_JOB_FIND_H
#define MOULDWRIGHT_JOB_FIND_H

#include "mouldwright/job.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The input at some value, and both sides of the condition there. SI. */
typedef struct mw_find_point {
    double value, left, right;
} mw_find_point;

/* A stretch of the input on which the condition holds. For `=` a crossing: both ends are the same, or, where the left
 * side jumps over the right one, the last value before the jump and the first behind it. */
typedef struct mw_find_stretch {
    mw_find_point from, until;
    bool from_edge, until_edge; /* that end is the end of what was searched */
} mw_find_stretch;

typedef struct mw_find_reply {
    mw_str path, left, condition, right; /* as written; `condition` is the sign */
    mw_type type;                        /* of the input */
    mw_unit unit;
    mw_type left_type; /* of both sides */
    mw_unit left_unit;
    double low, high; /* searched */
    uint32_t tried;   /* values of the input that were worked out */
    bool whole;       /* only whole numbers */
    const mw_find_stretch *stretches;
    uint32_t stretch_count;
    mw_find_point
        nearest; /* where nothing was found: the value at which it is missed by least; NaN: it has none */
    mw_find_point now; /* as the job stands; value NaN where it differs from mould to mould */
} mw_find_reply;

/* Searches as the words behind `find` say: PATH = LOW .. HIGH [step S] so that FORMULA SIGN FORMULA. Nothing changes. What the
 * reply points to is valid until the next statement. MW_FAILED: diagnosed, or told to stop. */
mw_status mw_job_find(mw_job *job, mw_span rest, mw_find_reply *reply, mw_diags *diags) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
