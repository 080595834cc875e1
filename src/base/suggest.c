/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The restricted edit distance: insert, remove, replace, and swap of two neighbours, no piece edited
 * twice. */
#include "mouldwright/suggest.h"

#include <stdint.h>
#include <string.h>

enum { LONGEST_BYTES = 64 };

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Three rows of the distance table: two before, before, this one. */
typedef struct table {
    size_t rows[3][LONGEST_BYTES + 1];
} table;

/* Fills row `i` (counted from 1) of the table; returns its smallest entry.
 *   d(i,j) = min { d(i-1,j) + 1, d(i,j-1) + 1, d(i-1,j-1) + [a_i != b_j],
 *                  d(i-2,j-2) + 1 where a_i = b_(j-1) and a_(i-1) = b_j }    Lowrance, Wagner 1975 */
static size_t fill_row(table *t, mw_str a, mw_str b, size_t i)
{
    size_t *row = t->rows[i % 3];
    const size_t *before = t->rows[(i - 1) % 3];
    const size_t *two_before = t->rows[(i + 1) % 3];
    char here = lower(a.at[i - 1]);
    char last = i > 1 ? lower(a.at[i - 2]) : '\0';
    size_t smallest = row[0] = i;
    for (size_t j = 1; j <= b.length; j++) {
        char other = lower(b.at[j - 1]);
        size_t best = least(least(before[j], row[j - 1]) + 1, before[j - 1] + (here != other));
        if (i > 1 && j > 1 && here == lower(b.at[j - 2]) && last == other) {
            best = least(best, two_before[j - 2] + 1);
        }
        row[j] = best;
        smallest = least(smallest, best);
    }
    return smallest;
}

/* The letters of a word, case aside, as bits: some share one. */
static uint64_t letters_of(mw_str word)
{
    uint64_t letters = 0;
    for (size_t i = 0; i < word.length; i++) {
        letters |= UINT64_C(1) << ((unsigned char)lower(word.at[i]) & 63);
    }
    return letters;
}

/* One edit brings in one letter at most and takes one away: words whose letters differ more are
 * further apart, which is seen sooner than how far. */
static bool letters_too_far(mw_str a, mw_str b, size_t limit)
{
    uint64_t different = letters_of(a) ^ letters_of(b);
    size_t count = 0;
    for (; different != 0 && count <= 2 * limit; count++) {
        different &= different - 1;
    }
    return count > 2 * limit;
}

size_t mw_suggest_distance(mw_str a, mw_str b, size_t limit)
{
    size_t apart = a.length > b.length ? a.length - b.length : b.length - a.length;
    if (apart > limit || a.length > LONGEST_BYTES || b.length > LONGEST_BYTES) {
        return limit + 1;
    }
    if (letters_too_far(a, b, limit)) {
        return limit + 1;
    }
    table t;
    for (size_t j = 0; j <= b.length; j++) {
        t.rows[0][j] = j;
    }
    size_t smallest_before = 0;
    for (size_t i = 1; i <= a.length; i++) {
        size_t smallest = fill_row(&t, a, b, i);
        /* A swap reaches back over one row, so two must be past the limit. */
        if (smallest > limit && smallest_before > limit) {
            return limit + 1;
        }
        smallest_before = smallest;
    }
    return least(t.rows[a.length % 3][b.length], limit + 1);
}

void mw_suggest_start(mw_suggest *suggest, mw_str wanted)
{
    *suggest = (mw_suggest){.wanted = wanted, .best = {.at = "", .length = 0}};
    suggest->distance = SIZE_MAX;
}

void mw_suggest_offer(mw_suggest *suggest, mw_str candidate)
{
    size_t shorter = least(suggest->wanted.length, candidate.length);
    size_t longer = suggest->wanted.length + candidate.length - shorter;
    if (shorter <= 1) {
        return;
    }
    size_t limit = longer / 3;
    if (suggest->best.length > 0) {
        if (suggest->distance == 0) {
            return;
        }
        limit = least(limit, suggest->distance - 1);
    }
    size_t distance = mw_suggest_distance(suggest->wanted, candidate, limit);
    if (distance <= limit) {
        suggest->best = candidate;
        suggest->distance = distance;
    }
}
