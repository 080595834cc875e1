/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which cells an edit puts out of order. New cells have been given the positions that they will
 * have. A cell of the edit that reads a later position, or that an earlier position reads, is a
 * fault; all that depends on such cells moves to the end. Whatever does not depend on them
 * cannot read them, so that the rest of the order holds; and a new cycle always leads through
 * one of them. */
#include "inside.h"

/* The position of what is read; 0 for what is never computed. An output stands for its node. */
static uint32_t position_of(const mw_sheet *sheet, uint32_t id)
{
    const cell *c = cell_now(sheet, id);
    const uint32_t at = c->kind == CELL_OUTPUT ? c->part : id;
    return code_computes(*code_now(sheet, at)) ? sheet->wires[at].position : 0;
}

typedef struct fault_search {
    mw_edit *edit;
    uint32_t position;
    bool found;
} fault_search;

static void find_later(void *context, uint32_t read)
{
    fault_search *search = context;
    search->found = search->found || position_of(search->edit->sheet, read) > search->position;
}

static bool reads_later(mw_edit *edit, uint32_t id)
{
    fault_search search = {.edit = edit, .position = edit->sheet->wires[id].position};
    graph_reads(edit->sheet, id, find_later, &search);
    return search.found;
}

/* Lets a cell move, and has its readers looked at in their turn. */
static bool move_too(mw_edit *edit, uint32_t id)
{
    cell *c = cell_now(edit->sheet, id);
    if (c->state == STATE_WAITING) {
        return true;
    }
    if (!grow_array(edit->suspects, edit->suspect_capacity, edit->suspect_count + 1)) {
        return false;
    }
    c->state = STATE_WAITING;
    edit->suspects[edit->suspect_count++] = id;
    return true;
}

static bool move_readers(mw_edit *edit, uint32_t id, uint32_t before)
{
    const mw_sheet *sheet = edit->sheet;
    reader_walk walk = graph_readers(sheet, id);
    uint32_t reader;
    while ((reader = graph_next(&walk)) != MW_NONE) {
        if (code_computes(*code_now(sheet, reader)) && sheet->wires[reader].position < before &&
            graph_does_read(sheet, reader, id) && !move_too(edit, reader)) {
            return false;
        }
    }
    return true;
}

/* The readers of a cell that has become computed stand before it, unless they are new
 * themselves. */
static bool find_faults(mw_edit *edit, uint32_t id)
{
    const mw_sheet *sheet = edit->sheet;
    if (cell_now(sheet, id)->kind == CELL_OUTPUT) {
        return move_readers(edit, id, position_of(sheet, id));
    }
    if (!code_computes(*code_now(sheet, id))) {
        return true;
    }
    if (sheet->wires[id].position >= sheet->positions &&
        !move_readers(edit, id, sheet->positions)) {
        return false;
    }
    return !reads_later(edit, id) || move_too(edit, id);
}

static bool spread(mw_edit *edit)
{
    const mw_sheet *sheet = edit->sheet;
    for (uint32_t i = 0; i < edit->suspect_count; i++) {
        const uint32_t id = edit->suspects[i];
        const cell *c = cell_now(sheet, id);
        if (c->kind != CELL_HUB) {
            if (!move_readers(edit, id, MW_NONE)) {
                return false;
            }
            continue;
        }
        const outside_node *node = sheet->nodes[c->part];
        for (uint32_t k = 0; k < node->output_count; k++) {
            if (!move_readers(edit, node->first_output + k, MW_NONE)) {
                return false;
            }
        }
    }
    return true;
}

static void need_mover(void *context, uint32_t read)
{
    mw_edit *edit = context;
    const cell *c = cell_now(edit->sheet, read);
    const uint32_t at = c->kind == CELL_OUTPUT ? c->part : read;
    if (cell_now(edit->sheet, at)->state != STATE_SETTLED) {
        walk_need(edit, at);
    }
}

static mw_status visit_mover(mw_edit *edit, uint32_t id)
{
    const uint32_t start = edit->stack_count;
    graph_reads(edit->sheet, id, need_mover, edit);
    const mw_status status = walk_needs(edit, start);
    if (status == MW_OK) {
        edit->moves[edit->move_count++] = id;
    }
    return status;
}

/* Sorts the movers: from the earliest on, each after those movers that it reads. */
static mw_status sort_movers(mw_edit *edit)
{
    mw_sheet *sheet = edit->sheet;
    if (!grow_array(edit->moves, edit->move_capacity, edit->suspect_count)) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < edit->suspect_count; i++) {
        marks_add(&sheet->marks, sheet->wires[edit->suspects[i]].position);
    }
    mw_status status = MW_OK;
    uint32_t position;
    while (status == MW_OK && (position = marks_take(&sheet->marks)) != MW_NONE) {
        const uint32_t old = position < sheet->positions
                                 ? sheet->order[position]
                                 : edit->sequence[position - sheet->positions];
        status = walk_from(edit, old, visit_mover);
    }
    marks_clear(&sheet->marks);
    return status;
}

mw_status order_plan(mw_edit *edit)
{
    mw_sheet *sheet = edit->sheet;
    edit->suspect_count = 0;
    for (uint32_t i = 0; i < edit->draft_count; i++) {
        if (!find_faults(edit, edit->drafts[i].id)) {
            return MW_NO_MEMORY;
        }
    }
    if (edit->suspect_count == 0) {
        return MW_OK;
    }
    if ((edit->bulk && !prepare_late_readers(edit)) || !spread(edit) ||
        !marks_reserve(&sheet->marks, sheet->positions + edit->sequence_count)) {
        return MW_NO_MEMORY;
    }
    return sort_movers(edit);
}
