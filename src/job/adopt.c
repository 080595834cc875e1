/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Adopting the present plan: its order becomes a line of the job, which is undone, saved and given up as any other. */
#include <math.h>
#include <string.h>

#include "plan_node.h"

static mw_status refuse_adopt(mw_job *job, mw_diags *diags)
{
    const plan_node *node = job->build->plan;
    if (node && node->newest_known) {
        mw_diag *diag = mw_diags_error(diags, MW_CODE_NO_PLAN, job_nowhere(),
                                       "an order is kept already: that of `job.order`");
        mw_diag_try(diags, diag, "restore job.order, and adopt the plan that is searched then");
    } else {
        mw_diag *diag =
            mw_diags_error(diags, MW_CODE_NO_PLAN, job_nowhere(), "there is no plan to adopt");
        mw_diag_try(diags, diag, "moulds, to see which has no dates");
    }
    return MW_FAILED;
}

bool job_keeps_order(const mw_job *job)
{
    return document_find(&job->build->document, mw_str_of("set job.order")) != MW_NONE;
}

static mw_status compose(mw_job *job, uint32_t *source, uint32_t *length)
{
    mw_text words = {0};
    mw_text_adds(&words, "job.order = \"");
    mw_status status = plan_node_order_words(job->build->plan, &words);
    mw_text_adds(&words, "\"");
    *length = (uint32_t)words.length;
    if (status == MW_OK && !words.failed) {
        *source = mw_sources_add(job->sources, mw_str_of("<adopt>"),
                                 (mw_str){mw_text_chars(&words), words.length});
    }
    mw_text_free(&words);
    return status != MW_OK ? status : *source == MW_NONE ? MW_NO_MEMORY : MW_OK;
}

mw_status mw_job_adopt(mw_job *job, mw_span statement, mw_reply *reply, mw_diags *diags)
{
    uint32_t source = MW_NONE;
    uint32_t length = 0;
    memset(reply, 0, sizeof *reply);
    if (!job->build->plan || !job->build->plan->newest_known || job_keeps_order(job)) {
        return refuse_adopt(job, diags);
    }
    mw_status status = compose(job, &source, &length);
    if (status != MW_OK) {
        return status;
    }
    mw_reply said;
    status = mw_job_say(job, (mw_span){source, 0, length}, &said, diags);
    if (status == MW_OK) {
        *reply = (mw_reply){.kind = MW_REPLY_CHANGE,
                            .before = said.before,
                            .after = said.after,
                            .reason = said.reason,
                            .changes = said.changes,
                            .warnings = said.warnings,
                            .warning_count = said.warning_count};
        job->undo[job->undo_at - 1].span = statement; /* what the user said, for undo */
    }
    return status;
}

uint32_t mw_job_kept(const mw_job *job, uint32_t *held)
{
    const plan_node *node = job->build->plan;
    *held = 0;
    if (!node || !node->kept_known || !job_keeps_order(job)) {
        return 0;
    }
    uint32_t count = mw_names_count(node->kept.names);
    for (uint32_t i = 0; i < count; i++) {
        *held += node->kept.from_s[i] > -HUGE_VAL;
    }
    return count;
}
