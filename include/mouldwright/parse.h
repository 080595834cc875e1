/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading: text to syntax trees. The grammar stands in docs/language.md. */
#ifndef MOULDWRIGHT_PARSE_H
#define MOULDWRIGHT_PARSE_H

#include "mouldwright/ast.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum mw_statement_kind {
    MW_SAY_NOTHING,     /* blank or comment */
    MW_SAY_SHOW,        /* FORMULA */
    MW_SAY_SET,         /* PATH = FORMULA: a line (one part) or an override (more parts) */
    MW_SAY_SHOP,        /* shop "NAME" */
    MW_SAY_START,       /* start DATE */
    MW_SAY_MOULD,       /* mould NAME: FIELD VALUE, ... */
    MW_SAY_MOULDS_FROM, /* moulds from "FILE.csv" */
    MW_SAY_INCLUDE,     /* include "FILE" */
    MW_SAY_RESTORE,     /* restore PATH */
    MW_SAY_WHAT_IF,     /* what if PATH = F, F ... [with|by PATH = F, F ...] [show PATH, ...] */
    MW_SAY_ALTERNATIVE, /* alternative NAME: PATH = F [with PATH = F ...] */
    MW_SAY_WEIGH, /* weigh [most] PATH against [most] PATH over PATH = F, F ... [with|by ...] */
    MW_SAY_WHY,   /* why FORMULA */
    MW_SAY_DROP,  /* drop NAME: takes a mould or a line out of the job */
    MW_SAY_COPY_MOULD, /* copy mould NAME as NAME [: FIELD VALUE, ...] */
    MW_SAY_COPY_JOB,   /* copy job as "FILE" [: start DATE] */
    MW_SAY_NEW,        /* new "FILE" [: FIELD VALUE, ...] */
    MW_SAY_BALLPARK,   /* ballpark FIELD VALUE, ... */
    MW_SAY_COMMAND /* WORD [ARGUMENT ...]: reports and session commands, see mw_command_rows() */
} mw_statement_kind;

typedef struct mw_statement {
    mw_statement_kind kind;
    mw_span span;     /* without comment and blanks around */
    uint32_t path;    /* node: SET, RESTORE, DROP; MW_NONE else */
    uint32_t formula; /* root node: SHOW, SET, START, WHY; MW_NONE else */
    mw_span formula_span;
    mw_span
        name; /* MOULD, COPY_MOULD, ALTERNATIVE: its name; SHOP, INCLUDE, MOULDS_FROM, COPY_JOB, NEW: the text inside
                             the quotes; COMMAND, BALLPARK: the word */
    mw_span
        rest; /* COMMAND: what follows the word, may be empty; COPY_MOULD: the mould that is copied */
    uint32_t
        first_item; /* fields of MOULD, COPY_MOULD, COPY_JOB, NEW, BALLPARK; settings and what is shown of WHAT_IF,
                       ALTERNATIVE, WEIGH: in ast->items */
    uint32_t item_count;
} mw_statement;

/* A command word with its help: the one table for dispatch, help and completion. */
typedef struct mw_command_row {
    const char *word;
    const char *syntax;  /* `hours [MOULD]` */
    const char *about;   /* one sentence */
    const char *example; /* a statement, or NULL */
    bool report;         /* one of the reports: can be followed by a mould's name */
    bool free; /* any text may follow, also one that looks like a formula: `save ../b.job` */
    const char *group; /* the head under which the overview of help shows it */
} mw_command_row;

/* Returns the table, ended by a row with word NULL. Words: moulds takeoff hours waits calendar cost
 * cautions (reports), risk find compare recipes materials shop lines steps alternatives (lists), keep undo redo save
 * revert changes decimal help quit. */
const mw_command_row *mw_command_rows(void);

/* Returns the rows of the statements that have a kind of their own (mould, what if, why ...), ended as
 * above; for help and completion. */
const mw_command_row *mw_statement_rows(void);

/* What reading needs. The tree is not cleared first; units may be interned in the measure context. */
typedef struct mw_reader {
    mw_ast *ast;
    mw_measure *measure;
    const mw_sources *sources;
    mw_diags *diags;
} mw_reader;

/* Reads one formula from `span` of a source. On MW_OK `*root` is its root node in the tree. MW_FAILED:
 * diagnostics were added (several where reading can go on). Brackets, signs, `not` and `if` may stand
 * 200 deep in each other; a formula may have 64 KiB, a name 255 bytes. */
mw_status mw_parse_formula(const mw_reader *reader, mw_span span, uint32_t *root) MW_MUST_USE;

/* Reads one statement from `span`; as above. */
mw_status mw_parse_statement(const mw_reader *reader, mw_span span,
                             mw_statement *statement) MW_MUST_USE;

/* Finds the next logical line of a source from byte `*at` on: `*span` is it without line end; `*at` moves
 * behind it. A line that ends in a backslash goes on in the next; so does one with an open bracket, but
 * not over a blank line, one that begins with `PATH =`, or one that would put two values side by side: a
 * bracket forgotten in one line shall not swallow the file. CR LF and LF both end lines. Returns false at the end of the text. */
bool mw_next_line(const mw_sources *sources, uint32_t source, uint32_t *at, mw_span *span);

/* Whether a typed text is a whole statement, or more lines are needed (open bracket, backslash). An empty
 * last line makes it whole. */
bool mw_line_complete(mw_str text);

/* Whether a text is a name: a letter or `_`, then letters, digits, `_`; any letters of Unicode; not a
 * reserved word (if then else and or not as yes no usual). */
bool mw_is_name(mw_str text);

/* Writes a tree back as text that reads to the same tree (canonical blanks, needed brackets only). */
void mw_ast_words(const mw_ast *ast, const mw_measure *measure, uint32_t root, mw_text *out);

#ifdef __cplusplus
}
#endif

#endif
