/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names in the lines of a job: its own lines, moulds and their quantities, shop.*, job.*, materials.*. */
#include "parts.h"

#include "mouldwright/memory.h"
#include "mouldwright/suggest.h"

static void refer_slot(const mould *of, uint32_t at, mw_reference *out)
{
    const slot *found = &of->kit->slots[at];
    *out =
        (mw_reference){.slot = of->cells[at], .count = 1, .type = found->type, .unit = found->unit};
}

static void refer_global(const build *from, uint32_t at, mw_reference *out)
{
    const global *found = &from->globals[at];
    *out =
        (mw_reference){.slot = found->cell, .count = 1, .type = found->type, .unit = found->unit};
}

/* A list that is being gathered. */
typedef struct gathering {
    build *in;
    uint32_t count;
    mw_type type;
    mw_unit unit;
    bool mixed;
    bool lost;
} gathering;

static void gather(gathering *list, const mould *of, uint32_t at)
{
    void *items = list->in->list;
    if (!mw_memory_grow32(&items, &list->in->list_capacity, list->count + 1,
                          sizeof *list->in->list)) {
        list->lost = true;
        return;
    }
    list->in->list = items;
    const slot *found = &of->kit->slots[at];
    if (list->count == 0) {
        list->type = found->type;
        list->unit = found->unit;
    }
    list->mixed = list->mixed || found->type != list->type;
    list->in->list[list->count++] = of->cells[at];
}

/* All steps of a mould that have the quantity. */
static void gather_steps(gathering *list, const mould *of, mw_str quantity)
{
    for (uint32_t step = 0; step < of->kit->recipe->step_count; step++) {
        uint32_t at = kit_slot(of->kit, step, quantity);
        if (at != MW_NONE) {
            gather(list, of, at);
        }
    }
}

static mw_status end_gathering(const gathering *list, const mw_path *path, mw_reference *out,
                               mw_diags *diags)
{
    if (list->lost) {
        return MW_NO_MEMORY;
    }
    if (list->count == 0) {
        return MW_NOT_FOUND;
    }
    if (list->mixed) {
        mw_diags_error(diags, MW_CODE_KIND_MISMATCH, path->span,
                       "this is not the same kind of quantity in every mould");
        return MW_FAILED;
    }
    *out = (mw_reference){.slots = list->in->list,
                          .count = list->count,
                          .list = true,
                          .type = list->type,
                          .unit = list->unit};
    return MW_OK;
}

/* `moulds.area`, `moulds.heavy.plies`, `moulds.steps.hours`. */
static mw_status find_moulds(build *in, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    gathering list = {.in = in};
    for (uint32_t m = 0; m < in->mould_count; m++) {
        const mould *of = &in->moulds[m];
        if (path->count == 3 && mw_str_is(path->parts[1], "steps")) {
            gather_steps(&list, of, path->parts[2]);
            continue;
        }
        uint32_t step = path->count == 3 ? kit_step(of->kit, path->parts[1]) : MW_NONE;
        if (path->count == 3 && step == MW_NONE) {
            continue;
        }
        uint32_t at = kit_slot(of->kit, step, path->parts[path->count - 1]);
        if (at != MW_NONE) {
            gather(&list, of, at);
        }
    }
    return end_gathering(&list, path, out, diags);
}

/* `hull_port.heavy.cloth.density` */
static mw_status find_figure(build *in, const mould *of, const mw_path *path, mw_reference *out)
{
    uint32_t step = kit_step(of->kit, path->parts[1]);
    const mw_step_row *row = step == MW_NONE ? NULL : &of->kit->recipe->steps[step];
    for (uint32_t use = 0; row && use < row->use_count; use++) {
        if (mw_str_equal(row->uses[use].role, path->parts[2])) {
            const mw_material *material = of->materials[of->kit->first_use[step] + use];
            uint32_t at = globals_figure(in, material, path->parts[3]);
            if (at != MW_NONE) {
                refer_global(in, at, out);
                return MW_OK;
            }
        }
    }
    return MW_NOT_FOUND;
}

/* `hull_port.heavy` names a step: a quantity is missing. */
static mw_status say_step(const mould *of, const mw_path *path, mw_diags *diags)
{
    mw_str step = path->parts[1];
    if (kit_step(of->kit, step) == MW_NONE) {
        return MW_NOT_FOUND;
    }
    mw_diag *diag =
        mw_diags_error(diags, MW_CODE_UNKNOWN_QUANTITY, path->span,
                       "`%.*s` is a step; say which quantity of it", (int)step.length, step.at);
    mw_diag_try(diags, diag, "%.*s.%.*s.hours", (int)of->name.length, of->name.at, (int)step.length,
                step.at);
    return MW_FAILED;
}

static mw_status find_mould(build *in, uint32_t m, const mw_path *path, mw_reference *out,
                            mw_diags *diags)
{
    const mould *of = &in->moulds[m];
    if (path->count == 1) {
        mw_diag *diag = mw_diags_error(diags, MW_CODE_UNKNOWN_QUANTITY, path->span,
                                       "`%.*s` is a mould; say which quantity of it",
                                       (int)of->name.length, of->name.at);
        mw_diag_try(diags, diag, "%.*s.cost", (int)of->name.length, of->name.at);
        return MW_FAILED;
    }
    if (path->count == 4) {
        return find_figure(in, of, path, out);
    }
    if (path->count == 3 && mw_str_is(path->parts[1], "steps")) {
        gathering list = {.in = in};
        gather_steps(&list, of, path->parts[2]);
        return end_gathering(&list, path, out, diags);
    }
    uint32_t step = path->count == 3 ? kit_step(of->kit, path->parts[1]) : MW_NONE;
    if (path->count == 3 && step == MW_NONE) {
        return MW_NOT_FOUND;
    }
    uint32_t at = kit_slot(of->kit, step, path->parts[path->count - 1]);
    if (at == MW_NONE) {
        return path->count == 2 ? say_step(of, path, diags) : MW_NOT_FOUND;
    }
    refer_slot(of, at, out);
    return MW_OK;
}

static void join_parts(const mw_path *path, const char *first, mw_text *out)
{
    mw_text_adds(out, first);
    for (uint32_t i = 0; i < path->count; i++) {
        mw_text_adds(out, i ? "." : "");
        mw_text_add_str(out, path->parts[i]);
    }
}

static mw_status find_global(build *in, const mw_path *path, const char *first, mw_reference *out)
{
    mw_text name = {0};
    join_parts(path, first, &name);
    uint32_t at =
        name.failed ? MW_NONE : global_find(in, (mw_str){mw_text_chars(&name), name.length});
    bool lost = name.failed;
    mw_text_free(&name);
    if (at == MW_NONE) {
        return lost ? MW_NO_MEMORY : MW_NOT_FOUND;
    }
    refer_global(in, at, out);
    return MW_OK;
}

bool scope_is_unmade(const build *in, mw_str first)
{
    if (!in->goes_on) {
        return false;
    }
    bool shop = mw_str_is(first, "shop") || mw_str_is(first, "job");
    bool moulds = mw_str_is(first, "moulds") || mw_str_is(first, "materials");
    bool known = shop || moulds || mw_names_find(in->mould_names, first) != MW_NONE;
    return (in->shop_lost && (shop || mw_str_is(first, "materials"))) ||
           (in->unmade && (moulds || mw_names_find(in->unmade, first) != MW_NONE)) ||
           (in->job->unseen && !known) || (in->job->unseen && moulds);
}

/* A line that is read from the usual value of an input is the list over the moulds. */
static mw_status find_by_mould(build *in, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    for (uint32_t i = 0; i < in->document.count; i++) {
        const entry *item = in->document.items[i];
        if (item->kind == ENTRY_SET && item->part_count == 1 &&
            mw_str_equal(item->name, path->parts[0]) && layers_by_mould(in, item)) {
            mw_str parts[] = {mw_str_of("moulds"), path->parts[0]};
            mw_path all = {parts, 2, path->span};
            return find_moulds(in, &all, out, diags);
        }
    }
    return MW_NOT_FOUND;
}

static mw_status find_known(build *in, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    if (mw_str_is(path->parts[0], "moulds") && path->count > 1 && path->count < 4) {
        return find_moulds(in, path, out, diags);
    }
    uint32_t m = mw_names_find(in->mould_names, path->parts[0]);
    if (m != MW_NONE && path->count <= 4) {
        return find_mould(in, m, path, out, diags);
    }
    if (path->count > 1) {
        return find_global(in, path, "", out);
    }
    const mw_scope *lines = mw_sheet_scope(in->sheet);
    mw_status status = lines->find(lines->context, path, out, diags);
    return status == MW_NOT_FOUND ? find_by_mould(in, path, out, diags) : status;
}

/* Which money a sum is in cannot be told while the shop is unknown. */
static bool is_unsure(const build *in, const mw_reference *found)
{
    return in->shop_lost && found->type != MW_NONE &&
           mw_type_look(in->job->measure, found->type)->currency != 0;
}

static mw_status find(void *context, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    build *in = context;
    mw_status status = find_known(in, path, out, diags);
    if (status == MW_NOT_FOUND && scope_is_unmade(in, path->parts[0])) {
        return MW_FAILED;
    }
    return status == MW_OK && path->count > 1 && is_unsure(in, out) ? MW_FAILED : status;
}

/* In a shop file a bare name is a value of the shop. */
static mw_status find_in_shop(void *context, const mw_path *path, mw_reference *out,
                              mw_diags *diags)
{
    build *in = context;
    (void)diags;
    return find_global(in, path, path->count == 1 ? "shop." : "", out);
}

/* ---- suggestions ---- */

static void offer_lines(const build *in, mw_suggest *nearest)
{
    for (uint32_t i = 0; i < in->document.count; i++) {
        const entry *item = in->document.items[i];
        if (item->kind == ENTRY_SET && item->part_count == 1) {
            mw_suggest_offer(nearest, item->parts[0]);
        }
    }
}

/* The quantities that can stand behind a mould (step MW_NONE) or behind one of its steps. */
static void offer_quantities(const kit *made, uint32_t step, mw_suggest *nearest)
{
    for (uint32_t i = 0; i < made->slot_count; i++) {
        if (made->slots[i].step == step) {
            mw_suggest_offer(nearest, made->slots[i].quantity);
        }
    }
    for (uint32_t i = 0; step == MW_NONE && i < made->recipe->step_count; i++) {
        mw_suggest_offer(nearest, made->recipe->steps[i].name);
    }
}

/* Corrects one part of a path of a mould: the first that is not known. */
static bool suggest_in_mould(const kit *made, const mw_path *path, mw_text *out)
{
    uint32_t step = path->count > 2 ? kit_step(made, path->parts[1]) : MW_NONE;
    uint32_t wrong = path->count > 2 && step != MW_NONE ? 2 : 1;
    mw_suggest nearest;
    mw_suggest_start(&nearest, path->parts[wrong]);
    offer_quantities(made, step, &nearest);
    if (nearest.best.length == 0) {
        return false;
    }
    for (uint32_t i = 0; i < path->count; i++) {
        mw_text_adds(out, i ? "." : "");
        mw_text_add_str(out, i == wrong ? nearest.best : path->parts[i]);
    }
    return true;
}

static bool suggest_name(void *context, const mw_path *path, mw_text *out)
{
    build *in = context;
    uint32_t m = mw_names_find(in->mould_names, path->parts[0]);
    bool all = mw_str_is(path->parts[0], "moulds");
    if (path->count > 1 && (m != MW_NONE || (all && in->mould_count > 0))) {
        return suggest_in_mould(in->moulds[all ? 0 : m].kit, path, out);
    }
    mw_suggest nearest;
    if (path->count > 1) {
        mw_text whole = {0};
        join_parts(path, "", &whole);
        mw_suggest_start(&nearest, (mw_str){mw_text_chars(&whole), whole.length});
        for (uint32_t i = 0; i < in->global_count; i++) {
            mw_suggest_offer(&nearest, in->globals[i].name);
        }
        bool found = nearest.best.length > 0;
        mw_text_add_str(out, nearest.best);
        mw_text_free(&whole);
        if (found) {
            return true;
        }
        mw_suggest_start(&nearest, path->parts[0]);
    } else {
        mw_suggest_start(&nearest, path->parts[0]);
        offer_lines(in, &nearest);
    }
    for (uint32_t i = 0; i < in->mould_count; i++) {
        mw_suggest_offer(&nearest, in->moulds[i].name);
    }
    for (const mw_command_row *row = mw_command_rows(); path->count == 1 && row->word; row++) {
        mw_suggest_offer(&nearest, mw_str_of(row->word));
    }
    mw_text_add_str(out, nearest.best);
    for (uint32_t i = 1; nearest.best.length > 0 && i < path->count; i++) {
        mw_text_addc(out, '.');
        mw_text_add_str(out, path->parts[i]);
    }
    return nearest.best.length > 0;
}

/* Suggests nothing that is what was written already. */
static bool suggest(void *context, const mw_path *path, mw_text *out)
{
    mw_text better = {0};
    mw_text written = {0};
    join_parts(path, "", &written);
    bool found = suggest_name(context, path, &better) &&
                 !mw_str_equal((mw_str){mw_text_chars(&better), better.length},
                               (mw_str){mw_text_chars(&written), written.length});
    if (found) {
        mw_text_add(out, mw_text_chars(&better), better.length);
    }
    mw_text_free(&better);
    mw_text_free(&written);
    return found;
}

void job_scope_start(build *of)
{
    of->scope = (mw_scope){
        .context = of, .find = find, .suggest = suggest, .host = host_functions(of->host)};
    of->shop_scope = of->scope;
    of->shop_scope.find = find_in_shop;
}
