/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading the statements that begin with a word of their own. Each takes the reading at that word. */
#ifndef MW_LANG_STATEMENT_H
#define MW_LANG_STATEMENT_H

#include "parser.h"

#define MW_FIELDS_MAX 1000 /* inputs in one mould's line */

typedef void mw_statement_function(mw_reading *reading, mw_statement *statement);

mw_statement_function mw_statement_shop, mw_statement_start, mw_statement_mould,
    mw_statement_moulds_from, mw_statement_include, mw_statement_what_if, mw_statement_why,
    mw_statement_alternative, mw_statement_weigh, mw_statement_restore, mw_statement_drop,
    mw_statement_copy, mw_statement_new, mw_statement_ballpark;

/* Reads the fields of a mould from the present token on; none where the line ends. */
void mw_statement_fields(mw_reading *reading, mw_statement *statement);
/* Takes the present token, a text in quotes, as the statement's name. */
void mw_statement_text(mw_reading *reading, mw_statement *statement);
/* Passes the present token and reads the text in quotes behind it as the statement's name. */
void mw_statement_quoted(mw_reading *reading, mw_statement *statement, const char *missing);

/* Reads the formula of a statement from the present token on. */
void mw_statement_formula(mw_reading *reading, mw_statement *statement);

/* Returns the bytes of the present token as text, or as a span. */
mw_str mw_statement_now(const mw_reading *reading);
mw_span mw_statement_now_span(const mw_reading *reading);

/* Reports that `what` is missing where the present token stands. Returns the report for `try:`. */
mw_diag *mw_statement_missing(mw_reading *reading, const char *what);

/* Adds an item and counts it. */
void mw_statement_add_item(mw_reading *reading, mw_statement *statement, const mw_item *item);
/* Passes over what cannot be read up to the next comma outside of brackets. */
void mw_statement_resume(mw_reading *reading);

#endif
