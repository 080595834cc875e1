/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Gathering what an edit is to do, and dropping it again. */
#include <assert.h>
#include <string.h>

#include "inside.h"

enum { RUNS_LOOKED_AT = 64 }; /* free rows of cells, newest first */

mw_edit *mw_edit_begin(mw_sheet *sheet)
{
    assert(sheet->edit == NULL);
    tidy(sheet);
    mw_edit *edit = mw_memory_get(sizeof *edit);
    if (edit != NULL) {
        edit->sheet = sheet;
        edit->loop = MW_NONE;
        edit->code_start = sheet->code.count;
        edit->constants = mw_values_constants(sheet->values);
        edit->late_start = sheet->late_count;
        sheet->edit = edit;
    }
    return edit;
}

void edit_end(mw_edit *edit)
{
    mw_sheet *sheet = edit->sheet;
    sheet->edit = NULL;
    sheet->preparing = false;
    void *blocks[] = {edit->drafts, edit->pool,     (void *)edit->scopes, edit->nodes, edit->taken,
                      edit->stack,  edit->sequence, edit->suspects,       edit->moves, edit->uses,
                      edit->ends,   edit->readers,  edit->reads};
    for (size_t i = 0; i < sizeof blocks / sizeof *blocks; i++) {
        mw_memory_give(blocks[i]);
    }
    mw_memory_give(edit);
}

static const cell empty_cell = {
    .name = MW_NONE, .formula = {MW_NONE, 0, 0}, .part = MW_NONE, .draft = MW_NONE};
static const wiring no_wiring = {.position = MW_NONE, .late = MW_NONE};

/* A row of empty cells given back earlier, of just this length. */
static uint32_t reuse_cells(mw_edit *edit, uint32_t count)
{
    mw_sheet *sheet = edit->sheet;
    for (uint32_t i = 0; i < RUNS_LOOKED_AT && i < sheet->free_count; i++) {
        id_run *run = &sheet->free_runs[sheet->free_count - 1 - i];
        if (run->count != count) {
            continue;
        }
        if (!grow_array(edit->taken, edit->taken_capacity, edit->taken_count + 1)) {
            return MW_NONE;
        }
        const uint32_t first = run->first;
        edit->taken[edit->taken_count++] = *run;
        *run = sheet->free_runs[--sheet->free_count];
        return first;
    }
    return MW_NONE;
}

uint32_t edit_take_cells(mw_edit *edit, uint32_t count)
{
    mw_sheet *sheet = edit->sheet;
    const uint32_t reused = reuse_cells(edit, count);
    if (reused != MW_NONE) {
        return reused;
    }
    const uint32_t first = sheet->total;
    if (count > INT32_MAX - first || !sheet_room(sheet, first + count)) {
        edit->no_memory = true;
        return MW_NONE;
    }
    for (uint32_t id = first; id < first + count; id++) {
        sheet->cells[id] = empty_cell;
        sheet->wires[id] = no_wiring;
    }
    sheet->total += count;
    return first;
}

void edit_return_cells(mw_edit *edit, uint32_t taken_count, uint32_t total)
{
    mw_sheet *sheet = edit->sheet;
    while (edit->taken_count > taken_count) {
        assert(sheet->free_count < sheet->free_capacity);
        sheet->free_runs[sheet->free_count++] = edit->taken[--edit->taken_count];
    }
    const double nothing = mw_error_value(MW_CODE_NOT_A_VALUE);
    for (uint32_t id = total; id < sheet->total; id++) {
        mw_values_base(sheet->values)[id] = nothing;
    }
    sheet->total = total;
}

/* Takes names back from cells that the edit gave them to. */
static void forget_names(mw_edit *edit)
{
    mw_sheet *sheet = edit->sheet;
    for (uint32_t i = 0; i < edit->draft_count; i++) {
        const draft *d = &edit->drafts[i];
        const cell *old = &sheet->cells[d->id];
        if (old->kind == CELL_EMPTY && d->cell.name != old->name && d->cell.name != MW_NONE &&
            d->cell.kind != CELL_ELEMENT && d->cell.kind != CELL_PARTIAL) {
            sheet->cell_of_name[d->cell.name] = MW_NONE;
            sheet->lost_names++;
        }
    }
    for (uint32_t id = sheet->count; id < sheet->total; id++) {
        const cell *c = &sheet->cells[id];
        if (c->name != MW_NONE && c->kind != CELL_ELEMENT && c->kind != CELL_PARTIAL) {
            sheet->cell_of_name[c->name] = MW_NONE;
            sheet->lost_names++;
        }
    }
}

void mw_edit_cancel(mw_edit *edit)
{
    mw_sheet *sheet = edit->sheet;
    for (uint32_t i = 0; i < edit->suspect_count; i++) {
        sheet->cells[edit->suspects[i]].state = STATE_SETTLED;
    }
    for (uint32_t i = 0; i < edit->sequence_count; i++) {
        wiring *w = &sheet->wires[edit->sequence[i]];
        w->position = w->position >= sheet->positions ? MW_NONE : w->position;
    }
    forget_names(edit);
    for (uint32_t i = 0; i < edit->draft_count; i++) {
        sheet->cells[edit->drafts[i].id].draft = MW_NONE;
        sheet->cells[edit->drafts[i].id].state = STATE_SETTLED;
    }
    for (uint32_t i = 0; i < edit->node_count; i++) {
        outside_free(sheet->nodes[edit->nodes[i]]);
        sheet->nodes[edit->nodes[i]] = NULL;
    }
    graph_drop_late(sheet, edit->late_start);
    sheet->code.count = edit->code_start;
    mw_values_forget(sheet->values, edit->constants);
    edit_return_cells(edit, 0, sheet->count);
    edit_end(edit);
}

cell *edit_touch(mw_edit *edit, uint32_t id)
{
    mw_sheet *sheet = edit->sheet;
    assert(id < sheet->total);
    cell *c = &sheet->cells[id];
    if (id >= sheet->count) {
        return c;
    }
    if (c->draft == MW_NONE) {
        if (!grow_array(edit->drafts, edit->draft_capacity, edit->draft_count + 1)) {
            edit->no_memory = true;
            return NULL;
        }
        edit->drafts[edit->draft_count] = (draft){.id = id,
                                                  .cell = *c,
                                                  .code = sheet->wires[id].code,
                                                  .value = mw_values_base(sheet->values)[id]};
        c->draft = edit->draft_count++;
    }
    return &edit->drafts[c->draft].cell;
}

uint32_t *edit_given(mw_edit *edit, uint32_t id)
{
    const cell *c = &edit->sheet->cells[id];
    return c->draft == MW_NONE ? &edit->sheet->wires[id].reader_count
                               : &edit->drafts[c->draft].given;
}

void edit_set_value(mw_edit *edit, uint32_t id, double value)
{
    const cell *c = &edit->sheet->cells[id];
    if (c->draft == MW_NONE) {
        mw_values_base(edit->sheet->values)[id] = value;
    } else {
        edit->drafts[c->draft].value = value;
    }
    *code_now(edit->sheet, id) = (code_range){0, 0};
}

uint32_t mw_edit_cell(mw_edit *edit, mw_str name)
{
    mw_sheet *sheet = edit->sheet;
    const uint32_t id = mw_names_add(sheet->names, name);
    if (id == MW_NONE || !sheet_name_room(sheet, id + 1)) {
        edit->no_memory = true;
        sheet->lost_names++;
        return MW_NONE;
    }
    if (sheet->cell_of_name[id] != MW_NONE) {
        return sheet->cell_of_name[id];
    }
    const uint32_t made = edit_take_cells(edit, 1);
    cell *c = made == MW_NONE ? NULL : edit_touch(edit, made);
    if (c == NULL) {
        sheet->lost_names++;
        return MW_NONE;
    }
    c->name = id;
    sheet->cell_of_name[id] = made;
    return made;
}

uint32_t mw_edit_cells(mw_edit *edit, uint32_t count)
{
    return edit_take_cells(edit, count);
}

bool mw_edit_defined(const mw_edit *edit, uint32_t id, mw_span *span)
{
    const mw_sheet *sheet = edit->sheet;
    if (id < sheet->count && sheet->cells[id].draft == MW_NONE) {
        return false;
    }
    const cell *c = cell_now(sheet, id);
    *span = c->formula;
    return c->kind != CELL_EMPTY;
}
