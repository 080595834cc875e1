/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From one document to the next: in place where only formulas change, else by a build beside the present one. */
#include "parts.h"

#include <string.h>

#include "mouldwright/memory.h"

/* Whether a quantity or line can be changed without building anew: no choice of material, no name that becomes or
 * ceases to be an input's line. */
typedef struct reach_kinds {
    const build *in;
    uint32_t texts;
    uint32_t count;
} reach_kinds;

static void look_kind(void *context, uint32_t m, uint32_t at)
{
    reach_kinds *kinds = context;
    kinds->count++;
    kinds->texts += kinds->in->moulds[m].kit->slots[at].type == MW_TYPE_TEXT;
}

static bool in_place(build *in, const entry *item, bool appears, bool by_mould)
{
    if (item->kind == ENTRY_START) {
        return false; /* rare, and everything moves */
    }
    if (item->kind != ENTRY_SET) {
        return false;
    }
    reach_kinds kinds = {in, 0, 0};
    layers_reach(in, item, look_kind, &kinds);
    if (item->part_count == 1) {
        return !((appears || by_mould) && kinds.count > 0);
    }
    return kinds.texts == 0;
}

/* ---- in place ---- */

typedef struct redefining {
    build *in;
    mw_edit *edit;
    mw_diags *diags;
    mw_status status;
} redefining;

static void redefine(void *context, uint32_t m, uint32_t at)
{
    redefining *job = context;
    if (job->status == MW_OK) {
        job->status = layers_define(job->in, job->edit, m, at, job->diags);
    }
}

static mw_status redefine_reached(build *in, mw_edit *edit, const entry *item, mw_diags *diags)
{
    uint32_t at = global_find(in, item->name);
    if (at != MW_NONE && item->part_count > 1) {
        global_define(in, edit, at);
        return MW_OK;
    }
    redefining job = {in, edit, diags, MW_OK};
    if (item->part_count > 1) {
        layers_reach(in, item, redefine, &job);
    }
    return job.status;
}

/* Makes the line or override `after` (NULL: takes it away) what `key` stands for. */
static mw_status edit_one(build *in, const entry *before, const entry *after, mw_edit *edit,
                          mw_diags *diags)
{
    const entry *item = after ? after : before;
    if (item->part_count == 1) {
        if (mw_names_find(in->mould_names, item->name) != MW_NONE) {
            mw_diags_error(diags, MW_CODE_NAME_TAKEN, item->name_at,
                           "`%.*s` is the name of a mould", (int)item->name.length, item->name.at);
            return MW_FAILED;
        }
        uint32_t cell = mw_edit_cell(edit, item->name);
        if (cell == MW_NONE) {
            return MW_NO_MEMORY;
        }
        if (after) {
            mw_definition definition = {after->formula, &in->scope, MW_NONE, MW_NONE};
            mw_edit_formula(edit, cell, &definition);
        } else {
            mw_edit_remove(edit, cell);
        }
        return MW_OK;
    }
    if (after) {
        mw_status status = layers_attach(in, after, diags);
        return status == MW_OK ? redefine_reached(in, edit, after, diags) : status;
    }
    layers_detach(in, before);
    return redefine_reached(in, edit, before, diags);
}

/* Puts the layers back as they were before edit_one(). */
static void put_back(build *in, const entry *before, const entry *after)
{
    if (!before) {
        if (after->part_count > 1) {
            layers_detach(in, after);
        }
        return;
    }
    if (before->part_count == 1) {
        return;
    }
    mw_diags quiet = {0};
    mw_status status = layers_attach(in, before, &quiet);
    (void)status; /* it was attached before: nothing is refused, and its layers are spare */
}

/* A move from one document to the next in which one entry differs. */
typedef struct one_change {
    const document *to;
    const entry *before; /* NULL: it appears */
    const entry *after;  /* NULL: it goes */
} one_change;

static mw_status change_in_place(build *in, const one_change *move, mw_changes *changes,
                                 mw_diags *diags)
{
    mw_edit *edit = mw_edit_begin(in->sheet);
    if (!edit) {
        return MW_NO_MEMORY;
    }
    build_note_edit(in);
    in->lost = false;
    mw_status status = edit_one(in, move->before, move->after, edit, diags);
    if (status == MW_OK) {
        status = mw_edit_prepare(edit, diags);
    }
    status = in->lost ? MW_NO_MEMORY : status;
    if (status == MW_OK) {
        status = keep_now(in->job, diags);
    }
    build_end_edit(in, status == MW_OK);
    if (status != MW_OK) {
        mw_edit_cancel(edit);
        put_back(in, move->before, move->after);
        return status;
    }
    mw_edit_commit(edit, changes);
    in->document = *move->to;
    return MW_OK;
}

static mw_status change_anew(mw_job *job, const document *to, mw_changes *changes, mw_diags *diags)
{
    build *next = NULL;
    mw_status status = build_make(job, to, &next, diags);
    if (status == MW_OK) {
        status = keep_now(job, diags);
        if (status != MW_OK) {
            build_free(next);
        }
    }
    if (status != MW_OK) {
        return status;
    }
    plan_node_carry(job->build->plan, next->plan);
    build_free(job->build);
    job->build = next;
    *changes = next->changes;
    return MW_OK;
}

mw_status change_to(mw_job *job, const document *to, mw_str key, mw_changes *changes,
                    mw_diags *diags)
{
    build *in = job->build;
    document from = in->document;
    uint32_t at = document_find(&from, key);
    uint32_t then = document_find(to, key);
    const entry *before = at == MW_NONE ? NULL : from.items[at];
    const entry *after = then == MW_NONE ? NULL : to->items[then];
    bool appears = !before || !after;
    memset(changes, 0, sizeof *changes);
    bool by_mould = (before && before->uses_usual) || (after && after->uses_usual);
    if (key.length == 0 || (!before && !after) ||
        !in_place(in, after ? after : before, appears, by_mould)) {
        return change_anew(job, to, changes, diags);
    }
    one_change move = {to, before, after};
    mw_status status = change_in_place(in, &move, changes, diags);
    mw_status held = status == MW_OK && after ? hidden_check(in, after, diags) : MW_OK;
    if (status == MW_OK && (held != MW_OK || limits_check(in, diags) != MW_OK)) {
        keep_take_back(job);
        mw_changes back;
        mw_diags quiet;
        mw_status undone = mw_diags_start(&quiet);
        if (undone == MW_OK) {
            one_change return_move = {&from, after, before};
            undone = change_in_place(in, &return_move, &back, &quiet);
        }
        mw_diags_free(&quiet);
        return undone != MW_OK ? undone : held == MW_NO_MEMORY ? held : MW_FAILED;
    }
    return status;
}
