/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Arenas in which every piece is an allocation of its own, so that the sanitizers see a step past
 * the end of any of them, and a use after a rewind. Chosen by MW_ARENA_DEBUG. */
#include "mouldwright/arena.h"

#ifdef MW_ARENA_DEBUG

#include <stdalign.h>

#include "arena_take.h"
#include "mouldwright/memory.h"

typedef struct piece {
    struct piece *older;
    size_t size;
    alignas(max_align_t) unsigned char bytes[];
} piece;

struct mw_arena {
    piece *newest;
    size_t held;
};

mw_arena *mw_arena_new(void)
{
    return mw_memory_get(sizeof(mw_arena));
}

void mw_arena_rewind(mw_arena *arena, mw_arena_mark mark)
{
    while (arena->newest != mark.block) {
        piece *dropped = arena->newest;
        arena->newest = dropped->older;
        arena->held -= sizeof(piece) + dropped->size;
        mw_memory_give(dropped);
    }
}

void mw_arena_free(mw_arena *arena)
{
    if (arena != NULL) {
        mw_arena_rewind(arena, (mw_arena_mark){0});
        mw_memory_give(arena);
    }
}

void *mw_arena_take(mw_arena *arena, size_t size)
{
    if (size > PTRDIFF_MAX / 2) {
        return NULL;
    }
    piece *fresh = mw_memory_resize(NULL, sizeof(piece) + size);
    if (fresh == NULL) {
        return NULL;
    }
    fresh->older = arena->newest;
    fresh->size = size;
    arena->newest = fresh;
    arena->held += sizeof(piece) + size;
    return fresh->bytes;
}

mw_arena_mark mw_arena_here(const mw_arena *arena)
{
    return (mw_arena_mark){.block = arena->newest};
}

size_t mw_arena_bytes(const mw_arena *arena)
{
    return sizeof *arena + arena->held;
}

#endif
