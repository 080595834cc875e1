/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From one document to the next. The order is the one in which the saved file will be read again: what included files
 * say, then the job's own words, a new one behind the others. */
#include "parts.h"

#include <string.h>

#include "mouldwright/memory.h"

uint32_t document_find(const document *from, mw_str key)
{
    for (uint32_t i = 0; i < from->count; i++) {
        if (mw_str_equal(from->items[i]->key, key)) {
            return i;
        }
    }
    return MW_NONE;
}

/* A document while it is made. */
typedef struct making {
    const document *from;
    const entry_list *items; /* said now; NULL: none */
    const import *brought;   /* where they come from; NULL: own words */
    mw_names *keys;          /* of the items, where there are several */
    bool *used;              /* by item */
    bool placed;             /* the block of `brought` has been put in */
    mw_str without;
    const entry **list;
    uint32_t count;
} making;

static void put(making *on, const entry *item)
{
    on->list[on->count++] = item;
}

/* The item that says this key now, or MW_NONE. */
static uint32_t said_now(const making *on, mw_str key)
{
    if (!on->items || on->items->count == 0) {
        return MW_NONE;
    }
    if (on->keys) {
        return mw_names_find(on->keys, key);
    }
    return mw_str_equal(on->items->items[0]->key, key) ? 0 : MW_NONE;
}

static bool same_file(const import *a, const import *b)
{
    return a && b && a->list == b->list && mw_str_equal(a->path, b->path);
}

/* Puts in all that the import says, once, as the file has it. */
static void put_block(making *on)
{
    for (uint32_t i = 0; !on->placed && i < on->items->count; i++) {
        put(on, on->items->items[i]);
        on->used[i] = true;
    }
    on->placed = true;
}

/* What becomes of an entry that was there. */
static void carry(making *on, const entry *kept)
{
    if (same_file(kept->from, on->brought)) {
        put_block(on);
        return;
    }
    uint32_t now = said_now(on, kept->key);
    if (now == MW_NONE) {
        if (on->without.length == 0 || !mw_str_equal(kept->key, on->without)) {
            put(on, kept);
        }
    } else if (!kept->from && !on->brought) {
        put(on, on->items->items[now]);
        on->used[now] = true;
    }
}

/* The part of included files, one file after the other. */
static void carry_included(making *on, const document *to)
{
    for (uint32_t k = 0; k < to->import_count; k++) {
        const import *of = to->imports[k];
        if (of->list) {
            continue;
        }
        if (same_file(of, on->brought)) {
            put_block(on);
        }
        for (uint32_t i = 0; i < on->from->included; i++) {
            if (on->from->items[i]->from == of) {
                carry(on, on->from->items[i]);
            }
        }
    }
}

/* The imports, the one that is brought in now in the place of an older reading of the same file. */
static mw_status carry_imports(mw_job *job, const making *on, document *to)
{
    const import **list = mw_arena_get(job->arena, (on->from->import_count + 1) * sizeof *list);
    bool fresh = on->brought != NULL;
    if (!list) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < on->from->import_count; i++) {
        bool again = same_file(on->from->imports[i], on->brought);
        list[i] = again ? on->brought : on->from->imports[i];
        fresh = fresh && !again;
    }
    to->import_count = on->from->import_count;
    if (fresh) {
        list[to->import_count++] = on->brought;
    }
    to->imports = list;
    return MW_OK;
}

/* Two files that are brought in must not say the same, unless the job's own list of moulds goes before an included
 * file. */
static mw_status check_imports(const making *on, mw_diags *diags)
{
    for (uint32_t k = 0; on->brought && k < on->from->import_count; k++) {
        const import *other = on->from->imports[k];
        bool allowed = same_file(other, on->brought) || (on->brought->list && !other->list);
        for (uint32_t i = 0; !allowed && i < other->count; i++) {
            uint32_t now = said_now(on, other->items[i]->key);
            if (now != MW_NONE) {
                mw_str name = other->items[i]->name;
                mw_diag *diag = mw_diags_error(
                    diags, MW_CODE_NAME_TWICE, on->items->items[now]->span,
                    "`%.*s` stands in two files that the job names", (int)name.length, name.at);
                mw_diag_other(diags, diag, other->items[i]->span, "it stands here too");
                return MW_FAILED;
            }
        }
    }
    return MW_OK;
}

static mw_status start_making(mw_job *job, making *on)
{
    uint32_t said = on->items ? on->items->count : 0;
    size_t room = (size_t)on->from->count + said + 1;
    on->brought = on->items && on->items->import_count > 0 ? on->items->imports[0] : NULL;
    on->list = mw_arena_get(job->arena, room * sizeof *on->list);
    on->used = mw_memory_get((size_t)said + 1);
    on->keys = said > 1 ? mw_names_new() : NULL;
    if (!on->list || !on->used || (said > 1 && !on->keys)) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; on->keys && i < said; i++) {
        if (mw_names_add(on->keys, on->items->items[i]->key) == MW_NONE) {
            return MW_NO_MEMORY;
        }
    }
    return MW_OK;
}

static void make(making *on, document *to)
{
    carry_included(on, to);
    to->included = on->count;
    for (uint32_t i = on->from->included; i < on->from->count; i++) {
        carry(on, on->from->items[i]);
    }
    for (uint32_t i = 0; on->items && i < on->items->count; i++) {
        if (!on->used[i]) {
            put(on, on->items->items[i]);
        }
    }
    to->items = on->list;
    to->count = on->count;
}

/* ---- one more at the end ---- */

/* A new name at the end goes into the spare room behind the newest list, which older documents share: they know how long
 * they are. Else thousands of lines pasted would each copy all that stands before. */
static mw_status append(mw_job *job, const document *from, const entry *item, document *out)
{
    entry_room *room = &job->entry_room;
    if (from->items != room->items || from->count != room->used || room->used == room->capacity) {
        uint32_t capacity = from->count < UINT32_MAX / 4 ? from->count * 2 + 16 : from->count + 1;
        const entry **items = mw_arena_get(job->arena, capacity * sizeof *items);
        if (!items) {
            return MW_NO_MEMORY;
        }
        if (from->count > 0) {
            memcpy(items, from->items, from->count * sizeof *items);
        }
        *room = (entry_room){items, from->count, capacity};
    }
    room->items[room->used++] = item;
    *out = *from;
    out->items = room->items;
    out->count = room->used;
    return MW_OK;
}

/* Whether a step only adds one name that is not there. */
static bool appends(const document *from, const document_step *step)
{
    return step->items && step->items->count == 1 && step->items->import_count == 0 &&
           step->without.length == 0 && document_find(from, step->items->items[0]->key) == MW_NONE;
}

mw_status document_change(mw_job *job, const document *from, const document_step *step,
                          document *out, mw_diags *diags)
{
    if (appends(from, step)) {
        return append(job, from, step->items->items[0], out);
    }
    making on = {.from = from, .items = step->items, .without = step->without};
    mw_status status = start_making(job, &on);
    if (status == MW_OK && diags) {
        status = check_imports(&on, diags);
    }
    if (status == MW_OK) {
        status = carry_imports(job, &on, out);
    }
    if (status == MW_OK) {
        make(&on, out);
    }
    mw_names_free(on.keys);
    mw_memory_give(on.used);
    return status;
}

mw_status document_of_list(mw_job *job, const entry_list *list, document *out)
{
    const entry **items = mw_arena_get(job->arena, (list->count + 1) * sizeof *items);
    const import **imports = mw_arena_get(job->arena, (list->import_count + 1) * sizeof *imports);
    if (!items || !imports) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < list->count; i++) {
        items[i] = list->items[i];
    }
    for (uint32_t i = 0; i < list->import_count; i++) {
        imports[i] = list->imports[i];
    }
    *out = (document){items, list->count, list->included, imports, list->import_count};
    return MW_OK;
}
