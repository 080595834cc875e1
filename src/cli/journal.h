/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The journal: what a session changes is written down before it is answered, one file a session, so that a session that
 * was cut off can be taken back. The file is locked while its session lives, and goes once nothing is unsaved.
 *
 * A file is a list of records, `KIND LENGTH CHECKSUM`, a line end, LENGTH bytes, a line end. The first is `job`. What
 * stands behind the last whole record was being written when the session was cut off. */
#ifndef MW_CLI_JOURNAL_H
#define MW_CLI_JOURNAL_H

#include <stdint.h>
#include <sys/types.h>

#include "mouldwright/keeper.h"

typedef enum record_kind {
    RECORD_JOB, /* lines: the job file's real path (empty: none), hash of its content, seconds, version, folder */
    RECORD_SAY, /* a statement */
    RECORD_UNDO,
    RECORD_REDO,
    RECORD_TEXT,   /* the job is as this text says */
    RECORD_REVERT, /* the job is as its file says: hash of its content */
    RECORD_SAVING, /* the file is being replaced: its real path, hash of the new content */
    RECORD_SAVED,  /* it was */
    RECORD_KINDS
} record_kind;

typedef struct record {
    record_kind kind;
    mw_str words; /* lies in what was read */
} record;

/* ---- journal_record.c ---- */

/* Adds a record to a text. */
void record_write(record_kind kind, mw_str words, mw_text *out);
/* Reads the record at `*at` and goes behind it; false: the end, or what is no whole record (`*at` stays). */
bool record_read(mw_str bytes, size_t *at, record *out);
/* Takes a line off the front of a record's words. */
mw_str record_line(mw_str *words);

/* ---- journal.c: that of this session ---- */

typedef struct journal {
    mw_text folder; /* of the journals; empty: there is none */
    mw_text path;   /* of the open one */
    int file;       /* -1: none */
    off_t length;   /* up to which it is whole */
    off_t before;   /* the same before the newest record */
    bool live;      /* changes of this session are written */
    bool playing;   /* what is told comes from the journal itself */
    bool grouped;   /* several statements are flushed together */
    bool unflushed;
    mw_job *job;
    mw_keeper keeper;
} journal;

/* Makes the journal the keeper of a job; `live`: changes are written from now on. */
void journal_start(journal *of, mw_job *job, bool live);
/* Closes it. `remove`: nothing is left to be taken back. */
void journal_end(journal *of, bool remove);
/* Between these two, statements are made safe against a power cut together; false: they could not be (errno). */
void journal_group(journal *of);
bool journal_flush(journal *of);

/* Lets go of the file, which stays. */
void journal_release(journal *of);
/* Writes down anew which file, as it is now, the records behind this go on from. */
bool journal_note_job(journal *of);

/* Adds the real path of a file, that of its folder where it is not there (yet). */
void journal_real_path(const char *path, mw_text *out);
/* The hash of a text as it is written into records. */
void journal_hash(mw_str text, mw_text *out);

/* ---- journal_find.c: those that other sessions have left ---- */

typedef struct left_journal {
    char *path; /* of the journal; owned, as the next */
    char *data; /* what it holds */
    size_t length;
    mw_str job;    /* real path of the job's file; empty: it had none */
    mw_str folder; /* in which the session ran */
    mw_str hash;   /* of the file's content that the records go on from */
    mw_str rest;   /* the records that are not saved yet */
    mw_str saving; /* words of a save of which it is not known whether it was made; else empty */
    size_t saving_end; /* behind that record */
    int64_t when_s;    /* of the newest record */
    size_t count;      /* changes in force */
    bool damaged;      /* something behind the records cannot be read, or all of it */
} left_journal;

typedef struct left_list {
    left_journal *items; /* the newest first */
    size_t count, capacity;
} left_list;

/* Looks at a journal's bytes from an offset on (0: its begin); what `out` points to lies in them. False: there is
 * nothing in it to take back. */
bool journal_look(mw_str bytes, size_t from, left_journal *out);
/* Finds what ended sessions have left in a folder, and removes journals in which nothing is left. */
mw_status journal_find(const char *folder, left_list *list);
void journal_list_free(left_list *list);
/* Locks the journal and makes it that of this session, which goes on in it; false: another session was faster, or it
 * cannot be opened (errno). */
bool journal_adopt(journal *of, const left_journal *left);
/* Removes one for good; false: errno. */
bool journal_discard(const left_journal *left);

#endif
