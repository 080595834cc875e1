/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Statements from a stream that is no terminal. */
#include "cli.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

/* Looking whether a statement is whole reads all of it: not after each line of a very long one, unless
 * a bracket is closed there. */
enum { SHORT_STATEMENT = 4096, LONGEST_STATEMENT = 70000 };

typedef struct gathering {
    mw_text whole;    /* the lines so far */
    size_t looked_at; /* so long it was when it was last looked at */
} gathering;

static bool may_be_whole(gathering *of, mw_str line)
{
    size_t length = of->whole.length;
    bool closes = memchr(line.at, ')', line.length) || memchr(line.at, ']', line.length);
    if (length > SHORT_STATEMENT && !closes && length < of->looked_at + of->looked_at / 4) {
        return false;
    }
    of->looked_at = length;
    return true;
}

void cli_batch(cli *program, FILE *in)
{
    char *line = NULL;
    size_t room = 0;
    uint32_t number = 0;
    uint32_t first = 1;
    gathering gathered = {0};
    mw_text *whole = &gathered.whole;
    bool well = true;
    ssize_t length = 0;
    int fault = 0;
    while (!program->leave && (well || program->options.keep_going) && length >= 0) {
        length = getline(&line, &room, in);
        fault = length < 0 ? errno : 0;
        if (length >= 0) {
            number++;
            mw_text_add(whole, line, (size_t)length);
        }
        mw_str text = {mw_text_chars(whole), whole->length};
        bool ended = text.length > 0 && text.at[text.length - 1] == '\n';
        text.length -= ended; /* the end of the line is no blank line */
        bool last = length < 0 || whole->length > LONGEST_STATEMENT;
        if (whole->length > 0 &&
            (last ||
             (may_be_whole(&gathered, (mw_str){line, (size_t)length}) && mw_line_complete(text)))) {
            well = cli_say_text(program, "<input>", text, first) && well;
            fflush(stdout);
            mw_text_clear(whole);
            gathered.looked_at = 0;
            first = number + 1;
        }
    }
    if (ferror(in)) {
        fprintf(stderr, "mouldwright: error: the statements cannot be read: %s\n", strerror(fault));
        program->status = EXIT_FILE;
    }
    if (whole->failed) {
        fputs("mouldwright: error: out of memory\n", stderr);
        program->status = EXIT_FAULT;
    }
    mw_text_free(whole);
    free(line); /* of getline() */
}
