/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `copy mould a as b`: the lines that b would have been written with, read like any others. */
#include "parts.h"

#include <string.h>

#include "mouldwright/number.h"
#include "mouldwright/suggest.h"

/* One copy while its lines are written. */
typedef struct copying {
    mw_job *job;
    mw_str from, to;
    const mw_item *items; /* inputs that the statement gives itself */
    uint32_t item_count;
    mw_text text; /* lines of the new mould */
} copying;

static bool names_old(const copying *of, const mw_ast *ast, const mw_node *node)
{
    return node->kind == MW_NODE_PATH && mw_str_equal(ast->parts[node->a], of->from);
}

/* The next place at or behind `at` where a path begins with the old name; `end` if none. */
static uint32_t next_place(const copying *of, const mw_ast *ast, uint32_t at, uint32_t end)
{
    uint32_t next = end;
    for (uint32_t i = 0; i < ast->node_count; i++) {
        const mw_node *node = &ast->nodes[i];
        if (names_old(of, ast, node) && node->begin >= at && node->begin < next) {
            next = node->begin;
        }
    }
    return next;
}

/* Adds a formula in which the old mould's own quantities are the new one's. */
static mw_status add_formula(copying *of, mw_span formula, mw_diags *diags)
{
    mw_job *job = of->job;
    mw_ast ast = {0};
    mw_reader reader = {&ast, job->measure, job->sources, diags};
    uint32_t root;
    mw_status status = mw_parse_formula(&reader, formula, &root);
    mw_str text = mw_sources_text(job->sources, formula.source);
    uint32_t at = formula.begin;
    while (status == MW_OK && at < formula.end) {
        uint32_t next = next_place(of, &ast, at, formula.end);
        mw_text_add(&of->text, text.at + at, next - at);
        at = next;
        if (next < formula.end) {
            mw_text_add_str(&of->text, of->to);
            at += (uint32_t)of->from.length;
        }
    }
    mw_ast_free(&ast);
    return status;
}

/* Whether the statement gives this input anew. */
static bool given(const copying *of, mw_str name)
{
    for (uint32_t i = 0; i < of->item_count; i++) {
        if (mw_str_equal(mw_sources_piece(of->job->sources, of->items[i].name), name)) {
            return true;
        }
    }
    return false;
}

/* A cell of a list stands in the file without what a line needs: a unit, quotes. */
static mw_status add_cell(copying *of, const entry_field *field, mw_diags *diags)
{
    mw_str cell = mw_sources_piece(of->job->sources, field->value);
    if (field->head_unit != MW_NONE) {
        mw_number_words(field->number, &of->text);
        mw_text_addc(&of->text, ' ');
        mw_unit_words(of->job->measure, field->head_unit, &of->text);
        return MW_OK;
    }
    if (mw_str_is(field->name, "recipe")) {
        mw_text_addf(&of->text, "\"%.*s\"", (int)cell.length, cell.at);
        return MW_OK;
    }
    return add_formula(of, field->value, diags);
}

static void begin_field(copying *of, mw_str name, bool *first)
{
    mw_text_adds(&of->text, *first ? " " : ", ");
    mw_text_add_str(&of->text, name);
    mw_text_addc(&of->text, ' ');
    *first = false;
}

/* mould NEW: what the statement says, then the rest of what the old one was given */
static mw_status add_mould(copying *of, const entry *old, mw_diags *diags)
{
    mw_status status = MW_OK;
    bool first = true;
    mw_text_addf(&of->text, "mould %.*s:", (int)of->to.length, of->to.at);
    for (uint32_t i = 0; i < of->item_count; i++) {
        begin_field(of, mw_sources_piece(of->job->sources, of->items[i].name), &first);
        mw_text_add_str(&of->text, mw_sources_piece(of->job->sources, of->items[i].value));
    }
    for (uint32_t i = 0; status == MW_OK && i < old->field_count; i++) {
        const entry_field *field = &old->fields[i];
        if (!given(of, field->name)) {
            begin_field(of, field->name, &first);
            status =
                field->quoted ? add_cell(of, field, diags) : add_formula(of, field->value, diags);
        }
    }
    mw_text_addc(&of->text, '\n');
    return status;
}

static bool overrides_old(const copying *of, const entry *item)
{
    return item->kind == ENTRY_SET && item->part_count > 1 &&
           mw_str_equal(item->parts[0], of->from);
}

/* NEW.heavy.plies = ... for each override of the old one */
static mw_status add_overrides(copying *of, mw_diags *diags)
{
    const document *from = &of->job->build->document;
    mw_status status = MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < from->count; i++) {
        const entry *item = from->items[i];
        if (overrides_old(of, item)) {
            mw_str rest = {item->name.at + of->from.length, item->name.length - of->from.length};
            mw_text_add_str(&of->text, of->to);
            mw_text_add_str(&of->text, rest);
            mw_text_adds(&of->text, " = ");
            status = add_formula(of, item->formula, diags);
            mw_text_addc(&of->text, '\n');
        }
    }
    return status;
}

/* A formula over several lines ends in a backslash or an open bracket, and does so in the copy. */
static mw_status read_lines(mw_job *job, uint32_t source, entry_list *list, mw_diags *diags)
{
    mw_status status = MW_OK;
    mw_span line;
    uint32_t at = 0;
    while (status == MW_OK && mw_next_line(job->sources, source, &at, &line)) {
        mw_statement said;
        mw_reader reader = {&job->ast, job->measure, job->sources, diags};
        mw_ast_clear(&job->ast);
        status = mw_parse_statement(&reader, line, &said);
        if (status == MW_OK) {
            status = document_entries(job, &said, list, diags);
        }
    }
    return status;
}

static mw_status refuse_unknown(mw_job *job, const mw_statement *statement, mw_str name,
                                mw_diags *diags)
{
    mw_diag *diag = mw_diags_error(diags, MW_CODE_UNKNOWN_MOULD, statement->rest,
                                   "there is no mould `%.*s`", (int)name.length, name.at);
    mw_suggest nearest;
    mw_suggest_start(&nearest, name);
    for (uint32_t m = 0; m < job->build->mould_count; m++) {
        mw_suggest_offer(&nearest, job->build->moulds[m].name);
    }
    if (nearest.best.length > 0) {
        mw_diag_try(diags, diag, "copy mould %.*s as ...", (int)nearest.best.length,
                    nearest.best.at);
    }
    return MW_FAILED;
}

/* The mould that is copied, and that nothing has the new name yet. */
static mw_status find_old(copying *of, const mw_statement *statement, const entry **old,
                          mw_diags *diags)
{
    mw_job *job = of->job;
    uint32_t m = mw_job_mould_find(job, of->from);
    if (m == MW_NONE) {
        return refuse_unknown(job, statement, of->from, diags);
    }
    *old = job->build->moulds[m].from;
    if (document_taken_word(of->to)) {
        mw_diags_error(diags, MW_CODE_NAME_TAKEN, statement->name,
                       "`%.*s` is a word of the language", (int)of->to.length, of->to.at);
        return MW_FAILED;
    }
    bool there = mw_job_mould_find(job, of->to) != MW_NONE ||
                 mw_sheet_find(job->build->sheet, of->to) != MW_NONE;
    if (there) {
        mw_diags_error(diags, MW_CODE_NAME_TAKEN, statement->name,
                       "there is a mould or line `%.*s` already", (int)of->to.length, of->to.at);
        return MW_FAILED;
    }
    return MW_OK;
}

/* What the statement gives itself is read where it was typed, so that messages point there. */
static void point_to_statement(const entry *made, const mw_item *items, uint32_t count)
{
    for (uint32_t i = 0; i < count && i < made->field_count; i++) {
        made->fields[i].name_at = items[i].name;
        made->fields[i].value = items[i].value;
    }
}

mw_status copy_entries(mw_job *job, const mw_statement *statement, entry_list *list,
                       mw_diags *diags)
{
    size_t bytes = statement->item_count * sizeof(mw_item);
    mw_item *items = mw_arena_get(job->scratch, bytes + 1); /* the tree is used for the lines */
    if (!items) {
        return MW_NO_MEMORY;
    }
    if (bytes > 0) {
        memcpy(items, job->ast.items + statement->first_item, bytes);
    }
    copying of = {.job = job,
                  .from = mw_sources_piece(job->sources, statement->rest),
                  .to = mw_sources_piece(job->sources, statement->name),
                  .items = items,
                  .item_count = statement->item_count};
    const entry *old = NULL;
    mw_status status = find_old(&of, statement, &old, diags);
    if (status == MW_OK) {
        status = add_mould(&of, old, diags);
    }
    if (status == MW_OK) {
        status = add_overrides(&of, diags);
    }
    if (status == MW_OK && !of.text.failed) {
        uint32_t source = mw_sources_add(job->sources, mw_str_of("<copy>"),
                                         (mw_str){mw_text_chars(&of.text), of.text.length});
        status = source == MW_NONE ? MW_NO_MEMORY : read_lines(job, source, list, diags);
    }
    if (status == MW_OK && list->count > 0) {
        point_to_statement(list->items[0], items, of.item_count);
    }
    status = status == MW_OK && of.text.failed ? MW_NO_MEMORY : status;
    mw_text_free(&of.text);
    return status;
}
