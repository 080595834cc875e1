/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Statements: what the first word of a line decides. */
#include "statement.h"

#include <string.h>

#include "mouldwright/suggest.h"

#include "lexer_bytes.h"

enum { LINE_BYTES = MW_FORMULA_BYTES + 4096 }; /* the formula, and what stands in front of it */

/* A first word that is more than a report or session command. */
typedef struct word_row {
    const char *word;
    const char *second; /* the word that has to follow, NULL: none */
    mw_statement_function *read;
} word_row;

static const word_row word_rows[] = {
    {"shop", NULL, mw_statement_shop},
    {"start", NULL, mw_statement_start},
    {"mould", NULL, mw_statement_mould},
    {"moulds", "from", mw_statement_moulds_from},
    {"include", NULL, mw_statement_include},
    {"what", "if", mw_statement_what_if},
    {"why", NULL, mw_statement_why},
    {"restore", NULL, mw_statement_restore},
    {"drop", NULL, mw_statement_drop},
    {"copy", NULL, mw_statement_copy},
    {"new", NULL, mw_statement_new},
    {"ballpark", NULL, mw_statement_ballpark},
    {"alternative", NULL, mw_statement_alternative},
    {"weigh", NULL, mw_statement_weigh},
};

mw_str mw_statement_now(const mw_reading *reading)
{
    return mw_lexer_piece(reading->now.begin, reading->now.end);
}

mw_span mw_statement_now_span(const mw_reading *reading)
{
    return mw_parser_span(reading, reading->now.begin, reading->now.end);
}

/* Points behind what was read last where the line ends too early. */
mw_diag *mw_statement_missing(mw_reading *reading, const char *what)
{
    mw_str where = mw_statement_now(reading);
    if (reading->now.kind == MW_TOKEN_END) {
        where = mw_lexer_piece(reading->before_begin, reading->before_end);
    }
    mw_diag *diag = mw_lexer_error(reading, MW_CODE_SYNTAX, where, "%s", what);
    reading->quiet = true;
    return diag;
}

void mw_statement_formula(mw_reading *reading, mw_statement *statement)
{
    const char *begin = reading->now.begin;
    statement->formula = mw_parser_formula(reading);
    mw_str text = mw_lexer_piece(begin, reading->before_end);
    statement->formula_span = mw_parser_span(reading, begin, reading->before_end);
    if (reading->before_end > begin && text.length > MW_FORMULA_BYTES) {
        mw_parser_too_long(reading, text, MW_FORMULA_BYTES);
    }
}

/* --- what stands behind the first word --- */

/* The first word of a line and what follows it. */
typedef struct line_start {
    mw_str word;
    bool path;          /* a point and another name follow directly */
    const char *behind; /* the first byte behind the word or path that is no blank */
    const char *end;
} line_start;

static line_start look_ahead(const mw_reading *reading)
{
    const char *end = reading->end;
    line_start start = {.word = mw_statement_now(reading), .end = end};
    const char *at = reading->now.end;
    while (at < end && *at == '.' && mw_lexer_is_letter(at + 1, end)) {
        start.path = true;
        at = mw_lexer_word_end(at + 1, end);
    }
    at += at < end && *at == ' ';
    start.behind = at < end && mw_byte_class_of(*at) == MW_BYTE_PAIR ? at : mw_lexer_skip(at, end);
    return start;
}

static bool stands(const line_start *start, const char *sign)
{
    size_t length = strlen(sign);
    return (size_t)(start->end - start->behind) >= length &&
           memcmp(start->behind, sign, length) == 0;
}

/* `=` or the `:=` of other languages, but not `==`. */
static bool defines(const line_start *start)
{
    return (stands(start, "=") && !stands(start, "==")) || stands(start, ":=");
}

static mw_str word_behind(const line_start *start)
{
    return mw_lexer_piece(start->behind, mw_lexer_word_end(start->behind, start->end));
}

/* Whether what follows makes the first word a value in a formula. */
static bool goes_on_as_formula(const line_start *start)
{
    if (start->path) {
        return true;
    }
    if (start->behind == start->end) {
        return false;
    }
    mw_str word = word_behind(start);
    if (word.length > 0) {
        mw_token_kind kind = mw_lexer_word_kind(word.at, word.length);
        return kind == MW_TOKEN_AND || kind == MW_TOKEN_OR || kind == MW_TOKEN_AS;
    }
    return strchr("=<>+-*/^.&|!", *start->behind) != NULL;
}

/* --- commands --- */

static const mw_command_row *find_command(mw_str word)
{
    for (const mw_command_row *row = mw_command_rows(); row->word != NULL; row++) {
        if (mw_str_is(word, row->word)) {
            return row;
        }
    }
    return NULL;
}

/* Returns what stands from `at` on up to the comment, without blanks around. */
static mw_str rest_of_line(const char *at, const char *end)
{
    const char *stop = at;
    bool quoted = false;
    while (stop < end && (quoted || *stop != '#')) {
        if (quoted && *stop == '\\' && stop + 1 < end) {
            stop++;
        } else if (*stop == '"') {
            quoted = !quoted;
        }
        stop++;
    }
    return mw_str_trim(mw_lexer_piece(at, stop));
}

static void check_report(mw_reading *reading, const mw_command_row *row, mw_str rest)
{
    if (row->report && rest.length > 0 && !mw_is_name(rest)) {
        mw_diag *diag =
            mw_lexer_error(reading, MW_CODE_SYNTAX, rest,
                           "behind `%s` stands the name of a mould or nothing", row->word);
        mw_diag_try(reading->diags, diag, "%s", row->word);
    }
}

/* command = WORD { any text } */
static void read_command(mw_reading *reading, mw_statement *statement, const mw_command_row *row)
{
    statement->kind = MW_SAY_COMMAND;
    statement->name = mw_statement_now_span(reading);
    mw_str rest = rest_of_line(reading->now.end, reading->end);
    const char *end = rest.length > 0 ? rest.at + rest.length : reading->now.end;
    const char *begin = rest.length > 0 ? rest.at : end;
    statement->rest = mw_parser_span(reading, begin, end);
    check_report(reading, row, rest);
    reading->at = reading->end;
    mw_lexer_next(reading);
    reading->before_end = end;
}

/* --- words that begin no statement --- */

static void offer_rows(mw_suggest *suggest, const mw_command_row *row)
{
    for (; row->word != NULL; row++) {
        mw_suggest_offer(suggest, mw_str_of(row->word));
        mw_suggest_offer(suggest, (mw_str){row->word, strcspn(row->word, " ")});
    }
}

/* `hull area = 3`: reports the blanks in the name. Returns whether it was that. */
static bool report_blanks(mw_reading *reading, const line_start *start)
{
    const char *at = start->behind;
    const char *name_end = at;
    while (mw_lexer_is_letter(at, start->end)) {
        name_end = mw_lexer_word_end(at, start->end);
        at = mw_lexer_skip(name_end, start->end);
    }
    if (name_end == start->behind || at == start->end || *at != '=') {
        return false;
    }
    mw_str name = mw_lexer_piece(start->word.at, name_end);
    mw_diag *diag = mw_lexer_error(reading, MW_CODE_SYNTAX, name, "a name has no blanks in it");
    mw_str first = start->word;
    mw_str second = word_behind(start);
    mw_diag_try(reading->diags, diag, "%.*s_%.*s", mw_lexer_shown(first), first.at,
                mw_lexer_shown(second), second.at);
    return true;
}

static void report_word(mw_reading *reading, const line_start *start)
{
    mw_suggest suggest;
    mw_suggest_start(&suggest, start->word);
    offer_rows(&suggest, mw_command_rows());
    offer_rows(&suggest, mw_statement_rows());
    if (suggest.best.length == 0 && report_blanks(reading, start)) {
        return;
    }
    mw_diag *diag = mw_lexer_error(reading, MW_CODE_UNKNOWN_STATEMENT, start->word,
                                   "no statement begins with `%.*s`", mw_lexer_shown(start->word),
                                   start->word.at);
    if (suggest.best.length > 0) {
        /* A first word is offered as the beginning of its row, so this is the whole statement's. */
        mw_diag_try(reading->diags, diag, "%s", suggest.best.at);
    }
}

/* Whether something follows that cannot follow a value: then the first word was meant as a statement. */
static bool begins_no_formula(const line_start *start)
{
    if (start->path || start->behind == start->end) {
        return false;
    }
    if (!mw_lexer_is_letter(start->behind, start->end)) {
        return mw_byte_is_digit(*start->behind) || *start->behind == '"' || *start->behind == ':';
    }
    mw_str word = word_behind(start);
    mw_token_kind kind = mw_lexer_word_kind(word.at, word.length);
    return kind == MW_TOKEN_NAME || kind == MW_TOKEN_IF || kind == MW_TOKEN_YES ||
           kind == MW_TOKEN_NO || kind == MW_TOKEN_USUAL || kind == MW_TOKEN_NOT;
}

/* --- the forms --- */

/* show = formula */
static void read_show(mw_reading *reading, mw_statement *statement)
{
    statement->kind = MW_SAY_SHOW;
    mw_statement_formula(reading, statement);
}

/* set = path "=" formula */
static void read_set(mw_reading *reading, mw_statement *statement)
{
    const char *begin = reading->now.begin;
    uint32_t path = mw_parser_path(reading);
    if (reading->now.kind != MW_TOKEN_EQUAL) {
        statement->kind = MW_SAY_SHOW;
        statement->formula = mw_parser_onward(reading, path);
        statement->formula_span = mw_parser_span(reading, begin, reading->before_end);
        return;
    }
    statement->kind = MW_SAY_SET;
    statement->path = path;
    mw_lexer_next(reading);
    mw_statement_formula(reading, statement);
}

/* Finds the row of a first word whose second word, if it needs one, follows. */
static const word_row *find_word(const line_start *start)
{
    mw_str second = word_behind(start);
    for (size_t i = 0; i < sizeof word_rows / sizeof word_rows[0]; i++) {
        const word_row *row = &word_rows[i];
        if (mw_str_is(start->word, row->word) &&
            (row->second == NULL || mw_str_is(second, row->second))) {
            return row;
        }
    }
    return NULL;
}

/* Whether the word alone is the whole line. */
static bool is_alone(const line_start *start)
{
    return !start->path && start->behind == start->end;
}

/* A line that begins with a name and does not define it. */
static void read_worded(mw_reading *reading, mw_statement *statement, const line_start *start)
{
    const mw_command_row *command = find_command(start->word);
    if (command != NULL && command->free && !start->path) {
        read_command(reading, statement, command);
        return;
    }
    if (goes_on_as_formula(start)) {
        read_show(reading, statement);
        return;
    }
    const word_row *row = find_word(start);
    bool call = stands(start, "(") && (row == NULL || row->read != mw_statement_why);
    if (call) {
        read_show(reading, statement);
    } else if (row != NULL && !(command != NULL && is_alone(start))) {
        row->read(reading, statement);
    } else if (command != NULL) {
        read_command(reading, statement, command);
    } else if (begins_no_formula(start)) {
        report_word(reading, start);
        reading->quiet = true;
    } else {
        read_show(reading, statement);
    }
}

/* Whether ` = ` and the first byte of a formula follow: the form of nearly all lines of a large job. */
static bool is_plain_set(const mw_reading *reading)
{
    const char *at = reading->now.end;
    return reading->end - at > 3 && at[0] == ' ' && at[1] == '=' && at[2] == ' ' &&
           mw_byte_is_name(at[3]);
}

/* line = NAME ... */
static void read_named(mw_reading *reading, mw_statement *statement)
{
    if (is_plain_set(reading)) {
        read_set(reading, statement);
        return;
    }
    line_start start = look_ahead(reading);
    if (defines(&start)) {
        bool empty = mw_lexer_skip(start.behind + 1, start.end) == start.end;
        const mw_command_row *command = empty ? find_command(start.word) : NULL;
        if (command != NULL && command->free) {
            read_command(reading, statement, command);
        } else {
            read_set(reading, statement);
        }
        return;
    }
    read_worded(reading, statement, &start);
}

/* A line that begins with a sign of equality: what stands behind it is the formula. */
static void read_equal(mw_reading *reading, mw_statement *statement)
{
    mw_diag *diag = mw_lexer_error(reading, MW_CODE_SYNTAX, mw_statement_now(reading),
                                   "a formula stands by itself, without `=` in front");
    mw_str rest = rest_of_line(reading->now.end, reading->end);
    if (rest.length > 0) {
        mw_diag_try(reading->diags, diag, "%.*s", mw_lexer_shown(rest), rest.at);
    }
    reading->quiet = rest.length == 0;
    mw_lexer_next(reading);
    read_show(reading, statement);
}

/* A line that would define a word of the language. */
static bool report_reserved(mw_reading *reading)
{
    if (reading->now.kind < MW_TOKEN_USUAL || reading->now.kind > MW_TOKEN_AS) {
        return false;
    }
    line_start start = look_ahead(reading);
    if (!defines(&start)) {
        return false;
    }
    mw_lexer_error(reading, MW_CODE_SYNTAX, start.word,
                   "`%.*s` is a word of the language and cannot be a name", (int)start.word.length,
                   start.word.at);
    reading->quiet = true;
    return true;
}

static void read_statement(mw_reading *reading, mw_statement *statement)
{
    if (reading->now.kind == MW_TOKEN_NAME) {
        read_named(reading, statement);
    } else if (reading->now.kind == MW_TOKEN_EQUAL) {
        read_equal(reading, statement);
    } else if (!report_reserved(reading)) {
        read_show(reading, statement);
    }
    if (reading->now.kind != MW_TOKEN_END) {
        mw_parser_misfit(reading);
    }
}

mw_status mw_parse_statement(const mw_reader *reader, mw_span span, mw_statement *statement)
{
    const mw_span nowhere = {.source = MW_NONE};
    *statement = (mw_statement){.kind = MW_SAY_NOTHING,
                                .span = {span.source, span.begin, span.begin},
                                .path = MW_NONE,
                                .formula = MW_NONE,
                                .formula_span = nowhere,
                                .name = nowhere,
                                .rest = nowhere};
    mw_reading reading;
    mw_status status = mw_parser_begin(&reading, reader, span, LINE_BYTES);
    if (status != MW_OK || reading.now.kind == MW_TOKEN_END) {
        return status;
    }
    const char *begin = reading.now.begin;
    read_statement(&reading, statement);
    statement->span = mw_parser_span(&reading, begin, reading.before_end);
    return mw_parser_end(&reading);
}
