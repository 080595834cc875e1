/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything about an edit that can fail: compiling, checking what reads redefined cells, the
 * order, and all the memory that putting it in place will take. */
#include <assert.h>
#include <string.h>

#include "inside.h"
#include "like.h"

enum {
    BULK_CELLS = 64, /* fewer new ones are never in bulk */
    AHEAD = 4        /* cells between asking for something in memory and looking at it */
};

bool prepare_sequence(mw_edit *edit, uint32_t id)
{
    mw_sheet *sheet = edit->sheet;
    wiring *w = &sheet->wires[id];
    if (w->position != MW_NONE || !code_computes(*code_now(sheet, id))) {
        return true;
    }
    if (edit->sequence_count >= UINT32_MAX - 1 - sheet->positions ||
        !grow_array(edit->sequence, edit->sequence_capacity, edit->sequence_count + 1)) {
        return false;
    }
    w->position = sheet->positions + edit->sequence_count;
    edit->sequence[edit->sequence_count++] = id;
    return true;
}

bool prepare_note_reads(mw_edit *edit, const uint32_t *reads, uint32_t count)
{
    if (count == 0) {
        return true;
    }
    if (count > UINT32_MAX - 1 - edit->read_count ||
        !grow_array(edit->reads, edit->read_capacity, edit->read_count + count)) {
        return false;
    }
    memcpy(edit->reads + edit->read_count, reads, count * sizeof *reads);
    edit->read_count += count;
    edit->reads[edit->read_count - 1] |= READS_END;
    edit->noted++;
    return true;
}

bool prepare_late_readers(mw_edit *edit)
{
    for (uint32_t i = 0; i < edit->sequence_count; i++) {
        if (!graph_add_late(edit->sheet, edit->sequence[i])) {
            return false;
        }
    }
    for (uint32_t i = 0; i < edit->draft_count; i++) {
        const uint32_t id = edit->drafts[i].id;
        if (edit->sheet->wires[id].position < edit->sheet->positions &&
            !graph_add_late(edit->sheet, id)) {
            return false;
        }
    }
    return true;
}

/* Compiles one cell if that is still to be done. False: no memory. */
static bool compile_one(mw_edit *edit, uint32_t id, bool *failed)
{
    cell *c = cell_now(edit->sheet, id);
    if (c->state == STATE_SETTLED) {
        return true;
    }
    if (compile_alike(edit, id)) {
        return true;
    }
    const mw_status status = walk_from(edit, id, compile_visit);
    *failed = *failed || status == MW_FAILED;
    return status != MW_NO_MEMORY;
}

/* Asks for the cells that a cell of a loaded source names, or for where these are to be found. */
static inline void prefetch_named(const mw_sheet *sheet, uint32_t id, bool cells)
{
    if (id >= sheet->known.end_cell) {
        return;
    }
    const known_word *word = sheet->known.words + sheet->wires[id].first_reader;
    const uint32_t end = sheet->cells[id].formula.end;
    for (; word->begin < end; word++) {
        if (word->name >= LIKE_IS_NUMBER) {
            continue;
        }
        if (cells) {
            __builtin_prefetch(&sheet->cells[sheet->cell_of_name[word->name]]);
        } else {
            __builtin_prefetch(&sheet->cell_of_name[word->name]);
        }
    }
}

/* Asks for what compiling a cell will look at, in steps ahead of its turn, since each step needs
 * what the one before has brought. */
static void prefetch(const mw_sheet *sheet, uint32_t id)
{
    const known_words *known = &sheet->known;
    if (id + 3 * AHEAD < known->end_cell) {
        const mw_span formula = sheet->cells[id + 3 * AHEAD].formula;
        __builtin_prefetch(known->text + formula.begin);
        __builtin_prefetch(known->text + formula.end);
        __builtin_prefetch(known->words + sheet->wires[id + 3 * AHEAD].first_reader);
    }
    prefetch_named(sheet, id + 2 * AHEAD, false);
    prefetch_named(sheet, id + AHEAD, true);
}

static mw_status compile_all(mw_edit *edit)

{
    const mw_sheet *sheet = edit->sheet;
    bool failed = false;
    for (uint32_t i = 0; i < edit->draft_count; i++) {
        if (!compile_one(edit, edit->drafts[i].id, &failed)) {
            return MW_NO_MEMORY;
        }
    }
    for (uint32_t id = sheet->count; id < sheet->total; id++) {
        if (sheet->known.scattered) {
            prefetch(sheet, id);
        }
        if (!compile_one(edit, id, &failed)) {
            return MW_NO_MEMORY;
        }
    }
    for (uint32_t i = 0; i < edit->suspect_count; i++) {
        if (!compile_one(edit, edit->suspects[i], &failed)) {
            return MW_NO_MEMORY;
        }
    }
    return failed ? MW_FAILED : MW_OK;
}

static bool is_defined_by_code(const cell *c)
{
    return c->kind == CELL_FORMULA || c->kind == CELL_BOUND || c->kind == CELL_SUM ||
           c->kind == CELL_HUB || c->kind == CELL_OUTPUT;
}

static void restart(const mw_sheet *sheet, cell *c, uint32_t id)
{
    if (is_defined_by_code(c)) {
        c->state = STATE_WAITING;
    }
    if (c->kind != CELL_HUB) {
        *code_now(sheet, id) = (code_range){0, 0};
    }
}

/* Takes back what compiling has made, since the kinds of things outside the edit turned out to
 * hang on it. Hidden cells that were taken stay taken: they are found again, or given back with
 * the edit. */
static void start_again(mw_edit *edit)
{
    mw_sheet *sheet = edit->sheet;
    for (uint32_t i = 0; i < edit->sequence_count; i++) {
        sheet->wires[edit->sequence[i]].position = MW_NONE;
    }
    edit->sequence_count = 0;
    edit->read_count = 0;
    edit->noted = 0;
    edit->use_count = 0;
    edit->edges = 0;
    sheet->code.count = edit->code_start;
    mw_values_forget(sheet->values, edit->constants);
    for (uint32_t i = 0; i < edit->draft_count; i++) {
        restart(sheet, &edit->drafts[i].cell, edit->drafts[i].id);
    }
    for (uint32_t id = sheet->count; id < sheet->total; id++) {
        restart(sheet, &sheet->cells[id], id);
    }
}

static bool changes_kinds(const mw_edit *edit)
{
    for (uint32_t i = 0; i < edit->draft_count; i++) {
        if (retype_changes(edit->sheet, edit->drafts[i].id)) {
            return true;
        }
    }
    return false;
}

/* Compiles as if nothing outside the edit changed its kind. If something may, all is done once
 * more with that in mind; so messages of the first go are kept back. */
static mw_status compile_with_readers(mw_edit *edit)
{
    if (edit->draft_count == 0) {
        return compile_all(edit);
    }
    mw_diags *shown = edit->diags;
    edit->diags = &edit->sheet->kept_back;
    mw_diags_clear(edit->diags);
    mw_status status = compile_all(edit);
    const bool said = edit->diags->errors + edit->diags->warnings > 0;
    edit->diags = shown;
    if (status == MW_NO_MEMORY || (status == MW_OK && !said && !changes_kinds(edit))) {
        return status;
    }
    bool found;
    if (retype_suspects(edit, &found) != MW_OK) {
        return MW_NO_MEMORY;
    }
    if (status == MW_OK && !said && !found) {
        return status;
    }
    start_again(edit);
    return compile_all(edit);
}

static mw_status refuse_removal(mw_edit *edit, uint32_t id, uint32_t reader)
{
    const mw_sheet *sheet = edit->sheet;
    const uint32_t owner = sheet_owner_of(sheet, reader);
    mw_text name = {0};
    mw_text by = {0};
    sheet_cell_words(sheet, id, &name);
    sheet_cell_words(sheet, owner, &by);
    mw_diag *diag =
        mw_diags_error(edit->diags, MW_CODE_STILL_NEEDED, sheet->cells[id].formula,
                       "%s is still needed by %s", mw_text_chars(&name), mw_text_chars(&by));
    const mw_span where = cell_now(sheet, owner)->formula;
    if (where.source != MW_NONE) {
        mw_diag_other(edit->diags, diag, where, "it is read here");
    }
    mw_text_free(&name);
    mw_text_free(&by);
    return MW_FAILED;
}

/* Refuses to take out a cell, or elements of one, that somebody reads. */
static mw_status check_readers(mw_edit *edit, uint32_t id, uint32_t read)
{
    reader_walk walk = graph_readers(edit->sheet, read);
    uint32_t reader;
    while ((reader = graph_next(&walk)) != MW_NONE) {
        if (sheet_owner_of(edit->sheet, reader) != id &&
            graph_does_read(edit->sheet, reader, read)) {
            return refuse_removal(edit, id, reader);
        }
    }
    return MW_OK;
}

static mw_status check_removal(mw_edit *edit, uint32_t id)
{
    const mw_sheet *sheet = edit->sheet;
    const cell *old = &sheet->cells[id];
    mw_status status = check_readers(edit, id, id);
    for (uint32_t i = 0; i < old->length && status == MW_OK; i++) {
        status = check_readers(edit, id, old->first + i);
    }
    for (uint32_t i = 0; i < sheet->list_use_count && status == MW_OK; i++) {
        const list_use use = sheet->list_uses[i];
        if (use.line == id && sheet->cells[use.reader].draft == MW_NONE) {
            status = refuse_removal(edit, id, use.reader);
        }
    }
    return status;
}

static mw_status check_removals(mw_edit *edit)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; i < edit->draft_count; i++) {
        const uint32_t id = edit->drafts[i].id;
        const cell_kind before = (cell_kind)edit->sheet->cells[id].kind;
        if (edit->drafts[i].cell.kind == CELL_EMPTY && before != CELL_EMPTY && before != CELL_HUB &&
            check_removal(edit, id) == MW_FAILED) {
            status = MW_FAILED;
        }
    }
    return status;
}

/* Takes the memory that the commit will need. */
static bool reserve(mw_edit *edit)
{
    mw_sheet *sheet = edit->sheet;
    const uint32_t positions = sheet->positions + edit->sequence_count + edit->move_count;
    const uint32_t runs = sheet->free_count + edit->taken_count + 2 * edit->draft_count + 1;
    if (!order_room(sheet, positions) ||
        !grow_array(sheet->free_runs, sheet->free_capacity, runs) ||
        !grow_array(sheet->list_uses, sheet->list_use_capacity,
                    sheet->list_use_count + edit->use_count)) {
        return false;
    }
    if (edit->bulk) {
        const size_t room = (size_t)sheet->reader_count + sheet->late_count + edit->edges;
        edit->readers = room > UINT32_MAX ? NULL : mw_memory_resize(NULL, room * sizeof(uint32_t));
        return edit->readers != NULL;
    }
    return true;
}

static mw_status put_in_order(mw_edit *edit)
{
    edit->bulk =
        edit->sequence_count > BULK_CELLS && edit->sequence_count > edit->sheet->positions / 4;
    if (!edit->bulk && !prepare_late_readers(edit)) {
        return MW_NO_MEMORY;
    }
    const mw_status status = order_plan(edit);
    return status == MW_OK && !reserve(edit) ? MW_NO_MEMORY : status;
}

mw_status mw_edit_prepare(mw_edit *edit, mw_diags *diags)
{
    mw_sheet *sheet = edit->sheet;
    edit->diags = diags;
    if (edit->no_memory) {
        return MW_NO_MEMORY;
    }
    sheet->preparing = true;
    mw_status status = compile_with_readers(edit);
    status = status == MW_OK && edit->refused ? MW_FAILED : status;
    if (status == MW_OK) {
        status = check_removals(edit);
    }
    if (status == MW_OK) {
        status = put_in_order(edit);
    }
    sheet->preparing = false;
    return status;
}

mw_status mw_edit_salvage(mw_edit *edit)
{
    mw_sheet *sheet = edit->sheet;
    assert(edit->draft_count == 0);
    sheet->preparing = true;
    for (uint32_t id = sheet->count; id < sheet->total; id++) {
        cell *c = &sheet->cells[id];
        if (c->state == STATE_FAILED) {
            c->kind = CELL_VALUE; /* its state tells those who ask for its kind */
            c->shape = MW_SHAPE_ONE;
            c->part = MW_NONE;
            c->length = 0;
            *code_now(sheet, id) = (code_range){0, 0};
            edit_set_value(edit, id, mw_error_value(MW_CODE_NOT_A_VALUE));
        }
    }
    const mw_status status = put_in_order(edit);
    sheet->preparing = false;
    return status;
}
