/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Arenas made of a chain of blocks that grow. See arena_debug.c for the form that the sanitizers
 * get. */
#include "mouldwright/arena.h"

#ifndef MW_ARENA_DEBUG

#include <stdalign.h>

#include "arena_take.h"
#include "mouldwright/memory.h"

enum {
    FIRST_BLOCK_BYTES = 2048,
    LARGEST_BLOCK_BYTES = 256 * 1024, /* larger only for a single thing that needs more */
    ALIGNMENT = alignof(max_align_t)
};

typedef struct block {
    struct block *next; /* filled after this one; beyond `current` they are empty and wait */
    size_t size;
    alignas(max_align_t) unsigned char bytes[];
} block;

struct mw_arena {
    block *first;
    block *current; /* NULL while nothing is taken */
    size_t used;    /* bytes of `current` */
    size_t held;    /* bytes of all blocks */
};

mw_arena *mw_arena_new(void)
{
    return mw_memory_get(sizeof(mw_arena));
}

void mw_arena_free(mw_arena *arena)
{
    if (arena == NULL) {
        return;
    }
    block *next;
    for (block *b = arena->first; b != NULL; b = next) {
        next = b->next;
        mw_memory_give(b);
    }
    mw_memory_give(arena);
}

static size_t next_block_size(const mw_arena *arena, size_t needed)
{
    size_t size = arena->held < FIRST_BLOCK_BYTES ? FIRST_BLOCK_BYTES : arena->held;
    size = size > LARGEST_BLOCK_BYTES ? LARGEST_BLOCK_BYTES : size;
    return size < needed ? needed : size;
}

/* Puts a block with room for `needed` bytes behind the current one and makes it current: one that
 * waits if it is large enough, else a new one. */
static bool open_block(mw_arena *arena, size_t needed)
{
    block **link = arena->current == NULL ? &arena->first : &arena->current->next;
    if (*link == NULL || (*link)->size < needed) {
        size_t size = next_block_size(arena, needed);
        /* Not mw_memory_get(): zeroing is done piece by piece, where it is needed. */
        block *fresh = mw_memory_resize(NULL, sizeof(block) + size);
        if (fresh == NULL) {
            return false;
        }
        fresh->next = *link;
        fresh->size = size;
        *link = fresh;
        arena->held += sizeof(block) + size;
    }
    arena->current = *link;
    arena->used = 0;
    return true;
}

void *mw_arena_take(mw_arena *arena, size_t size)
{
    if (size > PTRDIFF_MAX / 2) {
        return NULL;
    }
    size_t rounded = (size + ALIGNMENT - 1) / ALIGNMENT * ALIGNMENT;
    if (rounded == 0) {
        rounded = ALIGNMENT;
    }
    if (arena->current == NULL || arena->current->size - arena->used < rounded) {
        if (!open_block(arena, rounded)) {
            return NULL;
        }
    }
    void *piece = arena->current->bytes + arena->used;
    arena->used += rounded;
    return piece;
}

mw_arena_mark mw_arena_here(const mw_arena *arena)
{
    return (mw_arena_mark){.block = arena->current, .used = arena->used};
}

void mw_arena_rewind(mw_arena *arena, mw_arena_mark mark)
{
    arena->current = mark.block;
    arena->used = mark.used;
}

size_t mw_arena_bytes(const mw_arena *arena)
{
    return sizeof *arena + arena->held;
}

#endif
