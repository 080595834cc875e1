/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of `find` share. */
#ifndef MW_JOB_SOLVE_H
#define MW_JOB_SOLVE_H

#include "mouldwright/date.h"
#include "mouldwright/job_find.h"
#include "parts.h"

typedef enum solve_sign {
    SOLVE_LESS,
    SOLVE_LESS_EQUAL,
    SOLVE_EQUAL,
    SOLVE_GREATER_EQUAL,
    SOLVE_GREATER
} solve_sign;

typedef struct solve_question {
    mw_span path, left, right, range;
    solve_sign sign;
    mw_span sign_at;
    double low, high;
    double step; /* NaN: none given */
    mw_type type;
    mw_unit unit;
    bool whole_day; /* the right side is a date as it is written */
} solve_question;

/* Reads the words behind `find`. */
mw_status solve_read(mw_job *job, mw_span rest, solve_question *out, mw_diags *diags);

/* The trial in which the input is a line of its own. */
typedef struct solve_trial {
    build *in;
    mw_lanes *lanes;
    uint32_t value, left, right; /* cells */
    uint32_t tried;
    bool date; /* the input is a date: whole days */
} solve_trial;

enum { SOLVE_TILE = 64 };

/* Works out up to SOLVE_TILE values of the input. MW_FAILED: told to stop. */
mw_status solve_points(solve_trial *trial, mw_find_point *points, uint32_t count);

#endif
