/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A recipe on another: what the merged recipe holds, row by row, against the rules of
 * docs/recipe-files.md ("A recipe on another"). The wanted listings are written by hand from them. */
#include "recipe_files.h"

#include "mouldwright/text.h"

#define CAUTIONS \
    "cautions: {fumes: {text: fresh air, defer: data sheet}, dust: {text: mask, defer: data sheet}}\n"

#define BASE                                                                   \
    "recipe: low\nabout: below\nsource: \"low source\"\n"                      \
    "inputs:\n  area: {unit: m2, high: 9 m2, about: laid}\n"                   \
    "lines:\n  share: {unit: \"1\", is: 2 / 4, source: \"a table\"}\n"         \
    "steps:\n"                                                                 \
    "  - step: coat\n    trade: laminator\n    cautions: [fumes]\n"            \
    "    lines: {hours: 1 h, wait: 3 h}\n"                                     \
    "  - step: cloth\n    trade: laminator\n    holds: [bench]\n"              \
    "    wait_on: clock\n    interrupt: no\n    checks: [look, feel]\n"        \
    "    uses:\n      resin: {material: clear resin, unit: kg, amount: 2 kg, " \
    "loss: 8 %, source: \"a sheet\"}\n"                                        \
    "    lines:\n      plies: {is: 4, whole: yes, low: 1, high: 20}\n"         \
    "      hours: {is: 0.5 h/m2 * area, source: \"a study\"}\n"                \
    "  - step: trim\n    trade: laminator\n    after: [coat]\n"

#define COAT        "coat laminator after - cure/cure stop fumes\n  hours = 1 h\n  wait = 3 h\n"
#define CLOTH_HEAD  "cloth laminator after - holds bench clock/cure whole look feel\n"
#define CLOTH_LINES "  plies = 4 low 1 high 20 whole\n  hours = 0.5 h/m2 * area (a study)\n"
#define CLOTH_USES  "  uses resin clear resin = 2 kg loss 8 % (a sheet)\n"
#define TRIM        "trim laminator after coat cure/cure stop\n"
#define INPUTS      "input area m2 high 9 m2 laid\n"
#define LINES       "line share 1 = 2 / 4 (a table)\n"
#define ALL         INPUTS LINES COAT CLOTH_HEAD CLOTH_LINES CLOTH_USES TRIM

typedef struct merge_row {
    const char *name;
    const char *top;  /* after the heading */
    const char *want; /* listing */
} merge_row;

static const merge_row rows[] = {
    {"nothing changed", "", ALL},
    {"an input's limit", "inputs:\n  area: {high: 4 m2}\n",
     "input area m2 high 4 m2 laid\n" LINES COAT CLOTH_HEAD CLOTH_LINES CLOTH_USES TRIM},
    {"an input gets a usual value", "inputs:\n  area: {usual: 3 m2}\n",
     "input area m2 = 3 m2 high 9 m2 laid\n" LINES COAT CLOTH_HEAD CLOTH_LINES CLOTH_USES TRIM},
    {"a line's formula: the old source goes", "lines:\n  share: {is: usual / 2}\n",
     INPUTS "line share 1 = usual / 2 [2 / 4]\n" COAT CLOTH_HEAD CLOTH_LINES CLOTH_USES TRIM},
    {"a line's formula with a source", "lines:\n  share: {is: 0.1, source: mine}\n",
     INPUTS "line share 1 = 0.1 [2 / 4] (mine)\n" COAT CLOTH_HEAD CLOTH_LINES CLOTH_USES TRIM},
    {"a line's unit: its formula stays", "lines:\n  share: {unit: \"%\"}\n",
     INPUTS "line share % = 2 / 4 (a table)\n" COAT CLOTH_HEAD CLOTH_LINES CLOTH_USES TRIM},
    {"a new input and a new line",
     "inputs:\n  edge: {unit: m, usual: 8 m}\nlines:\n  twice: {unit: m, is: 2 * edge}\n",
     INPUTS LINES
     "input edge m = 8 m\nline twice m = 2 * edge\n" COAT CLOTH_HEAD CLOTH_LINES CLOTH_USES TRIM},
    {"a step's formula: what was is usual",
     "steps:\n  - step: cloth\n    lines: {hours: usual + 1 h}\n",
     INPUTS LINES COAT CLOTH_HEAD "  plies = 4 low 1 high 20 whole\n"
                                  "  hours = usual + 1 h [0.5 h/m2 * area]\n" CLOTH_USES TRIM},
    {"a step's new quantity", "steps:\n  - step: coat\n    lines: {crew: 2 people}\n",
     INPUTS LINES COAT "  crew = 2 people\n" CLOTH_HEAD CLOTH_LINES CLOTH_USES TRIM},
    {"only limits of a quantity",
     "steps:\n  - step: cloth\n    lines:\n      plies: {low: 2, high: 6}\n",
     INPUTS LINES COAT CLOTH_HEAD "  plies = 4 low 2 high 6 whole\n"
                                  "  hours = 0.5 h/m2 * area (a study)\n" CLOTH_USES TRIM},
    {"a use's material", "steps:\n  - step: cloth\n    uses: {resin: {material: dark resin}}\n",
     INPUTS LINES COAT CLOTH_HEAD CLOTH_LINES
     "  uses resin dark resin = 2 kg loss 8 % (a sheet)\n" TRIM},
    {"a use's loss", "steps:\n  - step: cloth\n    uses: {resin: {loss: usual + 3 %}}\n",
     INPUTS LINES COAT CLOTH_HEAD CLOTH_LINES
     "  uses resin clear resin = 2 kg loss usual + 3 % [8 %]\n" TRIM},
    {"a use's amount", "steps:\n  - step: cloth\n    uses: {resin: {amount: usual * 2}}\n",
     INPUTS LINES COAT CLOTH_HEAD CLOTH_LINES
     "  uses resin clear resin = usual * 2 [2 kg] loss 8 %\n" TRIM},
    {"a new use",
     "steps:\n  - step: coat\n    uses: {gel: {material: green coat, unit: kg, amount: 1 kg}}\n",
     INPUTS LINES COAT "  uses gel green coat = 1 kg\n" CLOTH_HEAD CLOTH_LINES CLOTH_USES TRIM},
    {"keys of a step",
     "steps:\n  - step: cloth\n    trade: miller\n    holds: [mill]\n    holds_wait: [room]\n"
     "    wait_on: shift\n    window_on: clock\n    interrupt: yes\n    checks: []\n"
     "    after: []\n    cautions: [dust]\n",
     INPUTS LINES COAT
     "cloth miller after none holds mill wait room shift/clock stop dust\n" CLOTH_LINES CLOTH_USES
         TRIM},
    {"a new step at the end", "steps:\n  - step: pack\n    trade: laminator\n",
     ALL "pack laminator after - cure/cure stop\n"},
    {"a new step in its place",
     "steps:\n  - step: pack\n    place_after: coat\n    trade: laminator\n",
     INPUTS LINES COAT
     "pack laminator after - cure/cure stop\n" CLOTH_HEAD CLOTH_LINES CLOTH_USES TRIM},
    {"several behind the same step keep their order",
     "steps:\n  - step: one\n    place_after: coat\n  - step: two\n    place_after: coat\n"
     "  - step: last\n",
     INPUTS LINES COAT
     "one - after - cure/cure stop\ntwo - after - cure/cure stop\n" CLOTH_HEAD CLOTH_LINES
         CLOTH_USES TRIM "last - after - cure/cure stop\n"},
    {"a step falls away", "without: [cloth]\n", INPUTS LINES COAT TRIM},
    {"a step that others follow falls away",
     "without: [coat]\nsteps:\n  - step: trim\n    after: [cloth]\n",
     INPUTS LINES CLOTH_HEAD CLOTH_LINES CLOTH_USES "trim laminator after cloth cure/cure stop\n"},
};

static void add_name(mw_text *out, const char *before, mw_str name)
{
    mw_text_adds(out, before);
    mw_text_add_str(out, name);
}

static void add_formula(const recipe_files *files, mw_text *out, const char *before, mw_span span)
{
    if (span.source == MW_NONE) {
        return;
    }
    mw_str text = mw_sources_text(files->sources, span.source);
    add_name(out, before, (mw_str){text.at + span.begin, span.end - span.begin});
}

static void add_source(mw_text *out, mw_str source)
{
    if (source.length > 0) {
        add_name(out, " (", source);
        mw_text_adds(out, ")");
    }
}

static void add_names(mw_text *out, const char *before, mw_name_list names)
{
    for (uint32_t i = 0; i < names.count; i++) {
        add_name(out, i ? " " : before, names.items[i]);
    }
}

static void add_below(const recipe_files *files, mw_text *out, const mw_span *formula)
{
    if (formula && formula->source != MW_NONE) {
        add_formula(files, out, " [", *formula);
        mw_text_adds(out, "]");
    }
}

/* `unit`: with its unit; standard quantities show theirs in no file. */
static void add_line(const recipe_files *files, mw_text *out, const mw_line_row *line, bool unit)
{
    mw_text_add_str(out, line->name);
    if (unit) {
        mw_text_addc(out, ' ');
        if (line->unit == MW_UNIT_ONE) {
            mw_text_adds(out, "1");
        } else {
            mw_unit_words(files->measure, line->unit, out);
        }
    }
    add_formula(files, out, " = ", line->formula);
    add_below(files, out, line->base ? &line->base->formula : NULL);
    add_formula(files, out, " low ", line->low);
    add_formula(files, out, " high ", line->high);
    mw_text_adds(out, line->whole ? " whole" : "");
    if (line->about.length > 0) {
        add_name(out, " ", line->about);
    }
    add_source(out, line->source);
    mw_text_addc(out, '\n');
}

static void add_use(const recipe_files *files, mw_text *out, const mw_use_row *use)
{
    add_name(out, "  uses ", use->role);
    add_name(out, " ", use->material);
    add_formula(files, out, " = ", use->amount);
    const mw_use_row *base = use->base;
    add_below(files, out, base ? &base->amount : NULL);
    add_formula(files, out, " loss ", use->loss);
    add_below(files, out, base ? &base->loss : NULL);
    add_source(out, use->source);
    mw_text_addc(out, '\n');
}

static void add_step(const recipe_files *files, mw_text *out, const mw_step_row *step)
{
    static const char *const clockworks[] = {
        [MW_ON_CURE] = "cure", [MW_ON_CLOCK] = "clock", [MW_ON_SHIFT] = "shift"};
    mw_text_add_str(out, step->name);
    add_name(out, " ", step->trade.length ? step->trade : mw_str_of("-"));
    mw_text_adds(out, " after");
    mw_text_adds(out, !step->has_after ? " -" : step->after.count == 0 ? " none" : "");
    add_names(out, " ", step->after);
    add_names(out, " holds ", step->holds);
    add_names(out, " wait ", step->holds_wait);
    mw_text_addf(out, " %s/%s %s", clockworks[step->wait_on], clockworks[step->window_on],
                 step->interrupt ? "stop" : "whole");
    add_names(out, " ", step->checks);
    add_names(out, " ", step->cautions);
    mw_text_addc(out, '\n');
    for (uint32_t i = 0; i < step->line_count; i++) {
        mw_text_adds(out, "  ");
        add_line(files, out, &step->lines[i], false);
    }
    for (uint32_t i = 0; i < step->use_count; i++) {
        add_use(files, out, &step->uses[i]);
    }
}

static void list_recipe(const recipe_files *files, const mw_recipe *recipe, mw_text *out)
{
    for (uint32_t i = 0; i < recipe->line_count; i++) {
        mw_text_adds(out, recipe->lines[i].input ? "input " : "line ");
        add_line(files, out, &recipe->lines[i], true);
    }
    for (uint32_t i = 0; i < recipe->step_count; i++) {
        add_step(files, out, &recipe->steps[i]);
    }
}

static void merges_to(void **state)
{
    const merge_row *row = *state;
    recipe_files files;
    files_start(&files);
    char top[2000];
    snprintf(top, sizeof top, "recipe: high\nbuilds_on: low\n%s", row->top);
    files_write(&files, "cautions.yaml", CAUTIONS);
    files_write(&files, "low.yaml", BASE);
    files_write(&files, "high.yaml", top);
    files_search(&files, "");
    const mw_recipe *recipe = NULL;
    files_fine(&files, files_recipe(&files, "high", &recipe));
    assert_true(mw_str_is(recipe->name, "high"));
    assert_true(mw_str_is(recipe->builds_on->name, "low"));
    mw_text got = {0};
    list_recipe(&files, recipe, &got);
    assert_string_equal(mw_text_chars(&got), row->want);
    mw_text_clear(&got);
    list_recipe(&files, recipe->builds_on, &got); /* which itself stays as it was */
    assert_string_equal(mw_text_chars(&got), ALL);
    mw_text_free(&got);
    files_end(&files);
}

/* Three high: each formula finds its way down to the one below that gives it. */
static void usual_goes_down_by_one(void **state)
{
    (void)state;
    recipe_files files;
    files_start(&files);
    files_write(&files, "cautions.yaml", CAUTIONS);
    files_write(&files, "low.yaml", BASE);
    files_write(&files, "mid.yaml",
                "recipe: mid\nbuilds_on: low\nsteps:\n  - step: cloth\n"
                "    uses: {resin: {loss: usual + 1 %}}\n    lines: {plies: usual + 1}\n");
    files_write(&files, "top.yaml",
                "recipe: top\nbuilds_on: mid\nsteps:\n  - step: cloth\n"
                "    uses: {resin: {amount: usual + 1 kg}}\n    lines: {plies: usual + 2}\n");
    files_search(&files, "");
    const mw_recipe *recipe = NULL;
    files_fine(&files, files_recipe(&files, "top", &recipe));
    mw_text got = {0};
    const mw_line_row *plies = &recipe->steps[1].lines[0];
    for (; plies; plies = plies->base) {
        add_formula(&files, &got, " < ", plies->formula);
    }
    assert_string_equal(mw_text_chars(&got), " < usual + 2 < usual + 1 < 4");
    mw_text_clear(&got);
    for (const mw_use_row *use = &recipe->steps[1].uses[0]; use; use = use->base) {
        add_formula(&files, &got, " amount ", use->amount);
        add_formula(&files, &got, " loss ", use->loss);
    }
    assert_string_equal(mw_text_chars(&got),
                        " amount usual + 1 kg loss usual + 1 % amount 2 kg loss 8 %");
    mw_text_free(&got);
    files_end(&files);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "merged", rows, merges_to);
    test_add(&list, usual_goes_down_by_one);
    return test_run(&list, "recipe: on another");
}
