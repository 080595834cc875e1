/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A job on the frozen recipes of tests/data/job, and statements said to it. */
#ifndef TESTS_JOB_BENCH_H
#define TESTS_JOB_BENCH_H

#include "support.h"

#include <stdio.h>
#include <string.h>

#include "mouldwright/job.h"

typedef struct job_bench {
    mw_job *job;
    mw_diags diags;
    mw_reply reply;
    mw_status status;
} job_bench;

static inline void bench_clear(job_bench *bench)
{
    mw_diags_clear(&bench->diags);
}

/* A new job; `path` NULL: empty. The status of opening is in `status`. */
static inline void bench_start(job_bench *bench, const char *path)
{
    static const char *const folders[] = {"", "tests/data/job"};
    mw_job_options options = {.today_s = 1798934400.0, /* 2027-01-02 */
                              .folders = folders,
                              .folder_count = 2};
    memset(bench, 0, sizeof *bench);
    assert_int_equal(mw_diags_start(&bench->diags), MW_OK);
    bench->job = mw_job_new(&options);
    assert_non_null(bench->job);
    if (path) {
        bench->status = mw_job_open(bench->job, path, &bench->diags);
    }
}

/* A job on the shipped recipes. */
static inline void bench_open_shipped(job_bench *bench, const char *path)
{
    static const char *const folders[] = {"", "recipes"};
    const mw_job_options options = {.today_s = 1798934400.0, .folders = folders, .folder_count = 2};
    memset(bench, 0, sizeof *bench);
    assert_int_equal(mw_diags_start(&bench->diags), MW_OK);
    bench->job = mw_job_new(&options);
    assert_non_null(bench->job);
    assert_int_equal(mw_job_open(bench->job, path, &bench->diags), MW_OK);
}

static inline void bench_end(job_bench *bench)
{
    mw_job_free(bench->job);
    mw_diags_free(&bench->diags);
}

/* Says one statement; the answer is in `reply`. */
static inline mw_status bench_say(job_bench *bench, const char *statement)
{
    mw_sources *sources = mw_job_sources(bench->job);
    uint32_t source = mw_sources_add(sources, mw_str_of("<test>"), mw_str_of(statement));
    assert_int_not_equal(source, MW_NONE);
    bench_clear(bench);
    mw_span span = {source, 0, (uint32_t)strlen(statement)};
    bench->status = mw_job_say(bench->job, span, &bench->reply, &bench->diags);
    return bench->status;
}

/* Says several statements, one a line; all must be accepted. */
static inline void bench_say_all(job_bench *bench, const char *statements)
{
    const char *at = statements;
    while (at && *at) {
        size_t length = strcspn(at, "\n");
        char line[512];
        assert_true(length < sizeof line);
        memcpy(line, at, length);
        line[length] = '\0';
        if (bench_say(bench, line) != MW_OK) {
            fail_msg("`%s` was refused: %s", line,
                     bench->diags.count ? bench->diags.items[0].message : "no message");
        }
        at += length + (at[length] == '\n');
    }
}

/* The value of a formula in SI. */
static inline double bench_value(job_bench *bench, const char *formula)
{
    if (bench_say(bench, formula) != MW_OK || bench->reply.kind != MW_REPLY_VALUE) {
        fail_msg("`%s` has no value: %s", formula,
                 bench->diags.count ? bench->diags.items[0].message : "no message");
    }
    return bench->reply.values[0];
}

#endif
