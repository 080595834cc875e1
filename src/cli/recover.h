/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Taking back what a session that was cut off had not saved. */
#ifndef MW_CLI_RECOVER_H
#define MW_CLI_RECOVER_H

#include "cli.h"

/* `recover [show|discard]` */
mw_status cli_recover(cli *program, const mw_statement *statement, mw_text *out);
/* At the start of a session: says once what there is, and asks. */
void cli_offer_recovery(cli *program);

/* ---- recover_play.c ---- */

typedef struct played {
    size_t taken;   /* changes in force */
    size_t refused; /* records that no longer apply; diagnosed */
    bool changed;   /* the job's file is not as it was when they were made */
} played;

/* Makes the changes of a journal again. MW_NO_MEMORY: none is made. */
mw_status recover_play(cli *program, const left_journal *left, played *out);
/* Adds what the journal holds, a line a change. */
void recover_words(const left_journal *left, mw_text *out);

#endif
