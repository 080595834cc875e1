/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hours by step, by trade and by mould; and waiting, apart from work and from queueing. */
#include "figures.h"

#include "mouldwright/memory.h"

static double step_hours(const mw_job *job, uint32_t m, uint32_t step)
{
    return step == MW_NONE ? 0.0 : mw_job_value(job, m, step, "hours");
}

static void hours_total(report *in, grid *to, uint32_t asked)
{
    grid_text(in, to, mw_str_of("all"));
    if (asked == MW_NONE) {
        figure_total(in, to, "job.hours", MW_TYPE_LABOUR, in->hour);
    } else {
        figure_add(in, to, (figure_of){asked, MW_NONE, in->hour}, "hours");
    }
    to->has_total = true;
}

static mw_status by_step(report *in, uint32_t asked)
{
    step_names names = {0};
    mw_status status = figure_steps(in, asked, &names);
    grid *to = report_grid(in, "by_step", "by step");
    columns_text(to, "step", "step");
    columns_sum(to, "hours", "hours", 1, MW_NONE);
    for (uint32_t i = 0; i < names.count; i++) {
        double hours = 0.0;
        for (uint32_t m = 0; m < mw_job_mould_count(in->job); m++) {
            hours += figure_asked(asked, m)
                         ? step_hours(in->job, m, figure_step(in->job, m, names.items[i]))
                         : 0.0;
        }
        grid_text(in, to, names.items[i]);
        grid_value(in, to, hours, MW_TYPE_LABOUR, in->hour);
    }
    mw_memory_give(names.items);
    hours_total(in, to, asked);
    return status;
}

static double trade_hours(const mw_job *job, uint32_t asked, mw_str trade)
{
    double hours = 0.0;
    for (uint32_t m = 0; m < mw_job_mould_count(job); m++) {
        const mw_recipe *recipe = mw_job_mould(job, m).recipe;
        for (uint32_t s = 0; figure_asked(asked, m) && s < recipe->step_count; s++) {
            bool of_trade = trade.length ? mw_same_name(recipe->steps[s].trade, trade)
                                         : recipe->steps[s].trade.length == 0;
            hours += of_trade ? step_hours(job, m, s) : 0.0;
        }
    }
    return hours;
}

static void by_trade(report *in, uint32_t asked)
{
    const mw_shop *shop = mw_job_shop(in->job);
    grid *to = report_grid(in, "by_trade", "by trade");
    columns_text(to, "trade", "trade");
    columns_sum(to, "hours", "hours", 1, MW_NONE);
    for (uint32_t i = 0; shop && i < shop->trade_count; i++) {
        double hours = trade_hours(in->job, asked, shop->trades[i].name);
        if (hours != 0.0) {
            grid_text(in, to, shop->trades[i].name);
            grid_value(in, to, hours, MW_TYPE_LABOUR, in->hour);
        }
    }
    double others = trade_hours(in->job, asked, mw_str_of(""));
    if (others != 0.0) {
        grid_text(in, to, mw_str_of("no trade"));
        grid_value(in, to, others, MW_TYPE_LABOUR, in->hour);
    }
    hours_total(in, to, asked);
}

static void by_mould(report *in)
{
    grid *to = report_grid(in, "by_mould", "by mould");
    columns_text(to, "mould", "mould");
    columns_sum(to, "hours", "hours", 1, MW_NONE);
    for (uint32_t m = 0; m < mw_job_mould_count(in->job); m++) {
        grid_text(in, to, mw_job_mould(in->job, m).name);
        figure_add(in, to, (figure_of){m, MW_NONE, in->hour}, "hours");
    }
    hours_total(in, to, MW_NONE);
}

mw_status report_hours(report *in, uint32_t mould)
{
    mw_status status = by_step(in, mould);
    by_trade(in, mould);
    if (mould == MW_NONE) {
        by_mould(in);
    }
    return status;
}

/* ---- waiting ---- */

mw_status report_waits(report *in, uint32_t asked)
{
    grid *to = report_grid(in, "waits", NULL);
    columns_text(to, "mould", "mould");
    columns_text(to, "step", "step");
    columns_sum(to, "waiting", "waiting", 1, in->hour);
    columns_sum(to, "queueing", "queueing", 1, in->hour);
    columns_date(to, "start", "start");
    columns_date(to, "end", "end");
    double waiting = 0.0;
    double queueing = 0.0;
    for (uint32_t m = 0; m < mw_job_mould_count(in->job); m++) {
        const mw_mould_view view = mw_job_mould(in->job, m);
        for (uint32_t s = 0; figure_asked(asked, m) && s < view.recipe->step_count; s++) {
            double wait = mw_job_value(in->job, m, s, "waiting");
            double queue = mw_job_value(in->job, m, s, "queueing");
            if (wait == 0.0 && queue == 0.0) {
                continue;
            }
            waiting += wait;
            queueing += queue;
            grid_text(in, to, view.name);
            grid_text(in, to, view.recipe->steps[s].name);
            figure_add(in, to, (figure_of){m, s, in->hour}, "waiting");
            figure_add(in, to, (figure_of){m, s, in->hour}, "queueing");
            figure_add(in, to, (figure_of){m, s, MW_NONE}, "start");
            figure_add(in, to, (figure_of){m, s, MW_NONE}, "end");
        }
    }
    grid_text(in, to, mw_str_of("all"));
    grid_none(in, to);
    grid_value(in, to, waiting, MW_TYPE_TIME, in->hour);
    grid_value(in, to, queueing, MW_TYPE_TIME, in->hour);
    grid_none(in, to);
    grid_none(in, to);
    to->has_total = true;
    report_note(in, false,
                mw_str_of("waiting: until it has gelled, cured or dried, on the clock; queueing: "
                          "for people or machines. Work is neither: see `hours`."));
    return MW_OK;
}
