/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sink of diagnostics. */
#include "mouldwright/diag.h"

#include <stdarg.h>
#include <string.h>

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
    mw_memory_give(diags->rests);
    *diags = (mw_diags){0};
}

void mw_diags_clear(mw_diags *diags)
{
    mw_arena_rewind(diags->arena, (mw_arena_mark){0});
    diags->count = 0;
    diags->errors = 0;
    diags->warnings = 0;
    diags->no_memory = false;
    diags->by_file = false;
    diags->rest_count = 0;
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

/* Counts what is beyond the limit. */
static void count_rest(mw_diags *diags, uint32_t source)
{
    source = diags->by_file ? source : MW_NONE;
    for (size_t i = diags->rest_count; i-- > 0;) {
        if (diags->rests[i].source == source) {
            diags->rests[i].count++;
            return;
        }
    }
    void *rests = diags->rests;
    if (!mw_memory_grow(&rests, &diags->rest_capacity, diags->rest_count + 1,
                        sizeof *diags->rests)) {
        diags->no_memory = true;
        return;
    }
    diags->rests = rests;
    diags->rests[diags->rest_count++] = (mw_diag_rest){source, 1};
}

/* The place for one more: at the end, or where the limit is reached that of the last in the text of the same sort, if it
 * stands behind the new one; SIZE_MAX: none. */
static size_t find_place(mw_diags *diags, const mw_diag *diag)
{
    size_t kept = 0;
    size_t latest = SIZE_MAX;
    uint32_t begin = diag->span.begin;
    for (size_t i = 0; i < diags->count; i++) {
        const mw_diag *other = &diags->items[i];
        bool same = other->span.source == diag->span.source;
        if (other->warning != diag->warning || (diags->by_file && !same)) {
            continue;
        }
        kept++;
        if (diags->by_file && other->span.begin > begin) {
            latest = i;
            begin = other->span.begin;
        }
    }
    if (kept < diags->limit) {
        return diags->count;
    }
    return latest;
}

/* Whether the same is said of the same place already, as where one formula serves many cells. */
static bool is_said(const mw_diags *diags, const mw_diag *diag)
{
    for (size_t i = diags->count; i-- > 0;) {
        const mw_diag *kept = &diags->items[i];
        if (kept->code == diag->code && kept->span.source == diag->span.source &&
            kept->span.begin == diag->span.begin && kept->span.end == diag->span.end &&
            kept->warning == diag->warning && strcmp(kept->message, diag->message) == 0) {
            return true;
        }
    }
    return false;
}

/* Adds what is wrong, unless there is no place for it or it is said already. */
static mw_diag *add(mw_diags *diags, mw_diag diag, const char *format, va_list arguments)
    MW_PRINTF(3, 0);
static mw_diag *add(mw_diags *diags, mw_diag diag, const char *format, va_list arguments)
{
    size_t at = find_place(diags, &diag);
    if (at == SIZE_MAX) {
        count_rest(diags, diag.span.source);
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
    if (is_said(diags, &diag)) {
        return NULL;
    }
    if (at < diags->count) {
        count_rest(diags, diag.span.source);
    }
    diags->items[at] = diag;
    diags->count += at == diags->count;
    return &diags->items[at];
}

mw_diag *mw_diags_error(mw_diags *diags, mw_code code, mw_span span, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    mw_diag *added = add(diags, (mw_diag){.code = code, .span = span}, format, arguments);
    va_end(arguments);
    diags->errors++;
    return added;
}

mw_diag *mw_diags_warn(mw_diags *diags, mw_code code, mw_span span, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    mw_diag *added =
        add(diags, (mw_diag){.code = code, .warning = true, .span = span}, format, arguments);
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

/* Whether one belongs behind another. */
static bool is_behind(const mw_diag *one, const mw_diag *other)
{
    return one->span.source != other->span.source ? one->span.source > other->span.source
                                                  : one->span.begin > other->span.begin;
}

void mw_diags_sort(mw_diags *diags)
{
    for (size_t i = 1; i < diags->count; i++) {
        mw_diag moved = diags->items[i];
        size_t at = i;
        for (; at > 0 && is_behind(&diags->items[at - 1], &moved); at--) {
            diags->items[at] = diags->items[at - 1];
        }
        diags->items[at] = moved;
    }
}
