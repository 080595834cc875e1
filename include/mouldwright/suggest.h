/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Did you mean: the known name nearest to a misspelt one. */
#ifndef MOULDWRIGHT_SUGGEST_H
#define MOULDWRIGHT_SUGGEST_H

#include "mouldwright/text.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The best candidate so far. Start with mw_suggest_start(), offer every known name, read `best`. */
typedef struct mw_suggest {
    mw_str wanted;
    mw_str best; /* empty: nothing is near enough; borrowed from the caller's candidate */
    size_t distance;
} mw_suggest;

/* Starts a search for names like `wanted`. */
void mw_suggest_start(mw_suggest *suggest, mw_str wanted);

/* Offers one known name. Nearness is the edit distance with swapped neighbours counted once, ASCII
 * letters compared without case, in bytes; it must be at most a third of the longer length;
 * one-letter names never match. Ties keep the first offered. Source: Damerau 1964; Lowrance and Wagner 1975 (restricted
 * edits). */
void mw_suggest_offer(mw_suggest *suggest, mw_str candidate);

/* Returns that distance between two texts, or `limit` + 1 when it is larger than `limit`. Texts longer than 64 bytes
 * are never near. */
size_t mw_suggest_distance(mw_str a, mw_str b, size_t limit);

#ifdef __cplusplus
}
#endif

#endif
