/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The calendar: each session on the shop's shifts, ready dates, windows that are missed. */
#include "figures.h"
#include "proof.h"

#include <math.h>

static mw_str moment_text(report *in, double moment_s, bool with_day)
{
    if (!isfinite(moment_s)) {
        return mw_str_of("never");
    }
    mw_text text = {0};
    if (with_day) {
        mw_date_day_words(moment_s, &text);
        mw_text_addc(&text, ' ');
    }
    double minutes = round(moment_s / 60.0);
    int of_day = (int)(minutes - floor(minutes / 1440.0) * 1440.0);
    mw_text_addf(&text, "%02d:%02d", of_day / 60, of_day % 60);
    return report_take(in, &text);
}

static mw_str week_text(report *in, double moment_s)
{
    mw_text text = {0};
    if (isfinite(moment_s)) {
        mw_date_week_words(moment_s, &text);
    }
    return report_take(in, &text);
}

static bool same_day(double a_s, double b_s)
{
    return floor(a_s / MW_DAY_S) == floor(b_s / MW_DAY_S);
}

static const char *weekday_word(double moment_s)
{
    static const char *const days[] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
    return days[mw_day_weekday((int32_t)floor(moment_s / MW_DAY_S)) - 1];
}

/* `Mon 01-11 07:30`: the year stands in the table below. */
static mw_str start_text(report *in, double moment_s)
{
    if (!isfinite(moment_s)) {
        return mw_str_of("never");
    }
    mw_date date = mw_date_of_day((int32_t)floor(moment_s / MW_DAY_S));
    mw_str time = moment_text(in, moment_s, false);
    return report_text(in, "%s %02d-%02d %.*s", weekday_word(moment_s), date.month, date.day,
                       (int)time.length, time.at);
}

/* `08:48` on the same day, `Tue 08:48` within a week of `from_s`, else `03-29 08:48`. */
static mw_str later_text(report *in, double from_s, double moment_s)
{
    mw_str time = moment_text(in, moment_s, false);
    if (!isfinite(moment_s) || same_day(from_s, moment_s)) {
        return time;
    }
    if (moment_s - from_s > 6.0 * MW_DAY_S) {
        mw_date date = mw_date_of_day((int32_t)floor(moment_s / MW_DAY_S));
        return report_text(in, "%02d-%02d %.*s", date.month, date.day, (int)time.length, time.at);
    }
    return report_text(in, "%s %.*s", weekday_word(moment_s), (int)time.length, time.at);
}

static void moment_field(report *in, grid *to, double from_s, double moment_s)
{
    if (in->style->json) {
        double value = isfinite(moment_s) ? moment_s : mw_error_value(MW_CODE_NEVER);
        grid_value(in, to, value, MW_TYPE_DATE, MW_UNIT_ONE);
    } else {
        bool first = isnan(from_s);
        grid_text(in, to, first ? start_text(in, moment_s) : later_text(in, from_s, moment_s));
    }
}

static void session_row(report *in, grid *to, const mw_session *of)
{
    const mw_mould_view view = mw_job_mould(in->job, of->mould);
    mw_str step = view.recipe->steps[of->step].name;
    mw_str week = week_text(in, of->start_s);
    bool short_week = !in->style->json && week.length > 5;
    grid_text(in, to, short_week ? (mw_str){week.at + 5, week.length - 5} : week);
    moment_field(in, to, (double)NAN, of->start_s);
    moment_field(in, to, of->start_s, of->end_s);
    grid_text(in, to, view.name);
    if (of->of > 1 && !in->style->json) {
        grid_text(in, to,
                  report_text(in, "%.*s %u/%u", (int)step.length, step.at, (unsigned)of->number,
                              (unsigned)of->of));
    } else if (of->done && !in->style->json) {
        grid_text(in, to, report_text(in, "%.*s, done", (int)step.length, step.at));
    } else {
        grid_text(in, to, step);
    }
    if (in->style->json) {
        grid_value(in, to, of->number, MW_TYPE_NUMBER, MW_UNIT_ONE);
        grid_value(in, to, of->of, MW_TYPE_NUMBER, MW_UNIT_ONE);
    }
    grid_value(in, to, of->crew, MW_TYPE_NUMBER, MW_UNIT_ONE);
    if (of->wait_until_s > of->end_s + 60.0 || in->style->json) {
        moment_field(in, to, of->end_s, of->wait_until_s);
    } else {
        grid_none(in, to);
    }
}

static void sessions(report *in, uint32_t asked)
{
    uint32_t count = 0;
    const mw_session *list = mw_job_sessions(in->job, &count);
    grid *to = report_grid(in, "sessions", NULL);
    columns_text(to, "week", "week");
    columns_date(to, "start", "from");
    columns_date(to, "end", "until");
    columns_text(to, "mould", "mould");
    columns_text(to, "step", "step");
    if (in->style->json) {
        columns_value(to, "number", "", 0, MW_NONE);
        columns_value(to, "of", "", 0, MW_NONE);
    }
    columns_value(to, "crew", "crew", 0, MW_NONE);
    columns_date(to, "waits_until", "then waits");
    for (uint32_t i = 0; i < count; i++) {
        if (figure_asked(asked, list[i].mould)) {
            session_row(in, to, &list[i]);
        }
    }
}

static void due_fields(report *in, grid *to, uint32_t mould)
{
    const double due_s = mw_job_value(in->job, mould, MW_NONE, "due");
    if (figure_is_due(due_s)) {
        grid_value(in, to, due_s, MW_TYPE_DATE, MW_UNIT_ONE);
        figure_add(in, to, (figure_of){mould, MW_NONE, in->day}, "late");
    } else {
        grid_none(in, to);
        grid_none(in, to);
    }
}

static void ready_dates(report *in, uint32_t asked)
{
    grid *to = report_grid(in, "ready", "ready");
    columns_text(to, "mould", "mould");
    columns_date(to, "ready", "ready");
    columns_text(to, "week", "week");
    const bool due = figure_any_due(in);
    if (due) {
        columns_date(to, "due", "due");
        columns_value(to, "late", "late", 1, in->day);
    }
    for (uint32_t m = 0; m < mw_job_mould_count(in->job); m++) {
        if (figure_asked(asked, m)) {
            grid_text(in, to, mw_job_mould(in->job, m).name);
            figure_add(in, to, (figure_of){m, MW_NONE, MW_NONE}, "ready");
            grid_text(in, to, week_text(in, mw_job_value(in->job, m, MW_NONE, "ready")));
            if (due) {
                due_fields(in, to, m);
            }
        }
    }
    if (asked == MW_NONE) {
        grid_text(in, to, mw_str_of("all"));
        figure_total(in, to, "job.ready", MW_TYPE_DATE, MW_UNIT_ONE);
        grid_text(in, to, week_text(in, mw_job_total(in->job, "job.ready")));
        for (int i = 0; due && i < 2; i++) {
            grid_none(in, to);
        }
        to->has_total = true;
    }
}

static void missed(report *in, uint32_t asked)
{
    uint32_t count = 0;
    const mw_window_miss *list = mw_job_misses(in->job, &count);
    for (uint32_t i = 0; i < count; i++) {
        const mw_window_miss *of = &list[i];
        if (!figure_asked(asked, of->mould)) {
            continue;
        }
        const mw_mould_view view = mw_job_mould(in->job, of->mould);
        mw_str early = view.recipe->steps[of->early].name;
        mw_str late = view.recipe->steps[of->late].name;
        mw_str until = moment_text(in, of->until_s, true);
        mw_str ends = moment_text(in, of->ends_s, true);
        report_note(
            in, true,
            report_text(in,
                        "on %.*s, %.*s must be covered by %.*s by %.*s, but that ends %.*s: "
                        "longer shift, more hands, slower hardener, a cooler room, or "
                        "split the area; else scuff and lose the day",
                        (int)view.name.length, view.name.at, (int)early.length, early.at,
                        (int)late.length, late.at, (int)until.length, until.at, (int)ends.length,
                        ends.at));
    }
}

/* What can be done about a step that never comes about. */
static void report_nevers(report *in, uint32_t asked)
{
    uint32_t count = 0;
    const mw_never *list = mw_job_nevers(in->job, &count);
    for (uint32_t i = 0; i < count; i++) {
        if (figure_asked(asked, list[i].mould)) {
            mw_text text = {0};
            mw_job_never_words(in->job, &list[i], &text);
            mw_text_adds(&text, list[i].lacking.length
                                    ? ": fewer at a time, or more of them in the shop"
                                    : ": more hands, more sessions, or a longer shift");
            report_note(in, true, report_take(in, &text));
        }
    }
}

mw_status report_calendar(report *in, uint32_t mould)
{
    sessions(in, mould);
    ready_dates(in, mould);
    report_nevers(in, mould);
    missed(in, mould);
    figure_lates(in, mould);
    report_proof(in, mw_str_of("the plan: "));
    return MW_OK;
}
