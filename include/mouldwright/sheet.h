/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet: cells with formulas in one dependency graph. A change recomputes only what depends
 * on it and stops where a value did not change. The sheet knows nothing of moulds. */
#ifndef MOULDWRIGHT_SHEET_H
#define MOULDWRIGHT_SHEET_H

#include "mouldwright/code.h"
#include "mouldwright/lanes.h"
#include "mouldwright/parse.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct mw_sheet mw_sheet;
typedef struct mw_edit mw_edit;
typedef struct mw_template mw_template;

/* Returns an empty sheet that borrows both contexts for its life; NULL when there is no memory. */
mw_sheet *mw_sheet_new(mw_measure *measure, mw_sources *sources) MW_MUST_USE;
void mw_sheet_free(mw_sheet *sheet);

/* Plugs in host functions for every formula compiled from now on (they must outlive the sheet).
 * Call once, before the first formula. */
void mw_sheet_host(mw_sheet *sheet, mw_host host);

/* What an owner that has scopes and names of its own for cells can tell the sheet. */
typedef struct mw_sheet_owner {
    void *context;
    /* The scope of a cell whose formula was given one of its own and must be checked again, because
     * what it reads changes its kind. NULL, or no such function: an edit that needs it is
     * refused. */
    const mw_scope *(*scope_of)(void *context, uint32_t cell);
    /* Adds a name for a nameless cell to a message. NULL: its place is named instead. */
    void (*name_of)(void *context, uint32_t cell, mw_text *out);
} mw_sheet_owner;
void mw_sheet_owned(mw_sheet *sheet, const mw_sheet_owner *owner);

/* Looking. A cell id is below mw_sheet_count(). */
uint32_t mw_sheet_count(const mw_sheet *sheet);
uint32_t mw_sheet_find(const mw_sheet *sheet, mw_str name); /* MW_NONE: no such named cell */
mw_str mw_sheet_name(const mw_sheet *sheet, uint32_t id);   /* empty for a nameless one */
double mw_sheet_value(const mw_sheet *sheet, uint32_t id);
mw_type mw_sheet_type(const mw_sheet *sheet, uint32_t id);
mw_unit mw_sheet_unit(const mw_sheet *sheet, uint32_t id);
mw_span mw_sheet_formula(const mw_sheet *sheet, uint32_t id); /* source MW_NONE: a set value */
mw_values *mw_sheet_values(mw_sheet *sheet);
mw_measure *mw_sheet_measure(mw_sheet *sheet);
mw_sources *mw_sheet_sources(mw_sheet *sheet);
/* A list or range line owns `*count` element cells, the first of which is returned; a single one
 * owns itself with `*count` 1. A range line also holds the likely value itself. */
uint32_t mw_sheet_elements(const mw_sheet *sheet, uint32_t id, uint32_t *count, mw_shape *shape);
/* The cells that a cell reads, each once, in the order of its formula, hidden partial sums
 * opened up. */
void mw_sheet_reads(const mw_sheet *sheet, uint32_t id, void (*each)(void *context, uint32_t cell),
                    void *context);
/* The cells that read a cell; for an element or a partial sum the cell that owns it. */
void mw_sheet_readers(const mw_sheet *sheet, uint32_t id,
                      void (*each)(void *context, uint32_t cell), void *context);
/* For a cell in error: the cell in which the error arose (itself, or one it reads, and so on). */
uint32_t mw_sheet_blame(const mw_sheet *sheet, uint32_t id);
size_t mw_sheet_bytes(const mw_sheet *sheet);

/* The plain scope of a sheet: names are its named cells (dots in a path are part of the name). Used
 * where a formula is given no scope. */
const mw_scope *mw_sheet_scope(mw_sheet *sheet);
/* Fills in what the `find` of a scope says of a cell: its kind and unit, the elements of a list
 * line. While an edit is prepared it is as the edit has it, and MW_PENDING where the formula is
 * not compiled yet; hand the status on. MW_NOT_FOUND: the cell has no definition. A scope need
 * not call it where it knows the kind, since the order of compiling does not hang on it.
 * `out->slots` is valid until the next call. */
mw_status mw_sheet_reference(mw_sheet *sheet, uint32_t id, mw_reference *out) MW_MUST_USE;

/* Compiles a formula of `span` once for many cells: `scope` gives slots that are ports, small
 * numbers that each binding maps to cells. `slot` is the declared type. NULL with diagnostics,
 * or with none when there is no memory. Owned by the sheet. */
mw_template *mw_sheet_template(mw_sheet *sheet, mw_span span, const mw_scope *scope, mw_type slot,
                               mw_diags *diags) MW_MUST_USE;
const mw_meaning *mw_template_meaning(const mw_template *made);
/* The ports it reads, `*count` of them. */
const uint32_t *mw_template_ports(const mw_template *made, uint32_t *count);

/* Editing: gather definitions, prepare (may fail), then commit (cannot fail) or cancel. One edit
 * at a time. All functions that gather have a sticky MW_NO_MEMORY that prepare reports. */
mw_edit *mw_edit_begin(mw_sheet *sheet) MW_MUST_USE;

/* Returns the cell of that name, new if there is none; MW_NONE when there is no memory. Whether
 * it has a definition in this same edit already: mw_edit_defined(). */
uint32_t mw_edit_cell(mw_edit *edit, mw_str name);
/* Makes `count` nameless cells, returns the first; they stand in a row. */
uint32_t mw_edit_cells(mw_edit *edit, uint32_t count);
/* Whether the cell was given a definition in this edit, and the span of it. */
bool mw_edit_defined(const mw_edit *edit, uint32_t id, mw_span *span);

/* What a cell is to be. */
typedef struct mw_definition {
    mw_span formula;       /* text; source MW_NONE: none */
    const mw_scope *scope; /* NULL: the sheet's own; must live until commit or cancel;
                               see mw_sheet_owner for later */
    mw_type slot;          /* declared type, or MW_NONE: inferred from the formula */
    mw_unit unit;          /* shown in, or MW_NONE: as the formula has it */
} mw_definition;

/* A cell computed by a formula. */
void mw_edit_formula(mw_edit *edit, uint32_t id, const mw_definition *definition);
/* A cell computed by a template: port p reads the cell map[p]. `map` is read at once; `length`
 * is its length. The type is the template's slot (or inferred type), the unit the template's
 * own; see mw_edit_unit(). */
void mw_edit_bind(mw_edit *edit, uint32_t id, const mw_template *made, const uint32_t *map,
                  uint32_t length);
void mw_edit_unit(mw_edit *edit, uint32_t id, mw_unit unit);
/* A value with all that belongs to it. */
typedef struct mw_constant {
    double value; /* SI; texts from mw_values_text() */
    mw_type type;
    mw_unit unit; /* shown in */
    mw_span from; /* where it was written, for messages and why; source MW_NONE: nowhere */
} mw_constant;

/* A cell that holds a value. */
void mw_edit_value(mw_edit *edit, uint32_t id, const mw_constant *constant);
/* A cell whose definition could not be read, for which somebody has been told: prepare refuses the edit, and what reads
 * the cell is refused without a word. */
void mw_edit_broken(mw_edit *edit, uint32_t id, mw_type type);
/* A cell that is the sum of others (all of `type`), as a tree of fixed shape with hidden partial
 * sums where there are many. No cells: 0. */
void mw_edit_sum(mw_edit *edit, uint32_t id, const uint32_t *cells, uint32_t count, mw_type type);
/* Cells computed outside (the plan): a pure function of the inputs. */
typedef void (*mw_outside)(void *context, const double *inputs, uint32_t input_count,
                           double *outputs, uint32_t output_count);
typedef struct mw_outside_node {
    mw_outside compute; /* outputs start as errors NOT_A_VALUE */
    void *context;
    const uint32_t *inputs; /* cells, read at once */
    uint32_t input_count;
    uint32_t first_output; /* cells in a row from mw_edit_cells(), types and units given to each by
                               mw_edit_value() */
    uint32_t output_count;
} mw_outside_node;
void mw_edit_outside(mw_edit *edit, const mw_outside_node *from);
/* Takes a cell out, named or not; refused at prepare while others that stay read it. Its id may
 * be given out again. */
void mw_edit_remove(mw_edit *edit, uint32_t id);

/* Checks everything: formulas in any order, kinds, those that read a redefined cell again,
 * cycles (the whole loop named with lines). MW_OK: commit cannot fail. Otherwise nothing has
 * changed and the edit must be cancelled. */
mw_status mw_edit_prepare(mw_edit *edit, mw_diags *diags) MW_MUST_USE;

/* After prepare has refused (MW_FAILED) the first edit of a sheet: what was refused becomes cells in error, so that
 * the rest can be computed and looked at. MW_OK: commit cannot fail. */
mw_status mw_edit_salvage(mw_edit *edit) MW_MUST_USE;

typedef struct mw_changes {
    uint64_t computed; /* values computed */
    uint64_t changed;  /* of those, values that came out different */
} mw_changes;

/* Makes the change, recomputes what depends on it, frees the edit. `changes` may be NULL, here and
 * below. */
void mw_edit_commit(mw_edit *edit, mw_changes *changes);
/* Drops the edit; the sheet is as before. */
void mw_edit_cancel(mw_edit *edit);

/* Sets the value of a cell that mw_edit_value() defined and recomputes what depends on it: the
 * quick way that no check is needed for. */
void mw_sheet_set(mw_sheet *sheet, uint32_t id, double value, mw_changes *changes);
/* Recomputes everything, outside nodes included. */
void mw_sheet_recompute(mw_sheet *sheet, mw_changes *changes);

/* Loads a whole source of lines `NAME = FORMULA` in any order, as one edit. */
mw_status mw_sheet_load(mw_sheet *sheet, uint32_t source, mw_changes *changes,
                        mw_diags *diags) MW_MUST_USE;

/* The answer to a formula: start from {.values = ..., .room = ...}. */
typedef struct mw_answer {
    mw_meaning meaning;
    double *values; /* the caller's; gets up to `room` of meaning.length results */
    uint32_t room;
} mw_answer;

/* Computes a formula once, without adding a line; the sheet does not change. */
mw_status mw_sheet_try(mw_sheet *sheet, mw_span span, const mw_scope *scope, mw_answer *answer,
                       mw_diags *diags) MW_MUST_USE;

/* Checks that a formula can be read and gives one value of a declared kind; nothing is computed and nothing kept. */
mw_status mw_sheet_check(mw_sheet *sheet, mw_span span, const mw_scope *scope, mw_type slot,
                         mw_diags *diags) MW_MUST_USE;

/* What if: `lanes` (made for mw_sheet_count() cells) has columns for the cells that differ, also
 * for computed ones; computes all that depends on them into columns. The sheet itself does not
 * change. */
mw_status mw_sheet_lanes(mw_sheet *sheet, mw_lanes *lanes, mw_changes *changes) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
