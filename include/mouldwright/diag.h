/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Diagnostics: what is wrong, where, and what to do, gathered in a sink; nothing is printed here. */
#ifndef MOULDWRIGHT_DIAG_H
#define MOULDWRIGHT_DIAG_H

#include "mouldwright/arena.h"
#include "mouldwright/source.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Every error and warning code: see codes.def, the one table that messages, help, JSON, docs and
 * tests share. */
typedef enum mw_code {
#define MW_CODE(id, word, title, advice) MW_CODE_##id,
#include "mouldwright/codes.def"
#undef MW_CODE
    MW_CODE_COUNT
} mw_code;

typedef struct mw_diag {
    mw_code code;
    bool warning;
    mw_span span;           /* the smallest piece that is wrong */
    const char *message;    /* in the user's words; owned by the sink */
    mw_span other;          /* a second place involved; other.source MW_NONE if none */
    const char *other_note; /* what that place is, NULL if none */
    const char *advice;     /* one thing to try, NULL if none */
    const char *extra;      /* more lines (a cycle's path ...), NULL if none */
} mw_diag;

/* What was reported of a source beyond the limit, and only counted. */
typedef struct mw_diag_rest {
    uint32_t source; /* MW_NONE: of all together */
    size_t count;
} mw_diag_rest;

typedef struct mw_diags {
    mw_arena *arena; /* owned */
    mw_diag *items;
    size_t count; /* errors and warnings kept */
    size_t capacity;
    size_t
        errors; /* errors reported, also those beyond the limit, and those that only repeat another */
    size_t warnings;
    size_t limit;   /* keep at most so many errors, and as many warnings; 10 from the start */
    bool no_memory; /* a diagnostic was lost for want of memory; counts as an error */
    bool
        by_file; /* the limit is for each source, of which the first in the order of the text are kept: for readers that
                   * go through a text more than once; see mw_diags_sort() */
    mw_diag_rest *rests;
    size_t rest_count, rest_capacity;
} mw_diags;

/* Makes an empty sink. MW_NO_MEMORY leaves it unusable but safe to free. */
mw_status mw_diags_start(mw_diags *diags) MW_MUST_USE;
/* Frees what the sink holds. A sink of {0} is allowed. */
void mw_diags_free(mw_diags *diags);
/* Forgets all that was gathered; the limit is for all sources together again. */
void mw_diags_clear(mw_diags *diags);
/* Puts what was gathered in order: source by source as they were read, each in the order of its text, what has no place
 * last. */
void mw_diags_sort(mw_diags *diags);

/* Adds an error. Returns it for attaching more (valid until the next is added), or NULL where it was
 * only counted, or the same is said of the same place already. Never fails otherwise: see `no_memory`. */
mw_diag *mw_diags_error(mw_diags *diags, mw_code code, mw_span span, const char *format, ...)
    MW_PRINTF(4, 5);
/* The same for a warning. */
mw_diag *mw_diags_warn(mw_diags *diags, mw_code code, mw_span span, const char *format, ...)
    MW_PRINTF(4, 5);
/* Attaches advice of its own, in place of the general advice of the code. Like the two below it takes
 * what the two above returned; a NULL diag is ignored. */
void mw_diag_try(mw_diags *diags, mw_diag *diag, const char *format, ...) MW_PRINTF(3, 4);
/* Attaches a second place and says what it is. */
void mw_diag_other(mw_diags *diags, mw_diag *diag, mw_span other, const char *format, ...)
    MW_PRINTF(4, 5);
/* Attaches more lines, behind those that are there. */
void mw_diag_extra(mw_diags *diags, mw_diag *diag, const char *format, ...) MW_PRINTF(3, 4);

/* Returns whether an error was reported (or lost for want of memory). */
bool mw_diags_bad(const mw_diags *diags);

/* Returns the stable short word of a code, such as `kind-mismatch`. A constant text, as the next. */
const char *mw_code_word(mw_code code);
/* Returns what is wrong in general. */
const char *mw_code_title(mw_code code);
/* Returns one thing to try. */
const char *mw_code_advice(mw_code code);

/* Writes one diagnostic for people: `file:line:col: error: ...`, the line, the underline in display
 * columns, other place (`file:line:col: see also: ...`), extra, `try:`, `see: help CODE-WORD`. Tabs
 * become blanks, control characters `?`, and a long line is shown in part. */
void mw_diag_render(const mw_diag *diag, const mw_sources *sources, mw_text *out);
/* Writes all of them and, past the limit, `and n more`; where the limit is for each file `and n more in FILE` behind what
 * is said of it. */
void mw_diags_render(const mw_diags *diags, const mw_sources *sources, mw_text *out);
/* Writes one as the JSON object {"error": {"code", "message", "file", "line", "column", "other",
 * "extra", "try"}} (or "warning"), without a line end. "other" is {"note", "file", "line", "column"}.
 * "other" and "extra" are left out where there is none; file, line and column are then null. */
void mw_diag_json(const mw_diag *diag, const mw_sources *sources, mw_text *out);

#ifdef __cplusplus
}
#endif

#endif
