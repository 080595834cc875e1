/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The session at a terminal: greeting, init file, statement after statement. */
#include "cli.h"

#include <string.h>

#include "history.h"
#include "line.h"
#include "mouldwright/file.h"
#include "mouldwright/memory.h"
#include "recover.h"
#include "screen.h"
#include "stop.h"

enum { INIT_BYTES = 1 << 20 };

static void greet(const cli *program)
{
    mw_str name = mw_job_name(program->job);
    const mw_shop *shop = mw_job_shop(program->job);
    unsigned count = mw_job_mould_count(program->job);
    mw_text line = {0};
    mw_text shown = {0};
    mw_text_addf(&line, "Mouldwright %s   %.*s: %u mould%s", MW_VERSION, (int)name.length, name.at,
                 count, count == 1 ? "" : "s");
    if (shop) {
        mw_text_addf(&line, ", shop %.*s", (int)shop->title.length, shop->title.at);
    }
    screen_wrap((mw_str){mw_text_chars(&line), line.length},
                (screen_column){0, 2, program->style.width}, &shown);
    fputs(mw_text_chars(&shown), stdout);
    puts("help for help, quit to leave");
    mw_text_free(&line);
    mw_text_free(&shown);
}

/* Says the statements of the user's init file, if there is one. */
static void say_init(cli *program)
{
    mw_text path = {0};
    char *data = NULL;
    size_t length = 0;
    history_path(&path, "XDG_CONFIG_HOME", ".config", "init");
    if (path.length > 0 && !path.failed && mw_file_exists(mw_text_chars(&path))) {
        if (mw_file_read(mw_text_chars(&path), INIT_BYTES, &data, &length) == MW_OK) {
            cli_say_text(program, mw_text_chars(&path), (mw_str){data, length}, 1);
        } else {
            fprintf(stderr, "mouldwright: warning: %s cannot be read and was left out\n",
                    mw_text_chars(&path));
        }
    }
    mw_memory_give(data);
    mw_text_free(&path);
}

static mw_status complete_line(void *context, mw_str line, size_t cursor, completion *out)
{
    const cli *program = context;
    complete_from from = {program->job, (const char *const *)program->folders,
                          program->folder_count};
    return cli_complete(&from, line, cursor, out);
}

static void remember(void *context, mw_str entry)
{
    (void)context;
    line_remember(entry);
}

/* Keeps an entry at once, so that nothing that happens later loses it. */
static void keep(mw_str entry, const char *path, bool *told)
{
    line_remember(entry);
    if (path[0] != '\0' && !history_append(path, entry, time(NULL)) && !*told) {
        fprintf(stderr, "mouldwright: warning: the history cannot be written: %s\n", path);
        *told = true;
    }
}

static bool blank(const mw_text *text)
{
    return mw_str_trim((mw_str){mw_text_chars(text), text->length}).length == 0;
}

/* Several lines at once are made safe against a power cut together, at their end. */
static void say_typed(cli *program, mw_str statement, uint32_t number)
{
    if (memchr(statement.at, '\n', statement.length)) {
        journal_group(&program->journal);
    }
    cli_say_text(program, "<prompt>", statement, number);
    if (!journal_flush(&program->journal)) {
        fputs(
            "mouldwright: warning: the journal could not be flushed: these changes may not outlast "
            "a power cut; save\n",
            stderr);
    }
}

/* The job's name, which a statement may have changed. */
static const char *prompt_of(const cli *program, mw_text *prompt)
{
    mw_text_clear(prompt);
    mw_text_add_str(prompt, mw_job_name(program->job));
    mw_text_adds(prompt, "> ");
    return prompt->failed ? "> " : mw_text_chars(prompt);
}

static void read_statements(cli *program, const char *history)
{
    mw_text whole = {0};
    mw_text prompt = {0};
    uint32_t number = 1;
    bool told = false;
    while (!program->leave) {
        line_result result = line_read(prompt_of(program, &prompt), &whole);
        if (result == LINE_END) {
            putchar('\n');
            if (cli_may_leave(program)) {
                break;
            }
            continue;
        }
        if (result == LINE_DROPPED || blank(&whole)) {
            continue;
        }
        mw_str statement = {mw_text_chars(&whole), whole.length};
        keep(statement, history, &told);
        cli_refresh_style(program);
        say_typed(program, statement, number++);
        program->status = EXIT_WELL; /* what failed was said; the session goes on */
        fflush(stdout);
    }
    mw_text_free(&prompt);
    mw_text_free(&whole);
}

void cli_session(cli *program)
{
    line_owner owner = {complete_line, mw_line_complete, program, program->style.ascii};
    mw_text history = {0};
    history_path(&history, "XDG_STATE_HOME", ".local/state", "history");
    greet(program);
    if (!program->options.no_init) {
        say_init(program);
        program->status = EXIT_WELL;
    }
    journal_end(&program->journal, false); /* what the init file says comes again next time */
    journal_start(&program->journal, program->job, !program->options.no_journal);
    cli_offer_recovery(program);
    fflush(stdout);
    line_start(&owner);
    history_read(mw_text_chars(&history), remember, NULL);
    read_statements(program, mw_text_chars(&history));
    line_end();
    mw_text_free(&history);
}
