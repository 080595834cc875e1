/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pages of help: what help.txt adds to the tables of the library, and a sheet that is shown. */
#ifndef MW_CLI_HELP_H
#define MW_CLI_HELP_H

#include "mouldwright/json.h"
#include "mouldwright/report.h"

/* A statement and what it answers: each line ended; a line `...` stands for lines left out. */
typedef struct help_example {
    const char *statement;
    const char *answer;
} help_example;

/* What help.txt says of a word. `about`, `syntax`, `text` and `see` may be NULL. */
typedef struct help_page {
    const char *word;
    bool command;       /* of mw_command_rows(); a word may be in both tables */
    const char *about;  /* one sentence; statements and functions have theirs in their own tables */
    const char *syntax; /* each line ended */
    const char *text;   /* each line ended */
    const help_example *examples; /* ended by {0} */
    const char *see;              /* words parted by ", " */
} help_page;

/* Made from help.txt; ended by a page with word NULL. */
extern const help_page help_pages[];

/* The job that the examples are said in. */
#define HELP_JOB "samples/creek.job"

enum { HELP_EXAMPLES_MAX = 6 };

/* One page as it is shown. Texts are borrowed. */
typedef struct help_sheet {
    const char *word;
    const char *kind; /* statement, topic, function, message, unit */
    mw_str about;
    mw_str syntax; /* lines */
    mw_str text;   /* lines */
    help_example examples[HELP_EXAMPLES_MAX];
    size_t example_count;
    const char *see; /* NULL: nothing */
    const char *source;
} help_sheet;

/* Adds the examples and what to see of a page; NULL: nothing. */
void help_sheet_add(help_sheet *sheet, const help_page *page);
/* Writes a sheet for people, or as a JSON object. */
void help_sheet_write(const help_sheet *sheet, const mw_style *style, mw_text *out);
void help_sheet_json(const help_sheet *sheet, mw_json *json);

/* A word and what is said of it, from a column on. */
typedef struct help_row {
    const char *word;
    const char *about;
    size_t column;
} help_row;

/* `  word   about`, broken at blanks to the screen's width; in plain style `word: about`. */
void help_row_write(help_row row, const mw_style *style, mw_text *out);
/* A line of its own, broken at blanks. */
void help_line_write(const char *line, const mw_style *style, mw_text *out);

#endif
