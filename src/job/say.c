/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One statement: read, carried out, answered. And its undoing. */
#include "saving.h"

#include <math.h>
#include <string.h>

#include "mouldwright/memory.h"

/* ---- showing ---- */

/* A line that is a range, named alone, is shown as the range that it is. */
static void show_range(mw_job *job, const mw_statement *statement, mw_reply *reply)
{
    const mw_node *root = &job->ast.nodes[statement->formula];
    if (root->kind != MW_NODE_PATH || root->count != 1) {
        return;
    }
    uint32_t cell = mw_sheet_find(job->build->sheet, job->ast.parts[root->a]);
    mw_shape shape = MW_SHAPE_ONE;
    uint32_t count = 0;
    uint32_t first =
        cell == MW_NONE ? MW_NONE : mw_sheet_elements(job->build->sheet, cell, &count, &shape);
    for (uint32_t i = 0; shape == MW_SHAPE_RANGE && i < count; i++) {
        job->answer[i] = mw_sheet_value(job->build->sheet, first + i);
        reply->meaning.shape = MW_SHAPE_RANGE;
        reply->meaning.length = count;
    }
}

/* The error of a formula that has no value at all; MW_CODE_COUNT for one that has some. */
static mw_code only_error(const mw_reply *reply)
{
    for (uint32_t i = 0; i < reply->meaning.length; i++) {
        if (mw_error_code(reply->values[i]) == MW_CODE_COUNT) {
            return MW_CODE_COUNT;
        }
    }
    return reply->meaning.length == 0 ? MW_CODE_COUNT : mw_error_code(reply->values[0]);
}

/* A formula without any value has failed: says why, and where that comes from. */
static mw_status refuse_error(mw_job *job, const mw_statement *statement, const mw_reply *reply,
                              mw_diags *diags)
{
    mw_code code = only_error(reply);
    if (code == MW_CODE_COUNT) {
        return MW_OK;
    }
    mw_diag *diag =
        mw_diags_error(diags, code, statement->formula_span, "no value: %s", mw_code_title(code));
    const mw_node *root = &job->ast.nodes[statement->formula];
    mw_path path = {job->ast.parts + root->a, root->count, statement->formula_span};
    mw_reference found;
    build *in = job->build;
    if (root->kind == MW_NODE_PATH &&
        in->scope.find(in->scope.context, &path, &found, diags) == MW_OK && !found.list) {
        uint32_t blame = mw_sheet_blame(in->sheet, found.slot);
        mw_span from = blame == MW_NONE ? job_nowhere() : mw_sheet_formula(in->sheet, blame);
        if (from.source != MW_NONE) {
            mw_text name = {0};
            build_cell_words(in, blame, &name);
            mw_diag_other(diags, diag, from, "it arises in `%s`", mw_text_chars(&name));
            mw_text_free(&name);
        }
    }
    return MW_FAILED;
}

static bool answer_room(mw_job *job, uint32_t length)
{
    if (length <= job->answer_room) {
        return true;
    }
    double *more = mw_memory_resize(job->answer, length * sizeof *more);
    if (more) {
        job->answer = more;
        job->answer_room = length;
    }
    return more != NULL;
}

static mw_status show(mw_job *job, const mw_statement *statement, mw_reply *reply, mw_diags *diags)
{
    if (!answer_room(job, 8)) {
        return MW_NO_MEMORY;
    }
    mw_answer answer = {.values = job->answer, .room = job->answer_room};
    mw_status status = mw_sheet_try(job->build->sheet, statement->formula_span, &job->build->scope,
                                    &answer, diags);
    if (status == MW_OK && answer.meaning.length > answer.room) {
        if (!answer_room(job, answer.meaning.length)) {
            return MW_NO_MEMORY;
        }
        answer.values = job->answer;
        answer.room = job->answer_room;
        status = mw_sheet_try(job->build->sheet, statement->formula_span, &job->build->scope,
                              &answer, diags);
    }
    reply->kind = MW_REPLY_VALUE;
    reply->meaning = answer.meaning;
    reply->values = job->answer;
    if (status == MW_OK) {
        show_range(job, statement, reply);
        status = refuse_error(job, statement, reply, diags);
    }
    return status;
}

/* ---- changing ---- */

/* The values that a change reaches, before and after: the reply shows the first that differs. */
typedef struct reached {
    const build *in;
    layer_rank rank; /* of what reaches them */
    double *values;
    uint32_t *cells;
    bool *hidden; /* a narrower value of its own is in force */
    uint32_t count, room;
} reached;

#define REACHED_MAX 4096

static void take_reached(void *context, uint32_t m, uint32_t at)
{
    reached *list = context;
    if (list->count < list->room) {
        uint32_t cell = list->in->moulds[m].cells[at];
        list->cells[list->count] = cell;
        list->hidden[list->count] = layers_hide(list->in->moulds[m].layers[at], list->rank);
        list->values[list->count++] = mw_sheet_value(list->in->sheet, cell);
    }
}

static bool reach_room(mw_job *job, reached *list)
{
    *list = (reached){.room = REACHED_MAX};
    list->values = mw_arena_get(job->scratch, REACHED_MAX * sizeof *list->values);
    list->cells = mw_arena_get(job->scratch, REACHED_MAX * sizeof *list->cells);
    list->hidden = mw_arena_get(job->scratch, REACHED_MAX * sizeof *list->hidden);
    return list->values && list->cells && list->hidden;
}

/* Needs no memory: it must not fail once the job has changed. */
static void reach_values(const mw_job *job, const entry *item, reached *list)
{
    build *in = job->build;
    list->in = in;
    list->rank = item && item->kind == ENTRY_SET ? layers_rank(item) : RANK_FIELD;
    if (!item || item->kind != ENTRY_SET) {
        return;
    }
    uint32_t at = item->part_count == 1 ? MW_NONE : global_find(in, item->name);
    uint32_t cell = item->part_count == 1 ? mw_sheet_find(in->sheet, item->name)
                    : at != MW_NONE       ? in->globals[at].cell
                                          : MW_NONE;
    if (cell != MW_NONE) {
        list->cells[0] = cell;
        list->hidden[0] = false;
        list->values[0] = mw_sheet_value(in->sheet, cell);
        list->count = 1;
    } else {
        layers_reach(in, item, take_reached, list);
    }
}

/* The first of both that differs, else the first that is in force, else the first. */
static uint32_t first_difference(const reached *before, const reached *after)
{
    for (uint32_t i = 0; before->count == after->count && i < after->count; i++) {
        bool bad = isnan(before->values[i]) && isnan(after->values[i]);
        if (before->values[i] != after->values[i] && !bad) {
            return i;
        }
    }
    for (uint32_t i = 0; i < after->count; i++) {
        if (!after->hidden[i]) {
            return i;
        }
    }
    return 0;
}

/* Makes room for one more step: adding it once the job has changed must not fail. */
static bool undo_room(mw_job *job)
{
    void *undo = job->undo;
    bool room = mw_memory_grow(&undo, &job->undo_capacity, job->undo_at + 1, sizeof *job->undo);
    job->undo = undo;
    return room;
}

static void push_undo(mw_job *job, const undo_step *step)
{
    job->undo[job->undo_at++] = *step;
    job->undo_count = job->undo_at;
}

/* What the reply says of a move between documents. */
static void word_reason(mw_job *job, mw_reply *reply)
{
    bool moved = reply->before.ready_s != reply->after.ready_s &&
                 !(isnan(reply->before.ready_s) && isnan(reply->after.ready_s));
    bool lost = mw_error_code(reply->after.ready_s) == MW_CODE_NEVER;
    if (!moved || isnan(reply->before.ready_s) || (isnan(reply->after.ready_s) && !lost)) {
        return;
    }
    mw_text reason = {0};
    plan_node_reason(job, reply->after.ready_s > reply->before.ready_s, &reason);
    if (!reason.failed) {
        reply->reason = job_copy(job->scratch, (mw_str){mw_text_chars(&reason), reason.length});
    }
    mw_text_free(&reason);
}

/* A value with its kind, which outlives the sheet that it is from. */
typedef struct old_value {
    double value;
    mw_type type;
    mw_unit unit;
    mw_str text; /* what a text says: its number means something in its own sheet only */
} old_value;

static bool keep_old(mw_job *job, const reached *before, uint32_t at, old_value *old)
{
    mw_sheet *sheet = job->build->sheet;
    *old = (old_value){.value = before->values[at],
                       .type = mw_sheet_type(sheet, before->cells[at]),
                       .unit = mw_sheet_unit(sheet, before->cells[at])};
    if (old->type == MW_TYPE_TEXT && mw_error_code(old->value) == MW_CODE_COUNT) {
        old->text = job_copy(job->scratch, mw_values_text_of(mw_sheet_values(sheet), old->value));
        return old->text.at != NULL;
    }
    return true;
}

/* What was, in terms of the sheet that is. Without memory for a text there is no old value. */
static void revive_old(mw_job *job, const reached *before, old_value *olds)
{
    for (uint32_t i = 0; i < before->count; i++) {
        if (olds[i].text.at) {
            olds[i].value = mw_values_text(mw_sheet_values(job->build->sheet), olds[i].text);
        }
        before->values[i] = olds[i].value;
    }
}

static void fill_old(const reached *before, const old_value *olds, uint32_t at, mw_reply *reply)
{
    reply->fresh = before->count == 0;
    if (!reply->fresh) {
        const old_value *old = &olds[at < before->count ? at : 0];
        reply->old_value = old->value;
        reply->old_type = old->type;
        reply->old_unit = old->unit;
    }
}

static void fill_new(mw_job *job, const reached *after, uint32_t at, mw_reply *reply)
{
    reply->gone = after->count == 0;
    if (!reply->gone) {
        reply->new_value = after->values[at];
        reply->type = mw_sheet_type(job->build->sheet, after->cells[at]);
        reply->unit = mw_sheet_unit(job->build->sheet, after->cells[at]);
    }
}

/* The full path of a cell, for the reply; empty when there is no memory. */
static mw_str cell_name(mw_job *job, uint32_t cell)
{
    mw_text name = {0};
    mw_job_cell_words(job, cell, &name);
    mw_str copy = job_copy(job->scratch, (mw_str){mw_text_chars(&name), name.length});
    mw_text_free(&name);
    return copy;
}

/* Names what keeps a narrower value. Without memory for that it is not told: what changed has changed. */
static void tell_kept(mw_job *job, const entry *item, mw_reply *reply)
{
    reached all;
    if (!item || item->kind != ENTRY_SET || !reach_room(job, &all)) {
        return;
    }
    all.in = job->build;
    all.rank = layers_rank(item);
    layers_reach(job->build, item, take_reached, &all);
    mw_str *kept = mw_arena_get(job->scratch, (all.count + 1) * sizeof *kept);
    for (uint32_t i = 0; kept && i < all.count; i++) {
        if (all.hidden[i]) {
            kept[reply->kept_count++] = cell_name(job, all.cells[i]);
        }
    }
    bool line = item->part_count == 1 && mw_sheet_find(job->build->sheet, item->name) != MW_NONE;
    reply->kept = kept;
    reply->nowhere = !line && all.count > 0 && reply->kept_count == all.count;
}

/* Goes from one document to another and fills the reply. `item` is the entry that changes, for old -> new. */
static mw_status move_to(mw_job *job, const document *to, const entry *item, mw_reply *reply,
                         mw_diags *diags)
{
    reached before;
    reached after;
    reply->kind = MW_REPLY_CHANGE;
    reply->before = mw_job_headline(job);
    if (!reach_room(job, &before) || !reach_room(job, &after)) {
        return MW_NO_MEMORY;
    }
    reach_values(job, item, &before);
    /* asked before the sheet changes, for each, since which one is shown is not known yet */
    old_value *olds = mw_arena_get(job->scratch, (before.count + 1) * sizeof *olds);
    for (uint32_t i = 0; olds && i < before.count; i++) {
        olds = keep_old(job, &before, i, &olds[i]) ? olds : NULL;
    }
    warning_set warned = {0};
    mw_status status = olds ? plan_node_remember(job->build->plan) : MW_NO_MEMORY;
    if (status == MW_OK) {
        status = mw_job_warnings(job, MW_NONE, &warned.items, &warned.count);
    }
    if (status == MW_OK) {
        status = change_to(job, to, item ? item->key : (mw_str){0}, &reply->changes, diags);
    }
    if (status != MW_OK) {
        return status;
    }
    reach_values(job, item, &after);
    revive_old(job, &before, olds);
    uint32_t shown = first_difference(&before, &after);
    fill_old(&before, olds, shown, reply);
    fill_new(job, &after, shown, reply);
    tell_kept(job, item, reply);
    if (after.count > 1 && !reply->nowhere) {
        reply->others = after.count - reply->kept_count - 1;
        reply->shown = cell_name(job, after.cells[shown]);
    }
    reply->after = mw_job_headline(job);
    reply->what = item && item->kind == ENTRY_SET ? item->name : (mw_str){0};
    word_reason(job, reply);
    if (warnings_new(job, &warned, reply) != MW_OK) {
        reply->warning_count = 0; /* what changed has changed: `cautions` tells them */
    }
    return MW_OK;
}

/* Makes a step that can be undone, once keep_next() has said what it is. */
static mw_status make_step(mw_job *job, const undo_step *step, const entry *item, mw_reply *reply,
                           mw_diags *diags)
{
    mw_status status =
        undo_room(job) ? move_to(job, &step->after, item, reply, diags) : MW_NO_MEMORY;
    if (status == MW_OK) {
        push_undo(job, step);
    }
    keep_end(job, status == MW_OK);
    return status;
}

/* Tells the keeper of a step: as what was said, or else as the text of the whole job. */
static mw_status keep_step(mw_job *job, const document *to, mw_str words, mw_diags *diags)
{
    if (words.length > 0 || !job->keeping.keeper) {
        keep_next(job, MW_KEEP_SAY, words);
        return MW_OK;
    }
    mw_text text = {0};
    mw_status status = save_text_of(job, to, &text, diags);
    mw_str copy = {0};
    if (status == MW_OK) {
        copy = job_copy(job->scratch, (mw_str){mw_text_chars(&text), text.length});
        status = copy.at ? MW_OK : MW_NO_MEMORY;
    }
    mw_text_free(&text);
    if (status == MW_OK) {
        keep_next(job, MW_KEEP_TEXT, copy);
    }
    return status;
}

mw_status job_enter(mw_job *job, const job_step *made, mw_reply *reply, mw_diags *diags)
{
    document to;
    document from = job->build->document;
    const entry_list *list = made->list;
    mw_status status = document_change(job, &from, &(document_step){.items = list}, &to, diags);
    bool single = status == MW_OK && list->count == 1 && list->import_count == 0;
    const entry *one = single ? list->items[0] : NULL;
    if (status == MW_OK) {
        status = keep_step(job, &to, made->words, diags);
    }
    if (status != MW_OK) {
        return status;
    }
    undo_step step = {from, to, made->span, one ? one->key : (mw_str){0}};
    return make_step(job, &step, one, reply, diags);
}

static mw_status change(mw_job *job, const mw_statement *statement, mw_reply *reply,
                        mw_diags *diags)
{
    entry_list list = {0};
    mw_status status = document_entries(job, statement, &list, diags);
    if (status == MW_OK && statement->kind == MW_SAY_ALTERNATIVE) {
        status = alternative_check(job, list.items[0], diags);
    }
    if (status == MW_OK) {
        job_step step = {&list, statement->span, mw_sources_piece(job->sources, statement->span)};
        status = job_enter(job, &step, reply, diags);
    }
    if (status == MW_OK && statement->kind == MW_SAY_ALTERNATIVE) {
        reply->put_by = list.items[0]->name;
    }
    entry_list_free(&list);
    return status;
}

static mw_status take_out(mw_job *job, const mw_statement *statement, mw_reply *reply,
                          mw_diags *diags)
{
    bool drop = statement->kind == MW_SAY_DROP;
    document from = job->build->document;
    document to;
    mw_str key = document_key(job, statement, "set", job->scratch);
    uint32_t at = key.at ? document_find(&from, key) : MW_NONE;
    bool line = at != MW_NONE && from.items[at]->part_count == 1;
    if (at == MW_NONE && drop && key.at) {
        key = document_key(job, statement, "mould", job->scratch);
        at = document_find(&from, key);
    }
    if (at == MW_NONE && drop && key.at) {
        key = document_key(job, statement, "alternative", job->scratch);
        at = document_find(&from, key);
    }
    if (!key.at) {
        return MW_NO_MEMORY;
    }
    uint32_t inputs = line ? layers_reach(job->build, from.items[at], NULL, NULL) : 0;
    if (at == MW_NONE || (!drop && line && inputs == 0)) {
        const mw_node *path = &job->ast.nodes[statement->path];
        mw_span where = {job->ast.source, path->begin, path->end};
        mw_str name = mw_sources_piece(job->sources, where);
        mw_diag *diag =
            mw_diags_error(diags, MW_CODE_NOT_OVERRIDDEN, where,
                           drop ? "there is no line, mould or alternative `%.*s`"
                                : "`%.*s` has not been set, so there is nothing to put back",
                           (int)name.length, name.at);
        if (!drop && line) {
            mw_diag_try(diags, diag, "drop %.*s", (int)name.length, name.at);
        }
        return MW_FAILED;
    }
    const entry *item = from.items[at];
    mw_status status =
        document_change(job, &from, &(document_step){.without = item->key}, &to, diags);
    undo_step step = {from, to, statement->span, item->key};
    if (status != MW_OK) {
        return status;
    }
    keep_next(job, MW_KEEP_SAY, mw_sources_piece(job->sources, statement->span));
    return make_step(job, &step, item, reply, diags);
}

/* ---- undo ---- */

static const entry *entry_of(const document *from, mw_str key)
{
    uint32_t at = key.length ? document_find(from, key) : MW_NONE;
    return at == MW_NONE ? NULL : from->items[at];
}

static mw_status step_to(mw_job *job, bool back, mw_reply *reply, mw_diags *diags)
{
    const undo_step step = job->undo[back ? job->undo_at - 1 : job->undo_at];
    const document *to = back ? &step.before : &step.after;
    const entry *item = entry_of(to, step.key);
    if (!item) {
        item = entry_of(back ? &step.after : &step.before, step.key);
    }
    mw_status status = keep_next_step(job, back, to, diags);
    if (status == MW_OK) {
        status = move_to(job, to, item, reply, diags);
    }
    if (status == MW_OK) {
        job->undo_at += back ? (size_t)-1 : 1;
        reply->statement.span = step.span;
    }
    keep_end(job, status == MW_OK);
    return status;
}

void job_start_reply(mw_job *job, mw_reply *reply)
{
    job->stopped = false;
    mw_arena_mark empty = {0};
    memset(reply, 0, sizeof *reply);
    mw_arena_rewind(job->scratch, empty);
}

mw_status mw_job_undo(mw_job *job, mw_reply *reply, mw_diags *diags)
{
    job_start_reply(job, reply);
    if (job->undo_at == 0) {
        mw_diags_error(diags, MW_CODE_NOTHING_TO_UNDO, job_nowhere(), "nothing to undo");
        return MW_FAILED;
    }
    return step_to(job, true, reply, diags);
}

mw_status mw_job_redo(mw_job *job, mw_reply *reply, mw_diags *diags)
{
    job_start_reply(job, reply);
    if (job->undo_at >= job->undo_count) {
        mw_diags_error(diags, MW_CODE_NOTHING_TO_REDO, job_nowhere(), "nothing to redo");
        return MW_FAILED;
    }
    return step_to(job, false, reply, diags);
}

mw_status job_move(mw_job *job, const document *to, mw_reply *reply, mw_diags *diags)
{
    undo_step step = {job->build->document, *to, job_nowhere(), {0}};
    job_start_reply(job, reply);
    return make_step(job, &step, NULL, reply, diags);
}

void job_move_back(mw_job *job)
{
    mw_reply reply;
    mw_diags quiet;
    mw_status status = mw_diags_start(&quiet);
    job_start_reply(job, &reply);
    if (status == MW_OK) {
        status = move_to(job, &job->undo[job->undo_at - 1].before, NULL, &reply, &quiet);
    }
    job->undo_at -= status == MW_OK; /* else the job stays as it is, whole */
    job->undo_count = job->undo_at;
    mw_diags_free(&quiet);
}

/* ---- all statements ---- */

static mw_status say(mw_job *job, mw_span span, mw_reply *reply, mw_diags *diags)
{
    mw_reader reader = {&job->ast, job->measure, job->sources, diags};
    job_start_reply(job, reply);
    mw_ast_clear(&job->ast);
    mw_status status = mw_parse_statement(&reader, span, &reply->statement);
    if (status != MW_OK) {
        return status;
    }
    mw_statement statement = reply->statement;
    switch (statement.kind) {
    case MW_SAY_NOTHING:
        return MW_OK;
    case MW_SAY_SHOW:
        return show(job, &statement, reply, diags);
    case MW_SAY_SET:
    case MW_SAY_SHOP:
    case MW_SAY_START:
    case MW_SAY_MOULD:
    case MW_SAY_MOULDS_FROM:
    case MW_SAY_INCLUDE:
    case MW_SAY_COPY_MOULD:
    case MW_SAY_ALTERNATIVE:
        return change(job, &statement, reply, diags);
    case MW_SAY_RESTORE:
    case MW_SAY_DROP:
        return take_out(job, &statement, reply, diags);
    case MW_SAY_WHAT_IF:
        return what_if(job, &statement, reply, diags);
    case MW_SAY_WEIGH:
        return weigh(job, &statement, reply, diags);
    case MW_SAY_WHY:
        return why(job, &statement, reply, diags);
    case MW_SAY_COMMAND:
    case MW_SAY_BALLPARK:
    case MW_SAY_NEW:
    case MW_SAY_COPY_JOB:
        reply->kind = MW_REPLY_COMMAND;
        return MW_OK;
    }
    return MW_OK;
}

mw_status mw_job_say(mw_job *job, mw_span span, mw_reply *reply, mw_diags *diags)
{
    mw_status status = say(job, span, reply, diags);
    bool trial = reply->kind == MW_REPLY_WHAT_IF;
    if (job->stopped && status != MW_NO_MEMORY && (trial || status != MW_OK)) {
        /* What was found on the way is of no use any more. */
        mw_diags_clear(diags);
        mw_diags_error(diags, MW_CODE_STOPPED, job_nowhere(), "stopped, nothing changed");
        status = MW_FAILED;
    }
    return status;
}
