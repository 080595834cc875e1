/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The command line: one table for reading and for --help. */
#include "cli.h"

#include <stdlib.h>
#include <string.h>

#include "mouldwright/date.h"
#include "mouldwright/memory.h"
#include "mouldwright/suggest.h"

typedef struct option_row {
    const char *name;
    char letter;       /* 0: none */
    const char *value; /* what stands behind it; NULL: nothing */
    const char *about;
    bool (*take)(cli_options *options, const char *value);
} option_row;

static bool take_statement(cli_options *options, const char *value)
{
    options->statements[options->statement_count++] = value;
    return true;
}

static bool take_json(cli_options *options, const char *value)
{
    (void)value;
    options->json = true;
    return true;
}

static bool take_keep_going(cli_options *options, const char *value)
{
    (void)value;
    options->keep_going = true;
    return true;
}

static bool take_today(cli_options *options, const char *value)
{
    bool exists = true;
    double day_s = 0.0;
    size_t used = mw_date_read(mw_str_of(value), &day_s, &exists);
    if (used == 0 || used != strlen(value) || !exists) {
        fprintf(stderr, "mouldwright: error: `%s` is no date\n  try: --today 2027-01-11\n", value);
        return false;
    }
    options->today_s = day_s;
    options->today_given = true;
    return true;
}

static bool take_plain(cli_options *options, const char *value)
{
    (void)value;
    options->plain = true;
    return true;
}

static bool take_count(cli_options *options, const char *value)
{
    (void)value;
    options->count = true;
    return true;
}

static bool take_no_init(cli_options *options, const char *value)
{
    (void)value;
    options->no_init = true;
    return true;
}

static bool take_no_journal(cli_options *options, const char *value)
{
    (void)value;
    options->no_journal = true;
    return true;
}

static bool take_help(cli_options *options, const char *value)
{
    (void)value;
    options->help = true;
    return true;
}

static bool take_version(cli_options *options, const char *value)
{
    (void)value;
    options->version = true;
    return true;
}

static const option_row rows[] = {
    {"statement", 'e', "STATEMENT", "says a statement once the job is open; may be repeated",
     take_statement},
    {"json", 0, NULL, "answers as JSON, one object a line", take_json},
    {"keep-going", 0, NULL, "goes on after a statement that failed", take_keep_going},
    {"today", 0, "DATE", "takes DATE for today", take_today},
    {"plain", 0, NULL, "answers in plain lines, without tables", take_plain},
    {"count", 0, NULL, "also says how many values a change computed", take_count},
    {"no-init", 0, NULL, "leaves the init file of the session out", take_no_init},
    {"no-journal", 0, NULL, "keeps no journal of changes that are not saved", take_no_journal},
    {"help", 'h', NULL, "shows this", take_help},
    {"version", 'V', NULL, "shows the version", take_version},
};

enum { ROW_COUNT = sizeof rows / sizeof *rows };

void cli_write_usage(FILE *out)
{
    fputs("usage: mouldwright [options] [JOB]\n\n"
          "Estimates the tooling of a job: material, hours, waiting, cost and dates of a set of\n"
          "moulds. Without a terminal, statements are read from standard input.\n\n",
          out);
    for (size_t i = 0; i < ROW_COUNT; i++) {
        char name[64];
        snprintf(name, sizeof name, "%c%c%s--%s%s%s", rows[i].letter ? '-' : ' ',
                 rows[i].letter ? rows[i].letter : ' ', rows[i].letter ? ", " : "  ", rows[i].name,
                 rows[i].value ? " " : "", rows[i].value ? rows[i].value : "");
        fprintf(out, "  %-28s %s\n", name, rows[i].about);
    }
    fputs("\nexit status: 0 well, 1 a statement failed, 2 command line, 3 an input file is wrong,\n"
          "4 a file cannot be read or written, 70 a fault of the program\n",
          out);
}

static const option_row *find_long(const char *name, size_t length)
{
    for (size_t i = 0; i < ROW_COUNT; i++) {
        if (strlen(rows[i].name) == length && memcmp(rows[i].name, name, length) == 0) {
            return &rows[i];
        }
    }
    return NULL;
}

static const option_row *find_letter(char letter)
{
    for (size_t i = 0; i < ROW_COUNT; i++) {
        if (rows[i].letter != 0 && rows[i].letter == letter) {
            return &rows[i];
        }
    }
    return NULL;
}

static int say_unknown(const char *word, size_t length)
{
    fprintf(stderr, "mouldwright: error: there is no option `%.*s`\n", (int)length, word);
    mw_suggest nearest;
    size_t dashes = strspn(word, "-");
    mw_suggest_start(&nearest, (mw_str){word + dashes, length - dashes});
    for (size_t i = 0; i < ROW_COUNT; i++) {
        mw_suggest_offer(&nearest, mw_str_of(rows[i].name));
    }
    if (nearest.best.length > 0) {
        fprintf(stderr, "  try: --%.*s\n", (int)nearest.best.length, nearest.best.at);
    }
    fputs("  see: mouldwright --help\n", stderr);
    return EXIT_USAGE;
}

/* The command line while it is read. */
typedef struct words {
    char **items;
    int count;
    int at;
} words;

/* The value of an option: behind `=`, right behind its letter, or the next word. */
static int take_option(words *from, const option_row *row, const char *behind, cli_options *options)
{
    const char *value = behind;
    if (row->value && !value) {
        if (from->at + 1 >= from->count) {
            fprintf(stderr, "mouldwright: error: option --%s needs %s behind it\n", row->name,
                    row->value);
            return EXIT_USAGE;
        }
        value = from->items[++from->at];
    }
    if (!row->value && behind) {
        fprintf(stderr, "mouldwright: error: option --%s takes no value\n", row->name);
        return EXIT_USAGE;
    }
    return row->take(options, value) ? EXIT_WELL : EXIT_USAGE;
}

static int take_job(const char *word, cli_options *options)
{
    if (options->job) {
        fprintf(stderr, "mouldwright: error: one job at a time: `%s` and `%s`\n", options->job,
                word);
        return EXIT_USAGE;
    }
    options->job = word;
    return EXIT_WELL;
}

static int read_word(words *from, cli_options *options)
{
    const char *word = from->items[from->at];
    if (word[0] == '-' && word[1] == '-') {
        size_t length = strcspn(word + 2, "=");
        const option_row *row = find_long(word + 2, length);
        const char *behind = word[2 + length] == '=' ? word + 3 + length : NULL;
        return row ? take_option(from, row, behind, options) : say_unknown(word, length + 2);
    }
    if (word[0] == '-' && word[1] != '\0') {
        const option_row *row = find_letter(word[1]);
        return row ? take_option(from, row, word[2] ? word + 2 : NULL, options)
                   : say_unknown(word, strlen(word));
    }
    return take_job(word, options);
}

int cli_read_options(int count, char **items, cli_options *options)
{
    words from = {items, count, 1};
    bool only_names = false;
    options->statements = mw_memory_get(((size_t)count + 1) * sizeof *options->statements);
    if (!options->statements) {
        fputs("mouldwright: error: out of memory\n", stderr);
        return EXIT_FAULT;
    }
    int status = EXIT_WELL;
    for (; status == EXIT_WELL && from.at < count; from.at++) {
        if (!only_names && strcmp(items[from.at], "--") == 0) {
            only_names = true;
        } else if (only_names) {
            status = take_job(items[from.at], options);
        } else {
            status = read_word(&from, options);
        }
    }
    return status;
}
