/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Putting a sheet in shape again after many edits: code in the order in which it runs and
 * without what no cell uses, readers in a row, names without lost ones. What there is no memory
 * for is left for later. */
#include <assert.h>
#include <string.h>

#include "inside.h"

enum { LITTLE = 1024 }; /* that much of anything is not worth tidying up */

static bool is_code_stale(const mw_sheet *sheet)
{
    return sheet->waste > sheet->code.count / 2 + LITTLE ||
           sheet->holes > sheet->positions / 2 + LITTLE ||
           sheet->break_count > sheet->positions / 32 + LITTLE;
}

/* Closes up the order and the code of its cells. */
static void lay_out(mw_sheet *sheet, mw_instruction *to)
{
    const uint32_t before = sheet->positions;
    uint32_t count = 0;
    sheet->positions = 0;
    sheet->holes = 0;
    sheet->break_count = 0;
    memset(sheet->breaks, 0, sheet->break_words * sizeof *sheet->breaks);
    for (uint32_t position = 0; position < before; position++) {
        const uint32_t id = sheet->order[position];
        if (id == MW_NONE) {
            continue;
        }
        code_range *code = &sheet->wires[id].code;
        if (code->begin != MW_NONE) {
            memcpy(to + count, sheet->code.items + code->begin, code->count * sizeof *to);
            code->begin = count;
            count += code->count;
        }
        order_append(sheet, id);
    }
    mw_memory_give(sheet->code.items);
    sheet->code.items = to;
    sheet->code.count = count;
    sheet->waste = 0;
}

static void tidy_code(mw_sheet *sheet)
{
    uint32_t live = 0;
    for (uint32_t position = 0; position < sheet->positions; position++) {
        const uint32_t id = sheet->order[position];
        live += id == MW_NONE ? 0 : sheet->wires[id].code.count;
    }
    const uint32_t room = live + live / 8;
    mw_instruction *to = mw_memory_resize(NULL, room * sizeof *to);
    if (to != NULL) {
        sheet->code.capacity = room;
        lay_out(sheet, to);
    }
}

static void tidy_readers(mw_sheet *sheet)
{
    const size_t room = (size_t)sheet->reader_count + sheet->late_count;
    uint32_t *readers = room > UINT32_MAX ? NULL : mw_memory_resize(NULL, room * sizeof *readers);
    if (readers != NULL) {
        graph_rebuild(sheet, readers);
    }
}

static uint32_t count_lost_names(const mw_sheet *sheet)
{
    const uint32_t count = mw_names_count(sheet->names);
    uint32_t lost = 0;
    for (uint32_t name = 0; name < count; name++) {
        const uint32_t id = sheet->cell_of_name[name];
        lost += id == MW_NONE || sheet->cells[id].kind == CELL_EMPTY;
    }
    return lost;
}

/* Copies the names that cells have, in the order of their ids. False: no memory. */
static bool copy_names(const mw_sheet *sheet, mw_names *names)
{
    const uint32_t count = mw_names_count(sheet->names);
    for (uint32_t name = 0; name < count; name++) {
        const uint32_t id = sheet->cell_of_name[name];
        if (id != MW_NONE && sheet->cells[id].kind != CELL_EMPTY &&
            mw_names_add(names, mw_names_text(sheet->names, name)) == MW_NONE) {
            return false;
        }
    }
    return true;
}

/* Gives cells the new numbers of their names. Empty cells that kept a name are free now. */
static void renumber_names(mw_sheet *sheet)
{
    const uint32_t count = mw_names_count(sheet->names);
    uint32_t kept = 0;
    for (uint32_t name = 0; name < count; name++) {
        const uint32_t id = sheet->cell_of_name[name];
        sheet->cell_of_name[name] = MW_NONE;
        if (id == MW_NONE) {
            continue;
        }
        if (sheet->cells[id].kind != CELL_EMPTY) {
            sheet->cells[id].name = kept;
            sheet->cell_of_name[kept++] = id;
        } else {
            sheet->cells[id].name = MW_NONE;
            sheet->free_runs[sheet->free_count++] = (id_run){id, 1};
        }
    }
}

static void tidy_names(mw_sheet *sheet)
{
    sheet->lost_names = count_lost_names(sheet);
    if (sheet->lost_names <= mw_names_count(sheet->names) / 2 + LITTLE) {
        return;
    }
    mw_names *names = mw_names_new();
    if (names == NULL || !copy_names(sheet, names) ||
        !grow_array(sheet->free_runs, sheet->free_capacity,
                    sheet->free_count + sheet->lost_names)) {
        mw_names_free(names);
        return;
    }
    renumber_names(sheet);
    mw_names_free(sheet->names);
    sheet->names = names;
    sheet->lost_names = 0;
}

void tidy(mw_sheet *sheet)
{
    assert(sheet->edit == NULL);
    if (is_code_stale(sheet)) {
        tidy_code(sheet);
    }
    if (sheet->late_count > sheet->reader_count / 4 + LITTLE) {
        tidy_readers(sheet);
    }
    if (sheet->lost_names > mw_names_count(sheet->names) / 2 + LITTLE) {
        tidy_names(sheet);
    }
}
