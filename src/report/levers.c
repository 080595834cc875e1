/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The answer to `levers`: what would keep each window that is missed, what would bring the last date forward most. */
#include "mouldwright/job_levers.h"

#include <math.h>

#include "figures.h"

/* The amount of a lever, in words: `30 min`, `2 more`, `15 %`, `1.5 K`, `3 parts`. */
static mw_str amount_words(report *in, mw_lever_kind kind, double amount)
{
    switch (kind) {
    case MW_LEVER_SHIFT:
        return report_text(in, "%d:%02d h", (int)(amount / 3600.0), (int)(amount / 60.0) % 60);
    case MW_LEVER_PEOPLE:
    case MW_LEVER_HAND:
    case MW_LEVER_MACHINE:
        return report_text(in, "%.0f", amount);
    case MW_LEVER_FASTER:
    case MW_LEVER_HARDENER:
        return report_text(in, "%.0f %%", amount * 100.0);
    case MW_LEVER_COLDER:
    case MW_LEVER_WARMER:
    case MW_LEVER_NIGHT:
        return report_text(in, "%.1f K", amount);
    case MW_LEVER_SPLIT:
        return amount > 1.0 ? report_text(in, "%.0f parts", amount) : mw_str_of("the whole");
    case MW_LEVER_EVENING:
        return mw_str_of("");
    }
    return mw_str_of("");
}

static mw_str lever_words(report *in, mw_lever_kind kind, mw_str who)
{
    const int length = (int)who.length;
    switch (kind) {
    case MW_LEVER_SHIFT:
        return report_text(in, "longer `%.*s`", length, who.at);
    case MW_LEVER_PEOPLE:
        return report_text(in, "more `%.*s`", length, who.at);
    case MW_LEVER_FASTER:
        return mw_str_of("faster crew");
    case MW_LEVER_HARDENER:
        return mw_str_of("slower hardener");
    case MW_LEVER_COLDER:
        return mw_str_of("colder room");
    case MW_LEVER_WARMER:
        return mw_str_of("warmer room");
    case MW_LEVER_SPLIT:
        return mw_str_of("split area");
    case MW_LEVER_HAND:
    case MW_LEVER_MACHINE:
        return report_text(in, "one more `%.*s`", length, who.at);
    case MW_LEVER_EVENING:
        return report_text(in, "a second shift after `%.*s`", length, who.at);
    case MW_LEVER_NIGHT:
        return mw_str_of("nights warmer by 5 K");
    }
    return mw_str_of("");
}

static const char *lever_word(mw_lever_kind kind)
{
    static const char *const words[] = {
        [MW_LEVER_SHIFT] = "longer_shift",       [MW_LEVER_PEOPLE] = "more_people",
        [MW_LEVER_FASTER] = "faster_crew",       [MW_LEVER_HARDENER] = "slower_hardener",
        [MW_LEVER_COLDER] = "colder_room",       [MW_LEVER_WARMER] = "warmer_room",
        [MW_LEVER_SPLIT] = "split_area",         [MW_LEVER_HAND] = "one_more_of_trade",
        [MW_LEVER_MACHINE] = "one_more_machine", [MW_LEVER_EVENING] = "second_shift",
        [MW_LEVER_NIGHT] = "warmer_nights"};
    return words[kind];
}

static void add_lever(report *in, grid *to, mw_lever_kind kind, mw_str who)
{
    if (in->style->json) {
        grid_text(in, to, mw_str_of(lever_word(kind)));
        grid_text(in, to, who);
    } else {
        grid_text(in, to, lever_words(in, kind, who));
    }
}

static void lever_columns(const report *in, grid *to)
{
    columns_text(to, "lever", "lever");
    if (in->style->json) {
        columns_text(to, "who", "");
    }
}

static void cures(report *in, const mw_levers *of)
{
    grid *to = report_grid(in, "windows", "what would keep a window that is missed, each alone");
    columns_text(to, "mould", "mould");
    columns_text(to, "window", "window");
    lever_columns(in, to);
    columns_text(to, "least", "least that helps");
    columns_text(to, "missed_with", "missed with");
    for (uint32_t i = 0; i < of->cure_count; i++) {
        const mw_cure_lever *row = &of->cures[i];
        const mw_mould_view view = mw_job_mould(in->job, row->miss.mould);
        const mw_str early = view.recipe->steps[row->miss.early].name;
        const mw_str late = view.recipe->steps[row->miss.late].name;
        grid_text(in, to, view.name);
        grid_text(in, to,
                  report_text(in, "%.*s to %.*s", (int)early.length, early.at, (int)late.length,
                              late.at));
        add_lever(in, to, row->kind, row->who);
        const mw_str amount = amount_words(in, row->kind, row->amount);
        if (row->helps) {
            grid_text(in, to, amount);
            grid_text(in, to, amount_words(in, row->kind, row->below));
        } else {
            grid_text(in, to, mw_str_of("none"));
            grid_text(in, to, report_text(in, "up to %.*s", (int)amount.length, amount.at));
        }
    }
    to->only = of->cure_count == 0 && !in->style->json ? GRID_JSON : GRID_EVERYWHERE;
}

static const char *proof_of(const mw_gain_lever *row)
{
    if (!(row->gain_s > 0.0)) {
        return "none found";
    }
    return row->proven ? "proven" : "unproven";
}

static void gains(report *in, const mw_levers *of)
{
    grid *to = report_grid(in, "gains", "what would bring the last date forward, each alone");
    lever_columns(in, to);
    columns_date(to, "ready", "all ready");
    columns_value(to, "earlier", "earlier", 1, in->day);
    columns_text(to, "gain", "gain");
    for (uint32_t i = 0; i < of->gain_count; i++) {
        const mw_gain_lever *row = &of->gains[i];
        const bool ever = isfinite(row->last_s);
        add_lever(in, to, row->kind, row->who);
        grid_value(in, to, ever ? row->last_s : mw_error_value(MW_CODE_NEVER), MW_TYPE_DATE,
                   MW_UNIT_ONE);
        if (isfinite(row->gain_s)) {
            grid_value(in, to, row->gain_s, MW_TYPE_TIME, in->day);
        } else {
            grid_none(in, to);
        }
        grid_text(in, to, mw_str_of(proof_of(row)));
    }
}

static void remarks(report *in, const mw_levers *of)
{
    if (isfinite(of->last_s) && isfinite(of->bound_s) && of->bound_s <= of->last_s) {
        const mw_str last = figure_day(in, of->last_s);
        const double gap_d = fmax(0.0, of->last_s - of->bound_s) / MW_DAY_S;
        report_note(in, false,
                    report_text(in,
                                "without any, at the same budget: %.*s, which a better plan could "
                                "beat by %.1f d at most; a gain that is not greater is unproven",
                                (int)last.length, last.at, gap_d));
    }
    if (of->cure_count > 0) {
        report_note(in, false,
                    mw_str_of("each amount was planned, and the next smaller one, with which the "
                              "window is missed; hardener and temperature: data sheets rule"));
    }
}

mw_status mw_report_levers(mw_job *job, const mw_request *request, mw_text *out, mw_diags *diags)
{
    mw_levers of;
    report made;
    if (request->argument.length > 0) {
        mw_diags_error(diags, MW_CODE_SYNTAX, request->argument_at,
                       "`levers` is of all moulds together, nothing follows it");
        return MW_FAILED;
    }
    mw_status status = mw_job_levers(job, &of, diags);
    if (status == MW_OK) {
        status = report_start(&made, job, request, diags);
        if (status == MW_OK) {
            cures(&made, &of);
            gains(&made, &of);
            remarks(&made, &of);
            status = report_write(&made, out);
        }
        report_end(&made);
    }
    return status;
}
