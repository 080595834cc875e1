/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is taken from an arena beyond raw bytes. */
#include "mouldwright/arena.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "arena_take.h"

void *mw_arena_get(mw_arena *arena, size_t size)
{
    void *piece = mw_arena_take(arena, size);
    if (piece != NULL) {
        memset(piece, 0, size);
    }
    return piece;
}

char *mw_arena_copy(mw_arena *arena, const char *bytes, size_t length)
{
    char *copy = length < SIZE_MAX ? mw_arena_take(arena, length + 1) : NULL;
    if (copy != NULL) {
        if (length > 0) { /* memcpy() from NULL is undefined even for nothing */
            memcpy(copy, bytes, length);
        }
        copy[length] = '\0';
    }
    return copy;
}

char *mw_arena_print(mw_arena *arena, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    char *text = mw_arena_vprint(arena, format, arguments);
    va_end(arguments);
    return text;
}

char *mw_arena_vprint(mw_arena *arena, const char *format, va_list arguments)
{
    va_list again;
    va_copy(again, arguments);
    char *text = NULL;
    int length = vsnprintf(NULL, 0, format, arguments);
    if (length >= 0) {
        text = mw_arena_take(arena, (size_t)length + 1);
    }
    if (text != NULL) {
        vsnprintf(text, (size_t)length + 1, format, again);
    }
    va_end(again);
    return text;
}
