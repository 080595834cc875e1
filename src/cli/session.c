/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The session at a terminal. The only file that knows readline. */
#include "cli.h"

#include <stdlib.h>
#include <string.h>

#include <readline/history.h>
#include <readline/readline.h>

/* Reads a whole statement: more lines while a bracket is open. NULL at the end of input. */
static char *read_statement(const char *prompt, mw_text *whole)
{
    mw_text_clear(whole);
    char *line = readline(prompt);
    while (line) {
        mw_text_adds(whole, line);
        free(line); /* of readline() */
        if (mw_line_complete((mw_str){mw_text_chars(whole), whole->length})) {
            return whole->failed ? NULL : whole->data;
        }
        mw_text_addc(whole, '\n');
        line = readline("... ");
    }
    return whole->length > 0 && !whole->failed ? whole->data : NULL;
}

static void greet(const cli *program)
{
    mw_str name = mw_job_name(program->job);
    const mw_shop *shop = mw_job_shop(program->job);
    printf("Mouldwright %s   %.*s: %u moulds", MW_VERSION, (int)name.length, name.at,
           (unsigned)mw_job_mould_count(program->job));
    if (shop) {
        printf(", shop %.*s", (int)shop->title.length, shop->title.at);
    }
    puts("\nhelp for help, quit to leave");
}

void cli_session(cli *program)
{
    mw_text whole = {0};
    mw_text prompt = {0};
    uint32_t number = 1;
    mw_text_add_str(&prompt, mw_job_name(program->job));
    mw_text_adds(&prompt, "> ");
    greet(program);
    rl_change_environment = 0;
    rl_bind_key('\t', rl_insert);
    using_history();
    while (!program->leave) {
        char *statement = read_statement(mw_text_chars(&prompt), &whole);
        if (!statement) {
            putchar('\n');
            break;
        }
        if (statement[0] == '\0') {
            continue;
        }
        add_history(statement);
        bool well = cli_say_text(program, "<prompt>", (mw_str){statement, whole.length}, number++);
        program->status =
            well ? program->status : EXIT_WELL; /* said already; the session goes on */
        fflush(stdout);
    }
    mw_text_free(&whole);
    mw_text_free(&prompt);
}
