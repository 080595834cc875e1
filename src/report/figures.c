/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figures.h"

#include <math.h>

#include "mouldwright/memory.h"

void figure_add(report *in, grid *to, figure_of of, const char *quantity)
{
    uint32_t cell = mw_job_cell(in->job, of.mould, of.step, quantity);
    if (cell == MW_NONE) {
        grid_none(in, to);
        return;
    }
    const mw_sheet *sheet = mw_job_sheet(in->job);
    grid_value(in, to, mw_sheet_value(sheet, cell), mw_sheet_type(sheet, cell),
               of.unit == MW_NONE ? mw_sheet_unit(sheet, cell) : of.unit);
}

void figure_total(report *in, grid *to, const char *name, mw_type type, mw_unit unit)
{
    grid_value(in, to, mw_job_total(in->job, name), type, unit);
}

bool figure_asked(uint32_t asked, uint32_t mould)
{
    return asked == MW_NONE || asked == mould;
}

static bool counts(const mw_posting *of, const money_filter *filter)
{
    if (!figure_asked(filter->asked, of->mould) ||
        (filter->mould != MW_NONE && filter->mould != of->mould) ||
        (filter->by_step && filter->step != of->step)) {
        return false;
    }
    if (filter->kind == (int)MW_POST_KINDS) {
        return of->kind < MW_POST_CONTINGENCY;
    }
    return filter->kind < 0 || filter->kind == (int)of->kind;
}

int64_t figure_money(const mw_posting *postings, uint32_t count, const money_filter *filter)
{
    int64_t sum = 0;
    for (uint32_t i = 0; i < count; i++) {
        sum += counts(&postings[i], filter) ? postings[i].minor : 0;
    }
    return sum;
}

uint32_t figure_step(const mw_job *job, uint32_t mould, mw_str name)
{
    const mw_recipe *recipe = mw_job_mould(job, mould).recipe;
    for (uint32_t i = 0; i < recipe->step_count; i++) {
        if (mw_str_equal(recipe->steps[i].name, name)) {
            return i;
        }
    }
    return MW_NONE;
}

static bool has_name(const step_names *names, mw_str name)
{
    for (uint32_t i = 0; i < names->count; i++) {
        if (mw_str_equal(names->items[i], name)) {
            return true;
        }
    }
    return false;
}

mw_status figure_steps(report *in, uint32_t asked, step_names *names)
{
    for (uint32_t m = 0; m < mw_job_mould_count(in->job); m++) {
        const mw_recipe *recipe = mw_job_mould(in->job, m).recipe;
        for (uint32_t i = 0; figure_asked(asked, m) && i < recipe->step_count; i++) {
            if (has_name(names, recipe->steps[i].name)) {
                continue;
            }
            void *items = names->items;
            if (!mw_memory_grow32(&items, &names->capacity, names->count + 1,
                                  sizeof *names->items)) {
                return MW_NO_MEMORY;
            }
            names->items = items;
            names->items[names->count++] = recipe->steps[i].name;
        }
    }
    return MW_OK;
}

/* ---- columns ---- */

void columns_text(grid *to, const char *key, const char *head)
{
    grid_column(to, &(column){.key = key, .head = head, .align = MW_LEFT, .unit = MW_NONE});
}

void columns_value(grid *to, const char *key, const char *head, int decimals, mw_unit unit)
{
    grid_column(
        to,
        &(column){.key = key, .head = head, .align = MW_RIGHT, .decimals = decimals, .unit = unit});
}

void columns_sum(grid *to, const char *key, const char *head, int decimals, mw_unit unit)
{
    grid_column(to, &(column){.key = key,
                              .head = head,
                              .align = MW_RIGHT,
                              .decimals = decimals,
                              .sums = true,
                              .unit = unit});
}

void columns_money(report *in, grid *to, const char *key, const char *head)
{
    grid_column(to, &(column){.key = key, .head = head, .align = MW_RIGHT, .unit = in->money});
}

void columns_date(grid *to, const char *key, const char *head)
{
    grid_column(to, &(column){.key = key, .head = head, .align = MW_RIGHT, .unit = MW_NONE});
}

mw_str figure_day(report *in, double moment_s)
{
    mw_text text = {0};
    mw_date_day_words(moment_s, &text);
    return report_take(in, &text);
}

void figure_moment(report *in, grid *to, double moment_s, bool with_day)
{
    if (in->style->json || !isfinite(moment_s)) {
        const double value = isfinite(moment_s) ? moment_s : mw_error_value(MW_CODE_NEVER);
        grid_value(in, to, value, MW_TYPE_DATE, MW_UNIT_ONE);
        return;
    }
    const double minutes = round(moment_s / 60.0);
    const int of_day = (int)(minutes - floor(minutes / 1440.0) * 1440.0);
    const mw_str day = with_day ? figure_day(in, moment_s) : mw_str_of("");
    grid_text(in, to,
              report_text(in, "%.*s%s%02d:%02d", (int)day.length, day.at, with_day ? " " : "",
                          of_day / 60, of_day % 60));
}

bool figure_is_due(double due_s)
{
    return due_s < 253402214400.0; /* 9999-12-31 says: no date */
}

bool figure_any_due(const report *in)
{
    bool any = false;
    for (uint32_t m = 0; m < mw_job_mould_count(in->job); m++) {
        any = any || figure_is_due(mw_job_value(in->job, m, MW_NONE, "due"));
    }
    return any;
}

void figure_lates(report *in, uint32_t asked)
{
    for (uint32_t m = 0; m < mw_job_mould_count(in->job); m++) {
        const double late_s = mw_job_value(in->job, m, MW_NONE, "late");
        const double due_s = mw_job_value(in->job, m, MW_NONE, "due");
        if (figure_asked(asked, m) && figure_is_due(due_s) && late_s > 0.0) {
            const mw_str name = mw_job_mould(in->job, m).name;
            const mw_str due = figure_day(in, due_s);
            const mw_str ready = figure_day(in, mw_job_value(in->job, m, MW_NONE, "ready"));
            report_note(in, true,
                        report_text(in, "%.*s is due %.*s, but ready %.*s: %.1f d late",
                                    (int)name.length, name.at, (int)due.length, due.at,
                                    (int)ready.length, ready.at, late_s / MW_DAY_S));
        }
    }
}
