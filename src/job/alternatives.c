/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Alternatives that are saved in the job under a name: checked, looked up, laid side by side. */
#include "whatif.h"

#include <string.h>

#include "mouldwright/suggest.h"

const entry *alternative_find(const mw_job *job, mw_str name)
{
    const document *in = &job->build->document;
    for (uint32_t i = 0; i < in->count; i++) {
        if (in->items[i]->kind == ENTRY_ALTERNATIVE && mw_str_equal(in->items[i]->name, name)) {
            return in->items[i];
        }
    }
    return NULL;
}

static uint32_t count_saved(const mw_job *job)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < job->build->document.count; i++) {
        count += job->build->document.items[i]->kind == ENTRY_ALTERNATIVE;
    }
    return count;
}

static mw_status refuse_none(mw_span at, mw_diags *diags)
{
    mw_diag *diag =
        mw_diags_error(diags, MW_CODE_NOTHING_TO_KEEP, at, "no alternative is saved in this job");
    mw_diag_try(diags, diag, "what if ..., then: keep 2 as NAME");
    return MW_FAILED;
}

mw_status alternative_unknown(mw_job *job, mw_str name, mw_span at, mw_diags *diags)
{
    if (count_saved(job) == 0) {
        return refuse_none(at, diags);
    }
    mw_diag *diag =
        mw_diags_error(diags, MW_CODE_UNKNOWN_ALTERNATIVE, at,
                       "no alternative `%.*s` is saved in this job", (int)name.length, name.at);
    mw_suggest nearest;
    mw_suggest_start(&nearest, name);
    for (uint32_t i = 0; i < job->build->document.count; i++) {
        const entry *item = job->build->document.items[i];
        if (item->kind == ENTRY_ALTERNATIVE) {
            mw_suggest_offer(&nearest, item->name);
        }
    }
    if (nearest.best.length > 0) {
        mw_diag_try(diags, diag, "%.*s", (int)nearest.best.length, nearest.best.at);
    }
    return MW_FAILED;
}

mw_status alternative_name(const mw_job *job, mw_str name, mw_span at, mw_diags *diags)
{
    static const char *const own[] = {"now", "saved", "with"};
    bool taken = false;
    for (size_t i = 0; i < sizeof own / sizeof *own; i++) {
        taken = taken || mw_str_is(name, own[i]);
    }
    bool used = false;
    for (uint32_t i = 0; i < job->build->document.count; i++) {
        const entry *item = job->build->document.items[i];
        bool other =
            item->kind == ENTRY_MOULD || (item->kind == ENTRY_SET && item->part_count == 1);
        used = used || (other && mw_str_equal(item->name, name));
    }
    if (!taken && !used) {
        return MW_OK;
    }
    mw_diag *diag = mw_diags_error(diags, MW_CODE_NAME_TAKEN, at,
                                   taken ? "`%.*s` has a meaning of its own where jobs are compared"
                                         : "`%.*s` is the name of a mould or line",
                                   (int)name.length, name.at);
    mw_diag_try(diags, diag, "choose another name, such as %.*s_2", (int)name.length, name.at);
    return MW_FAILED;
}

/* ---- side by side ---- */

/* Saved alternatives as columns. */
typedef struct saved_columns {
    const entry **items;
    mw_str *names;
    uint32_t count;
} saved_columns;

/* The setting of a path, started if it is new. */
static mw_status setting_of(comparing *with, const entry_field *field, setting **out)
{
    for (uint32_t i = 0; i < with->setting_count; i++) {
        if (mw_str_equal(with->settings[i].target.name, field->name)) {
            *out = &with->settings[i];
            return MW_OK;
        }
    }
    setting *of = &with->settings[with->setting_count++];
    mw_status status = setting_start(with, field->name, field->name_at, of);
    if (status != MW_OK) {
        return status;
    }
    of->count = with->columns;
    of->anew = true;
    of->spans = mw_arena_get(with->job->scratch, ((size_t)of->count + 1) * sizeof *of->spans);
    for (uint32_t i = 0; of->spans && i < of->count; i++) {
        of->spans[i] = job_nowhere();
    }
    *out = of;
    return of->spans ? MW_OK : MW_NO_MEMORY;
}

mw_status alternatives_columns(comparing *with, const entry *const *items, uint32_t count)
{
    size_t most = 0;
    for (uint32_t i = 0; i < count; i++) {
        most += items[i]->field_count;
    }
    with->columns = count;
    with->anew = true;
    with->settings = mw_arena_get(with->job->scratch, (most + 1) * sizeof *with->settings);
    mw_status status = with->settings ? MW_OK : MW_NO_MEMORY;
    for (uint32_t i = 0; i < count; i++) {
        for (uint32_t k = 0; status == MW_OK && k < items[i]->field_count; k++) {
            setting *of = NULL;
            status = setting_of(with, &items[i]->fields[k], &of);
            if (status == MW_OK) {
                of->spans[i] = items[i]->fields[k].value;
            }
        }
    }
    return status;
}

mw_status alternative_check(mw_job *job, const entry *item, mw_diags *diags)
{
    comparing with = {.job = job, .diags = diags, .columns_most = 1};
    build *made = NULL;
    mw_status status = alternative_name(job, item->name, item->name_at, diags);
    if (status == MW_OK) {
        status = alternatives_columns(&with, &item, 1);
    }
    if (status == MW_OK) {
        status = column_build(&with, 0, &made);
    }
    build_free(made);
    settings_free(&with);
    return status;
}

/* Whether there is something of that path, in a job that is being built. */
static bool is_there(build *in, mw_str path)
{
    entry target = {.kind = ENTRY_SET, .name = path};
    if (!entry_split(&target, path)) {
        return false;
    }
    uint32_t named = target.part_count > 1 ? global_find(in, path) : MW_NONE;
    bool line = target.part_count == 1 && mw_sheet_find(in->sheet, path) != MW_NONE;
    return line || named != MW_NONE || layers_reach(in, &target, NULL, NULL) > 0;
}

mw_status alternatives_look(build *in, mw_diags *diags)
{
    for (uint32_t i = 0; in->job->opening && i < in->document.count; i++) {
        const entry *item = in->document.items[i];
        for (uint32_t k = 0; item->kind == ENTRY_ALTERNATIVE && k < item->field_count; k++) {
            const entry_field *field = &item->fields[k];
            if (!is_there(in, field->name)) {
                mw_diag *diag = mw_diags_warn(
                    diags, MW_CODE_UNKNOWN_NAME, field->name_at,
                    "alternative `%.*s` sets `%.*s`, which this job does not have",
                    (int)item->name.length, item->name.at, (int)field->name.length, field->name.at);
                mw_diag_try(diags, diag, "correct it, or: drop %.*s", (int)item->name.length,
                            item->name.at);
            }
        }
    }
    return in->lost ? MW_NO_MEMORY : MW_OK;
}

static mw_status take_named(mw_job *job, mw_span rest, saved_columns *out, mw_diags *diags)
{
    mw_str text = mw_sources_piece(job->sources, rest);
    size_t at = 0;
    while (at < text.length) {
        size_t begin = at;
        while (at < text.length && text.at[at] != ' ' && text.at[at] != ',') {
            at++;
        }
        mw_str name = {text.at + begin, at - begin};
        mw_span where = {rest.source, rest.begin + (uint32_t)begin, rest.begin + (uint32_t)at};
        at++;
        if (name.length == 0) {
            continue;
        }
        const entry *item = alternative_find(job, name);
        if (!item) {
            return alternative_unknown(job, name, where, diags);
        }
        if (out->count == WHAT_IF_MOST) {
            mw_diags_error(diags, MW_CODE_TOO_LONG, where, "at most %d alternatives at a time",
                           WHAT_IF_MOST);
            return MW_FAILED;
        }
        out->items[out->count++] = item;
    }
    return MW_OK;
}

/* Those that are named, or all. */
static mw_status choose_saved(mw_job *job, mw_span rest, saved_columns *out, mw_diags *diags)
{
    out->items = mw_arena_get(job->scratch, WHAT_IF_MOST * sizeof *out->items);
    out->names = mw_arena_get(job->scratch, WHAT_IF_MOST * sizeof *out->names);
    if (!out->items || !out->names) {
        return MW_NO_MEMORY;
    }
    mw_status status = MW_OK;
    if (mw_str_trim(mw_sources_piece(job->sources, rest)).length > 0) {
        status = take_named(job, rest, out, diags);
    } else {
        const document *in = &job->build->document;
        for (uint32_t i = 0; i < in->count && out->count < WHAT_IF_MOST; i++) {
            if (in->items[i]->kind == ENTRY_ALTERNATIVE) {
                out->items[out->count++] = in->items[i];
            }
        }
    }
    for (uint32_t i = 0; i < out->count; i++) {
        out->names[i] = out->items[i]->name;
    }
    return status == MW_OK && out->count == 0 ? refuse_none(rest, diags) : status;
}

mw_status mw_job_alternatives(mw_job *job, mw_span rest, mw_reply *reply, mw_diags *diags)
{
    job_start_reply(job, reply);
    comparing with = {.job = job, .diags = diags, .columns_most = WHAT_IF_MOST};
    saved_columns saved = {0};
    mw_status status = choose_saved(job, rest, &saved, diags);
    if (status == MW_OK) {
        status = alternatives_columns(&with, saved.items, saved.count);
    }
    if (status == MW_OK) {
        status = rows_choose(&with);
    }
    if (status == MW_OK) {
        status = columns_run(&with, &reply->changes);
    }
    if (status == MW_OK && !job->stopped) {
        status = offers_set(&with, NULL, with.columns);
    }
    settings_free(&with);
    what_if_reply(&with, reply);
    reply->heads = saved.names;
    return status;
}
