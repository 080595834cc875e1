/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Formulas outside an edit that read what the edit gives another kind, unit or length. All that
 * depends on such a cell is suspect; a suspect is looked at after those that it reads, and
 * compiled again only if one of them has really changed. */
#include "inside.h"

bool retype_changes(const mw_sheet *sheet, uint32_t id)
{
    const uint32_t at = sheet_owner_of(sheet, id);
    if (at >= sheet->count || sheet->cells[at].draft == MW_NONE) {
        return false;
    }
    const cell *old = &sheet->cells[at];
    const cell *now = cell_now(sheet, at);
    return old->kind != CELL_EMPTY && now->kind != CELL_EMPTY &&
           (old->type != now->type || old->unit != now->unit || old->shape != now->shape ||
            (old->shape == MW_SHAPE_LIST &&
             (old->first != now->first || old->length != now->length)));
}

typedef struct spreading {
    mw_edit *edit;
    bool no_memory;
} spreading;

static void suspect(spreading *work, uint32_t reader)
{
    mw_edit *edit = work->edit;
    mw_sheet *sheet = edit->sheet;
    const uint32_t id = sheet_owner_of(sheet, reader);
    if (id >= sheet->count || sheet->cells[id].draft != MW_NONE) {
        return;
    }
    cell *c = &sheet->cells[id];
    if (c->state != STATE_SETTLED || c->kind == CELL_HUB || c->kind == CELL_OUTPUT) {
        return;
    }
    if (!grow_array(edit->suspects, edit->suspect_capacity, edit->suspect_count + 1)) {
        work->no_memory = true;
        return;
    }
    c->state = STATE_SUSPECT;
    edit->suspects[edit->suspect_count++] = id;
}

static void suspect_readers(spreading *work, uint32_t id)
{
    const mw_sheet *sheet = work->edit->sheet;
    reader_walk walk = graph_readers(sheet, id);
    uint32_t reader;
    while ((reader = graph_next(&walk)) != MW_NONE) {
        suspect(work, reader);
    }
}

/* All that reads a cell as it was before the edit. */
static void spread_from(spreading *work, uint32_t id)
{
    const mw_sheet *sheet = work->edit->sheet;
    const cell *c = &sheet->cells[id];
    suspect_readers(work, id);
    if (c->shape != MW_SHAPE_LIST) {
        return;
    }
    for (uint32_t i = 0; i < c->length; i++) {
        suspect_readers(work, c->first + i);
    }
    for (uint32_t i = 0; i < sheet->list_use_count; i++) {
        if (sheet->list_uses[i].line == id) {
            suspect(work, sheet->list_uses[i].reader);
        }
    }
}

static bool is_fixed(const cell *c)
{
    const uint8_t given = FLAG_TYPE_GIVEN | FLAG_UNIT_GIVEN;
    return c->kind == CELL_BOUND || c->kind == CELL_VALUE || c->kind == CELL_EMPTY ||
           (c->shape == MW_SHAPE_ONE && (c->flags & given) == given);
}

mw_status retype_suspects(mw_edit *edit, bool *found)
{
    const mw_sheet *sheet = edit->sheet;
    spreading work = {.edit = edit};
    for (uint32_t i = 0; i < edit->draft_count; i++) {
        const uint32_t id = edit->drafts[i].id;
        if (sheet->cells[id].kind != CELL_EMPTY &&
            (retype_changes(sheet, id) || !is_fixed(&edit->drafts[i].cell))) {
            spread_from(&work, id);
        }
    }
    for (uint32_t i = 0; i < edit->suspect_count; i++) {
        if (!is_fixed(&sheet->cells[edit->suspects[i]])) {
            spread_from(&work, edit->suspects[i]);
        }
    }
    *found = edit->suspect_count > 0;
    return work.no_memory ? MW_NO_MEMORY : MW_OK;
}

typedef struct reading {
    mw_edit *edit;
    each_cell each;   /* called with this reading */
    uint32_t id;      /* the suspect */
    uint32_t index;   /* of the read at hand */
    uint32_t changed; /* a read that changes; MW_NONE: none */
    mw_status status;
} reading;

/* Goes through what a suspect read and names, elements and partial sums opened up. */
static void each_read(reading *work)
{
    const mw_sheet *sheet = work->edit->sheet;
    const cell *c = &sheet->cells[work->id];
    graph_reads(sheet, work->id, work->each, work);
    for (uint32_t i = 0; i < c->length; i++) {
        graph_reads(sheet, c->first + i, work->each, work);
    }
    for (uint32_t i = 0; (c->flags & FLAG_LISTS) != 0 && i < sheet->list_use_count; i++) {
        if (sheet->list_uses[i].reader == work->id) {
            work->each(work, sheet->list_uses[i].line);
        }
    }
}

static void need_read(void *context, uint32_t read)
{
    reading *work = context;
    const uint32_t at = sheet_owner_of(work->edit->sheet, read);
    if (at != work->id) {
        walk_need(work->edit, at);
    }
}

static void find_change(void *context, uint32_t read)
{
    reading *work = context;
    if (work->changed == MW_NONE && retype_changes(work->edit->sheet, read)) {
        work->changed = read;
    }
}

/* Adds to the last message why a cell is looked at again that nobody touched. */
static void explain(mw_edit *edit, uint32_t id, uint32_t changed, size_t before)
{
    mw_diags *diags = edit->diags;
    if (diags->count == before) {
        return;
    }
    mw_text reader = {0};
    mw_text read = {0};
    sheet_cell_words(edit->sheet, id, &reader);
    sheet_cell_words(edit->sheet, changed, &read);
    mw_diag_extra(diags, &diags->items[diags->count - 1], "%s reads %s, which would change",
                  mw_text_chars(&reader), mw_text_chars(&read));
    mw_text_free(&reader);
    mw_text_free(&read);
}

/* Makes a suspect part of the edit with the formula that it has. */
static mw_status recompile(mw_edit *edit, uint32_t id)
{
    mw_sheet *sheet = edit->sheet;
    const mw_scope *scope = NULL;
    if ((sheet->cells[id].flags & FLAG_OWN_SCOPE) != 0) {
        scope =
            sheet->owner.scope_of == NULL ? NULL : sheet->owner.scope_of(sheet->owner.context, id);
        if (scope == NULL) {
            mw_diags_error(edit->diags, MW_CODE_STILL_NEEDED, sheet->cells[id].formula,
                           "what this reads cannot change its kind");
            return MW_FAILED;
        }
    }
    const cell old = sheet->cells[id];
    if (edit_touch(edit, id) == NULL) {
        return MW_NO_MEMORY;
    }
    const bool type_given = (old.flags & FLAG_TYPE_GIVEN) != 0;
    const bool unit_given = (old.flags & FLAG_UNIT_GIVEN) != 0;
    mw_edit_formula(edit, id,
                    &(mw_definition){.formula = old.formula,
                                     .scope = scope,
                                     .slot = type_given ? old.type : MW_NONE,
                                     .unit = unit_given ? old.unit : MW_NONE});
    cell_now(sheet, id)->state = STATE_OPEN;
    return edit->no_memory ? MW_NO_MEMORY : compile_formula(edit, id);
}

static void note_read(void *context, uint32_t read)
{
    reading *work = context;
    mw_edit *edit = work->edit;
    if (!grow_array(edit->ends, edit->end_capacity, work->index + 1)) {
        work->status = MW_NO_MEMORY;
        return;
    }
    edit->ends[work->index++] = read;
}

/* The code of a template and what was made of it read the same things in the same order: there
 * ports, here cells. */
static void check_bound_read(void *context, uint32_t read)
{
    reading *work = context;
    if (work->status != MW_OK) {
        return;
    }
    mw_edit *edit = work->edit;
    const mw_template *made = edit->sheet->templates[edit->sheet->cells[work->id].part];
    const uint32_t port = edit->ends[work->index++];
    for (uint32_t i = 0; i < made->port_count && work->status == MW_OK; i++) {
        if (made->ports[i] == port) {
            work->status = template_check_port(edit, work->id, i, read);
        }
    }
}

static mw_status check_bound(mw_edit *edit, uint32_t id)
{
    const mw_sheet *sheet = edit->sheet;
    const mw_template *made = sheet->templates[sheet->cells[id].part];
    reading work = {.edit = edit, .id = id, .each = check_bound_read, .status = MW_OK};
    mw_program_reads(made->code.items, made->code.count, note_read, &work);
    work.index = 0;
    if (work.status != MW_OK || made->folds) {
        return work.status;
    }
    if (made->meaning.shape == MW_SHAPE_ONE) {
        graph_reads(sheet, id, check_bound_read, &work);
    }
    for (uint32_t i = 0; i < sheet->cells[id].length; i++) {
        graph_reads(sheet, sheet->cells[id].first + i, check_bound_read, &work);
    }
    return work.status;
}

static void check_addend(void *context, uint32_t read)
{
    reading *work = context;
    const uint32_t owner = sheet_owner_of(work->edit->sheet, read);
    if (work->status == MW_OK && owner != work->id) {
        work->status = compile_check_sum(work->edit, work->id, &read, 1);
    }
}

static mw_status check_again(mw_edit *edit, uint32_t id)
{
    reading work = {.edit = edit, .id = id, .each = check_addend, .status = MW_OK};
    switch ((cell_kind)edit->sheet->cells[id].kind) {
    case CELL_FORMULA:
        return recompile(edit, id);
    case CELL_BOUND:
        return check_bound(edit, id);
    case CELL_SUM:
        each_read(&work);
        return work.status;
    case CELL_EMPTY:
    case CELL_VALUE:
    case CELL_ELEMENT:
    case CELL_PARTIAL:
    case CELL_HUB:
    case CELL_OUTPUT:
        break;
    }
    return MW_OK;
}

mw_status retype_visit(mw_edit *edit, uint32_t id)
{
    const uint32_t start = edit->stack_count;
    reading work = {.edit = edit, .id = id, .each = need_read, .changed = MW_NONE};
    each_read(&work);
    const mw_status status = walk_needs(edit, start);
    if (status != MW_OK) {
        return status;
    }
    work.each = find_change;
    each_read(&work);
    if (work.changed == MW_NONE) {
        return MW_OK;
    }
    const size_t before = edit->diags->count;
    const mw_status again = check_again(edit, id);
    if (again == MW_FAILED) {
        explain(edit, id, work.changed, before);
    }
    return again;
}
