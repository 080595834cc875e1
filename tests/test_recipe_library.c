/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The library: where files are looked for, what hides what, what is read once, and that what fails changes
 * nothing. */
#include "recipe_files.h"

#include "mouldwright/money.h"

#define RECIPE(name) "recipe: " name "\nsteps:\n  - step: one\n"
#define MATERIAL(name, size)                                                            \
    "materials:\n  - {material: " name ", kind: cloth, stock: m2, packs: [{size: " size \
    ", price: 10 EUR}]}\n"

/* Says what the first message is when it is another. */
static const mw_diag *first_message(const recipe_files *files, mw_code code)
{
    assert_true(files->diags.count > 0);
    const mw_diag *diag = &files->diags.items[0];
    if (diag->code != code) {
        fail_msg("%s: %s", mw_code_word(diag->code), diag->message);
    }
    return diag;
}

/* --- names ------------------------------------------------------------------------------------ */

typedef struct name_row {
    const char *name;
    const char *file; /* its recipe is called so, too */
    const char *asked;
    bool found;
} name_row;

static const name_row names[] = {
    {"as it is", "flat panel", "flat panel", true},
    {"dash in the file", "flat-panel", "flat panel", true},
    {"dash asked for", "flat_panel", "flat-panel", true},
    {"capitals asked for", "flat-panel", "Flat Panel", true},
    {"capitals in the file", "Flat-Panel", "flat panel", true},
    {"no blank", "flat-panel", "flatpanel", false},
    {"only its beginning", "flat-panel", "flat", false},
    {"more than it", "flat", "flat panel", false},
    {"cautions are no recipe", "cautions", "cautions", false},
    {"hidden file", ".flat", ".flat", false},
};

static void name_is_found(void **state)
{
    const name_row *row = *state;
    recipe_files files;
    files_start(&files);
    char file[80];
    char text[200];
    snprintf(file, sizeof file, "%s.yaml", row->file);
    snprintf(text, sizeof text, RECIPE("%s"), row->file);
    files_write(&files, file, text);
    files_search(&files, "");
    const mw_recipe *recipe = NULL;
    mw_status status = files_recipe(&files, row->asked, &recipe);
    if (row->found) {
        files_fine(&files, status);
        assert_true(mw_str_is(recipe->name, row->file));
    } else {
        assert_int_equal(status, MW_FAILED);
        const mw_diag *diag = first_message(&files, MW_CODE_UNKNOWN_RECIPE);
        assert_int_equal(diag->span.source, files.asked);
        assert_non_null(strstr(diag->extra, files.folder));
    }
    files_end(&files);
}

typedef struct near_row {
    const char *name;
    const char *kind; /* "recipe", "shop" or "material" */
    const char *asked;
    const char *nearest; /* NULL: nothing is near */
} near_row;

static const near_row nears[] = {
    {"recipe", "recipe", "flat pnael", "flat panel"},
    {"recipe without a blank", "recipe", "flatpanel", "flat panel"},
    {"no recipe is near", "recipe", "submarine", NULL},
    {"shop", "shop", "yrad", "yard"},
    {"no shop is near", "shop", "submarine", NULL},
    {"material", "material", "gren cloth", "green cloth"},
    {"no material is near", "material", "submarine", NULL},
};

static void nearest_is_told(void **state)
{
    const near_row *row = *state;
    recipe_files files;
    files_start(&files);
    files_write(&files, "flat-panel.yaml", RECIPE("flat panel"));
    files_write(&files, "other.yaml", RECIPE("other"));
    files_write(&files, "shops/yard.yaml", FILES_SHOP);
    files_write(&files, "materials/a.yaml", MATERIAL("green cloth", "5 m2"));
    files_search(&files, "");
    const mw_recipe *recipe;
    const mw_shop *shop;
    const mw_material *material;
    if (strcmp(row->kind, "recipe") == 0) {
        assert_int_equal(files_recipe(&files, row->asked, &recipe), MW_FAILED);
        first_message(&files, MW_CODE_UNKNOWN_RECIPE);
    } else if (strcmp(row->kind, "shop") == 0) {
        assert_int_equal(files_shop(&files, row->asked, &shop), MW_FAILED);
        first_message(&files, MW_CODE_UNKNOWN_SHOP);
    } else {
        assert_int_equal(files_material(&files, row->asked, &material), MW_FAILED);
        first_message(&files, MW_CODE_UNKNOWN_MATERIAL);
    }
    const char *advice = files.diags.items[0].advice;
    if (row->nearest == NULL) {
        assert_true(advice == NULL || strstr(advice, "did you mean") == NULL);
    } else {
        assert_non_null(advice);
        assert_non_null(strstr(advice, row->nearest));
    }
    files_end(&files);
}

static void no_folders(void **state)
{
    (void)state;
    recipe_files files;
    files_start(&files);
    const mw_recipe *recipe;
    const mw_caution *caution;
    assert_int_equal(files_recipe(&files, "any", &recipe), MW_FAILED);
    const mw_diag *diag = first_message(&files, MW_CODE_UNKNOWN_RECIPE);
    assert_non_null(strstr(diag->extra, "no folders"));
    assert_int_equal(mw_library_caution(files.library, mw_str_of("any"), files_asked(&files),
                                        &caution, &files.diags),
                     MW_OK);
    assert_null(caution);
    files_end(&files);
}

/* --- folders ---------------------------------------------------------------------------------- */

static void first_folder_wins(void **state)
{
    (void)state;
    recipe_files files;
    files_start(&files);
    files_folder(&files, "own");
    files_folder(&files, "own/shops");
    files_folder(&files, "own/materials");
    files_write(&files, "own/panel.yaml", "recipe: panel\nabout: own\nsteps: []\n");
    files_write(&files, "panel.yaml", "recipe: panel\nabout: later\nsteps: []\n");
    files_write(&files, "tube.yaml", "recipe: tube\nabout: later\nsteps: []\n");
    files_write(&files, "own/shops/yard.yaml", "name: Own\n" FILES_SHOP);
    files_write(&files, "shops/yard.yaml", "name: Later\n" FILES_SHOP);
    files_write(&files, "own/materials/a.yaml", MATERIAL("green cloth", "5 m2"));
    files_write(&files, "materials/z.yaml", MATERIAL("Green-Cloth", "50 m2"));
    files_write(&files, "materials/y.yaml", MATERIAL("blue cloth", "50 m2"));
    files_write(&files, "own/cautions.yaml", "cautions: {dust: {text: own, defer: x}}\n");
    files_write(&files, "cautions.yaml",
                "cautions: {dust: {text: later, defer: x}, heat: {text: later, defer: x}}\n");
    files_search(&files, "none"); /* one that does not exist is passed over */
    files_search(&files, "own");
    files_search(&files, "");
    const mw_shop *shop;
    const mw_recipe *recipe;
    const mw_material *material;
    const mw_caution *caution;
    files_fine(&files, files_shop(&files, "yard", &shop));
    assert_true(mw_str_is(shop->title, "Own"));
    files_fine(&files, files_recipe(&files, "panel", &recipe));
    assert_true(mw_str_is(recipe->about, "own"));
    files_fine(&files, files_recipe(&files, "tube", &recipe));
    assert_true(mw_str_is(recipe->about, "later"));
    files_fine(&files, files_material(&files, "green cloth", &material));
    assert_near(material->packs[0].size, 5, 1e-12);
    files_fine(&files, files_material(&files, "blue cloth", &material));
    files_fine(&files, mw_library_caution(files.library, mw_str_of("dust"), files_asked(&files),
                                          &caution, &files.diags));
    assert_true(mw_str_is(caution->text, "own"));
    files_fine(&files, mw_library_caution(files.library, mw_str_of("heat"), files_asked(&files),
                                          &caution, &files.diags));
    assert_non_null(caution);
    files_end(&files);
}

static void same_name_twice_in_a_folder(void **state)
{
    (void)state;
    recipe_files files;
    files_start(&files);
    files_write(&files, "flat-panel.yaml", RECIPE("flat panel"));
    files_write(&files, "flat_panel.yaml", RECIPE("flat panel"));
    files_search(&files, "");
    const mw_recipe *recipe;
    assert_int_equal(files_recipe(&files, "flat panel", &recipe), MW_FAILED);
    const mw_diag *diag = first_message(&files, MW_CODE_NAME_TWICE);
    assert_non_null(strstr(diag->extra, "flat-panel.yaml"));
    assert_non_null(strstr(diag->extra, "flat_panel.yaml"));
    files_end(&files);
}

typedef struct names_told {
    mw_text all;
} names_told;

static void tell_name(void *context, mw_str name)
{
    names_told *told = context;
    mw_text_addf(&told->all, "[%.*s]", (int)name.length, name.at);
}

static void tell_material(void *context, const mw_material *material)
{
    tell_name(context, material->name);
}

static void lists(void **state)
{
    (void)state;
    recipe_files files;
    files_start(&files);
    files_folder(&files, "own");
    files_write(&files, "own/b-c.yaml", "this is not even read: [");
    files_write(&files, "b_c.yaml", "");
    files_write(&files, "A.yaml", "");
    files_write(&files, "cautions.yaml", "");
    files_write(&files, "note.txt", "");
    files_write(&files, "materials/a.yaml", MATERIAL("x cloth", "1 m2"));
    files_write(&files, "materials/b.yaml", MATERIAL("a cloth", "1 m2"));
    files_search(&files, "own");
    files_search(&files, "");
    names_told told = {{0}};
    assert_int_equal(mw_library_recipes(files.library, tell_name, &told), MW_OK);
    assert_string_equal(mw_text_chars(&told.all), "[b c][a]");
    mw_text_clear(&told.all);
    files_fine(&files, mw_library_materials(files.library, tell_material, &told, &files.diags));
    assert_string_equal(mw_text_chars(&told.all), "[x cloth][a cloth]");
    mw_text_free(&told.all);
    files_end(&files);
}

/* --- reading once, and again ------------------------------------------------------------------ */

static void same_row_again(void **state)
{
    (void)state;
    recipe_files files;
    files_start(&files);
    files_write(&files, "shops/yard.yaml", FILES_SHOP);
    files_write(&files, "panel.yaml", RECIPE("panel"));
    files_write(&files, "more.yaml", "recipe: more\nbuilds_on: panel\n");
    files_write(&files, "materials/a.yaml", MATERIAL("green cloth", "5 m2"));
    files_search(&files, "");
    const mw_shop *shop[2];
    const mw_recipe *recipe[2];
    const mw_recipe *more;
    const mw_material *material[2];
    for (int i = 0; i < 2; i++) {
        files_fine(&files, files_shop(&files, i == 0 ? "yard" : "Yard", &shop[i]));
        files_fine(&files, files_recipe(&files, i == 0 ? "panel" : "PANEL", &recipe[i]));
        files_fine(&files, files_recipe(&files, "more", &more));
        files_fine(&files, files_material(&files, "green cloth", &material[i]));
        assert_ptr_equal(more->builds_on, recipe[i]);
        assert_int_equal(more->step_count, 1);
    }
    assert_ptr_equal(shop[0], shop[1]);
    assert_ptr_equal(recipe[0], recipe[1]);
    assert_ptr_equal(material[0], material[1]);
    files_end(&files);
}

/* The shop asked for last is the one whose money counts. */
static void money_of_the_last_shop(void **state)
{
    (void)state;
    recipe_files files;
    files_start(&files);
    files_write(&files, "shops/yard.yaml", FILES_SHOP "exchange: {USD: 0.5}\nunits: {pot: 3 kg}\n");
    files_write(&files, "shops/dock.yaml",
                "shop: dock\ncurrency: GBP\nunits: {pot: 7 kg}\n" FILES_SHOP_TIMES);
    files_write(
        &files, "shops/broken.yaml",
        "shop: broken\ncurrency: NOK\nunits: {pot: 9 kg, cask: 2 L}\nodd: 1\n" FILES_SHOP_TIMES);
    files_search(&files, "");
    uint16_t euro = mw_currency_find(files.measure, mw_str_of("EUR"));
    uint16_t pound = mw_currency_find(files.measure, mw_str_of("GBP"));
    const mw_shop *shop = NULL;
    assert_int_equal(mw_money_base_of(files.measure), 0);
    assert_int_equal(files_shop(&files, "broken", &shop), MW_FAILED);
    first_message(&files, MW_CODE_UNKNOWN_KEY);
    assert_int_equal(mw_money_base_of(files.measure), 0);
    mw_diags_clear(&files.diags);
    static const struct {
        const char *name;
        bool fine;
        bool pounds;
        double pot_kg;
    } turns[] = {{"yard", true, false, 3},   {"broken", false, false, 3}, {"dock", true, true, 7},
                 {"broken", false, true, 7}, {"yard", true, false, 3},    {"yard", true, false, 3}};
    for (size_t i = 0; i < sizeof turns / sizeof turns[0]; i++) {
        mw_unit unit;
        size_t used;
        mw_diags_clear(&files.diags);
        assert_int_equal(files_shop(&files, turns[i].name, &shop),
                         turns[i].fine ? MW_OK : MW_FAILED);
        assert_int_equal(mw_money_base_of(files.measure), turns[i].pounds ? pound : euro);
        assert_int_equal(mw_unit_read(files.measure, mw_str_of("pot"), &used, &unit), MW_OK);
        assert_near(mw_unit_to_si(files.measure, unit, 1), turns[i].pot_kg, 1e-12);
        assert_int_not_equal(mw_unit_read(files.measure, mw_str_of("cask"), &used, &unit), MW_OK);
    }
    files_end(&files);
}

/* A file that was broken is read again when it was mended; what was read before stays. */
static void mended(void **state)
{
    (void)state;
    recipe_files files;
    files_start(&files);
    files_write(&files, "panel.yaml", RECIPE("panel"));
    files_write(&files, "tube.yaml", "recipe: tube\nsetps: []\n");
    files_write(&files, "materials/a.yaml", MATERIAL("green cloth", "5 kg"));
    files_search(&files, "");
    const mw_recipe *panel;
    const mw_recipe *tube = NULL;
    const mw_material *material = NULL;
    files_fine(&files, files_recipe(&files, "panel", &panel));
    assert_int_equal(files_recipe(&files, "tube", &tube), MW_FAILED);
    first_message(&files, MW_CODE_UNKNOWN_KEY);
    assert_null(tube);
    assert_true(mw_str_is(panel->steps[0].name, "one"));
    mw_diags_clear(&files.diags);
    assert_int_equal(files_material(&files, "green cloth", &material), MW_FAILED);
    first_message(&files, MW_CODE_WRONG_KIND);
    assert_null(material);
    size_t errors = files.diags.errors;
    assert_int_equal(files_material(&files, "green cloth", &material), MW_FAILED);
    assert_int_equal(files.diags.errors, errors); /* it was said */
    mw_diags_clear(&files.diags);
    assert_int_equal(files_material(&files, "green cloth", &material), MW_FAILED);
    assert_int_equal(files.diags.errors, errors); /* said to a new sink again */
    files_write(&files, "tube.yaml", RECIPE("tube"));
    files_write(&files, "materials/a.yaml", MATERIAL("green cloth", "5 m2"));
    mw_diags_clear(&files.diags);
    files_fine(&files, files_recipe(&files, "tube", &tube));
    files_fine(&files, files_material(&files, "green cloth", &material));
    files_end(&files);
}

/* --- on one another --------------------------------------------------------------------------- */

static void loop_of_three(void **state)
{
    (void)state;
    recipe_files files;
    files_start(&files);
    files_write(&files, "a.yaml", "recipe: a\nbuilds_on: b\n");
    files_write(&files, "b.yaml", "recipe: b\nbuilds_on: c\n");
    files_write(&files, "c.yaml", "recipe: c\n\nbuilds_on: b\n");
    files_search(&files, "");
    const mw_recipe *recipe;
    assert_int_equal(files_recipe(&files, "a", &recipe), MW_FAILED);
    const mw_diag *diag = first_message(&files, MW_CODE_BUILDS_ON_LOOP);
    mw_place place = mw_sources_place(files.sources, diag->span.source, diag->span.begin);
    assert_int_equal(place.line, 3);
    assert_int_equal(place.column, 12);
    assert_non_null(strstr(diag->extra, "b builds on c ("));
    assert_non_null(strstr(diag->extra, "c.yaml:3)"));
    assert_null(strstr(diag->extra, "a builds"));
    files_end(&files);
}

/* 32 recipes may build on each other (r0 to r31), not 33. */
static void too_many_on_each_other(void **state)
{
    (void)state;
    recipe_files files;
    files_start(&files);
    for (int i = 0; i <= 32; i++) {
        char name[40];
        char text[80];
        snprintf(name, sizeof name, "r%d.yaml", i);
        snprintf(text, sizeof text,
                 i == 0 ? "recipe: r%d\nsteps: []\n" : "recipe: r%d\nbuilds_on: r%d\n", i, i - 1);
        files_write(&files, name, text);
    }
    files_search(&files, "");
    const mw_recipe *recipe;
    assert_int_equal(files_recipe(&files, "r32", &recipe), MW_FAILED);
    first_message(&files, MW_CODE_TOO_DEEP);
    mw_diags_clear(&files.diags);
    files_fine(&files, files_recipe(&files, "r31", &recipe));
    files_end(&files);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "name", names, name_is_found);
    test_add_rows(&list, "nearest", nears, nearest_is_told);
    test_add(&list, no_folders);
    test_add(&list, first_folder_wins);
    test_add(&list, same_name_twice_in_a_folder);
    test_add(&list, lists);
    test_add(&list, same_row_again);
    test_add(&list, money_of_the_last_shop);
    test_add(&list, mended);
    test_add(&list, loop_of_three);
    test_add(&list, too_many_on_each_other);
    return test_run(&list, "recipe: the library");
}
