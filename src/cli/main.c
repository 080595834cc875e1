/* SPDX-License-Identifier: GPL-3.0-or-later */
/* mouldwright: start and end of the program. */
#include "cli.h"

#include <errno.h>
#include <gsl/gsl_errno.h>
#include <locale.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "mouldwright/date.h"
#include "mouldwright/memory.h"
#include "screen.h"
#include "stop.h"

static double today(void)
{
    time_t now = time(NULL);
    struct tm local;
    if (!localtime_r(&now, &local)) {
        return 0.0;
    }
    mw_date date = {local.tm_year + 1900, local.tm_mon + 1, local.tm_mday};
    return mw_date_to_day(date) * MW_DAY_S;
}

static bool says_yes(const char *text)
{
    return text && text[0] != '\0' && strcmp(text, "0") != 0;
}

void cli_refresh_style(cli *program)
{
    program->style.width = screen_width();
}

static void set_style(cli *program)
{
    bool plain = program->options.plain || says_yes(getenv("MOULDWRIGHT_PLAIN"));
    program->style = (mw_style){.width = screen_width(),
                                .json = program->options.json,
                                .plain = plain,
                                .ascii = !screen_unicode(),
                                .count = program->options.count};
}

static int open_job(cli *program)
{
    program->folders = cli_folders(&program->folder_count);
    mw_job_options options = {.today_s =
                                  program->options.today_given ? program->options.today_s : today(),
                              .folders = (const char *const *)program->folders,
                              .folder_count = program->folder_count};
    program->job = program->folders ? mw_job_new(&options) : NULL;
    if (!program->job) {
        fputs("mouldwright: error: out of memory\n", stderr);
        return EXIT_FAULT;
    }
    if (!program->options.job) {
        return EXIT_WELL;
    }
    mw_status status = mw_job_open(program->job, program->options.job, &program->diags);
    bool unread = program->diags.count > 0 &&
                  (program->diags.items[0].code == MW_CODE_CANNOT_READ ||
                   program->diags.items[0].code == MW_CODE_NO_SUCH_FILE) &&
                  program->diags.items[0].span.source == MW_NONE;
    cli_write_diags(program);
    if (status == MW_OK) {
        return EXIT_WELL;
    }
    if (status == MW_NO_MEMORY) {
        fputs("mouldwright: error: out of memory\n", stderr);
        return EXIT_FAULT;
    }
    return unread ? EXIT_FILE : EXIT_INPUT;
}

/* What the job file itself asks to show, then what the command line says. */
static void say_given(cli *program)
{
    size_t count = 0;
    const mw_span *asks = mw_job_asks(program->job, &count);
    bool well = true;
    program->in_job_file = true;
    for (size_t i = 0; i < count && (well || program->options.keep_going || program->interactive);
         i++) {
        well = cli_say(program, asks[i]) && well;
    }
    program->in_job_file = false;
    for (size_t i = 0; i < program->options.statement_count && !program->leave; i++) {
        if (!well && !program->options.keep_going) {
            return;
        }
        char name[48];
        snprintf(name, sizeof name, "<statement %zu>", i + 1);
        well = cli_say_text(program, name, mw_str_of(program->options.statements[i]), 1) && well;
    }
}

static void run_statements(cli *program)
{
    bool terminal = isatty(STDIN_FILENO) != 0;
    bool given = program->options.statement_count > 0;
    program->interactive = terminal && !given;
    if (program->interactive) {
        stop_install();
    }
    journal_start(&program->journal, program->job, false);
    say_given(program);
    if (given || program->leave) {
        return;
    }
    if (terminal) {
        cli_session(program);
        return;
    }
    if (program->status == EXIT_WELL || program->options.keep_going) {
        cli_batch(program, stdin);
    }
}

static void run(cli *program)
{
    run_statements(program);
    journal_end(&program->journal, program->given_up);
}

/* Says goodbye to standard output: what could not be written is an error. */
static int close_output(int status)
{
    bool failed = ferror(stdout) != 0;
    errno = 0;
    if (fclose(stdout) != 0 || failed) {
        fprintf(stderr, "mouldwright: error: the answer could not be written: %s\n",
                errno ? strerror(errno) : "output error");
        return EXIT_FILE;
    }
    return status;
}

int main(int count, char **words)
{
    cli program = {.status = EXIT_WELL};
    setlocale(LC_CTYPE, "");
    gsl_set_error_handler_off(); /* its own would end the program */
    int status = cli_read_options(count, words, &program.options);
    if (status == EXIT_WELL && program.options.help) {
        cli_write_usage(stdout);
    } else if (status == EXIT_WELL && program.options.version) {
        puts("mouldwright " MW_VERSION);
    } else if (status == EXIT_WELL) {
        if (program.options.job) {
            cli_prepare_heap();
        }
        if (mw_diags_start(&program.diags) != MW_OK) {
            return EXIT_FAULT;
        }
        set_style(&program);
        status = open_job(&program);
        if (status == EXIT_WELL) {
            run(&program);
            status = program.status;
        }
        mw_job_free(program.job);
        cli_folders_free(program.folders, program.folder_count);
        mw_diags_free(&program.diags);
    }
    mw_memory_give((void *)program.options.statements);
    return close_output(status);
}
