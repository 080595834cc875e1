/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The roster of a day or a week: who works where on what, and what cures in the night after it. */
#include <math.h>

#include "figures.h"

typedef struct days {
    report *in;
    int32_t first, last; /* days */
    int32_t at;          /* the one whose rows are made */
} days;

static void day_field(report *in, grid *to, int32_t day)
{
    if (in->style->json) {
        grid_value(in, to, day * MW_DAY_S, MW_TYPE_DATE, MW_UNIT_ONE);
    } else {
        grid_text(in, to, figure_day(in, day * MW_DAY_S));
    }
}

/* The part of a session that falls on a day, as its people or machine work; false: none. */
static bool clip(const mw_session *of, const mw_calendar *shift, int32_t day, double *from_s,
                 double *until_s)
{
    double begin_s = fmax(of->start_s, day * MW_DAY_S);
    double end_s = fmin(of->end_s, (day + 1) * MW_DAY_S);
    if (!(begin_s < end_s) || !(mw_calendar_amount(shift, begin_s, end_s) > 1.0)) {
        return false;
    }
    *from_s = mw_calendar_open(shift, begin_s);
    *until_s = mw_calendar_rate(shift, end_s - 0.5) > 0.0
                   ? end_s
                   : mw_calendar_retreat(shift, end_s, 0.5) + 0.5;
    return true;
}

static void work_row(const days *d, grid *to, const mw_resource_view *who, const mw_plan_need *need,
                     const mw_session *of)
{
    const int32_t day = d->at;
    double from_s;
    double until_s;
    if (!clip(of, who->shift, day, &from_s, &until_s)) {
        return;
    }
    const mw_mould_view view = mw_job_mould(d->in->job, of->mould);
    day_field(d->in, to, day);
    grid_text(d->in, to, who->name);
    grid_value(d->in, to, need->amount, MW_TYPE_NUMBER, MW_UNIT_ONE);
    figure_moment(d->in, to, from_s, false);
    figure_moment(d->in, to, until_s, false);
    grid_text(d->in, to, view.name);
    grid_text(d->in, to, view.recipe->steps[of->step].name);
}

static void day_rows(const days *d, grid *to)
{
    uint32_t count = 0;
    const mw_session *list = mw_job_sessions(d->in->job, &count);
    for (uint32_t r = 0; r < mw_job_resource_count(d->in->job); r++) {
        mw_resource_view who = mw_job_resource(d->in->job, r);
        for (uint32_t i = 0; i < count; i++) {
            const mw_plan_need *holds = mw_job_holds(d->in->job, &list[i]);
            for (uint32_t k = 0; k < list[i].hold_count; k++) {
                if (holds[k].resource == r) {
                    work_row(d, to, &who, &holds[k], &list[i]);
                }
            }
        }
    }
}

static void night_rows(const days *d, grid *to, int32_t day)
{
    uint32_t count = 0;
    double midnight_s = (day + 1) * MW_DAY_S;
    const mw_session *list = mw_job_sessions(d->in->job, &count);
    for (uint32_t i = 0; i < count; i++) {
        const mw_session *of = &list[i];
        if (!(of->end_s <= midnight_s && midnight_s < of->wait_until_s) ||
            !isfinite(of->wait_until_s)) {
            continue;
        }
        const mw_mould_view view = mw_job_mould(d->in->job, of->mould);
        day_field(d->in, to, day);
        grid_text(d->in, to, view.name);
        grid_text(d->in, to, view.recipe->steps[of->step].name);
        figure_moment(d->in, to, of->end_s, true);
        figure_moment(d->in, to, of->wait_until_s, true);
    }
}

static mw_status write_days(days *d)
{
    grid *to = report_grid(d->in, "work", NULL);
    columns_text(to, "day", "day");
    columns_text(to, "who", "who");
    columns_value(to, "count", "count", 0, MW_NONE);
    columns_date(to, "from", "from");
    columns_date(to, "until", "until");
    columns_text(to, "mould", "mould");
    columns_text(to, "step", "step");
    for (d->at = d->first; d->at <= d->last; d->at++) {
        day_rows(d, to);
    }
    bool idle = to->field_count == 0;
    grid *night = report_grid(d->in, "nights", "cures overnight");
    columns_text(night, "night", "night after");
    columns_text(night, "mould", "mould");
    columns_text(night, "step", "step");
    columns_date(night, "since", "since");
    columns_date(night, "until", "until");
    for (int32_t day = d->first; day <= d->last; day++) {
        night_rows(d, night, day);
    }
    to->only = idle && !d->in->style->json ? GRID_JSON : GRID_EVERYWHERE;
    night->only = night->field_count == 0 && !d->in->style->json ? GRID_JSON : GRID_EVERYWHERE;
    if (idle) {
        report_note(d->in, false, mw_str_of("nobody works on this job then"));
    }
    return MW_OK;
}

/* `2027-W05` as a Monday; false: it is no week. */
static bool read_week(mw_str text, int32_t *monday)
{
    int numbers[2] = {0, 0};
    if (text.length != 8 || text.at[4] != '-' || text.at[5] != 'W') {
        return false;
    }
    for (size_t i = 0; i < 8; i++) {
        bool digit = text.at[i] >= '0' && text.at[i] <= '9';
        if (i != 4 && i != 5 && !digit) {
            return false;
        }
        int *number = &numbers[i > 5];
        *number = i == 4 || i == 5 ? *number : *number * 10 + (text.at[i] - '0');
    }
    return mw_week_day(numbers[0], numbers[1], monday);
}

mw_status report_roster(report *in, const mw_request *request)
{
    const mw_str given = request->argument;
    int32_t monday = 0;
    double moment_s = 0.0;
    bool exists = false;
    if (read_week(given, &monday)) {
        return write_days(&(days){in, monday, monday + 6, monday});
    }
    const size_t used = mw_date_read(given, &moment_s, &exists);
    if (used > 0 && used == given.length && exists) {
        const int32_t day = (int32_t)floor(moment_s / MW_DAY_S);
        return write_days(&(days){in, day, day, day});
    }
    mw_diag *diag =
        given.length == 0
            ? mw_diags_error(in->diags, MW_CODE_BAD_DATE, request->argument_at,
                             "a day or a week is expected here")
            : mw_diags_error(in->diags, MW_CODE_BAD_DATE, request->argument_at,
                             "`%.*s` is no day and no week", (int)given.length, given.at);
    mw_diag_try(in->diags, diag, "roster 2027-02-03, or roster 2027-W05");
    return MW_FAILED;
}
