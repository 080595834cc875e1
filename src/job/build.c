/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A build: the sheet made from a document, moulds bound to their recipes. */
#include "parts.h"

#include <math.h>
#include <string.h>

#include "mouldwright/memory.h"

void build_free(build *old)
{
    if (!old) {
        return;
    }
    plan_node_free(old->plan);
    mw_sheet_free(old->sheet);
    for (uint32_t i = 0; i < old->kit_count; i++) {
        mw_names_free(old->kits[i]->names);
        mw_memory_give(old->kits[i]->slots);
        mw_memory_give(old->kits[i]->ports);
    }
    mw_memory_give((void *)old->kits);
    mw_memory_give(old->moulds);
    mw_names_free(old->mould_names);
    mw_names_free(old->global_names);
    mw_memory_give(old->globals);
    mw_memory_give(old->stocks);
    mw_memory_give(old->labels);
    mw_memory_give(old->notes);
    mw_memory_give(old->list);
    if (old->host) {
        mw_calendar_free(old->host->shift);
        mw_cure_solver_free(old->host->cure);
    }
    mw_arena_free(old->arena);
    mw_memory_give(old);
}

static bool add_note(build *into, const edit_note *note)
{
    void *notes = into->notes;
    if (!into->noting) {
        return true;
    }
    if (!mw_memory_grow32(&notes, &into->note_capacity, into->note_count + 1,
                          sizeof *into->notes)) {
        return false;
    }
    into->notes = notes;
    into->notes[into->note_count++] = *note;
    return true;
}

bool build_hide(build *into, mw_edit *edit, uint32_t *hidden)
{
    if (*hidden != MW_NONE) {
        return true;
    }
    edit_note note = {.hidden = hidden};
    uint32_t cell = add_note(into, &note) ? mw_edit_cells(edit, 1) : MW_NONE;
    *hidden = cell;
    return cell != MW_NONE;
}

void build_note_edit(build *into)
{
    into->noting = true;
    into->note_count = 0;
}

void build_end_edit(build *into, bool kept)
{
    while (!kept && into->note_count > 0) {
        const edit_note *note = &into->notes[--into->note_count];
        if (note->hidden) {
            *note->hidden = MW_NONE;
        } else {
            into->labels[note->cell] = note->before;
        }
    }
    into->noting = false;
}

/* Returns the label of a cell, to be filled; NULL when there is no memory. */
static label *label_at(build *into, uint32_t cell)
{
    void *labels = into->labels;
    if (cell == MW_NONE ||
        !mw_memory_grow32(&labels, &into->label_capacity, cell + 1, sizeof *into->labels)) {
        return NULL;
    }
    into->labels = labels;
    while (into->label_count <= cell) {
        into->labels[into->label_count++] = (label){.mould = MW_NONE, .slot = MW_NONE};
    }
    edit_note note = {.cell = cell, .before = into->labels[cell]};
    return add_note(into, &note) ? &into->labels[cell] : NULL;
}

bool build_label(build *into, uint32_t cell, uint32_t mould_at, uint32_t slot_at)
{
    label *of = label_at(into, cell);
    if (of) {
        of->mould = mould_at;
        of->slot = slot_at;
    }
    return of != NULL;
}

bool build_scope(build *into, uint32_t cell, const mw_scope *scope)
{
    label *of = label_at(into, cell);
    if (of) {
        of->scope = scope;
    }
    return of != NULL;
}

label build_label_of(const build *from, uint32_t cell)
{
    return cell < from->label_count ? from->labels[cell]
                                    : (label){.mould = MW_NONE, .slot = MW_NONE};
}

void build_cell_words(const build *in, uint32_t cell, mw_text *out)
{
    label of = build_label_of(in, cell);
    if (of.mould != MW_NONE) {
        mw_text_add_str(out, in->moulds[of.mould].name);
        mw_text_addc(out, '.');
        slot_words(in->moulds[of.mould].kit, of.slot, out);
        return;
    }
    mw_str name = mw_sheet_name(in->sheet, cell);
    if (name.length > 0) {
        mw_text_add_str(out, name);
        return;
    }
    for (uint32_t i = 0; i < in->global_count; i++) {
        if (in->globals[i].cell == cell || in->globals[i].hidden == cell) {
            mw_text_add_str(out, in->globals[i].name);
            return;
        }
    }
    if (cell == in->yes_cell || cell == in->no_cell) {
        mw_text_adds(out, "follows");
    }
}

static const mw_scope *scope_of(void *context, uint32_t cell)
{
    const build *from = context;
    const mw_scope *own = build_label_of(from, cell).scope;
    return own ? own : &from->scope;
}

static void name_of(void *context, uint32_t cell, mw_text *out)
{
    const build *from = context;
    build_cell_words(from, cell, out);
}

void build_bind(build *into, mw_edit *edit, const mould *of, uint32_t slot_at, uint32_t cell)
{
    const slot *to = &of->kit->slots[slot_at];
    (void)into;
    if (to->made) {
        mw_edit_bind(edit, cell, to->made, of->cells, of->kit->slot_count + of->kit->port_count);
        mw_edit_unit(edit, cell, to->unit);
    }
}

/* ---- start ---- */

static mw_status start_build(mw_job *job, const document *from, build *into)
{
    *into = (build){.job = job, .document = *from};
    into->arena = mw_arena_new();
    into->sheet = mw_sheet_new(job->measure, job->sources);
    into->mould_names = mw_names_new();
    into->global_names = mw_names_new();
    into->host = into->arena ? mw_arena_get(into->arena, sizeof *into->host) : NULL;
    if (!into->arena || !into->sheet || !into->mould_names || !into->global_names || !into->host) {
        return MW_NO_MEMORY;
    }
    into->host->digits = 2;
    into->host->cure = mw_cure_solver_new();
    return into->host->cure ? MW_OK : MW_NO_MEMORY;
}

static mw_status find_shop(build *into, mw_diags *diags)
{
    mw_job *job = into->job;
    for (uint32_t i = 0; i < into->document.count; i++) {
        const entry *item = into->document.items[i];
        if (item->kind == ENTRY_SHOP) {
            mw_status status =
                mw_library_shop(job->library, item->name, item->name_at, &into->shop, diags);
            if (status != MW_OK) {
                return status;
            }
        }
    }
    if (into->shop) {
        into->host->digits = mw_currency_digits(job->measure, into->shop->currency);
        into->host->shift = mw_shop_shift(into->shop, mw_str_of(""));
        if (!into->host->shift) {
            return MW_NO_MEMORY;
        }
    }
    return MW_OK;
}

/* ---- moulds ---- */

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

static mw_status add_mould(build *into, const entry *item, mw_diags *diags)
{
    kit *made = NULL;
    mw_status status = find_kit(into, item, &made, diags);
    if (status != MW_OK) {
        return status;
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
    return MW_OK;
}

static mw_status add_moulds(build *into, mw_diags *diags)
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
        if (!into->shop) {
            mw_diag *diag = mw_diags_error(diags, MW_CODE_NO_SHOP, item->span,
                                           "a mould needs a shop: people, rates, shifts");
            mw_diag_try(diags, diag, "begin the job with: shop \"saltmarsh\"");
            return MW_FAILED;
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
    for (uint32_t i = 0; i < of->from->field_count && status != MW_NO_MEMORY; i++) {
        if (!fixed_field(of->from->fields[i].name)) {
            mw_status one = layers_field(into, of, &of->from->fields[i], diags);
            status = one != MW_OK ? one : status;
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
        for (uint32_t i = 0; i < of->kit->slot_count; i++) {
            const slot *to = &of->kit->slots[i];
            if (to->kind != SLOT_LINE || to->made || of->layers[i]) {
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

static mw_status attach_layers(build *into, mw_diags *diags)
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
    if (status == MW_OK) {
        status = check_after(into, diags);
    }
    return status == MW_OK ? check_inputs(into, diags) : status;
}

/* ---- cells ---- */

static mw_status check_line_name(const build *into, const entry *item, mw_diags *diags)
{
    uint32_t m = mw_names_find(into->mould_names, item->parts[0]);
    if (m == MW_NONE) {
        return MW_OK;
    }
    mw_diag *diag =
        mw_diags_error(diags, MW_CODE_NAME_TAKEN, item->name_at, "`%.*s` is the name of a mould",
                       (int)item->name.length, item->name.at);
    mw_diag_other(diags, diag, into->moulds[m].from->name_at, "the mould");
    return MW_FAILED;
}

static mw_status define_lines(build *into, mw_edit *edit, mw_diags *diags)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; i < into->document.count; i++) {
        const entry *item = into->document.items[i];
        if (item->kind != ENTRY_SET || item->part_count != 1) {
            continue;
        }
        mw_status one = check_line_name(into, item, diags);
        uint32_t cell = mw_edit_cell(edit, item->name);
        if (cell == MW_NONE) {
            return MW_NO_MEMORY;
        }
        mw_definition definition = {item->formula, &into->scope, MW_NONE, MW_NONE};
        mw_edit_formula(edit, cell, &definition);
        status = one != MW_OK ? one : status;
    }
    return status;
}

static uint32_t port_cell(build *into, mw_edit *edit, const mould *of, const port *item)
{
    switch (item->kind) {
    case PORT_FIGURE: {
        const mw_material *material = of->materials[of->kit->first_use[item->step] + item->use];
        uint32_t at = globals_figure(into, material, item->name);
        return at == MW_NONE ? MW_NONE : into->globals[at].cell;
    }
    case PORT_GLOBAL:
        return into->globals[item->global].cell;
    case PORT_FOLLOWS:
        return of->after_count == 0 ? into->no_cell : into->yes_cell;
    case PORT_USUAL:
        return mw_edit_cells(edit, 1);
    }
    return MW_NONE;
}

static mw_status say_lacking(const mould *of, const port *item, mw_diags *diags)
{
    const mw_material *material = of->materials[of->kit->first_use[item->step] + item->use];
    mw_diag *diag =
        mw_diags_error(diags, MW_CODE_MATERIAL_LACKS, item->at,
                       "`%.*s`, chosen for mould `%.*s`, has no figure `%.*s`",
                       (int)material->name.length, material->name.at, (int)of->name.length,
                       of->name.at, (int)item->name.length, item->name.at);
    mw_diag_other(diags, diag, material->name_at, "the material");
    return MW_FAILED;
}

/* Gives a mould its cells; plan outputs have theirs already. */
static mw_status mould_cells(build *into, mw_edit *edit, uint32_t m, mw_diags *diags)
{
    mould *of = &into->moulds[m];
    const kit *made = of->kit;
    uint32_t first = mw_edit_cells(edit, made->slot_count);
    if (first == MW_NONE) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < made->slot_count; i++) {
        if (made->slots[i].kind != SLOT_PLAN) {
            of->cells[i] = first + i;
        }
        if (!build_label(into, of->cells[i], m, i)) {
            return MW_NO_MEMORY;
        }
    }
    for (uint32_t i = 0; i < made->port_count; i++) {
        uint32_t cell = port_cell(into, edit, of, &made->ports[i]);
        if (cell == MW_NONE) {
            return made->ports[i].kind == PORT_FIGURE ? say_lacking(of, &made->ports[i], diags)
                                                      : MW_NO_MEMORY;
        }
        of->cells[made->slot_count + i] = cell;
    }
    return MW_OK;
}

static mw_status mould_formulas(build *into, mw_edit *edit, uint32_t m, mw_diags *diags)
{
    mould *of = &into->moulds[m];
    const kit *made = of->kit;
    for (uint32_t i = 0; i < made->port_count; i++) {
        const port *item = &made->ports[i];
        if (item->kind == PORT_USUAL) {
            uint32_t cell = of->cells[made->slot_count + i];
            mw_edit_bind(edit, cell, item->made, of->cells, made->slot_count + made->port_count);
            mw_edit_unit(edit, cell, item->unit);
            if (!build_label(into, cell, m, item->slot)) {
                return MW_NO_MEMORY;
            }
        }
    }
    for (uint32_t i = 0; i < made->slot_count; i++) {
        mw_status status = layers_define(into, edit, m, i, diags);
        if (status != MW_OK) {
            return status;
        }
    }
    return MW_OK;
}

static mw_status truth_cells(build *into, mw_edit *edit)
{
    into->no_cell = mw_edit_cells(edit, 2);
    into->yes_cell = into->no_cell + 1;
    if (into->no_cell == MW_NONE) {
        return MW_NO_MEMORY;
    }
    mw_constant no = {0.0, MW_TYPE_TRUTH, MW_UNIT_ONE, job_nowhere()};
    mw_constant yes = {1.0, MW_TYPE_TRUTH, MW_UNIT_ONE, job_nowhere()};
    mw_edit_value(edit, into->no_cell, &no);
    mw_edit_value(edit, into->yes_cell, &yes);
    return MW_OK;
}

static mw_status define_moulds(build *into, mw_edit *edit, mw_diags *diags)
{
    mw_status status = plan_node_cells(into, edit);
    for (uint32_t m = 0; status == MW_OK && m < into->mould_count; m++) {
        status = mould_cells(into, edit, m, diags);
    }
    for (uint32_t m = 0; status == MW_OK && m < into->mould_count; m++) {
        status = mould_formulas(into, edit, m, diags);
    }
    if (status == MW_OK) {
        status = plan_node_define(into, edit);
    }
    return status;
}

static mw_status fill_sheet(build *into, mw_diags *diags)
{
    mw_edit *edit = mw_edit_begin(into->sheet);
    if (!edit) {
        return MW_NO_MEMORY;
    }
    mw_status status = truth_cells(into, edit);
    if (status == MW_OK && into->mould_count > 0) {
        status = plan_node_make(into, &into->plan);
    }
    if (status == MW_OK) {
        status = globals_define(into, edit, diags);
    }
    if (status == MW_OK && into->mould_count > 0) {
        status = define_moulds(into, edit, diags);
    }
    if (status == MW_OK && into->shop) {
        status = totals_define(into, edit);
    }
    if (status == MW_OK) {
        status = define_lines(into, edit, diags);
    }
    if (status == MW_OK) {
        status = mw_edit_prepare(edit, diags);
    }
    if (status != MW_OK) {
        mw_edit_cancel(edit);
        return status;
    }
    mw_edit_commit(edit, &into->changes);
    return MW_OK;
}

static mw_status fill_build(build *into, mw_diags *diags)
{
    mw_status status = find_shop(into, diags);
    if (status == MW_OK) {
        job_scope_start(into);
        mw_sheet_host(into->sheet, host_functions(into->host));
        mw_sheet_owner owner = {into, scope_of, name_of};
        mw_sheet_owned(into->sheet, &owner);
        status = globals_shop(into, diags);
    }
    if (status == MW_OK) {
        status = add_moulds(into, diags);
    }
    if (status == MW_OK) {
        status = attach_layers(into, diags);
    }
    if (status == MW_OK) {
        status = choices_resolve(into, diags);
    }
    if (status == MW_OK && into->shop) {
        status = totals_add(into);
    }
    if (status == MW_OK) {
        status = fill_sheet(into, diags);
    }
    for (uint32_t i = 0; status == MW_OK && i < into->kit_count; i++) {
        status = layers_read_limits(into, into->kits[i], diags);
    }
    return status == MW_OK ? layers_limits(into, diags) : status;
}

mw_status build_make(mw_job *job, const document *from, build **out, mw_diags *diags)
{
    build *into = mw_memory_get(sizeof *into);
    if (!into) {
        return MW_NO_MEMORY;
    }
    mw_status status = start_build(job, from, into);
    if (status == MW_OK) {
        status = fill_build(into, diags);
        status = into->lost ? MW_NO_MEMORY : status;
        status = status == MW_OK && job->stopped ? MW_FAILED : status;
    }
    if (status != MW_OK) {
        build_free(into);
        return status;
    }
    *out = into;
    return MW_OK;
}
