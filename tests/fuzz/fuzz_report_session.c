/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as what is typed in a session, line by line: each is answered, or refused with a message; undo takes all of
 * it back to the job as it was. */
#include "fuzz_job.h"

#include "mouldwright/report.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { MOST_LINES = 40 };

static void say_one(mw_job *job, mw_span span, mw_diags *diags)
{
    static const mw_style style = {.width = 80};
    mw_reply reply;
    mw_text out = {0};
    mw_diags_clear(diags);
    mw_status status = mw_job_say(job, span, &reply, diags);
    require(status == MW_OK || (status == MW_FAILED && diags->errors > 0));
    if (status == MW_OK && reply.kind != MW_REPLY_COMMAND) {
        status = mw_report_reply(job, &reply, &style, &out);
        require(status == MW_OK || status == MW_FAILED);
        require(mw_utf8_check((mw_str){mw_text_chars(&out), out.length}) == out.length);
    }
    fuzz_messages(diags, job);
    mw_text_free(&out);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    mw_diags diags;
    mw_reply reply;
    require(mw_diags_start(&diags) == MW_OK);
    mw_job *job = fuzz_job();
    require(mw_job_open(job, "tests/data/job/two.job", &diags) == MW_OK);
    mw_headline before = mw_job_headline(job);
    uint32_t source = mw_sources_add(mw_job_sources(job), mw_str_of("<prompt>"),
                                     (mw_str){(const char *)data, size});
    require(source != MW_NONE);
    uint32_t at = 0;
    mw_span span;
    for (int i = 0; i < MOST_LINES && mw_next_line(mw_job_sources(job), source, &at, &span); i++) {
        say_one(job, span, &diags);
    }
    mw_diags_clear(&diags);
    for (int i = 0; i < MOST_LINES && mw_job_undo(job, &reply, &diags) == MW_OK; i++) {
    }
    mw_headline after = mw_job_headline(job);
    require(memcmp(&before, &after, sizeof before) == 0);
    mw_job_free(job);
    mw_diags_free(&diags);
    return 0;
}
