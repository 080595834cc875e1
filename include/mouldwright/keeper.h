/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Somebody who writes down what becomes of a job before it becomes so: a journal from which a session that was cut off
 * can be taken back. */
#ifndef MOULDWRIGHT_KEEPER_H
#define MOULDWRIGHT_KEEPER_H

#include "mouldwright/job.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum mw_keep_kind {
    MW_KEEP_SAY, /* a statement: its words */
    MW_KEEP_UNDO, /* the newest step goes back; only of steps kept since the keeper began or the last save */
    MW_KEEP_REDO, /* the other way, likewise */
    MW_KEEP_TEXT, /* the job is as a file with these words would say: where no statement can say it */
    MW_KEEP_REVERT,    /* the job goes back to its file, which holds these words */
    MW_KEEP_TAKE_BACK, /* what was kept last was not done after all */
    MW_KEEP_SAVING,    /* the file `path` is about to be replaced by these words */
    MW_KEEP_SAVED /* the job is as its file says: what was kept so far is not needed any more */
} mw_keep_kind;

typedef struct mw_kept {
    mw_keep_kind kind;
    mw_str words;     /* lent for the call */
    const char *path; /* SAVING: the file; else NULL */
} mw_kept;

typedef struct mw_keeper {
    /* Called before the job changes. MW_FAILED (diagnosed) and MW_NO_MEMORY refuse the change, which is then not made;
     * for TAKE_BACK, SAVING and SAVED what is returned is not looked at. */
    mw_status (*keep)(void *context, const mw_kept *kept, mw_diags *diags);
    void *context;
    bool
        whole; /* undo and redo are told as TEXT, too: their steps are not all in the keeper's list */
} mw_keeper;

/* From now on `keeper` (lent until the next call; NULL: nobody) is told. Steps made before are told as TEXT when they are
 * undone. */
void mw_job_keep(mw_job *job, const mw_keeper *keeper);

/* Makes the job what a file with this text would say, as one step that can be undone: for what was kept as TEXT.
 * MW_FAILED: diagnosed, the job is unchanged. */
mw_status mw_job_take_text(mw_job *job, mw_str text, mw_reply *reply, mw_diags *diags) MW_MUST_USE;

/* The bytes of the job's file as it was read or saved last; empty where there is none. Valid until the next save. */
mw_str mw_job_file_text(const mw_job *job);

#ifdef __cplusplus
}
#endif

#endif
