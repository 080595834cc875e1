/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plain scope of a sheet: a name is a named cell. */
#include <string.h>

#include "inside.h"
#include "like.h"
#include "mouldwright/suggest.h"

enum {
    NAME_BYTES = 1024,    /* longer than any path that can be written */
    SUGGESTIONS_MAX = 10, /* as many as are shown of an edit; each costs a pass over all names */
};

/* Parts that stand in the text with dots between them are that piece of text. */
static bool stands_whole(const mw_path *path)
{
    for (uint32_t i = 1; i < path->count; i++) {
        if (path->parts[i - 1].at + path->parts[i - 1].length + 1 != path->parts[i].at) {
            return false;
        }
    }
    return true;
}

mw_str scope_name(const mw_path *path, char *room, size_t size)
{
    if (path->count == 1) {
        return path->parts[0];
    }
    const mw_str last = path->parts[path->count - 1];
    const char *begin = path->parts[0].at;
    if (stands_whole(path)) {
        return (mw_str){begin, (size_t)(last.at - begin) + last.length};
    }
    size_t length = 0;
    for (uint32_t i = 0; i < path->count; i++) {
        const mw_str part = path->parts[i];
        if (part.length + 1 > size - length) {
            return (mw_str){"", 0};
        }
        if (i > 0) {
            room[length++] = '.';
        }
        memcpy(room + length, part.at, part.length);
        length += part.length;
    }
    return (mw_str){room, length};
}

/* The cell that loading found at this place of the source already; MW_NONE: look it up. */
static uint32_t find_known(mw_sheet *sheet, uint32_t begin)
{
    const known_word *at = sheet->known.at;
    if (at == NULL) {
        return MW_NONE;
    }
    while (at->begin < begin) {
        at++;
    }
    sheet->known.at = at;
    return at->begin == begin && at->name < LIKE_IS_NUMBER ? sheet->cell_of_name[at->name]
                                                           : MW_NONE;
}

static uint32_t find_named(const mw_sheet *sheet, const mw_path *path)
{
    char room[NAME_BYTES];
    const uint32_t name = mw_names_find(sheet->names, scope_name(path, room, sizeof room));
    return name == MW_NONE ? MW_NONE : sheet->cell_of_name[name];
}

static mw_status find_cell(void *context, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    (void)diags;
    mw_sheet *sheet = context;
    uint32_t found = find_known(sheet, path->span.begin);
    if (found == MW_NONE) {
        found = find_named(sheet, path);
    }
    return found == MW_NONE ? MW_NOT_FOUND : mw_sheet_reference(sheet, found, out);
}

static bool suggest_cell(void *context, const mw_path *path, mw_text *out)
{
    mw_sheet *sheet = context;
    if (sheet->preparing && sheet->edit->suggestions++ >= SUGGESTIONS_MAX) {
        return false;
    }
    char room[NAME_BYTES];
    mw_suggest suggest;
    mw_suggest_start(&suggest, scope_name(path, room, sizeof room));
    const uint32_t count = mw_names_count(sheet->names);
    const uint32_t cells = sheet->preparing ? sheet->total : sheet->count;
    for (uint32_t id = 0; id < count; id++) {
        const uint32_t found = sheet->cell_of_name[id];
        if (found < cells && cell_now(sheet, found)->kind != CELL_EMPTY) {
            mw_suggest_offer(&suggest, mw_names_text(sheet->names, id));
        }
    }
    if (suggest.best.length == 0) {
        return false;
    }
    mw_text_add_str(out, suggest.best);
    return true;
}

void scope_start(mw_sheet *sheet)
{
    sheet->scope = (mw_scope){.context = sheet, .find = find_cell, .suggest = suggest_cell};
}

const mw_scope *mw_sheet_scope(mw_sheet *sheet)
{
    return &sheet->scope;
}

/* Hands out the elements of a list line. */
static mw_status refer_list(mw_sheet *sheet, uint32_t id, const cell *c, mw_reference *out)
{
    const uint32_t length = c->length;
    if (!grow_array(sheet->slots, sheet->slot_capacity, length)) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < length; i++) {
        sheet->slots[i] = c->first + i;
    }
    out->list = true;
    out->slots = sheet->slots;
    out->count = length;
    if (sheet->preparing) {
        mw_edit *edit = sheet->edit;
        if (!grow_array(edit->uses, edit->use_capacity, edit->use_count + 1)) {
            return MW_NO_MEMORY;
        }
        edit->uses[edit->use_count++] = (list_use){.line = id};
    }
    return MW_OK;
}

mw_status mw_sheet_reference(mw_sheet *sheet, uint32_t id, mw_reference *out)
{
    if (id >= (sheet->preparing ? sheet->total : sheet->count)) {
        return MW_NOT_FOUND;
    }
    const cell *c = sheet->preparing ? cell_now(sheet, id) : &sheet->cells[id];
    if (c->kind == CELL_EMPTY) {
        return MW_NOT_FOUND;
    }
    if (!sheet->preparing && c->state == STATE_FAILED) {
        return MW_FAILED; /* salvaged */
    }
    if (sheet->preparing && c->state != STATE_SETTLED) {
        const bool failed = c->state == STATE_FAILED;
        walk_need(sheet->edit, id);
        return failed ? MW_FAILED : MW_PENDING;
    }
    *out = (mw_reference){.slot = id, .count = 1, .type = c->type, .unit = c->unit};
    return c->shape == MW_SHAPE_LIST ? refer_list(sheet, id, c, out) : MW_OK;
}
