/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The one door to the allocator: all memory of the library is taken and given back here. */
#ifndef MOULDWRIGHT_MEMORY_H
#define MOULDWRIGHT_MEMORY_H

#include <stdbool.h>
#include <stddef.h>

#include "mouldwright/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Returns `size` bytes set to zero, or NULL when there is no memory. The caller gives it back with
 * mw_memory_give(). A size of 0 is served as 1. */
void *mw_memory_get(size_t size) MW_MUST_USE;

/* Resizes `block` (NULL: gets a new one) to `size` bytes; bytes past the old size are undefined.
 * Returns the block, or NULL when there is no memory: `block` is then unchanged and still owned. */
void *mw_memory_resize(void *block, size_t size) MW_MUST_USE;

/* Gives back a block of mw_memory_get() or mw_memory_resize(). NULL is allowed. */
void mw_memory_give(void *block);

/* Makes the array `*items` of `*capacity` items of `item_size` bytes hold at least `needed`.
 * Grows by half. Returns false when there is no memory (or the bytes cannot be counted): nothing has
 * changed then. */
bool mw_memory_grow(void **items, size_t *capacity, size_t needed, size_t item_size) MW_MUST_USE;

/* The same for 32-bit capacities; fails also beyond UINT32_MAX - 1 items. */
bool mw_memory_grow32(void **items, uint32_t *capacity, uint32_t needed,
                      size_t item_size) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
