/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reports: tables for the terminal and JSON, from a job. Nothing is printed here: text is added to a buffer. */
#ifndef MOULDWRIGHT_REPORT_H
#define MOULDWRIGHT_REPORT_H

#include "mouldwright/job.h"
#include "mouldwright/paper.h"

#ifdef __cplusplus
extern "C" {
#endif

/* How to write. */
typedef struct mw_style {
    uint32_t width; /* columns of the screen, at least 20 */
    bool json;      /* one JSON object or array a report, values in the unit named beside them */
    bool plain;     /* sentences and name: value lines, no tables */
    bool ascii;     /* no characters beyond ASCII */
    bool count;     /* also say how many values were computed */
} mw_style;

/* A table with typed columns. Text columns shrink when the screen is narrow, numbers never; a cut shows itself; too narrow: one
 * record a block. Strings are borrowed until mw_table_write(). */
typedef enum mw_align { MW_LEFT, MW_RIGHT } mw_align;
typedef struct mw_table mw_table;
mw_table *mw_table_new(void) MW_MUST_USE;
void mw_table_free(mw_table *table);
void mw_table_column(mw_table *table, const char *head, mw_align align);
/* Adds the next cell; texts are copied; rows fill from left to right. */
void mw_table_cell(mw_table *table, mw_str text);
/* Draws a rule before the next row (totals). */
void mw_table_rule(mw_table *table);
/* MW_NO_MEMORY where anything was lost. */
mw_status mw_table_write(const mw_table *table, const mw_style *style, mw_text *out) MW_MUST_USE;

/* What is asked for. */
typedef struct mw_request {
    mw_str word;         /* which report or list */
    mw_str argument;     /* a mould's name, or empty: all */
    mw_span argument_at; /* for messages */
    const mw_style *style;
} mw_request;

/* A report by its word: moulds takeoff hours waits calendar cost cautions. MW_FAILED: diagnosed. */
mw_status mw_report(mw_job *job, const mw_request *request, mw_text *out,
                    mw_diags *diags) MW_MUST_USE;

/* What a document is asked for with. */
typedef struct mw_paper_request {
    mw_request what;
    mw_paper_size size;
    mw_span at;   /* words for a run of `risk`, such as `at 80 %`; source MW_NONE: no run */
    mw_str since; /* job file of the offer before this one; empty: none */
    mw_span since_at;
} mw_paper_request;

/* A document: `quotation`, `costing` (for the shop itself: cost, hours, what rests on what), `wall`
 * (the timeline on one sheet), or any report. MW_NOT_FOUND: no such word. The caller frees it. */
mw_status mw_report_paper(mw_job *job, const mw_paper_request *asked, mw_paper **paper,
                          mw_diags *diags) MW_MUST_USE;

/* The plan of all moulds or one as iCalendar (RFC 5545): sessions, waits, ready dates, in the shop's own time. The word is
 * `calendar`. MW_FAILED: diagnosed. Source: RFC 5545. */
mw_status mw_report_icalendar(mw_job *job, const mw_request *request, mw_text *out,
                              mw_diags *diags) MW_MUST_USE;

/* What a statement answered: value, change with headline, what-if, why. */
mw_status mw_report_reply(mw_job *job, const mw_reply *reply, const mw_style *style,
                          mw_text *out) MW_MUST_USE;

/* What mw_job_adopt() answered. */
mw_status mw_report_adopted(mw_job *job, const mw_reply *reply, const mw_style *style,
                            mw_text *out);
/* What mw_job_improve() answered. */
mw_status mw_report_improved(mw_job *job, const mw_reply *reply, const mw_style *style,
                             mw_text *out) MW_MUST_USE;

/* The estimate of the one mould of a `ballpark` or `new` statement, beside the job and the other jobs of its folder
 * (of the present folder, where the job has no file); those that cannot be read are named in words. */
mw_status mw_report_ballpark(mw_job *job, mw_span statement, const mw_style *style, mw_text *out,
                             mw_diags *diags) MW_MUST_USE;

/* A picture that was asked for with the file it goes into; the caller's. No paper: none was asked for. */
typedef struct mw_risk_picture {
    mw_paper *paper;
    mw_str file; /* valid until the next statement */
} mw_risk_picture;
/* How sure: the answer to `risk`, whose words are the request's argument. */
mw_status mw_report_risk(mw_job *job, const mw_request *request, mw_risk_picture *picture,
                         mw_text *out, mw_diags *diags) MW_MUST_USE;

/* What would help: the answer to `levers`. */
mw_status mw_report_levers(mw_job *job, const mw_request *request, mw_text *out,
                           mw_diags *diags) MW_MUST_USE;

/* How far: the answer to `find`, whose words are the request's argument. */
mw_status mw_report_find(mw_job *job, const mw_request *request, mw_text *out,
                         mw_diags *diags) MW_MUST_USE;

/* Lists: recipes, materials, shop, lines, steps. */
mw_status mw_report_list(mw_job *job, const mw_request *request, mw_text *out,
                         mw_diags *diags) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
