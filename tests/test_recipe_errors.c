/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Recipes, materials and cautions that say something wrongly: code, line, column and words of the first
 * message, and how many there are: one fault is one message. */
#include "recipe_fixture.h"

typedef struct error_row {
    const char *name;
    const char *text;
    mw_code code;
    uint32_t line, column;
    const char *piece; /* of the message as it is shown */
    size_t errors;     /* in all; 0 stands for 1 */
} error_row;

/* --- recipes: the file is bad.yaml ---------------------------------------------------------------- */

#define HEAD  "recipe: bad\n"
#define STEPS HEAD "steps:\n  - step: one\n    lines: {hours: 1 h}\n"
#define BASED HEAD "builds_on: base mould\n"

static const error_row recipe_rows[] = {
    /* limits on what the recipe itself says */
    {"own figure above high",
     STEPS "lines: {plies: {unit: \"1\", usual: 9, whole: yes, low: 1, high: 5}}\n",
     MW_CODE_OUT_OF_RANGE, 5, 35, "`plies` is 9; allowed are whole numbers from 1 up to 5", 0},
    {"own figure below low", STEPS "inputs: {edge: {unit: m, usual: 20 cm, low: 1 m}}\n",
     MW_CODE_OUT_OF_RANGE, 5, 33, "`edge` is 0.2 m; allowed are values from 1 m", 0},
    {"own figure not whole", STEPS "lines: {n: {unit: \"1\", usual: 2.5, whole: yes}}\n",
     MW_CODE_OUT_OF_RANGE, 5, 31, "`n` is 2.5; allowed are whole numbers", 0},
    {"hours below 0", HEAD "steps:\n  - step: one\n    lines: {hours: -1 h}\n",
     MW_CODE_OUT_OF_RANGE, 4, 20, "`hours` cannot be less than 0", 0},
    {"loss below 0", STEPS "    uses: {r: {material: x, unit: kg, amount: 1 kg, loss: -10 %}}\n",
     MW_CODE_OUT_OF_RANGE, 5, 59, "the loss of `r` is -10 %", 0},
    {"loss of all", STEPS "    uses: {r: {material: x, unit: kg, amount: 1 kg, loss: 100 %}}\n",
     MW_CODE_OUT_OF_RANGE, 5, 59, "to less than 100 %", 0},
    {"caution that nobody knows", STEPS "    cautions: [epoxi]\n", MW_CODE_UNKNOWN_CAUTION, 5, 16,
     "no caution is called `epoxi`", 0},

    /* keys */
    {"empty file", "", MW_CODE_MISSING_KEY, 1, 1, "a recipe needs the key `recipe`", 2},
    {"a list", "- a\n", MW_CODE_YAML_FORM, 1, 3, "a map of keys is expected here, found a list", 0},
    {"no steps", HEAD, MW_CODE_MISSING_KEY, 1, 9, "needs the key `steps`, or `builds_on`", 0},
    {"no name", "steps: []\n", MW_CODE_MISSING_KEY, 1, 1, "needs the key `recipe`", 0},
    {"empty name", "recipe:\nsteps: []\n", MW_CODE_YAML_FORM, 1, 1,
     "`recipe` must be a text, found nothing", 0},
    {"another name than the file's", "recipe: good\nsteps: []\n", MW_CODE_YAML_FORM, 1, 9,
     "the file is called `bad`, but this says `good`", 0},
    {"unknown key", STEPS "abuot: x\n", MW_CODE_UNKNOWN_KEY, 5, 1, "did you mean about?", 0},
    {"unknown key, all named", STEPS "zzz: x\n", MW_CODE_UNKNOWN_KEY, 5, 1,
     "its keys: recipe, about, source, builds_on, without, inputs, lines, steps", 0},
    {"unknown key of a step", HEAD "steps:\n  - step: one\n    holds_on: [x]\n",
     MW_CODE_UNKNOWN_KEY, 4, 5, "a step has no key `holds_on`", 0},
    {"unknown key of a line", HEAD "steps: []\nlines:\n  a: {unit: m, isnt: 3 m}\n",
     MW_CODE_UNKNOWN_KEY, 4, 16, "a line has no key `isnt`", 0},
    {"unknown key of a use", STEPS "    uses: {r: {material: x, unit: kg, amnt: 1 kg}}\n",
     MW_CODE_UNKNOWN_KEY, 5, 39, "did you mean amount?", 0},
    {"several at once",
     HEAD "abuot: x\nsteps:\n  - stpe: one\n    after: x\n    interrupt: maybe\n",
     MW_CODE_UNKNOWN_KEY, 2, 1, "did you mean about?", 5},
    {"a key twice", HEAD "steps: []\nsteps: []\n", MW_CODE_YAML_TWICE, 3, 1,
     "the key `steps` stands here for the second time", 0},

    /* forms */
    {"steps as a map", HEAD "steps: {one: 1}\n", MW_CODE_YAML_FORM, 2, 1,
     "`steps` must be a list, found a map of keys", 0},
    {"steps as a text", HEAD "steps: none\n", MW_CODE_YAML_FORM, 2, 8,
     "`steps` must be a list, found `none`", 0},
    {"a step as a text", HEAD "steps: [one]\n", MW_CODE_YAML_FORM, 2, 9,
     "a map of keys is expected here, found `one`", 0},
    {"a step as nothing", HEAD "steps:\n  -\n", MW_CODE_YAML_FORM, 3, 4,
     "a map of keys is expected here, found nothing", 0},
    {"lines as a list", STEPS "lines: [a]\n", MW_CODE_YAML_FORM, 5, 1,
     "`lines` must be a map of keys, found a list", 0},
    {"about as a list", STEPS "about: [a]\n", MW_CODE_YAML_FORM, 5, 1,
     "`about` must be a text, found a list", 0},
    {"after as a text", HEAD "steps:\n  - step: one\n    after: two\n", MW_CODE_YAML_FORM, 4, 12,
     "try: write it as in [a, b]", 0},
    {"a list in after", HEAD "steps:\n  - step: one\n    after: [[two]]\n", MW_CODE_YAML_FORM, 4,
     14, "a text is expected here, found a list", 0},
    {"interrupt as true", HEAD "steps:\n  - step: one\n    interrupt: true\n", MW_CODE_YAML_FORM, 4,
     16, "`interrupt` must be yes or no, found `true`", 0},
    {"interrupt as a list", HEAD "steps:\n  - step: one\n    interrupt: [no]\n", MW_CODE_YAML_FORM,
     4, 5, "`interrupt` must be yes or no, found a list", 0},
    {"wait on the moon", HEAD "steps:\n  - step: one\n    wait_on: moon\n", MW_CODE_YAML_FORM, 4,
     14, "`wait_on` must be cure, clock or shift, found `moon`", 0},
    {"use as a text", STEPS "    uses: {r: resin}\n", MW_CODE_YAML_FORM, 5, 15,
     "`r` must be a map of keys, found `resin`", 0},
    {"long text is cut",
     STEPS "lines: aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"
           "aaaaaaaaaaaaaaaaaaaaaaaaaaaa\n",
     MW_CODE_YAML_FORM, 5, 8,
     "found `aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa`\n", 0},

    /* names */
    {"step called shop", HEAD "steps:\n  - step: shop\n", MW_CODE_NAME_TAKEN, 3, 11,
     "step cannot be called `shop`", 0},
    {"step called usual", HEAD "steps:\n  - step: usual\n", MW_CODE_NAME_TAKEN, 3, 11,
     "cannot be called `usual`", 0},
    {"step of two words", HEAD "steps:\n  - step: light carbon\n", MW_CODE_YAML_FORM, 3, 11,
     "formulas could not read that name", 0},
    {"step of a word of the language", HEAD "steps:\n  - step: then\n", MW_CODE_YAML_FORM, 3, 11,
     "formulas could not read that name", 0},
    {"step of a digit", HEAD "steps:\n  - step: 2nd\n", MW_CODE_YAML_FORM, 3, 11,
     "formulas could not read that name", 0},
    {"line called follows", STEPS "lines: {follows: {unit: m, is: 1 m}}\n", MW_CODE_NAME_TAKEN, 5,
     9, "a line cannot be called `follows`", 0},
    {"line called steps", STEPS "lines: {steps: {unit: m, is: 1 m}}\n", MW_CODE_NAME_TAKEN, 5, 9,
     "a line cannot be called `steps`", 0},
    {"input called job", STEPS "inputs: {job: {unit: m}}\n", MW_CODE_NAME_TAKEN, 5, 10,
     "cannot be called `job`", 0},
    {"input called moulds", STEPS "inputs: {moulds: {unit: m}}\n", MW_CODE_NAME_TAKEN, 5, 10,
     "cannot be called `moulds`", 0},
    {"line with a dash", STEPS "lines: {a-b: {unit: m, is: 1 m}}\n", MW_CODE_YAML_FORM, 5, 9,
     "formulas could not read that name", 0},
    {"role of a word of the language",
     STEPS "    uses: {not: {material: x, unit: kg, amount: 1 kg}}\n", MW_CODE_YAML_FORM, 5, 12,
     "a role cannot be called `not`", 0},
    {"step twice", STEPS "  - step: one\n", MW_CODE_NAME_TWICE, 5, 11,
     "bad.yaml:3:11: see also: the first is here", 0},
    {"input and line", STEPS "inputs: {a: {unit: m}}\nlines: {a: {unit: m, is: 1 m}}\n",
     MW_CODE_NAME_TWICE, 6, 9, "bad.yaml:5:10: see also", 0},
    {"line called like a step", STEPS "lines: {one: {unit: m, is: 1 m}}\n", MW_CODE_NAME_TAKEN, 3,
     11, "the name `one` would mean two things", 0},
    {"line called like a role", STEPS "    uses: {hours: {material: x, unit: kg, amount: 1 kg}}\n",
     MW_CODE_NAME_TAKEN, 5, 12, "bad.yaml:4:13: see also", 0},
    {"line called like a role's loss",
     HEAD "steps:\n  - step: one\n    lines: {r_loss: {unit: \"1\", is: 1 %}}\n"
          "    uses: {r: {material: x, unit: kg, amount: 1 kg}}\n",
     MW_CODE_NAME_TAKEN, 5, 12, "the name `r_loss` would mean two things", 0},
    {"role called like another's net",
     HEAD "steps:\n  - step: one\n    uses: {r: {material: x, unit: kg, amount: 1 kg}, "
          "r_net: {material: x, unit: kg, amount: 1 kg}}\n",
     MW_CODE_NAME_TAKEN, 4, 54, "the name `r_net` would mean two things", 0},
    {"mould's line called cost", STEPS "lines: {cost: {unit: EUR, is: 1 EUR}}\n",
     MW_CODE_NAME_TAKEN, 5, 9, "a line of a mould cannot be called `cost`", 0},
    {"mould's line called hours", STEPS "lines: {hours: {unit: h, is: 1 h}}\n", MW_CODE_NAME_TAKEN,
     5, 9, "the program makes that itself", 0},
    {"mould's input called after", STEPS "inputs: {after: {unit: h}}\n", MW_CODE_NAME_TAKEN, 5, 10,
     "cannot be called `after`", 0},
    {"step's line called start",
     HEAD "steps:\n  - step: one\n    lines: {start: {unit: d, is: 1 d}}\n", MW_CODE_NAME_TAKEN, 4,
     13, "a line of a step cannot be called `start`", 0},

    /* lines */
    {"line without unit", STEPS "lines: {a: {is: 1 m}}\n", MW_CODE_MISSING_KEY, 5, 9,
     "the line `a` needs a `unit`", 0},
    {"line as a bare formula", STEPS "lines: {a: 1 m}\n", MW_CODE_MISSING_KEY, 5, 9,
     "the line `a` needs a `unit`", 0},
    {"line without formula", STEPS "lines: {a: {unit: m}}\n", MW_CODE_MISSING_KEY, 5, 9,
     "the line `a` needs a formula", 0},
    {"line as nothing", STEPS "lines:\n  a:\n", MW_CODE_YAML_FORM, 6, 3,
     "`a` must be a formula, found nothing", 0},
    {"line as a list", STEPS "lines: {a: [1]}\n", MW_CODE_YAML_FORM, 5, 9,
     "`a` must be a map of keys, found a list", 0},
    {"is and usual", STEPS "lines: {a: {unit: m, is: 1 m, usual: 2 m}}\n", MW_CODE_YAML_TWICE, 5,
     22, "mean the same; both are given", 0},
    {"unknown unit", STEPS "lines: {a: {unit: mtr2, is: 1 m}}\n", MW_CODE_UNKNOWN_UNIT, 5, 19,
     "`mtr2` is no unit", 0},
    {"unit in two words", STEPS "lines: {a: {unit: kg per m2, is: 1 m}}\n", MW_CODE_UNKNOWN_UNIT, 5,
     19, "`kg per m2` is no unit", 0},
    {"word near a kind", STEPS "lines: {a: {unit: labur, is: 1 h}}\n", MW_CODE_UNKNOWN_UNIT, 5, 19,
     "did you mean labour?", 0},
    {"power out of range", STEPS "lines: {a: {unit: m^99999, is: 1 m}}\n", MW_CODE_BAD_UNIT, 5, 19,
     "has a power out of range", 0},
    {"unit as a list", STEPS "lines: {a: {unit: [m], is: 1 m}}\n", MW_CODE_YAML_FORM, 5, 13,
     "`unit` must be a unit such as kg/m2", 0},
    {"another unit for a known kind",
     HEAD "steps:\n  - step: one\n    lines: {thickness: {unit: kg, is: 1 kg}}\n",
     MW_CODE_WRONG_KIND, 4, 13, "the unit of `thickness` must be one for a length", 0},
    {"metres that warn", STEPS "lines: {a: {unit: m, is: 1 m, warns: beware}}\n",
     MW_CODE_WRONG_KIND, 5, 9, "`warns` is for truths", 0},
    {"whole metres", STEPS "lines: {a: {unit: m, is: 1 m, whole: yes}}\n", MW_CODE_WRONG_KIND, 5, 9,
     "`whole` is for plain numbers", 0},
    {"low of another kind", STEPS "lines: {a: {unit: m, is: 1 m, low: 1 kg}}\n", MW_CODE_WRONG_KIND,
     5, 36, "a length is expected here, found a mass", 0},
    {"low reads a name", STEPS "lines: {a: {unit: m, is: 1 m, low: b}}\n", MW_CODE_NOT_AN_INPUT, 5,
     36, "it cannot read names", 0},
    {"low as a list", STEPS "lines: {a: {unit: m, is: 1 m, low: '[1 m, 2 m]'}}\n",
     MW_CODE_IS_A_LIST, 5, 37, "a single figure is expected here", 0},
    {"low without a value", STEPS "lines: {a: {unit: m, is: 1 m, low: 1 m / 0}}\n",
     MW_CODE_DIVIDE_BY_ZERO, 5, 36, "this figure has no value", 0},
    {"low above high", STEPS "lines: {a: {unit: m, is: 1 m, low: 2 m, high: 1 m}}\n",
     MW_CODE_OUT_OF_RANGE, 5, 47, "lies below its `low`", 0},

    /* formulas */
    {"formula broken", STEPS "lines: {a: {unit: m, is: 1 m +}}\n", MW_CODE_SYNTAX, 5, 30,
     "a value is missing", 0},
    {"two formulas broken", STEPS "lines:\n  a: {unit: m, is: 1 m +}\n  b: {unit: m, is: (1 m}\n",
     MW_CODE_SYNTAX, 6, 24, "a value is missing", 2},
    {"formula broken in quotes", STEPS "lines: {a: {unit: m, is: \"1 m + * 2\"}}\n", MW_CODE_SYNTAX,
     5, 33, "", 0},
    {"formula broken in a block",
     STEPS "lines:\n  a:\n    unit: m\n    is: |\n      1 m\n      + * 2\n", MW_CODE_SYNTAX, 10, 9,
     "", 0},
    {"formula behind letters beyond ASCII",
     STEPS "lines: {\xc3\xa9: {about: \xe2\x82\xac, unit: m, is: 1 m +}}\n", MW_CODE_SYNTAX, 5, 40,
     "a value is missing", 0},
    {"decimal comma", STEPS "lines: {a: {unit: m, is: \"1,5 m\"}}\n", MW_CODE_DECIMAL_COMMA, 5, 27,
     "", 0},
    {"formula folded", STEPS "lines:\n  a:\n    unit: m\n    is: >\n      1 m\n      + 2 m\n",
     MW_CODE_YAML_FORMULA, 9, 7, "behind `|`", 0},
    {"formula over two lines", STEPS "lines:\n  a:\n    unit: m\n    is: 1 m +\n      2 m\n",
     MW_CODE_YAML_FORMULA, 8, 9, "folded over several lines", 0},
    {"formula with escapes",
     STEPS "lines: {a: {unit: m, is: \"if b = \\\"x\\\" then 1 m else 2 m\"}}\n",
     MW_CODE_YAML_FORMULA, 5, 27, "single quotes", 0},
    {"formula as a map", STEPS "lines: {a: {unit: m, is: {b: c}}}\n", MW_CODE_YAML_FORM, 5, 22,
     "`is` must be a formula, found a map of keys", 0},
    {"formula as nothing", STEPS "lines: {a: {unit: m, is: }}\n", MW_CODE_YAML_FORM, 5, 22,
     "`is` must be a formula, found nothing", 0},

    /* uses */
    {"use without amount", STEPS "    uses: {r: {material: x, unit: kg}}\n", MW_CODE_MISSING_KEY, 5,
     12, "the use `r` needs the key `amount`", 0},
    {"use without material and unit", STEPS "    uses: {r: {amount: 1 kg}}\n", MW_CODE_MISSING_KEY,
     5, 12, "the use `r` needs the key `material`", 2},

    /* order */
    {"after an unknown step", STEPS "    after: [oen]\n", MW_CODE_UNKNOWN_STEP, 5, 13,
     "did you mean one?", 0},
    {"after itself", STEPS "    after: [one]\n", MW_CODE_CYCLE, 3, 11, "one (", 0},
    {"after each other", HEAD "steps:\n  - step: a\n    after: [b]\n  - step: b\n    after: [a]\n",
     MW_CODE_CYCLE, 3, 11, "bad.yaml:3) follows b (", 0},
    {"loop through the order of the list",
     HEAD "steps:\n  - step: first\n    after: [third]\n  - step: second\n  - step: third\n",
     MW_CODE_CYCLE, 3, 11, "third (", 0},
    {"place_after alone", STEPS "    place_after: one\n", MW_CODE_YAML_FORM, 5, 18,
     "`place_after` is for a recipe that builds on another", 2},
    {"without alone", STEPS "without: [one]\n", MW_CODE_YAML_FORM, 5, 11,
     "`without` is for a recipe that builds on another", 0},

    /* building on others */
    {"builds on nothing known", HEAD "builds_on: base muold\n", MW_CODE_UNKNOWN_RECIPE, 2, 12,
     "did you mean base mould?", 0},
    {"folders looked in", HEAD "builds_on: zzz\n", MW_CODE_UNKNOWN_RECIPE, 2, 12,
     ", tests/data/recipe\n", 0},
    {"builds on itself", HEAD "builds_on: bad\n", MW_CODE_BUILDS_ON_LOOP, 2, 12,
     "the recipe `bad` would build on itself", 0},
    {"without an unknown step", BASED "without: [demold]\n", MW_CODE_UNKNOWN_STEP, 3, 11,
     "did you mean demould?", 0},
    {"place_after unknown", BASED "steps:\n  - step: new\n    place_after: lairs\n",
     MW_CODE_UNKNOWN_STEP, 5, 18, "no step is called `lairs`", 0},
    {"place_after at an old step", BASED "steps:\n  - step: coat\n    place_after: layers\n",
     MW_CODE_YAML_FORM, 5, 18, "`coat` has its place in the recipe built on", 0},
    {"after a step that fell away",
     BASED "without: [coat]\nsteps:\n  - step: layers\n    after: [coat]\n", MW_CODE_UNKNOWN_STEP,
     6, 13, "bad.yaml:3:11: see also: it falls away here", 0},
    {"step again without a name", BASED "steps:\n  - about: x\n", MW_CODE_MISSING_KEY, 4, 5,
     "a step needs the key `step`", 0},
    {"another kind", BASED "lines: {laid: {unit: kg}}\n", MW_CODE_WRONG_KIND, 3, 9,
     "the unit of `laid` must be one for an area", 0},
    {"another kind of a step's line",
     BASED "steps:\n  - step: layers\n    lines: {rate: {unit: m}}\n", MW_CODE_WRONG_KIND, 5, 13,
     "the unit of `rate` must be one for", 0},
    {"another kind of amount",
     BASED "steps:\n  - step: layers\n    uses: {cloth: {unit: kg, amount: 1 kg}}\n",
     MW_CODE_WRONG_KIND, 5, 12, "of the kind it has in the recipe built on", 0},
    {"line where an input had no formula", BASED "lines: {area: {about: x}}\n", MW_CODE_MISSING_KEY,
     3, 9, "it was an input without one", 0},
    {"high below the low of the base", BASED "inputs: {area: {high: 0.01 m2}}\n",
     MW_CODE_OUT_OF_RANGE, 3, 23, "base-mould.yaml:6:41: see also: `low` is here", 0},
    {"new line without unit", BASED "lines: {neu: {is: 3 m}}\n", MW_CODE_MISSING_KEY, 3, 9,
     "the line `neu` needs a `unit`", 0},
    {"line like a role of the base",
     BASED "steps:\n  - step: layers\n    lines: {cloth: {unit: m, is: 1 m}}\n", MW_CODE_NAME_TAKEN,
     0, 0, "the name `cloth` would mean two things", 0},
    {"new step like a line of the base", BASED "steps:\n  - step: laid\n", MW_CODE_NAME_TAKEN, 4,
     11, "base-mould.yaml:9:3: see also", 0},
    {"loop through the base", BASED "steps:\n  - step: coat\n    after: [demould]\n", MW_CODE_CYCLE,
     4, 11, "follows", 0},
};

static void check_message(fixture *f, mw_status status, const char *file, const error_row *row)
{
    if (status == MW_OK) {
        fail_msg("nothing was found wrong");
    }
    assert_int_equal(status, MW_FAILED);
    size_t errors = row->errors == 0 ? 1 : row->errors;
    if (f->diags.errors != errors) {
        mw_text said = {0};
        mw_diags_render(&f->diags, f->sources, &said);
        fail_msg("%zu errors\n%s", f->diags.errors, mw_text_chars(&said));
    }
    if (row->line > 0) {
        expected_message want = {row->code, file, row->line, row->column, row->piece};
        fixture_says(f, &f->diags.items[0], &want);
    } else {
        assert_int_equal(f->diags.items[0].code, row->code);
        assert_non_null(strstr(f->diags.items[0].message, row->piece));
    }
}

static void recipe_is_refused(void **state)
{
    const error_row *row = *state;
    fixture f = fixture_start();
    fixture_write(&f, "bad.yaml", row->text);
    fixture_shop(&f, "quay");
    const mw_recipe *recipe = NULL;
    mw_span at = fixture_ask(&f, "bad");
    mw_status status = mw_library_recipe(f.library, mw_str_of("bad"), at, &recipe, &f.diags);
    assert_null(recipe);
    check_message(&f, status, "bad.yaml", row);
    fixture_end(&f);
}

/* --- materials: the file is materials/bad.yaml ------------------------------------------------------ */

#define MATERIAL "materials:\n  - material: odd\n    kind: cloth\n    stock: m2\n"
#define PACKED   MATERIAL "    packs: [{size: 5 m2, price: 60 EUR}]\n"

static const error_row material_rows[] = {
    {"empty file", "", MW_CODE_MISSING_KEY, 1, 1, "a file of materials needs the key `materials`",
     0},
    {"a bare list", "- a\n", MW_CODE_YAML_FORM, 1, 3, "a map of keys is expected here", 0},
    {"materials as a map", "materials: {a: 1}\n", MW_CODE_YAML_FORM, 1, 1,
     "`materials` must be a list", 0},
    {"a material as a text", "materials: [a]\n", MW_CODE_YAML_FORM, 1, 13,
     "a map of keys is expected here, found `a`", 0},
    {"unknown key", PACKED "    figurse: {}\n", MW_CODE_UNKNOWN_KEY, 6, 5, "did you mean figures?",
     0},
    {"nothing given", "materials:\n  - about: x\n", MW_CODE_MISSING_KEY, 2, 5,
     "a material needs the key `material`", 4},
    {"no kind", "materials:\n  - {material: a, stock: kg, packs: [{size: 1 kg, price: 1 EUR}]}\n",
     MW_CODE_MISSING_KEY, 2, 6, "a material needs the key `kind`", 0},
    {"no packs", MATERIAL, MW_CODE_MISSING_KEY, 2, 5, "a material needs the key `packs`", 0},
    {"empty packs", MATERIAL "    packs: []\n", MW_CODE_MISSING_KEY, 5, 5,
     "a material needs at least one pack", 0},
    {"a pack without price", MATERIAL "    packs: [{size: 5 m2}]\n", MW_CODE_MISSING_KEY, 5, 14,
     "a pack needs the key `price`", 0},
    {"size of another kind", MATERIAL "    packs: [{size: 5 kg, price: 60 EUR}]\n",
     MW_CODE_WRONG_KIND, 5, 20, "an area is expected here, found a mass", 0},
    {"size 0", MATERIAL "    packs: [{size: 0 m2, price: 60 EUR}]\n", MW_CODE_OUT_OF_RANGE, 5, 20,
     "a pack must hold more than nothing", 0},
    {"size below 0", MATERIAL "    packs: [{size: -5 m2, price: 60 EUR}]\n", MW_CODE_OUT_OF_RANGE,
     5, 20, "a pack must hold more than nothing", 0},
    {"a part that is not there",
     MATERIAL "    packs: [{size: 5 m2, price: 6 EUR}, {size: 5 m2, price: 6 EUR, of: hardner}]\n"
              "    parts: {resin: 1, hardener: 1}\n",
     MW_CODE_UNKNOWN_NAME, 5, 72, "the material has no part `hardner`", 0},
    {"the usual pack is of one part",
     MATERIAL "    packs: [{size: 5 m2, price: 6 EUR, of: resin}]\n"
              "    parts: {resin: 1, hardener: 1}\n",
     MW_CODE_OUT_OF_RANGE, 5, 33, "the first pack is the usual one: it holds all parts", 0},
    {"one part", PACKED "    parts: {resin: 1}\n", MW_CODE_OUT_OF_RANGE, 6, 5,
     "a material has two parts, or none are named", 0},
    {"a part of nothing", PACKED "    parts: {resin: 1, hardener: 0}\n", MW_CODE_OUT_OF_RANGE, 6,
     33, "the share of a part is more than 0", 0},
    {"a lower price from one pack on",
     MATERIAL "    packs: [{size: 5 m2, price: 6 EUR, breaks: [{from: 1, price: 5 EUR}]}]\n",
     MW_CODE_OUT_OF_RANGE, 5, 50, "`from` counts packs: 2 or more", 0},
    {"lower prices out of order",
     MATERIAL "    packs: [{size: 5 m2, price: 6 EUR, breaks: [{from: 9, price: 5 EUR}, "
              "{from: 4, price: 5 EUR}]}]\n",
     MW_CODE_OUT_OF_RANGE, 5, 75, "each row more than the one before", 0},
    {"nine lower prices",
     MATERIAL "    packs: [{size: 5 m2, price: 6 EUR, breaks: [{}, {}, {}, {}, {}, {}, {}, {}, "
              "{}]}]\n",
     MW_CODE_OUT_OF_RANGE, 5, 40, "a pack has at most 8 lower prices", 0},
    {"thirteen packs", MATERIAL "    packs: [{}, {}, {}, {}, {}, {}, {}, {}, {}, {}, {}, {}, {}]\n",
     MW_CODE_OUT_OF_RANGE, 5, 5, "a material has at most 12 packs", 0},
    {"on hand below 0", PACKED "    on_hand: -1 m2\n", MW_CODE_OUT_OF_RANGE, 6, 14,
     "an amount is not below 0", 0},
    {"least order of another kind", PACKED "    least_order: 4 kg\n", MW_CODE_WRONG_KIND, 6, 18,
     "an area is expected here, found a mass", 0},
    {"price of another kind", MATERIAL "    packs: [{size: 5 m2, price: 60}]\n", MW_CODE_WRONG_KIND,
     5, 33, "the price of a pack is money, found a plain number", 0},
    {"price by area", MATERIAL "    packs: [{size: 5 m2, price: 60 EUR/m2}]\n", MW_CODE_WRONG_KIND,
     5, 33, "the price of a pack is money, found", 0},
    {"price below 0", MATERIAL "    packs: [{size: 5 m2, price: -60 EUR}]\n", MW_CODE_OUT_OF_RANGE,
     5, 33, "the price of a pack is not below 0", 0},
    {"price reads a name", MATERIAL "    packs: [{size: 5 m2, price: cost}]\n",
     MW_CODE_NOT_AN_INPUT, 5, 33, "it cannot read names", 0},
    {"one cure point", PACKED "    cure_points: [{at: 20 degC, time: 5 h}]\n", MW_CODE_OUT_OF_RANGE,
     6, 5, "two or more cure points are needed", 0},
    {"a cure point without time",
     PACKED "    cure_points: [{at: 20 degC}, {at: 30 degC, time: 2 h}]\n", MW_CODE_MISSING_KEY, 6,
     20, "a cure point needs the key `time`", 0},
    {"a cure point of another kind",
     PACKED "    cure_points: [{at: 20 K, time: 5 h}, {at: 30 degC, time: 2 h}]\n",
     MW_CODE_WRONG_KIND, 6, 24, "", 0},
    {"a cure point in the fire",
     PACKED "    cure_points: [{at: 400 degC, time: 5 h}, {at: 30 degC, time: 2 h}]\n",
     MW_CODE_OUT_OF_RANGE, 6, 24, "cure points stand between -50 and 300 degC", 0},
    {"a cure point without delay",
     PACKED "    cure_points: [{at: 20 degC, time: 0 h}, {at: 30 degC, time: 2 h}]\n",
     MW_CODE_OUT_OF_RANGE, 6, 39, "the time of a cure point is above 0", 0},
    {"slower when warm",
     PACKED "    cure_points: [{at: 20 degC, time: 2 h}, {at: 30 degC, time: 5 h}]\n",
     MW_CODE_OUT_OF_RANGE, 6, 46, "of two cure points the warmer is the shorter one", 0},
    {"twice at one temperature",
     PACKED "    cure_points: [{at: 20 degC, time: 2 h}, {at: 20 degC, time: 1 h}]\n",
     MW_CODE_OUT_OF_RANGE, 6, 46, "of two cure points the warmer is the shorter one", 0},
    {"price broken", MATERIAL "    packs: [{size: 5 m2, price: 60 EUR *}]\n", MW_CODE_SYNTAX, 5, 40,
     "", 0},
    {"unknown stock",
     "materials:\n  - {material: a, kind: b, stock: can, packs: [{size: 1 kg, price: 1 EUR}]}\n",
     MW_CODE_UNKNOWN_UNIT, 2, 35, "`can` is no unit", 0},
    {"figure of another kind", PACKED "    figures: {density: 3 kg}\n", MW_CODE_WRONG_KIND, 6, 24,
     "is expected here, found a mass", 0},
    {"figure without a unit", PACKED "    figures: {pot_life: 45}\n", MW_CODE_WRONG_KIND, 6, 25,
     "found a plain number", 0},
    {"temperature as a difference", PACKED "    figures: {temperature: 20 K}\n", MW_CODE_WRONG_KIND,
     6, 28, "a temperature is expected here, found a temperature difference", 0},
    {"figure misspelt", PACKED "    figures: {areal_wieght: 3 kg/m2}\n", MW_CODE_UNKNOWN_KEY, 6, 15,
     "did you mean areal_weight?", 0},
    {"figure price", PACKED "    figures: {price: 3 EUR}\n", MW_CODE_NAME_TAKEN, 6, 15,
     "made from the usual pack", 0},
    {"figure of two words", PACKED "    figures: {wet limit: 3 mm}\n", MW_CODE_YAML_FORM, 6, 15,
     "a figure cannot be called `wet limit`", 0},
    {"figure that reads another", PACKED "    figures: {density: areal_weight / 1 mm}\n",
     MW_CODE_NOT_AN_INPUT, 6, 24, "it cannot read names", 0},
    {"figure as a list", PACKED "    figures: {density: [1]}\n", MW_CODE_YAML_FORM, 6, 15,
     "`density` must be a formula, found a list", 0},
    {"figure as an empty map", PACKED "    figures: {density: {}}\n", MW_CODE_MISSING_KEY, 6, 15,
     "a figure needs the key `is`", 0},
    {"figure with an unknown key", PACKED "    figures: {density: {is: 1 g/cm3, from: x}}\n",
     MW_CODE_UNKNOWN_KEY, 6, 38, "its keys: is, source", 0},
    {"figures as a list", PACKED "    figures: [density]\n", MW_CODE_YAML_FORM, 6, 5,
     "`figures` must be a map of keys", 0},
    {"cautions as a text", PACKED "    cautions: epoxy\n", MW_CODE_YAML_FORM, 6, 15,
     "`cautions` must be a list, found `epoxy`", 0},
    {"material twice",
     PACKED "  - material: Odd\n    kind: cloth\n    stock: m2\n"
            "    packs: [{size: 5 m2, price: 60 EUR}]\n",
     MW_CODE_NAME_TWICE, 6, 15, "bad.yaml:2:15: see also: the first is here", 0},
    {"several at once", MATERIAL "    packs: [{size: 5 kg, price: 60}]\n    figures: {densty: 3}\n",
     MW_CODE_WRONG_KIND, 5, 33, "", 3},
};

static void material_is_refused(void **state)
{
    const error_row *row = *state;
    fixture f = fixture_start();
    fixture_write(&f, "materials/bad.yaml", row->text);
    fixture_shop(&f, "quay");
    const mw_material *material = NULL;
    mw_span at = fixture_ask(&f, "test gel");
    mw_status status =
        mw_library_material(f.library, mw_str_of("test gel"), at, &material, &f.diags);
    assert_null(material);
    check_message(&f, status, "bad.yaml", row);
    fixture_end(&f);
}

/* --- cautions ------------------------------------------------------------------------------------------ */

static const error_row caution_rows[] = {
    {"empty file", "", MW_CODE_MISSING_KEY, 1, 1, "a file of cautions needs the key `cautions`", 0},
    {"cautions as a list", "cautions: [a]\n", MW_CODE_YAML_FORM, 1, 1,
     "`cautions` must be a map of keys", 0},
    {"a caution as a text", "cautions: {a: beware}\n", MW_CODE_YAML_FORM, 1, 15,
     "`a` must be a map of keys, found `beware`", 0},
    {"no defer", "cautions: {a: {text: beware}}\n", MW_CODE_MISSING_KEY, 1, 12,
     "a caution needs the key `defer`", 0},
    {"empty text", "cautions: {a: {text: '', defer: x}}\n", MW_CODE_YAML_FORM, 1, 16,
     "`text` must be a text, found nothing", 0},
    {"unknown key", "cautions: {a: {text: b, defer: x, see: y}}\n", MW_CODE_UNKNOWN_KEY, 1, 35,
     "a caution has no key `see`", 0},
    {"one word in two spellings",
     "cautions:\n  hot work: {text: b, defer: x}\n  Hot-Work: {text: b, defer: x}\n",
     MW_CODE_NAME_TWICE, 3, 3, "cautions.yaml:2:3: see also", 0},
    {"not well-formed", "cautions: {a: {text: b\n", MW_CODE_UNCLOSED, 1, 15, "never closed", 0},
};

static void caution_is_refused(void **state)
{
    const error_row *row = *state;
    fixture f = fixture_start();
    fixture_write(&f, "cautions.yaml", row->text);
    const mw_caution *caution = NULL;
    mw_span at = fixture_ask(&f, "epoxy");
    mw_status status = mw_library_caution(f.library, mw_str_of("epoxy"), at, &caution, &f.diags);
    assert_null(caution);
    check_message(&f, status, "cautions.yaml", row);
    fixture_end(&f);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "recipe", recipe_rows, recipe_is_refused);
    test_add_rows(&list, "material", material_rows, material_is_refused);
    test_add_rows(&list, "caution", caution_rows, caution_is_refused);
    return test_run(&list, "recipe: errors");
}
