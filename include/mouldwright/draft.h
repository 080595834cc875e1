/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Beginnings: a ballpark of one mould beside the job, a job file from a few inputs, a job as the start of the next. */
#ifndef MOULDWRIGHT_DRAFT_H
#define MOULDWRIGHT_DRAFT_H

#include "mouldwright/job.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Reads a `ballpark` or `new` statement in `statement` (a span of mw_job_sources()) and makes its one mould beside the
 * job: in the shop and from the start that it names, else those of the job, else the sample shop and today; with none
 * of the job's lines and overrides. Calls `show` while the job answers as that one; then the job is as before. MW_FAILED:
 * diagnosed. What `show` returns is handed on. */
mw_status mw_job_ballpark(mw_job *job, mw_span statement, mw_status (*show)(void *context),
                          void *context, mw_diags *diags) MW_MUST_USE;

/* Writes the file that a `new` or `copy job` statement names, which must not be there yet; its path counts from the folder
 * of the job. Adds the path to `path`. MW_FAILED: diagnosed, nothing was written. */
mw_status mw_job_write_new(mw_job *job, mw_span span, mw_text *path, mw_diags *diags) MW_MUST_USE;

/* Returns the options that the job was made with, to open another one in the same way; lent by the job. */
mw_job_options mw_job_options_of(const mw_job *job);

#ifdef __cplusplus
}
#endif

#endif
