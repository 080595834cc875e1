/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See marks.h. */
#include "marks.h"

#include <string.h>

#include "mouldwright/memory.h"

static uint32_t words_for(uint32_t bits)
{
    return bits / 64 + (bits % 64 != 0);
}

bool marks_reserve(marks *set, uint32_t room)
{
    if (room <= set->room) {
        return true;
    }
    const uint32_t roomy = room < UINT32_MAX - room / 2 ? room + room / 2 : UINT32_MAX;
    uint32_t sizes[MARK_LEVELS];
    uint32_t levels = 0;
    uint32_t words = 0;
    uint32_t bits = roomy;
    do {
        sizes[levels] = words_for(bits);
        words += sizes[levels];
        bits = sizes[levels];
        levels++;
    } while (bits > 1);
    uint64_t *block = mw_memory_get(words * sizeof *block);
    if (block == NULL) {
        return false;
    }
    marks_free(set);
    *set = (marks){.levels = levels, .words = words, .room = roomy};
    for (uint32_t level = 0; level < levels; level++) {
        set->level[level] = block;
        block += sizes[level];
    }
    return true;
}

void marks_free(marks *set)
{
    mw_memory_give(set->level[0]);
    *set = (marks){0};
}

void marks_clear(marks *set)
{
    if (set->words > 0) {
        memset(set->level[0], 0, set->words * sizeof *set->level[0]);
    }
}
