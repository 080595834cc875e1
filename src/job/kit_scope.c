/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names inside a recipe: quantities of the step, of the mould, of other steps, figures of materials, the shop. */
#include "parts.h"

#include "mouldwright/memory.h"
#include "mouldwright/suggest.h"

static void refer_slot(const kit *made, uint32_t at, mw_reference *out)
{
    const slot *of = &made->slots[at];
    *out = (mw_reference){.slot = at, .count = 1, .type = of->type, .unit = of->unit};
}

static mw_status refer_port(kit *made, const port *wanted, mw_unit unit, mw_reference *out)
{
    uint32_t number = kit_port(made, wanted);
    if (number == MW_NONE) {
        return MW_NO_MEMORY;
    }
    *out = (mw_reference){.slot = number, .count = 1, .type = wanted->type, .unit = unit};
    return MW_OK;
}

/* `plies`, `area`, `follows`. */
static mw_status find_one(kit_place *place, mw_str name, mw_reference *out)
{
    uint32_t at = place->step == MW_NONE ? MW_NONE : kit_slot(place->made, place->step, name);
    if (at == MW_NONE) {
        at = kit_slot(place->made, MW_NONE, name);
    }
    if (at != MW_NONE) {
        refer_slot(place->made, at, out);
        return MW_OK;
    }
    if (mw_str_is(name, "follows")) {
        port wanted = {.kind = PORT_FOLLOWS, .type = MW_TYPE_TRUTH};
        return refer_port(place->made, &wanted, MW_UNIT_ONE, out);
    }
    return MW_NOT_FOUND;
}

/* `steps.hours`: the list over all steps that have it. */
static mw_status find_steps(kit_place *place, mw_str name, mw_reference *out)
{
    kit *made = place->made;
    uint32_t count = 0;
    void *list = place->list;
    if (!mw_memory_grow32(&list, &place->list_capacity, made->recipe->step_count + 1,
                          sizeof *place->list)) {
        return MW_NO_MEMORY;
    }
    place->list = list;
    for (uint32_t step = 0; step < made->recipe->step_count; step++) {
        uint32_t at = kit_slot(made, step, name);
        if (at != MW_NONE) {
            place->list[count++] = at;
        }
    }
    if (count == 0) {
        return MW_NOT_FOUND;
    }
    const slot *first = &made->slots[place->list[0]];
    *out = (mw_reference){.slots = place->list,
                          .count = count,
                          .list = true,
                          .type = first->type,
                          .unit = first->unit};
    return MW_OK;
}

/* `cloth.density`: a figure of what the step uses in that role. */
static mw_status find_figure(kit_place *place, uint32_t use, const mw_path *path, mw_reference *out,
                             mw_diags *diags)
{
    kit *made = place->made;
    const mw_material *material = made->usual_materials[made->first_use[place->step] + use];
    uint32_t at = globals_figure(made->build, material, path->parts[1]);
    if (at == MW_NONE) {
        mw_diag *diag =
            mw_diags_error(diags, MW_CODE_MATERIAL_LACKS, path->span, "`%.*s` has no figure `%.*s`",
                           (int)material->name.length, material->name.at,
                           (int)path->parts[1].length, path->parts[1].at);
        mw_diag_other(diags, diag, material->name_at, "the material");
        return MW_FAILED;
    }
    port wanted = {.kind = PORT_FIGURE,
                   .step = place->step,
                   .use = use,
                   .name = path->parts[1],
                   .at = path->span,
                   .type = made->build->globals[at].type};
    return refer_port(made, &wanted, made->build->globals[at].unit, out);
}

static mw_status find_global(kit_place *place, const mw_path *path, mw_reference *out)
{
    mw_text name = {0};
    mw_text_add_str(&name, path->parts[0]);
    mw_text_addc(&name, '.');
    mw_text_add_str(&name, path->parts[1]);
    uint32_t at =
        name.failed ? MW_NONE
                    : global_find(place->made->build, (mw_str){mw_text_chars(&name), name.length});
    bool lost = name.failed;
    mw_text_free(&name);
    if (at == MW_NONE) {
        return lost ? MW_NO_MEMORY : MW_NOT_FOUND;
    }
    const global *found = &place->made->build->globals[at];
    port wanted = {.kind = PORT_GLOBAL, .global = at, .type = found->type};
    return refer_port(place->made, &wanted, found->unit, out);
}

static mw_status find_two(kit_place *place, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    kit *made = place->made;
    if (place->step != MW_NONE) {
        const mw_step_row *row = &made->recipe->steps[place->step];
        for (uint32_t use = 0; use < row->use_count; use++) {
            if (mw_str_equal(row->uses[use].role, path->parts[0])) {
                return find_figure(place, use, path, out, diags);
            }
        }
    }
    if (mw_str_is(path->parts[0], "steps")) {
        return find_steps(place, path->parts[1], out);
    }
    if (mw_str_is(path->parts[0], "shop")) {
        mw_status status = find_global(place, path, out);
        place->hushed = place->hushed || (status == MW_NOT_FOUND && made->build->shop_lost);
        return place->hushed ? MW_FAILED : status;
    }
    uint32_t step = kit_step(made, path->parts[0]);
    uint32_t at = step == MW_NONE ? MW_NONE : kit_slot(made, step, path->parts[1]);
    if (at == MW_NONE) {
        return MW_NOT_FOUND;
    }
    refer_slot(made, at, out);
    return MW_OK;
}

static mw_status find(void *context, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    kit_place *place = context;
    if (path->count == 1) {
        return find_one(place, path->parts[0], out);
    }
    return path->count == 2 ? find_two(place, path, out, diags) : MW_NOT_FOUND;
}

/* Offers the quantities of a step (MW_NONE: of the mould). */
static void offer_slots(const kit *made, uint32_t step, mw_suggest *nearest)
{
    for (uint32_t i = 0; i < made->slot_count; i++) {
        if (made->slots[i].step == step) {
            mw_suggest_offer(nearest, made->slots[i].quantity);
        }
    }
}

static bool suggest_of_shop(const build *in, const mw_path *path, mw_text *out)
{
    mw_text whole = {0};
    mw_text_adds(&whole, "shop.");
    mw_text_add_str(&whole, path->parts[1]);
    mw_suggest nearest;
    mw_suggest_start(&nearest, (mw_str){mw_text_chars(&whole), whole.length});
    for (uint32_t i = 0; i < in->global_count; i++) {
        mw_suggest_offer(&nearest, in->globals[i].name);
    }
    mw_text_add_str(out, nearest.best);
    mw_text_free(&whole);
    return nearest.best.length > 0;
}

/* `FIRST.quantity` where no step is called FIRST: the step that may be meant; else the quantity alone, since a recipe
 * names those of its own mould without the mould's name. */
static bool suggest_step(const kit *made, const mw_path *path, mw_text *out)
{
    if (mw_str_is(path->parts[0], "shop")) {
        return suggest_of_shop(made->build, path, out);
    }
    mw_suggest nearest;
    mw_suggest_start(&nearest, path->parts[0]);
    for (uint32_t i = 0; i < made->recipe->step_count; i++) {
        mw_suggest_offer(&nearest, made->recipe->steps[i].name);
    }
    uint32_t step = nearest.best.length > 0 ? kit_step(made, nearest.best) : MW_NONE;
    if (step != MW_NONE && kit_slot(made, step, path->parts[1]) != MW_NONE) {
        mw_text_add_str(out, nearest.best);
        mw_text_addc(out, '.');
        mw_text_add_str(out, path->parts[1]);
        return true;
    }
    if (kit_slot(made, MW_NONE, path->parts[1]) == MW_NONE) {
        return false;
    }
    mw_text_add_str(out, path->parts[1]);
    return true;
}

/* The nearest name: what the step can see, by its short name. */
static bool suggest(void *context, const mw_path *path, mw_text *out)
{
    kit_place *place = context;
    const kit *made = place->made;
    uint32_t step = path->count == 2 ? kit_step(made, path->parts[0]) : place->step;
    if (path->count == 2 && step == MW_NONE) {
        return suggest_step(made, path, out);
    }
    mw_suggest nearest;
    mw_suggest_start(&nearest, path->parts[path->count - 1]);
    offer_slots(made, step, &nearest);
    if (path->count == 1 && step != MW_NONE) {
        offer_slots(made, MW_NONE, &nearest);
    }
    if (nearest.best.length == 0) {
        return false;
    }
    if (path->count == 2) {
        mw_text_add_str(out, path->parts[0]);
        mw_text_addc(out, '.');
    }
    mw_text_add_str(out, nearest.best);
    return true;
}

void kit_place_start(kit_place *place, kit *made, uint32_t step)
{
    *place = (kit_place){.made = made, .step = step};
    place->scope = (mw_scope){.context = place,
                              .find = find,
                              .suggest = suggest,
                              .host = host_functions(made->build->host)};
}

void kit_place_end(kit_place *place)
{
    mw_memory_give(place->list);
    place->list = NULL;
}
