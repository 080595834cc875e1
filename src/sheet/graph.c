/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What reads what. What a cell reads stands in its code. Its readers stand in a row, made at a
 * rebuild, and in a list of those that came since; a reader that was redefined stays among them
 * until the next rebuild, which costs at most a needless look. */
#include <assert.h>

#include "inside.h"

static void reads_of(const mw_sheet *sheet, const cell *c, code_range code, each_cell each,
                     void *context)
{
    if (c->kind == CELL_OUTPUT) {
        each(context, c->part);
    } else if (c->kind == CELL_HUB) {
        const outside_node *node = sheet->nodes[c->part];
        for (uint32_t i = 0; i < node->input_count; i++) {
            each(context, node->inputs[i]);
        }
    } else if (code.count > 0) {
        mw_program_reads(sheet->code.items + code.begin, code.count, each, context);
    }
}

void graph_reads(const mw_sheet *sheet, uint32_t id, each_cell each, void *context)
{
    reads_of(sheet, cell_now(sheet, id), *code_now(sheet, id), each, context);
}

void graph_reads_before(const mw_sheet *sheet, uint32_t id, each_cell each, void *context)
{
    if (id < sheet->count) {
        reads_of(sheet, &sheet->cells[id], sheet->wires[id].code, each, context);
    }
}

typedef struct read_search {
    uint32_t wanted;
    bool found;
} read_search;

static void search_read(void *context, uint32_t id)
{
    read_search *search = context;
    search->found = search->found || id == search->wanted;
}

bool graph_does_read(const mw_sheet *sheet, uint32_t reader, uint32_t read)
{
    read_search search = {.wanted = read};
    graph_reads(sheet, reader, search_read, &search);
    return search.found;
}

typedef struct late_adding {
    mw_sheet *sheet;
    uint32_t reader;
    uint32_t start; /* late readers of this call */
    bool no_memory;
} late_adding;

/* Whether the reader stood among the readers of `read` before the edit, or was put there just
 * now. */
static bool is_known(const late_adding *adding, uint32_t read)
{
    const mw_sheet *sheet = adding->sheet;
    const uint32_t newest = sheet->wires[read].late;
    if (newest != MW_NONE && newest >= adding->start) {
        return true;
    }
    read_search search = {.wanted = read};
    graph_reads_before(sheet, adding->reader, search_read, &search);
    return search.found;
}

static void add_late(void *context, uint32_t read)
{
    late_adding *adding = context;
    mw_sheet *sheet = adding->sheet;
    if (adding->no_memory || is_known(adding, read)) {
        return;
    }
    if (!grow_array(sheet->late, sheet->late_capacity, sheet->late_count + 1)) {
        adding->no_memory = true;
        return;
    }
    wiring *w = &sheet->wires[read];
    sheet->late[sheet->late_count] = (late_reader){read, adding->reader, w->late};
    w->late = sheet->late_count++;
}

bool graph_add_late(mw_sheet *sheet, uint32_t reader)
{
    late_adding adding = {.sheet = sheet, .reader = reader, .start = sheet->late_count};
    graph_reads(sheet, reader, add_late, &adding);
    return !adding.no_memory;
}

void graph_drop_late(mw_sheet *sheet, uint32_t start)
{
    while (sheet->late_count > start) {
        const late_reader *last = &sheet->late[--sheet->late_count];
        sheet->wires[last->read].late = last->next;
    }
}

/* While readers are counted and filled in, `late` of a cell is the reader that came last. All
 * reads of one reader come in a row, so that this finds every repetition. */
typedef struct rebuild {
    mw_sheet *sheet;
    uint32_t reader;
    uint32_t *room;
} rebuild;

static void count_reader(void *context, uint32_t read)
{
    rebuild *work = context;
    wiring *w = &work->sheet->wires[read];
    if (w->late != work->reader) {
        w->late = work->reader;
        w->reader_count++;
    }
}

static void fill_reader(void *context, uint32_t read)
{
    rebuild *work = context;
    wiring *w = &work->sheet->wires[read];
    if (w->late != work->reader) {
        w->late = work->reader;
        work->room[w->first_reader + w->reader_count++] = work->reader;
    }
}

static void each_reader(rebuild *work, each_cell each)
{
    const mw_sheet *sheet = work->sheet;
    for (uint32_t position = 0; position < sheet->positions; position++) {
        const uint32_t id = sheet->order[position];
        if (id != MW_NONE) {
            work->reader = id;
            graph_reads(sheet, id, each, work);
        }
    }
}

static void start_counts(mw_sheet *sheet)
{
    for (uint32_t id = 0; id < sheet->count; id++) {
        sheet->wires[id].late = MW_NONE;
        sheet->wires[id].reader_count = 0;
    }
}

/* Gives each cell its row. Returns how long they are together. */
static uint32_t place_rows(mw_sheet *sheet)
{
    uint32_t total = 0;
    for (uint32_t id = 0; id < sheet->count; id++) {
        wiring *w = &sheet->wires[id];
        w->first_reader = total;
        total += w->reader_count;
        w->reader_count = 0;
        w->late = MW_NONE;
    }
    return total;
}

static void take_rows(mw_sheet *sheet, uint32_t *room, uint32_t total)
{
    sheet->late_count = 0;
    mw_memory_give(sheet->readers);
    /* Less room is never refused in earnest; where it is, the larger block does. */
    uint32_t *fitting = mw_memory_resize(room, total * sizeof *room);
    sheet->readers = fitting == NULL ? room : fitting;
    sheet->reader_count = total;
}

void graph_rebuild(mw_sheet *sheet, uint32_t *room)
{
    rebuild work = {.sheet = sheet, .room = room};
    start_counts(sheet);
    each_reader(&work, count_reader);
    const uint32_t total = place_rows(sheet);
    each_reader(&work, fill_reader);
    for (uint32_t id = 0; id < sheet->count; id++) {
        sheet->wires[id].late = MW_NONE;
    }
    take_rows(sheet, room, total);
}

void graph_build(mw_sheet *sheet, uint32_t *room, const uint32_t *reads)
{
    const uint32_t *at = reads;
    start_counts(sheet);
    for (uint32_t position = 0; position < sheet->positions; at++) {
        sheet->wires[*at & ~READS_END].reader_count++;
        position += (*at & READS_END) != 0;
    }
    const uint32_t total = place_rows(sheet);
    at = reads;
    for (uint32_t position = 0; position < sheet->positions; at++) {
        wiring *w = &sheet->wires[*at & ~READS_END];
        room[w->first_reader + w->reader_count++] = sheet->order[position];
        position += (*at & READS_END) != 0;
    }
    take_rows(sheet, room, total);
}
