/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Depth first through what cells need, on a stack of our own: chains of a million lines are
 * ordinary. A cell that is needed may be put on the stack more than once; the entry from which
 * it was opened is marked, so that the marked entries are the path down to the cell at hand, and
 * a needed cell on it is a cycle. */
#include <assert.h>

#include "inside.h"

#define OPENED UINT32_C(0x80000000) /* ids of cells are below it */

enum { LOOP_CELLS_SHOWN = 12 };

static bool push(mw_edit *edit, uint32_t id)
{
    if (!grow_array(edit->stack, edit->stack_capacity, edit->stack_count + 1)) {
        edit->no_memory = true;
        return false;
    }
    edit->stack[edit->stack_count++] = id;
    return true;
}

void walk_need(mw_edit *edit, uint32_t id)
{
    switch ((cell_state)cell_now(edit->sheet, id)->state) {
    case STATE_SETTLED:
        break;
    case STATE_WAITING:
    case STATE_SUSPECT:
        push(edit, id);
        break;
    case STATE_OPEN:
        edit->loop = id;
        break;
    case STATE_FAILED:
        edit->broken = true;
        break;
    }
}

/* The path from the cell that closes the loop down to the top, at the bottom of `stack` from
 * `from` on. Returns how many. */
static uint32_t collect_loop(mw_edit *edit, uint32_t top, uint32_t *from)
{
    uint32_t first = top;
    while (edit->stack[first] != (edit->loop | OPENED)) {
        assert(first > 0);
        first--;
    }
    uint32_t count = 0;
    for (uint32_t i = first; i <= top; i++) {
        if ((edit->stack[i] & OPENED) != 0) {
            edit->stack[first + count++] = edit->stack[i] & ~OPENED;
        }
    }
    *from = first;
    return count;
}

/* Whether a cell is the better one to begin the message at: of the edit, with a place, early in
 * the text. */
static bool is_better_start(const mw_sheet *sheet, uint32_t id, uint32_t than)
{
    const mw_span a = cell_now(sheet, id)->formula;
    const mw_span b = cell_now(sheet, than)->formula;
    if ((a.source == MW_NONE) != (b.source == MW_NONE)) {
        return b.source == MW_NONE;
    }
    const bool a_new = id >= sheet->count || sheet->cells[id].draft != MW_NONE;
    const bool b_new = than >= sheet->count || sheet->cells[than].draft != MW_NONE;
    if (a_new != b_new) {
        return a_new;
    }
    return a.source != b.source ? a.source < b.source : a.begin < b.begin;
}

static void loop_words(const mw_sheet *sheet, const uint32_t *loop, uint32_t count, uint32_t start,
                       mw_text *out)
{
    uint32_t shown = 0;
    uint32_t before = MW_NONE;
    for (uint32_t i = 0; i < count; i++) {
        const uint32_t id = sheet_owner_of(sheet, loop[(start + i) % count]);
        const cell *c = cell_now(sheet, id);
        if (id == before || c->kind == CELL_HUB) {
            continue;
        }
        before = id;
        if (shown++ == LOOP_CELLS_SHOWN) {
            mw_text_addf(out, "%u more -> ", count - i);
            break;
        }
        sheet_cell_words(sheet, id, out);
        if (c->formula.source != MW_NONE) {
            mw_text_addc(out, ' ');
            sheet_place_words(sheet, c->formula, out);
        }
        mw_text_adds(out, " -> ");
    }
    sheet_cell_words(sheet, loop[start], out);
}

static mw_status report_loop(mw_edit *edit, const uint32_t *loop, uint32_t count)
{
    const mw_sheet *sheet = edit->sheet;
    uint32_t start = 0;
    for (uint32_t i = 0; i < count; i++) {
        if (cell_now(sheet, loop[start])->kind == CELL_HUB ||
            (cell_now(sheet, loop[i])->kind != CELL_HUB &&
             is_better_start(sheet, loop[i], loop[start]))) {
            start = i;
        }
    }
    mw_text name = {0};
    mw_text path = {0};
    sheet_cell_words(sheet, loop[start], &name);
    loop_words(sheet, loop, count, start, &path);
    const bool told = !name.failed && !path.failed;
    if (told) {
        mw_diag *diag =
            mw_diags_error(edit->diags, MW_CODE_CYCLE, cell_now(sheet, loop[start])->formula,
                           "%s would depend on itself", mw_text_chars(&name));
        mw_diag_extra(edit->diags, diag, "%s", mw_text_chars(&path));
    }
    mw_text_free(&name);
    mw_text_free(&path);
    return told ? MW_FAILED : MW_NO_MEMORY;
}

/* Reports the loop and fails all cells in it, so that it is reported once. */
static mw_status fail_loop(mw_edit *edit, uint32_t top)
{
    uint32_t from;
    const uint32_t count = collect_loop(edit, top, &from);
    const mw_status status = report_loop(edit, edit->stack + from, count);
    for (uint32_t i = from; i < from + count; i++) {
        cell_now(edit->sheet, edit->stack[i])->state = STATE_FAILED;
    }
    edit->stack_count = from + count; /* entries are unmarked now, and settled all the same */
    edit->loop = MW_NONE;
    return status;
}

mw_status walk_needs(mw_edit *edit, uint32_t start)
{
    if (edit->no_memory) {
        return MW_NO_MEMORY;
    }
    if (edit->loop != MW_NONE) {
        edit->broken = false;
        return fail_loop(edit, start - 1);
    }
    if (edit->broken) {
        edit->broken = false;
        edit->stack_count = start;
        return MW_FAILED;
    }
    return edit->stack_count > start ? MW_PENDING : MW_OK;
}

mw_status walk_from(mw_edit *edit, uint32_t id, walk_visit visit)
{
    edit->stack_count = 0;
    edit->loop = MW_NONE;
    edit->broken = false;
    if (!push(edit, id)) {
        return MW_NO_MEMORY;
    }
    while (edit->stack_count > 0) {
        const uint32_t top = edit->stack_count - 1;
        const uint32_t at = edit->stack[top] & ~OPENED;
        cell *c = cell_now(edit->sheet, at);
        if (c->state == STATE_SETTLED || c->state == STATE_FAILED) {
            edit->stack_count = top;
            continue;
        }
        c->state = STATE_OPEN;
        edit->stack[top] = at | OPENED;
        const mw_status status = visit(edit, at);
        if (status == MW_NO_MEMORY || edit->no_memory) {
            return MW_NO_MEMORY;
        }
        if (status != MW_PENDING) {
            cell_now(edit->sheet, at)->state = status == MW_OK ? STATE_SETTLED : STATE_FAILED;
        }
    }
    return cell_now(edit->sheet, id)->state == STATE_FAILED ? MW_FAILED : MW_OK;
}
