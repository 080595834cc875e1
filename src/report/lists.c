/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lists: recipes, materials, the user's own lines, the steps of a mould. */
#include "figures.h"

#include <string.h>

#include "mouldwright/suggest.h"

/* ---- recipes and materials ---- */

typedef struct listing {
    report *in;
    grid *to;
    mw_str only; /* the one that is asked for; empty: all */
    mw_suggest nearest;
} listing;

/* What stands behind the word, without quotes around. */
static mw_str asked_name(const mw_request *request)
{
    mw_str name = mw_str_trim(request->argument);
    bool quoted = name.length >= 2 && name.at[0] == '"' && name.at[name.length - 1] == '"';
    return quoted ? (mw_str){name.at + 1, name.length - 2} : name;
}

static listing list_of(report *in, const char *key, const mw_request *request)
{
    listing list = {.in = in, .to = report_grid(in, key, NULL), .only = asked_name(request)};
    mw_suggest_start(&list.nearest, list.only);
    return list;
}

static bool asked_for(const listing *list, mw_str name)
{
    return list->only.length == 0 || mw_str_equal(list->only, name);
}

/* What is asked for and is not there: says so, with the name nearest to it. */
static mw_status found_or_not(const mw_request *request, const listing *list, mw_code code,
                              mw_diags *diags)
{
    if (list->to->field_count > 0 || list->only.length == 0) {
        return MW_OK;
    }
    mw_diag *diag = mw_diags_error(diags, code, request->argument_at, "there is no %.*s `%.*s`",
                                   (int)strlen(list->in->word) - 1, list->in->word,
                                   (int)list->only.length, list->only.at);
    if (list->nearest.best.length > 0) {
        mw_diag_try(diags, diag, "%s %.*s", list->in->word, (int)list->nearest.best.length,
                    list->nearest.best.at);
    }
    return MW_FAILED;
}

static void add_recipe(void *context, mw_str name)
{
    listing *list = context;
    mw_str kept = report_text(list->in, "%.*s", (int)name.length, name.at);
    mw_suggest_offer(&list->nearest, kept);
    if (asked_for(list, name)) {
        grid_text(list->in, list->to, kept);
    }
}

static mw_status list_recipes(report *in, const mw_request *request)
{
    listing list = list_of(in, "recipes", request);
    columns_text(list.to, "recipe", "recipe");
    mw_status status = mw_library_recipes(mw_job_library(in->job), add_recipe, &list);
    return status == MW_OK ? found_or_not(request, &list, MW_CODE_UNKNOWN_RECIPE, in->diags)
                           : status;
}

/* An amount with its unit behind it, as exact as it is written. */
static void amount_field(report *in, grid *to, double value, mw_type type, mw_unit unit)
{
    if (in->style->json) {
        grid_value(in, to, value, type, unit);
        return;
    }
    mw_text words = {0};
    mw_value_words(mw_job_measure(in->job), value, type, unit, &words);
    grid_text(in, to, report_take(in, &words));
}

static void add_material(void *context, const mw_material *material)
{
    listing *list = context;
    report *in = list->in;
    const mw_pack *pack = &material->packs[0];
    mw_suggest_offer(&list->nearest, material->name);
    if (!asked_for(list, material->name)) {
        return;
    }
    grid_text(in, list->to, material->name);
    grid_text(in, list->to, material->kind);
    amount_field(in, list->to, pack->size, material->stock_type, material->stock_unit);
    amount_field(in, list->to, pack->price, pack->price_type,
                 mw_unit_usual(mw_job_measure(in->job), pack->price_type));
}

static mw_status list_materials(report *in, const mw_request *request)
{
    listing list = list_of(in, "materials", request);
    columns_text(list.to, "material", "material");
    columns_text(list.to, "kind", "kind");
    columns_date(list.to, "pack", "usual pack");
    columns_date(list.to, "price", "price of it");
    mw_status status =
        mw_library_materials(mw_job_library(in->job), add_material, &list, in->diags);
    return status == MW_OK ? found_or_not(request, &list, MW_CODE_UNKNOWN_MATERIAL, in->diags)
                           : status;
}

/* ---- lines ---- */

static mw_status list_lines(report *in, const mw_request *request)
{
    listing list = list_of(in, "lines", request);
    grid *to = list.to;
    columns_text(to, "name", "line");
    columns_date(to, "result", "value");
    columns_text(to, "formula", "formula");
    for (uint32_t i = 0; i < mw_job_line_count(in->job); i++) {
        mw_line_view line = mw_job_line(in->job, i);
        mw_suggest_offer(&list.nearest, line.name);
        if (!asked_for(&list, line.name)) {
            continue;
        }
        mw_str formula = mw_sources_piece(mw_job_sources(in->job), line.formula);
        grid_text(in, to, line.name);
        if (line.cell == MW_NONE) {
            grid_text(in, to, mw_str_of("by mould"));
        } else {
            grid_cell(in, to, line.cell);
        }
        grid_text(in, to, formula);
    }
    return found_or_not(request, &list, MW_CODE_UNKNOWN_NAME, in->diags);
}

/* ---- steps ---- */

static void step_quantities(report *in, grid *to, const mw_recipe *recipe, uint32_t m,
                            uint32_t step)
{
    const mw_step_row *row = &recipe->steps[step];
    for (uint32_t i = 0; i < row->line_count; i++) {
        mw_str name = row->lines[i].name;
        mw_str text = report_text(in, "%.*s", (int)name.length, name.at);
        uint32_t cell = text.at ? mw_job_cell(in->job, m, step, text.at) : MW_NONE;
        if (cell == MW_NONE) {
            continue;
        }
        grid_text(in, to, row->name);
        grid_text(in, to, name);
        grid_cell(in, to, cell);
        grid_text(in, to, row->lines[i].about);
    }
}

static mw_status list_steps(report *in, const mw_request *request)
{
    uint32_t only;
    mw_status status = report_find_mould(in->job, request, &only, in->diags);
    if (status != MW_OK) {
        return status;
    }
    grid *to = report_grid(in, "steps", NULL);
    if (only == MW_NONE) {
        columns_text(to, "mould", "mould");
        columns_text(to, "step", "step");
        columns_text(to, "about", "");
        for (uint32_t m = 0; m < mw_job_mould_count(in->job); m++) {
            const mw_mould_view view = mw_job_mould(in->job, m);
            for (uint32_t s = 0; s < view.recipe->step_count; s++) {
                grid_text(in, to, view.name);
                grid_text(in, to, view.recipe->steps[s].name);
                grid_text(in, to, view.recipe->steps[s].about);
            }
        }
        return MW_OK;
    }
    columns_text(to, "step", "step");
    columns_text(to, "quantity", "quantity");
    columns_date(to, "result", "value");
    columns_text(to, "about", "");
    const mw_recipe *recipe = mw_job_mould(in->job, only).recipe;
    for (uint32_t s = 0; s < recipe->step_count; s++) {
        step_quantities(in, to, recipe, only, s);
    }
    return MW_OK;
}

mw_status mw_report_list(mw_job *job, const mw_request *request, mw_text *out, mw_diags *diags)
{
    report made;
    mw_status status = report_start(&made, job, request, diags);
    if (status == MW_OK && mw_str_is(request->word, "recipes")) {
        status = list_recipes(&made, request);
    } else if (status == MW_OK && mw_str_is(request->word, "materials")) {
        status = list_materials(&made, request);
    } else if (status == MW_OK && mw_str_is(request->word, "shop")) {
        status = report_shop(&made);
    } else if (status == MW_OK && mw_str_is(request->word, "lines")) {
        status = list_lines(&made, request);
    } else if (status == MW_OK && mw_str_is(request->word, "steps")) {
        status = list_steps(&made, request);
    }
    if (status == MW_OK) {
        status = report_write(&made, out);
    }
    report_end(&made);
    return status;
}
