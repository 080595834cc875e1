/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every allocation fails once while shops, recipes, materials and cautions are read: it is said, nothing
 * leaks, and the library gives all of it when there is memory again. */
#include "recipe_files.h"

#include "mouldwright/money.h"

static const char *const shop_text =
    "shop: yard\nname: Test Yard\ncurrency: EUR\nexchange: {USD: 0.5}\nunits: {drum: 200 kg}\n"
    "people:\n  - {trade: layer, count: 2, rate: 40 EUR/h, shift: late}\n"
    "machines:\n  - {machine: mill, rate: 30 USD/h, size: [3 m, 2 m, 1 m]}\n"
    "shifts:\n  day: {mon-fri: [\"08:00-12:00\"]}\n  late: {mon: [\"14:00-22:00\"]}\n"
    "holidays: [2027-01-06]\npart_days: [{day: 2027-01-07, hours: [\"08:00-10:00\"]}]\n"
    "temperature:\n"
    "  - {months: all, day: 20 degC, night: 15 degC, from: \"07:00\", until: \"18:00\"}\n"
    "promised: [{what: refit, holds: mill, from: 2027-01-18, until: 2027-01-21}]\n"
    "lines:\n  margin: 20 %\n  scaffold: {unit: EUR/d, is: 12 EUR/d, source: invented}\n";

static const char *const other_shop_text =
    "shop: dock\ncurrency: GBP\nexchange: {NOK: 0.07}\nunits: {cask: 50 L, crate: 30 kg, reel: 70 m}\n"
    "lines:\n  scaffold: {unit: GBP/d, is: 12 GBP/d}\n  haul: {unit: GBP/kg, is: 1 GBP/kg}\n" FILES_SHOP_TIMES;

static const char *const base_text =
    "recipe: base\ninputs:\n  area: {unit: m2, low: 0.1 m2, high: 50 m2}\n"
    "  edge: {unit: m, usual: 4 * sqrt(area)}\n"
    "lines:\n  laid: {unit: m2, is: area + edge * 100 mm}\n"
    "steps:\n"
    "  - step: light\n    trade: layer\n    cautions: [dust]\n    checks: ['it''s flat']\n"
    "    uses:\n      cloth: {material: test cloth, unit: m2, amount: plies * laid, loss: 10 %}\n"
    "    lines:\n      plies: {usual: 2, whole: yes}\n      hours: 1 h\n      outside_cost: 5 EUR\n"
    "  - step: heavy\n    after: [light]\n    holds: [mill]\n    lines:\n      hours: 2 h\n";

static const char *const top_text =
    "recipe: top\nbuilds_on: base\nwithout: []\n"
    "lines:\n  extra: {unit: kg, is: 3 kg}\n"
    "steps:\n"
    "  - step: light\n    uses:\n      cloth: {loss: 12 %}\n      tape: {material: test cloth, unit: m2, "
    "amount: 1 m2}\n    lines:\n      plies: {is: usual + 1}\n"
    "  - step: between\n    place_after: light\n    lines:\n      hours: 3 h\n";

static const char *const materials_text =
    "materials:\n  - material: test cloth\n    kind: cloth\n    stock: m2\n"
    "    packs: [{size: 50 m2, price: 500 EUR}]\n    source: 'it''s invented'\n"
    "    figures: {areal_weight: 400 g/m2, drape: {is: 3, source: invented}}\n"
    "    cautions: [dust]\n";

static const char *const cautions_text =
    "cautions:\n  dust: {text: fibres in the air, defer: data sheet}\n";

static const char *const broken_recipe =
    "recipe: broken\nabuot: x\nlines:\n  a: {unit: kgg, is: 3}\n  b: {unit: kg}\n"
    "steps:\n  - step: x\n    after: [y]\n    lines: {hours: [], wait: 3 +}\n  - {}\n";

static const char *const odd_recipe =
    "recipe: odd\nlines:\n  price: {unit: m, is: 2 m}\n  a: {unit: m, is: 3 m, low: 5 m, high: 2 m}\n"
    "steps:\n  - step: x\n    after: [y]\n  - step: a\n    after: [c]\n  - step: c\n"
    "    uses: {p: {material: m, unit: m2, amount: 1 m2}}\n    lines: {p_net: {unit: m, is: 1 m}}\n";

static const char *const broken_shop =
    "shop: broken\ncurency: EUR\nunits: {kg: 3 m, pot: 3}\n"
    "people: [{trade: a, count: x, rate: 3 m}]\nshifts: {day: {mon: [\"8-12\"]}}\n"
    "holidays: [2027-02-30]\ntemperature: []\n";

/* What is asked of a library. */
typedef enum request_kind { NONE, SHOP, RECIPE, MATERIAL, CAUTION, LIST, MATERIALS } request_kind;

typedef struct request {
    request_kind kind;
    const char *name;
} request;

typedef struct memory_row {
    const char *name;
    request requests[3];
    mw_code code;      /* of the first message of the last request; MW_CODE_COUNT: it is met */
    const char *never; /* currency that is not in force when memory was lost; or NULL */
} memory_row;

static void count_name(void *context, mw_str name)
{
    int *count = context;
    assert_true(name.length > 0);
    (*count)++;
}

static void count_material(void *context, const mw_material *material)
{
    count_name(context, material->name);
}

static mw_status ask(recipe_files *files, const request *what)
{
    const mw_shop *shop;
    const mw_recipe *recipe;
    const mw_material *material;
    const mw_caution *caution;
    int count = 0;
    switch (what->kind) {
    case SHOP:
        return files_shop(files, what->name, &shop);
    case RECIPE:
        return files_recipe(files, what->name, &recipe);
    case MATERIAL:
        return files_material(files, what->name, &material);
    case CAUTION:
        return mw_library_caution(files->library, mw_str_of(what->name), files_asked(files),
                                  &caution, &files->diags);
    case LIST:
        return mw_library_recipes(files->library, count_name, &count);
    case MATERIALS:
        return mw_library_materials(files->library, count_material, &count, &files->diags);
    case NONE:
        break;
    }
    return MW_OK;
}

/* Asks for one thing after the other until one is refused. */
static mw_status ask_all(recipe_files *files, const memory_row *row)
{
    mw_status status = MW_OK;
    mw_diags_clear(&files->diags);
    for (size_t i = 0; i < 3 && status == MW_OK; i++) {
        status = ask(files, &row->requests[i]);
    }
    return status;
}

static void check_answer(recipe_files *files, const memory_row *row, mw_status status)
{
    if (row->code == MW_CODE_COUNT) {
        files_fine(files, status);
        return;
    }
    assert_int_equal(status, MW_FAILED);
    assert_true(files->diags.count > 0);
    assert_int_equal(files->diags.items[0].code, row->code);
}

/* A library that is new; false: there is no memory. */
static bool open_library(recipe_files *files)
{
    files->measure = mw_measure_new();
    files->sources = mw_sources_new();
    if (mw_diags_start(&files->diags) != MW_OK || files->measure == NULL ||
        files->sources == NULL) {
        return false;
    }
    files->library = mw_library_new(files->measure, files->sources);
    if (files->library == NULL || mw_library_folder(files->library, files->folder) != MW_OK) {
        return false;
    }
    files->asked = mw_sources_add(files->sources, mw_str_of("t.job"), mw_str_of("asked\n"));
    return files->asked != MW_NONE;
}

static void close_library(recipe_files *files)
{
    mw_library_free(files->library);
    mw_diags_free(&files->diags);
    mw_measure_free(files->measure);
    mw_sources_free(files->sources);
}

/* A shop that could not be read whole has not put its currency into force. */
static void check_currency(const recipe_files *files, const memory_row *row)
{
    if (row->never != NULL) {
        uint16_t refused = mw_currency_find(files->measure, mw_str_of(row->never));
        assert_int_not_equal(refused, 0);
        assert_int_not_equal(mw_money_base_of(files->measure), refused);
    }
}

typedef struct attempt {
    const char *folder;
    const memory_row *row;
} attempt;

/* One attempt; with memory again, the same library must give the right answer. */
static support_outcome ask_once(void *context)
{
    const attempt *of = context;
    recipe_files files = {.asked = MW_NONE};
    snprintf(files.folder, sizeof files.folder, "%s", of->folder);
    bool lost = true;
    if (open_library(&files)) {
        mw_status status = ask_all(&files, of->row);
        lost = status == MW_NO_MEMORY || files.diags.no_memory;
        support_fail_never();
        if (lost) {
            assert_int_not_equal(status, MW_OK);
            check_currency(&files, of->row);
            status = ask_all(&files, of->row);
        }
        check_answer(&files, of->row, status);
    }
    support_fail_never();
    close_library(&files);
    return lost ? SUPPORT_NO_MEMORY : SUPPORT_DONE;
}

#define MET MW_CODE_COUNT

static const memory_row rows[] = {
    {"shop", {{SHOP, "yard"}}, MET, NULL},
    {"shop after another", {{SHOP, "yard"}, {SHOP, "dock"}}, MET, "GBP"},
    {"shop of many units", {{SHOP, "yard"}, {SHOP, "many"}}, MET, "GBP"},
    {"first shop again", {{SHOP, "yard"}, {SHOP, "dock"}, {SHOP, "yard"}}, MET, NULL},
    {"broken shop", {{SHOP, "broken"}}, MW_CODE_UNKNOWN_KEY, NULL},
    {"broken shop after another", {{SHOP, "yard"}, {SHOP, "broken"}}, MW_CODE_UNKNOWN_KEY, NULL},
    {"unknown shop", {{SHOP, "yrad"}}, MW_CODE_UNKNOWN_SHOP, NULL},
    {"recipe", {{SHOP, "yard"}, {RECIPE, "base"}}, MET, NULL},
    {"recipe on another", {{SHOP, "yard"}, {RECIPE, "top"}}, MET, NULL},
    {"recipe before any shop", {{RECIPE, "base"}}, MW_CODE_NO_SHOP, NULL},
    {"broken recipe", {{RECIPE, "broken"}}, MW_CODE_UNKNOWN_KEY, NULL},
    {"recipe in disorder", {{RECIPE, "odd"}}, MW_CODE_OUT_OF_RANGE, NULL},
    {"recipe on itself", {{RECIPE, "loop"}}, MW_CODE_BUILDS_ON_LOOP, NULL},
    {"unknown recipe", {{RECIPE, "tpo"}}, MW_CODE_UNKNOWN_RECIPE, NULL},
    {"material", {{SHOP, "yard"}, {MATERIAL, "test cloth"}}, MET, NULL},
    {"unknown material", {{MATERIAL, "tset cloth"}}, MW_CODE_UNKNOWN_MATERIAL, NULL},
    {"all materials", {{MATERIALS, ""}}, MET, NULL},
    {"caution", {{CAUTION, "dust"}}, MET, NULL},
    {"unknown caution", {{CAUTION, "rust"}}, MET, NULL},
    {"list of recipes", {{LIST, ""}}, MET, NULL},
};

/* A shop of so many units of its own that putting them into force needs memory. */
static void write_many(const recipe_files *files)
{
    char text[6000] = "shop: many\ncurrency: GBP\nunits:\n";
    for (int i = 0; i < 200; i++) {
        char line[32];
        snprintf(line, sizeof line, "  pot%c%c: %d kg\n", 'a' + i / 26, 'a' + i % 26, i + 1);
        strcat(text, line);
    }
    strcat(text, FILES_SHOP_TIMES);
    files_write(files, "shops/many.yaml", text);
}

static void without_memory(void **state)
{
    recipe_files files;
    files_start(&files);
    files_write(&files, "shops/yard.yaml", shop_text);
    files_write(&files, "shops/dock.yaml", other_shop_text);
    write_many(&files);
    files_write(&files, "shops/broken.yaml", broken_shop);
    files_write(&files, "base.yaml", base_text);
    files_write(&files, "top.yaml", top_text);
    files_write(&files, "broken.yaml", broken_recipe);
    files_write(&files, "odd.yaml", odd_recipe);
    files_write(&files, "loop.yaml", "recipe: loop\nbuilds_on: loop\n");
    files_write(&files, "materials/all.yaml", materials_text);
    files_write(&files, "cautions.yaml", cautions_text);
    attempt of = {files.folder, *state};
    size_t count = support_fail_each_allocation(ask_once, &of);
    print_message("%zu allocations\n", count);
    assert_true(count > 10);
    files_end(&files);
}

int main(void)
{
    return run_rows("no memory", rows, without_memory);
}
