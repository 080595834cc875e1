/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A build: the sheet made from a document, moulds bound to their recipes. */
#include "parts.h"

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
    mw_names_free(old->unmade);
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

bool build_goes_on(const build *into, mw_status status)
{
    return !into->lost && (status == MW_OK || (status == MW_FAILED && into->goes_on));
}

static mw_status start_build(mw_job *job, const document *from, build *into)
{
    *into = (build){.job = job, .document = *from, .goes_on = job->opening};
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

/* A shop that stands in for one that is unknown, so that the rest can be looked at. */
static mw_status stand_in(build *into)
{
    mw_measure *measure = into->job->measure;
    mw_shop *shop = mw_arena_get(into->arena, sizeof *shop);
    mw_shift *shift = mw_arena_get(into->arena, sizeof *shift);
    if (!shop || !shift) {
        return MW_NO_MEMORY;
    }
    *shift = (mw_shift){.stretch_count = {1}, .day = {{{0, 480, 1.0}}}};
    *shop = (mw_shop){.shifts = shift, .shift_count = 1};
    shop->currency = mw_money_base_of(measure);
    mw_status status = MW_OK;
    if (shop->currency == 0) {
        shop->currency = mw_currency_find(measure, mw_str_of("EUR"));
        status = mw_money_base(measure, shop->currency);
    }
    into->shop = shop;
    into->shop_lost = true;
    return status;
}

static mw_status refuse_shopless(build *into, const entry *first, mw_diags *diags)
{
    if (into->job->unseen && into->goes_on) {
        return MW_FAILED; /* it may be named there */
    }
    mw_diag *diag = mw_diags_error(diags, MW_CODE_NO_SHOP, first->span,
                                   "a mould needs a shop: people, rates, shifts");
    mw_diag_try(diags, diag, "begin the job with: shop \"saltmarsh\"");
    return MW_FAILED;
}

static mw_status find_shop(build *into, mw_diags *diags)
{
    mw_job *job = into->job;
    mw_status found = MW_OK;
    const entry *first = NULL;
    for (uint32_t i = 0; i < into->document.count && found == MW_OK; i++) {
        const entry *item = into->document.items[i];
        first = first || item->kind != ENTRY_MOULD ? first : item;
        if (item->kind == ENTRY_SHOP) {
            found = item->broken ? MW_FAILED
                                 : mw_library_shop(job->library, item->name, item->name_at,
                                                   &into->shop, diags);
        }
    }
    if (found == MW_OK && first && !into->shop) {
        found = refuse_shopless(into, first, diags);
    }
    if (found == MW_FAILED && into->goes_on) {
        return stand_in(into) == MW_OK ? MW_FAILED : MW_NO_MEMORY;
    }
    if (into->shop) {
        into->host->digits = mw_currency_digits(job->measure, into->shop->currency);
        into->host->shift = mw_shop_shift(into->shop, mw_str_of(""));
        if (!into->host->shift) {
            return MW_NO_MEMORY;
        }
    }
    return found;
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
        if (layers_by_mould(into, item)) {
            status = one != MW_OK ? one : status;
            continue;
        }
        uint32_t cell = mw_edit_cell(edit, item->name);
        if (cell == MW_NONE) {
            return MW_NO_MEMORY;
        }
        mw_definition definition = {item->formula, &into->scope, MW_NONE, MW_NONE};
        if (item->broken) {
            mw_edit_broken(edit, cell, MW_TYPE_NUMBER);
        } else {
            mw_edit_formula(edit, cell, &definition);
        }
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
    mw_status status = MW_OK;
    for (uint32_t i = 0; i < made->port_count; i++) {
        const port *item = &made->ports[i];
        uint32_t cell = port_cell(into, edit, of, item);
        if (cell == MW_NONE && item->kind == PORT_FIGURE && !into->lost) {
            status = say_lacking(of, item, diags);
            if (!into->goes_on) {
                return status;
            }
            cell = mw_edit_cells(edit, 1);
            mw_edit_broken(edit, cell, item->type);
        }
        if (cell == MW_NONE) {
            return MW_NO_MEMORY;
        }
        of->cells[made->slot_count + i] = cell;
    }
    return status;
}

static mw_status mould_formulas(build *into, mw_edit *edit, uint32_t m, mw_diags *diags)
{
    mould *of = &into->moulds[m];
    const kit *made = of->kit;
    for (uint32_t i = 0; i < made->port_count; i++) {
        const port *item = &made->ports[i];
        if (item->kind == PORT_USUAL) {
            uint32_t cell = of->cells[made->slot_count + i];
            if (item->made) {
                mw_edit_bind(edit, cell, item->made, of->cells,
                             made->slot_count + made->port_count);
                mw_edit_unit(edit, cell, item->unit);
            } else {
                mw_edit_broken(edit, cell, item->type);
            }
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
    for (uint32_t m = 0; build_goes_on(into, status) && m < into->mould_count; m++) {
        mw_status one = mould_cells(into, edit, m, diags);
        status = one != MW_OK ? one : status;
    }
    for (uint32_t m = 0; build_goes_on(into, status) && m < into->mould_count; m++) {
        mw_status one = mould_formulas(into, edit, m, diags);
        status = one != MW_OK ? one : status;
    }
    if (build_goes_on(into, status)) {
        mw_status one = plan_node_define(into, edit);
        status = one != MW_OK ? one : status;
    }
    return status;
}

static mw_status make_plan(build *into, mw_diags *diags)
{
    (void)diags;
    return into->mould_count > 0 ? plan_node_make(into, &into->plan) : MW_OK;
}

static mw_status add_totals(build *into, mw_diags *diags)
{
    (void)diags;
    return into->shop ? totals_add(into) : MW_OK;
}

/* What is put into the edit, in order. */
static mw_status gather_edit(build *into, mw_edit *edit, mw_diags *diags)
{
    mw_status status = truth_cells(into, edit);
    if (status == MW_OK) {
        status = make_plan(into, diags);
    }
    if (status == MW_OK) {
        status = globals_define(into, edit, diags);
    }
    if (build_goes_on(into, status) && into->mould_count > 0) {
        mw_status one = define_moulds(into, edit, diags);
        status = one != MW_OK ? one : status;
    }
    if (build_goes_on(into, status) && into->shop) {
        mw_status one = totals_define(into, edit);
        status = one != MW_OK ? one : status;
    }
    if (build_goes_on(into, status)) {
        mw_status one = define_lines(into, edit, diags);
        status = one != MW_OK ? one : status;
    }
    return status;
}

static mw_status fill_sheet(build *into, mw_diags *diags)
{
    mw_edit *edit = mw_edit_begin(into->sheet);
    if (!edit) {
        return MW_NO_MEMORY;
    }
    mw_status status = gather_edit(into, edit, diags);
    if (build_goes_on(into, status)) {
        mw_status one = mw_edit_prepare(edit, diags);
        if (one == MW_FAILED && build_goes_on(into, one)) {
            one = mw_edit_salvage(edit) == MW_OK ? MW_FAILED : MW_NO_MEMORY;
        }
        status = one != MW_OK ? one : status;
    }
    if (!build_goes_on(into, status)) {
        mw_edit_cancel(edit);
        return into->lost ? MW_NO_MEMORY : status;
    }
    mw_edit_commit(edit, &into->changes);
    return status;
}

static mw_status start_names(build *into, mw_diags *diags)
{
    job_scope_start(into);
    mw_sheet_host(into->sheet, host_functions(into->host));
    mw_sheet_owner owner = {into, scope_of, name_of};
    mw_sheet_owned(into->sheet, &owner);
    return globals_shop(into, diags);
}

static mw_status read_limits(build *into, mw_diags *diags)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; status != MW_NO_MEMORY && i < into->kit_count; i++) {
        mw_status one = limits_read(into, into->kits[i], diags);
        status = one != MW_OK ? one : status;
    }
    return status;
}

static mw_status fill_build(build *into, mw_diags *diags)
{
    static mw_status (*const phases[])(build *, mw_diags *) = {
        find_shop,  start_names,      moulds_add,  moulds_attach, choices_resolve,  add_totals,
        fill_sheet, hidden_check_all, read_limits, limits_check,  alternatives_look};
    mw_status status = MW_OK;
    for (size_t i = 0; build_goes_on(into, status) && i < sizeof phases / sizeof *phases; i++) {
        mw_status one = phases[i](into, diags);
        status = one != MW_OK ? one : status;
    }
    return status;
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
