/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The statements that begin something from nothing or from what is there: ballpark, new, copy. */
#include "statement.h"

/* Reads `: fields` where there is a colon. */
static void read_colon_fields(mw_reading *reading, mw_statement *statement)
{
    if (reading->now.kind == MW_TOKEN_COLON) {
        mw_lexer_next(reading);
        mw_statement_fields(reading, statement);
    }
}

static void begin_fields(mw_reading *reading, mw_statement *statement)
{
    statement->first_item = reading->ast->item_count;
    reading->fields = true;
}

/* ballpark = "ballpark" [ ":" ] fields */
void mw_statement_ballpark(mw_reading *reading, mw_statement *statement)
{
    statement->kind = MW_SAY_BALLPARK;
    statement->name = mw_statement_now_span(reading);
    begin_fields(reading, statement);
    mw_lexer_next(reading);
    if (reading->now.kind == MW_TOKEN_COLON) {
        mw_lexer_next(reading);
    }
    if (reading->now.kind == MW_TOKEN_END) {
        mw_diag *diag = mw_statement_missing(reading, "the size of the mould is missing here");
        mw_diag_try(reading->diags, diag, "ballpark area 5 m2, edge 9 m, recipe \"usual mould\"");
        return;
    }
    mw_statement_fields(reading, statement);
}

/* new = "new" TEXT [ ":" fields ] */
void mw_statement_new(mw_reading *reading, mw_statement *statement)
{
    statement->kind = MW_SAY_NEW;
    begin_fields(reading, statement);
    mw_statement_quoted(reading, statement, "the file's name stands in double quotes");
    read_colon_fields(reading, statement);
}

/* Reads the name that has to stand here; false: it does not, which is reported. */
static bool read_name(mw_reading *reading, mw_span *name, const char *missing)
{
    if (reading->now.kind != MW_TOKEN_NAME) {
        mw_diag *diag = mw_statement_missing(reading, missing);
        mw_diag_try(reading->diags, diag, "copy mould hull_port as hull_aft");
        return false;
    }
    *name = mw_statement_now_span(reading);
    mw_lexer_next(reading);
    return true;
}

static void copy_mould(mw_reading *reading, mw_statement *statement)
{
    statement->kind = MW_SAY_COPY_MOULD;
    mw_lexer_next(reading);
    if (!read_name(reading, &statement->rest, "the name of the mould is missing here")) {
        return;
    }
    if (reading->now.kind != MW_TOKEN_AS) {
        mw_diag *diag = mw_statement_missing(reading, "`as` and the new name are missing here");
        mw_diag_try(reading->diags, diag, "copy mould hull_port as hull_aft");
        return;
    }
    mw_lexer_next(reading);
    if (read_name(reading, &statement->name, "the new name is missing here")) {
        read_colon_fields(reading, statement);
    }
}

static void copy_job(mw_reading *reading, mw_statement *statement)
{
    statement->kind = MW_SAY_COPY_JOB;
    mw_lexer_next(reading);
    if (reading->now.kind != MW_TOKEN_AS) {
        mw_diag *diag = mw_statement_missing(reading, "`as` and the file's name are missing here");
        mw_diag_try(reading->diags, diag, "copy job as \"next.job\": start 2027-09-06");
        return;
    }
    mw_lexer_next(reading);
    if (reading->now.kind != MW_TOKEN_TEXT) {
        mw_diag *diag = mw_statement_missing(reading, "the file's name stands in double quotes");
        mw_diag_try(reading->diags, diag, "copy job as \"next.job\": start 2027-09-06");
        return;
    }
    mw_statement_text(reading, statement);
    read_colon_fields(reading, statement);
}

/* copy = "copy" ( "mould" NAME "as" NAME | "job" "as" TEXT ) [ ":" fields ] */
void mw_statement_copy(mw_reading *reading, mw_statement *statement)
{
    begin_fields(reading, statement);
    mw_lexer_next(reading);
    mw_str word = mw_statement_now(reading);
    if (reading->now.kind == MW_TOKEN_NAME && mw_str_is(word, "mould")) {
        copy_mould(reading, statement);
    } else if (reading->now.kind == MW_TOKEN_NAME && mw_str_is(word, "job")) {
        copy_job(reading, statement);
    } else {
        mw_diag *diag = mw_statement_missing(reading, "what is copied, `mould` or `job`?");
        mw_diag_try(reading->diags, diag, "copy mould hull_port as hull_aft");
    }
}
