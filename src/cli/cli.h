/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The program around the library: options, statements from wherever they come, answers. */
#ifndef MW_CLI_CLI_H
#define MW_CLI_CLI_H

#include <stdio.h>

#include "journal.h"
#include "mouldwright/report.h"

struct completion;

/* Exit status. Never a count or errno. */
enum {
    EXIT_WELL = 0,
    EXIT_STATEMENT = 1, /* a statement failed */
    EXIT_USAGE = 2,     /* the command line */
    EXIT_INPUT = 3,     /* an input file is wrong */
    EXIT_FILE = 4,      /* a file cannot be read or written */
    EXIT_FAULT = 70     /* our own fault, or out of memory */
};

typedef struct cli_options {
    const char *job;
    const char **statements;
    size_t statement_count;
    bool json;
    bool keep_going;
    bool plain;
    bool count;
    bool help;
    bool version;
    bool no_init;
    bool no_journal;
    bool today_given;
    double today_s;
} cli_options;

/* The program while it runs. */
typedef struct cli {
    cli_options options;
    mw_job *job;
    mw_diags diags;
    mw_style style;
    bool interactive;
    char **folders; /* recipe folders in search order */
    size_t folder_count;
    bool decimal_comma; /* of numbers that are typed; files always have the point */
    bool in_job_file;   /* what is being said stands in the job's file */
    bool leave;         /* quit was said */
    bool given_up;      /* what is not saved shall go */
    journal journal;
    int status; /* exit status so far */
} cli;

/* -- options.c -- */
/* Reads the command line; on failure says what is wrong on standard error and returns EXIT_USAGE. */
int cli_read_options(int count, char **items, cli_options *options);
/* Writes the help of the command line. */
void cli_write_usage(FILE *out);

/* -- heap.c -- */
/* Makes room for a job; to be called before much is taken. Changes nothing where the system has no way. */
void cli_prepare_heap(void);

/* -- main.c -- */
/* Asks the terminal again how wide it is. */
void cli_refresh_style(cli *program);

/* -- folders.c -- */
/* The folders to look for recipes in, in search order; "" stands for the job's own. Freed with
 * cli_folders_free(). NULL: no memory. */
char **cli_folders(size_t *count);
void cli_folders_free(char **folders, size_t count);
/* The files in which a module that is loaded may be, in search order; freed and failing likewise. */
char **cli_modules(const char *name, size_t *count);

/* -- speak.c -- */
/* Carries out one statement of a source and writes the answer. Returns false when it failed. */
bool cli_say(cli *program, mw_span span);
/* Adds a text as a source under a name, as from line `line`, and says all its statements. Returns false at the first that
 * failed, unless the program keeps going. */
bool cli_say_text(cli *program, const char *name, mw_str text, uint32_t line);
/* Writes what the sink holds, and clears it. */
void cli_write_diags(cli *program);
/* Writes a text to standard output. */
void cli_write(cli *program, const mw_text *text);

/* -- begin.c -- */
/* Carries out `new` and `copy job`; at a terminal `new` asks what it was not told. */
mw_status cli_begin(cli *program, const mw_statement *statement, mw_text *out);

/* -- decimal.c -- */
/* `decimal [comma|point]` */
mw_status cli_decimal(cli *program, const mw_statement *statement, mw_text *out);

/* -- ask.c -- */
/* Asks a question at the terminal. Returns the letter of the answer, one of `letters`; 0 where there is no terminal,
 * input ends, or three answers fit nothing. */
char cli_ask(cli *program, const char *question, const char *letters);
/* Waits for a byte typed at the terminal; -1: the input ends, or Ctrl-C. */
int cli_ask_byte(void);

/* -- save.c -- */
/* `save [over|both] ["FILE"]`, `revert`, `changes`. */
mw_status cli_save(cli *program, const mw_statement *statement, mw_text *out);
mw_status cli_revert(cli *program, mw_text *out);
mw_status cli_changes(cli *program, mw_text *out);
/* Asks what to do with changes that are not saved. Returns whether to leave. */
bool cli_may_leave(cli *program);

/* -- paper.c -- */
/* `risk WORDS`: the answer, and a picture in a file where one is asked for. */
mw_status cli_risk(cli *program, const mw_request *request, mw_text *out);
/* `paper WORD [MOULD] "FILE" [WISH, ...]`. */
mw_status cli_paper(cli *program, const mw_statement *statement, mw_text *out);

/* -- help.c -- */
/* Adds the page of a word (empty: the overview). Returns false when there is none: then nothing was added that is of
 * use. */
bool cli_help(cli *program, mw_str word, mw_text *out);
/* Offers every word that has a page, for completion. */
void cli_help_words(struct completion *to);
/* The word with a page that is nearest to one without; empty: none is near enough. */
mw_str cli_help_nearest(mw_str word);

/* -- session.c -- */
/* Reads statements at the prompt until the end. */
void cli_session(cli *program);
/* -- batch.c -- */
/* Reads statements from a stream until its end. */
void cli_batch(cli *program, FILE *in);

#endif
