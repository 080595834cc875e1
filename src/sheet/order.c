/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The order of computed cells: what a cell reads comes before it. Positions may be holes. An
 * edit puts new cells at the end; an old cell that comes to read a later one goes to the end
 * together with all that depends on it, sorted anew. */
#include <assert.h>
#include <string.h>

#include "inside.h"

static code_range code_at(const mw_sheet *sheet, uint32_t position)
{
    const uint32_t id = sheet->order[position];
    return id == MW_NONE ? (code_range){MW_NONE, 0} : sheet->wires[id].code;
}

void order_fix_break(mw_sheet *sheet, uint32_t position)
{
    if (position >= sheet->positions) {
        return;
    }
    bool broken = true;
    if (position > 0) {
        const code_range before = code_at(sheet, position - 1);
        const code_range here = code_at(sheet, position);
        broken = before.begin == MW_NONE || before.begin + before.count != here.begin;
    }
    uint64_t *word = &sheet->breaks[position >> 6];
    const uint64_t bit = UINT64_C(1) << (position & 63);
    sheet->break_count += broken && (*word & bit) == 0;
    sheet->break_count -= !broken && (*word & bit) != 0;
    *word = broken ? *word | bit : *word & ~bit;
}

void order_vacate(mw_sheet *sheet, uint32_t id)
{
    wiring *w = &sheet->wires[id];
    const uint32_t position = w->position;
    if (position == MW_NONE) {
        return;
    }
    w->position = MW_NONE;
    sheet->order[position] = MW_NONE;
    sheet->holes++;
    order_fix_break(sheet, position);
    order_fix_break(sheet, position + 1);
}

void order_append(mw_sheet *sheet, uint32_t id)
{
    assert(sheet->positions < sheet->order_capacity);
    const uint32_t position = sheet->positions++;
    sheet->order[position] = id;
    sheet->wires[id].position = position;
    order_fix_break(sheet, position);
}

bool order_room(mw_sheet *sheet, uint32_t positions)
{
    const uint32_t words = positions / 64 + 1;
    uint32_t capacity = sheet->break_words;
    if (!grow_array(sheet->breaks, capacity, words) ||
        !grow_array(sheet->order, sheet->order_capacity, positions)) {
        sheet->break_words = sheet->break_words < capacity ? sheet->break_words : capacity;
        return false;
    }
    if (capacity > sheet->break_words) {
        memset(sheet->breaks + sheet->break_words, 0,
               (capacity - sheet->break_words) * sizeof *sheet->breaks);
        sheet->break_words = capacity;
    }
    return marks_reserve(&sheet->marks, positions);
}

uint32_t order_next_break(const mw_sheet *sheet, uint32_t from)
{
    if (from >= sheet->positions) {
        return sheet->positions;
    }
    const uint32_t last = (sheet->positions - 1) >> 6;
    uint32_t at = from >> 6;
    uint64_t word = sheet->breaks[at] & ~UINT64_C(0) << (from & 63);
    while (word == 0 && at < last) {
        word = sheet->breaks[++at];
    }
    if (word == 0) {
        return sheet->positions;
    }
    const uint32_t found = at << 6 | (uint32_t)__builtin_ctzll(word);
    return found < sheet->positions ? found : sheet->positions;
}
