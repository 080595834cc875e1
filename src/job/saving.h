/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Saving inside: the lines of the file, what differs from them, where new ones go, the patched text. */
#ifndef MW_JOB_SAVING_H
#define MW_JOB_SAVING_H

#include "parts.h"

/* ---- what was changed: patch_changes.c ---- */

typedef enum change_kind { CHANGE_NEW, CHANGE_SET, CHANGE_GONE } change_kind;

/* A line of the job's own file that is to come, to differ or to go. */
typedef struct line_change {
    change_kind kind;
    mw_str key;          /* of the entry; of an import: its path */
    const entry *before; /* SET, GONE */
    const entry *after;  /* NEW, SET */
    const import *file;  /* the line names a file; or the name is taken out of this one */
    bool take_out;       /* the line is `drop` or `restore` */
    uint32_t at;         /* NEW, SET of an entry: its place in the document */
} line_change;

typedef struct change_list {
    line_change *items;
    uint32_t count, capacity;
} change_list;

/* Finds what differs from one document to another, in the order of the second; what is gone comes first. */
mw_status changes_find(const mw_job *job, const document *from, const document *to,
                       change_list *list);
void change_list_free(change_list *list);
/* Whether two entries say the same, byte by byte. */
bool entry_same(const mw_job *job, const entry *a, const entry *b);
/* Adds the line that a change is about, as it is said. */
void change_words(const mw_job *job, const line_change *change, mw_text *out);

/* ---- the lines of a file: patch_read.c ---- */

typedef enum line_kind {
    LINE_BLANK,
    LINE_COMMENT,
    LINE_ASK, /* shows something */
    LINE_SHOP,
    LINE_START,
    LINE_INCLUDE,
    LINE_MOULD,
    LINE_LIST,
    LINE_OVERRIDE,
    LINE_OWN, /* NAME = FORMULA */
    LINE_ALTERNATIVE,
    LINE_TAKE_OUT
} line_kind;

/* A statement of the file, or a new one. */
typedef struct paper_line {
    line_kind kind;
    mw_str key;  /* of the entry; INCLUDE, LIST: the path as it is opened; TAKE_OUT: `set ...` */
    mw_str head; /* OVERRIDE: what stands before the first point; MOULD: the name */
    const entry *item;   /* of the file */
    mw_span statement;   /* the same, without comment */
    mw_span name;        /* INCLUDE, LIST */
    uint32_t begin, end; /* bytes, the line end included */
    uint32_t end_length; /* of the line end: 0, 1 or 2 */
    const char *text;    /* of a new line; NULL: one of the file */
} paper_line;

typedef struct paper {
    uint32_t source;
    mw_str text;
    paper_line *lines;
    uint32_t count, capacity;
} paper;

/* Reads a source into lines; MW_FAILED: diagnosed. Entries are taken from the job's arena. */
mw_status paper_read(mw_job *job, uint32_t source, paper *out, mw_diags *diags);
void paper_free(paper *of);

/* ---- patch_place.c ---- */
/* Puts a new line where a person would; MW_NO_MEMORY. */
mw_status paper_put(mw_job *job, paper *on, const document *to, const line_change *change,
                    paper_line line);
mw_status paper_insert(paper *on, uint32_t at, const paper_line *line);

/* ---- patch.c ---- */
/* Writes the file with the changes made in it. */
mw_status patch_write(mw_job *job, paper *on, const document *to, const change_list *changes,
                      mw_text *out);
/* Whether a file says what a document says. */
bool patch_holds(const mw_job *job, const paper *on, const document *want);

/* ---- save_difference.c ---- */
/* Adds the lines that differ between two texts, at most `most`: `-` as it was, `+` as it is. */
mw_status difference_words(mw_str was, mw_str is, uint32_t most, mw_text *out);

/* -- save.c -- */
/* Adds the text that a file would have that says what a document says. */
mw_status save_text_of(mw_job *job, const document *want, mw_text *out, mw_diags *diags);

/* -- save_where.c -- */
/* Whether a path leads to the job's own file. */
bool save_same_file(const mw_job *job, const char *path);
/* Whether the job can be saved in the folder of a path, and read from there. */
mw_status save_check_folder(mw_job *job, const char *path, mw_diags *diags);

#endif
