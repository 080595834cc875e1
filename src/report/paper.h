/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Documents made from reports. */
#ifndef MW_REPORT_PAPER_H
#define MW_REPORT_PAPER_H

#include "figures.h"
#include "mouldwright/job_risk.h"

/* What is kept of a run of `risk`; rows and their values lie in the arena of the document. */
typedef struct how_sure {
    bool asked;
    double confidence, promise_s;
    uint32_t samples, inputs;
    uint64_t seed;
    const mw_risk_row *rows;
    uint32_t row_count;
} how_sure;

/* A document being made. */
typedef struct writer {
    report *in;
    mw_paper *paper;
    double today_s;
    const mw_posting *postings;
    uint32_t posting_count;
    how_sure sure;
    const mw_paper_request *asked;
    uint32_t changes; /* since the offer before */
    bool other_money; /* it is in another currency */
} writer;

/* Adds the grids and notes of a report. */
void paper_grids(writer *to, report *from);
void paper_notes(writer *to, report *from);
/* Adds a text that is made of pieces; frees it. */
void paper_take(writer *to, mw_paper_kind kind, mw_text *text);
/* Adds cells: text; money of the shop; a date, empty for none. */
void paper_text(writer *to, mw_str text);
void paper_money(writer *to, int64_t minor);
void paper_date(writer *to, double moment_s);

/* Adds a name to a sentence of ours; one with letters beyond ASCII keeps its direction to itself (U+2068, U+2069). */
void paper_name(mw_str name, mw_text *out);
/* `revision`, a line of the job; NaN: it has none. */
double paper_revision(mw_job *job);
/* Marks on the scale of the newest bars: Mondays, or firsts of months where there are many. */
void paper_days(writer *to, double from_s, double until_s);

/* The documents with texts of their own. */
/* Runs `risk` with these words and keeps what it answered. */
mw_status paper_risk_run(writer *to, mw_span at);
/* Adds its quantiles and curves. */
void paper_risk_section(writer *to);
/* Adds what changed since the offer before. */
mw_status paper_changes(writer *to, const mw_paper_request *asked);
/* Adds derivations; takes the job's answers before it back. */
mw_status paper_why(writer *to);
/* Draws the timeline of all moulds, or of the steps of one, on one sheet. */
mw_status paper_wall(writer *to, uint32_t mould);
mw_status paper_quotation(writer *to);
mw_status paper_costing(writer *to);

#endif
