/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The moulds with their headline figures; or one mould with its steps. */
#include "figures.h"
#include "proof.h"

#include <math.h>

static int64_t mould_money(const mw_posting *postings, uint32_t count, uint32_t asked,
                           uint32_t mould, int kind)
{
    money_filter filter = {.asked = asked, .mould = mould, .kind = kind};
    return figure_money(postings, count, &filter);
}

/* Areas of all moulds stand under one another in one unit. */
static mw_unit square(report *in)
{
    return mw_unit_usual(mw_job_measure(in->job), MW_TYPE_AREA);
}

static void mould_row(report *in, grid *to, uint32_t m, const mw_posting *postings, uint32_t count)
{
    mw_mould_view view = mw_job_mould(in->job, m);
    grid_text(in, to, view.name);
    figure_add(in, to, (figure_of){m, MW_NONE, square(in)}, "area");
    grid_text(in, to, view.recipe->name);
    figure_add(in, to, (figure_of){m, MW_NONE, in->hour}, "hours");
    grid_money(in, to, mould_money(postings, count, MW_NONE, m, MW_POST_KINDS));
    grid_money(in, to, mould_money(postings, count, MW_NONE, m, -1));
    figure_add(in, to, (figure_of){m, MW_NONE, in->day}, "waiting");
    figure_add(in, to, (figure_of){m, MW_NONE, MW_NONE}, "ready");
}

static void total_row(report *in, grid *to, const mw_posting *postings, uint32_t count)
{
    grid_text(in, to, mw_str_of("all"));
    double area = 0.0;
    uint32_t cell = MW_NONE;
    for (uint32_t m = 0; m < mw_job_mould_count(in->job); m++) {
        cell = mw_job_cell(in->job, m, MW_NONE, "area");
        area += cell == MW_NONE ? 0.0 : mw_sheet_value(mw_job_sheet(in->job), cell);
    }
    if (cell == MW_NONE) {
        grid_none(in, to);
    } else {
        grid_value(in, to, area, MW_TYPE_AREA, square(in));
    }
    grid_none(in, to);
    figure_total(in, to, "job.hours", MW_TYPE_LABOUR, in->hour);
    grid_money(in, to, mould_money(postings, count, MW_NONE, MW_NONE, MW_POST_KINDS));
    grid_money(in, to, mould_money(postings, count, MW_NONE, MW_NONE, -1));
    grid_none(in, to);
    figure_total(in, to, "job.ready", MW_TYPE_DATE, MW_UNIT_ONE);
    to->has_total = true;
}

static void week_note(report *in, double ready_s)
{
    if (!isfinite(ready_s)) {
        return;
    }
    mw_text text = {0};
    mw_text_adds(&text, "all ready ");
    mw_date_day_words(ready_s, &text);
    mw_text_adds(&text, ", week ");
    mw_date_week_words(ready_s, &text);
    mw_text_adds(&text, ", ");
    report_proof(in, report_take(in, &text));
}

static mw_status all_moulds(report *in)
{
    const mw_posting *postings;
    uint32_t count = 0;
    mw_status status = mw_job_postings(in->job, MW_NONE, &postings, &count, in->diags);
    if (status != MW_OK) {
        return status;
    }
    grid *to = report_grid(in, "moulds", NULL);
    columns_text(to, "name", "mould");
    columns_sum(to, "area", "area", 2, square(in));
    columns_text(to, "recipe", "recipe");
    to->columns[to->column_count - 1].spare = true;
    columns_sum(to, "hours", "hours", 1, MW_NONE);
    columns_money(in, to, "cost", "cost");
    columns_money(in, to, "price", "price");
    columns_value(to, "waiting", "waits", 1, in->day);
    columns_date(to, "ready", "ready");
    for (uint32_t m = 0; m < mw_job_mould_count(in->job); m++) {
        mould_row(in, to, m, postings, count);
    }
    total_row(in, to, postings, count);
    week_note(in, mw_job_total(in->job, "job.ready"));
    uint32_t misses = 0;
    (void)mw_job_misses(in->job, &misses);
    if (misses > 0) {
        report_note(in, true,
                    report_text(in, "%u window%s missed; `calendar` names %s", (unsigned)misses,
                                misses == 1 ? " is" : "s are", misses == 1 ? "it" : "them"));
    }
    const mw_warning_view *views = NULL;
    uint32_t warnings = 0;
    status = mw_job_warnings(in->job, MW_NONE, &views, &warnings);
    if (warnings > 0) {
        report_note(in, true,
                    report_text(in, "%u warning%s of the recipes; `cautions` tells %s",
                                (unsigned)warnings, warnings == 1 ? "" : "s",
                                warnings == 1 ? "it" : "them"));
    }
    return status;
}

/* Postings as a list. */
typedef struct posting_list {
    const mw_posting *items;
    uint32_t count;
} posting_list;

static void step_row(report *in, grid *to, uint32_t m, uint32_t step, posting_list postings)
{
    const mw_step_row *row = &mw_job_mould(in->job, m).recipe->steps[step];
    money_filter filter = {
        .asked = m, .mould = m, .step = step, .kind = MW_POST_KINDS, .by_step = true};
    grid_text(in, to, row->name);
    grid_text(in, to, row->trade);
    figure_add(in, to, (figure_of){m, step, in->hour}, "hours");
    grid_money(in, to, figure_money(postings.items, postings.count, &filter));
    figure_add(in, to, (figure_of){m, step, in->hour}, "waiting");
    figure_add(in, to, (figure_of){m, step, MW_NONE}, "start");
    figure_add(in, to, (figure_of){m, step, MW_NONE}, "end");
}

static mw_status one_mould(report *in, uint32_t m)
{
    const mw_posting *postings;
    uint32_t count = 0;
    mw_status status = mw_job_postings(in->job, m, &postings, &count, in->diags);
    if (status != MW_OK) {
        return status;
    }
    const mw_recipe *recipe = mw_job_mould(in->job, m).recipe;
    grid *to = report_grid(in, "steps", NULL);
    columns_text(to, "step", "step");
    columns_text(to, "trade", "trade");
    columns_sum(to, "hours", "hours", 1, MW_NONE);
    columns_money(in, to, "cost", "cost");
    columns_sum(to, "waiting", "waits", 1, in->hour);
    columns_date(to, "start", "start");
    columns_date(to, "end", "end");
    for (uint32_t step = 0; step < recipe->step_count; step++) {
        step_row(in, to, m, step, (posting_list){postings, count});
    }
    grid_text(in, to, mw_job_mould(in->job, m).name);
    grid_none(in, to);
    figure_add(in, to, (figure_of){m, MW_NONE, in->hour}, "hours");
    grid_money(in, to, mould_money(postings, count, m, m, MW_POST_KINDS));
    figure_add(in, to, (figure_of){m, MW_NONE, in->hour}, "waiting");
    figure_add(in, to, (figure_of){m, MW_NONE, MW_NONE}, "start");
    figure_add(in, to, (figure_of){m, MW_NONE, MW_NONE}, "ready");
    to->has_total = true;
    return MW_OK;
}

mw_status report_moulds(report *in, uint32_t mould)
{
    return mould == MW_NONE ? all_moulds(in) : one_mould(in, mould);
}
