/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Turning lines into cells, each line after those that it names, so that cells, code and order
 * run alike whatever the order of the text. A loop is not reported here: it is met again when
 * its lines are compiled. */
#include "load.h"

#define CELL_OPEN (MW_NONE - 1) /* in the place of a line's cell: it is on the stack */

enum { AHEAD = 8 }; /* lines between asking for something in memory and looking at it */

static void make_cell(loading *load, uint32_t line)
{
    mw_sheet *sheet = load->edit->sheet;
    const new_line *from = &load->lines[line];
    const uint32_t id = sheet->total++;
    sheet->cells[id] = (cell){.name = load->first_name + line,
                              .formula = {load->source, from->begin, from->end},
                              .type = MW_TYPE_NUMBER,
                              .unit = MW_UNIT_ONE,
                              .part = from->shape,
                              .draft = MW_NONE,
                              .kind = CELL_FORMULA,
                              .state = STATE_WAITING};
    /* Until it is seen, a new cell has no readers; see edit_given() and find_known() in scope.c. */
    sheet->wires[id] =
        (wiring){.position = MW_NONE, .late = MW_NONE, .first_reader = from->first_word};
    sheet->cell_of_name[load->first_name + line] = id;
}

/* The cell that a line has become; MW_NONE: none yet. */
static uint32_t *cell_of(const loading *load, uint32_t line)
{
    return &load->edit->sheet->cell_of_name[load->first_name + line];
}

/* The next line that one on the stack needs and that is no cell yet. */
static uint32_t next_needed(const loading *load, uint32_t line, uint32_t *at)
{
    const uint32_t end = load->first_need[line + 1];
    for (; *at < end; ++*at) {
        if (*cell_of(load, load->needs[*at]) == MW_NONE) {
            return load->needs[*at];
        }
    }
    return MW_NONE;
}

/* The stack holds pairs of a line and the next of its needs to look at. */
static bool push(loading *load, uint32_t *depth, uint32_t line, uint32_t at)
{
    if (!grow_array(load->stack, load->stack_capacity, 2 * *depth + 2)) {
        return false;
    }
    load->stack[(size_t)2 * *depth] = line;
    load->stack[(size_t)2 * *depth + 1] = at;
    *cell_of(load, line) = CELL_OPEN;
    ++*depth;
    __builtin_prefetch(&load->lines[line]);
    for (; at < load->first_need[line + 1]; at++) {
        __builtin_prefetch(cell_of(load, load->needs[at]));
        __builtin_prefetch(&load->first_need[load->needs[at]]);
    }
    return true;
}

static bool make_with_needs(loading *load, uint32_t root)
{
    uint32_t depth = 0;
    uint32_t at = load->first_need[root];
    uint32_t needed = next_needed(load, root, &at);
    if (needed == MW_NONE) {
        make_cell(load, root);
        return true;
    }
    if (!push(load, &depth, root, at)) {
        return false;
    }
    while (depth > 0) {
        uint32_t *top = &load->stack[(size_t)2 * (depth - 1)];
        needed = next_needed(load, top[0], &top[1]);
        if (needed == MW_NONE) {
            make_cell(load, top[0]);
            depth--;
        } else if (!push(load, &depth, needed, load->first_need[needed])) {
            return false;
        }
    }
    return true;
}

/* Asks for what a later line needs. */
static void prefetch(const loading *load, uint32_t line)
{
    if (line < load->line_count) {
        for (uint32_t at = load->first_need[line]; at < load->first_need[line + 1]; at++) {
            __builtin_prefetch(cell_of(load, load->needs[at]));
        }
    }
}

/* Gives up: lines that are on the stack are no cells. */
static mw_status forget_open(const loading *load)
{
    for (uint32_t line = 0; line < load->line_count; line++) {
        uint32_t *made = cell_of(load, line);
        *made = *made == CELL_OPEN ? MW_NONE : *made;
    }
    return MW_NO_MEMORY;
}

mw_status load_make_cells(loading *load)
{
    mw_sheet *sheet = load->edit->sheet;
    if (load->line_count > INT32_MAX - sheet->total ||
        !sheet_room(sheet, sheet->total + load->line_count)) {
        return MW_NO_MEMORY;
    }
    for (uint32_t line = 0; line < load->line_count; line++) {
        prefetch(load, line + AHEAD);
        if (*cell_of(load, line) == MW_NONE && !make_with_needs(load, line)) {
            return forget_open(load);
        }
    }
    return MW_OK;
}
