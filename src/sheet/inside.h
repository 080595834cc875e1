/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions that the files of the sheet share. */
#ifndef MW_SHEET_INSIDE_H
#define MW_SHEET_INSIDE_H

#include "parts.h"

typedef void (*each_cell)(void *context, uint32_t cell);

/* -- sheet.c -- */
/* Makes room for `total` cells in all. */
bool sheet_room(mw_sheet *sheet, uint32_t total) MW_MUST_USE;
/* Makes room for names with ids below `count`; new ones have no cell. */
bool sheet_name_room(mw_sheet *sheet, uint32_t count) MW_MUST_USE;
mw_machine sheet_machine(const mw_sheet *sheet);
/* Adds how messages call a cell: its name, or `(file:line)` for a nameless one. */
void sheet_cell_words(const mw_sheet *sheet, uint32_t id, mw_text *out);
/* Adds ` (file:line)` of a formula, or nothing. */
void sheet_place_words(const mw_sheet *sheet, mw_span span, mw_text *out);
/* The line or sum that a hidden cell belongs to; other cells belong to themselves. */
uint32_t sheet_owner_of(const mw_sheet *sheet, uint32_t id);

/* -- scope.c -- */
void scope_start(mw_sheet *sheet);
/* Returns the name of a path as one text; empty when it is too long to be one. */
mw_str scope_name(const mw_path *path, char *room, size_t size);

/* -- graph.c -- */
/* Calls `each` for all that a cell's code (or node) reads, as the open edit has it; outputs of a
 * node read its hub. The same cell may come twice. */
void graph_reads(const mw_sheet *sheet, uint32_t id, each_cell each, void *context);
/* The same as it is without the edit. */
void graph_reads_before(const mw_sheet *sheet, uint32_t id, each_cell each, void *context);
bool graph_does_read(const mw_sheet *sheet, uint32_t reader, uint32_t read);

/* A walk over those that read a cell, some of which may have been redefined since. */
typedef struct reader_walk {
    const mw_sheet *sheet;
    uint32_t at, end; /* in readers */
    uint32_t late;
} reader_walk;

static inline reader_walk graph_readers(const mw_sheet *sheet, uint32_t id)
{
    const wiring *w = &sheet->wires[id];
    const uint32_t count = id < sheet->count ? w->reader_count : 0; /* see edit_given() */
    return (reader_walk){sheet, w->first_reader, w->first_reader + count, w->late};
}

/* Returns the next, or MW_NONE. */
static inline uint32_t graph_next(reader_walk *walk)
{
    if (walk->at < walk->end) {
        return walk->sheet->readers[walk->at++];
    }
    if (walk->late == MW_NONE) {
        return MW_NONE;
    }
    const late_reader *late = &walk->sheet->late[walk->late];
    walk->late = late->next;
    return late->reader;
}

/* Adds `reader` to the late readers of all that it reads, but not where it was among them before
 * the edit. */
bool graph_add_late(mw_sheet *sheet, uint32_t reader) MW_MUST_USE;
/* Takes back the late readers from `start` on. */
void graph_drop_late(mw_sheet *sheet, uint32_t start);
/* Puts the readers of every cell in a row, into `room` (taken over), which holds as many as
 * there are readers now. */
void graph_rebuild(mw_sheet *sheet, uint32_t *room);
/* The same for a sheet whose cells are all new and have noted what they read. */
void graph_build(mw_sheet *sheet, uint32_t *room, const uint32_t *reads);

/* -- order.c -- */
void order_fix_break(mw_sheet *sheet, uint32_t position);
/* Takes a cell out of the order. */
void order_vacate(mw_sheet *sheet, uint32_t id);
/* Puts a cell at the end of the order. There must be room. */
void order_append(mw_sheet *sheet, uint32_t id);
bool order_room(mw_sheet *sheet, uint32_t positions) MW_MUST_USE;
/* Returns the next position from `from` on that has a break, or the count of positions. */
uint32_t order_next_break(const mw_sheet *sheet, uint32_t from);
/* Finds the cells that have to move (edit->moves), or a cycle. */
mw_status order_plan(mw_edit *edit);

/* -- run.c -- */
/* Recomputes marked positions and all that depends on them; everything from position `all_from`
 * on. */
void run_marked(mw_sheet *sheet, uint32_t all_from, mw_changes *changes);
void run_mark_readers(mw_sheet *sheet, uint32_t id);
/* Marks them, or where they are too many returns the position from which all is to be run.
 * MW_NONE: marked. */
uint32_t run_readers(mw_sheet *sheet, uint32_t id) MW_MUST_USE;
bool run_same(double a, double b);

/* -- outside.c -- */
/* Calls a node if an input changed; marks the readers of outputs that changed. */
void outside_run(mw_sheet *sheet, uint32_t hub, mw_changes *changes);
void outside_free(outside_node *node);
/* Takes a node away in the edit: its hub becomes empty. False: no memory (noted). */
bool outside_drop(mw_edit *edit, uint32_t hub) MW_MUST_USE;
/* Calls a node for every lane with that lane's inputs. Outputs with a column in `given` (a bit a
 * cell) stay as they are. */
mw_status outside_run_lanes(mw_sheet *sheet, uint32_t hub, mw_lanes *lanes, const uint64_t *given);

/* -- edit.c -- */
/* Returns what the cell is to be, for changing it; NULL when there is no memory (noted). */
cell *edit_touch(mw_edit *edit, uint32_t id);
/* A number that a cell's definition has in the edit before it is compiled: FORMULA: 0 or 1 + its
 * index in scopes, BOUND and SUM: where its cells stand in the pool. */
uint32_t *edit_given(mw_edit *edit, uint32_t id);
void edit_set_value(mw_edit *edit, uint32_t id, double value);
/* Gives a row of nameless cells back that this edit took or made. */
uint32_t edit_take_cells(mw_edit *edit, uint32_t count);
void edit_return_cells(mw_edit *edit, uint32_t taken_count, uint32_t total);
/* Ends an edit, done or not. */
void edit_end(mw_edit *edit);

/* -- walk.c -- */
/* Works on one cell: MW_OK it is settled, MW_PENDING others were put on the stack, MW_FAILED. */
typedef mw_status (*walk_visit)(mw_edit *edit, uint32_t id);
/* Works on a cell after all that it needs, without recursion. MW_FAILED: that one or one it
 * needs has failed. */
mw_status walk_from(mw_edit *edit, uint32_t id, walk_visit visit);
/* Notes that the cell on top needs another one first. Returns false when there is no memory. */
void walk_need(mw_edit *edit, uint32_t id);
/* What came of the needs noted since the stack had `start` cells: MW_OK none, MW_PENDING,
 * MW_FAILED. */
mw_status walk_needs(mw_edit *edit, uint32_t start);

/* -- prepare.c -- */
/* Gives a settled cell that is computed a place in the sequence, if it has no position. */
bool prepare_sequence(mw_edit *edit, uint32_t id) MW_MUST_USE;
/* Notes what the newest cell of the sequence reads, each cell once. */
bool prepare_note_reads(mw_edit *edit, const uint32_t *reads, uint32_t count) MW_MUST_USE;
/* Adds the cells of the edit to the late readers of what they read. */
bool prepare_late_readers(mw_edit *edit) MW_MUST_USE;

/* -- compile.c -- */
mw_status compile_visit(mw_edit *edit, uint32_t id);
mw_status compile_formula(mw_edit *edit, uint32_t id);
/* Compiles a cell that is loaded by a pattern if there is one and nothing stands in its way. */
bool compile_alike(mw_edit *edit, uint32_t id);
/* Turns the code of a cell, which reads no cell, into a value. */
void compile_fold(mw_edit *edit, uint32_t id);

/* -- compile_parts.c -- */
mw_status compile_sum(mw_edit *edit, uint32_t id);
/* Whether all cells may be added up to the kind of `id`. */
mw_status compile_check_sum(mw_edit *edit, uint32_t id, const uint32_t *cells, uint32_t count);
/* Emits what a list or range line has checked last, into element cells. */
mw_status compile_elements(mw_edit *edit, uint32_t id, const mw_meaning *meaning, bool folds);
/* Returns the first of `count` hidden cells of `id`, ready for their code: those that it has, or
 * new ones. MW_NONE: none, or no memory. */
uint32_t compile_hidden(mw_edit *edit, uint32_t id, uint32_t count, cell_kind kind);
/* Code for several results that was put at `start`; its ends are in edit->ends. */
typedef struct result_place {
    const mw_meaning *meaning;
    uint32_t first; /* hidden cell */
    uint32_t start;
    bool folds;
} result_place;
/* Parts that code among the elements of `id`. */
mw_status compile_place(mw_edit *edit, uint32_t id, const result_place *place);
/* Emits what adds up `count` cells, or copies one. */
mw_status compile_add_up(mw_edit *edit, uint32_t id, const uint32_t *cells, uint32_t count);

/* -- template.c -- */
void template_free(mw_template *made);
/* Whether a formula always has the same value. One that calls functions is computed again each
 * time, since what stands behind those of a host may change. */
bool template_folds(const mw_ast *ast, const mw_meaning *meaning);
mw_status compile_bound(mw_edit *edit, uint32_t id);
/* Whether the cell `read` is of the kind for which the port of that index was compiled. */
mw_status template_check_port(mw_edit *edit, uint32_t id, uint32_t port, uint32_t read);

/* -- retype.c -- */
/* Whether the edit changes what a formula that reads this cell was checked against. */
bool retype_changes(const mw_sheet *sheet, uint32_t id);
/* Finds cells outside the edit that may have to be checked again. `*found` is whether there are
 * any. */
mw_status retype_suspects(mw_edit *edit, bool *found);
mw_status retype_visit(mw_edit *edit, uint32_t id);
void retype_settle(mw_edit *edit);

/* -- tidy.c -- */
/* Puts code, order, readers and names in shape again when enough has become stale. May do
 * nothing. */
void tidy(mw_sheet *sheet);

#endif
