/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Buying for a job: which packs of each material, when they are ordered, what is left of them. */
#ifndef MOULDWRIGHT_BUYING_H
#define MOULDWRIGHT_BUYING_H

#include "mouldwright/job.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Whether what is left over keeps until the next job, in the closed can. */
typedef enum mw_keeps { MW_KEEPS_UNKNOWN, MW_KEEPS_YES, MW_KEEPS_NO, MW_KEEPS_NOTHING } mw_keeps;

/* What is bought of one material. Amounts in SI of its stock type, money in minor units of the shop's currency. */
typedef struct mw_purchase {
    const mw_material *material;
    mw_str supplier;   /* as the material says, else its kind */
    double needed;     /* losses included */
    double from_stock; /* of it, taken from the shelf */
    double bought;     /* what the packs hold */
    double left_over;  /* bought and not used; what stays on the shelf is not counted */
    int64_t charged;   /* what the moulds are charged for it, at the usual price: sum of postings */
    int64_t cost;      /* sum of the lines below */
    uint32_t counts[MW_MATERIAL_PACKS_MAX]; /* of each pack of the material */
    int64_t lines[MW_MATERIAL_PACKS_MAX];   /* and what they cost */
    bool proven;        /* no cheaper choice of packs exists; false: the search was cut short */
    double first_use_s; /* start of the first session that uses it; NaN: none is planned */
    double order_by_s; /* midnight of the last working day on which the lead time still fits; NaN */
    bool late;         /* that day is before the date of the estimate */
    mw_keeps keeps;
    double keeps_until_s; /* NaN: no shelf life is known */
} mw_purchase;

/* Makes the list of what is bought (materials of which nothing is needed are left out), for the whole job or for one mould
 * by itself, in the order of first use in the recipes; valid until the next statement. MW_FAILED: diagnosed. */
mw_status mw_job_purchases(mw_job *job, uint32_t only, const mw_purchase **purchases,
                           uint32_t *count, mw_diags *diags) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
