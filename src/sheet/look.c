/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Looking at what reads what, as people see it: hidden cells stand for their owners. */
#include <assert.h>
#include <math.h>

#include "inside.h"

enum { SEEN_FIRST = 128 }; /* places of a set that costs no memory */

/* Cells that were shown already: open addressing, entries + 1. */
typedef struct seen_set {
    uint32_t first[SEEN_FIRST];
    uint32_t *places;
    uint32_t capacity; /* a power of two */
    uint32_t count;
} seen_set;

/* A showing of cells, each once. */
typedef struct showing {
    const mw_sheet *sheet;
    each_cell each;
    void *context;
    uint32_t of;
    seen_set seen;
} showing;

static bool put(uint32_t *places, uint32_t capacity, uint32_t id)
{
    uint32_t at = (id * UINT32_C(0x9E3779B1)) & (capacity - 1);
    while (places[at] != 0) {
        if (places[at] == id + 1) {
            return false;
        }
        at = (at + 1) & (capacity - 1);
    }
    places[at] = id + 1;
    return true;
}

/* Doubles the set. Where there is no memory it stays full, and cells may be shown twice. */
static bool widen(seen_set *seen)
{
    uint32_t *wider = mw_memory_get(2 * (size_t)seen->capacity * sizeof *wider);
    if (wider == NULL) {
        return false;
    }
    for (uint32_t i = 0; i < seen->capacity; i++) {
        if (seen->places[i] != 0) {
            put(wider, 2 * seen->capacity, seen->places[i] - 1);
        }
    }
    if (seen->places != seen->first) {
        mw_memory_give(seen->places);
    }
    seen->places = wider;
    seen->capacity *= 2;
    return true;
}

static void show(showing *work, uint32_t id)
{
    seen_set *seen = &work->seen;
    if (seen->count < seen->capacity / 2 || widen(seen)) {
        if (!put(seen->places, seen->capacity, id)) {
            return;
        }
        seen->count++;
    }
    work->each(work->context, id);
}

static void start_showing(showing *work)
{
    work->seen.places = work->seen.first;
    work->seen.capacity = SEEN_FIRST;
}

static void end_showing(showing *work)
{
    if (work->seen.places != work->seen.first) {
        mw_memory_give(work->seen.places);
    }
}

/* Shows a cell that is read; a partial sum is opened up, which is not deep: each level adds up
 * 32. */
static void show_read(void *context, uint32_t read)
{
    showing *work = context;
    const cell_kind kind = (cell_kind)work->sheet->cells[read].kind;
    if (kind == CELL_PARTIAL || kind == CELL_HUB) {
        graph_reads_before(work->sheet, read, show_read, work);
    } else if (sheet_owner_of(work->sheet, read) != work->of) {
        show(work, read);
    }
}

void mw_sheet_reads(const mw_sheet *sheet, uint32_t id, void (*each)(void *context, uint32_t cell),
                    void *context)
{
    assert(id < sheet->count);
    showing work = {.sheet = sheet, .each = each, .context = context, .of = id};
    start_showing(&work);
    const cell *c = &sheet->cells[id];
    for (uint32_t i = 0; c->shape != MW_SHAPE_ONE && i < c->length; i++) {
        graph_reads_before(sheet, c->first + i, show_read, &work);
    }
    graph_reads_before(sheet, id, show_read, &work);
    for (uint32_t i = 0; (c->flags & FLAG_LISTS) != 0 && i < sheet->list_use_count; i++) {
        const list_use use = sheet->list_uses[i];
        const cell *line = &sheet->cells[use.line];
        for (uint32_t k = 0; use.reader == id && k < line->length; k++) {
            show(&work, line->first + k);
        }
    }
    end_showing(&work);
}

static void show_reader(showing *work, uint32_t reader)
{
    const mw_sheet *sheet = work->sheet;
    if (sheet->cells[reader].kind != CELL_HUB) {
        const uint32_t owner = sheet_owner_of(sheet, reader);
        if (owner != work->of) {
            show(work, owner);
        }
        return;
    }
    const outside_node *node = sheet->nodes[sheet->cells[reader].part];
    for (uint32_t i = 0; i < node->output_count; i++) {
        show(work, node->first_output + i);
    }
}

static void show_readers(showing *work, uint32_t id)
{
    reader_walk walk = graph_readers(work->sheet, id);
    uint32_t reader;
    while ((reader = graph_next(&walk)) != MW_NONE) {
        if (graph_does_read(work->sheet, reader, id)) {
            show_reader(work, reader);
        }
    }
}

void mw_sheet_readers(const mw_sheet *sheet, uint32_t id,
                      void (*each)(void *context, uint32_t cell), void *context)
{
    assert(id < sheet->count && sheet->edit == NULL);
    showing work = {.sheet = sheet, .each = each, .context = context, .of = id};
    start_showing(&work);
    const cell *c = &sheet->cells[id];
    show_readers(&work, id);
    for (uint32_t i = 0; c->shape == MW_SHAPE_LIST && i < c->length; i++) {
        show_readers(&work, c->first + i);
    }
    for (uint32_t i = 0; c->shape == MW_SHAPE_LIST && i < sheet->list_use_count; i++) {
        if (sheet->list_uses[i].line == id) {
            show(&work, sheet->list_uses[i].reader);
        }
    }
    end_showing(&work);
}

typedef struct blame {
    const mw_sheet *sheet;
    mw_code code;
    uint32_t found;
} blame;

static void find_blame(void *context, uint32_t read)
{
    blame *work = context;
    const mw_sheet *sheet = work->sheet;
    if (work->found != MW_NONE) {
        return;
    }
    if (sheet->cells[read].kind == CELL_HUB) {
        graph_reads_before(sheet, read, find_blame, work);
    } else if (mw_error_code(mw_values_base(sheet->values)[read]) == work->code) {
        work->found = read;
    }
}

uint32_t mw_sheet_blame(const mw_sheet *sheet, uint32_t id)
{
    assert(id < sheet->count);
    blame work = {.sheet = sheet};
    work.code = mw_error_code(mw_values_base(sheet->values)[id]);
    if (work.code == MW_CODE_COUNT) {
        return id;
    }
    for (;;) {
        work.found = MW_NONE;
        graph_reads_before(sheet, id, find_blame, &work);
        if (work.found == MW_NONE) {
            return sheet_owner_of(sheet, id);
        }
        id = work.found;
    }
}
