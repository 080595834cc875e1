/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Messages of the checker: both values, both kinds, both places. */
#include "check.h"
#include "mouldwright/parse.h"

/* Longer pieces are cut: the mark under the line shows the rest. */
#define PIECE_COLUMNS 40

mw_span mw_check_span(const mw_compiler *compiler, uint32_t at)
{
    const mw_node *node = mw_check_node_of(compiler, at);
    if (node->kind == MW_NODE_TEXT && node->end < UINT32_MAX && node->at < node->begin) {
        return (mw_span){compiler->ast->source, node->at, node->end + 1};
    }
    return (mw_span){compiler->ast->source, node->begin, node->end};
}

/* Shortens what stands in a text from `from` on to PIECE_COLUMNS, at a whole character. */
static void cut(mw_text *text, size_t from)
{
    const mw_str piece = {text->data + from, text->length - from};
    if (text->failed || mw_utf8_columns(piece) <= PIECE_COLUMNS) {
        return;
    }
    size_t keep = 0;
    while (mw_utf8_columns((mw_str){piece.at, keep}) < PIECE_COLUMNS - 3) {
        size_t bytes = 1;
        mw_utf8_decode(piece.at + keep, piece.at + piece.length, &bytes);
        keep += bytes;
    }
    text->length = from + keep;
    mw_text_adds(text, "...");
}

static mw_text *fresh(mw_compiler *compiler, uint32_t which)
{
    mw_text *text = &compiler->pieces[which];
    mw_text_clear(text);
    return text;
}

static const char *finish(mw_compiler *compiler, const mw_text *text)
{
    compiler->no_memory = compiler->no_memory || text->failed;
    return mw_text_chars(text);
}

static void add_piece(mw_compiler *compiler, uint32_t at, mw_text *text)
{
    const size_t from = text->length;
    mw_ast_words(compiler->ast, compiler->measure, compiler->facts[at].node, text);
    cut(text, from);
}

const char *mw_check_piece(mw_compiler *compiler, uint32_t at, uint32_t which)
{
    mw_text *text = fresh(compiler, which);
    add_piece(compiler, at, text);
    return finish(compiler, text);
}

const char *mw_check_is(mw_compiler *compiler, uint32_t at, uint32_t which)
{
    const mw_fact *fact = &compiler->facts[at];
    mw_text *text = fresh(compiler, which);
    if (fact->list) {
        mw_text_adds(text, "each of ");
    }
    add_piece(compiler, at, text);
    mw_text_adds(text, " is ");
    mw_type_words(compiler->measure, fact->type, text);
    return finish(compiler, text);
}

const char *mw_check_kind(mw_compiler *compiler, mw_type type, uint32_t which)
{
    mw_text *text = fresh(compiler, which);
    mw_type_words(compiler->measure, type, text);
    return finish(compiler, text);
}

const char *mw_check_unit(mw_compiler *compiler, mw_unit unit, uint32_t which)
{
    mw_text *text = fresh(compiler, which);
    mw_unit_words(compiler->measure, unit, text);
    return finish(compiler, text);
}

bool mw_check_is_point(const mw_compiler *compiler, mw_type type)
{
    return mw_type_look(compiler->measure, type)->point != 0;
}

/* What to try with a point of either scale. */
static void try_difference(mw_compiler *compiler, mw_diag *diag, mw_type type)
{
    if (mw_type_look(compiler->measure, type)->exponent[MW_TIME] != 0) {
        mw_diag_try(compiler->diags, diag, "add a time: 2027-01-11 + 3 d");
    } else {
        mw_diag_try(compiler->diags, diag, "write the difference in K: 20 degC + 5 K");
    }
}

/* point + point, difference - point, and comparisons of one with the other. */
static void report_points(mw_compiler *compiler, const mw_clash *clash)
{
    const char *right = mw_check_is(compiler, clash->right, 0);
    const char *left = mw_check_is(compiler, clash->left, 1);
    const mw_type type = compiler->facts[clash->right].type;
    const bool both = mw_check_is_point(compiler, type) &&
                      mw_check_is_point(compiler, compiler->facts[clash->left].type);
    const mw_code code = both ? MW_CODE_POINT_ADD : MW_CODE_KIND_MISMATCH;
    mw_diag *diag = mw_diags_error(compiler->diags, code, mw_check_span(compiler, clash->right),
                                   "%s; %s: they cannot be %s", right, left, clash->deed);
    mw_diag_other(compiler->diags, diag, mw_check_span(compiler, clash->left), "%s", left);
    if (both) {
        try_difference(compiler, diag, type);
    }
}

void mw_check_refuse_point(mw_compiler *compiler, uint32_t at, const char *deed)
{
    const char *is = mw_check_is(compiler, at, 0);
    const mw_type type = compiler->facts[at].type;
    mw_diag *diag = mw_diags_error(compiler->diags, MW_CODE_WRONG_KIND, mw_check_span(compiler, at),
                                   "%s: it cannot be %s", is, deed);
    if (mw_type_look(compiler->measure, type)->exponent[MW_TIME] != 0) {
        mw_diag_try(compiler->diags, diag,
                    "take the time between two dates: 2027-03-11 - 2027-01-11");
    } else {
        mw_diag_try(compiler->diags, diag, "take a difference: 20 degC - 0 degC, or write it in K");
    }
}

/* A number without a unit beside a quantity is usually a unit forgotten. */
static void try_unit(mw_compiler *compiler, mw_diag *diag, uint32_t bare, uint32_t other)
{
    const mw_fact *number = &compiler->facts[bare];
    const mw_node *node = mw_check_node_of(compiler, bare);
    if (node->kind != MW_NODE_NUMBER || number->unit != MW_UNIT_ONE ||
        compiler->facts[other].unit == MW_UNIT_ONE) {
        return;
    }
    const char *piece = mw_check_piece(compiler, bare, 2);
    const char *unit = mw_check_unit(compiler, compiler->facts[other].unit, 3);
    mw_diag_try(compiler->diags, diag, "give the number a unit: %s %s", piece, unit);
}

static void report_kinds(mw_compiler *compiler, const mw_clash *clash)
{
    const char *right = mw_check_is(compiler, clash->right, 0);
    const char *left = mw_check_is(compiler, clash->left, 1);
    mw_diag *diag = mw_diags_error(compiler->diags, MW_CODE_KIND_MISMATCH,
                                   mw_check_span(compiler, clash->right),
                                   "%s; %s: they cannot be %s", right, left, clash->deed);
    mw_diag_other(compiler->diags, diag, mw_check_span(compiler, clash->left), "%s", left);
    try_unit(compiler, diag, clash->left, clash->right);
    try_unit(compiler, diag, clash->right, clash->left);
}

static void report_currencies(mw_compiler *compiler, const mw_clash *clash)
{
    const char *right = mw_check_is(compiler, clash->right, 0);
    const char *left = mw_check_is(compiler, clash->left, 1);
    mw_diag *diag =
        mw_diags_error(compiler->diags, MW_CODE_NO_RATE, mw_check_span(compiler, clash->right),
                       "%s; %s; there is no exchange rate between them", right, left);
    mw_diag_other(compiler->diags, diag, mw_check_span(compiler, clash->left), "%s", left);
}

void mw_check_clash(mw_compiler *compiler, const mw_clash *clash)
{
    switch (clash->fault) {
    case MW_TYPE_FINE:
        return;
    case MW_TYPE_KINDS:
        report_kinds(compiler, clash);
        return;
    case MW_TYPE_CURRENCIES:
        report_currencies(compiler, clash);
        return;
    case MW_TYPE_POINTS:
        report_points(compiler, clash);
        return;
    case MW_TYPE_POWER:
        mw_diags_error(compiler->diags, MW_CODE_BAD_POWER, mw_check_span(compiler, clash->right),
                       "the powers of the unit become too large");
        return;
    case MW_TYPE_MEMORY:
        compiler->no_memory = true;
        return;
    }
}
