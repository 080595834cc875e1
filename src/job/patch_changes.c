/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What differs from one document to another, as lines of the job's own file. */
#include "saving.h"

#include <string.h>

#include "mouldwright/memory.h"

void change_list_free(change_list *list)
{
    mw_memory_give(list->items);
    *list = (change_list){0};
}

static mw_status add_change(change_list *list, const line_change *change)
{
    void *items = list->items;
    if (!mw_memory_grow32(&items, &list->capacity, list->count + 1, sizeof *list->items)) {
        return MW_NO_MEMORY;
    }
    list->items = items;
    list->items[list->count++] = *change;
    return MW_OK;
}

static bool same_piece(const mw_job *job, mw_span a, mw_span b)
{
    if (a.source == MW_NONE || b.source == MW_NONE) {
        return a.source == b.source;
    }
    return mw_str_equal(mw_sources_piece(job->sources, a), mw_sources_piece(job->sources, b));
}

static bool same_fields(const mw_job *job, const entry *a, const entry *b)
{
    bool same = a->field_count == b->field_count;
    for (uint32_t i = 0; same && i < a->field_count; i++) {
        same = mw_str_equal(a->fields[i].name, b->fields[i].name) &&
               same_piece(job, a->fields[i].value, b->fields[i].value);
    }
    return same;
}

bool entry_same(const mw_job *job, const entry *a, const entry *b)
{
    if (a == b) {
        return true;
    }
    if (a->kind != b->kind || !mw_str_equal(a->key, b->key)) {
        return false;
    }
    switch (a->kind) {
    case ENTRY_SHOP:
        return mw_str_equal(a->name, b->name);
    case ENTRY_MOULD:
    case ENTRY_ALTERNATIVE:
        return same_fields(job, a, b);
    case ENTRY_START:
    case ENTRY_SET:
        break;
    }
    return same_piece(job, a->formula, b->formula);
}

/* A document with its keys. */
typedef struct keyed {
    const document *of;
    mw_names *names; /* the id is the index */
} keyed;

static mw_status start_keyed(keyed *made, const document *of)
{
    *made = (keyed){of, mw_names_new()};
    mw_status status = made->names ? MW_OK : MW_NO_MEMORY;
    for (uint32_t i = 0; status == MW_OK && i < of->count; i++) {
        status = mw_names_add(made->names, of->items[i]->key) == MW_NONE ? MW_NO_MEMORY : MW_OK;
    }
    return status;
}

static const entry *look(const keyed *in, mw_str key)
{
    uint32_t at = mw_names_find(in->names, key);
    return at == MW_NONE ? NULL : in->of->items[at];
}

static const entry *own_word(const keyed *in, mw_str key)
{
    const entry *found = look(in, key);
    return found && !found->from ? found : NULL;
}

static const import *find_import(const document *in, const import *like)
{
    for (uint32_t i = 0; i < in->import_count; i++) {
        if (in->imports[i]->list == like->list && mw_str_equal(in->imports[i]->path, like->path)) {
            return in->imports[i];
        }
    }
    return NULL;
}

/* The import out of which a name is taken, or NULL. */
static const import *taken_from(const keyed *in, mw_str key)
{
    for (uint32_t i = 0; !look(in, key) && i < in->of->import_count; i++) {
        const import *file = in->of->imports[i];
        for (uint32_t k = 0; k < file->count; k++) {
            if (mw_str_equal(file->items[k]->key, key)) {
                return file;
            }
        }
    }
    return NULL;
}

static mw_status find_gone(const mw_job *job, const keyed *from, const keyed *to, change_list *list)
{
    (void)job;
    mw_status status = MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < from->of->count; i++) {
        const entry *was = from->of->items[i];
        if (!was->from && !own_word(to, was->key)) {
            status = add_change(
                list, &(line_change){.kind = CHANGE_GONE, .key = was->key, .before = was});
        }
    }
    for (uint32_t i = 0; status == MW_OK && i < from->of->import_count; i++) {
        const import *file = from->of->imports[i];
        if (!find_import(to->of, file)) {
            status = add_change(
                list, &(line_change){.kind = CHANGE_GONE, .key = file->path, .file = file});
        }
    }
    return status;
}

/* Names that one document takes out of its imports and the other does not. */
static mw_status find_taken(const keyed *in, const keyed *other, change_kind kind,
                            change_list *list)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; i < in->of->import_count; i++) {
        const import *file = in->of->imports[i];
        for (uint32_t k = 0; status == MW_OK && k < file->count; k++) {
            const entry *item = file->items[k];
            if (!look(in, item->key) && !taken_from(other, item->key)) {
                status = add_change(list, &(line_change){.kind = kind,
                                                         .key = item->key,
                                                         .before = item,
                                                         .file = file,
                                                         .take_out = true});
            }
        }
    }
    return status;
}

/* Moulds and lines are shown in their order: whether this one stood before another of its kind that is now in front of
 * it (it was dropped, and said again). */
static bool has_moved(const keyed *from, const entry *now, uint32_t newest[2])
{
    bool line = now->kind == ENTRY_SET && now->part_count == 1;
    uint32_t was = mw_names_find(from->names, now->key);
    if ((now->kind != ENTRY_MOULD && !line) || was == MW_NONE) {
        return false;
    }
    bool moved = was < newest[line];
    newest[line] = moved ? newest[line] : was;
    return moved;
}

/* What the job's own word asks of the file: nothing, a new line, another value, or another place. */
static mw_status find_word(const mw_job *job, const keyed *from, const line_change *now, bool moved,
                           change_list *list)
{
    line_change change = *now;
    change.key = now->after->key;
    change.before = moved ? NULL : own_word(from, change.key);
    if (change.before && entry_same(job, change.before, change.after)) {
        return MW_OK;
    }
    change.kind = change.before ? CHANGE_SET : CHANGE_NEW;
    return add_change(list, &change);
}

/* Words that have moved leave their old place before others are put beside them. */
static mw_status find_moved(const keyed *from, const keyed *to, change_list *list)
{
    uint32_t newest[2] = {0, 0};
    mw_status status = MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < to->of->count; i++) {
        const entry *now = to->of->items[i];
        const entry *was = has_moved(from, now, newest) ? own_word(from, now->key) : NULL;
        if (was && !now->from) {
            line_change gone = {.kind = CHANGE_GONE, .key = was->key, .before = was};
            status = add_change(list, &gone);
        }
    }
    return status;
}

/* The first entry of a list in a document, or MW_NONE. */
static uint32_t first_row(const document *in, const import *list)
{
    for (uint32_t i = 0; i < in->count; i++) {
        const import *from = in->items[i]->from;
        if (from && from->list && mw_str_equal(from->path, list->path)) {
            return i;
        }
    }
    return MW_NONE;
}

/* Whether a row of the list now stands behind a mould that stood behind it. */
static bool rows_moved(const keyed *from, const keyed *to, const import *list)
{
    uint32_t newest[2] = {0, 0};
    bool moved = false;
    for (uint32_t i = 0; i < to->of->count; i++) {
        const entry *now = to->of->items[i];
        bool late = has_moved(from, now, newest);
        moved = moved || (late && now->from && mw_str_equal(now->from->path, list->path));
    }
    return moved;
}

/* A list that was read again after all its moulds had been taken out stands at the end now; its line moves there. */
static mw_status find_moved_lists(const keyed *from, const keyed *to, change_list *list)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < to->of->import_count; i++) {
        const import *file = to->of->imports[i];
        uint32_t at = file->list ? first_row(to->of, file) : MW_NONE;
        bool again = at != MW_NONE && find_import(from->of, file);
        if (again && (first_row(from->of, file) == MW_NONE || rows_moved(from, to, file))) {
            line_change gone = {.kind = CHANGE_GONE, .key = file->path, .file = file};
            line_change fresh = {.kind = CHANGE_NEW, .key = file->path, .file = file};
            status = add_change(list, &gone);
            status = status == MW_OK ? add_change(list, &fresh) : status;
        }
    }
    return status;
}

static mw_status find_new(const mw_job *job, const keyed *from, const keyed *to, change_list *list)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < to->of->import_count; i++) {
        const import *file = to->of->imports[i];
        if (!find_import(from->of, file)) {
            status = add_change(
                list, &(line_change){.kind = CHANGE_NEW, .key = file->path, .file = file});
        }
    }
    uint32_t newest[2] = {0, 0};
    for (uint32_t i = 0; status == MW_OK && i < to->of->count; i++) {
        const entry *now = to->of->items[i];
        bool moved = has_moved(from, now, newest);
        status = now->from
                     ? MW_OK
                     : find_word(job, from, &(line_change){.after = now, .at = i}, moved, list);
    }
    return status;
}

mw_status changes_find(const mw_job *job, const document *from, const document *to,
                       change_list *list)
{
    if (from->items == to->items && from->count == to->count) {
        return MW_OK;
    }
    keyed was = {0};
    keyed now = {0};
    mw_status status = start_keyed(&was, from);
    if (status == MW_OK) {
        status = start_keyed(&now, to);
    }
    if (status == MW_OK) {
        status = find_gone(job, &was, &now, list);
    }
    if (status == MW_OK) {
        status = find_taken(&was, &now, CHANGE_GONE, list);
    }
    if (status == MW_OK) {
        status = find_moved(&was, &now, list);
    }
    if (status == MW_OK) {
        status = find_moved_lists(&was, &now, list);
    }
    if (status == MW_OK) {
        status = find_new(job, &was, &now, list);
    }
    if (status == MW_OK) {
        status = find_taken(&now, &was, CHANGE_NEW, list);
    }
    mw_names_free(was.names);
    mw_names_free(now.names);
    return status;
}

void change_words(const mw_job *job, const line_change *change, mw_text *out)
{
    const entry *item = change->after ? change->after : change->before;
    if (change->take_out) {
        bool path = item->kind == ENTRY_SET && item->part_count > 1;
        mw_text_adds(out, path ? "restore " : "drop ");
        mw_text_add_str(out, item->name);
    } else if (change->file) {
        mw_text_add_str(out, mw_sources_piece(job->sources, change->file->statement));
    } else {
        mw_text_add_str(out, mw_sources_piece(job->sources, item->span));
    }
}
