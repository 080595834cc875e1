/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Statements from a stream that is no terminal. */
#include "cli.h"

#include <stdlib.h>
#include <string.h>

void cli_batch(cli *program, FILE *in)
{
    char *line = NULL;
    size_t room = 0;
    uint32_t number = 0;
    uint32_t first = 1;
    mw_text whole = {0};
    bool well = true;
    ssize_t length = 0;
    while (!program->leave && (well || program->options.keep_going) && length >= 0) {
        length = getline(&line, &room, in);
        if (length >= 0) {
            number++;
            mw_text_add(&whole, line, (size_t)length);
        }
        mw_str text = {mw_text_chars(&whole), whole.length};
        bool ended = text.length > 0 && text.at[text.length - 1] == '\n';
        text.length -= ended; /* the end of the line is no blank line */
        if (whole.length > 0 && (length < 0 || mw_line_complete(text))) {
            well = cli_say_text(program, "<input>", text, first) && well;
            fflush(stdout);
            mw_text_clear(&whole);
            first = number + 1;
        }
    }
    if (whole.failed) {
        fputs("mouldwright: error: out of memory\n", stderr);
        program->status = EXIT_FAULT;
    }
    mw_text_free(&whole);
    free(line); /* of getline() */
}
