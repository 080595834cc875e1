/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The only calls of malloc, calloc, realloc and free in the library. */
#define _DEFAULT_SOURCE /* for madvise() */
#include "mouldwright/memory.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

/* Blocks of this size and more, as only sheets of very many lines have, are wished on large pages: a
 * block in small ones comes into use page by page, which takes half of the time of loading it. */
static const size_t large_bytes = (size_t)4 << 20;

/* A new block of `size` bytes, 4 MiB or more, in large pages from end to end where the system has
 * them: the wish must be said before anything is written there. */
static void *large_block(size_t size)
{
    const size_t page = (size_t)2 << 20; /* the usual large page */
    if (size > SIZE_MAX - page) {
        return NULL;
    }
    const size_t whole = (size + page - 1) / page * page;
    void *block = aligned_alloc(page, whole);
#ifdef MADV_HUGEPAGE
    if (block != NULL) {
        /* Only a wish: what comes of it does not matter. */
        (void)madvise(block, whole, MADV_HUGEPAGE);
    }
#endif
    return block;
}

void *mw_memory_get(size_t size)
{
    if (size < large_bytes) {
        return calloc(1, size == 0 ? 1 : size);
    }
    void *block = large_block(size);
    return block == NULL ? NULL : memset(block, 0, size);
}

void *mw_memory_resize(void *block, size_t size)
{
    if (block == NULL && size >= large_bytes) {
        return large_block(size);
    }
    return realloc(block, size == 0 ? 1 : size);
}

void mw_memory_give(void *block)
{
    free(block);
}

/* The capacity after `capacity` that serves `needed`: half as much again, or exactly what is needed
 * where that is more. At most `most`. */
static size_t next_capacity(size_t capacity, size_t needed, size_t most)
{
    size_t grown = capacity < 8 ? 8 : capacity;
    grown = grown > most - grown / 2 ? most : grown + grown / 2;
    return grown < needed ? needed : grown;
}

/* `block` with `used` bytes in use at `size` bytes, or NULL. realloc() would fill a large block before
 * the wish for large pages could be said. */
static void *grow_block(void *block, size_t used, size_t size)
{
    if (size < large_bytes) {
        return realloc(block, size == 0 ? 1 : size);
    }
    void *larger = large_block(size);
    if (larger != NULL && used > 0) {
        memcpy(larger, block, used);
    }
    if (larger != NULL) {
        free(block);
    }
    return larger;
}

bool mw_memory_grow(void **items, size_t *capacity, size_t needed, size_t item_size)
{
    if (needed <= *capacity) {
        return true;
    }
    size_t most = (size_t)PTRDIFF_MAX / (item_size == 0 ? 1 : item_size);
    if (needed > most) {
        return false;
    }
    size_t wanted = next_capacity(*capacity, needed, most);
    void *block = grow_block(*items, *capacity * item_size, wanted * item_size);
    if (block == NULL) {
        return false;
    }
    *items = block;
    *capacity = wanted;
    return true;
}

bool mw_memory_grow32(void **items, uint32_t *capacity, uint32_t needed, size_t item_size)
{
    size_t wide = *capacity;
    if (needed <= wide) {
        return true;
    }
    if (needed > UINT32_MAX - 1) {
        return false;
    }
    size_t most = (size_t)PTRDIFF_MAX / (item_size == 0 ? 1 : item_size);
    most = most < UINT32_MAX - 1 ? most : UINT32_MAX - 1;
    if (needed > most) {
        return false;
    }
    size_t wanted = next_capacity(wide, needed, most);
    void *block = grow_block(*items, wide * item_size, wanted * item_size);
    if (block == NULL) {
        return false;
    }
    *items = block;
    *capacity = (uint32_t)wanted;
    return true;
}
