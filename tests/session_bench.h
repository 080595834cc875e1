/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The session's parts without a terminal: a job of its own folder, a journal beside it, statements said as they are at the
 * prompt. */
#ifndef TESTS_SESSION_BENCH_H
#define TESTS_SESSION_BENCH_H

#include "support.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/recover.h"
#include "mouldwright/file.h"
#include "mouldwright/memory.h"

typedef struct session_bench {
    char folder[64];
    char job[128];
    char state[128];
    cli program;
} session_bench;

static inline void bench_copy(const char *name, const session_bench *to)
{
    char path[256];
    char *data = NULL;
    size_t length = 0;
    snprintf(path, sizeof path, "tests/data/job/%s", name);
    assert_int_equal(mw_file_read(path, 1 << 20, &data, &length), MW_OK);
    snprintf(path, sizeof path, "%s/%s", to->folder, name);
    FILE *out = fopen(path, "wb"); /* without a flush, which takes long */
    assert_non_null(out);
    assert_int_equal(fwrite(data, 1, length, out), length);
    assert_int_equal(fclose(out), 0);
    mw_memory_give(data);
}

/* A folder with a job, what it may include, and an empty state folder. */
static inline void session_folder(session_bench *bench)
{
    memset(bench, 0, sizeof *bench);
    snprintf(bench->folder, sizeof bench->folder, "%s", support_folder());
    snprintf(bench->job, sizeof bench->job, "%s/two.job", bench->folder);
    snprintf(bench->state, sizeof bench->state, "%s/state", bench->folder);
    bench_copy("two.job", bench);
    bench_copy("more.inc", bench);
    bench_copy("good.csv", bench);
    assert_int_equal(setenv("XDG_STATE_HOME", bench->state, 1), 0);
}

/* Starts a session on the folder's job; `live`: as at a terminal. Returns how opening went. */
static inline mw_status session_open(session_bench *bench, bool live)
{
    static const char *const folders[] = {"", "tests/data/job"};
    mw_job_options options = {.today_s = 1798934400.0, /* 2027-01-02 */
                              .folders = folders,
                              .folder_count = 2};
    cli *program = &bench->program;
    memset(program, 0, sizeof *program);
    program->style.width = 80;
    program->style.plain = true;
    mw_status status = mw_diags_start(&program->diags);
    program->job = status == MW_OK ? mw_job_new(&options) : NULL;
    if (!program->job) {
        return MW_NO_MEMORY;
    }
    status = mw_job_open(program->job, bench->job, &program->diags);
    journal_start(&program->journal, program->job, live);
    return status;
}

/* Ends it: as by a kill, or with the journal removed. */
static inline void session_close(session_bench *bench, bool remove)
{
    if (bench->program.job) {
        journal_end(&bench->program.journal, remove);
    }
    mw_job_free(bench->program.job);
    mw_diags_free(&bench->program.diags);
    bench->program.job = NULL;
}

static inline void session_end(session_bench *bench)
{
    session_close(bench, false);
    support_folder_remove(bench->folder);
}

static inline mw_status session_save(cli *program)
{
    mw_save_reply reply;
    return mw_job_save(program->job, NULL, MW_SAVE_PLAIN, &reply, &program->diags);
}

/* Says one line as the prompt does, answers left out: undo, redo, save and revert, too. */
static inline mw_status session_say(cli *program, const char *line)
{
    mw_sources *sources = mw_job_sources(program->job);
    mw_reply reply;
    mw_diags_clear(&program->diags);
    if (strcmp(line, "undo") == 0) {
        return mw_job_undo(program->job, &reply, &program->diags);
    }
    if (strcmp(line, "redo") == 0) {
        return mw_job_redo(program->job, &reply, &program->diags);
    }
    if (strcmp(line, "save") == 0) {
        return session_save(program);
    }
    if (strcmp(line, "revert") == 0) {
        return mw_job_revert(program->job, &reply, &program->diags);
    }
    uint32_t source = mw_sources_add(sources, mw_str_of("<prompt>"), mw_str_of(line));
    if (source == MW_NONE) {
        return MW_NO_MEMORY;
    }
    mw_span span = {source, 0, (uint32_t)strlen(line)};
    mw_status status = mw_job_say(program->job, span, &reply, &program->diags);
    if (status != MW_OK || reply.kind != MW_REPLY_CHANGE) {
        mw_sources_drop_last(sources, source);
    }
    return status;
}

/* Says `recover`. */
static inline mw_status session_recover(cli *program, const char *line, mw_text *out)
{
    mw_sources *sources = mw_job_sources(program->job);
    uint32_t source = mw_sources_add(sources, mw_str_of("<prompt>"), mw_str_of(line));
    if (source == MW_NONE) {
        return MW_NO_MEMORY;
    }
    uint32_t length = (uint32_t)strlen(line);
    uint32_t word = length < 7 ? length : 7;
    mw_statement statement = {
        .span = {source, 0, length}, .name = {source, 0, word}, .rest = {source, word, length}};
    mw_diags_clear(&program->diags);
    return cli_recover(program, &statement, out);
}

/* All that a job answers, as JSON. */
static inline void session_reports(cli *program, mw_text *out)
{
    static const char *const words[] = {"moulds", "takeoff", "hours", "calendar", "cost", "lines"};
    mw_style style = {.width = 80, .json = true};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        mw_request request = {.word = mw_str_of(words[i]), .style = &style};
        mw_status status = i < 5 ? mw_report(program->job, &request, out, &program->diags)
                                 : mw_report_list(program->job, &request, out, &program->diags);
        mw_text_addf(out, "%d\n", (int)status);
    }
    mw_diags_clear(&program->diags);
}

#endif
