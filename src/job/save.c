/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Saving: the file is read again and compared, patched, the patch read back, and the file replaced in one step. */
#include "saving.h"

#include <stdlib.h>
#include <string.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"

#define FILE_LIMIT       ((size_t)64 << 20)
#define DIFFERENCE_LINES 10

mw_status save_keep_paper(mw_job *job, mw_str text)
{
    char *copy = mw_memory_resize(NULL, text.length + 1);
    if (!copy) {
        return MW_NO_MEMORY;
    }
    if (text.length > 0) {
        memcpy(copy, text.at, text.length);
    }
    mw_memory_give(job->paper);
    job->paper = copy;
    job->paper_length = text.length;
    return MW_OK;
}

/* One attempt to save. */
typedef struct saving {
    mw_job *job;
    const char *path;
    bool elsewhere; /* not the job's own file */
    mw_save_mode mode;
    change_list changes;
    char *theirs; /* the file as it stands, where it is not as it was read; owned */
    size_t theirs_length;
    mw_text made;
    mw_save_reply *reply;
    mw_diags *diags;
} saving;

static mw_span nowhere(void)
{
    return job_nowhere();
}

static mw_status refuse_write(saving *on)
{
    mw_diag *diag = mw_diags_error(on->diags, MW_CODE_CANNOT_WRITE, nowhere(),
                                   "`%s` cannot be written: %s; the file is as it was", on->path,
                                   strerror(errno));
    mw_diag_try(on->diags, diag, "check free space and permissions, or: save \"elsewhere.job\"");
    return MW_FAILED;
}

/* Reads what stands in the file now. */
static mw_status look_at_file(saving *on, bool *there)
{
    mw_status status = mw_file_read(on->path, FILE_LIMIT, &on->theirs, &on->theirs_length);
    *there = status == MW_OK;
    if (status == MW_IO && errno != ENOENT) {
        int error = errno;
        mw_diags_error(on->diags, MW_CODE_CANNOT_READ, nowhere(),
                       "`%s` cannot be read before it is written: %s", on->path, strerror(error));
        return MW_FAILED;
    }
    return status == MW_IO ? MW_OK : status;
}

static bool as_read(const saving *on)
{
    return on->theirs_length == on->job->paper_length &&
           memcmp(on->theirs, on->job->paper, on->theirs_length) == 0;
}

static mw_status refuse_changed(saving *on, bool there)
{
    mw_diag *diag = mw_diags_error(
        on->diags, MW_CODE_CHANGED_MEANWHILE, nowhere(),
        there ? "`%s` was changed by somebody else since it was read; nothing is saved"
              : "`%s` is not there any more; nothing is saved",
        on->path);
    mw_text words = {0};
    mw_status status = MW_OK;
    if (there) {
        mw_str was = {on->job->paper, on->job->paper_length};
        mw_str is = {on->theirs, on->theirs_length};
        status = difference_words(was, is, DIFFERENCE_LINES, &words);
        if (words.length > 0) {
            words.data[words.length - 1] = '\0'; /* the line end comes with the message */
        }
        mw_diag_extra(on->diags, diag, "%s", mw_text_chars(&words));
    }
    mw_diag_try(on->diags, diag,
                there ? "save both (yours put into theirs), or: save over (theirs is lost)"
                      : "save over");
    mw_text_free(&words);
    return status == MW_OK ? MW_FAILED : status;
}

/* Whether the file may be written as it is found. */
static mw_status check_file(saving *on)
{
    bool there = false;
    mw_status status = look_at_file(on, &there);
    if (status != MW_OK || on->mode == MW_SAVE_OVER) {
        return status;
    }
    if (on->elsewhere) {
        if (there) {
            mw_diag *diag = mw_diags_error(on->diags, MW_CODE_FILE_EXISTS, nowhere(),
                                           "`%s` is there already; nothing is saved", on->path);
            mw_diag_try(on->diags, diag, "save over \"%s\", or another name", on->path);
            return MW_FAILED;
        }
        return MW_OK;
    }
    if (there && (as_read(on) || on->mode == MW_SAVE_BOTH)) {
        return MW_OK;
    }
    return refuse_changed(on, there);
}

/* ---- patching ---- */

/* Adds a text as a source under the file's name and reads its lines. */
static mw_status read_text(saving *on, mw_str text, paper *out)
{
    uint32_t source = mw_sources_add(on->job->sources, mw_str_of(on->path), text);
    if (source == MW_NONE) {
        return MW_NO_MEMORY;
    }
    return paper_read(on->job, source, out, on->diags);
}

/* The text that is to be written is read back: it must say what the job says. */
static mw_status prove(saving *on, const document *want)
{
    paper back;
    mw_status status = read_text(on, (mw_str){mw_text_chars(&on->made), on->made.length}, &back);
    if (status != MW_OK) {
        return status;
    }
    bool holds = patch_holds(on->job, &back, want);
    mw_sources_drop_last(on->job->sources, back.source);
    paper_free(&back);
    if (!holds) {
        mw_diag *diag = mw_diags_error(on->diags, MW_CODE_INTERNAL, nowhere(),
                                       "the changes cannot be put into `%s` so that it says the "
                                       "same; nothing is saved",
                                       on->path);
        mw_diag_try(on->diags, diag, "copy the list of `changes` into the file with an editor");
    }
    return holds ? MW_OK : MW_FAILED;
}

static mw_status patch_text(saving *on, mw_str text, const document *want)
{
    paper base;
    mw_status status = read_text(on, text, &base);
    if (status != MW_OK) {
        return status;
    }
    status = patch_write(on->job, &base, want, &on->changes, &on->made);
    mw_sources_drop_last(on->job->sources, base.source);
    paper_free(&base);
    return status;
}

static void free_saving(saving *on)
{
    change_list_free(&on->changes);
    mw_memory_give(on->theirs);
    mw_text_free(&on->made);
}

mw_status save_text_of(mw_job *job, const document *want, mw_text *out, mw_diags *diags)
{
    saving on = {.job = job, .path = job->path ? job->path : "<job>", .diags = diags};
    mw_status status = changes_find(job, &job->saved, want, &on.changes);
    if (status == MW_OK) {
        status = patch_text(&on, mw_job_file_text(job), want);
    }
    mw_text_add(out, mw_text_chars(&on.made), on.made.length);
    free_saving(&on);
    return status == MW_OK && out->failed ? MW_NO_MEMORY : status;
}

/* ---- both: theirs with ours put in ---- */

static mw_status refuse_conflict(saving *on, const line_change *ours)
{
    mw_text words = {0};
    change_words(on->job, ours, &words);
    mw_diag *diag =
        mw_diags_error(on->diags, MW_CODE_CHANGED_MEANWHILE, nowhere(),
                       "both you and somebody else changed this: `%s`", mw_text_chars(&words));
    mw_diag_try(on->diags, diag, "undo yours, or: save over (theirs is lost)");
    mw_text_free(&words);
    return MW_FAILED;
}

/* What both changed must have come out the same. */
static mw_status check_conflicts(saving *on, const change_list *theirs)
{
    for (uint32_t i = 0; i < on->changes.count; i++) {
        const line_change *ours = &on->changes.items[i];
        for (uint32_t k = 0; k < theirs->count; k++) {
            const line_change *other = &theirs->items[k];
            bool same =
                (ours->kind == CHANGE_GONE && other->kind == CHANGE_GONE) ||
                (ours->after && other->after && entry_same(on->job, ours->after, other->after));
            if (mw_str_equal(ours->key, other->key) && !same) {
                return refuse_conflict(on, ours);
            }
        }
    }
    return MW_OK;
}

static mw_status load_text(saving *on, mw_str text, document *out)
{
    mw_job *job = on->job;
    uint32_t source = mw_sources_add(job->sources, mw_str_of(on->path), text);
    size_t asks = job->ask_count;
    entry_list list = {0};
    mw_status status =
        source == MW_NONE ? MW_NO_MEMORY : document_read(job, source, &list, on->diags);
    if (status == MW_OK) {
        status = document_of_list(job, &list, out);
    }
    entry_list_free(&list);
    job->ask_count = asks;
    return status;
}

static mw_status join_both(saving *on, document *joined)
{
    mw_str theirs = {on->theirs, on->theirs_length};
    document other = {0};
    change_list changed = {0};
    mw_status status = load_text(on, theirs, &other);
    if (status == MW_OK) {
        status = changes_find(on->job, &on->job->saved, &other, &changed);
    }
    if (status == MW_OK) {
        status = check_conflicts(on, &changed);
    }
    change_list_free(&changed);
    if (status == MW_OK) {
        status = patch_text(on, theirs, &on->job->build->document);
    }
    if (status == MW_OK) {
        status = load_text(on, (mw_str){mw_text_chars(&on->made), on->made.length}, joined);
    }
    return status;
}

/* ---- writing ---- */

/* Whether the file holds the new text all the same: only making that last has failed then. Keeps errno. */
static bool stands_there(const saving *on, mw_str text)
{
    int error = errno;
    char *data = NULL;
    size_t length = 0;
    bool same = mw_file_read(on->path, FILE_LIMIT, &data, &length) == MW_OK &&
                mw_str_equal((mw_str){data, length}, text);
    mw_memory_give(data);
    errno = error;
    return same;
}

static void warn_unflushed(saving *on)
{
    mw_diag *diag = mw_diags_warn(on->diags, MW_CODE_CANNOT_WRITE, nowhere(),
                                  "`%s` is written, but may not outlast a power cut: %s", on->path,
                                  strerror(errno));
    mw_diag_try(on->diags, diag, "look at the disk; a copy elsewhere is safe: save \"FILE\"");
}

static mw_status write_file(saving *on)
{
    mw_str text = {mw_text_chars(&on->made), on->made.length};
    char *path = mw_arena_copy(on->job->arena, on->path, strlen(on->path));
    char *kept = mw_memory_resize(NULL, text.length + 1);
    if (!path || !kept) {
        mw_memory_give(kept);
        return MW_NO_MEMORY;
    }
    memcpy(kept, text.at, text.length);
    keep_saving(on->job, on->path, text);
    mw_status status = mw_file_replace(on->path, text);
    if (status == MW_IO && stands_there(on, text)) {
        warn_unflushed(on);
        status = MW_OK;
    }
    if (status != MW_OK) {
        mw_memory_give(kept);
        return status == MW_IO ? refuse_write(on) : status;
    }
    mw_memory_give(on->job->paper);
    on->job->paper = kept;
    on->job->paper_length = text.length;
    on->job->path = path;
    on->job->saved = on->job->build->document;
    on->reply->written = true;
    return MW_OK;
}

static mw_status write_both(saving *on)
{
    document joined;
    mw_status status = join_both(on, &joined);
    if (status == MW_OK) {
        status = job_move(on->job, &joined, &on->reply->change, on->diags);
    }
    if (status != MW_OK) {
        return status;
    }
    on->reply->joined = true;
    status = write_file(on);
    if (status != MW_OK) {
        job_move_back(on->job);
        on->reply->joined = false;
    }
    return status;
}

static mw_status run(saving *on)
{
    mw_job *job = on->job;
    mw_status status = check_file(on);
    if (status == MW_OK) {
        status = changes_find(job, &job->saved, &job->build->document, &on->changes);
    }
    if (status != MW_OK) {
        return status;
    }
    on->reply->count = on->changes.count;
    bool known = on->theirs && as_read(on);
    if (!on->elsewhere && known && on->changes.count == 0) {
        job->saved = job->build->document;
        return MW_OK; /* nothing to write */
    }
    if (on->mode == MW_SAVE_BOTH && on->theirs && !known) {
        return write_both(on);
    }
    status = patch_text(on, (mw_str){job->paper ? job->paper : "", job->paper_length},
                        &job->build->document);
    if (status == MW_OK) {
        status = prove(on, &job->build->document);
    }
    return status == MW_OK ? write_file(on) : status;
}

static mw_status refuse_nameless(mw_diags *diags)
{
    mw_diag *diag = mw_diags_error(diags, MW_CODE_NO_FILE, nowhere(),
                                   "this job has no file yet: say where it shall be saved");
    mw_diag_try(diags, diag, "save \"name.job\"");
    return MW_FAILED;
}

mw_status mw_job_save(mw_job *job, const char *path, mw_save_mode mode, mw_save_reply *reply,
                      mw_diags *diags)
{
    memset(reply, 0, sizeof *reply);
    if (!path && !job->path) {
        return refuse_nameless(diags);
    }
    saving on = {.job = job,
                 .path = path ? path : job->path,
                 .elsewhere = path && !save_same_file(job, path),
                 .mode = mode,
                 .reply = reply,
                 .diags = diags};
    mw_status status = on.elsewhere ? save_check_folder(job, path, diags) : MW_OK;
    if (status == MW_OK) {
        status = run(&on);
    }
    if (status == MW_OK) {
        keep_saved(job);
    }
    reply->path = job->path;
    free_saving(&on);
    return status;
}

/* ---- what is not saved yet; going back ---- */

mw_status mw_job_unsaved(mw_job *job, const mw_unsaved **list, uint32_t *count)
{
    change_list changes = {0};
    mw_status status = changes_find(job, &job->saved, &job->build->document, &changes);
    mw_unsaved *made =
        status == MW_OK ? mw_arena_get(job->scratch, (changes.count + 1) * sizeof *made) : NULL;
    status = made ? MW_OK : MW_NO_MEMORY;
    for (uint32_t i = 0; status == MW_OK && i < changes.count; i++) {
        const line_change *change = &changes.items[i];
        mw_text words = {0};
        change_words(job, change, &words);
        made[i].kind = change->kind == CHANGE_NEW   ? MW_UNSAVED_NEW
                       : change->kind == CHANGE_SET ? MW_UNSAVED_SET
                                                    : MW_UNSAVED_GONE;
        made[i].words = job_copy(job->scratch, (mw_str){mw_text_chars(&words), words.length});
        if (change->kind == CHANGE_SET) {
            made[i].before = mw_sources_piece(job->sources, change->before->span);
        }
        status = words.failed || !made[i].words.at ? MW_NO_MEMORY : MW_OK;
        mw_text_free(&words);
    }
    *list = made;
    *count = status == MW_OK ? changes.count : 0;
    change_list_free(&changes);
    return status;
}

/* Makes the job what its file says, told to the keeper as `kind`. */
static mw_status go_to_text(saving *on, const document *to, const mw_kept *as, mw_reply *reply)
{
    keep_next(on->job, as->kind, as->words);
    return job_move(on->job, to, reply, on->diags);
}

static mw_status revert_to(saving *on, mw_reply *reply)
{
    mw_job *job = on->job;
    mw_str text = {on->theirs, on->theirs_length};
    bool known = as_read(on);
    document to = job->saved;
    char *kept = known ? NULL : mw_memory_resize(NULL, text.length + 1);
    mw_status status = known || kept ? MW_OK : MW_NO_MEMORY;
    if (status == MW_OK && !known) {
        memcpy(kept, text.at, text.length + 1); /* read with a NUL behind it */
        status = load_text(on, text, &to);
    }
    if (status == MW_OK) {
        status = go_to_text(on, &to, &(mw_kept){.kind = MW_KEEP_REVERT, .words = text}, reply);
    }
    if (status != MW_OK) {
        mw_memory_give(kept);
        return status;
    }
    if (!known) {
        mw_memory_give(job->paper);
        job->paper = kept;
        job->paper_length = text.length;
    }
    job->saved = job->build->document;
    return MW_OK;
}

mw_status mw_job_revert(mw_job *job, mw_reply *reply, mw_diags *diags)
{
    memset(reply, 0, sizeof *reply);
    if (!job->path) {
        return refuse_nameless(diags);
    }
    saving on = {.job = job, .path = job->path, .diags = diags};
    bool there = false;
    mw_status status = look_at_file(&on, &there);
    if (status == MW_OK) {
        status = there ? revert_to(&on, reply) : refuse_changed(&on, false);
    }
    free_saving(&on);
    return status;
}

mw_status mw_job_take_text(mw_job *job, mw_str text, mw_reply *reply, mw_diags *diags)
{
    memset(reply, 0, sizeof *reply);
    saving on = {.job = job, .path = job->path ? job->path : "<job>", .diags = diags};
    document to;
    mw_status status = load_text(&on, text, &to);
    if (status == MW_OK) {
        status = go_to_text(&on, &to, &(mw_kept){.kind = MW_KEEP_TEXT, .words = text}, reply);
    }
    return status;
}
