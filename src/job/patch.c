/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A job file patched: only the bytes that say something else are replaced, so that comments, order, blanks and line
 * ends stay as their writer left them. */
#include "saving.h"

#include <stdlib.h>
#include <string.h>

#include "mouldwright/memory.h"

/* A piece of the file and what stands there instead. */
typedef struct piece_edit {
    uint32_t begin, end;
    mw_str text;
} piece_edit;

typedef struct patching {
    mw_job *job;
    paper *on;
    const document *to;
    piece_edit *edits;
    uint32_t edit_count, edit_capacity;
    mw_str line_end; /* that the file uses */
    bool open_ended; /* the file's last line has no end */
    mw_text *out;
} patching;

static mw_status add_edit(patching *with, uint32_t begin, uint32_t end, mw_str text)
{
    void *edits = with->edits;
    if (!mw_memory_grow32(&edits, &with->edit_capacity, with->edit_count + 1,
                          sizeof *with->edits)) {
        return MW_NO_MEMORY;
    }
    with->edits = edits;
    with->edits[with->edit_count++] = (piece_edit){begin, end, text};
    return MW_OK;
}

/* What stands behind a statement up to the end of its line, if that is a comment; else empty. */
static mw_str comment_behind(const mw_job *job, mw_span statement)
{
    mw_str text = mw_sources_text(job->sources, statement.source);
    size_t end = statement.end;
    while (end < text.length && text.at[end] != '\n') {
        end++;
    }
    mw_str behind = {text.at + statement.end, end - statement.end};
    mw_str trimmed = mw_str_trim(behind);
    if (trimmed.length == 0 || trimmed.at[0] != '#') {
        return (mw_str){0};
    }
    return (mw_str){behind.at, (size_t)(trimmed.at - behind.at) + trimmed.length};
}

static mw_str said(const patching *with, mw_span span)
{
    return mw_sources_piece(with->job->sources, span);
}

/* A remark that was typed with the new value takes the place of the old one. */
static mw_status edit_comment(patching *with, const paper_line *line, const entry *after)
{
    mw_str fresh = comment_behind(with->job, after->span);
    mw_str old = comment_behind(with->job, line->statement);
    if (fresh.length == 0 || mw_str_equal(fresh, old)) {
        return MW_OK;
    }
    uint32_t begin = line->statement.end;
    return add_edit(with, begin, begin + (uint32_t)old.length, fresh);
}

static bool same_names(const entry *a, const entry *b)
{
    bool same = a->field_count == b->field_count;
    for (uint32_t i = 0; same && i < a->field_count; i++) {
        same = mw_str_equal(a->fields[i].name, b->fields[i].name);
    }
    return same;
}

/* The values of a mould or an alternative that differ; the whole statement where it has other inputs than before. */
static mw_status edit_fields(patching *with, const paper_line *line, const entry *after)
{
    const entry *was = line->item;
    if (!same_names(was, after)) {
        return add_edit(with, line->statement.begin, line->statement.end, said(with, after->span));
    }
    mw_status status = MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < was->field_count; i++) {
        mw_span at = was->fields[i].value;
        mw_str fresh = said(with, after->fields[i].value);
        if (!mw_str_equal(said(with, at), fresh)) {
            status = add_edit(with, at.begin, at.end, fresh);
        }
    }
    return status;
}

static mw_status edit_line(patching *with, const paper_line *line, const entry *after)
{
    if (entry_same(with->job, line->item, after)) {
        return MW_OK; /* somebody else has set the same */
    }
    mw_status status = MW_OK;
    switch (after->kind) {
    case ENTRY_MOULD:
    case ENTRY_ALTERNATIVE:
        status = edit_fields(with, line, after);
        break;
    case ENTRY_SHOP:
        status = add_edit(with, line->item->name_at.begin, line->item->name_at.end, after->name);
        break;
    case ENTRY_START:
    case ENTRY_SET:
        status = add_edit(with, line->item->formula.begin, line->item->formula.end,
                          said(with, after->formula));
        break;
    }
    return status == MW_OK ? edit_comment(with, line, after) : status;
}

/* The line of the file that a change is about, or MW_NONE. */
static uint32_t find_line(const paper *on, const line_change *change)
{
    bool file = change->file && !change->take_out;
    mw_str wanted = change->take_out ? change->before->name : change->key;
    for (uint32_t i = 0; i < on->count; i++) {
        const paper_line *line = &on->lines[i];
        bool names_file = line->kind == LINE_INCLUDE || line->kind == LINE_LIST;
        if ((line->kind == LINE_TAKE_OUT) == change->take_out && names_file == file &&
            mw_str_equal(line->key, wanted)) {
            return i;
        }
    }
    return MW_NONE;
}

/* ---- new lines ---- */

static mw_status put_new(patching *with, const line_change *change)
{
    paper_line line = {.key = change->key};
    mw_text words = {0};
    change_words(with->job, change, &words);
    if (change->take_out) {
        line.kind = LINE_TAKE_OUT;
        line.key = change->before->name;
    } else if (change->file) {
        line.kind = change->file->list ? LINE_LIST : LINE_INCLUDE;
        mw_text_add_str(&words, comment_behind(with->job, change->file->statement));
    } else {
        const entry *item = change->after;
        line.item = item;
        line.kind = item->kind == ENTRY_SHOP          ? LINE_SHOP
                    : item->kind == ENTRY_START       ? LINE_START
                    : item->kind == ENTRY_MOULD       ? LINE_MOULD
                    : item->kind == ENTRY_ALTERNATIVE ? LINE_ALTERNATIVE
                    : item->part_count > 1            ? LINE_OVERRIDE
                                                      : LINE_OWN;
        line.head = item->kind == ENTRY_MOULD ? item->name : item->parts[0];
        mw_text_add_str(&words, comment_behind(with->job, item->span));
    }
    line.text =
        words.failed ? NULL : mw_arena_copy(with->job->arena, mw_text_chars(&words), words.length);
    mw_text_free(&words);
    return line.text ? paper_put(with->job, with->on, with->to, change, line) : MW_NO_MEMORY;
}

static void take_line(paper *on, uint32_t at)
{
    memmove(on->lines + at, on->lines + at + 1, (on->count - at - 1) * sizeof *on->lines);
    on->count--;
}

static mw_status apply(patching *with, const line_change *change)
{
    uint32_t at = find_line(with->on, change);
    if (change->kind == CHANGE_GONE) {
        if (at != MW_NONE) {
            take_line(with->on, at);
        }
        return MW_OK;
    }
    if (at == MW_NONE) {
        return put_new(with, change);
    }
    return change->after ? edit_line(with, &with->on->lines[at], change->after) : MW_OK;
}

/* ---- writing ---- */

/* Line ends inside a text become those of the file. */
static void write_text(patching *with, const char *at, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        bool pair = at[i] == '\r' && i + 1 < length && at[i + 1] == '\n';
        if (pair || at[i] == '\n') {
            mw_text_add_str(with->out, with->line_end);
            i += pair;
        } else {
            mw_text_addc(with->out, at[i]);
        }
    }
}

static int compare_edits(const void *a, const void *b)
{
    const piece_edit *left = a;
    const piece_edit *right = b;
    return (left->begin > right->begin) - (left->begin < right->begin);
}

/* Writes a line of the file without its end, its edits made. */
static void write_kept(patching *with, const paper_line *line)
{
    const char *text = with->on->text.at;
    uint32_t at = line->begin;
    uint32_t end = line->end - line->end_length;
    for (uint32_t i = 0; i < with->edit_count; i++) {
        const piece_edit *edit = &with->edits[i];
        if (edit->begin >= line->begin && edit->end <= end) {
            mw_text_add(with->out, text + at, edit->begin - at);
            write_text(with, edit->text.at, edit->text.length);
            at = edit->end;
        }
    }
    mw_text_add(with->out, text + at, end - at);
}

static void write_lines(patching *with)
{
    const paper *on = with->on;
    for (uint32_t i = 0; i < on->count; i++) {
        const paper_line *line = &on->lines[i];
        if (line->text) {
            write_text(with, line->text, strlen(line->text));
        } else {
            write_kept(with, line);
        }
        bool last = i + 1 == on->count;
        if (last && with->open_ended) {
            return;
        }
        if (line->text || line->end_length == 0) {
            mw_text_add_str(with->out, with->line_end);
        } else {
            mw_text_add(with->out, on->text.at + line->end - line->end_length, line->end_length);
        }
    }
}

static void find_line_end(patching *with)
{
    const paper *on = with->on;
    with->line_end = mw_str_of("\n");
    for (uint32_t i = 0; i < on->count; i++) {
        if (on->lines[i].end_length > 0) {
            with->line_end = (mw_str){on->text.at + on->lines[i].end - on->lines[i].end_length,
                                      on->lines[i].end_length};
            break;
        }
    }
    with->open_ended = on->count > 0 && on->lines[on->count - 1].end_length == 0;
}

/* A byte order mark stays in front, whatever becomes of the first line. */
static void keep_mark(patching *with)
{
    paper *on = with->on;
    if (on->text.length >= 3 && memcmp(on->text.at, "\xef\xbb\xbf", 3) == 0 && on->count > 0) {
        mw_text_add(with->out, on->text.at, 3);
        on->lines[0].begin = 3;
    }
}

mw_status patch_write(mw_job *job, paper *on, const document *to, const change_list *changes,
                      mw_text *out)
{
    patching with = {.job = job, .on = on, .to = to, .out = out};
    mw_status status = MW_OK;
    find_line_end(&with);
    keep_mark(&with);
    for (uint32_t i = 0; status == MW_OK && i < changes->count; i++) {
        status = apply(&with, &changes->items[i]);
    }
    if (status == MW_OK) {
        if (with.edit_count > 0) {
            qsort(with.edits, with.edit_count, sizeof *with.edits, compare_edits);
        }
        write_lines(&with);
    }
    mw_memory_give(with.edits);
    return out->failed ? MW_NO_MEMORY : status;
}

/* ---- proof ---- */

static uint32_t own_entries(const document *of)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < of->count; i++) {
        count += of->items[i]->from == NULL;
    }
    return count;
}

bool patch_holds(const mw_job *job, const paper *on, const document *want)
{
    uint32_t entries = 0;
    uint32_t files = 0;
    for (uint32_t i = 0; i < on->count; i++) {
        const paper_line *line = &on->lines[i];
        files += line->kind == LINE_INCLUDE || line->kind == LINE_LIST;
        if (line->item) {
            uint32_t at = document_find(want, line->key);
            if (at == MW_NONE || want->items[at]->from ||
                !entry_same(job, line->item, want->items[at])) {
                return false;
            }
            entries++;
        }
    }
    return entries == own_entries(want) && files == want->import_count;
}
