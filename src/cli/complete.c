/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Completion: the words that fit where the cursor stands. */
#include "complete.h"

#include <string.h>

#include "cli.h"
#include "mouldwright/function.h"
#include "mouldwright/memory.h"

static bool begins_with(mw_str text, mw_str stem)
{
    return text.length >= stem.length && memcmp(text.at, stem.at, stem.length) == 0;
}

void completion_offer(completion *to, mw_str text, const char *ending)
{
    if (text.length == 0 || !begins_with(text, to->stem)) {
        return;
    }
    for (size_t i = 0; i < to->count; i++) {
        if (mw_str_equal(to->items[i].text, text)) {
            return;
        }
    }
    void *items = to->items;
    char *copy = mw_arena_copy(to->arena, text.at, text.length);
    if (!copy || !mw_memory_grow(&items, &to->capacity, to->count + 1, sizeof *to->items)) {
        to->lost = true;
        return;
    }
    to->items = items;
    to->items[to->count++] = (candidate){{copy, text.length}, ending};
}

/* What is being gathered, and what may follow a name that is complete. */
typedef struct gathering {
    completion *to;
    const char *ending;
    bool moulds_only;
    bool settable; /* no functions, and only what leads on to something that can be set */
} gathering;

static void take_name(void *context, mw_str name, bool more)
{
    const gathering *with = context;
    completion_offer(with->to, name, more ? "." : with->ending);
}

static void take_unit(void *context, mw_str name, mw_str about, mw_type type, double scale)
{
    (void)about;
    (void)scale;
    if (type != MW_TYPE_NUMBER || !mw_str_is(name, "1")) {
        completion_offer(context, name, "");
    }
}

/* The prefixed units that the trade writes; the table of units knows them as prefix and unit. */
static const char *const prefixed_units[] = {"kg", "mg",  "mm",  "cm",  "km",  "um",  "mL",
                                             "cL", "kN",  "kPa", "MPa", "GPa", "hPa", "kW",
                                             "kJ", "mm2", "cm2", "cm3", NULL};

static void offer_words(completion *to, const char *const *words, const char *ending)
{
    for (; *words; words++) {
        completion_offer(to, mw_str_of(*words), ending);
    }
}

static void offer_functions(completion *to)
{
    size_t count = 0;
    const mw_function *built_in = mw_functions(&count);
    mw_host host = mw_job_functions();
    for (size_t i = 0; i < count + host.count; i++) {
        const mw_function *of = i < count ? &built_in[i] : &host.functions[i - count];
        completion_offer(to, mw_str_of(of->name), "(");
    }
}

static void offer_names(const complete_from *from, const place_at *place, const char *ending,
                        completion *to)
{
    gathering with = {.to = to, .ending = ending};
    mw_job_names_below(from->job, place->before, take_name, &with);
}

static void offer_formula(const complete_from *from, const place_at *place, completion *to)
{
    static const char *const words[] = {"if", "then", "else", "and",   "or", "not",
                                        "as", "yes",  "no",   "usual", NULL};
    offer_names(from, place, " ", to);
    if (place->before.length == 0) {
        offer_functions(to);
        offer_words(to, words, " ");
    }
}

static void offer_rows(const mw_command_row *row, completion *to)
{
    for (; row->word; row++) {
        const char *quote = strchr(row->syntax, '"');
        bool text = quote && quote == row->syntax + strlen(row->word) + 1;
        completion_offer(to, mw_str_of(row->word), text ? " \"" : " ");
    }
}

static void offer_statement(const complete_from *from, const place_at *place, completion *to)
{
    if (place->before.length == 0) {
        offer_rows(mw_statement_rows(), to);
        offer_rows(mw_command_rows(), to);
    }
    offer_names(from, place, " = ", to);
    if (place->before.length == 0) {
        offer_functions(to);
    }
}

static void offer_moulds(const complete_from *from, completion *to)
{
    for (uint32_t m = 0; m < mw_job_mould_count(from->job); m++) {
        completion_offer(to, mw_job_mould(from->job, m).name, " ");
    }
}

static void offer_lines(const complete_from *from, completion *to)
{
    for (uint32_t i = 0; i < mw_job_line_count(from->job); i++) {
        completion_offer(to, mw_job_line(from->job, i).name, " ");
    }
}

/* The inputs of a recipe, or of the recipes in use where none is named yet. */
static void offer_fields(const complete_from *from, mw_str recipe, completion *to)
{
    static const char *const fixed[] = {"area", "edge", "count", "after", "from", NULL};
    completion_offer(to, mw_str_of("recipe"), " \"");
    offer_words(to, fixed, " ");
    const mw_recipe *named = NULL;
    mw_diags quiet;
    if (mw_diags_start(&quiet) == MW_OK && recipe.length > 0 &&
        mw_library_recipe(mw_job_library(from->job), recipe, (mw_span){.source = MW_NONE}, &named,
                          &quiet) != MW_OK) {
        named = NULL;
    }
    mw_diags_free(&quiet);
    uint32_t count = named ? 1 : mw_job_mould_count(from->job);
    for (uint32_t m = 0; m < count; m++) {
        const mw_recipe *of = named ? named : mw_job_mould(from->job, m).recipe;
        for (uint32_t i = 0; i < of->line_count; i++) {
            if (of->lines[i].input) {
                completion_offer(to, of->lines[i].name, " ");
            }
        }
    }
}

static void take_quoted(void *context, mw_str name)
{
    completion_offer(context, name, "\"");
}

static void take_material(void *context, const mw_material *material)
{
    completion_offer(context, material->name, "\"");
}

static void offer_quoted(const complete_from *from, place_kind kind, completion *to)
{
    static const char *const jobs[] = {".job", NULL};
    static const char *const lists[] = {".csv", NULL};
    mw_library *library = mw_job_library(from->job);
    mw_diags quiet;
    mw_status status = mw_diags_start(&quiet);
    if (kind == PLACE_SHOP) {
        completion_shops(to, from);
    } else if (kind == PLACE_RECIPE) {
        status = mw_library_recipes(library, take_quoted, to);
    } else if (kind == PLACE_MATERIAL && status == MW_OK) {
        status = mw_library_materials(library, take_material, to, &quiet);
    } else {
        completion_files(to, mw_job_path(from->job), kind == PLACE_CSV_FILE ? lists : jobs);
    }
    to->lost = to->lost || status == MW_NO_MEMORY;
    mw_diags_free(&quiet);
}

static void offer_place(const complete_from *from, const place_at *place, completion *to)
{
    switch (place->kind) {
    case PLACE_NOTHING:
        break;
    case PLACE_STATEMENT:
        offer_statement(from, place, to);
        break;
    case PLACE_FORMULA:
        offer_formula(from, place, to);
        break;
    case PLACE_UNIT:
        mw_unit_each(mw_job_measure(from->job), take_unit, to);
        offer_words(to, prefixed_units, "");
        break;
    case PLACE_MOULD:
        offer_moulds(from, to);
        break;
    case PLACE_DROP:
        offer_lines(from, to);
        offer_moulds(from, to);
        break;
    case PLACE_SETTABLE:
        offer_names(from, place, " ", to);
        break;
    case PLACE_FIELD:
        offer_fields(from, place->recipe, to);
        break;
    case PLACE_HELP:
        cli_help_words(to);
        break;
    case PLACE_SHOP:
    case PLACE_RECIPE:
    case PLACE_MATERIAL:
    case PLACE_JOB_FILE:
    case PLACE_CSV_FILE:
        offer_quoted(from, place->kind, to);
        break;
    }
}

/* How many bytes all candidates have in common, whole characters only. */
static size_t shared_bytes(const completion *of)
{
    size_t shared = of->count > 0 ? of->items[0].text.length : of->stem.length;
    for (size_t i = 1; i < of->count; i++) {
        mw_str a = of->items[0].text;
        mw_str b = of->items[i].text;
        size_t same = 0;
        while (same < shared && same < b.length && a.at[same] == b.at[same]) {
            same++;
        }
        shared = same;
    }
    while (of->count > 1 && shared > of->stem.length &&
           ((unsigned char)of->items[0].text.at[shared] & 0xC0) == 0x80) {
        shared--;
    }
    return shared;
}

mw_status cli_complete(const complete_from *from, mw_str line, size_t cursor, completion *out)
{
    place_at place = complete_place(line, cursor);
    *out = (completion){.arena = mw_arena_new(), .from = place.from};
    out->stem = (mw_str){line.at + place.from, cursor - place.from};
    if (!out->arena) {
        return MW_NO_MEMORY;
    }
    offer_place(from, &place, out);
    for (size_t i = 0; i < out->count && !place.open_end; i++) {
        if (out->items[i].ending[0] == '"') {
            out->items[i].ending = ""; /* the quote stands there already */
        }
    }
    out->shared = shared_bytes(out);
    return out->lost ? MW_NO_MEMORY : MW_OK;
}

void completion_free(completion *found)
{
    mw_arena_free(found->arena);
    mw_memory_give(found->items);
    *found = (completion){0};
}
