/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Checks of a merged recipe: names that would mean two things, and the order of the steps. */
#include "mouldwright/names.h"
#include "recipe/limits.h"
#include "recipe/merge.h"

/* Quantities that the program makes for every mould or step, and fields of a mould's line. */
static const struct {
    const char *name;
    bool mould;
    bool step;
} made[] = {
    {"cost", true, true},
    {"material_cost", true, true},
    {"labour_cost", true, true},
    {"machine_cost", true, true},
    {"overhead_cost", true, true},
    {"outside_posted", true, true},
    {"start", true, true},
    {"end", false, true},
    {"waiting", true, true},
    {"queueing", true, true},
    {"outside_cost", true, false},
    {"margin_cost", true, false},
    {"price", true, false},
    {"ready", true, false},
    {"working", true, false},
    {"resin", true, false},
    {"hours", true, false},
    {"thickness", true, false},
    {"mass", true, false},
    {"recipe", true, false},
    {"after", true, false},
    {"energy_cost", true, true},
    {"contingency_cost", true, false},
    {"markup_cost", true, false},
    {"beyond_data", false, true},
};

static void check_made(mw_load *load, const mw_line_row *row, bool of_step)
{
    for (size_t i = 0; i < sizeof made / sizeof made[0]; i++) {
        if ((of_step ? made[i].step : made[i].mould) && mw_str_is(row->name, made[i].name)) {
            mw_diags_error(load->diags, MW_CODE_NAME_TAKEN, row->name_at,
                           "a line of a %s cannot be called `%.*s`: the program makes that itself",
                           of_step ? "step" : "mould", MW_SHOW(row->name));
        }
    }
}

static void report_taken(mw_load *load, mw_str name, mw_span at, mw_span other, const char *note)
{
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_NAME_TAKEN, at,
                                   "the name `%.*s` would mean two things", MW_SHOW(name));
    mw_diag_other(load->diags, diag, other, "%s", note);
}

/* Names in order of their adding, with their places. */
typedef struct places {
    mw_names *names;
    mw_span *spans;
} places;

static bool start_places(mw_load *load, places *to, size_t most)
{
    to->names = mw_names_new();
    to->spans = mw_load_scratch(load, most, sizeof *to->spans);
    load->no_memory |= to->names == NULL;
    return to->names != NULL && to->spans != NULL;
}

/* Adds a name, or reports that it is there already. */
static void add_place(mw_load *load, places *to, mw_str name, mw_span at, const char *note)
{
    uint32_t count = mw_names_count(to->names);
    uint32_t id = mw_names_add(to->names, name);
    if (id == MW_NONE) {
        load->no_memory = true;
    } else if (id < count) {
        report_taken(load, name, at, to->spans[id], note);
    } else {
        to->spans[id] = at;
    }
}

/* A mould's lines and its steps are read by the same sort of path. */
static void check_mould_names(mw_load *load, const mw_recipe *recipe)
{
    places known;
    size_t most = (size_t)recipe->line_count + recipe->step_count;
    if (start_places(load, &known, most)) {
        for (uint32_t i = 0; i < recipe->line_count; i++) {
            const mw_line_row *row = &recipe->lines[i];
            check_made(load, row, false);
            add_place(load, &known, row->name, row->name_at, "the other is here");
        }
        for (uint32_t i = 0; i < recipe->step_count; i++) {
            const mw_step_row *row = &recipe->steps[i];
            add_place(load, &known, row->name, row->name_at, "a line of the mould has it here");
        }
    }
    mw_names_free(known.names);
}

/* The names that a role gives to its step besides its own. */
static const char *const role_endings[] = {"", "_net", "_loss", "_lost", "_cost", "_material"};
enum { ROLE_NAMES = sizeof role_endings / sizeof role_endings[0] };

static void add_role(mw_load *load, places *known, const mw_use_row *use)
{
    mw_text name = {0};
    for (size_t i = 0; i < ROLE_NAMES; i++) {
        mw_text_clear(&name);
        mw_text_add_str(&name, use->role);
        mw_text_adds(&name, role_endings[i]);
        if (name.failed) {
            load->no_memory = true;
            break;
        }
        add_place(load, known, (mw_str){name.data, name.length}, use->role_at,
                  "a line or another role of the step has it here");
    }
    mw_text_free(&name);
}

static void check_step_names(mw_load *load, const mw_step_row *step)
{
    for (uint32_t i = 0; i < step->line_count; i++) {
        check_made(load, &step->lines[i], true);
    }
    if (step->use_count == 0) {
        return;
    }
    places known;
    size_t most = (size_t)step->line_count + (size_t)step->use_count * ROLE_NAMES;
    if (start_places(load, &known, most)) {
        for (uint32_t i = 0; i < step->line_count; i++) {
            const mw_line_row *row = &step->lines[i];
            add_place(load, &known, row->name, row->name_at, "the other is here");
        }
        for (uint32_t i = 0; i < step->use_count; i++) {
            add_role(load, &known, &step->uses[i]);
        }
    }
    mw_names_free(known.names);
}

/* --- the order of the steps ------------------------------------------------------------------- */

/* Steps that each step follows, as one array of indices. */
typedef struct follows {
    const mw_recipe *recipe;
    uint32_t *first; /* of step i: targets[first[i]] to targets[first[i + 1] - 1] */
    uint32_t *targets;
} follows;

static void report_after(mw_load *load, const mw_recipe *recipe, const mw_raw_recipe *raw,
                         mw_str name, mw_span at)
{
    mw_suggest near = mw_load_suggest(load, name);
    for (uint32_t i = 0; i < recipe->step_count; i++) {
        mw_suggest_offer(&near, recipe->steps[i].name);
    }
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_UNKNOWN_STEP, at,
                                   "no step is called `%.*s`", MW_SHOW(name));
    mw_load_mean(load, diag, &near);
    for (uint32_t i = 0; i < raw->without.count; i++) {
        if (mw_str_equal(raw->without.items[i], name)) {
            mw_diag_other(load->diags, diag, raw->without.spans[i], "it falls away here");
            mw_diag_try(load->diags, diag, "give this recipe the step again with its own `after`");
        }
    }
}

static void find_targets(mw_load *load, const mw_raw_recipe *raw, const mw_names *names,
                         follows *to)
{
    const mw_recipe *recipe = to->recipe;
    uint32_t count = 0;
    for (uint32_t i = 0; i < recipe->step_count; i++) {
        const mw_step_row *step = &recipe->steps[i];
        to->first[i] = count;
        if (!step->has_after && i > 0) {
            to->targets[count++] = i - 1;
        }
        for (uint32_t k = 0; k < step->after.count; k++) {
            uint32_t id = mw_names_find(names, step->after.items[k]);
            if (id == MW_NONE) {
                report_after(load, recipe, raw, step->after.items[k], step->after.spans[k]);
            } else {
                to->targets[count++] = id;
            }
        }
    }
    to->first[recipe->step_count] = count;
}

/* A walk from step to step that follows it; a step met again on the way is a loop. */
typedef struct walk {
    const follows *edges;
    uint32_t *path;
    uint32_t *next; /* the next target to try, per step of the path */
    uint8_t *state; /* 0 new, 1 on the path, 2 done */
    uint32_t depth;
} walk;

static void report_loop(mw_load *load, const walk *w, uint32_t again)
{
    const mw_recipe *recipe = w->edges->recipe;
    mw_text path = {0};
    uint32_t i = 0;
    while (w->path[i] != again) {
        i++;
    }
    for (; i < w->depth; i++) {
        const mw_step_row *step = &recipe->steps[w->path[i]];
        mw_place place = mw_sources_place(load->sources, step->name_at.source, step->name_at.begin);
        mw_text_addf(&path, "%.*s (%.*s:%u) follows ", MW_SHOW(step->name), (int)place.name.length,
                     place.name.at, (unsigned)place.line);
    }
    mw_text_add_str(&path, recipe->steps[again].name);
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_CYCLE, recipe->steps[again].name_at,
                                   "the step `%.*s` would have to follow itself",
                                   MW_SHOW(recipe->steps[again].name));
    mw_diag_extra(load->diags, diag, "%s", mw_text_chars(&path));
    mw_diag_try(load->diags, diag, "break the loop in one `after`");
    load->no_memory |= path.failed;
    mw_text_free(&path);
}

/* Goes one edge on or one step back. Returns false at a loop. */
static bool walk_on(mw_load *load, walk *w)
{
    uint32_t here = w->path[w->depth - 1];
    if (w->next[w->depth - 1] == w->edges->first[here + 1]) {
        w->state[here] = 2;
        w->depth--;
        return true;
    }
    uint32_t target = w->edges->targets[w->next[w->depth - 1]++];
    if (w->state[target] == 1) {
        report_loop(load, w, target);
        return false;
    }
    if (w->state[target] == 0) {
        w->state[target] = 1;
        w->path[w->depth] = target;
        w->next[w->depth++] = w->edges->first[target];
    }
    return true;
}

static void find_loop(mw_load *load, const follows *edges)
{
    uint32_t count = edges->recipe->step_count;
    walk w = {.edges = edges,
              .path = mw_load_scratch(load, count, sizeof *w.path),
              .next = mw_load_scratch(load, count, sizeof *w.next),
              .state = mw_load_scratch(load, count, sizeof *w.state)};
    if (w.path == NULL || w.next == NULL || w.state == NULL) {
        return;
    }
    for (uint32_t i = 0; i < count; i++) {
        if (w.state[i] != 0) {
            continue;
        }
        w.state[i] = 1;
        w.path[0] = i;
        w.next[0] = edges->first[i];
        w.depth = 1;
        while (w.depth > 0) {
            if (!walk_on(load, &w)) {
                return;
            }
        }
    }
}

static void check_order(mw_load *load, const mw_recipe *recipe, const mw_raw_recipe *raw)
{
    size_t edges = recipe->step_count;
    for (uint32_t i = 0; i < recipe->step_count; i++) {
        edges += recipe->steps[i].after.count;
    }
    follows to = {.recipe = recipe,
                  .first = mw_load_scratch(load, (size_t)recipe->step_count + 1, sizeof *to.first),
                  .targets = mw_load_scratch(load, edges, sizeof *to.targets)};
    mw_names *names = mw_names_new();
    load->no_memory |= names == NULL;
    for (uint32_t i = 0; i < recipe->step_count && !load->no_memory; i++) {
        load->no_memory |= mw_names_add(names, recipe->steps[i].name) == MW_NONE;
    }
    if (!load->no_memory) {
        find_targets(load, raw, names, &to);
        find_loop(load, &to);
    }
    mw_names_free(names);
}

static void check_figures(mw_load *load, const mw_recipe *recipe)
{
    mw_limits limits;
    mw_limits_start(&limits, load);
    for (uint32_t i = 0; i < recipe->line_count; i++) {
        mw_limits_line(&limits, &recipe->lines[i], false);
    }
    for (uint32_t i = 0; i < recipe->step_count; i++) {
        const mw_step_row *step = &recipe->steps[i];
        for (uint32_t k = 0; k < step->line_count; k++) {
            mw_limits_line(&limits, &step->lines[k], true);
        }
        for (uint32_t k = 0; k < step->use_count; k++) {
            mw_limits_loss(&limits, &step->uses[k]);
        }
    }
    mw_limits_end(&limits);
}

void mw_recipe_check(mw_load *load, const mw_recipe *recipe, const mw_raw_recipe *raw)
{
    check_mould_names(load, recipe);
    for (uint32_t i = 0; i < recipe->step_count; i++) {
        check_step_names(load, &recipe->steps[i]);
    }
    check_order(load, recipe, raw);
    check_figures(load, recipe);
}
