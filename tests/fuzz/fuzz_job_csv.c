/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a list of moulds: it is taken whole, or refused with a message and the job is as it was. */
#include "fuzz_job.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const char *const lines[] = {"shop \"yard\"", "start 2027-01-04",
                                        "moulds from \"list.csv\""};
    const char *job_path = fuzz_path("list.job");
    mw_diags diags;
    mw_reply reply;
    require(mw_diags_start(&diags) == MW_OK);
    fuzz_write(fuzz_path("list.csv"), (mw_str){(const char *)data, size});
    fuzz_write(job_path, (mw_str){"", 0});
    mw_job *job = fuzz_job();
    require(mw_job_open(job, job_path, &diags) == MW_OK);
    mw_status status = MW_OK;
    for (size_t i = 0; i < 3; i++) {
        mw_diags_clear(&diags);
        status = fuzz_say(job, mw_str_of(lines[i]), &reply, &diags);
        require(status == MW_OK || (status == MW_FAILED && diags.errors > 0 && i == 2));
    }
    fuzz_messages(&diags, job);
    require(status == MW_OK || mw_job_mould_count(job) == 0);
    mw_job_free(job);
    mw_diags_free(&diags);
    return 0;
}
