/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Documents made from reports. */
#ifndef MW_REPORT_PAPER_H
#define MW_REPORT_PAPER_H

#include "figures.h"

/* A document being made. */
typedef struct writer {
    report *in;
    mw_paper *paper;
    double today_s;
    const mw_posting *postings;
    uint32_t posting_count;
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

/* Marks on the scale of the newest bars: Mondays, or firsts of months where there are many. */
void paper_days(writer *to, double from_s, double until_s);

/* The documents with texts of their own. */
mw_status paper_quotation(writer *to);
mw_status paper_costing(writer *to);

#endif
