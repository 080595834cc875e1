/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of risk share: what is asked, what is uncertain, and runs over it. */
#ifndef MW_JOB_RISK_H
#define MW_JOB_RISK_H

#include "functions_risk.h"
#include "mouldwright/date.h"
#include "mouldwright/job_risk.h"
#include "parts.h"

/* ---- what is asked ---- */

enum { RISK_NAMED_MOST = 32, RISK_BONDS_MOST = 64 };

typedef struct risk_tie {
    mw_span a, b; /* names of inputs */
    double correlation;
} risk_tie;

typedef struct risk_question {
    uint32_t samples; /* 0: as many as usual */
    uint64_t seed;
    uint32_t threads; /* 0: as many as there are processors */
    uint32_t sample;  /* from 1; 0: all */
    double confidence;
    double by_s, within;
    mw_span within_at;
    mw_type within_type;
    mw_span named[RISK_NAMED_MOST];
    uint32_t named_count;
    risk_tie ties[RISK_BONDS_MOST];
    uint32_t tie_count;
    bool drives, chart;
    mw_span chart_file; /* empty: none */
} risk_question;

/* Reads the words behind `risk`. */
mw_status risk_read(mw_job *job, mw_span rest, risk_question *out, mw_diags *diags);

/* ---- what is uncertain ---- */

/* A cell that an input sets, with the numbers of its own: `usual * 0.9 .. usual` is another range in each mould. */
typedef struct risk_target {
    uint32_t cell;
    uint32_t input;
    mw_risk_input shape;
    mw_risk_drawer *drawer;
    mw_type type;
    mw_unit unit;
    bool whole;
    double low, high; /* limits of the recipe; NaN: none */
} risk_target;

/* A range or function of chance in a formula of the job. */
typedef struct risk_input {
    const entry *set;   /* as it stands in the job */
    uint32_t field;     /* of a mould's line; MW_NONE */
    const entry *trial; /* the same in the trial, where something was put in its place */
    mw_span at;         /* of the range or call */
    mw_risk_shape shape;
    bool root;     /* it is the whole formula */
    mw_str line;   /* else: the line that stands for it */
    mw_str parts;  /* the line that holds the arguments of a call; empty: a range */
    mw_str chance; /* the line that holds the probability */
    uint32_t first_target, target_count;
    mw_str name; /* for people */
} risk_input;

typedef struct risk_model {
    mw_job *job;
    document document; /* of the trial */
    risk_input *inputs;
    uint32_t input_count, input_capacity;
    risk_target *targets;
    uint32_t target_count, target_capacity;
    mw_text text;    /* of what the trial says otherwise */
    uint32_t source; /* that it stands in; MW_NONE */
    entry_list list;
    bool keeps_turns; /* of the present plan, which the job itself does not keep */
    mw_diags *diags;
} risk_model;

/* Finds what is uncertain in the job and makes the document of a trial in which each such thing is a cell of its own. */
mw_status risk_find(risk_model *model);
/* Finds the cells, once the trial is built. */
mw_status risk_reach(risk_model *model, build *in);
void risk_model_free(risk_model *model);

/* ---- runs ---- */

typedef struct risk_run risk_run;

typedef struct risk_plan {
    const risk_model *model;
    const mw_risk_sampler *sampler;
    const mw_risk_bonds *bonds; /* NULL: none */
    const uint32_t *cells;      /* that are watched */
    uint32_t cell_count;
} risk_plan;

/* One trial with its lanes; a run on several threads has as many. */
typedef struct risk_bench {
    build *in;
    mw_lanes *lanes;
} risk_bench;

mw_status risk_bench_make(risk_model *model, risk_bench *out, mw_diags *diags);
void risk_bench_free(risk_bench *bench);

/* Where an input's shares come from. */
typedef struct risk_draw {
    uint64_t tile;
    uint32_t shift;   /* inputs of the sampler that come before */
    uint32_t swapped; /* this one input is drawn from the other half; MW_NONE */
} risk_draw;

/* Draws the values of all targets in one tile into columns. */
mw_status risk_fill(const risk_plan *plan, const risk_draw *draw, mw_lanes *lanes);
/* Gives every target one value in all lanes. */
mw_status risk_fix(const risk_model *model, const double *values, mw_lanes *lanes);
/* Computes the watched cells: out[cell * MW_RISK_TILE + lane]. */
mw_status risk_compute(const risk_plan *plan, risk_bench *bench, double *out);
/* The value that a target really gets: as it would be typed. */
double risk_typed(const risk_model *model, const risk_target *of, double value);

/* All samples of one or more designs: 0 is plain, 1 is drawn from the other half of the sampler's inputs, 2 + i is plain
 * but for input i, which is drawn from the other half. */
typedef struct risk_work {
    risk_plan plan;
    risk_bench *benches; /* one a thread */
    uint32_t threads;
    uint32_t designs, samples; /* samples of each, whole tiles */
    double *results;           /* of cell c of design d: from [(d * cells + c) * samples] on */
    uint32_t done; /* samples of each design that there are: all, or fewer when told to stop */
} risk_work;
mw_status risk_work_run(risk_work *work);
const double *risk_work_results(const risk_work *work, uint32_t design, uint32_t cell);

/* ---- what is answered ---- */

/* Figures that are watched: the rows first, then when each mould is ready. */
typedef struct risk_watch {
    mw_risk_row *rows;
    uint32_t row_count;
    uint32_t cost_row, ready_row; /* MW_NONE: none */
    uint32_t *row_cells;          /* which watched cell a row shows */
    uint32_t margin_row;          /* shows the price as it stands less the cost */
    uint32_t *cells;
    uint32_t cell_count;
    uint32_t first_ready;            /* cells of the moulds' dates */
    uint32_t first_sets, sets_count; /* cells that say whether a step sets the date */
} risk_watch;

typedef struct risk_session {
    mw_job *job;
    risk_question ask;
    risk_model model;
    risk_work work;
    risk_watch watch;
    mw_risk_sampler *sampler;
    mw_risk_bonds *bonds;
    mw_risk_reply *reply;
    mw_diags *diags;
} risk_session;

/* The value of a row in one sample, from those of the watched cells. */
double risk_row_value(const risk_watch *watch, uint32_t row, const double *cells, size_t stride);
mw_status risk_answer_rows(risk_session *on);
mw_status risk_answer_drives(risk_session *on);
mw_status risk_answer_sample(risk_session *on);

#endif
