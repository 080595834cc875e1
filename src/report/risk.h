/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files that answer `risk` share. */
#ifndef MW_REPORT_RISK_H
#define MW_REPORT_RISK_H

#include "mouldwright/job_risk.h"
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
void risk_json(mw_job *job, const mw_risk_reply *reply, mw_text *out);

#endif
