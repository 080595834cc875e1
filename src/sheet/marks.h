/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A set of positions from which the lowest is taken again and again: a bit a position, and above
 * each 64 of them one bit that says whether any is set, and so on up. */
#ifndef MW_SHEET_MARKS_H
#define MW_SHEET_MARKS_H

#include <stdbool.h>
#include <stdint.h>

#include "mouldwright/status.h"

enum { MARK_LEVELS = 6 }; /* 64^6 > 2^32 */

/* Start from {0}; free with marks_free(). */
typedef struct marks {
    uint64_t *level[MARK_LEVELS]; /* [0]: a bit a position; all in one block that level[0] begins */
    uint32_t levels;
    uint32_t words; /* of all levels together */
    uint32_t room;  /* positions */
} marks;

/* Makes room for positions below `room`. The set must be empty. False: no memory, nothing
 * changed. */
bool marks_reserve(marks *set, uint32_t room) MW_MUST_USE;
void marks_free(marks *set);
/* Empties the set. Costs a pass over it. */
void marks_clear(marks *set);

static inline void marks_add(marks *set, uint32_t position)
{
    uint32_t at = position;
    for (uint32_t level = 0; level < set->levels; level++) {
        uint64_t *word = &set->level[level][at >> 6];
        const uint64_t before = *word;
        *word = before | UINT64_C(1) << (at & 63);
        if (before != 0) {
            return;
        }
        at >>= 6;
    }
}

/* Takes the position `at`, which is set, out. */
static inline void marks_drop(marks *set, uint32_t at)
{
    for (uint32_t level = 0; level < set->levels; level++) {
        uint64_t *word = &set->level[level][at >> 6];
        *word &= ~(UINT64_C(1) << (at & 63));
        if (*word != 0) {
            break;
        }
        at >>= 6;
    }
}

/* Takes the lowest position out and returns it, or MW_NONE when the set is empty. */
static inline uint32_t marks_take(marks *set)
{
    if (set->levels == 0) {
        return MW_NONE;
    }
    uint32_t at = 0;
    for (uint32_t level = set->levels; level-- > 0;) {
        const uint64_t word = set->level[level][at];
        if (word == 0) {
            return MW_NONE; /* only at the top */
        }
        at = at << 6 | (uint32_t)__builtin_ctzll(word);
    }
    marks_drop(set, at);
    return at;
}

/* The same where nothing below `from` is set: sooner done when the next one is near. */
static inline uint32_t marks_take_from(marks *set, uint32_t from)
{
    if (from >= set->room) {
        return marks_take(set);
    }
    const uint64_t word = set->level[0][from >> 6];
    if (word == 0) {
        return marks_take(set);
    }
    const uint32_t at = (from & ~UINT32_C(63)) | (uint32_t)__builtin_ctzll(word);
    marks_drop(set, at);
    return at;
}

#endif
