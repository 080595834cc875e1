/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The statements that begin with a word: shop, start, mould, restore ... */
#include "statement.h"

#include <string.h>

#include "ast_room.h"

void mw_statement_text(mw_reading *reading, mw_statement *statement)
{
    const char *begin = reading->now.begin + 1;
    const char *end = reading->now.end;
    bool closed = end > begin && end[-1] == '"';
    statement->name = mw_parser_span(reading, begin, closed ? end - 1 : end);
    mw_lexer_next(reading);
}

/* Reads the text in quotes that the statement ends with, such as the name of a file. */
void mw_statement_quoted(mw_reading *reading, mw_statement *statement, const char *missing)
{
    mw_str word = mw_statement_now(reading);
    mw_lexer_next(reading);
    if (reading->now.kind == MW_TOKEN_TEXT) {
        mw_statement_text(reading, statement);
        return;
    }
    mw_str now = mw_statement_now(reading);
    bool bare = reading->now.kind == MW_TOKEN_NAME;
    mw_diag *diag = mw_statement_missing(reading, missing);
    mw_diag_try(reading->diags, diag, "%.*s \"%.*s\"", (int)word.length, word.at,
                bare ? mw_lexer_shown(now) : 3, bare ? now.at : "...");
}

/* shop = "shop" TEXT */
void mw_statement_shop(mw_reading *reading, mw_statement *statement)
{
    statement->kind = MW_SAY_SHOP;
    mw_statement_quoted(reading, statement, "the shop's name stands in double quotes");
}

/* include = "include" TEXT */
void mw_statement_include(mw_reading *reading, mw_statement *statement)
{
    statement->kind = MW_SAY_INCLUDE;
    mw_statement_quoted(reading, statement, "the file's name stands in double quotes");
}

/* moulds_from = "moulds" "from" TEXT */
void mw_statement_moulds_from(mw_reading *reading, mw_statement *statement)
{
    statement->kind = MW_SAY_MOULDS_FROM;
    mw_lexer_next(reading);
    mw_statement_quoted(reading, statement, "the file's name stands in double quotes");
}

/* start = "start" formula */
void mw_statement_start(mw_reading *reading, mw_statement *statement)
{
    statement->kind = MW_SAY_START;
    mw_lexer_next(reading);
    mw_statement_formula(reading, statement);
}

/* why = "why" formula */
void mw_statement_why(mw_reading *reading, mw_statement *statement)
{
    statement->kind = MW_SAY_WHY;
    mw_lexer_next(reading);
    mw_statement_formula(reading, statement);
}

/* Reads the path that the statement ends with. */
static void read_path(mw_reading *reading, mw_statement *statement, const char *missing)
{
    mw_lexer_next(reading);
    if (reading->now.kind == MW_TOKEN_NAME) {
        statement->path = mw_parser_path(reading);
    } else {
        mw_statement_missing(reading, missing);
    }
}

/* restore = "restore" path */
void mw_statement_restore(mw_reading *reading, mw_statement *statement)
{
    statement->kind = MW_SAY_RESTORE;
    read_path(reading, statement, "the name of what is put back is missing here");
}

/* drop = "drop" path */
void mw_statement_drop(mw_reading *reading, mw_statement *statement)
{
    statement->kind = MW_SAY_DROP;
    read_path(reading, statement, "the name of the mould or line is missing here");
}

/* --- mould --- */

void mw_statement_add_item(mw_reading *reading, mw_statement *statement, const mw_item *item)
{
    mw_item *added = mw_ast_item(reading->ast);
    if (added == NULL) {
        reading->no_memory = true;
        return;
    }
    *added = *item;
    statement->item_count++;
}

void mw_statement_resume(mw_reading *reading)
{
    mw_parser_resume(reading);
    while (reading->now.kind != MW_TOKEN_COMMA && reading->now.kind != MW_TOKEN_END) {
        reading->quiet = true;
        mw_lexer_next(reading);
        mw_parser_resume(reading);
    }
}

static void check_twice(mw_reading *reading, const mw_statement *statement, mw_str name)
{
    for (uint32_t i = 0; i < statement->item_count; i++) {
        mw_span before = reading->ast->items[statement->first_item + i].name;
        mw_str other = {reading->base + before.begin, before.end - before.begin};
        if (mw_str_equal(other, name)) {
            mw_diag *diag = mw_lexer_error(reading, MW_CODE_NAME_TWICE, name,
                                           "`%.*s` is given twice", mw_lexer_shown(name), name.at);
            mw_diag_other(reading->diags, diag, before, "the first time");
            return;
        }
    }
}

/* The sign that a value does not need in a mould's line. */
static void pass_equal(mw_reading *reading, mw_str name)
{
    if (reading->now.kind == MW_TOKEN_EQUAL || reading->now.kind == MW_TOKEN_COLON) {
        mw_diag *diag = mw_lexer_error(reading, MW_CODE_SYNTAX, mw_statement_now(reading),
                                       "in a mould's line the value follows the name directly");
        const char *begin = mw_lexer_skip(reading->at, reading->end);
        const char *comma = memchr(begin, ',', (size_t)(reading->end - begin));
        mw_str value = mw_str_trim(mw_lexer_piece(begin, comma ? comma : reading->end));
        mw_diag_try(reading->diags, diag, "%.*s %.*s", mw_lexer_shown(name), name.at,
                    mw_lexer_shown(value), value.at);
        mw_lexer_next(reading);
    }
}

/* field = NAME formula */
static void read_field(mw_reading *reading, mw_statement *statement)
{
    if (reading->now.kind != MW_TOKEN_NAME) {
        mw_statement_missing(reading, "the name of an input is missing here");
        return;
    }
    mw_str name = mw_statement_now(reading);
    check_twice(reading, statement, name);
    mw_item item = {.name = mw_statement_now_span(reading), .path = MW_NONE, .value_count = 1};
    mw_lexer_next(reading);
    pass_equal(reading, name);
    const char *begin = reading->now.begin;
    mw_parser_put(reading, mw_parser_formula(reading));
    item.first_value = mw_parser_gather(reading, 1);
    const char *end = reading->before_end > begin ? reading->before_end : begin;
    item.value = mw_parser_span(reading, begin, end);
    mw_statement_add_item(reading, statement, &item);
}

/* Whether there is room for another field; reports where there is none, and passes over the rest. Names are
 * compared each with each, so their number is bounded. */
static bool takes_field(mw_reading *reading, const mw_statement *statement)
{
    if (statement->item_count < MW_FIELDS_MAX) {
        return true;
    }
    mw_lexer_error(reading, MW_CODE_TOO_LONG, mw_statement_now(reading),
                   "a mould's line has at most %d inputs", MW_FIELDS_MAX);
    reading->quiet = true;
    reading->at = reading->end;
    mw_lexer_next(reading);
    return false;
}

/* fields = [ field { "," field } ] */
void mw_statement_fields(mw_reading *reading, mw_statement *statement)
{
    bool more = reading->now.kind != MW_TOKEN_END;
    while (more && takes_field(reading, statement)) {
        read_field(reading, statement);
        if (reading->now.kind != MW_TOKEN_COMMA && reading->now.kind != MW_TOKEN_END) {
            mw_parser_misfit(reading);
        }
        mw_statement_resume(reading);
        more = reading->now.kind == MW_TOKEN_COMMA;
        if (more) {
            mw_lexer_next(reading);
        }
    }
}

/* A name that goes on behind its first word is shown as one word. */
static void report_no_colon(mw_reading *reading, mw_str name)
{
    mw_diag *diag = mw_statement_missing(reading, "a colon is missing behind the mould's name");
    mw_str rest = mw_lexer_piece(name.at + name.length, reading->end);
    const char *colon = memchr(rest.at, ':', rest.length);
    mw_str more = mw_str_trim(mw_lexer_piece(rest.at, colon ? colon : rest.at));
    if (more.length > 0 && more.at[0] == '-') {
        more = mw_str_trim(mw_lexer_piece(more.at + 1, more.at + more.length));
    }
    bool word = more.length > 0 && mw_lexer_word_end(more.at, reading->end) == colon;
    mw_diag_try(reading->diags, diag, "mould %.*s%s%.*s: area 6.4 m2, edge 11.2 m",
                mw_lexer_shown(name), name.at, word ? "_" : "", word ? mw_lexer_shown(more) : 0,
                more.at);
}

/* mould = "mould" NAME ":" fields */
void mw_statement_mould(mw_reading *reading, mw_statement *statement)
{
    statement->kind = MW_SAY_MOULD;
    statement->first_item = reading->ast->item_count;
    reading->fields = true;
    mw_lexer_next(reading);
    if (reading->now.kind != MW_TOKEN_NAME) {
        mw_diag *diag = mw_statement_missing(reading, "the mould's name is missing here");
        mw_diag_try(reading->diags, diag, "mould hull_port: area 6.4 m2, edge 11.2 m");
        return;
    }
    statement->name = mw_statement_now_span(reading);
    mw_str name = mw_statement_now(reading);
    mw_lexer_next(reading);
    if (reading->now.kind != MW_TOKEN_COLON) {
        report_no_colon(reading, name);
        return;
    }
    mw_lexer_next(reading);
    mw_statement_fields(reading, statement);
}
