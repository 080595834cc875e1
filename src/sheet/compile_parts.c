/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Compiling cells that need hidden ones: the elements of lists and ranges, the partial sums of
 * long sums. */
#include <assert.h>
#include <string.h>

#include "inside.h"

enum { SUM_WIDTH = 32 }; /* cells that one partial sum adds up */

/* Makes a hidden cell of `owner` ready for its code. */
static bool start_hidden(mw_edit *edit, uint32_t id, uint32_t owner, cell_kind kind)
{
    cell *c = edit_touch(edit, id);
    if (c == NULL) {
        return false;
    }
    const cell *o = cell_now(edit->sheet, owner);
    const uint32_t draft_at = c->draft;
    *c = (cell){.name = owner,
                .formula = {MW_NONE, 0, 0},
                .type = o->type,
                .unit = o->unit,
                .part = MW_NONE,
                .draft = draft_at,
                .kind = (uint8_t)kind};
    return true;
}

uint32_t compile_hidden(mw_edit *edit, uint32_t id, uint32_t count, cell_kind kind)
{
    mw_sheet *sheet = edit->sheet;
    const cell *c = cell_now(sheet, id);
    uint32_t first = c->first;
    if (c->length != count || count == 0 || sheet->cells[first].kind != kind) {
        first = count == 0 ? MW_NONE : edit_take_cells(edit, count);
    }
    for (uint32_t i = 0; i < count && first != MW_NONE; i++) {
        if (!start_hidden(edit, first + i, id, kind)) {
            return MW_NONE;
        }
    }
    cell *owner = cell_now(sheet, id);
    owner->first = first;
    owner->length = count;
    return first;
}

static void count_edge(void *context, uint32_t read)
{
    (void)read;
    ++*(uint32_t *)context;
}

/* Gives each element its stretch of the code that begins at `start`. */
static bool part_elements(mw_edit *edit, uint32_t first, uint32_t count, uint32_t start)
{
    mw_sheet *sheet = edit->sheet;
    for (uint32_t i = 0; i < count; i++) {
        const uint32_t begin = i == 0 ? start : edit->ends[i - 1];
        *code_now(sheet, first + i) = (code_range){begin, edit->ends[i] - begin};
        if (!prepare_sequence(edit, first + i)) {
            return false;
        }
    }
    mw_program_reads(sheet->code.items + start, sheet->code.count - start, count_edge,
                     &edit->edges);
    return true;
}

static void fold_elements(mw_edit *edit, uint32_t first, uint32_t count, uint32_t start)
{
    mw_sheet *sheet = edit->sheet;
    for (uint32_t i = 0; i < count; i++) {
        const uint32_t begin = i == 0 ? start : edit->ends[i - 1];
        *code_now(sheet, first + i) = (code_range){begin, edit->ends[i] - begin};
        compile_fold(edit, first + i);
    }
    sheet->code.count = start;
}

/* The value of a range line itself: the likely one. */
static mw_status settle_range(mw_edit *edit, uint32_t id, uint32_t likely)
{
    mw_sheet *sheet = edit->sheet;
    if (code_computes(*code_now(sheet, likely))) {
        return compile_add_up(edit, id, &likely, 1);
    }
    const cell *c = &sheet->cells[likely];
    edit_set_value(edit, id,
                   c->draft == MW_NONE ? mw_values_base(sheet->values)[likely]
                                       : edit->drafts[c->draft].value);
    return MW_OK;
}

mw_status compile_place(mw_edit *edit, uint32_t id, const result_place *place)
{
    const uint32_t count = place->meaning->length;
    if (place->folds) {
        fold_elements(edit, place->first, count, place->start);
    } else if (!part_elements(edit, place->first, count, place->start)) {
        return MW_NO_MEMORY;
    }
    if (place->meaning->shape == MW_SHAPE_RANGE) {
        return settle_range(edit, id, place->first + 1);
    }
    edit_set_value(edit, id, mw_error_value(MW_CODE_NOT_A_VALUE));
    return MW_OK;
}

/* Room for the ends of `count` results, and for their cells behind them. */
static bool end_room(mw_edit *edit, uint32_t count)
{
    return count < UINT32_MAX / 2 && grow_array(edit->ends, edit->end_capacity, 2 * count);
}

mw_status compile_elements(mw_edit *edit, uint32_t id, const mw_meaning *meaning, bool folds)
{
    mw_sheet *sheet = edit->sheet;
    const uint32_t count = meaning->length;
    const uint32_t first = compile_hidden(edit, id, count, CELL_ELEMENT);
    if ((first == MW_NONE && count > 0) || !end_room(edit, count)) {
        return MW_NO_MEMORY;
    }
    uint32_t *to = edit->ends + count;
    for (uint32_t i = 0; i < count; i++) {
        to[i] = first + i;
    }
    const uint32_t start = sheet->code.count;
    const uint32_t constants = mw_values_constants(sheet->values);
    if (mw_compiler_emit(sheet->compiler, to, &sheet->code, edit->ends) != MW_OK) {
        return MW_NO_MEMORY;
    }
    const mw_status status = compile_place(edit, id, &(result_place){meaning, first, start, folds});
    if (folds && status == MW_OK) {
        mw_values_forget(sheet->values, constants);
    }
    return status;
}

/* Cells to be added up, as a scope in which they have a name. */
static mw_status find_addends(void *context, const mw_path *path, mw_reference *out,
                              mw_diags *diags)
{
    (void)path;
    (void)diags;
    *out = *(const mw_reference *)context;
    return MW_OK;
}

/* Writes the tree of `sum(cells)`, or of `cells` alone. Returns its root, MW_NONE: no memory. */
static uint32_t write_sum(mw_ast *ast, bool sum)
{
    mw_ast_clear(ast);
    if (!grow_array(ast->nodes, ast->node_capacity, 2) ||
        !grow_array(ast->links, ast->link_capacity, 1) ||
        !grow_array(ast->parts, ast->part_capacity, 2)) {
        return MW_NONE;
    }
    ast->source = MW_NONE;
    ast->parts[0] = mw_str_of("cells");
    ast->parts[1] = mw_str_of("sum");
    ast->part_count = 2;
    ast->nodes[0] = (mw_node){.kind = MW_NODE_PATH, .count = 1, .a = 0};
    ast->nodes[1] = (mw_node){.kind = MW_NODE_CALL, .count = 1, .a = 0, .b = 1};
    ast->node_count = 2;
    ast->links[0] = 0;
    ast->link_count = 1;
    return sum ? 1 : 0;
}

mw_status compile_add_up(mw_edit *edit, uint32_t id, const uint32_t *cells, uint32_t count)
{
    mw_sheet *sheet = edit->sheet;
    /* Kinds were looked at before; here all are plain numbers. */
    mw_reference addends = {.slots = cells,
                            .slot = cells[0],
                            .count = count,
                            .list = count > 1,
                            .type = MW_TYPE_NUMBER,
                            .unit = MW_UNIT_ONE};
    const mw_scope scope = {.context = &addends, .find = find_addends};
    const uint32_t root = write_sum(&sheet->ast, count > 1);
    if (root == MW_NONE) {
        return MW_NO_MEMORY;
    }
    const mw_question question = {&sheet->ast, root, &scope, MW_NONE};
    mw_meaning meaning;
    const mw_status status = mw_compiler_check(sheet->compiler, &question, &meaning, edit->diags);
    assert(status == MW_OK || status == MW_NO_MEMORY);
    const uint32_t start = sheet->code.count;
    if (status != MW_OK || mw_compiler_emit(sheet->compiler, &id, &sheet->code, NULL) != MW_OK) {
        return MW_NO_MEMORY;
    }
    *code_now(sheet, id) = (code_range){start, sheet->code.count - start};
    edit->edges += count;
    return prepare_sequence(edit, id) ? MW_OK : MW_NO_MEMORY;
}

/* Reports a cell of another kind among those of a sum. */
static mw_status report_addend(mw_edit *edit, uint32_t id, uint32_t cell_id)
{
    const mw_sheet *sheet = edit->sheet;
    mw_text sum = {0};
    mw_text name = {0};
    mw_text is = {0};
    mw_text wanted = {0};
    sheet_cell_words(sheet, id, &sum);
    sheet_cell_words(sheet, cell_id, &name);
    mw_type_words(sheet->measure, cell_now(sheet, cell_id)->type, &is);
    mw_type_words(sheet->measure, cell_now(sheet, id)->type, &wanted);
    mw_diags_error(edit->diags, MW_CODE_WRONG_KIND, cell_now(sheet, cell_id)->formula,
                   "%s would be %s; the sum %s is %s", mw_text_chars(&name), mw_text_chars(&is),
                   mw_text_chars(&sum), mw_text_chars(&wanted));
    mw_text_free(&sum);
    mw_text_free(&name);
    mw_text_free(&is);
    mw_text_free(&wanted);
    return MW_FAILED;
}

mw_status compile_check_sum(mw_edit *edit, uint32_t id, const uint32_t *cells, uint32_t count)
{
    const mw_sheet *sheet = edit->sheet;
    const mw_type type = cell_now(sheet, id)->type;
    for (uint32_t i = 0; i < count; i++) {
        const mw_type from = cell_now(sheet, cells[i])->type;
        const mw_type_fault fault =
            from == type ? MW_TYPE_FINE : mw_type_fits(sheet->measure, from, type);
        if (fault != MW_TYPE_FINE) {
            return fault == MW_TYPE_MEMORY ? MW_NO_MEMORY : report_addend(edit, id, cells[i]);
        }
    }
    return MW_OK;
}

/* How many partial sums `count` cells need in all: levels of them until one sum can add up the
 * rest. */
static uint32_t partials_for(uint32_t count)
{
    uint32_t total = 0;
    while (count > SUM_WIDTH) {
        count = (count - 1) / SUM_WIDTH + 1;
        total += count;
    }
    return total;
}

/* One level above another: partial sums from `first` on, over `count` cells. */
static mw_status add_level(mw_edit *edit, uint32_t first, const uint32_t *cells, uint32_t count)
{
    mw_status status = MW_OK;
    for (uint32_t at = 0; at < count && status == MW_OK; at += SUM_WIDTH) {
        const uint32_t some = count - at < SUM_WIDTH ? count - at : SUM_WIDTH;
        status = compile_add_up(edit, first + at / SUM_WIDTH, cells + at, some);
    }
    return status;
}

/* The tree over `count` > SUM_WIDTH cells. */
static mw_status add_tree(mw_edit *edit, uint32_t id, const uint32_t *of, uint32_t count)
{
    if (!end_room(edit, count)) {
        return MW_NO_MEMORY;
    }
    uint32_t *cells = edit->ends; /* of one level after the other */
    memcpy(cells, of, count * sizeof *cells);
    uint32_t first = compile_hidden(edit, id, partials_for(count), CELL_PARTIAL);
    mw_status status = first == MW_NONE ? MW_NO_MEMORY : MW_OK;
    while (status == MW_OK && count > SUM_WIDTH) {
        status = add_level(edit, first, cells, count);
        count = (count - 1) / SUM_WIDTH + 1;
        for (uint32_t i = 0; i < count; i++) {
            cells[i] = first + i;
        }
        first += count;
    }
    return status == MW_OK ? compile_add_up(edit, id, cells, count) : status;
}

mw_status compile_sum(mw_edit *edit, uint32_t id)
{
    const mw_sheet *sheet = edit->sheet;
    const uint32_t at = *edit_given(edit, id);
    const uint32_t count = edit->pool[at];
    const uint32_t *cells = edit->pool + at + 1;
    const uint32_t start = edit->stack_count;
    for (uint32_t i = 0; i < count; i++) {
        walk_need(edit, cells[i]);
    }
    mw_status status = walk_needs(edit, start);
    status = status == MW_OK ? compile_check_sum(edit, id, cells, count) : status;
    if (status != MW_OK) {
        return status;
    }
    cell *c = cell_now(sheet, id);
    if (count == 0) {
        c->length = 0;
        edit_set_value(edit, id, 0);
        return MW_OK;
    }
    if ((c->flags & FLAG_UNIT_GIVEN) == 0) {
        c->unit = cell_now(sheet, cells[0])->unit;
    }
    if (count <= SUM_WIDTH) {
        c->length = 0;
        return compile_add_up(edit, id, cells, count);
    }
    return add_tree(edit, id, cells, count);
}
