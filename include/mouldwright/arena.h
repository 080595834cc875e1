/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Arenas: memory that is given back all at once, when the thing it belongs to ends. */
#ifndef MOULDWRIGHT_ARENA_H
#define MOULDWRIGHT_ARENA_H

#include <stddef.h>

#include "mouldwright/status.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct mw_arena mw_arena;

/* A position in an arena to which it can be rewound. Valid until the arena is rewound below it. */
typedef struct mw_arena_mark {
    void *block;
    size_t used;
} mw_arena_mark;

/* Returns a new empty arena, or NULL when there is no memory. Free with mw_arena_free(). */
mw_arena *mw_arena_new(void) MW_MUST_USE;

/* Frees the arena with all that was taken from it. NULL is allowed. */
void mw_arena_free(mw_arena *arena);

/* Returns `size` bytes set to zero, aligned for any type, owned by the arena; NULL when there is
 * no memory. With MW_ARENA_DEBUG defined every call is its own malloc, for the sanitizers. */
void *mw_arena_get(mw_arena *arena, size_t size) MW_MUST_USE;

/* Returns a NUL-terminated copy of `length` bytes at `bytes`, owned by the arena, or NULL. */
char *mw_arena_copy(mw_arena *arena, const char *bytes, size_t length) MW_MUST_USE;

/* Returns a formatted NUL-terminated text owned by the arena, or NULL. */
char *mw_arena_print(mw_arena *arena, const char *format, ...) MW_MUST_USE MW_PRINTF(2, 3);

/* Returns the present position. */
mw_arena_mark mw_arena_here(const mw_arena *arena);

/* Gives back all that was taken since `mark`; keeps blocks for reuse. A mark of {0} empties the
 * arena. */
void mw_arena_rewind(mw_arena *arena, mw_arena_mark mark);

/* Returns the bytes that the arena holds from the allocator. */
size_t mw_arena_bytes(const mw_arena *arena);

#ifdef __cplusplus
}
#endif

#endif
