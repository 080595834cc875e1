/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Turning lines into cells, each line after those that it names, so that cells, code and order run alike
 * whatever the order of the text. A loop is not reported here: it is met again when its lines are
 * compiled. */
#include "load.h"

#define CELL_OPEN (MW_NONE - 1) /* the line is on the stack */

enum { AHEAD = 8 }; /* lines between asking for something in memory and looking at it */

static void make_cell(loading *load, uint32_t line)
{
    mw_sheet *sheet = load->edit->sheet;
    new_line *from = &load->lines[line];
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
    from->cell = id;
}

/* Asks for the lines that the words from `at` up to `end` name, or for the words of those lines. */
static inline void prefetch_needs(const loading *load, uint32_t at, uint32_t end, bool words)
{
    for (; at < end; at++) {
        const uint32_t needed = load->words[at].is - load->first_name;
        if (needed >= load->line_count) {
            continue;
        }
        if (!words) {
            __builtin_prefetch(&load->lines[needed]);
        } else if (load->lines[needed].cell == MW_NONE) {
            __builtin_prefetch(&load->words[load->lines[needed].first_word]);
        }
    }
}

/* The next line that
 one on the stack names and that is no cell yet. Words before it know their cells, but
 * for those that are part of a loop. */
static uint32_t next_needed(loading *load, uint32_t line, uint32_t *at)
{
    const uint32_t end = load->lines[line + 1].first_word;
    for (; *at < end; ++*at) {
        known_word *word = &load->words[*at];
        if (word->is >= LIKE_IS_NUMBER) {
            continue;
        }
        const uint32_t needed = word->is - load->first_name;
        if (needed >= load->line_count) {
            word->is = load->edit->sheet->cell_of_name[word->is];
            continue;
        }
        const uint32_t made = load->lines[needed].cell;
        if (made == MW_NONE) {
            prefetch_needs(load, *at + 1, end, true);
            return needed;
        }
        word->is = made == CELL_OPEN ? MW_NONE : made;
    }
    return MW_NONE;
}

/* The stack
 holds pairs of a line and the next of its words to look at. */
static bool push(loading *load, uint32_t *depth, uint32_t line, uint32_t word)
{
    if (!grow_array(load->stack, load->stack_capacity, 2 * *depth + 2)) {
        return false;
    }
    load->stack[2 * *depth] = line;
    load->stack[2 * *depth + 1] = word;
    prefetch_needs(load, word, load->lines[line + 1].first_word, false);
    load->lines[line].cell = CELL_OPEN;
    ++*depth;
    return true;
}

static bool make_with_needs(loading *load, uint32_t root)
{
    uint32_t depth = 0;
    uint32_t first = load->lines[root].first_word;
    load->lines[root].cell = CELL_OPEN;
    if (next_needed(load, root, &first) == MW_NONE) {
        make_cell(load, root);
        return true;
    }
    if (!push(load, &depth, root, first)) {
        return false;
    }
    while (depth > 0) {
        uint32_t *top = &load->stack[2 * (depth - 1)];
        const uint32_t needed = next_needed(load, top[0], &top[1]);
        if (needed == MW_NONE) {
            make_cell(load, top[0]);
            depth--;
        } else if (!push(load, &depth, needed, load->lines[needed].first_word)) {
            return false;
        }
    }
    return true;
}

/* Asks for the lines that a later line names, and for the words of those that a less late one does. */
static void prefetch(const loading *load, uint32_t line)
{
    for (uint32_t ahead = AHEAD; ahead > 0; ahead -= AHEAD / 2) {
        if (line + ahead < load->line_count) {
            const new_line *later = &load->lines[line + ahead];
            prefetch_needs(load, later->first_word, later[1].first_word, ahead < AHEAD);
        }
    }
}

mw_status load_make_cells(loading *load)

{
    mw_sheet *sheet = load->edit->sheet;
    if (load->line_count > INT32_MAX - sheet->total ||
        !sheet_room(sheet, sheet->total + load->line_count)) {
        return MW_NO_MEMORY;
    }
    for (uint32_t line = 0; line < load->line_count; line++) {
        prefetch(load, line);
        if (load->lines[line].cell == MW_NONE && !make_with_needs(load, line)) {
            return MW_NO_MEMORY;
        }
    }
    return MW_OK;
}
