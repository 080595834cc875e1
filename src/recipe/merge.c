/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps of one recipe on those of another: some fall away, some change, new ones find their place. */
#include "recipe/merge.h"

#include <string.h>

/* A step in the making. */
typedef struct placed {
    mw_step_row row;
    mw_str place_after; /* a new step: behind which; empty: at the end, or of the recipe built on */
} placed;

typedef struct order {
    placed *items;
    uint32_t count;
} order;

static uint32_t find_step(const order *steps, mw_str name)
{
    for (uint32_t i = 0; i < steps->count; i++) {
        if (mw_str_equal(steps->items[i].row.name, name)) {
            return i;
        }
    }
    return MW_NONE;
}

/* Reports a name that is no step of what is known so far. */
static void report_no_step(mw_load *load, const order *steps, mw_str name, mw_span at)
{
    mw_suggest near = mw_load_suggest(load, name);
    for (uint32_t i = 0; i < steps->count; i++) {
        mw_suggest_offer(&near, steps->items[i].row.name);
    }
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_UNKNOWN_STEP, at,
                                   "no step is called `%.*s`", MW_SHOW(name));
    mw_load_mean(load, diag, &near);
}

static void report_alone(mw_load *load, mw_span at, const char *key)
{
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_YAML_FORM, at,
                                   "`%s` is for a recipe that builds on another", key);
    mw_diag_try(load->diags, diag, "add `builds_on`, or remove it");
}

/* Takes over the steps of the recipe built on, without those that fall away. */
static void take_base(mw_load *load, const mw_raw_recipe *raw, const mw_recipe *base, order *steps)
{
    const mw_name_list *without = &raw->without;
    for (uint32_t i = 0; base != NULL && i < base->step_count; i++) {
        steps->items[steps->count++].row = base->steps[i];
    }
    for (uint32_t i = 0; i < without->count; i++) {
        uint32_t at = find_step(steps, without->items[i]);
        if (base == NULL) {
            report_alone(load, without->spans[i], "without");
        } else if (at == MW_NONE) {
            report_no_step(load, steps, without->items[i], without->spans[i]);
        } else {
            steps->count--;
            memmove(&steps->items[at], &steps->items[at + 1],
                    (steps->count - at) * sizeof *steps->items);
            steps->items[steps->count] = (placed){0};
        }
    }
}

static void merge_parts(mw_load *load, const mw_raw_step *raw, const mw_step_row *base,
                        mw_step_row *row)
{
    mw_line_stack lines = {.raw = raw->lines, .raw_count = raw->line_count, .of_step = true};
    mw_use_stack uses = {.raw = raw->uses, .raw_count = raw->use_count};
    if (base != NULL) {
        lines.base = base->lines;
        lines.base_count = base->line_count;
        uses.base = base->uses;
        uses.base_count = base->use_count;
    }
    row->lines = mw_lines_merge(load, &lines, &row->line_count);
    row->uses = mw_uses_merge(load, &uses, &row->use_count);
}

static void change_step(mw_load *load, const mw_raw_step *raw, placed *step)
{
    if (raw->place_after.length > 0) {
        mw_diags_error(
            load->diags, MW_CODE_YAML_FORM, raw->place_after_at,
            "`place_after` is for new steps; `%.*s` has its place in the recipe built on",
            MW_SHOW(raw->row.name));
    }
    mw_step_row base = step->row;
    mw_keys_copy(&mw_step_keys, raw->given, raw, &step->row, sizeof step->row);
    step->row.name_at = raw->row.name_at;
    step->row.has_after = base.has_after || raw->row.has_after;
    merge_parts(load, raw, &base, &step->row);
}

/* Returns where a new step goes: behind the one named and behind those already placed there. */
static uint32_t place_of(mw_load *load, const mw_raw_step *raw, const order *steps)
{
    if (raw->place_after.length == 0) {
        return steps->count;
    }
    uint32_t at = find_step(steps, raw->place_after);
    if (at == MW_NONE) {
        report_no_step(load, steps, raw->place_after, raw->place_after_at);
        return steps->count;
    }
    at++;
    while (at < steps->count && mw_str_equal(steps->items[at].place_after, raw->place_after)) {
        at++;
    }
    return at;
}

static void add_step(mw_load *load, const mw_raw_step *raw, order *steps)
{
    uint32_t at = place_of(load, raw, steps);
    memmove(&steps->items[at + 1], &steps->items[at], (steps->count - at) * sizeof *steps->items);
    steps->count++;
    steps->items[at] = (placed){.row = raw->row, .place_after = raw->place_after};
    merge_parts(load, raw, NULL, &steps->items[at].row);
}

static void merge_steps(mw_load *load, const mw_raw_recipe *raw, const mw_recipe *base,
                        order *steps)
{
    take_base(load, raw, base, steps);
    for (uint32_t i = 0; i < raw->step_count && !load->no_memory; i++) {
        const mw_raw_step *step = &raw->steps[i];
        if (base == NULL && step->place_after.length > 0) {
            report_alone(load, step->place_after_at, "place_after");
        }
        uint32_t at = find_step(steps, step->row.name);
        if (at == MW_NONE) {
            add_step(load, step, steps);
        } else {
            change_step(load, step, &steps->items[at]);
        }
    }
}

static const mw_step_row *keep_steps(mw_load *load, const order *steps)
{
    mw_step_row *rows = mw_load_room(load, steps->count, sizeof *rows);
    for (uint32_t i = 0; rows != NULL && i < steps->count; i++) {
        rows[i] = steps->items[i].row;
    }
    return rows;
}

mw_recipe *mw_recipe_merge(mw_load *load, const mw_raw_recipe *raw, const mw_recipe *base)
{
    mw_recipe *recipe = mw_load_room(load, 1, sizeof *recipe);
    size_t most = (size_t)raw->step_count + (base == NULL ? 0 : base->step_count) + 1;
    order steps = {.items = mw_load_scratch(load, most, sizeof *steps.items)};
    if (recipe == NULL || steps.items == NULL) {
        return NULL;
    }
    *recipe = (mw_recipe){.name = raw->name,
                          .about = raw->about,
                          .source = raw->source,
                          .file = raw->name_at.source,
                          .builds_on = base};
    mw_line_stack lines = {.raw = raw->lines, .raw_count = raw->line_count};
    if (base != NULL) {
        recipe->about = raw->about.length > 0 ? raw->about : base->about;
        recipe->source = raw->source.length > 0 ? raw->source : base->source;
        lines.base = base->lines;
        lines.base_count = base->line_count;
    }
    recipe->lines = mw_lines_merge(load, &lines, &recipe->line_count);
    merge_steps(load, raw, base, &steps);
    recipe->steps = keep_steps(load, &steps);
    recipe->step_count = steps.count;
    return load->no_memory ? NULL : recipe;
}
