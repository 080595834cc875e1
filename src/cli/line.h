/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A line typed at a terminal, with editing, completion and recall. */
#ifndef MW_CLI_LINE_H
#define MW_CLI_LINE_H

#include "complete.h"

typedef enum line_result {
    LINE_GIVEN,   /* a statement, with its lines */
    LINE_DROPPED, /* Ctrl-C */
    LINE_END      /* Ctrl-D, or the terminal is gone */
} line_result;

/* What the reader asks for while a line is typed. */
typedef struct line_owner {
    /* Finds what fits at the cursor. The line is lent. */
    mw_status (*complete)(void *context, mw_str line, size_t cursor, completion *out);
    /* Whether a text is a whole statement. */
    bool (*whole)(mw_str text);
    void *context;
    bool ascii; /* nothing beyond ASCII is drawn */
} line_owner;

/* Gets ready; `owner` must outlive the last line. */
void line_start(const line_owner *owner);
/* Gives back what was held. */
void line_end(void);
/* Adds an entry to those that the arrow keys bring back. */
void line_remember(mw_str entry);
/* Reads a statement: more lines while it is not whole. A pasted block is one. */
line_result line_read(const char *prompt, mw_text *out);

#endif
