/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Journals that other sessions have left: those that nobody holds, with something in them that was not saved. */
#include "journal.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"

#define JOURNAL_LIMIT ((size_t)256 << 20)
#define JOB_LIMIT     ((size_t)64 << 20)

enum { YOUNG_S = 60 }; /* an empty one may be just about to be written */

/* ---- what is in one ---- */

/* Changes in force while the records are gone through. */
typedef struct steps {
    size_t count;
    size_t reverted; /* so many were there when the job went back to its file; 0: it did not */
} steps;

static void take_step(steps *of, record_kind kind)
{
    switch (kind) {
    case RECORD_SAY:
    case RECORD_TEXT:
    case RECORD_REDO:
        of->count++;
        break;
    case RECORD_REVERT:
        of->reverted = ++of->count;
        break;
    case RECORD_UNDO:
        of->count -= of->count > 0;
        of->reverted = of->reverted > of->count ? 0 : of->reverted;
        break;
    case RECORD_JOB:
    case RECORD_SAVING:
    case RECORD_SAVED:
    case RECORD_KINDS:
        break;
    }
}

static void look_job(mw_str words, left_journal *out)
{
    out->job = record_line(&words);
    out->hash = record_line(&words);
    record_line(&words); /* the time */
    record_line(&words); /* the version */
    out->folder = record_line(&words);
}

bool journal_look(mw_str bytes, size_t from, left_journal *out)
{
    size_t at = from;
    size_t begin = from;
    steps made = {0};
    bool headed = from > 0;
    record one;
    while (record_read(bytes, &at, &one)) {
        if (one.kind == RECORD_JOB && !headed) {
            look_job(one.words, out);
            begin = at;
        }
        if (!headed && one.kind != RECORD_JOB) {
            at = from; /* no journal of ours, or its head is damaged */
            break;
        }
        headed = true;
        if (one.kind == RECORD_SAVING) {
            out->saving = one.words;
            out->saving_end = at;
        } else if (one.kind == RECORD_SAVED) {
            out->saving = (mw_str){0};
            made = (steps){0};
            begin = at;
        }
        take_step(&made, one.kind);
    }
    out->rest = (mw_str){bytes.at + begin, at - begin};
    out->count = made.count - made.reverted;
    out->damaged = at < bytes.length;
    return out->count > 0 || out->damaged;
}

/* ---- all of them ---- */

/* Whether the file that was being saved has its new content. */
static bool was_saved(mw_str words)
{
    mw_text path = {0};
    mw_text hash = {0};
    char *data = NULL;
    size_t length = 0;
    mw_text_add_str(&path, record_line(&words));
    bool saved =
        !path.failed && mw_file_read(mw_text_chars(&path), JOB_LIMIT, &data, &length) == MW_OK;
    if (saved) {
        journal_hash((mw_str){data, length}, &hash);
        saved = !hash.failed && mw_str_equal((mw_str){hash.data, hash.length}, record_line(&words));
    }
    mw_memory_give(data);
    mw_text_free(&hash);
    mw_text_free(&path);
    return saved;
}

/* Reads the journal, if nobody holds it. False: somebody does, or it cannot be read. */
static bool read_left(const char *path, left_journal *out)
{
    int file = open(path, O_RDONLY | O_CLOEXEC);
    struct stat is;
    bool well = file >= 0 && (flock(file, LOCK_SH | LOCK_NB) == 0 || errno == ENOLCK) &&
                fstat(file, &is) == 0 && S_ISREG(is.st_mode) &&
                mw_file_read(path, JOURNAL_LIMIT, &out->data, &out->length) == MW_OK;
    if (well) {
        out->when_s = is.st_mtime;
    }
    if (file >= 0) {
        close(file);
    }
    return well;
}

/* Whether there is something in it; one without goes. */
static bool keeps_something(left_journal *of, const char *path)
{
    mw_str bytes = {of->data, of->length};
    bool some = journal_look(bytes, 0, of);
    if (some && of->saving.length > 0 && was_saved(of->saving)) {
        size_t behind = of->saving_end;
        of->saving = (mw_str){0};
        some = journal_look(bytes, behind, of);
    }
    bool bare = of->job.at == NULL && of->length < 1024 &&
                (of->length == 0 || !memchr(of->data, '\n', of->length));
    some = some && !bare; /* the head was being written: nothing was answered */
    if (!some && time(NULL) - of->when_s > (bare ? YOUNG_S : 0)) {
        unlink(path);
    }
    return some;
}

static mw_status look_at(void *context, const char *path, mw_str name)
{
    left_list *list = context;
    void *items = list->items;
    left_journal made = {0};
    (void)name;
    if (!read_left(path, &made)) {
        return MW_OK;
    }
    if (!keeps_something(&made, path)) {
        mw_memory_give(made.data);
        return MW_OK;
    }
    size_t length = strlen(path) + 1;
    made.path = mw_memory_get(length);
    if (!made.path ||
        !mw_memory_grow(&items, &list->capacity, list->count + 1, sizeof *list->items)) {
        mw_memory_give(made.path);
        mw_memory_give(made.data);
        return MW_NO_MEMORY;
    }
    memcpy(made.path, path, length);
    list->items = items;
    list->items[list->count++] = made;
    return MW_OK;
}

static int compare_left(const void *a, const void *b)
{
    const left_journal *one = a;
    const left_journal *other = b;
    return one->when_s != other->when_s
               ? (one->when_s < other->when_s) - (one->when_s > other->when_s)
               : strcmp(other->path, one->path);
}

mw_status journal_find(const char *folder, left_list *list)
{
    *list = (left_list){0};
    if (folder[0] == '\0') {
        return MW_OK;
    }
    mw_status status = mw_folder_each(folder, ".journal", look_at, list);
    if (list->count > 1) {
        qsort(list->items, list->count, sizeof *list->items, compare_left);
    }
    return status == MW_NO_MEMORY ? status : MW_OK;
}

void journal_list_free(left_list *list)
{
    for (size_t i = 0; i < list->count; i++) {
        mw_memory_give(list->items[i].path);
        mw_memory_give(list->items[i].data);
    }
    mw_memory_give(list->items);
    *list = (left_list){0};
}

bool journal_discard(const left_journal *left)
{
    return unlink(left->path) == 0 || errno == ENOENT;
}
