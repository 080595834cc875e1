/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Jobs for fuzz targets: on the frozen recipes of tests/data/job, in a folder of their own. */
#ifndef TESTS_FUZZ_JOB_H
#define TESTS_FUZZ_JOB_H

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "mouldwright/file.h"
#include "mouldwright/job.h"
#include "mouldwright/memory.h"

static inline void require(bool condition)
{
    if (!condition) {
        abort();
    }
}

/* The path of a file in a folder that is made once. */
static inline const char *fuzz_path(const char *name)
{
    static char folder[] = "/tmp/mouldwright-fuzz-XXXXXX";
    static char paths[2][64];
    static int next;
    static bool made;
    if (!made) {
        require(mkdtemp(folder) != NULL);
        made = true;
    }
    next = !next;
    snprintf(paths[next], sizeof paths[next], "%s/%s", folder, name);
    return paths[next];
}

/* Not by mw_file_replace(): it flushes, which takes long. */
static inline void fuzz_write(const char *path, mw_str text)
{
    FILE *out = fopen(path, "wb");
    require(out != NULL && fwrite(text.at, 1, text.length, out) == text.length);
    require(fclose(out) == 0);
}

static inline mw_job *fuzz_job(void)
{
    static const char *const folders[] = {"", "tests/data/job"};
    mw_job_options options = {.today_s = 1798934400.0, .folders = folders, .folder_count = 2};
    mw_job *job = mw_job_new(&options);
    require(job != NULL);
    return job;
}

/* Says one line; the text stays among the sources. */
static inline mw_status fuzz_say(mw_job *job, mw_str line, mw_reply *reply, mw_diags *diags)
{
    uint32_t source = mw_sources_add(mw_job_sources(job), mw_str_of("<prompt>"), line);
    require(source != MW_NONE);
    return mw_job_say(job, (mw_span){source, 0, (uint32_t)line.length}, reply, diags);
}

/* Every message is valid text. */
static inline void fuzz_messages(const mw_diags *diags, mw_job *job)
{
    mw_text out = {0};
    mw_diags_render(diags, mw_job_sources(job), &out);
    require(!out.failed);
    require(mw_utf8_check((mw_str){mw_text_chars(&out), out.length}) == out.length);
    mw_text_free(&out);
}

#endif
