/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The decimal comma of somebody who types: `1,5 kg` is read as `1.5 kg`, and lists are parted by semicolons. Only what
 * is typed is turned around, byte by byte, so that places stay; jobs and files always have the point. */
#include "decimal.h"

#include <string.h>

static bool digit_at(mw_str text, size_t at)
{
    return at < text.length && text.at[at] >= '0' && text.at[at] <= '9';
}

/* Where a remark or a text in quotes ends that begins at `at`; `at` where none begins. */
static size_t behind_text(mw_str text, size_t at)
{
    size_t to = at;
    if (text.at[at] == '#') {
        const char *end = memchr(text.at + at, '\n', text.length - at);
        return end ? (size_t)(end - text.at) : text.length;
    }
    if (text.at[at] != '"') {
        return at;
    }
    for (to++; to < text.length && text.at[to] != '"' && text.at[to] != '\n'; to++) {
        to += text.at[to] == '\\' && to + 1 < text.length;
    }
    return to < text.length ? to + 1 : to;
}

size_t decimal_to_point(mw_str typed, mw_text *out)
{
    size_t wrong = typed.length;
    for (size_t at = 0; at < typed.length;) {
        size_t behind = behind_text(typed, at);
        if (behind > at) {
            mw_text_add(out, typed.at + at, behind - at);
            at = behind;
            continue;
        }
        char c = typed.at[at];
        if (c == ',') {
            bool inside = at > 0 && digit_at(typed, at - 1) && digit_at(typed, at + 1);
            wrong = !inside && wrong == typed.length ? at : wrong;
            c = inside ? '.' : ',';
        } else if (c == ';') {
            c = ',';
        }
        mw_text_addc(out, c);
        at++;
    }
    return wrong;
}

bool decimal_typed(cli *program, const char *name, mw_str typed, uint32_t line, mw_text *out)
{
    size_t wrong = decimal_to_point(typed, out);
    if (wrong == typed.length) {
        return true;
    }
    mw_sources *sources = mw_job_sources(program->job);
    uint32_t source = mw_sources_add(sources, mw_str_of(name), typed);
    if (source == MW_NONE) {
        out->failed = true;
        return false;
    }
    mw_sources_first_line(sources, source, line);
    mw_span comma = {source, (uint32_t)wrong, (uint32_t)wrong + 1};
    mw_diag *diag = mw_diags_error(&program->diags, MW_CODE_DECIMAL_COMMA, comma,
                                   "a comma that parts no digits, while the decimal comma is set");
    mw_diag_try(&program->diags, diag, "part values by semicolons: [1,5; 2]");
    cli_write_diags(program);
    mw_sources_drop_last(sources, source);
    return false;
}

mw_status cli_decimal(cli *program, const mw_statement *statement, mw_text *out)
{
    mw_str word = mw_str_trim(mw_sources_piece(mw_job_sources(program->job), statement->rest));
    bool comma = mw_str_is(word, "comma");
    if (program->in_job_file) {
        mw_diags_error(&program->diags, MW_CODE_DECIMAL_COMMA, statement->span,
                       "a job file always has the decimal point");
        return MW_FAILED;
    }
    if (word.length > 0 && !comma && !mw_str_is(word, "point")) {
        mw_diag *diag = mw_diags_error(&program->diags, MW_CODE_SYNTAX, statement->rest,
                                       "behind `decimal` stands `comma`, `point` or nothing");
        mw_diag_try(&program->diags, diag, "decimal comma");
        return MW_FAILED;
    }
    program->decimal_comma = word.length > 0 ? comma : program->decimal_comma;
    if (program->style.json) {
        mw_text_addf(out, "{\"decimal\": \"%s\"}\n", program->decimal_comma ? "comma" : "point");
    } else if (program->decimal_comma) {
        mw_text_adds(out, "typed numbers have a decimal comma, 1,5; semicolons part values\n");
    } else {
        mw_text_adds(out, "typed numbers have a decimal point, 1.5; commas part values\n");
    }
    return MW_OK;
}
