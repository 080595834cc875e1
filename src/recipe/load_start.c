/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Beginning and end of reading a file, and the memory of what is made. */
#include "recipe/load.h"

mw_load mw_load_start(mw_calculator *calculator, mw_arena *rows, mw_arena *scratch, mw_diags *diags)
{
    return (mw_load){.sources = calculator->sources,
                     .calculator = calculator,
                     .diags = diags,
                     .rows = rows,
                     .scratch = scratch,
                     .errors_before = diags->errors};
}

mw_status mw_load_status(const mw_load *load)
{
    if (load->no_memory || load->diags->no_memory) {
        return MW_NO_MEMORY;
    }
    return load->diags->errors > load->errors_before ? MW_FAILED : MW_OK;
}

static void *take_room(mw_load *load, mw_arena *arena, size_t bytes)
{
    void *room = mw_arena_get(arena, bytes == 0 ? 1 : bytes);
    load->no_memory |= room == NULL;
    return room;
}

void *mw_load_room(mw_load *load, size_t count, size_t size)
{
    return take_room(load, load->rows, count * size);
}

void *mw_load_scratch(mw_load *load, size_t count, size_t size)
{
    return take_room(load, load->scratch, count * size);
}

/* Returns a text that stays: it stands in the source, or is copied. */
static mw_str keep_text(mw_load *load, mw_str text, uint32_t source)
{
    mw_str whole = mw_sources_text(load->sources, source);
    bool borrowed = (uintptr_t)text.at >= (uintptr_t)whole.at &&
                    (uintptr_t)text.at <= (uintptr_t)(whole.at + whole.length);
    if (borrowed && text.length > 0) {
        return text;
    }
    char *copy = text.length == 0 ? NULL : mw_arena_copy(load->rows, text.at, text.length);
    load->no_memory |= copy == NULL && text.length > 0;
    return copy == NULL ? (mw_str){"", 0} : (mw_str){copy, text.length};
}

mw_str mw_load_keep(mw_load *load, const mw_yaml_node *node)
{
    return keep_text(load, mw_str_trim(node->text), node->span.source);
}

mw_str mw_load_key(mw_load *load, const mw_yaml_node *node)
{
    return keep_text(load, node->key, node->key_span.source);
}
