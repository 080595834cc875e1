/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Putting a prepared edit in place. Nothing here can fail. */
#include <assert.h>

#include "inside.h"

/* Gives empty cells in a row back; rows that touch become one. */
static void free_cells(mw_sheet *sheet, uint32_t first, uint32_t count)
{
    id_run *last = sheet->free_count == 0 ? NULL : &sheet->free_runs[sheet->free_count - 1];
    if (last != NULL && last->first + last->count == first) {
        last->count += count;
        return;
    }
    assert(sheet->free_runs != NULL && sheet->free_count < sheet->free_capacity);
    sheet->free_runs[sheet->free_count++] = (id_run){first, count};
}

/* Empties a cell that nobody reads any more. */
static void clear_cell(mw_sheet *sheet, uint32_t id)
{
    order_vacate(sheet, id);
    sheet->waste += sheet->wires[id].code.count;
    sheet->wires[id].code = (code_range){0, 0};
    sheet->cells[id] =
        (cell){.name = MW_NONE, .formula = {MW_NONE, 0, 0}, .part = MW_NONE, .draft = MW_NONE};
    mw_values_base(sheet->values)[id] = mw_error_value(MW_CODE_NOT_A_VALUE);
}

/* Hidden cells that a redefined cell has no more use for. */
static void drop_hidden(mw_sheet *sheet, const cell *old, const cell *now)
{
    if (old->length == 0 || (now->length > 0 && now->first == old->first)) {
        return;
    }
    for (uint32_t i = 0; i < old->length; i++) {
        clear_cell(sheet, old->first + i);
    }
    free_cells(sheet, old->first, old->length);
}

static void drop_node(mw_sheet *sheet, const cell *old, const cell *now)
{
    if (old->kind == CELL_HUB && (now->kind != CELL_HUB || now->part != old->part)) {
        outside_free(sheet->nodes[old->part]);
        sheet->nodes[old->part] = NULL;
    }
}

/* List lines that a redefined formula names no more. */
static void drop_uses(mw_sheet *sheet, uint32_t reader)
{
    uint32_t kept = 0;
    for (uint32_t i = 0; i < sheet->list_use_count; i++) {
        if (sheet->list_uses[i].reader != reader) {
            sheet->list_uses[kept++] = sheet->list_uses[i];
        }
    }
    sheet->list_use_count = kept;
}

/* Puts one draft in the place of the old cell. */
static void place_draft(mw_sheet *sheet, const draft *d, uint32_t first_new)
{
    const cell old = sheet->cells[d->id];
    wiring *w = &sheet->wires[d->id];
    const bool computes = code_computes(d->code);
    if ((old.flags & FLAG_LISTS) != 0) {
        drop_uses(sheet, d->id);
    }
    if (w->code.begin != d->code.begin || w->code.count != d->code.count) {
        sheet->waste += w->code.count;
    }
    if (w->position != MW_NONE && w->position < first_new && !computes) {
        order_vacate(sheet, d->id);
    }
    w->code = d->code;
    if (w->position != MW_NONE && w->position < first_new) {
        order_fix_break(sheet, w->position);
        order_fix_break(sheet, w->position + 1);
    }
    sheet->cells[d->id] = d->cell;
    sheet->cells[d->id].draft = MW_NONE;
    drop_hidden(sheet, &old, &d->cell);
    drop_node(sheet, &old, &d->cell);
    if (d->cell.kind == CELL_EMPTY && old.kind != CELL_EMPTY) {
        if (old.name == MW_NONE || old.kind == CELL_HUB) {
            free_cells(sheet, d->id, 1);
        } else {
            sheet->lost_names++; /* the cell waits for its name to come back */
        }
    }
}

/* Gives the computed cells of the edit their positions, those that move after those that are
 * new. */
static void place_order(mw_edit *edit)
{
    mw_sheet *sheet = edit->sheet;
    for (uint32_t i = 0; i < edit->sequence_count; i++) {
        order_append(sheet, edit->sequence[i]);
    }
    for (uint32_t i = 0; i < edit->move_count; i++) {
        order_vacate(sheet, edit->moves[i]);
        order_append(sheet, edit->moves[i]);
    }
}

static void place_readers(mw_edit *edit)
{
    mw_sheet *sheet = edit->sheet;
    for (uint32_t i = 0; i < edit->use_count; i++) {
        sheet->list_uses[sheet->list_use_count++] = edit->uses[i];
    }
    if (!edit->bulk) {
        return;
    }
    if (edit->noted == sheet->positions) {
        graph_build(sheet, edit->readers, edit->reads);
    } else {
        graph_rebuild(sheet, edit->readers);
    }
    edit->readers = NULL;
}

/* Marks what has to be computed again. Values change here, since nothing else has to be done for
 * them. Returns the position from which all is to be run, MW_NONE: none. */
static uint32_t mark_drafts(mw_edit *edit, mw_changes *changes)
{
    mw_sheet *sheet = edit->sheet;
    double *base = mw_values_base(sheet->values);
    uint32_t all_from = MW_NONE;
    for (uint32_t i = 0; i < edit->draft_count; i++) {
        const draft *d = &edit->drafts[i];
        if (code_computes(d->code)) {
            marks_add(&sheet->marks, sheet->wires[d->id].position);
        } else if (!run_same(base[d->id], d->value)) {
            base[d->id] = d->value;
            changes->changed++;
            const uint32_t from = run_readers(sheet, d->id);
            all_from = from < all_from ? from : all_from;
        }
    }
    return all_from;
}

/* Where everything has to be computed: the new cells at the end of the order. Those that move
 * need not be, and then new ones are marked one by one. */
static uint32_t mark_new(mw_edit *edit, uint32_t first_new)
{
    mw_sheet *sheet = edit->sheet;
    if (edit->move_count == 0) {
        return first_new;
    }
    for (uint32_t i = 0; i < edit->sequence_count; i++) {
        marks_add(&sheet->marks, sheet->wires[edit->sequence[i]].position);
    }
    return MW_NONE;
}

static void count_new_values(const mw_sheet *sheet, uint32_t first, mw_changes *changes)
{
    const double *base = mw_values_base(sheet->values);
    const double nothing = mw_error_value(MW_CODE_NOT_A_VALUE);
    for (uint32_t id = first; id < sheet->count; id++) {
        changes->changed += !code_computes(sheet->wires[id].code) && !run_same(base[id], nothing);
    }
}

/* Lets the new cells be seen. */
static void place_new(mw_sheet *sheet)
{
    for (uint32_t id = sheet->count; id < sheet->total; id++) {
        sheet->wires[id].first_reader = 0;
        sheet->wires[id].reader_count = 0;
    }
    sheet->count = sheet->total;
}

void mw_edit_commit(mw_edit *edit, mw_changes *changes)
{
    mw_sheet *sheet = edit->sheet;
    mw_changes counted = {0};
    const uint32_t first_new = sheet->positions;
    const uint32_t old_count = sheet->count;
    place_new(sheet);
    for (uint32_t i = 0; i < edit->draft_count; i++) {
        place_draft(sheet, &edit->drafts[i], first_new);
    }
    place_order(edit);
    place_readers(edit);
    count_new_values(sheet, old_count, &counted);
    const uint32_t from = mark_drafts(edit, &counted);
    const uint32_t all_from = mark_new(edit, first_new);
    run_marked(sheet, from < all_from ? from : all_from, &counted);
    edit_end(edit);
    tidy(sheet);
    if (changes != NULL) {
        *changes = counted;
    }
}
