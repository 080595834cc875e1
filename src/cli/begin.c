/* SPDX-License-Identifier: GPL-3.0-or-later */
/* New files from a session: `new` asks what it was not told, then says the line that could have been typed at once. */
#include "cli.h"

#include <string.h>

#include "mouldwright/draft.h"
#include "mouldwright/json.h"

/* What is asked for, in order. An empty answer leaves the input out, or takes `empty`. */
typedef struct question {
    const char *input;
    const char *asks;
    const char *empty; /* NULL: there has to be an answer */
    bool quoted;       /* the answer is a name, put in quotes */
} question;

static const question questions[] = {
    {"area", "Area of the moulded surface, such as 5 m2", NULL, false},
    {"edge", "Length of its outer edge, such as 9 m (Enter: that of a square)", "", false},
    {"tightness", "Shape: gentle, busy or tight (Enter: gentle)", "gentle", false},
    {"recipe", "Recipe (Enter: usual mould)", "usual mould", true},
    {"shop", "Shop (Enter: the job's, or saltmarsh, the invented one)", "", true},
    {"start", "Start, such as 2027-03-01 (Enter: the job's, or today)", "", false},
};

/* Reads a line byte by byte, so that what was typed ahead stays for the prompt. False: the end, or Ctrl-C. */
static bool read_line(mw_text *line)
{
    mw_text_clear(line);
    for (int byte = cli_ask_byte(); byte != '\n' && byte != '\r'; byte = cli_ask_byte()) {
        if (byte < 0) {
            return false;
        }
        mw_text_addc(line, (char)byte);
    }
    return !line->failed;
}

/* Asks one thing at the terminal; false: no answer, the input has ended. */
static bool ask(const char *text, mw_text *answer)
{
    mw_text line = {0};
    printf("%s: ", text);
    fflush(stdout);
    bool well = read_line(&line);
    if (well) {
        mw_text_clear(answer);
        mw_text_add_str(answer, mw_str_trim((mw_str){mw_text_chars(&line), line.length}));
    } else {
        putchar('\n');
    }
    mw_text_free(&line);
    return well && !answer->failed;
}

/* Asks until there is an answer where one is needed. */
static bool ask_question(const question *of, mw_text *answer)
{
    bool well = ask(of->asks, answer);
    while (well && answer->length == 0 && !of->empty) {
        well = ask(of->asks, answer);
    }
    if (well && answer->length == 0) {
        mw_text_adds(answer, of->empty);
    }
    return well;
}

static void add_answer(const question *of, mw_str answer, bool first, mw_text *line)
{
    bool quote = of->quoted && answer.at[0] != '"';
    mw_text_addf(line, "%s %s %s", first ? ":" : ",", of->input, quote ? "\"" : "");
    mw_text_add_str(line, answer);
    mw_text_adds(line, quote ? "\"" : "");
}

static mw_status show_nothing(void *context)
{
    (void)context;
    return MW_OK;
}

/* Whether the line holds so far; what is wrong is said. With `out`: what it would come to, beside the other jobs. */
static bool holds(cli *program, const mw_text *line, mw_text *out)
{
    mw_sources *sources = mw_job_sources(program->job);
    uint32_t source = mw_sources_add(sources, mw_str_of("<answers>"),
                                     (mw_str){mw_text_chars(line), line->length});
    if (source == MW_NONE) {
        return true; /* saying the whole line tells */
    }
    mw_span span = {source, 0, (uint32_t)line->length};
    mw_status status =
        out ? mw_report_ballpark(program->job, span, &program->style, out, &program->diags)
            : mw_job_ballpark(program->job, span, show_nothing, NULL, &program->diags);
    cli_write_diags(program);
    mw_sources_drop_last(sources, source);
    return status != MW_FAILED;
}

/* Asks for everything and makes the line of it; false: there was no end to it. */
static bool ask_all(cli *program, mw_str file, mw_text *line)
{
    mw_text answer = {0};
    bool well = true;
    mw_text_addf(line, "new \"%.*s\"", (int)file.length, file.at);
    for (size_t i = 0; well && i < sizeof questions / sizeof *questions;) {
        size_t before = line->length;
        well = ask_question(&questions[i], &answer);
        if (well && answer.length > 0) {
            mw_str said = {mw_text_chars(&answer), answer.length};
            add_answer(&questions[i], said, i == 0, line);
            if (!line->failed && !holds(program, line, NULL)) { /* the same once more */
                line->length = before;
                line->data[before] = '\0';
                continue;
            }
        }
        i++;
    }
    mw_text_free(&answer);
    return well && !line->failed;
}

static void answer_written(const cli *program, const char *path, bool opened, mw_text *out)
{
    if (program->style.json) {
        mw_json json = {.out = out};
        mw_json_open(&json, '{');
        mw_json_key(&json, "written");
        mw_json_add_string(&json, mw_str_of(path));
        mw_json_key(&json, "opened");
        mw_json_add_truth(&json, opened);
        mw_json_close(&json, '}');
        mw_text_addc(out, '\n');
    } else {
        mw_text_addf(out, "%s is written%s\n", path, opened ? " and open" : "");
    }
}

/* Writes the file. A session that has no job yet goes on with a new one. */
static mw_status write_file(cli *program, const mw_statement *statement, mw_text *out)
{
    mw_job *job = program->job;
    mw_text path = {0};
    bool opens = statement->kind == MW_SAY_NEW && !mw_job_path(job) &&
                 mw_job_mould_count(job) == 0 && mw_job_line_count(job) == 0;
    mw_status status = mw_job_write_new(job, statement->span, &path, &program->diags);
    if (status == MW_OK && opens) {
        status = mw_job_open(job, mw_text_chars(&path), &program->diags);
    }
    if (status == MW_OK) {
        answer_written(program, mw_text_chars(&path), opens, out);
    }
    mw_text_free(&path);
    return status;
}

mw_status cli_begin(cli *program, const mw_statement *statement, mw_text *out)
{
    bool asks = statement->kind == MW_SAY_NEW && statement->item_count == 0 && program->interactive;
    if (!asks) {
        return write_file(program, statement, out);
    }
    mw_job_watch(program->job, NULL); /* time goes by while somebody thinks */
    mw_text line = {0};
    mw_str file = mw_sources_piece(mw_job_sources(program->job), statement->name);
    if (ask_all(program, file, &line)) {
        mw_str said = {mw_text_chars(&line), line.length};
        mw_text worth = {0};
        (void)holds(program, &line, &worth);
        printf("%s  %.*s\n", mw_text_chars(&worth), (int)said.length, said.at);
        mw_text_free(&worth);
        (void)cli_say_text(program, "<answers>", said, 1);
    } else {
        puts("nothing was written");
    }
    mw_text_free(&line);
    return MW_OK;
}
