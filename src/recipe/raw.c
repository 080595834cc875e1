/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading one recipe file. */
#include "recipe/raw.h"

#include "mouldwright/names.h"

mw_span mw_nowhere(void)
{
    return (mw_span){.source = MW_NONE};
}

/* clang-format off */
static const mw_field line_fields[] = {
    MW_FIELD_ALSO("unit", MW_FIELD_UNIT, mw_raw_line, row.type, row.unit),
    MW_FIELD("usual", MW_FIELD_FORMULA, mw_raw_line, row.formula),
    MW_FIELD("is", MW_FIELD_FORMULA, mw_raw_line, row.formula),
    MW_FIELD("about", MW_FIELD_TEXT, mw_raw_line, row.about),
    MW_FIELD("source", MW_FIELD_TEXT, mw_raw_line, row.source),
    MW_FIELD("whole", MW_FIELD_TRUTH, mw_raw_line, row.whole),
    MW_FIELD("warns", MW_FIELD_TEXT, mw_raw_line, row.warns),
    MW_FIELD("low", MW_FIELD_FORMULA, mw_raw_line, row.low),
    MW_FIELD("high", MW_FIELD_FORMULA, mw_raw_line, row.high),
};

static const mw_field use_fields[] = {
    MW_FIELD_ALSO("material", MW_FIELD_TEXT, mw_raw_use, row.material, row.material_at),
    MW_FIELD_ALSO("unit", MW_FIELD_UNIT, mw_raw_use, row.type, row.unit),
    MW_FIELD("amount", MW_FIELD_FORMULA, mw_raw_use, row.amount),
    MW_FIELD("loss", MW_FIELD_FORMULA, mw_raw_use, row.loss),
    MW_FIELD("source", MW_FIELD_TEXT, mw_raw_use, row.source),
};

static const mw_field step_fields[] = {
    MW_NEEDED_ALSO("step", MW_FIELD_WORD, mw_raw_step, row.name, row.name_at),
    MW_FIELD("about", MW_FIELD_TEXT, mw_raw_step, row.about),
    MW_FIELD("source", MW_FIELD_TEXT, mw_raw_step, row.source),
    MW_FIELD_ALSO("trade", MW_FIELD_TEXT, mw_raw_step, row.trade, row.trade_at),
    MW_FIELD("after", MW_FIELD_TEXTS, mw_raw_step, row.after),
    MW_FIELD_ALSO("after_piece", MW_FIELD_TEXT, mw_raw_step, row.after_piece, row.after_piece_at),
    MW_FIELD("holds", MW_FIELD_TEXTS, mw_raw_step, row.holds),
    MW_FIELD("holds_wait", MW_FIELD_TEXTS, mw_raw_step, row.holds_wait),
    MW_FIELD("wait_on", MW_FIELD_CLOCK, mw_raw_step, row.wait_on),
    MW_FIELD("window_on", MW_FIELD_CLOCK, mw_raw_step, row.window_on),
    MW_FIELD("interrupt", MW_FIELD_TRUTH, mw_raw_step, row.interrupt),
    MW_FIELD("checks", MW_FIELD_TEXTS, mw_raw_step, row.checks),
    MW_FIELD("cautions", MW_FIELD_TEXTS, mw_raw_step, row.cautions),
    MW_FIELD_ALSO("place_after", MW_FIELD_TEXT, mw_raw_step, place_after, place_after_at),
    MW_FIELD("uses", MW_FIELD_MAP, mw_raw_step, uses_node),
    MW_FIELD("lines", MW_FIELD_MAP, mw_raw_step, lines_node),
};

static const mw_field recipe_fields[] = {
    MW_NEEDED_ALSO("recipe", MW_FIELD_TEXT, mw_raw_recipe, name, name_at),
    MW_FIELD("about", MW_FIELD_TEXT, mw_raw_recipe, about),
    MW_FIELD("source", MW_FIELD_TEXT, mw_raw_recipe, source),
    MW_FIELD_ALSO("builds_on", MW_FIELD_TEXT, mw_raw_recipe, builds_on, builds_on_at),
    MW_FIELD("without", MW_FIELD_TEXTS, mw_raw_recipe, without),
    MW_FIELD("inputs", MW_FIELD_MAP, mw_raw_recipe, inputs_node),
    MW_FIELD("lines", MW_FIELD_MAP, mw_raw_recipe, lines_node),
    MW_FIELD("steps", MW_FIELD_LIST, mw_raw_recipe, steps_node),
};
/* clang-format on */

const mw_keys mw_line_keys = MW_KEYS("a line", line_fields);
const mw_keys mw_use_keys = MW_KEYS("a use of material", use_fields);
const mw_keys mw_step_keys = MW_KEYS("a step", step_fields);
static const mw_keys recipe_keys = MW_KEYS("a recipe", recipe_fields);

static uint32_t children_of(const mw_yaml_node *node)
{
    return node == NULL ? 0 : node->count;
}

void mw_raw_line_read(mw_load *load, const mw_yaml_node *node, mw_raw_line *line)
{
    *line = (mw_raw_line){.row = {.name = node->key,
                                  .name_at = node->key_span,
                                  .type = MW_NONE,
                                  .unit = MW_NONE,
                                  .formula = mw_nowhere(),
                                  .low = mw_nowhere(),
                                  .high = mw_nowhere()}};
    line->row.name = mw_load_key(load, node);
    mw_load_name(load, line->row.name, node->key_span, "a line");
    if (node->kind == MW_YAML_SCALAR) {
        bool fine = mw_load_formula(load, node, &line->row.formula);
        line->given = fine ? mw_keys_bit(&mw_line_keys, "is") : 0;
        return;
    }
    line->given = mw_load_fields(load, &mw_line_keys, node, line);
    const mw_yaml_node *is = mw_yaml_find(node, "is");
    const mw_yaml_node *usual = mw_yaml_find(node, "usual");
    if (is != NULL && usual != NULL) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_YAML_TWICE, is->key_span,
                                       "`is` and `usual` mean the same; both are given");
        mw_diag_other(load->diags, diag, usual->key_span, "the other is here");
    }
}

static void read_use(mw_load *load, const mw_yaml_node *node, mw_raw_use *use)
{
    *use = (mw_raw_use){.row = {.role = mw_load_key(load, node),
                                .role_at = node->key_span,
                                .material_at = mw_nowhere(),
                                .amount = mw_nowhere(),
                                .loss = mw_nowhere(),
                                .type = MW_NONE,
                                .unit = MW_NONE}};
    mw_load_name(load, use->row.role, node->key_span, "a role");
    use->given = mw_load_fields(load, &mw_use_keys, node, use);
}

static void read_step_parts(mw_load *load, mw_raw_step *step)
{
    step->lines = mw_load_scratch(load, children_of(step->lines_node), sizeof *step->lines);
    step->uses = mw_load_scratch(load, children_of(step->uses_node), sizeof *step->uses);
    if (step->lines == NULL || step->uses == NULL) {
        return;
    }
    if (step->lines_node != NULL) {
        const mw_yaml_node *child = step->lines_node->first;
        for (; child != NULL; child = child->next) {
            mw_raw_line_read(load, child, &step->lines[step->line_count++]);
        }
    }
    if (step->uses_node != NULL) {
        const mw_yaml_node *child = step->uses_node->first;
        for (; child != NULL; child = child->next) {
            read_use(load, child, &step->uses[step->use_count++]);
        }
    }
}

static void read_step(mw_load *load, const mw_yaml_node *node, mw_raw_step *step)
{
    *step = (mw_raw_step){.row = {.name_at = mw_node_place(node),
                                  .trade_at = mw_nowhere(),
                                  .after_piece_at = mw_nowhere(),
                                  .wait_on = MW_ON_CURE,
                                  .window_on = MW_ON_CURE,
                                  .interrupt = true},
                          .place_after_at = mw_nowhere()};
    step->given = mw_load_fields(load, &mw_step_keys, node, step);
    step->row.has_after = (step->given & mw_keys_bit(&mw_step_keys, "after")) != 0;
    read_step_parts(load, step);
}

static void read_steps(mw_load *load, mw_raw_recipe *recipe)
{
    uint32_t count = children_of(recipe->steps_node);
    if (count > MW_STEPS_MOST) {
        mw_diags_error(load->diags, MW_CODE_TOO_BIG, mw_node_place(recipe->steps_node),
                       "the recipe has %u steps; at most %d are read", (unsigned)count,
                       MW_STEPS_MOST);
        return;
    }
    recipe->steps = mw_load_scratch(load, count, sizeof *recipe->steps);
    if (recipe->steps == NULL || count == 0) {
        return;
    }
    for (const mw_yaml_node *child = recipe->steps_node->first; child != NULL;
         child = child->next) {
        read_step(load, child, &recipe->steps[recipe->step_count++]);
    }
}

static void read_lines(mw_load *load, const mw_yaml_node *map, bool input, mw_raw_recipe *recipe)
{
    if (map == NULL) {
        return;
    }
    for (const mw_yaml_node *child = map->first; child != NULL; child = child->next) {
        mw_raw_line *line = &recipe->lines[recipe->line_count++];
        mw_raw_line_read(load, child, line);
        line->row.input = input;
    }
}

/* Names that stand both under inputs and lines, and steps that stand twice. */
static void find_twins(mw_load *load, const mw_raw_recipe *recipe)
{
    mw_names *lines = mw_names_new();
    mw_names *steps = mw_names_new();
    load->no_memory |= lines == NULL || steps == NULL;
    for (uint32_t i = 0; i < recipe->line_count && !load->no_memory; i++) {
        const mw_line_row *row = &recipe->lines[i].row;
        uint32_t known = mw_names_count(lines);
        uint32_t id = mw_names_add(lines, row->name);
        load->no_memory |= id == MW_NONE;
        if (id < known) {
            /* Keys of one map are told apart before, so that ids of inputs are their places. */
            mw_load_twice(load, "a line", row->name, row->name_at, recipe->lines[id].row.name_at);
        }
    }
    for (uint32_t i = 0; i < recipe->step_count && !load->no_memory; i++) {
        const mw_step_row *row = &recipe->steps[i].row;
        uint32_t known = mw_names_count(steps);
        uint32_t id = row->name.length == 0 ? known : mw_names_add(steps, row->name);
        load->no_memory |= id == MW_NONE;
        if (id < known) {
            uint32_t first = 0;
            while (!mw_str_equal(recipe->steps[first].row.name, row->name)) {
                first++;
            }
            mw_load_twice(load, "a step", row->name, row->name_at,
                          recipe->steps[first].row.name_at);
        }
    }
    mw_names_free(lines);
    mw_names_free(steps);
}

void mw_raw_recipe_read(mw_load *load, const mw_yaml_node *root, mw_raw_recipe *recipe)
{
    *recipe = (mw_raw_recipe){.name_at = mw_node_place(root), .builds_on_at = mw_nowhere()};
    mw_load_fields(load, &recipe_keys, root, recipe);
    size_t lines = (size_t)children_of(recipe->inputs_node) + children_of(recipe->lines_node);
    recipe->lines = mw_load_scratch(load, lines, sizeof *recipe->lines);
    if (recipe->lines == NULL) {
        return;
    }
    read_lines(load, recipe->inputs_node, true, recipe);
    read_lines(load, recipe->lines_node, false, recipe);
    read_steps(load, recipe);
    find_twins(load, recipe);
    bool alone = root->kind == MW_YAML_MAP && mw_yaml_find(root, "steps") == NULL &&
                 mw_yaml_find(root, "builds_on") == NULL;
    if (alone) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_MISSING_KEY, recipe->name_at,
                                       "a recipe needs the key `steps`, or `builds_on`");
        mw_diag_try(load->diags, diag, "add `steps:` with a list of steps");
    }
}
