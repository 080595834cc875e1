/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A small world for tests of formulas: named cells with values, a list or two, and one formula at a
 * time read, checked, compiled and run in it. */
#ifndef TESTS_LANG_FIXTURE_H
#define TESTS_LANG_FIXTURE_H

#include <string.h>

#include "mouldwright/code.h"
#include "mouldwright/memory.h"
#include "mouldwright/money.h"
#include "mouldwright/number.h"
#include "mouldwright/parse.h"
#include "support.h"

/* A name of the world. Those with the same name are the elements of a list. */
typedef struct lang_name {
    const char *name;
    const char *unit; /* or truth, text, date, people, labour, time */
    double value;     /* in the unit; date: days since 1970 */
} lang_name;

static const lang_name lang_names[] = {
    {"area", "m2", 11.4},
    {"edge", "m", 9},
    {"glass", "kg", 4.5},
    {"plies", "", 4},
    {"lost", "%", 8},
    {"rate", "EUR/h", 58},
    {"fee", "EUR", 120},
    {"work", "labour", 12},
    {"cure", "time", 16},
    {"crew", "people", 2},
    {"wet", "truth", 1},
    {"dry", "truth", 0},
    {"fibre", "text", 0},
    {"ready", "date", 20888}, /* 2027-03-11 */
    {"room", "degC", 20},
    {"rise", "K", 5},
    {"zero", "", 0},
    {"wrong", "", -1}, /* its cell holds an error */
    {"worse", "", -2}, /* and so does this one */
    {"moulds.area", "m2", 6.5},
    {"moulds.area", "m2", 3.25},
    {"moulds.area", "m2", 3.5},
    {"moulds.plies", "", 4},
    {"moulds.plies", "", 6},
    {"moulds.plies", "", 2},
    {"moulds.wet", "truth", 1},
    {"moulds.wet", "truth", 0},
    {"moulds.wet", "truth", 1},
    {"pair.glass", "kg", 4},
    {"pair.glass", "kg", 6},
};

enum {
    LANG_NAMES = sizeof lang_names / sizeof lang_names[0],
    LANG_RESULTS = 64, /* cells for results, behind those of the names */
    LANG_CELLS = LANG_NAMES + LANG_RESULTS
};

typedef struct lang_fixture {
    mw_measure *measure;
    mw_values *values;
    mw_sources *sources;
    mw_compiler *compiler;
    mw_diags diags;
    mw_ast ast;
    mw_scope scope;
    mw_reference usual;
    uint32_t slots[LANG_NAMES];
    /* what the last formula came to */
    uint32_t source;
    mw_meaning meaning;
    mw_program code;
    uint32_t ends[LANG_RESULTS];
    mw_text text;
} lang_fixture;

static inline mw_type lang_type(lang_fixture *world, const char *unit, mw_unit *shown)
{
    static const struct {
        const char *word;
        mw_type type;
        const char *unit;
    } words[] = {
        {"", MW_TYPE_NUMBER, NULL},       {"truth", MW_TYPE_TRUTH, NULL},
        {"text", MW_TYPE_TEXT, NULL},     {"date", MW_TYPE_DATE, NULL},
        {"people", MW_TYPE_PEOPLE, NULL}, {"labour", MW_TYPE_LABOUR, "h"},
        {"time", MW_TYPE_TIME, "h"},
    };
    size_t used;
    *shown = MW_UNIT_ONE;
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strcmp(words[i].word, unit) == 0) {
            if (words[i].unit != NULL) {
                assert_int_equal(
                    mw_unit_read(world->measure, mw_str_of(words[i].unit), &used, shown), MW_OK);
            }
            return words[i].type;
        }
    }
    assert_int_equal(mw_unit_read(world->measure, mw_str_of(unit), &used, shown), MW_OK);
    return mw_unit_type(world->measure, *shown);
}

/* Whether a path is a name written with its dots; allocates nothing, so that memory can fail around
 * it. */
static inline bool lang_is(const mw_path *path, const char *name)
{
    for (uint32_t i = 0; i < path->count; i++) {
        const mw_str part = path->parts[i];
        if (strncmp(name, part.at, part.length) != 0) {
            return false;
        }
        name += part.length;
        if (i + 1 < path->count && *name++ != '.') {
            return false;
        }
    }
    return *name == '\0';
}

/* `later` is pending, `broken` was diagnosed, `none` is an empty list, `choice` a constant. */
static inline mw_status lang_find(void *context, const mw_path *path, mw_reference *out,
                                  mw_diags *diags)
{
    lang_fixture *world = context;
    uint32_t first = MW_NONE;
    uint32_t count = 0;
    for (uint32_t i = 0; i < LANG_NAMES; i++) {
        if (lang_is(path, lang_names[i].name)) {
            first = first == MW_NONE ? i : first;
            world->slots[count++] = i;
        }
    }
    *out = (mw_reference){.count = count};
    if (count > 0) {
        out->type = lang_type(world, lang_names[first].unit, &out->unit);
        out->slot = first;
        out->list = count > 1;
        out->slots = world->slots;
        return MW_OK;
    }
    if (lang_is(path, "later")) {
        return MW_PENDING;
    }
    if (lang_is(path, "broken")) {
        mw_diags_error(diags, MW_CODE_UNKNOWN_STEP, path->span, "reported by the scope");
        return MW_FAILED;
    }
    if (lang_is(path, "none")) {
        out->list = true;
        out->type = lang_type(world, "m2", &out->unit);
        return MW_OK;
    }
    if (lang_is(path, "choice")) {
        *out = (mw_reference){.constant = true, .type = MW_TYPE_TEXT, .count = 1};
        out->value = mw_values_text(world->values, mw_str_of("epoxy"));
        return MW_OK;
    }
    return MW_NOT_FOUND;
}

static inline bool lang_suggest(void *context, const mw_path *path, mw_text *out)
{
    (void)context;
    if (lang_is(path, "plys")) {
        mw_text_adds(out, "did you mean plies?");
        return true;
    }
    return false;
}

static inline void lang_fill(lang_fixture *world)
{
    double *base = mw_values_base(world->values);
    for (uint32_t i = 0; i < LANG_NAMES; i++) {
        const lang_name *name = &lang_names[i];
        mw_unit unit;
        const mw_type type = lang_type(world, name->unit, &unit);
        base[i] = type == MW_TYPE_DATE ? name->value * 86400
                                       : mw_unit_to_si(world->measure, unit, name->value);
        if (type == MW_TYPE_TEXT) {
            base[i] = mw_values_text(world->values, mw_str_of("carbon"));
        }
        if (strcmp(name->name, "wrong") == 0) {
            base[i] = mw_error_value(MW_CODE_NEVER);
        }
        if (strcmp(name->name, "worse") == 0) {
            base[i] = mw_error_value(MW_CODE_EMPTY_LIST);
        }
    }
}

static inline void lang_start(lang_fixture *world)
{
    memset(world, 0, sizeof *world);
    world->measure = mw_measure_new();
    world->values = mw_values_new();
    world->sources = mw_sources_new();
    assert_non_null(world->measure);
    assert_non_null(world->values);
    assert_non_null(world->sources);
    assert_int_equal(mw_diags_start(&world->diags), MW_OK);
    world->compiler = mw_compiler_new(world->measure, world->values);
    assert_non_null(world->compiler);
    assert_true(mw_values_reserve(world->values, LANG_CELLS));
    world->scope = (mw_scope){.context = world, .find = lang_find, .suggest = lang_suggest};
    lang_fill(world);
}

static inline void lang_stop(lang_fixture *world)
{
    mw_text_free(&world->text);
    mw_memory_give(world->code.items);
    mw_ast_free(&world->ast);
    mw_compiler_free(world->compiler);
    mw_diags_free(&world->diags);
    mw_sources_free(world->sources);
    mw_values_free(world->values);
    mw_measure_free(world->measure);
}

/* Reads a formula; the test fails where it cannot be read. Returns its root. */
static inline uint32_t lang_parse(lang_fixture *world, const char *formula)
{
    const mw_str text = mw_str_of(formula);
    uint32_t root = MW_NONE;
    mw_ast_clear(&world->ast);
    mw_diags_clear(&world->diags);
    world->source = mw_sources_add(world->sources, mw_str_of("test"), text);
    assert_int_not_equal(world->source, MW_NONE);
    const mw_reader reader = {&world->ast, world->measure, world->sources, &world->diags};
    const mw_span span = {world->source, 0, (uint32_t)text.length};
    const mw_status status = mw_parse_formula(&reader, span, &root);
    if (status != MW_OK) {
        mw_diags_render(&world->diags, world->sources, &world->text);
        fail_msg("%s", mw_text_chars(&world->text));
    }
    return root;
}

/* Reads and checks a formula for a slot, given as the fixture writes kinds, or NULL. */
static inline mw_status lang_check(lang_fixture *world, const char *formula, const char *slot)
{
    mw_unit unit;
    const uint32_t root = lang_parse(world, formula);
    const mw_question question = {.ast = &world->ast,
                                  .root = root,
                                  .scope = &world->scope,
                                  .slot = slot == NULL ? MW_NONE : lang_type(world, slot, &unit)};
    return mw_compiler_check(world->compiler, &question, &world->meaning, &world->diags);
}

static inline void lang_must_check(lang_fixture *world, const char *formula)
{
    const mw_status status = lang_check(world, formula, NULL);
    if (status != MW_OK) {
        mw_text_clear(&world->text);
        mw_diags_render(&world->diags, world->sources, &world->text);
        fail_msg("status %d: %s", status, mw_text_chars(&world->text));
    }
}

/* Compiles what was checked; results go to the cells behind the names. */
static inline void lang_emit(lang_fixture *world)
{
    uint32_t to[LANG_RESULTS];
    for (uint32_t i = 0; i < LANG_RESULTS; i++) {
        to[i] = LANG_NAMES + i;
    }
    assert_true(world->meaning.length <= LANG_RESULTS);
    world->code.count = 0;
    assert_int_equal(mw_compiler_emit(world->compiler, to, &world->code, world->ends), MW_OK);
}

/* Returns a result of the last run. */
static inline double lang_result(const lang_fixture *world, uint32_t which)
{
    return mw_values_base(world->values)[LANG_NAMES + which];
}

static inline void lang_run(lang_fixture *world, const char *formula)
{
    lang_must_check(world, formula);
    lang_emit(world);
    const mw_machine machine = {.base = mw_values_base(world->values),
                                .host = world->scope.host.functions,
                                .host_context = world->scope.host.context};
    mw_run(&machine, world->code.items, world->code.count);
}

static inline void lang_add_result(lang_fixture *world, uint32_t which)
{
    const double value = lang_result(world, which);
    const mw_code error = mw_error_code(value);
    if (error != MW_CODE_COUNT) {
        mw_text_addf(&world->text, "error %s", mw_code_word(error));
    } else if (world->meaning.type == MW_TYPE_TEXT) {
        mw_text_add_str(&world->text, mw_values_text_of(world->values, value));
    } else {
        mw_value_words(world->measure, value, world->meaning.type, world->meaning.unit,
                       &world->text);
    }
}

/* Runs a formula and returns its results as people see them, parted by commas. */
static inline const char *lang_answer(lang_fixture *world, const char *formula)
{
    lang_run(world, formula);
    mw_text_clear(&world->text);
    for (uint32_t i = 0; i < world->meaning.length; i++) {
        mw_text_adds(&world->text, i > 0 ? ", " : "");
        lang_add_result(world, i);
    }
    return mw_text_chars(&world->text);
}

#endif
