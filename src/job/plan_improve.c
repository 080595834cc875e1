/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A longer search for a better plan, and the memory of what it found. */
#include <math.h>
#include <string.h>

#include "mouldwright/memory.h"
#include "plan_node.h"

/* Times the work of an answer. */
#define LONGER 60u

/* ---- what is known of plans, by the names of mould and step and the number of the session ---- */

static mw_str session_name(const plan_node *node, uint32_t s, uint32_t number, mw_text *room)
{
    const mould *of = &node->in->moulds[node->steps[s].mould];
    mw_text_clear(room);
    mw_text_add_str(room, of->name);
    mw_text_addc(room, '.');
    mw_text_add_str(room, node->steps[s].row->name);
    mw_text_addf(room, ".%u", (unsigned)number);
    return (mw_str){mw_text_chars(room), room->length};
}

mw_status plan_node_recall(const plan_node *node, double *order_s)
{
    const mw_job *job = node->in->job;
    mw_text room = {0};
    for (uint32_t s = 0; s < node->step_count; s++) {
        const planned_result *of = &node->results[s];
        for (uint32_t i = 0; of->planned && i < of->count; i++) {
            uint32_t at = mw_names_find(job->known_names, session_name(node, s, i, &room));
            if (at != MW_NONE) {
                order_s[of->first + i] = job->known_s[at];
            } else if (i > 0) { /* more sessions than there were */
                order_s[of->first + i] = order_s[of->first + i - 1];
            }
        }
    }
    mw_status status = room.failed ? MW_NO_MEMORY : MW_OK;
    mw_text_free(&room);
    return status;
}

static mw_status keep_session(plan_node *node, mw_str name, double start_s)
{
    mw_job *job = node->in->job;
    uint32_t at = mw_names_add(job->known_names, name);
    void *known_s = job->known_s;
    if (at == MW_NONE ||
        !mw_memory_grow32(&known_s, &job->known_room, at + 1, sizeof *job->known_s)) {
        return MW_NO_MEMORY;
    }
    job->known_s = known_s;
    job->known_s[at] = start_s;
    return MW_OK;
}

/* Keeps the order of the plan that was just made. */
static mw_status keep_order(plan_node *node)
{
    mw_job *job = node->in->job;
    if (!job->known_names) {
        job->known_names = mw_names_new();
    }
    mw_text room = {0};
    const mw_plan_slot *slots = mw_plan_slots(node->plan);
    mw_status status = job->known_names ? MW_OK : MW_NO_MEMORY;
    for (uint32_t s = 0; s < node->step_count; s++) {
        const planned_result *of = &node->results[s];
        for (uint32_t i = 0; status == MW_OK && of->planned && i < of->count; i++) {
            mw_str name = session_name(node, s, i, &room);
            status = keep_session(node, name, slots[of->first + i].start_s);
            status = room.failed ? MW_NO_MEMORY : status;
        }
    }
    mw_text_free(&room);
    return status;
}

/* ---- the search ---- */

/* Tells how far a search is: it counts what it asks, which is about once a schedule. */
typedef struct long_search {
    mw_job *job;
    uint64_t asked, schedules;
} long_search;

static bool asks(void *context)
{
    long_search *search = context;
    search->asked++;
    return !job_goes_on(search->job, (double)search->asked / (double)search->schedules);
}

static mw_status search_longer(plan_node *node, uint64_t schedules, mw_plan_outcome *outcome)
{
    if (!plan_node_gather(node, node->newest)) {
        return MW_NO_MEMORY;
    }
    uint64_t wanted = schedules ? schedules : plan_node_effort(node) * LONGER;
    long_search search = {node->in->job, 0, wanted};
    mw_plan_budget budget = {
        .seed = wanted, .schedules = wanted, .trials = wanted, .stop = asks, .context = &search};
    mw_status status = plan_node_solve(node, node->newest, &budget);
    *outcome = node->outcome;
    return status;
}

/* Has the plan made anew: the cell that counts improvements is one of its inputs. */
static mw_status plan_anew(mw_job *job, mw_changes *changes, mw_diags *diags)
{
    build *in = job->build;
    uint32_t at = global_find(in, mw_str_of("job.improved"));
    mw_edit *edit = at == MW_NONE ? NULL : mw_edit_begin(in->sheet);
    if (!edit) {
        return MW_NO_MEMORY;
    }
    uint32_t cell = in->globals[at].cell;
    mw_constant next = {mw_sheet_value(in->sheet, cell) + 1.0, MW_TYPE_NUMBER, MW_UNIT_ONE,
                        job_nowhere()};
    mw_edit_value(edit, cell, &next);
    mw_status status = mw_edit_prepare(edit, diags);
    if (status != MW_OK) {
        mw_edit_cancel(edit);
        return status;
    }
    in->globals[at].value = next.value;
    mw_edit_commit(edit, changes);
    return MW_OK;
}

mw_status mw_job_improve(mw_job *job, uint64_t schedules, mw_reply *reply, mw_diags *diags)
{
    plan_node *node = job->build->plan;
    memset(reply, 0, sizeof *reply);
    reply->kind = MW_REPLY_CHANGE;
    reply->before = mw_job_headline(job);
    reply->after = reply->before;
    if (!node || !node->newest_known) {
        mw_diags_error(diags, MW_CODE_NO_PLAN, job_nowhere(), "there is no plan to improve");
        return MW_FAILED;
    }
    if (job_keeps_order(job)) {
        mw_diag *diag = mw_diags_error(diags, MW_CODE_NO_PLAN, job_nowhere(),
                                       "the order of an adopted plan is kept: nothing is searched");
        mw_diag_try(diags, diag, "restore job.order");
        return MW_FAILED;
    }
    mw_plan_outcome outcome;
    if (node->judged.verdict == MW_PLAN_PLANNED && node->judged.bound_s >= node->judged.last_s) {
        return MW_OK;
    }
    mw_status status = plan_node_remember(node);
    status = status == MW_OK ? search_longer(node, schedules, &outcome) : status;
    status = status == MW_OK ? keep_order(node) : status;
    job->stopped = false; /* what was found until then is kept */
    if (status == MW_OK) {
        status = plan_anew(job, &reply->changes, diags);
    }
    if (status == MW_OK) {
        node->judged.bound_s = fmax(node->judged.bound_s, outcome.bound_s);
        node->judged.schedules += outcome.schedules;
        reply->after = mw_job_headline(job);
    }
    return status;
}

bool mw_job_plan(const mw_job *job, mw_plan_outcome *out)
{
    const plan_node *node = job->build->plan;
    if (!node || !node->newest_known) {
        return false;
    }
    *out = node->judged;
    return true;
}
