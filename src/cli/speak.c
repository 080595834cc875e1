/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Statements said to the job, and their answers written. */
#include "cli.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "decimal.h"
#include "progress.h"
#include "recover.h"
#include "screen.h"

void cli_write(cli *program, const mw_text *text)
{
    mw_str whole = {mw_text_chars(text), text->length};
    bool paged = program->interactive && !program->style.json && !program->style.plain &&
                 isatty(STDOUT_FILENO) && pager_rows(whole, screen_width()) >= screen_rows();
    if (paged) {
        pager_show(whole);
    } else if (text->length > 0) {
        fwrite(text->data, 1, text->length, stdout);
    }
}

static void fail(cli *program, int status)
{
    if (program->status == EXIT_WELL) {
        program->status = status;
    }
}

static void say_no_memory(cli *program)
{
    fputs("mouldwright: error: out of memory; nothing was changed\n", stderr);
    fail(program, EXIT_FAULT);
}

/* Messages: broken to the terminal, and in colour where it has it. */
static void write_messages(const cli *program, const mw_text *text)
{
    mw_text fitted = {0};
    mw_text painted = {0};
    size_t width = isatty(STDERR_FILENO) ? program->style.width : 0;
    screen_fit((mw_str){mw_text_chars(text), text->length}, width, !program->style.plain, &fitted);
    if (screen_colour(stderr) && !program->style.plain) {
        screen_paint((mw_str){mw_text_chars(&fitted), fitted.length}, &painted);
    }
    const mw_text *shown = fitted.failed ? text : &fitted;
    shown = painted.length > 0 && !painted.failed ? &painted : shown;
    if (shown->length > 0) {
        fwrite(shown->data, 1, shown->length, stderr);
    }
    mw_text_free(&painted);
    mw_text_free(&fitted);
}

void cli_write_diags(cli *program)
{
    mw_diags *diags = &program->diags;
    const mw_sources *sources = mw_job_sources(program->job);
    mw_text text = {0};
    mw_diags_render(diags, sources, &text);
    fflush(stdout);
    write_messages(program, &text);
    mw_text_clear(&text);
    for (size_t i = 0; program->options.json && i < diags->count; i++) {
        mw_diag_json(&diags->items[i], sources, &text);
        mw_text_addc(&text, '\n');
    }
    cli_write(program, &text);
    if (diags->no_memory || text.failed) {
        say_no_memory(program);
    }
    mw_text_free(&text);
    mw_diags_clear(diags);
}

/* The number in `undo 3`; 1 where there is none, below 0: it is no number. */
static long count_of(mw_str rest)
{
    char digits[16] = "1";
    if (rest.length >= sizeof digits) {
        return -1;
    }
    if (rest.length > 0) {
        memcpy(digits, rest.at, rest.length);
        digits[rest.length] = '\0';
    }
    char *end;
    long count = strtol(digits, &end, 10);
    return *end == '\0' && count > 0 ? count : -1;
}

static mw_status step_back(cli *program, const mw_statement *statement, bool back, mw_text *out)
{
    const mw_sources *sources = mw_job_sources(program->job);
    long count = count_of(mw_str_trim(mw_sources_piece(sources, statement->rest)));
    if (count < 0) {
        mw_diags_error(&program->diags, MW_CODE_SYNTAX, statement->rest,
                       "a number of steps is expected here");
        return MW_FAILED;
    }
    mw_status status = MW_OK;
    for (long i = 0; i < count && status == MW_OK; i++) {
        mw_reply reply;
        status = back ? mw_job_undo(program->job, &reply, &program->diags)
                      : mw_job_redo(program->job, &reply, &program->diags);
        if (status == MW_OK && !program->style.json) {
            mw_span span = reply.statement.span;
            mw_str said = span.source == MW_NONE
                              ? mw_str_of("revert, or what somebody else changed")
                              : mw_sources_piece(mw_job_sources(program->job), span);
            mw_text_addf(out, "%s: %.*s\n", back ? "taken back" : "made again", (int)said.length,
                         said.at);
        }
        if (status == MW_OK) {
            status = mw_report_reply(program->job, &reply, &program->style, out);
        }
    }
    return status;
}

static mw_status improve(cli *program, const mw_statement *statement, mw_text *out)
{
    mw_str rest = mw_str_trim(mw_sources_piece(mw_job_sources(program->job), statement->rest));
    long count = rest.length > 0 ? count_of(rest) : 0;
    if (count < 0) {
        mw_diags_error(&program->diags, MW_CODE_SYNTAX, statement->rest,
                       "a number of plans to try is expected here");
        return MW_FAILED;
    }
    mw_reply reply;
    mw_status status = mw_job_improve(program->job, (uint64_t)count, &reply, &program->diags);
    return status == MW_OK ? mw_report_improved(program->job, &reply, &program->style, out)
                           : status;
}

static mw_status adopt(cli *program, const mw_statement *statement, mw_text *out)
{
    mw_reply reply;
    if (mw_str_trim(mw_sources_piece(mw_job_sources(program->job), statement->rest)).length > 0) {
        mw_diag *diag = mw_diags_error(&program->diags, MW_CODE_SYNTAX, statement->rest,
                                       "nothing is expected behind `adopt`");
        mw_diag_try(&program->diags, diag, "adopt, or to give an order up: restore job.order");
        return MW_FAILED;
    }
    mw_status status = mw_job_adopt(program->job, statement->span, &reply, &program->diags);
    return status == MW_OK ? mw_report_adopted(program->job, &reply, &program->style, out) : status;
}

/* Says to the job what stands behind a command's word. */
typedef mw_status job_command(mw_job *job, mw_span rest, mw_reply *reply, mw_diags *diags);

static mw_status answer(cli *program, job_command *say, const mw_statement *statement, mw_text *out)
{
    mw_reply reply;
    mw_status status = say(program->job, statement->rest, &reply, &program->diags);
    return status == MW_OK ? mw_report_reply(program->job, &reply, &program->style, out) : status;
}

static job_command *find_answer(mw_str word)
{
    static const struct {
        const char *word;
        job_command *say;
    } rows[] = {{"keep", mw_job_keep_alternative}, {"alternatives", mw_job_alternatives}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        if (mw_str_is(word, rows[i].word)) {
            return rows[i].say;
        }
    }
    return NULL;
}

static mw_status show_help(cli *program, const mw_statement *statement, mw_text *out)
{
    mw_str word = mw_str_trim(mw_sources_piece(mw_job_sources(program->job), statement->rest));
    if (cli_help(program, word, out)) {
        return MW_OK;
    }
    mw_text_clear(out);
    mw_diag *diag = mw_diags_error(&program->diags, MW_CODE_UNKNOWN_NAME, statement->rest,
                                   "there is no help on `%.*s`", (int)word.length, word.at);
    mw_str nearest = cli_help_nearest(word);
    if (nearest.length > 0) {
        mw_diag_try(&program->diags, diag, "help %.*s", (int)nearest.length, nearest.at);
    } else {
        mw_diag_try(&program->diags, diag, "help");
    }
    return MW_FAILED;
}

static bool is_report(mw_str word)
{
    if (mw_str_is(word, "roster") || mw_str_is(word, "use")) {
        return true;
    }
    for (const mw_command_row *row = mw_command_rows(); row->word; row++) {
        if (row->report && mw_str_is(word, row->word)) {
            return true;
        }
    }
    return false;
}

static mw_status undo(cli *program, const mw_statement *statement, mw_text *out)
{
    return step_back(program, statement, true, out);
}

static mw_status redo(cli *program, const mw_statement *statement, mw_text *out)
{
    return step_back(program, statement, false, out);
}

static mw_status revert(cli *program, const mw_statement *statement, mw_text *out)
{
    (void)statement;
    return cli_revert(program, out);
}

static mw_status changes(cli *program, const mw_statement *statement, mw_text *out)
{
    (void)statement;
    return cli_changes(program, out);
}

/* What needs no more than its statement. */
static const struct plain_act {
    const char *word;
    mw_status (*act)(cli *program, const mw_statement *statement, mw_text *out);
} plain_acts[] = {
    {"help", show_help},      {"undo", undo},       {"redo", redo},           {"improve", improve},
    {"adopt", adopt},         {"save", cli_save},   {"paper", cli_paper},     {"revert", revert},
    {"recover", cli_recover}, {"changes", changes}, {"decimal", cli_decimal},
};

/* Questions; MW_NOT_FOUND: it is none. */
static mw_status question(cli *program, const mw_request *request, mw_text *out)
{
    if (mw_str_is(request->word, "risk")) {
        return cli_risk(program, request, out);
    }
    if (mw_str_is(request->word, "find")) {
        return mw_report_find(program->job, request, out, &program->diags);
    }
    if (mw_str_is(request->word, "levers")) {
        return mw_report_levers(program->job, request, out, &program->diags);
    }
    return MW_NOT_FOUND;
}

static mw_status command(cli *program, const mw_statement *statement, bool *kept, mw_text *out)
{
    if (statement->kind == MW_SAY_BALLPARK) {
        return mw_report_ballpark(program->job, statement->span, &program->style, out,
                                  &program->diags);
    }
    if (statement->kind == MW_SAY_NEW || statement->kind == MW_SAY_COPY_JOB) {
        return cli_begin(program, statement, out);
    }
    const mw_sources *sources = mw_job_sources(program->job);
    mw_str word = mw_sources_piece(sources, statement->name);
    mw_request request = {word, mw_str_trim(mw_sources_piece(sources, statement->rest)),
                          statement->rest, &program->style};
    if (is_report(word)) {
        return mw_report(program->job, &request, out, &program->diags);
    }
    const mw_status asked = question(program, &request, out);
    if (asked != MW_NOT_FOUND) {
        return asked;
    }
    if (find_answer(word)) {
        *kept = true; /* the words may go into the list of undo */
        return answer(program, find_answer(word), statement, out);
    }
    if (mw_str_is(word, "quit")) {
        program->leave = cli_may_leave(program);
        return MW_OK;
    }
    for (size_t i = 0; i < sizeof plain_acts / sizeof *plain_acts; i++) {
        if (mw_str_is(word, plain_acts[i].word)) {
            return plain_acts[i].act(program, statement, out);
        }
    }
    return mw_report_list(program->job, &request, out, &program->diags);
}

/* Whether a text of this source may be forgotten: nothing of it went into the job. */
static bool forgettable(const mw_reply *reply, mw_status status)
{
    return status != MW_OK || reply->kind != MW_REPLY_CHANGE;
}

static bool say(cli *program, mw_span span, bool *kept)
{
    mw_reply reply;
    mw_text out = {0};
    work now;
    work_begin(&now, program->interactive && !program->style.plain);
    mw_job_watch(program->job, &now.progress);
    mw_status status = mw_job_say(program->job, span, &reply, &program->diags);
    bool forget = forgettable(&reply, status);
    if (status == MW_OK) {
        mw_statement statement = reply.statement;
        status = reply.kind == MW_REPLY_COMMAND
                     ? command(program, &statement, kept, &out)
                     : mw_report_reply(program->job, &reply, &program->style, &out);
    }
    if (out.failed) {
        status = MW_NO_MEMORY;
    }
    mw_job_watch(program->job, NULL);
    work_end(&now);
    cli_write(program, &out);
    mw_text_free(&out);
    cli_write_diags(program);
    if (status == MW_NO_MEMORY) {
        say_no_memory(program);
    } else if (status != MW_OK) {
        fail(program, EXIT_STATEMENT);
    }
    *kept = *kept || !forget;
    return status == MW_OK;
}

bool cli_say(cli *program, mw_span span)
{
    bool kept = false;
    return say(program, span, &kept);
}

/* Says all statements of a text that the language can read as it stands. */
static bool say_text(cli *program, const char *name, mw_str text, uint32_t line)
{
    mw_sources *sources = mw_job_sources(program->job);
    uint32_t source = mw_sources_add(sources, mw_str_of(name), text);
    if (source == MW_NONE) {
        say_no_memory(program);
        return false;
    }
    mw_sources_first_line(sources, source, line);
    mw_span span;
    uint32_t at = 0;
    bool well = true;
    bool kept = false;
    while (!program->leave && (well || program->options.keep_going || program->interactive) &&
           mw_next_line(sources, source, &at, &span)) {
        well = say(program, span, &kept) && well;
    }
    if (!kept) {
        mw_sources_drop_last(sources, source);
    }
    return well;
}

bool cli_say_text(cli *program, const char *name, mw_str text, uint32_t line)
{
    bool typed = name[0] == '<'; /* a file has its own name */
    if (!program->decimal_comma || !typed) {
        return say_text(program, name, text, line);
    }
    mw_text pointed = {0};
    bool well = decimal_typed(program, name, text, line, &pointed);
    if (pointed.failed) {
        say_no_memory(program);
    } else if (well) {
        well = say_text(program, name, (mw_str){mw_text_chars(&pointed), pointed.length}, line);
    } else {
        fail(program, EXIT_STATEMENT);
    }
    well = well && !pointed.failed;
    mw_text_free(&pointed);
    return well;
}
