/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a `ballpark` or `new` statement says, sorted: the mould and the job around it. */
#ifndef MW_JOB_DRAFT_H
#define MW_JOB_DRAFT_H

#include "parts.h"

#include "mouldwright/draft.h"

typedef struct draft {
    mw_job *job;
    mw_statement statement;
    entry shop, start, mould;
    bool shop_given, start_given; /* in the statement, or by the job */
    uint32_t words;               /* source of the words that stand in for what is not said */
    entry_field *fields;
    mw_str tightness; /* as said, where a word was said for the number */
} draft;

/* Reads the statement and sorts what it says; `made` lives as long as the answer to the statement. */
mw_status draft_read(mw_job *job, mw_span statement, draft *made, mw_diags *diags);
/* Builds it beside the job, calls `show`, and puts the job back. */
mw_status draft_try(draft *of, mw_status (*show)(void *context), void *context, mw_diags *diags);

#endif
