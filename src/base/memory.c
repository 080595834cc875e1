/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The only calls of malloc, calloc, realloc and free in the library. */
#define _DEFAULT_SOURCE /* for madvise() */
#include "mouldwright/memory.h"

#include <stdint.h>
#include <stdlib.h>
#include <sys/mman.h>

/* Blocks of this size and more, as only sheets of very many lines have, are wished on large pages: a
 * block in small ones comes into use page by page, which takes a fifth of the time of loading it. */
static void *prefer_large_pages(void *block, size_t size)
{
#ifdef MADV_HUGEPAGE
    const size_t large_bytes = (size_t)8 << 20;
    const size_t step = (size_t)64 << 10; /* a multiple of every usual page size */
    if (block != NULL && size >= large_bytes) {
        const size_t skipped = step - (uintptr_t)block % step;
        /* Only a wish: what comes of it does not matter. */
        (void)madvise((char *)block + skipped, (size - skipped) / step * step, MADV_HUGEPAGE);
    }
#else
    (void)size;
#endif
    return block;
}

void *mw_memory_get(size_t size)
{
    return prefer_large_pages(calloc(1, size == 0 ? 1 : size), size);
}

void *mw_memory_resize(void *block, size_t size)
{
    return prefer_large_pages(realloc(block, size == 0 ? 1 : size), size);
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
    void *block = mw_memory_resize(*items, wanted * item_size);
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
    void *block = mw_memory_resize(*items, wanted * item_size);
    if (block == NULL) {
        return false;
    }
    *items = block;
    *capacity = (uint32_t)wanted;
    return true;
}
