/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The moulds of a build: their recipes found, what was set for them attached, their order in time. */
#include "parts.h"

#include <math.h>
#include <string.h>

#include "mouldwright/date.h"
#include "mouldwright/memory.h"

static const entry_field *find_field(const entry *of, const char *name)
{
    for (uint32_t i = 0; i < of->field_count; i++) {
        if (mw_str_is(of->fields[i].name, name)) {
            return &of->fields[i];
        }
    }
    return NULL;
}

/* The text of a field that is a name: with or without quotes. `*at` is where it stands. */
static mw_str field_name(const build *in, const entry_field *field, mw_span *at)
{
    mw_str text = mw_str_trim(mw_sources_piece(in->job->sources, field->value));
    *at = field->value;
    if (text.length >= 2 && text.at[0] == '"' && text.at[text.length - 1] == '"') {
        text = (mw_str){text.at + 1, text.length - 2};
    }
    return text;
}

static bool fixed_field(mw_str name)
{
    return mw_str_is(name, "recipe") || mw_str_is(name, "after") || mw_str_is(name, "from");
}

static mw_status find_kit(build *into, const entry *item, kit **out, mw_diags *diags)
{
    const entry_field *field = find_field(item, "recipe");
    if (!field) {
        mw_diag *diag =
            mw_diags_error(diags, MW_CODE_MISSING_INPUT, item->name_at,
                           "mould `%.*s` names no recipe", (int)item->name.length, item->name.at);
        mw_diag_try(diags, diag, "add: recipe \"usual mould\"");
        return MW_FAILED;
    }
    mw_span at;
    mw_str name = field_name(into, field, &at);
    const mw_recipe *recipe = NULL;
    mw_status status = mw_library_recipe(into->job->library, name, at, &recipe, diags);
    if (status != MW_OK) {
        return status;
    }
    for (uint32_t i = 0; i < into->kit_count; i++) {
        if (into->kits[i]->recipe == recipe) {
            *out = into->kits[i];
            return into->kits[i]->sound ? MW_OK : MW_FAILED;
        }
    }
    status = kit_make(into, recipe, at, out, diags);
    if (status == MW_OK) {
        (*out)->sound = true;
    }
    return status;
}

/* A mould of which nothing is known but its name. */
static mw_status add_unmade(build *into, const entry *item)
{
    into->unmade = into->unmade ? into->unmade : mw_names_new();
    return into->unmade && mw_names_add(into->unmade, item->name) != MW_NONE ? MW_FAILED
                                                                             : MW_NO_MEMORY;
}

static mw_status add_mould(build *into, const entry *item, mw_diags *diags)
{
    kit *made = NULL;
    mw_status known = item->broken ? MW_FAILED : find_kit(into, item, &made, diags);
    if (known == MW_FAILED && into->goes_on && (!made || !made->laid)) {
        return add_unmade(into, item);
    }
    if (known != MW_OK && (known != MW_FAILED || !into->goes_on)) {
        return known;
    }
    mould *of = &into->moulds[into->mould_count];
    *of = (mould){.name = item->name, .from = item, .kit = made};
    of->from_s = -(double)INFINITY;
    size_t cells = (size_t)made->slot_count + made->port_count + 1;
    of->cells = mw_arena_get(into->arena, cells * sizeof *of->cells);
    of->layers = mw_arena_get(into->arena, cells * sizeof *of->layers);
    of->materials = mw_arena_get(into->arena, (made->use_count + 1) * sizeof *of->materials);
    if (!of->cells || !of->layers || !of->materials ||
        mw_names_add(into->mould_names, item->name) == MW_NONE) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < made->use_count; i++) {
        of->materials[i] = made->usual_materials[i];
    }
    into->mould_count++;
    return known;
}

mw_status moulds_add(build *into, mw_diags *diags)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < into->document.count; i++) {
        count += into->document.items[i]->kind == ENTRY_MOULD;
    }
    into->moulds = mw_memory_get((count + 1) * sizeof *into->moulds);
    if (!into->moulds) {
        return MW_NO_MEMORY;
    }
    mw_status status = MW_OK;
    for (uint32_t i = 0; i < into->document.count && status != MW_NO_MEMORY; i++) {
        const entry *item = into->document.items[i];
        if (item->kind != ENTRY_MOULD) {
            continue;
        }
        mw_status one = add_mould(into, item, diags);
        status = one != MW_OK ? one : status;
    }
    return status;
}

/* One name of `after`: NAME begins in the text of `field`. */
static mw_status add_after(build *into, mould *of, mw_str name, mw_diags *diags)
{
    const entry_field *field = find_field(of->from, "after");
    const char *text = mw_sources_text(into->job->sources, field->value.source).at;
    bool quoted = name.length >= 2 && name.at[0] == '"' && name.at[name.length - 1] == '"';
    name = quoted ? (mw_str){name.at + 1, name.length - 2} : name;
    mw_span at = {field->value.source, (uint32_t)(name.at - text),
                  (uint32_t)(name.at - text + (ptrdiff_t)name.length)};
    uint32_t found = mw_names_find(into->mould_names, name);
    bool self = found == (uint32_t)(of - into->moulds);
    if (found == MW_NONE && scope_is_unmade(into, name)) {
        return MW_FAILED;
    }
    if (found == MW_NONE || self) {
        mw_diags_error(diags, MW_CODE_UNKNOWN_MOULD, at,
                       self ? "mould `%.*s` cannot come after itself"
                            : "there is no mould `%.*s` to come after",
                       (int)name.length, name.at);
        return MW_FAILED;
    }
    of->after[of->after_count++] = found;
    return MW_OK;
}

/* after = NAME | "[" NAME {"," NAME} "]" */
static mw_status read_after(build *into, mould *of, mw_diags *diags)
{
    const entry_field *field = find_field(of->from, "after");
    if (!field) {
        return MW_OK;
    }
    mw_str text = mw_str_trim(mw_sources_piece(into->job->sources, field->value));
    bool list = text.length >= 2 && text.at[0] == '[' && text.at[text.length - 1] == ']';
    text = list ? (mw_str){text.at + 1, text.length - 2} : text;
    of->after = mw_arena_get(into->arena, (text.length + 1) * sizeof *of->after);
    if (!of->after) {
        return MW_NO_MEMORY;
    }
    mw_status status = MW_OK;
    const char *end = text.at + text.length;
    for (const char *at = text.at; at < end;) {
        const char *comma = list ? memchr(at, ',', (size_t)(end - at)) : NULL;
        const char *stop = comma ? comma : end;
        mw_status one = add_after(into, of, mw_str_trim((mw_str){at, (size_t)(stop - at)}), diags);
        status = one != MW_OK ? one : status;
        at = stop + 1;
    }
    return status;
}

/* What a mould comes after, and the date before which it cannot begin. */
static mw_status place_mould(build *into, mould *of, mw_diags *diags)
{
    const entry_field *from = find_field(of->from, "from");
    mw_status status = read_after(into, of, diags);
    if (status != MW_OK || !from) {
        return status;
    }
    mw_span at;
    mw_str date = field_name(into, from, &at);
    bool exists = true;
    if (date.length && mw_date_read(date, &of->from_s, &exists) != date.length) {
        exists = false;
    }
    if (!exists) {
        mw_diag *diag = mw_diags_error(diags, MW_CODE_BAD_DATE, at,
                                       "`from` needs a date as it is written, not `%.*s`",
                                       (int)date.length, date.at);
        mw_diag_try(diags, diag, "from 2027-02-01");
        return MW_FAILED;
    }
    return MW_OK;
}

/* Whether all moulds that one comes after are in order already. */
static uint32_t first_open(const mould *of, const bool *ordered)
{
    for (uint32_t i = 0; i < of->after_count; i++) {
        if (!ordered[of->after[i]]) {
            return of->after[i];
        }
    }
    return MW_NONE;
}

/* A loop of moulds that come after each other: those that no order can be found for. */
static mw_status check_after(build *into, mw_diags *diags)
{
    bool *ordered = mw_arena_get(into->arena, (into->mould_count + 1) * sizeof *ordered);
    if (!ordered) {
        return MW_NO_MEMORY;
    }
    memset(ordered, 0, (into->mould_count + 1) * sizeof *ordered);
    bool more = true;
    while (more) {
        more = false;
        for (uint32_t m = 0; m < into->mould_count; m++) {
            if (!ordered[m] && first_open(&into->moulds[m], ordered) == MW_NONE) {
                ordered[m] = more = true;
            }
        }
    }
    for (uint32_t m = 0; m < into->mould_count; m++) {
        if (!ordered[m]) {
            uint32_t at = m;
            for (uint32_t hops = 0; hops < into->mould_count; hops++) {
                at = first_open(&into->moulds[at], ordered); /* ends up on the loop itself */
            }
            mw_diags_error(diags, MW_CODE_CYCLE, into->moulds[at].from->span,
                           "mould `%.*s` would come after itself",
                           (int)into->moulds[at].name.length, into->moulds[at].name.at);
            return MW_FAILED;
        }
    }
    return MW_OK;
}

static mw_status attach_fields(build *into, mould *of, mw_diags *diags)
{
    mw_status status = place_mould(into, of, diags);
    of->incomplete = into->goes_on && into->job->unseen;
    for (uint32_t i = 0; i < of->from->field_count && status != MW_NO_MEMORY; i++) {
        if (!fixed_field(of->from->fields[i].name)) {
            mw_status one = layers_field(into, of, &of->from->fields[i], diags);
            status = one != MW_OK ? one : status;
            of->incomplete = of->incomplete || one != MW_OK;
        }
    }
    return status;
}

/* Inputs that nothing gives. */
static mw_status check_inputs(build *into, mw_diags *diags)
{
    mw_status status = MW_OK;
    for (uint32_t m = 0; m < into->mould_count; m++) {
        const mould *of = &into->moulds[m];
        for (uint32_t i = 0; !of->incomplete && i < of->kit->slot_count; i++) {
            const slot *to = &of->kit->slots[i];
            if (to->kind != SLOT_LINE || to->formula.source != MW_NONE || of->layers[i]) {
                continue;
            }
            mw_diag *diag = mw_diags_error(
                diags, MW_CODE_MISSING_INPUT, of->from->name_at, "mould `%.*s` needs `%.*s`%s%.*s",
                (int)of->name.length, of->name.at, (int)to->quantity.length, to->quantity.at,
                to->row->about.length ? ": " : "", (int)to->row->about.length, to->row->about.at);
            mw_diag_other(diags, diag, to->row->name_at, "the recipe asks for it here");
            status = MW_FAILED;
        }
    }
    return status;
}

mw_status moulds_attach(build *into, mw_diags *diags)
{
    mw_status status = MW_OK;
    for (uint32_t m = 0; m < into->mould_count && status != MW_NO_MEMORY; m++) {
        mw_status one = attach_fields(into, &into->moulds[m], diags);
        status = one != MW_OK ? one : status;
    }
    for (uint32_t i = 0; i < into->document.count && status != MW_NO_MEMORY; i++) {
        const entry *item = into->document.items[i];
        if (item->kind == ENTRY_SET) {
            mw_status one = layers_attach(into, item, diags);
            status = one != MW_OK ? one : status;
        }
    }
    if (build_goes_on(into, status)) {
        mw_status one = check_after(into, diags);
        status = one != MW_OK ? one : status;
    }
    if (build_goes_on(into, status)) {
        mw_status one = check_inputs(into, diags);
        status = one != MW_OK ? one : status;
    }
    return status;
}
