/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a journal: what is found in it lies in it, and making it again ends, with messages for what does not
 * apply, and can be taken back. */
#include "fuzz_job.h"

#include "cli/recover.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    cli program = {.style = {.width = 80}};
    left_journal left = {0};
    played made;
    mw_text shown = {0};
    mw_reply reply;
    mw_str bytes = {(const char *)data, size};
    require(mw_diags_start(&program.diags) == MW_OK);
    program.job = fuzz_job();
    program.journal.file = -1;
    require(mw_job_open(program.job, "tests/data/job/two.job", &program.diags) == MW_OK);
    bool some = journal_look(bytes, 0, &left);
    require(left.rest.at >= bytes.at && left.rest.at + left.rest.length <= bytes.at + size);
    require(some == (left.count > 0 || left.damaged));
    recover_words(&left, &shown);
    require(!shown.failed);
    require(recover_play(&program, &left, &made) == MW_OK);
    fuzz_messages(&program.diags, program.job);
    for (size_t i = 0; i < made.taken; i++) {
        require(mw_job_undo(program.job, &reply, &program.diags) == MW_OK);
    }
    mw_text_free(&shown);
    mw_job_free(program.job);
    mw_diags_free(&program.diags);
    return 0;
}
