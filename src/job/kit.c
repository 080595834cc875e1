/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Kits: a recipe laid out in slots and compiled once, to be bound to many moulds. */
#include "parts.h"

#include "mouldwright/memory.h"
#include "mouldwright/suggest.h"

static bool ports_equal(const port *a, const port *b)
{
    if (a->kind != b->kind) {
        return false;
    }
    switch (a->kind) {
    case PORT_FIGURE:
        return a->step == b->step && a->use == b->use && mw_str_equal(a->name, b->name);
    case PORT_GLOBAL:
        return a->global == b->global;
    case PORT_FOLLOWS:
        return true;
    case PORT_USUAL:
        return a->slot == b->slot && a->depth == b->depth;
    }
    return false;
}

uint32_t kit_port(kit *made, const port *wanted)
{
    for (uint32_t i = 0; i < made->port_count; i++) {
        if (ports_equal(&made->ports[i], wanted)) {
            return made->slot_count + i;
        }
    }
    void *ports = made->ports;
    if (!mw_memory_grow32(&ports, &made->port_capacity, made->port_count + 1,
                          sizeof *made->ports)) {
        return MW_NONE;
    }
    made->ports = ports;
    made->ports[made->port_count] = *wanted;
    return made->slot_count + made->port_count++;
}

/* Finds the materials of all uses and makes their figures known. */
static mw_status find_materials(kit *made, mw_diags *diags)
{
    build *into = made->build;
    const mw_recipe *recipe = made->recipe;
    made->first_use = mw_arena_get(into->arena, (recipe->step_count + 1) * sizeof(uint32_t));
    if (!made->first_use) {
        return MW_NO_MEMORY;
    }
    for (uint32_t step = 0; step < recipe->step_count; step++) {
        made->first_use[step] = made->use_count;
        made->use_count += recipe->steps[step].use_count;
    }
    made->usual_materials =
        mw_arena_get(into->arena, (made->use_count + 1) * sizeof *made->usual_materials);
    if (!made->usual_materials) {
        return MW_NO_MEMORY;
    }
    mw_status status = MW_OK;
    for (uint32_t step = 0; step < recipe->step_count; step++) {
        for (uint32_t i = 0; i < recipe->steps[step].use_count; i++) {
            const mw_use_row *use = &recipe->steps[step].uses[i];
            const mw_material *material = NULL;
            mw_status one = mw_library_material(into->job->library, use->material, use->material_at,
                                                &material, diags);
            if (one == MW_OK) {
                made->usual_materials[made->first_use[step] + i] = material;
                one = globals_material(into, material, diags);
            }
            status = one != MW_OK ? one : status;
            if (status == MW_NO_MEMORY) {
                return status;
            }
        }
    }
    return status;
}

static bool shop_has(const kit *made, mw_str name, const char *ending)
{
    mw_text full = {0};
    mw_text_adds(&full, "shop.");
    mw_name_word(name, &full);
    mw_text_adds(&full, ending);
    bool has = !full.failed &&
               global_find(made->build, (mw_str){mw_text_chars(&full), full.length}) != MW_NONE;
    made->build->lost = made->build->lost || full.failed;
    mw_text_free(&full);
    return has;
}

static bool shop_lacks(const kit *made, mw_str name)
{
    return !made->build->shop_lost && !shop_has(made, name, "_count");
}

static void say_nobody(const kit *made, mw_str name, mw_span at, mw_diags *diags)
{
    mw_diag *diag = mw_diags_error(diags, MW_CODE_NOBODY, at, "the shop `%.*s` has no `%.*s`",
                                   (int)made->build->shop->name.length, made->build->shop->name.at,
                                   (int)name.length, name.at);
    mw_suggest near;
    mw_suggest_start(&near, name);
    const mw_shop *shop = made->build->shop;
    for (uint32_t i = 0; i < shop->trade_count; i++) {
        mw_suggest_offer(&near, shop->trades[i].name);
    }
    for (uint32_t i = 0; i < shop->machine_count; i++) {
        mw_suggest_offer(&near, shop->machines[i].name);
    }
    if (near.best.length > 0) {
        mw_diag_try(diags, diag, "did you mean %.*s?", (int)near.best.length, near.best.at);
    } else {
        mw_diag_try(diags, diag, "add it to the shop file under `people` or `machines`");
    }
}

/* Refuses a recipe that asks for people or machines that the shop does not have. */
static mw_status check_hands(const kit *made, mw_diags *diags)
{
    mw_status status = MW_OK;
    for (uint32_t step = 0; step < made->recipe->step_count; step++) {
        const mw_step_row *row = &made->recipe->steps[step];
        if (row->trade.length > 0 && shop_lacks(made, row->trade)) {
            say_nobody(made, row->trade, row->trade_at, diags);
            status = MW_FAILED;
        }
        for (int wait = 0; wait < 2; wait++) {
            const mw_name_list *holds = wait ? &row->holds_wait : &row->holds;
            for (uint32_t i = 0; i < holds->count; i++) {
                if (shop_lacks(made, holds->items[i])) {
                    say_nobody(made, holds->items[i], holds->spans[i], diags);
                    status = MW_FAILED;
                }
            }
        }
    }
    return status;
}

/* The formula that the recipe built on has for a slot, `depth` recipes down; source MW_NONE: none. */
static mw_span base_formula(const slot *of, uint32_t depth)
{
    if (of->row) {
        const mw_line_row *row = of->row;
        for (uint32_t i = 0; row && i < depth; i++) {
            row = row->base;
        }
        return row ? row->formula : job_nowhere();
    }
    if (of->use_row && (of->kind == SLOT_USE_NET || of->kind == SLOT_USE_LOSS)) {
        const mw_use_row *use = of->use_row;
        for (uint32_t i = 0; use && i < depth; i++) {
            use = use->base;
        }
        return !use ? job_nowhere() : of->kind == SLOT_USE_NET ? use->amount : use->loss;
    }
    return job_nowhere();
}

/* Compiles the formula of a slot, or of the recipe `depth` below it. A `usual` in it gets a port. */
static mw_status compile(kit *made, uint32_t at, uint32_t depth, mw_template **out, mw_diags *diags)
{
    const slot of = made->slots[at];
    mw_span formula = depth == 0 ? of.formula : base_formula(&of, depth);
    kit_place place;
    kit_place_start(&place, made, of.step);
    if (base_formula(&of, depth + 1).source != MW_NONE) {
        port usual = {
            .kind = PORT_USUAL, .slot = at, .depth = depth + 1, .type = of.type, .unit = of.unit};
        uint32_t number = kit_port(made, &usual);
        if (number == MW_NONE) {
            kit_place_end(&place);
            return MW_NO_MEMORY;
        }
        place.usual = (mw_reference){.slot = number, .count = 1, .type = of.type, .unit = of.unit};
        place.scope.usual = &place.usual;
    }
    size_t errors = diags->errors;
    *out = mw_sheet_template(made->build->sheet, formula, &place.scope, of.type, diags);
    kit_place_end(&place);
    if (!*out) {
        return diags->errors > errors || place.hushed ? MW_FAILED : MW_NO_MEMORY;
    }
    const mw_meaning *meaning = mw_template_meaning(*out);
    if (meaning->shape == MW_SHAPE_LIST) {
        mw_diags_error(diags, MW_CODE_IS_A_LIST, formula, "a recipe's quantity is a single value");
        return MW_FAILED;
    }
    return MW_OK;
}

/* What the program writes itself may not fit the currency of a shop that only stands in for another. */
static mw_status compile_slot(kit *made, uint32_t at, mw_template **out, mw_diags *diags)
{
    const slot *of = &made->slots[at];
    if (!made->build->shop_lost || of->row || of->use_row) {
        return compile(made, at, 0, out, diags);
    }
    mw_diags quiet;
    mw_status status = mw_diags_start(&quiet);
    status = status == MW_OK ? compile(made, at, 0, out, &quiet) : status;
    mw_diags_free(&quiet);
    return status;
}

static mw_status compile_slots(kit *made, mw_diags *diags)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; i < made->slot_count && status != MW_NO_MEMORY; i++) {
        if (made->slots[i].formula.source != MW_NONE) {
            mw_template *done = NULL;
            mw_status one = compile_slot(made, i, &done, diags);
            made->slots[i].made = done;
            status = one != MW_OK ? one : status;
        }
    }
    for (uint32_t i = 0; i < made->port_count && status != MW_NO_MEMORY; i++) {
        if (made->ports[i].kind == PORT_USUAL) {
            mw_template *done = NULL;
            mw_status one = compile(made, made->ports[i].slot, made->ports[i].depth, &done, diags);
            status = one != MW_OK ? one : status;
            made->ports[i].made = done; /* the ports may have moved meanwhile */
        }
    }
    return status;
}

static bool warns(const slot *of)
{
    return (of->kind == SLOT_LINE && of->row && of->row->warns.length > 0) ||
           (of->kind == SLOT_PLAN && mw_str_is(of->quantity, "beyond_data"));
}

/* Lists the slots that warn. */
static mw_status find_warnings(kit *made)
{
    made->warnings = mw_arena_get(made->build->arena, (made->slot_count + 1) * sizeof(uint32_t));
    for (uint32_t i = 0; made->warnings && i < made->slot_count; i++) {
        if (warns(&made->slots[i])) {
            made->warnings[made->warning_count++] = i;
        }
    }
    return made->warnings ? MW_OK : MW_NO_MEMORY;
}

mw_status kit_make(build *into, const mw_recipe *recipe, mw_span at, kit **out, mw_diags *diags)
{
    kit *made = mw_arena_get(into->arena, sizeof *made);
    void *kits = (void *)into->kits;
    uint32_t capacity = into->kit_count;
    if (!made || !mw_memory_grow32(&kits, &capacity, into->kit_count + 1, sizeof *into->kits)) {
        return MW_NO_MEMORY;
    }
    into->kits = kits;
    into->kits[into->kit_count++] = made;
    made->build = into;
    made->recipe = recipe;
    made->names = mw_names_new();
    if (!made->names) {
        return MW_NO_MEMORY;
    }
    *out = made;
    mw_status status = find_materials(made, diags);
    mw_status hands = status == MW_OK ? check_hands(made, diags) : MW_OK;
    if (status == MW_OK) {
        status = hands == MW_FAILED && into->goes_on ? MW_OK : hands;
    }
    if (status == MW_OK) {
        status = kit_layout(made, at, diags);
    }
    if (status == MW_OK) {
        status = rules_write(made);
    }
    if (status == MW_OK) {
        status = find_warnings(made);
    }
    if (status == MW_OK) {
        made->laid = true;
        status = compile_slots(made, diags);
    }
    return status == MW_OK ? hands : status;
}
