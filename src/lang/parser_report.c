/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said about formulas that cannot be read, and where reading goes on behind the fault. */
#include <stdio.h>
#include <string.h>

#include "mouldwright/number.h"

#include "parser_tree.h"

static mw_str before_piece(const mw_reading *reading)
{
    return mw_lexer_piece(reading->before_begin, reading->before_end);
}

static bool is_closing(mw_token_kind kind)
{
    return kind == MW_TOKEN_CLOSE || kind == MW_TOKEN_CLOSE_LIST;
}

static bool is_opening(mw_token_kind kind)
{
    return kind == MW_TOKEN_OPEN || kind == MW_TOKEN_OPEN_LIST;
}

void mw_parser_resume(mw_reading *reading)
{
    uint32_t inner = 0;
    while (reading->now.kind != MW_TOKEN_END) {
        bool closing = is_closing(reading->now.kind);
        if (inner == 0 && (closing || reading->now.kind == MW_TOKEN_COMMA)) {
            reading->quiet = false;
            return;
        }
        if (is_opening(reading->now.kind)) {
            inner++;
        } else if (closing) {
            inner--;
        }
        mw_lexer_next(reading);
    }
}

void mw_parser_unclosed(mw_reading *reading, const char *open)
{
    mw_str bracket = {open, 1};
    if (reading->now.kind == MW_TOKEN_END) {
        mw_lexer_error(reading, MW_CODE_UNCLOSED, bracket, "the bracket `%c` is not closed", *open);
    } else {
        mw_diag *diag = mw_lexer_error(reading, MW_CODE_UNCLOSED, bracket,
                                       "the bracket `%c` is closed by one of another kind", *open);
        mw_span other = mw_parser_span(reading, reading->now.begin, reading->now.end);
        mw_diag_other(reading->diags, diag, other, "it is closed here");
    }
    reading->quiet = true;
}

/* A value is missing, and the text ends. */
static void report_end(mw_reading *reading)
{
    mw_str before = before_piece(reading);
    if (reading->before == MW_TOKEN_END) {
        mw_lexer_error(reading, MW_CODE_SYNTAX, (mw_str){reading->now.begin, 0},
                       "a formula is missing");
    } else {
        mw_lexer_error(reading, MW_CODE_SYNTAX, before, "a value is missing behind `%.*s`",
                       mw_lexer_shown(before), before.at);
    }
}

void mw_parser_missing(mw_reading *reading)
{
    mw_str now = mw_tree_now(reading);
    mw_str before = before_piece(reading);
    mw_token_kind kind = reading->now.kind;
    bool at_begin = reading->before == MW_TOKEN_END;
    if (kind == MW_TOKEN_END && is_opening(reading->before)) {
        return; /* that the bracket is not closed says it all */
    }
    if (kind == MW_TOKEN_END) {
        report_end(reading);
    } else if (is_opening(reading->before) && is_closing(kind)) {
        mw_lexer_error(reading, MW_CODE_SYNTAX, mw_lexer_piece(before.at, now.at + now.length),
                       "nothing stands between the brackets");
    } else if (mw_parser_is_sign(kind) && mw_parser_is_sign(reading->before)) {
        mw_lexer_error(reading, MW_CODE_SYNTAX, now,
                       "two signs follow each other: `%.*s` and `%.*s`", mw_lexer_shown(before),
                       before.at, mw_lexer_shown(now), now.at);
    } else if (at_begin || mw_parser_is_sign(kind)) {
        mw_lexer_error(reading, MW_CODE_SYNTAX, now, "a value is missing in front of `%.*s`",
                       mw_lexer_shown(now), now.at);
    } else {
        mw_lexer_error(reading, MW_CODE_SYNTAX, now, "a value is missing between `%.*s` and `%.*s`",
                       mw_lexer_shown(before), before.at, mw_lexer_shown(now), now.at);
    }
    reading->quiet = true;
}

static bool all_digits(mw_str piece)
{
    return strspn(piece.at, "0123456789") >= piece.length;
}

/* Two numbers stand side by side: 1 000 or 3 1/2 in. Returns whether it was clear what was meant. */
static bool try_two_numbers(mw_reading *reading, mw_diag *diag)
{
    mw_str before = before_piece(reading);
    mw_str now = mw_tree_now(reading);
    size_t digits = strspn(now.at, "0123456789");
    if (!all_digits(before)) {
        return false;
    }
    if (digits < now.length && now.at[digits] == '/') {
        double whole = 0;
        mw_number_read(before, &whole);
        const char *unit = now.at + digits + 1 + strspn(now.at + digits + 1, "0123456789 ");
        mw_str rest = mw_lexer_piece(unit, now.at + now.length);
        mw_diag_try(reading->diags, diag, "%.10g %.*s", whole + reading->now.number,
                    mw_lexer_shown(rest), rest.at);
        return true;
    }
    if (digits == 3) {
        mw_diag_try(reading->diags, diag, "%.*s%.*s", mw_lexer_shown(before), before.at,
                    mw_lexer_shown(now), now.at);
    }
    return digits == 3;
}

static bool has_unit(mw_str number)
{
    return strspn(number.at, "0123456789.eE+-") < number.length;
}

/* Words between two values that say in English what the language has a sign for. Returns whether it
 * was one. */
static bool try_word_between(mw_reading *reading, mw_diag *diag)
{
    static const char *const conversions[] = {"in", "to", "into"};
    mw_str before = before_piece(reading);
    mw_str now = mw_tree_now(reading);
    for (size_t i = 0; i < sizeof conversions / sizeof *conversions; i++) {
        if (mw_str_is(now, conversions[i])) {
            mw_diag_try(reading->diags, diag, "%.*s as ... shows it in another unit",
                        mw_lexer_shown(before), before.at);
            return true;
        }
    }
    if (mw_str_is(now, "of")) {
        mw_diag_try(reading->diags, diag, "%.*s * ... is a share of it", mw_lexer_shown(before),
                    before.at);
        return true;
    }
    return false;
}

/* Whether two names with nothing behind them look like a name of two words without its quotes. */
static bool is_unquoted(const mw_reading *reading)
{
    const char *next = mw_lexer_skip(reading->now.end, reading->end);
    bool words = reading->before == MW_TOKEN_NAME || reading->before == MW_TOKEN_USUAL;
    return words && reading->now.kind == MW_TOKEN_NAME &&
           (next == reading->end || *next == ',' || *next == '#');
}

/* Two values stand side by side. Adds what was perhaps meant. */
static void try_side_by_side(mw_reading *reading, mw_diag *diag)
{
    mw_str before = before_piece(reading);
    mw_str now = mw_tree_now(reading);
    mw_token_kind kind = reading->now.kind;
    bool numbers = kind == MW_TOKEN_NUMBER && reading->before == MW_TOKEN_NUMBER;
    if (numbers && try_two_numbers(reading, diag)) {
        return;
    }
    if (kind == MW_TOKEN_NAME && try_word_between(reading, diag)) {
        return;
    }
    if (numbers && !reading->fields && !reading->commas && has_unit(before) && has_unit(now)) {
        mw_diag_try(reading->diags, diag, "%.*s + %.*s", mw_lexer_shown(before), before.at,
                    mw_lexer_shown(now), now.at);
        return;
    }
    if (reading->fields && is_unquoted(reading)) {
        mw_diag_try(reading->diags, diag, "\"%.*s %.*s\" in quotes if this is one name",
                    mw_lexer_shown(before), before.at, mw_lexer_shown(now), now.at);
    } else if (reading->fields || reading->commas) {
        mw_diag_try(reading->diags, diag, "put a comma in front of `%.*s`", mw_lexer_shown(now),
                    now.at);
    } else if (kind == MW_TOKEN_NAME && reading->before == MW_TOKEN_CLOSE) {
        mw_diag_try(reading->diags, diag, "* %.*s, or * 1 %.*s if it is a unit",
                    mw_lexer_shown(now), now.at, mw_lexer_shown(now), now.at);
    } else if (kind == MW_TOKEN_NAME && reading->before == MW_TOKEN_NAME) {
        mw_diag_try(reading->diags, diag, "%.*s_%.*s if this is one name", mw_lexer_shown(before),
                    before.at, mw_lexer_shown(now), now.at);
    } else if (is_opening(kind) || kind == MW_TOKEN_NAME || kind == MW_TOKEN_NUMBER) {
        mw_diag_try(reading->diags, diag, "%.*s * %.*s", mw_lexer_shown(before), before.at,
                    mw_lexer_shown(now), now.at);
    }
}

static void report_side_by_side(mw_reading *reading)
{
    mw_str before = before_piece(reading);
    mw_str now = mw_tree_now(reading);
    mw_diag *diag =
        mw_lexer_error(reading, MW_CODE_SYNTAX, now, "a sign is missing between `%.*s` and `%.*s`",
                       mw_lexer_shown(before), before.at, mw_lexer_shown(now), now.at);
    if (diag != NULL) {
        try_side_by_side(reading, diag);
    }
}

void mw_parser_stray_comma(mw_reading *reading, mw_str comma)
{
    mw_diag *diag = mw_lexer_error(reading, MW_CODE_SYNTAX, comma,
                                   "a comma parts the values of a list or a function, and this "
                                   "stands in neither");
    mw_diag_try(reading->diags, diag, "a list in square brackets: [1, 2]");
}

/* A colon that parts nothing: a time of day, or `=` was meant. */
static void report_colon(mw_reading *reading, mw_str colon)
{
    mw_diag *diag = mw_lexer_error(reading, MW_CODE_SYNTAX, colon,
                                   "`:` stands only behind the name of a new mould");
    if (reading->before == MW_TOKEN_NUMBER) {
        mw_diag_try(reading->diags, diag, "12.5 h for hours, 2027-03-11T08:30 for a time of day");
    } else if (reading->before == MW_TOKEN_NAME) {
        mw_diag_try(reading->diags, diag, "= in its place, to set a value");
    }
}

void mw_parser_misfit(mw_reading *reading)
{
    mw_str now = mw_tree_now(reading);
    mw_diag *diag = NULL;
    switch (reading->now.kind) {
    case MW_TOKEN_CLOSE:
    case MW_TOKEN_CLOSE_LIST:
        mw_lexer_error(reading, MW_CODE_SYNTAX, now, "`%c` closes nothing that was opened",
                       *now.at);
        break;
    case MW_TOKEN_COMMA:
        mw_parser_stray_comma(reading, now);
        break;
    case MW_TOKEN_COLON:
        report_colon(reading, now);
        break;
    case MW_TOKEN_THEN:
    case MW_TOKEN_ELSE:
        diag = mw_lexer_error(reading, MW_CODE_SYNTAX, now, "`%.*s` has no `if` in front",
                              (int)now.length, now.at);
        mw_diag_try(reading->diags, diag, "if a > b then a else b");
        break;
    case MW_TOKEN_END:
    case MW_TOKEN_WRONG:
    case MW_TOKEN_NUMBER:
    case MW_TOKEN_DATE:
    case MW_TOKEN_TEXT:
    case MW_TOKEN_NAME:
    case MW_TOKEN_USUAL:
    case MW_TOKEN_YES:
    case MW_TOKEN_NO:
    case MW_TOKEN_IF:
    case MW_TOKEN_NOT:
    case MW_TOKEN_AND:
    case MW_TOKEN_OR:
    case MW_TOKEN_AS:
    case MW_TOKEN_OPEN:
    case MW_TOKEN_OPEN_LIST:
    case MW_TOKEN_RANGE:
    case MW_TOKEN_PLUS:
    case MW_TOKEN_MINUS:
    case MW_TOKEN_STAR:
    case MW_TOKEN_SLASH:
    case MW_TOKEN_CARET:
    case MW_TOKEN_EQUAL:
    case MW_TOKEN_UNEQUAL:
    case MW_TOKEN_LESS:
    case MW_TOKEN_LESS_EQUAL:
    case MW_TOKEN_GREATER:
    case MW_TOKEN_GREATER_EQUAL:
    case MW_TOKEN_COUNT:
        report_side_by_side(reading);
        break;
    }
    reading->quiet = true;
}

/* Adds `a < b and b < c` to the report. */
static void try_chain(mw_reading *reading, mw_diag *diag, const uint32_t nodes[3],
                      const mw_str signs[2])
{
    mw_str values[3];
    size_t length = 0;
    for (int i = 0; i < 3; i++) {
        const mw_node *node = mw_tree_node(reading, nodes[i]);
        values[i] = mw_lexer_piece(reading->base + node->begin, reading->base + node->end);
        length += values[i].length;
    }
    if (length > 100) {
        return;
    }
    mw_diag_try(reading->diags, diag, "%.*s %.*s %.*s and %.*s %.*s %.*s", (int)values[0].length,
                values[0].at, (int)signs[0].length, signs[0].at, (int)values[1].length,
                values[1].at, (int)values[1].length, values[1].at, (int)signs[1].length,
                signs[1].at, (int)values[2].length, values[2].at);
}

void mw_parser_chained(mw_reading *reading, uint32_t node)
{
    const mw_node *first = mw_tree_node(reading, node);
    const char *sign = reading->base + first->at;
    size_t length = sign[1] == '=' || sign[1] == '>' ? 2 : 1;
    mw_str signs[2] = {{sign, length}, mw_tree_now(reading)};
    mw_diag *diag = mw_lexer_error(reading, MW_CODE_SYNTAX, signs[1],
                                   "one comparison cannot go on into the next");
    reading->quiet = true;
    uint32_t nodes[3] = {first->a, first->b, MW_NONE};
    mw_lexer_next(reading);
    nodes[2] = mw_parser_level(reading, MW_LEVEL_RANGE);
    if (diag != NULL && nodes[2] != reading->hole) {
        try_chain(reading, diag, nodes, signs);
    }
}
