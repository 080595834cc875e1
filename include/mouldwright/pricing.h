/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a job asks for and when: payments by the dates of the plan, repeats by the learning curve. */
#ifndef MOULDWRIGHT_PRICING_H
#define MOULDWRIGHT_PRICING_H

#include "mouldwright/job.h"

#ifdef __cplusplus
extern "C" {
#endif

/* A payment with its date. Money in minor units of the shop's currency. */
typedef struct mw_due {
    mw_str what;   /* as the shop words it, else its milestone */
    double share;  /* of the price with tax */
    int64_t minor; /* all of them sum to the price with tax */
    double due_s;  /* midnight; NaN: the plan has no such date */
} mw_due;

/* Makes the list of payments of the whole job, in the order of the shop's file; without one all is due when ready. Valid until
 * the next statement. MW_FAILED: a milestone is no word that is known, no step and no mould of the job (diagnosed at the
 * shop's file), or there is no price. */
mw_status mw_job_dues(mw_job *job, const mw_due **dues, uint32_t *count,
                      mw_diags *diags) MW_MUST_USE;

/* The date of the estimate: midnight, seconds since 1970-01-01. */
double mw_job_today(const mw_job *job);

/* Labour of the n-th of a mould that is made again, by shop.learning in the unit form (trade_learning.h):
 * minor units of the n-th (>= 1) where `first` is that of the first. */
int64_t mw_job_repeat(const mw_job *job, int64_t first, double number);

#ifdef __cplusplus
}
#endif

#endif
