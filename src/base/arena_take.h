/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the two forms of the arena have in common with the functions that build on them. */
#ifndef BASE_ARENA_TAKE_H
#define BASE_ARENA_TAKE_H

#include <stdarg.h>
#include <stdint.h>

#include "mouldwright/arena.h"

/* Returns `size` bytes that are not set to anything, aligned for any type, or NULL when there is no
 * memory. */
void *mw_arena_take(mw_arena *arena, size_t size) MW_MUST_USE;

/* mw_arena_print() for a list of arguments. */
char *mw_arena_vprint(mw_arena *arena, const char *format, va_list arguments) MW_MUST_USE
    MW_PRINTF(2, 0);

#endif
