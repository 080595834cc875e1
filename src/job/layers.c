/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Overrides: layers of definitions over the recipe, the narrowest in force, `usual` reading the next wider one. */
#include "parts.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "mouldwright/memory.h"
#include "mouldwright/number.h"
#include "mouldwright/suggest.h"

typedef void (*reach_each)(void *context, uint32_t mould_at, uint32_t slot_at);

/* A path that is being followed. */
typedef struct reach {
    build *in;
    const entry *set;
    reach_each each;
    void *context;
    uint32_t count;
    uint32_t fixed; /* reached, but made by the program */
} reach;

static void meet(reach *on, uint32_t m, uint32_t at)
{
    if (!slot_settable(&on->in->moulds[m].kit->slots[at])) {
        on->fixed++;
        return;
    }
    on->count++;
    if (on->each) {
        on->each(on->context, m, at);
    }
}

/* A quantity of the mould, or else that of all its steps. */
static void reach_mould(reach *on, uint32_t m, mw_str quantity)
{
    const kit *made = on->in->moulds[m].kit;
    uint32_t at = kit_slot(made, MW_NONE, quantity);
    if (at != MW_NONE && slot_settable(&made->slots[at])) {
        meet(on, m, at);
        return;
    }
    for (uint32_t step = 0; step < made->recipe->step_count; step++) {
        uint32_t of_step = kit_slot(made, step, quantity);
        if (of_step != MW_NONE) {
            meet(on, m, of_step);
        }
    }
    on->fixed += at != MW_NONE;
}

static void reach_step(reach *on, uint32_t m, mw_str step_name, mw_str quantity)
{
    const kit *made = on->in->moulds[m].kit;
    uint32_t step = kit_step(made, step_name);
    uint32_t at = step == MW_NONE ? MW_NONE : kit_slot(made, step, quantity);
    if (at != MW_NONE) {
        meet(on, m, at);
    }
}

/* The inputs of that name, for a line of the job. */
static void reach_inputs(reach *on, mw_str name)
{
    for (uint32_t m = 0; m < on->in->mould_count; m++) {
        const kit *made = on->in->moulds[m].kit;
        uint32_t at = kit_slot(made, MW_NONE, name);
        if (at != MW_NONE && made->slots[at].row && made->slots[at].row->input) {
            meet(on, m, at);
        }
    }
}

static void follow(reach *on)
{
    const entry *set = on->set;
    if (set->part_count == 1) {
        reach_inputs(on, set->parts[0]);
        return;
    }
    bool all = mw_str_is(set->parts[0], "moulds");
    uint32_t only = all ? MW_NONE : mw_names_find(on->in->mould_names, set->parts[0]);
    for (uint32_t m = 0; m < on->in->mould_count; m++) {
        if (!all && m != only) {
            continue;
        }
        if (set->part_count == 2) {
            reach_mould(on, m, set->parts[1]);
        } else if (set->part_count == 3) {
            reach_step(on, m, set->parts[1], set->parts[2]);
        }
    }
}

bool layers_by_mould(build *in, const entry *set)
{
    return set->kind == ENTRY_SET && set->part_count == 1 && set->uses_usual &&
           layers_reach(in, set, NULL, NULL) > 0;
}

uint32_t layers_reach(build *in, const entry *set, reach_each each, void *context)
{
    reach on = {.in = in, .set = set, .each = each, .context = context};
    follow(&on);
    return on.count;
}

layer_rank layers_rank(const entry *set)
{
    bool all = mw_str_is(set->parts[0], "moulds");
    if (set->part_count == 1) {
        return RANK_JOB_LINE;
    }
    if (set->part_count == 2) {
        return all ? RANK_ALL : RANK_MOULD;
    }
    return all ? RANK_ALL_STEP : RANK_MOULD_STEP;
}

bool layers_hide(const layer *first, layer_rank rank)
{
    bool read = true;
    for (const layer *at = first; at && at->rank < rank; at = at->next) {
        read = read && at->set && at->set->uses_usual;
    }
    return !read;
}

/* ---- attaching ---- */

typedef struct attaching {
    build *into;
    const entry *set;
    const entry_field *field;
    layer_rank rank;
    bool lost;
} attaching;

static void attach(void *context, uint32_t m, uint32_t at)
{
    attaching *job = context;
    layer **link = &job->into->moulds[m].layers[at];
    while (*link && (*link)->rank < job->rank) {
        link = &(*link)->next;
    }
    if (*link && (*link)->rank == job->rank) {
        (*link)->set = job->set;
        (*link)->field = job->field;
        return;
    }
    layer *made = job->into->spare_layers;
    if (made) {
        job->into->spare_layers = made->next;
    } else {
        made = mw_arena_get(job->into->arena, sizeof *made);
    }
    if (!made) {
        job->lost = true;
        return;
    }
    *made = (layer){job->rank, job->set, job->field, MW_NONE, *link};
    *link = made;
}

static void detach(void *context, uint32_t m, uint32_t at)
{
    attaching *job = context;
    layer **link = &job->into->moulds[m].layers[at];
    while (*link && (*link)->rank != job->rank) {
        link = &(*link)->next;
    }
    layer *gone = *link;
    if (gone) {
        *link = gone->next;
        gone->next = job->into->spare_layers;
        job->into->spare_layers = gone;
    }
}

/* Says why a path reaches nothing. */
static mw_status say_unreached(build *into, const entry *set, bool fixed, mw_diags *diags)
{
    mw_str name = set->name;
    if (fixed) {
        mw_diag *diag = mw_diags_error(diags, MW_CODE_NOT_AN_INPUT, set->name_at,
                                       "`%.*s` is worked out by the program and cannot be set",
                                       (int)name.length, name.at);
        mw_diag_try(diags, diag, "set what it is made from: `why %.*s` shows it", (int)name.length,
                    name.at);
        return MW_FAILED;
    }
    if (scope_is_unmade(into, set->parts[0])) {
        return MW_FAILED;
    }
    bool all = mw_str_is(set->parts[0], "moulds");
    bool known = all || mw_names_find(into->mould_names, set->parts[0]) != MW_NONE;
    mw_code code = known ? MW_CODE_UNKNOWN_QUANTITY : MW_CODE_UNKNOWN_MOULD;
    if (known && set->part_count == 3) {
        bool step = false;
        for (uint32_t m = 0; m < into->mould_count; m++) {
            step = step || kit_step(into->moulds[m].kit, set->parts[1]) != MW_NONE;
        }
        code = step ? code : MW_CODE_UNKNOWN_STEP;
    }
    mw_diag *diag = mw_diags_error(diags, code, set->name_at, "there is no `%.*s` to set",
                                   (int)name.length, name.at);
    mw_text better = {0};
    mw_path path = {set->parts, set->part_count, set->name_at};
    if (into->scope.suggest(into->scope.context, &path, &better)) {
        mw_diag_try(diags, diag, "%s", mw_text_chars(&better));
    }
    mw_text_free(&better);
    return MW_FAILED;
}

static mw_status attach_global(build *into, const entry *set, mw_diags *diags)
{
    uint32_t at = global_find(into, set->name);
    if (at == MW_NONE || !into->globals[at].settable) {
        return say_unreached(into, set, at != MW_NONE, diags);
    }
    into->globals[at].set = set;
    return MW_OK;
}

static bool of_global(const entry *set)
{
    return set->part_count > 1 &&
           (mw_str_is(set->parts[0], "shop") || mw_str_is(set->parts[0], "materials") ||
            mw_str_is(set->parts[0], "job"));
}

mw_status layers_attach(build *into, const entry *set, mw_diags *diags)
{
    if (of_global(set)) {
        return attach_global(into, set, diags);
    }
    attaching job = {.into = into, .set = set, .rank = layers_rank(set)};
    reach on = {.in = into, .set = set, .each = attach, .context = &job};
    follow(&on);
    if (on.count == 0 && set->part_count > 1) {
        return say_unreached(into, set, on.fixed > 0, diags);
    }
    return job.lost ? MW_NO_MEMORY : MW_OK;
}

void layers_detach(build *from, const entry *set)
{
    if (of_global(set)) {
        uint32_t at = global_find(from, set->name);
        if (at != MW_NONE) {
            from->globals[at].set = NULL;
        }
        return;
    }
    attaching job = {.into = from, .rank = layers_rank(set)};
    layers_reach(from, set, detach, &job);
}

/* The unit in the head of a list must be of the kind that the input is. */
static mw_status check_head(build *into, const slot *to, const entry_field *field, mw_diags *diags)
{
    mw_measure *measure = into->job->measure;
    if (field->head_unit == MW_NONE ||
        mw_type_fits(measure, mw_unit_type(measure, field->head_unit), to->type) == MW_TYPE_FINE) {
        return MW_OK;
    }
    mw_text wanted = {0};
    mw_type_words(measure, to->type, &wanted);
    mw_diags_error(diags, MW_CODE_WRONG_KIND, field->name_at, "the unit does not fit: `%.*s` is %s",
                   (int)field->name.length, field->name.at, mw_text_chars(&wanted));
    mw_text_free(&wanted);
    return MW_FAILED;
}

/* What stands behind a mould's name: inputs of its recipe, and what may be set for any mould. */
static bool is_input(const slot *of)
{
    return of->kind == SLOT_LINE || of->kind == SLOT_STANDARD;
}

mw_status layers_field(build *into, mould *of, const entry_field *field, mw_diags *diags)
{
    uint32_t at = kit_slot(of->kit, MW_NONE, field->name);
    if (at == MW_NONE || !is_input(&of->kit->slots[at])) {
        mw_diag *diag =
            mw_diags_error(diags, MW_CODE_UNKNOWN_QUANTITY, field->name_at,
                           "recipe `%.*s` has no input `%.*s`", (int)of->kit->recipe->name.length,
                           of->kit->recipe->name.at, (int)field->name.length, field->name.at);
        mw_suggest nearest;
        mw_suggest_start(&nearest, field->name);
        for (uint32_t i = 0; i < of->kit->recipe->line_count; i++) {
            mw_suggest_offer(&nearest, of->kit->recipe->lines[i].name);
        }
        if (nearest.best.length > 0) {
            mw_diag_try(diags, diag, "%.*s", (int)nearest.best.length, nearest.best.at);
        }
        return MW_FAILED;
    }
    mw_status status = check_head(into, &of->kit->slots[at], field, diags);
    if (status != MW_OK) {
        return status;
    }
    attaching job = {.into = into, .field = field, .rank = RANK_FIELD};
    attach(&job, (uint32_t)(of - into->moulds), at);
    return job.lost ? MW_NO_MEMORY : MW_OK;
}

/* ---- defining ---- */

/* One slot of one mould, being defined. */
typedef struct defining {
    build *into;
    mw_edit *edit;
    mould *of;
    uint32_t slot_at;
} defining;

static void define_number(const defining *job, uint32_t cell, const entry_field *field)
{
    const slot *to = &job->of->kit->slots[job->slot_at];
    mw_measure *measure = job->into->job->measure;
    mw_constant constant = {mw_unit_to_si(measure, field->head_unit, field->number), to->type,
                            to->unit, field->value};
    mw_edit_value(job->edit, cell, &constant);
}

static mw_status define(const defining *job, uint32_t cell, layer *from)
{
    const slot *to = &job->of->kit->slots[job->slot_at];
    if (!from) {
        build_bind(job->into, job->edit, job->of, job->slot_at, cell);
        if (!to->made && job->into->goes_on) { /* refused, or an input that is missing */
            mw_edit_broken(job->edit, cell, to->type);
        }
        return MW_OK;
    }
    if (from->field && from->field->head_unit != MW_NONE) {
        define_number(job, cell, from->field);
        return MW_OK;
    }
    const mw_scope *scope = &job->into->scope;
    if (from->set && from->set->uses_usual && (from->next || to->made)) {
        mw_scope *own = mw_arena_get(job->into->arena, sizeof *own);
        mw_reference *usual = mw_arena_get(job->into->arena, sizeof *usual);
        if (!own || !usual || !build_hide(job->into, job->edit, &from->hidden)) {
            return MW_NO_MEMORY;
        }
        uint32_t m = (uint32_t)(job->of - job->into->moulds);
        if (!build_label(job->into, from->hidden, m, job->slot_at)) {
            return MW_NO_MEMORY;
        }
        mw_status status = define(job, from->hidden, from->next);
        if (status != MW_OK) {
            return status;
        }
        *own = *scope;
        *usual =
            (mw_reference){.slot = from->hidden, .count = 1, .type = to->type, .unit = to->unit};
        own->usual = usual;
        scope = own;
    }
    assert(from->field || from->set);
    if (from->set && from->set->broken && from->rank != RANK_JOB_LINE) {
        mw_edit_broken(job->edit, cell, to->type);
        return MW_OK;
    }
    bool line = from->set && from->rank == RANK_JOB_LINE && !from->set->uses_usual;
    mw_span formula = from->field ? from->field->value
                      : line      ? from->set->name_at
                                  : from->set->formula;
    mw_definition definition = {formula, scope, to->type, to->unit};
    mw_edit_formula(job->edit, cell, &definition);
    bool own = scope != &job->into->scope;
    return build_scope(job->into, cell, own ? scope : NULL) ? MW_OK : MW_NO_MEMORY;
}

mw_status layers_define(build *into, mw_edit *edit, uint32_t mould_at, uint32_t slot_at,
                        mw_diags *diags)
{
    mould *of = &into->moulds[mould_at];
    const slot *to = &of->kit->slots[slot_at];
    (void)diags;
    if (to->kind == SLOT_PLAN) {
        return MW_OK;
    }
    if (to->kind == SLOT_USE_MATERIAL) {
        const mw_material *material = of->materials[of->kit->first_use[to->step] + to->use];
        mw_constant constant = {mw_values_text(mw_sheet_values(into->sheet), material->name),
                                MW_TYPE_TEXT, MW_UNIT_ONE, to->use_row->material_at};
        mw_edit_value(edit, of->cells[slot_at], &constant);
        return MW_OK;
    }
    defining job = {into, edit, of, slot_at};
    return define(&job, of->cells[slot_at], of->layers[slot_at]);
}
