/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files that answer `risk` share. */
#ifndef MW_REPORT_RISK_H
#define MW_REPORT_RISK_H

#include "mouldwright/job_risk.h"
#include "mouldwright/paper.h"
#include "reply.h"

/* Adds an amount of the kind of a row: a value, or (`difference`) how far two are apart, days for dates. */
void risk_value_words(mw_job *job, const mw_risk_row *row, double value, mw_text *out);
void risk_difference_words(mw_job *job, const mw_risk_row *row, double value, mw_text *out);
/* Adds the name with the unit that its values are in. */
void risk_name_words(mw_job *job, const mw_risk_row *row, mw_text *out);

/* Adds bars of how often each value comes, and how often at most that. */
void risk_chart(mw_job *job, const mw_risk_row *row, const mw_style *style, mw_text *out);
/* Adds what each input does to each row. */
mw_status risk_drives(mw_job *job, const mw_risk_reply *reply, const mw_style *style, mw_text *out);
/* Bins of whole days for dates, else of equal width; `counts` has room for RISK_BINS. */
enum { RISK_BINS = 16 };
mw_risk_bins risk_choose_bins(const mw_risk_row *row, uint32_t *counts);
/* Inputs by how far they swing a row, the widest first. */
typedef struct risk_swing {
    uint32_t input, row;
    uint32_t place; /* from 1 */
} risk_swing;
uint32_t risk_swings(const mw_risk_reply *reply, uint32_t row, risk_swing *out, uint32_t room);
/* Adds a picture of a row that has values: how often each comes, and how often at most that. */
void risk_odds(mw_job *job, mw_paper *paper, const mw_risk_row *row);
/* Pictures of all rows: how often each value comes or, where swings were asked for, what drives it. NULL: no memory. */
mw_paper *risk_picture(mw_job *job, const mw_risk_reply *reply);
void risk_json(mw_job *job, const mw_risk_reply *reply, mw_text *out);

#endif
