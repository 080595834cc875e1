/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure it is that a plan is the best, in words. */
#ifndef MW_REPORT_PROOF_H
#define MW_REPORT_PROOF_H

#include "grid.h"

/* By how much the plan may at most be too long, of the time from the start of the job to the bound; NaN where no plan does
 * all and keeps every window. */
double proof_gap(const mw_job *job, const mw_plan_outcome *of);
/* Adds `proven best`, `not before Mon 2027-03-15; within 4.7 %`, or what is the matter. */
void proof_words(const mw_job *job, const mw_plan_outcome *of, mw_text *out);
/* Adds the same as fields of an object. */
void proof_json(mw_job *job, const mw_plan_outcome *of, mw_json *json);
/* Adds what is proved to a report: `plan` in JSON, and a line in words behind `lead`. */
void report_proof(report *in, mw_str lead);

#endif
