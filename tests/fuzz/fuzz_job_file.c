/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a job file. One that cannot be opened is refused with a message; one that can is changed, saved, and read
 * again: it must then say what the job says. */
#include "fuzz_job.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const char *const changes[] = {"fuzz_line = 3 kg", "a.heavy.plies = 7", "budget = 1 EUR",
                                      "drop spare"};

static void check_saved(mw_job *job, const char *path, mw_diags *diags)
{
    mw_save_reply saved;
    const mw_unsaved *list;
    uint32_t count = 1;
    mw_diags_clear(diags);
    mw_status status = mw_job_save(job, NULL, MW_SAVE_PLAIN, &saved, diags);
    require(status == MW_OK || status == MW_FAILED);
    fuzz_messages(diags, job);
    if (status != MW_OK) {
        return;
    }
    require(mw_job_unsaved(job, &list, &count) == MW_OK && count == 0);
    mw_job *again = fuzz_job();
    mw_diags_clear(diags);
    require(mw_job_open(again, path, diags) == MW_OK);
    require(mw_job_line_count(again) == mw_job_line_count(job));
    require(mw_job_mould_count(again) == mw_job_mould_count(job));
    mw_headline one = mw_job_headline(job);
    mw_headline other = mw_job_headline(again);
    require(memcmp(&one, &other, sizeof one) == 0);
    mw_job_free(again);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const char *path = fuzz_path("fuzz.job");
    mw_diags diags;
    mw_reply reply;
    require(mw_diags_start(&diags) == MW_OK);
    fuzz_write(path, (mw_str){(const char *)data, size});
    mw_job *job = fuzz_job();
    mw_status status = mw_job_open(job, path, &diags);
    require(status == MW_OK || (status == MW_FAILED && diags.errors > 0));
    fuzz_messages(&diags, job);
    if (status == MW_OK) {
        for (size_t i = 0; i < sizeof changes / sizeof *changes; i++) {
            mw_diags_clear(&diags);
            status = fuzz_say(job, mw_str_of(changes[i]), &reply, &diags);
            require(status == MW_OK || status == MW_FAILED);
        }
        check_saved(job, path, &diags);
    }
    mw_job_free(job);
    mw_diags_free(&diags);
    return 0;
}
