/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Recomputing. A few changes are followed from cell to cell in the order, and not beyond a value
 * that came out as before. Many are not worth following: then all code from there on runs in
 * long stretches. */
#include <assert.h>
#include <math.h>
#include <string.h>

#include "inside.h"

enum {
    BLOCK = 512,        /* values compared at a time */
    FOLLOWED_MIN = 4096 /* as many are always followed */
};

bool run_same(double a, double b)
{
    uint64_t bits[2];
    memcpy(&bits[0], &a, sizeof a);
    memcpy(&bits[1], &b, sizeof b);
    return bits[0] == bits[1] || (isnan(a) && isnan(b) && mw_error_code(a) == mw_error_code(b));
}

/* Following costs up to ten times as much a cell as running all. Where nearly all cells up to
 * here had to be computed, as many can be expected of the rest. */
static bool is_worth_following(const mw_sheet *sheet, uint32_t followed, uint32_t first,
                               uint32_t position)
{
    const uint32_t rest = sheet->positions - position;
    const bool dense = followed > (position - first) / 2;
    return followed < FOLLOWED_MIN || followed / (dense ? 2 : 8) < rest / 100;
}

/* Marks the computed readers of a cell that come later than `position`. Those before it are no
 * readers any more. */
static inline void mark_readers(mw_sheet *sheet, uint32_t id, int64_t position)
{
    reader_walk walk = graph_readers(sheet, id);
    uint32_t reader;
    while ((reader = graph_next(&walk)) != MW_NONE) {
        const uint32_t at = sheet->wires[reader].position;
        if (at != MW_NONE && (int64_t)at > position) {
            marks_add(&sheet->marks, at);
        }
    }
}

void run_mark_readers(mw_sheet *sheet, uint32_t id)
{
    mark_readers(sheet, id, -1);
}

/* So many cells read this one that marking them is not worth it. */
static bool has_many_readers(const mw_sheet *sheet, uint32_t id)
{
    const uint32_t count = sheet->wires[id].reader_count;
    return count > FOLLOWED_MIN && count > sheet->positions / 12;
}

uint32_t run_readers(mw_sheet *sheet, uint32_t id)
{
    if (!has_many_readers(sheet, id)) {
        mark_readers(sheet, id, -1);
        return MW_NONE;
    }
    const uint32_t position = sheet->wires[id].position;
    return position == MW_NONE ? 0 : position + 1;
}

/* Takes marked cells
 from the lowest on, up to position `end`. Returns the position from which everything is to
 * be run. */
static uint32_t follow(mw_sheet *sheet, uint32_t end, mw_changes *changes)
{
    const mw_machine machine = sheet_machine(sheet);
    const mw_instruction *code = sheet->code.items;
    uint32_t followed = 0;
    uint32_t position = marks_take(&sheet->marks);
    const uint32_t first = position;
    for (; position < end; position = marks_take_from(&sheet->marks, position)) {
        const uint32_t id = sheet->order[position];
        const code_range range = sheet->wires[id].code;
        if (range.begin == MW_NONE) {
            outside_run(sheet, id, changes);
            continue;
        }
        const double before = machine.base[id];
        mw_run(&machine, code + range.begin, range.count);
        changes->computed++;
        if (!run_same(before, machine.base[id])) {
            changes->changed++;
            if (has_many_readers(sheet, id)) {
                return position + 1;
            }
            mark_readers(sheet, id, position);
        }
        if (!is_worth_following(sheet, ++followed, first, position)) {
            return position + 1;
        }
    }
    return end;
}

/* Runs code that lies in one piece, positions `from` up to `to`. */
static void run_stretch(mw_sheet *sheet, uint32_t from, uint32_t to, mw_changes *changes)
{
    const mw_machine machine = sheet_machine(sheet);
    double before[BLOCK];
    for (uint32_t at = from; at < to; at += BLOCK) {
        const uint32_t count = to - at < BLOCK ? to - at : BLOCK;
        const uint32_t *order = sheet->order + at;
        for (uint32_t i = 0; i < count; i++) {
            before[i] = machine.base[order[i]];
        }
        const code_range first = sheet->wires[order[0]].code;
        const code_range last = sheet->wires[order[count - 1]].code;
        mw_run(&machine, sheet->code.items + first.begin, last.begin + last.count - first.begin);
        uint32_t changed = 0;
        for (uint32_t i = 0; i < count; i++) {
            changed += !run_same(before[i], machine.base[order[i]]);
        }
        changes->changed += changed;
    }
    changes->computed += to - from;
}

static void run_all(mw_sheet *sheet, uint32_t from, mw_changes *changes)
{
    while (from < sheet->positions) {
        const uint32_t end = order_next_break(sheet, from + 1);
        const uint32_t id = sheet->order[from];
        if (id != MW_NONE && sheet->wires[id].code.begin == MW_NONE) {
            outside_run(sheet, id, changes);
        } else if (id != MW_NONE) {
            run_stretch(sheet, from, end, changes);
        }
        from = end;
    }
}

void run_marked(mw_sheet *sheet, uint32_t all_from, mw_changes *changes)
{
    const uint32_t from = follow(sheet, all_from, changes);
    if (from < sheet->positions) {
        marks_clear(&sheet->marks);
        run_all(sheet, from, changes);
        marks_clear(&sheet->marks); /* left by outside nodes */
    }
}

void mw_sheet_set(mw_sheet *sheet, uint32_t id, double value, mw_changes *changes)
{
    assert(id < sheet->count && sheet->cells[id].kind == CELL_VALUE);
    double *place = mw_values_base(sheet->values) + id;
    mw_changes counted = {0};
    if (!run_same(*place, value)) {
        *place = value;
        run_marked(sheet, run_readers(sheet, id), &counted);
    }
    if (changes != NULL) {
        *changes = counted;
    }
}

void mw_sheet_recompute(mw_sheet *sheet, mw_changes *changes)
{
    mw_changes counted = {0};
    for (uint32_t i = 0; i < sheet->node_count; i++) {
        if (sheet->nodes[i] != NULL) {
            sheet->nodes[i]->computed = false;
        }
    }
    run_all(sheet, 0, &counted);
    marks_clear(&sheet->marks);
    if (changes != NULL) {
        *changes = counted;
    }
}
