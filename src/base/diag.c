/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sink of diagnostics. */
#include "mouldwright/diag.h"

#include <stdarg.h>

#include "arena_take.h"
#include "mouldwright/memory.h"

enum { USUAL_LIMIT = 10 };

static const mw_span nowhere = {.source = MW_NONE};

mw_status mw_diags_start(mw_diags *diags)
{
    *diags = (mw_diags){.limit = USUAL_LIMIT, .arena = mw_arena_new()};
    return diags->arena == NULL ? MW_NO_MEMORY : MW_OK;
}

void mw_diags_free(mw_diags *diags)
{
    mw_arena_free(diags->arena);
    mw_memory_give(diags->items);
    *diags = (mw_diags){0};
}

void mw_diags_clear(mw_diags *diags)
{
    mw_arena_rewind(diags->arena, (mw_arena_mark){0});
    diags->count = 0;
    diags->errors = 0;
    diags->warnings = 0;
    diags->no_memory = false;
}

/* Returns a formatted text of the sink; NULL, and noted, when there is no memory. */
static const char *print_text(mw_diags *diags, const char *format, va_list arguments)
    MW_PRINTF(2, 0);
static const char *print_text(mw_diags *diags, const char *format, va_list arguments)
{
    const char *text = mw_arena_vprint(diags->arena, format, arguments);
    if (text == NULL) {
        diags->no_memory = true;
    }
    return text;
}

/* Adds what is wrong unless `reported` of its sort already fill the limit. */
static mw_diag *add(mw_diags *diags, mw_diag diag, size_t reported, const char *format,
                    va_list arguments) MW_PRINTF(4, 0);
static mw_diag *add(mw_diags *diags, mw_diag diag, size_t reported, const char *format,
                    va_list arguments)
{
    if (reported >= diags->limit) {
        return NULL;
    }
    void *items = diags->items;
    if (!mw_memory_grow(&items, &diags->capacity, diags->count + 1, sizeof(mw_diag))) {
        diags->no_memory = true;
        return NULL;
    }
    diags->items = items;
    diag.message = print_text(diags, format, arguments);
    if (diag.message == NULL) {
        return NULL;
    }
    diag.other = nowhere;
    diags->items[diags->count] = diag;
    return &diags->items[diags->count++];
}

mw_diag *mw_diags_error(mw_diags *diags, mw_code code, mw_span span, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    mw_diag *added =
        add(diags, (mw_diag){.code = code, .span = span}, diags->errors, format, arguments);
    va_end(arguments);
    diags->errors++;
    return added;
}

mw_diag *mw_diags_warn(mw_diags *diags, mw_code code, mw_span span, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    mw_diag *added = add(diags, (mw_diag){.code = code, .warning = true, .span = span},
                         diags->warnings, format, arguments);
    va_end(arguments);
    diags->warnings++;
    return added;
}

void mw_diag_try(mw_diags *diags, mw_diag *diag, const char *format, ...)
{
    if (diag == NULL) {
        return;
    }
    va_list arguments;
    va_start(arguments, format);
    diag->advice = print_text(diags, format, arguments);
    va_end(arguments);
}

void mw_diag_other(mw_diags *diags, mw_diag *diag, mw_span other, const char *format, ...)
{
    if (diag == NULL) {
        return;
    }
    va_list arguments;
    va_start(arguments, format);
    diag->other = other;
    diag->other_note = print_text(diags, format, arguments);
    va_end(arguments);
}

void mw_diag_extra(mw_diags *diags, mw_diag *diag, const char *format, ...)
{
    if (diag == NULL) {
        return;
    }
    va_list arguments;
    va_start(arguments, format);
    const char *lines = print_text(diags, format, arguments);
    va_end(arguments);
    if (diag->extra != NULL && lines != NULL) {
        lines = mw_arena_print(diags->arena, "%s\n%s", diag->extra, lines);
        diags->no_memory = diags->no_memory || lines == NULL;
    }
    diag->extra = lines != NULL ? lines : diag->extra;
}

bool mw_diags_bad(const mw_diags *diags)
{
    return diags->errors > 0 || diags->no_memory;
}
