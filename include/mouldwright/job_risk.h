/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure: what is not known exactly in a job, sampled through its estimate and its plan. */
#ifndef MOULDWRIGHT_JOB_RISK_H
#define MOULDWRIGHT_JOB_RISK_H

#include "mouldwright/job.h"
#include "mouldwright/risk_figures.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The quantiles that are shown. */
#define MW_RISK_SHOWN 4
extern const double mw_risk_shown[MW_RISK_SHOWN]; /* 0.1 0.5 0.8 0.9 */

/* One figure over all samples. SI. */
typedef struct mw_risk_row {
    mw_str
        name; /* full path of a value; `margin`: the price as it stands less the cost of the sample */
    mw_type type;
    mw_unit unit;
    double now;   /* as the job stands */
    double means; /* with every input at its mean */
    mw_risk_figure mean;
    double deviation, low, high;
    mw_risk_figure quantiles[MW_RISK_SHOWN];
    uint32_t lost;        /* samples in which it has no value */
    const double *sorted; /* the values there are, `count` of them */
    uint32_t count;
} mw_risk_row;

/* An input that is sampled. */
typedef struct mw_risk_input_view {
    mw_str name; /* full path; with the text of the range where that is part of a larger formula */
    mw_span from;
    double low, high;                     /* of one-at-a-time swings: its shares 0.1 and 0.9 */
    const double *low_swing, *high_swing; /* by row: its figure with the input low, and high */
    const mw_risk_index *indices;         /* by row; NULL: not asked for */
    mw_type type;
    mw_unit unit;
} mw_risk_input_view;

/* How often a mould was the last to be ready. */
typedef struct mw_risk_setter {
    uint32_t mould;
    double share;
} mw_risk_setter;

/* In how many of the samples a step was on the chain of work that sets the last date: what begins as soon as what holds it
 * up lets it, from the start of the job to its last end. */
typedef struct mw_risk_chain {
    uint32_t mould, step;
    double share;
} mw_risk_chain;

typedef struct mw_risk_reply {
    uint64_t seed;
    uint32_t samples, asked; /* done; asked for */
    const mw_risk_row *rows;
    uint32_t row_count;
    uint32_t ready_row; /* MW_NONE: the job has no date */
    const mw_risk_input_view *inputs;
    uint32_t input_count;
    const mw_risk_setter *setters; /* most often first */
    uint32_t setter_count;
    const mw_risk_chain *chain; /* most often first; only where `drives` were asked for */
    uint32_t chain_count;
    double confidence; /* of the promise */
    double promise_s;  /* the day by which it is ready with that confidence; NaN: none */
    double by_s;       /* asked for: odds that it is ready by that day; NaN: not asked */
    mw_risk_figure by_odds;
    double within; /* asked for: odds that the cost is at most so much; NaN: not asked */
    mw_risk_figure within_odds;
    mw_str within_name;  /* the row it is about */
    const mw_str *lines; /* `risk sample`: statements that give the sample when they are typed */
    uint32_t line_count;
    uint32_t sample; /* its number, from 1; 0: all were asked for */
    bool drives;     /* swings and indices were asked for */
    bool chart;
    mw_str chart_file; /* into which pictures go; empty: none was asked for */
} mw_risk_reply;

/* Samples the job as the words behind `risk` say; `rest` is their span. Nothing changes. What the reply points to is
 * valid until the next statement. Told to stop, it ends with the samples that it has (STOPPED where there are none).
 * MW_FAILED: diagnosed. */
mw_status mw_job_risk(mw_job *job, mw_span rest, mw_risk_reply *reply, mw_diags *diags) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
