/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lists: recipes, materials, the shop, the user's own lines, the steps of a mould. */
#include "figures.h"
#include "reply.h"

#include <math.h>

/* ---- recipes and materials ---- */

typedef struct listing {
    report *in;
    grid *to;
} listing;

static void add_recipe(void *context, mw_str name)
{
    listing *list = context;
    grid_text(list->in, list->to, report_text(list->in, "%.*s", (int)name.length, name.at));
}

static mw_status list_recipes(report *in)
{
    listing list = {in, report_grid(in, "recipes", NULL)};
    columns_text(list.to, "recipe", "recipe");
    return mw_library_recipes(mw_job_library(in->job), add_recipe, &list);
}

static void add_material(void *context, const mw_material *material)
{
    listing *list = context;
    report *in = list->in;
    mw_measure *measure = mw_job_measure(in->job);
    const mw_pack *pack = &material->packs[0];
    mw_text words = {0};
    mw_value_words(measure, pack->size, material->stock_type, material->stock_unit, &words);
    grid_text(in, list->to, material->name);
    grid_text(in, list->to, material->kind);
    grid_text(in, list->to, report_text(in, "%s", mw_text_chars(&words)));
    mw_text_clear(&words);
    mw_value_words(measure, pack->price, pack->price_type, mw_unit_usual(measure, pack->price_type),
                   &words);
    grid_text(in, list->to, report_text(in, "%s", mw_text_chars(&words)));
    in->lost = in->lost || words.failed;
    mw_text_free(&words);
}

static mw_status list_materials(report *in)
{
    listing list = {in, report_grid(in, "materials", NULL)};
    columns_text(list.to, "material", "material");
    columns_text(list.to, "kind", "kind");
    columns_date(list.to, "pack", "usual pack");
    columns_date(list.to, "price", "price of it");
    return mw_library_materials(mw_job_library(in->job), add_material, &list, in->diags);
}

/* ---- shop ---- */

static mw_status list_shop(report *in)
{
    const mw_shop *shop = mw_job_shop(in->job);
    if (!shop) {
        mw_diag *diag = mw_diags_error(in->diags, MW_CODE_NO_SHOP, (mw_span){.source = MW_NONE},
                                       "the job names no shop");
        mw_diag_try(in->diags, diag, "shop \"saltmarsh\"");
        return MW_FAILED;
    }
    grid *people = report_grid(in, "people", "people");
    columns_text(people, "trade", "trade");
    columns_value(people, "count", "count", 0, MW_NONE);
    for (uint32_t i = 0; i < shop->trade_count; i++) {
        grid_text(in, people, shop->trades[i].name);
        grid_value(in, people, shop->trades[i].count, MW_TYPE_NUMBER, MW_UNIT_ONE);
    }
    grid *machines = report_grid(in, "machines", "machines and places");
    columns_text(machines, "machine", "machine");
    columns_value(machines, "count", "count", 0, MW_NONE);
    for (uint32_t i = 0; i < shop->machine_count; i++) {
        grid_text(in, machines, shop->machines[i].name);
        grid_value(in, machines, shop->machines[i].count, MW_TYPE_NUMBER, MW_UNIT_ONE);
    }
    grid *promises = report_grid(in, "promised", "promised to others");
    columns_text(promises, "what", "what");
    columns_text(promises, "holds", "holds");
    columns_date(promises, "from", "from");
    columns_date(promises, "until", "until");
    for (uint32_t i = 0; i < shop->promise_count; i++) {
        grid_text(in, promises, shop->promises[i].what);
        grid_text(in, promises, shop->promises[i].holds);
        grid_value(in, promises, shop->promises[i].from_s, MW_TYPE_DATE, MW_UNIT_ONE);
        grid_value(in, promises, shop->promises[i].until_s, MW_TYPE_DATE, MW_UNIT_ONE);
    }
    return MW_OK;
}

/* ---- lines ---- */

static void line_value(report *in, grid *to, uint32_t cell)
{
    const mw_sheet *sheet = mw_job_sheet(in->job);
    mw_shape shape;
    uint32_t count;
    uint32_t first = mw_sheet_elements(sheet, cell, &count, &shape);
    if (shape == MW_SHAPE_ONE && in->style->json) {
        grid_value(in, to, mw_sheet_value(sheet, cell), mw_sheet_type(sheet, cell),
                   mw_sheet_unit(sheet, cell));
        return;
    }
    mw_text words = {0};
    for (uint32_t i = 0; i < count; i++) {
        uint32_t element = shape == MW_SHAPE_ONE ? cell : first + i;
        mw_text_adds(&words, i == 0 ? "" : shape == MW_SHAPE_RANGE ? " .. " : ", ");
        reply_short_words(in->job, mw_sheet_value(sheet, element), mw_sheet_type(sheet, cell),
                          mw_sheet_unit(sheet, cell), &words);
    }
    grid_text(in, to, report_text(in, "%s", mw_text_chars(&words)));
    mw_text_free(&words);
}

static mw_status list_lines(report *in)
{
    grid *to = report_grid(in, "lines", NULL);
    columns_text(to, "name", "line");
    columns_date(to, "result", "value");
    columns_text(to, "formula", "formula");
    for (uint32_t i = 0; i < mw_job_line_count(in->job); i++) {
        uint32_t cell = mw_job_line_cell(in->job, i);
        mw_str formula = mw_sources_piece(mw_job_sources(in->job),
                                          mw_sheet_formula(mw_job_sheet(in->job), cell));
        grid_text(in, to, mw_sheet_name(mw_job_sheet(in->job), cell));
        line_value(in, to, cell);
        grid_text(in, to, formula);
    }
    return MW_OK;
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
        mw_text value = {0};
        const mw_sheet *sheet = mw_job_sheet(in->job);
        reply_short_words(in->job, mw_sheet_value(sheet, cell), mw_sheet_type(sheet, cell),
                          mw_sheet_unit(sheet, cell), &value);
        grid_text(in, to, row->name);
        grid_text(in, to, name);
        grid_text(in, to, report_text(in, "%s", mw_text_chars(&value)));
        grid_text(in, to, row->lines[i].about);
        mw_text_free(&value);
    }
}

static mw_status list_steps(report *in, mw_str argument)
{
    uint32_t only = argument.length ? mw_job_mould_find(in->job, argument) : MW_NONE;
    if (argument.length > 0 && only == MW_NONE) {
        mw_diags_error(in->diags, MW_CODE_UNKNOWN_MOULD, (mw_span){.source = MW_NONE},
                       "there is no mould `%.*s`", (int)argument.length, argument.at);
        return MW_FAILED;
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
        status = list_recipes(&made);
    } else if (status == MW_OK && mw_str_is(request->word, "materials")) {
        status = list_materials(&made);
    } else if (status == MW_OK && mw_str_is(request->word, "shop")) {
        status = list_shop(&made);
    } else if (status == MW_OK && mw_str_is(request->word, "lines")) {
        status = list_lines(&made);
    } else if (status == MW_OK && mw_str_is(request->word, "steps")) {
        status = list_steps(&made, request->argument);
    }
    if (status == MW_OK) {
        status = report_write(&made, out);
    }
    report_end(&made);
    return status;
}
