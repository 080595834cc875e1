/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What can stand at the cursor: a function of line and cursor, without a terminal. */
#ifndef MW_CLI_COMPLETE_H
#define MW_CLI_COMPLETE_H

#include "mouldwright/job.h"

/* Something that fits. */
typedef struct candidate {
    mw_str text; /* the whole word, as it would stand from `from` on */
    const char
        *ending; /* what follows it when it is the only one: ".", " ", "\"" ...; never NULL */
} candidate;

/* All that fits, in order, each once. */
typedef struct completion {
    mw_arena *arena;
    candidate *items;
    size_t count, capacity;
    size_t from;   /* the byte of the line at which the word begins */
    mw_str stem;   /* the word as far as it is typed */
    size_t shared; /* bytes that all have in common, at least those of the stem */
    bool lost;     /* no memory for all of it */
} completion;

/* Where names come from. */
typedef struct complete_from {
    mw_job *job;
    const char *const *folders; /* of recipes, "" for the job's own */
    size_t folder_count;
} complete_from;

/* Finds what fits at `cursor` (a byte) of `line`. Free with completion_free(). */
mw_status cli_complete(const complete_from *from, mw_str line, size_t cursor,
                       completion *out) MW_MUST_USE;
void completion_free(completion *found);

/* -- between the files of completion -- */
/* Offers a word: taken when it begins with the stem and is not there yet. */
void completion_offer(completion *to, mw_str text, const char *ending);
/* Offers the files and folders that begin as the stem does, from the job's folder on. `suffixes` is a list ended by NULL
 * (empty: all files). */
void completion_files(completion *to, const char *job_path, const char *const *suffixes);
/* Offers the shops of the folders. */
void completion_shops(completion *to, const complete_from *from);

/* Where the cursor stands. */
typedef enum place_kind {
    PLACE_NOTHING,   /* nothing can be offered */
    PLACE_STATEMENT, /* the first word */
    PLACE_FORMULA,   /* a name in a formula */
    PLACE_UNIT,      /* behind a number or `as` */
    PLACE_MOULD,     /* the name of a mould */
    PLACE_DROP,      /* a mould or a line */
    PLACE_SETTABLE,  /* a path behind `what if`, `restore` */
    PLACE_FIELD,     /* an input in a mould's line */
    PLACE_HELP,      /* a word with a page */
    PLACE_SHOP,      /* inside quotes ... */
    PLACE_RECIPE,
    PLACE_MATERIAL,
    PLACE_JOB_FILE,
    PLACE_CSV_FILE
} place_kind;

typedef struct place_at {
    place_kind kind;
    size_t from;   /* where the word begins */
    mw_str before; /* the path in front of the last dot, without the dot; or empty */
    mw_str recipe; /* FIELD: the recipe named in the line, or empty */
    bool open_end; /* no closing quote stands behind the cursor */
} place_at;

/* Says where byte `cursor` of a line stands. */
place_at complete_place(mw_str line, size_t cursor);

#endif
