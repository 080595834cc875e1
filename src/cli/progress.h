/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Work that may take long: shown while it runs, and stopped by Ctrl-C. */
#ifndef MW_CLI_PROGRESS_H
#define MW_CLI_PROGRESS_H

#include "mouldwright/progress.h"
#include "mouldwright/text.h"

#define PROGRESS_AFTER_S     0.5  /* nothing is shown before */
#define PROGRESS_EVERY_S     0.1  /* at most so often */
#define PROGRESS_GUESS_SHARE 0.05 /* from here on the time left is said */

/* A piece of work while it runs. */
typedef struct work {
    mw_progress progress; /* for the library; points into this record */
    bool shown;
    bool drawn;
    double begun_s, drawn_s;
} work;

/* Begins; `shown`: progress may be drawn (it is where standard error is a terminal). The record must stay in place. */
void work_begin(work *of, bool shown);
/* Ends, and wipes out what was drawn. */
void work_end(work *of);

/* Whether the line is to be drawn at a time. */
bool progress_due(const work *of, double now);
/* Adds the line: how much is done and how long it will take. `share` below 0: not known. */
void progress_words(double share, double spent_s, mw_text *out);

#endif
