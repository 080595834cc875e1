/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Telling the keeper of a change before it is made. Statements are told as they were said; an undo as such only where
 * the keeper's list holds the step that goes back, else as the text of the whole job. */
#include "saving.h"

void mw_job_keep(mw_job *job, const mw_keeper *keeper)
{
    job->keeping = (keeping){.keeper = keeper, .base = job->undo_at, .high = job->undo_at};
}

mw_str mw_job_file_text(const mw_job *job)
{
    return (mw_str){job->paper, job->paper_length};
}

static mw_status tell(mw_job *job, const mw_kept *kept, mw_diags *diags)
{
    const mw_keeper *keeper = job->keeping.keeper;
    return keeper ? keeper->keep(keeper->context, kept, diags) : MW_OK;
}

void keep_next(mw_job *job, mw_keep_kind kind, mw_str words)
{
    job->keeping.next = (mw_kept){.kind = kind, .words = words};
    job->keeping.pending = job->keeping.keeper != NULL;
}

mw_status keep_next_step(mw_job *job, bool back, const document *to, mw_diags *diags)
{
    keeping *of = &job->keeping;
    if (!of->keeper) {
        return MW_OK;
    }
    bool listed = back ? job->undo_at > of->base : job->undo_at < of->high;
    if (listed && !of->whole && !of->keeper->whole) {
        keep_next(job, back ? MW_KEEP_UNDO : MW_KEEP_REDO, (mw_str){0});
        return MW_OK;
    }
    mw_text text = {0};
    mw_status status = save_text_of(job, to, &text, diags);
    mw_str words = {0};
    if (status == MW_OK) {
        words = job_copy(job->scratch, (mw_str){mw_text_chars(&text), text.length});
        status = words.at ? MW_OK : MW_NO_MEMORY;
    }
    mw_text_free(&text);
    if (status == MW_OK) {
        keep_next(job, MW_KEEP_TEXT, words);
    }
    return status;
}

mw_status keep_now(mw_job *job, mw_diags *diags)
{
    keeping *of = &job->keeping;
    if (!of->pending) {
        return MW_OK;
    }
    mw_status status = tell(job, &of->next, diags);
    of->pending = false;
    of->told = status == MW_OK;
    return status;
}

void keep_take_back(mw_job *job)
{
    if (job->keeping.told) {
        mw_status status = tell(job, &(mw_kept){.kind = MW_KEEP_TAKE_BACK}, NULL);
        (void)status; /* what stays in the list is refused again when it is taken from there */
    }
    job->keeping.told = false;
}

void keep_end(mw_job *job, bool made)
{
    keeping *of = &job->keeping;
    if (made && of->told) {
        of->whole = of->whole || of->next.kind == MW_KEEP_TEXT;
        if (of->next.kind == MW_KEEP_SAY || of->next.kind == MW_KEEP_REVERT) {
            of->high = job->undo_at;
        }
    }
    of->pending = of->told = false;
}

void keep_saving(mw_job *job, const char *path, mw_str text)
{
    mw_status status =
        tell(job, &(mw_kept){.kind = MW_KEEP_SAVING, .words = text, .path = path}, NULL);
    (void)status; /* a save must not fail for want of a journal */
}

void keep_saved(mw_job *job)
{
    keeping *of = &job->keeping;
    mw_status status = tell(job, &(mw_kept){.kind = MW_KEEP_SAVED}, NULL);
    (void)status;
    of->base = of->high = job->undo_at;
    of->whole = false;
}
