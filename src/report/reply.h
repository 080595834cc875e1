/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parts of answers to statements. */
#ifndef MW_REPORT_REPLY_H
#define MW_REPORT_REPLY_H

#include "grid.h"

/* Adds a value for people, or why there is none. */
void reply_value_words(mw_job *job, double value, mw_type type, mw_unit unit, mw_text *out);
/* The same to six significant digits, for tables and trees. */
void reply_short_words(mw_job *job, double value, mw_type type, mw_unit unit, mw_text *out);
/* Adds a condition that holds, and what it warns of. */
void reply_warning_words(const mw_warning_view *of, mw_text *out);
/* Adds the alternatives of a what-if side by side. */
mw_status reply_what_if(mw_job *job, const mw_reply *reply, const mw_style *style, mw_text *out);
/* Adds a derivation as an indented tree. */
void reply_why(mw_job *job, const mw_reply *reply, const mw_style *style, mw_text *out);

#endif
