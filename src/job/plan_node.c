/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plan joined to the sheet: which cells it reads, which it gives. */
#include "plan_node.h"

#include <math.h>

#include "mouldwright/memory.h"

void *growing_add(growing *list, size_t item_size)
{
    if (!mw_memory_grow32(&list->items, &list->capacity, list->count + 1, item_size)) {
        return NULL;
    }
    char *item = (char *)list->items + (size_t)list->count * item_size;
    for (size_t i = 0; i < item_size; i++) {
        item[i] = 0;
    }
    list->count++;
    return item;
}

void plan_node_free(plan_node *node)
{
    if (!node) {
        return;
    }
    mw_plan_free(node->plan);
    plan_ties_free(node->ties);
    for (uint32_t i = 0; node->beyonds && i < node->step_count; i++) {
        mw_calendar_free(node->beyonds[i]);
    }
    for (uint32_t i = 0; node->owned && i < node->made_count; i++) {
        mw_calendar_free(node->owned[i]);
    }
    mw_memory_give(node->befores.items);
    mw_memory_give(node->activities.items);
    mw_memory_give(node->needs.items);
    mw_memory_give(node->lags.items);
    mw_memory_give(node->meanings.items);
    mw_memory_give(node->lags_of.items);
    mw_memory_give(node->sessions.items);
    mw_memory_give(node->misses.items);
    mw_memory_give(node->nevers.items);
    mw_memory_give(node->shown_slots.items);
    mw_memory_give(node->shown_missed.items);
    mw_memory_give(node->order_s);
    mw_memory_give(node->held_s);
    kept_order_free(&node->kept);
    mw_memory_give(node->holds.items);
    mw_memory_give(node);
}

uint32_t plan_node_shift(const mw_shop *shop, mw_str name)
{
    if (mw_str_is(name, "always")) {
        return shop->shift_count;
    }
    for (uint32_t i = 0; i < shop->shift_count; i++) {
        if (mw_str_equal(shop->shifts[i].name, name)) {
            return i;
        }
    }
    return 0;
}

static mw_status make_calendars(plan_node *node)
{
    build *in = node->in;
    const mw_shop *shop = in->shop;
    size_t room = (size_t)shop->shift_count + 1 + node->step_count;
    node->owned = mw_arena_get(in->arena, room * sizeof *node->owned);
    node->calendars = mw_arena_get(in->arena, room * sizeof *node->calendars);
    node->cures = mw_arena_get(in->arena, ((size_t)node->step_count + 1) * sizeof *node->cures);
    node->beyonds = mw_arena_get(in->arena, room * sizeof *node->beyonds);
    node->never_beyond = mw_arena_get(in->arena, room * sizeof *node->never_beyond);
    if (!node->owned || !node->calendars || !node->cures || !node->beyonds || !node->never_beyond) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i <= shop->shift_count; i++) {
        mw_str name = i < shop->shift_count ? shop->shifts[i].name : mw_str_of("always");
        node->owned[i] = mw_shop_shift(shop, name);
        node->calendars[i] = node->owned[i];
        if (!node->owned[i]) {
            return MW_NO_MEMORY;
        }
        node->made_count++;
    }
    node->calendar_count = node->made_count;
    return MW_OK;
}

/* The resource of that trade or machine, or MW_NONE. Trades come first. */
static uint32_t find_resource(const mw_shop *shop, mw_str name)
{
    for (uint32_t i = 0; i < shop->trade_count; i++) {
        if (mw_same_name(shop->trades[i].name, name)) {
            return i;
        }
    }
    for (uint32_t i = 0; i < shop->machine_count; i++) {
        if (mw_same_name(shop->machines[i].name, name)) {
            return shop->trade_count + i;
        }
    }
    return MW_NONE;
}

static mw_status make_resources(plan_node *node)
{
    build *in = node->in;
    const mw_shop *shop = in->shop;
    node->resource_count = shop->trade_count + shop->machine_count;
    node->resources = mw_arena_get(in->arena, (node->resource_count + 1) * sizeof *node->resources);
    node->promises = mw_arena_get(in->arena, (shop->promise_count + 1) * sizeof *node->promises);
    if (!node->resources || !node->promises) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < shop->promise_count; i++) {
        const mw_promise *promise = &shop->promises[i];
        uint32_t resource = find_resource(shop, promise->holds);
        if (resource != MW_NONE) {
            node->promises[node->promise_count++] =
                (mw_plan_promise){resource, promise->amount, promise->from_s, promise->until_s};
        }
    }
    return MW_OK;
}

/* The planned step of a mould's step. */
static uint32_t planned(const plan_node *node, uint32_t m, uint32_t step)
{
    return node->mould_first[m] + step;
}

static mw_status add_before(plan_node *node, planned_step *of, uint32_t before)
{
    uint32_t *item = growing_add(&node->befores, sizeof *item);
    if (!item) {
        return MW_NO_MEMORY;
    }
    *item = before;
    node->steps[before].followed =
        node->steps[before].followed || node->steps[before].mould == of->mould;
    of->before_count++;
    return MW_OK;
}

/* Whether another step of the recipe follows this one. */
static bool is_last(const mw_recipe *recipe, uint32_t step)
{
    for (uint32_t i = 0; i < recipe->step_count; i++) {
        const mw_step_row *row = &recipe->steps[i];
        if (!row->has_after && i == step + 1) {
            return false;
        }
        for (uint32_t k = 0; row->has_after && k < row->after.count; k++) {
            if (mw_str_equal(row->after.items[k], recipe->steps[step].name)) {
                return false;
            }
        }
    }
    return true;
}

/* The steps of a mould that its own comes after for which a step waits. */
static mw_status link_piece(plan_node *node, planned_step *of, uint32_t other, bool first)
{
    const mould *own = &node->in->moulds[of->mould];
    const kit *made = node->in->moulds[other].kit;
    if (of->row->after_piece.length > 0) {
        uint32_t step = kit_step(made, of->row->after_piece);
        if (step != MW_NONE) {
            return add_before(node, of, planned(node, other, step));
        }
    }
    mw_status status = MW_OK;
    bool by_piece = false;
    for (uint32_t i = 0; i < own->kit->recipe->step_count; i++) {
        by_piece = by_piece || own->kit->recipe->steps[i].after_piece.length > 0;
    }
    for (uint32_t i = 0; first && !by_piece && i < made->recipe->step_count; i++) {
        if (status == MW_OK && is_last(made->recipe, i)) {
            status = add_before(node, of, planned(node, other, i));
        }
    }
    return status;
}

static mw_status link_step(plan_node *node, planned_step *of)
{
    const mould *own = &node->in->moulds[of->mould];
    const mw_step_row *row = of->row;
    of->first_before = node->befores.count;
    mw_status status = MW_OK;
    if (!row->has_after && of->step > 0) {
        status = add_before(node, of, planned(node, of->mould, of->step - 1));
    }
    for (uint32_t i = 0; status == MW_OK && row->has_after && i < row->after.count; i++) {
        uint32_t step = kit_step(own->kit, row->after.items[i]);
        if (step != MW_NONE) {
            status = add_before(node, of, planned(node, of->mould, step));
        }
    }
    bool first = of->before_count == 0;
    for (uint32_t i = 0; status == MW_OK && i < own->after_count; i++) {
        status = link_piece(node, of, own->after[i], first);
    }
    return status;
}

static void fill_step(plan_node *node, uint32_t m, uint32_t step)
{
    const mw_shop *shop = node->in->shop;
    planned_step *of = &node->steps[planned(node, m, step)];
    const mw_step_row *row = &node->in->moulds[m].kit->recipe->steps[step];
    *of = (planned_step){.mould = m, .step = step, .row = row};
    of->trade = row->trade.length ? find_resource(shop, row->trade) : MW_NONE;
    of->calendar =
        of->trade < shop->trade_count ? plan_node_shift(shop, shop->trades[of->trade].shift) : 0;
    of->machine_calendar = of->calendar;
    for (uint32_t i = row->holds.count; i-- > 0;) {
        uint32_t machine = find_resource(shop, row->holds.items[i]);
        if (machine != MW_NONE && machine >= shop->trade_count) {
            of->machine_calendar =
                plan_node_shift(shop, shop->machines[machine - shop->trade_count].shift);
        }
    }
}

/* Counts the steps of all moulds and takes what is kept for each. */
static mw_status take_steps(plan_node *node, build *into)
{
    for (uint32_t m = 0; m < into->mould_count; m++) {
        node->mould_first[m] = node->step_count;
        node->step_count += into->moulds[m].kit->recipe->step_count;
    }
    node->mould_first[into->mould_count] = node->step_count;
    size_t room = (size_t)node->step_count + 1;
    node->steps = mw_arena_get(into->arena, room * sizeof *node->steps);
    node->results = mw_arena_get(into->arena, room * sizeof *node->results);
    node->shown = mw_arena_get(into->arena, room * sizeof *node->shown);
    node->remembered = mw_arena_get(into->arena, room * sizeof *node->remembered);
    node->ready_at =
        mw_arena_get(into->arena, ((size_t)into->mould_count + 1) * sizeof *node->ready_at);
    if (!node->steps || !node->results || !node->shown || !node->remembered || !node->ready_at) {
        return MW_NO_MEMORY;
    }
    return MW_OK;
}

mw_status plan_node_make(build *into, plan_node **out)
{
    plan_node *node = mw_memory_get(sizeof *node);
    if (!node) {
        return MW_NO_MEMORY;
    }
    *out = node;
    node->in = into;
    node->plan = mw_plan_new();
    node->ties = plan_ties_new(into->shop->trade_count + into->shop->machine_count);
    node->mould_first =
        mw_arena_get(into->arena, (into->mould_count + 1) * sizeof *node->mould_first);
    if (!node->plan || !node->ties || !node->mould_first) {
        return MW_NO_MEMORY;
    }
    if (take_steps(node, into) != MW_OK) {
        return MW_NO_MEMORY;
    }
    for (uint32_t m = 0; m < into->mould_count; m++) {
        for (uint32_t step = 0; step < into->moulds[m].kit->recipe->step_count; step++) {
            fill_step(node, m, step);
        }
    }
    mw_status status = make_calendars(node);
    if (status == MW_OK) {
        status = make_resources(node);
    }
    for (uint32_t i = 0; status == MW_OK && i < node->step_count; i++) {
        status = link_step(node, &node->steps[i]);
    }
    if (status == MW_OK) {
        global improved = {.name = mw_str_of("job.improved"),
                           .type = MW_TYPE_NUMBER,
                           .unit = MW_UNIT_ONE,
                           .formula = job_nowhere(),
                           .value_only = true,
                           .stock = MW_NONE};
        status = global_add(into, &improved) == MW_NONE ? MW_NO_MEMORY : MW_OK;
    }
    if (status == MW_OK) {
        global ready = {.name = mw_str_of("job.ready"),
                        .type = MW_TYPE_DATE,
                        .unit = MW_UNIT_ONE,
                        .formula = job_nowhere(),
                        .planned = true,
                        .stock = MW_NONE};
        status = global_add(into, &ready) == MW_NONE ? MW_NO_MEMORY : MW_OK;
    }
    return status;
}

/* ---- cells ---- */

static void give_output(plan_node *node, mw_edit *edit, uint32_t at, mw_type type)
{
    bool time = type == MW_TYPE_TIME;
    mw_constant constant = {
        mw_error_value(MW_CODE_NOT_A_VALUE), type,
        time ? mw_unit_usual(node->in->job->measure, type) : (mw_unit)MW_UNIT_ONE, job_nowhere()};
    mw_edit_value(edit, node->first_output + at, &constant);
}

static void place_slot(plan_node *node, mould *of, uint32_t step, const char *name, uint32_t at)
{
    uint32_t slot_at = kit_slot(of->kit, step, mw_str_of(name));
    if (slot_at != MW_NONE && of->kit->slots[slot_at].kind == SLOT_PLAN) {
        of->cells[slot_at] = node->first_output + at;
    }
}

/* Outputs: job.ready, then each mould's, then each step's. */
mw_status plan_node_cells(build *into, mw_edit *edit)
{
    static const char *const mould_names[] = {"start",    "ready",   "waiting",
                                              "queueing", "working", "late"};
    static const char *const step_names[] = {"start",       "end",   "waiting",  "queueing",
                                             "beyond_data", "slack", "sets_date"};
    plan_node *node = into->plan;
    node->output_count =
        1 + into->mould_count * OUT_MOULD_COUNT + node->step_count * OUT_STEP_COUNT;
    node->first_output = mw_edit_cells(edit, node->output_count);
    if (node->first_output == MW_NONE) {
        return MW_NO_MEMORY;
    }
    uint32_t at = 0;
    into->globals[global_find(into, mw_str_of("job.ready"))].cell = node->first_output;
    give_output(node, edit, at++, MW_TYPE_DATE);
    for (uint32_t m = 0; m < into->mould_count; m++) {
        for (uint32_t i = 0; i < OUT_MOULD_COUNT; i++, at++) {
            give_output(node, edit, at, i <= OUT_READY ? MW_TYPE_DATE : MW_TYPE_TIME);
            place_slot(node, &into->moulds[m], MW_NONE, mould_names[i], at);
        }
    }
    for (uint32_t s = 0; s < node->step_count; s++) {
        for (uint32_t i = 0; i < OUT_STEP_COUNT; i++, at++) {
            mw_type type = i == OUT_STEP_SETS ? MW_TYPE_TRUTH : MW_TYPE_TIME;
            give_output(node, edit, at, i <= OUT_STEP_END ? MW_TYPE_DATE : type);
            place_slot(node, &into->moulds[node->steps[s].mould], node->steps[s].step,
                       step_names[i], at);
        }
    }
    return MW_OK;
}

static uint32_t global_cell(const build *in, const char *name)
{
    uint32_t at = global_find(in, mw_str_of(name));
    return at == MW_NONE ? in->no_cell : in->globals[at].cell;
}

static uint32_t count_cell(const build *in, mw_str name)
{
    mw_text full = {0};
    mw_text_adds(&full, "shop.");
    mw_name_word(name, &full);
    mw_text_adds(&full, "_count");
    uint32_t cell = full.failed ? MW_NONE : global_cell(in, mw_text_chars(&full));
    mw_text_free(&full);
    return cell;
}

static void gather_fixed(plan_node *node)
{
    static const char *const names[] = {
        "job.start",       "shop.cure_reference", "shop.cure_doubling",
        "shop.day_warmer", "shop.night_warmer",   "shop.productive_share",
        "job.improved",    "job.order",           "job.status"};
    const mw_shop *shop = node->in->shop;
    for (uint32_t i = 0; i < IN_FIXED_COUNT; i++) {
        node->inputs[node->input_count++] = global_cell(node->in, names[i]);
    }
    for (uint32_t i = 0; i < shop->trade_count; i++) {
        node->inputs[node->input_count++] = count_cell(node->in, shop->trades[i].name);
    }
    for (uint32_t i = 0; i < shop->machine_count; i++) {
        node->inputs[node->input_count++] = count_cell(node->in, shop->machines[i].name);
    }
    node->steps_at = node->input_count;
}

/* What each mould says of its due date; a recipe's own quantity of that name and another kind says nothing. */
static void gather_dues(plan_node *node)
{
    static const struct {
        const char *name;
        mw_type type;
    } dues[IN_MOULD_COUNT] = {{"due", MW_TYPE_DATE}, {"urgency", MW_TYPE_NUMBER}};
    node->moulds_at = node->input_count;
    for (uint32_t m = 0; m < node->in->mould_count; m++) {
        const mould *of = &node->in->moulds[m];
        for (uint32_t i = 0; i < IN_MOULD_COUNT; i++) {
            const uint32_t at = kit_slot(of->kit, MW_NONE, mw_str_of(dues[i].name));
            const bool fits = at != MW_NONE && of->kit->slots[at].type == dues[i].type;
            node->inputs[node->input_count++] = fits ? of->cells[at] : node->in->no_cell;
        }
    }
}

mw_status plan_node_define(build *into, mw_edit *edit)
{
    static const char *const names[IN_STEP_COUNT] = {
        "hours",  "machine_hours", "crew", "sessions",     "session_wait", "wait", "window",
        "rework", "cure_energy",   "tent", "cure_coldest", "cure_hottest", "done", "ended"};
    plan_node *node = into->plan;
    size_t room = (size_t)IN_FIXED_COUNT + node->resource_count +
                  (size_t)node->step_count * IN_STEP_COUNT +
                  (size_t)into->mould_count * IN_MOULD_COUNT;
    node->inputs = mw_arena_get(into->arena, room * sizeof *node->inputs);
    node->newest = mw_arena_get(into->arena, room * sizeof *node->newest);
    node->gathered = mw_arena_get(into->arena, room * sizeof *node->gathered);
    node->first_lag =
        mw_arena_get(into->arena, ((size_t)node->step_count + 1) * sizeof *node->first_lag);
    if (!node->inputs || !node->newest || !node->gathered || !node->first_lag) {
        return MW_NO_MEMORY;
    }
    gather_fixed(node);
    for (uint32_t s = 0; s < node->step_count; s++) {
        planned_step *of = &node->steps[s];
        const mould *own = &into->moulds[of->mould];
        for (uint32_t i = 0; i < IN_STEP_COUNT; i++) {
            uint32_t at = kit_slot(own->kit, of->step, mw_str_of(names[i]));
            of->reads_window = i == IN_WINDOW ? at != MW_NONE : of->reads_window;
            node->inputs[node->input_count++] = at == MW_NONE ? into->no_cell : own->cells[at];
        }
    }
    gather_dues(node);
    for (uint32_t i = 0; i < node->input_count; i++) {
        if (node->inputs[i] == MW_NONE) {
            return MW_NO_MEMORY;
        }
    }
    mw_outside_node outside = {.compute = plan_node_compute,
                               .context = node,
                               .inputs = node->inputs,
                               .input_count = node->input_count,
                               .first_output = node->first_output,
                               .output_count = node->output_count};
    mw_edit_outside(edit, &outside);
    return MW_OK;
}

void plan_node_quiet(plan_node *node, bool quiet)
{
    if (node) {
        node->quiet = quiet;
    }
}
