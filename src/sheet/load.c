/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Loading a source of lines `NAME = FORMULA`. */
#include <string.h>

#include "inside.h"

enum {
    NAME_BYTES = 1024,
    RESERVED_BYTES = 5 /* no reserved word is longer */
};

typedef struct loading {
    mw_edit *edit;
    mw_diags *diags;
    mw_ast ast;
    const char *text;
    uint32_t source;
    bool failed;
} loading;

/* A line as far as it has been understood. */
typedef struct loaded_line {
    mw_str name;
    mw_span name_at;
    mw_span formula;
} loaded_line;

static bool is_word(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_';
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t';
}

/* Understands the plainest form, `word = formula` without a comment. Most lines have it, and need not be read
 * as statements before their formula is read. False: it is not that form. */
static bool read_plain(const loading *load, mw_span line, loaded_line *out)
{
    const char *end = load->text + line.end;
    const char *begin = load->text + line.begin;
    while (begin < end && is_blank(*begin)) {
        begin++;
    }
    const char *at = begin;
    while (at < end && is_word(*at)) {
        at++;
    }
    const mw_str name = {begin, (size_t)(at - begin)};
    if (name.length == 0 || name.length > 255 || (*begin >= '0' && *begin <= '9') ||
        (name.length <= RESERVED_BYTES && !mw_is_name(name))) {
        return false;
    }
    while (at < end && is_blank(*at)) {
        at++;
    }
    if (at == end || *at != '=' || memchr(at, '#', (size_t)(end - at)) != NULL) {
        return false;
    }
    at++;
    const mw_str formula = mw_str_trim((mw_str){at, (size_t)(end - at)});
    const uint32_t name_begin = (uint32_t)(begin - load->text);
    const uint32_t formula_begin = (uint32_t)(formula.at - load->text);
    out->name = name;
    out->name_at = (mw_span){load->source, name_begin, name_begin + (uint32_t)name.length};
    out->formula = (mw_span){load->source, formula_begin, formula_begin + (uint32_t)formula.length};
    return formula.length > 0;
}

/* Understands any other line. MW_NOT_FOUND: there is nothing on it. */
static mw_status read_statement(loading *load, mw_span line, char *room, loaded_line *out)
{
    const mw_sheet *sheet = load->edit->sheet;
    const mw_reader reader = {&load->ast, sheet->measure, sheet->sources, load->diags};
    mw_statement statement;
    mw_ast_clear(&load->ast);
    const mw_status status = mw_parse_statement(&reader, line, &statement);
    if (status != MW_OK) {
        return status;
    }
    if (statement.kind == MW_SAY_NOTHING) {
        return MW_NOT_FOUND;
    }
    if (statement.kind != MW_SAY_SET) {
        mw_diags_error(load->diags, MW_CODE_UNKNOWN_STATEMENT, statement.span,
                       "only lines of the form NAME = FORMULA can stand here");
        return MW_FAILED;
    }
    const mw_node *node = &load->ast.nodes[statement.path];
    const mw_path path = {.parts = &load->ast.parts[node->a], .count = node->count};
    out->name = scope_name(&path, room, NAME_BYTES);
    out->name_at = (mw_span){load->source, node->begin, node->end};
    out->formula = statement.formula_span;
    return MW_OK;
}

static void report_twice(loading *load, const loaded_line *line, mw_span first)
{
    mw_diag *diag =
        mw_diags_error(load->diags, MW_CODE_NAME_TWICE, line->name_at, "`%.*s` is defined twice",
                       (int)line->name.length, line->name.at);
    mw_diag_other(load->diags, diag, first, "it is defined here already");
    load->failed = true;
}

static mw_status load_line(loading *load, mw_span span)
{
    char room[NAME_BYTES];
    loaded_line line;
    if (!read_plain(load, span, &line)) {
        const mw_status status = read_statement(load, span, room, &line);
        if (status != MW_OK) {
            load->failed = load->failed || status == MW_FAILED;
            return status == MW_NO_MEMORY ? MW_NO_MEMORY : MW_OK;
        }
    }
    const uint32_t id = mw_edit_cell(load->edit, line.name);
    if (id == MW_NONE) {
        return MW_NO_MEMORY;
    }
    mw_span first;
    if (mw_edit_defined(load->edit, id, &first)) {
        report_twice(load, &line, first);
        return MW_OK;
    }
    mw_edit_formula(load->edit, id,
                    &(mw_definition){.formula = line.formula, .slot = MW_NONE, .unit = MW_NONE});
    return MW_OK;
}

/* Makes room at once for as many cells as there are lines, at most. */
static mw_status make_room(loading *load, mw_str text)
{
    mw_sheet *sheet = load->edit->sheet;
    uint32_t lines = 1;
    const char *at = text.at;
    const char *end = text.at + text.length;
    while ((at = memchr(at, '\n', (size_t)(end - at))) != NULL) {
        at++;
        lines++;
    }
    const uint32_t names = mw_names_count(sheet->names);
    if (lines > INT32_MAX - sheet->total || lines > INT32_MAX - names ||
        !sheet_room(sheet, sheet->total + lines) || !sheet_name_room(sheet, names + lines) ||
        !mw_names_reserve(sheet->names, names + lines)) {
        return MW_NO_MEMORY;
    }
    return MW_OK;
}

/* Errors in the order of the text, whatever the order in which formulas were compiled. */
static void sort_errors(mw_diags *diags, size_t from)
{
    for (size_t i = from + 1; i < diags->count; i++) {
        const mw_diag moved = diags->items[i];
        size_t at = i;
        while (at > from && diags->items[at - 1].span.begin > moved.span.begin) {
            diags->items[at] = diags->items[at - 1];
            at--;
        }
        diags->items[at] = moved;
    }
}

static mw_status load_lines(loading *load)
{
    const mw_str text = mw_sources_text(load->edit->sheet->sources, load->source);
    load->text = text.at;
    mw_status status = make_room(load, text);
    uint32_t at = 0;
    mw_span span;
    while (status == MW_OK && mw_next_line(load->edit->sheet->sources, load->source, &at, &span)) {
        status = load_line(load, span);
    }
    return status;
}

mw_status mw_sheet_load(mw_sheet *sheet, uint32_t source, mw_changes *changes, mw_diags *diags)
{
    loading load = {.edit = mw_edit_begin(sheet), .diags = diags, .source = source};
    if (load.edit == NULL) {
        return MW_NO_MEMORY;
    }
    const size_t before = diags->count;
    mw_status status = load_lines(&load);
    mw_ast_free(&load.ast);
    if (status == MW_OK) {
        status = mw_edit_prepare(load.edit, diags);
    }
    if (status == MW_OK && !load.failed) {
        mw_edit_commit(load.edit, changes);
        return MW_OK;
    }
    mw_edit_cancel(load.edit);
    sort_errors(diags, before);
    return status == MW_NO_MEMORY ? MW_NO_MEMORY : MW_FAILED;
}
