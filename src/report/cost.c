/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cost and price: groupings of the same postings, so that parts add up to the minor unit. */
#include "figures.h"
#include "reply.h"

#include <math.h>

#include "mouldwright/memory.h"

static const struct {
    int kind;
    const char *key;
    const char *head;
} kinds[] = {{MW_POST_MATERIAL, "material", "material"},
             {MW_POST_LABOUR, "labour", "labour"},
             {MW_POST_MACHINE, "machine", "machine"},
             {MW_POST_ENERGY, "energy", "energy"},
             {MW_POST_OUTSIDE, "outside", "outside"},
             {MW_POST_OVERHEAD, "overhead", "overhead"},
             {MW_POST_KINDS, "cost", "cost"},
             {MW_POST_CONTINGENCY, "contingency", "reserve"},
             {MW_POST_MARKUP, "markup", "mark-up"},
             {MW_POST_MARGIN, "margin", "margin"},
             {-1, "price", "price"}};

enum { KIND_COUNT = sizeof kinds / sizeof *kinds, COST_KINDS = 7 };

/* A run of the kinds above. */
typedef struct kind_run {
    size_t from, count;
} kind_run;

static const kind_run cost_run = {0, COST_KINDS};
static const kind_run price_run = {COST_KINDS - 1, KIND_COUNT - COST_KINDS + 1};

typedef struct money_list {
    const mw_posting *items;
    uint32_t count;
    uint32_t asked;
} money_list;

/* Kinds of which there is nothing in the whole report are left out on the screen. */
static bool shown(const report *in, const money_list *list, size_t i)
{
    money_filter filter = {.asked = list->asked, .mould = MW_NONE, .kind = kinds[i].kind};
    bool always = kinds[i].kind == (int)MW_POST_KINDS || kinds[i].kind < 0 || in->style->json;
    return always || figure_money(list->items, list->count, &filter) != 0;
}

static void kind_columns(report *in, grid *to, const money_list *list, kind_run run)
{
    for (size_t i = run.from; i < run.from + run.count; i++) {
        if (shown(in, list, i)) {
            columns_money(in, to, kinds[i].key, kinds[i].head);
            to->columns[to->column_count - 1].unit = MW_NONE;
        }
    }
}

static void kind_fields(report *in, grid *to, const money_list *list, money_filter filter,
                        kind_run run)
{
    for (size_t i = run.from; i < run.from + run.count; i++) {
        filter.kind = kinds[i].kind;
        if (shown(in, list, i)) {
            grid_money(in, to, figure_money(list->items, list->count, &filter));
        }
    }
}

static void by_mould(report *in, const money_list *list, kind_run run, grid *to)
{
    columns_text(to, "mould", "mould");
    kind_columns(in, to, list, run);
    for (uint32_t m = 0; m < mw_job_mould_count(in->job); m++) {
        if (figure_asked(list->asked, m)) {
            grid_text(in, to, mw_job_mould(in->job, m).name);
            kind_fields(in, to, list, (money_filter){.asked = list->asked, .mould = m}, run);
        }
    }
    grid_text(in, to, mw_str_of("all"));
    kind_fields(in, to, list, (money_filter){.asked = list->asked, .mould = MW_NONE}, run);
    to->has_total = true;
}

/* The postings of a step of that name, over the moulds asked for. */
static void step_fields(report *in, grid *to, const money_list *list, mw_str name)
{
    for (size_t i = 0; i < COST_KINDS; i++) {
        int64_t sum = 0;
        if (!shown(in, list, i)) {
            continue;
        }
        for (uint32_t m = 0; m < mw_job_mould_count(in->job); m++) {
            uint32_t step = figure_step(in->job, m, name);
            money_filter filter = {.asked = list->asked,
                                   .mould = m,
                                   .step = step,
                                   .kind = kinds[i].kind,
                                   .by_step = true};
            sum += step == MW_NONE ? 0 : figure_money(list->items, list->count, &filter);
        }
        grid_money(in, to, sum);
    }
}

static mw_status by_step(report *in, const money_list *list)
{
    step_names names = {0};
    mw_status status = figure_steps(in, list->asked, &names);
    grid *to = report_grid(in, "by_step", "by step");
    columns_text(to, "step", "step");
    kind_columns(in, to, list, cost_run);
    for (uint32_t i = 0; i < names.count; i++) {
        grid_text(in, to, names.items[i]);
        step_fields(in, to, list, names.items[i]);
    }
    grid_text(in, to, mw_str_of("all"));
    kind_fields(in, to, list, (money_filter){.asked = list->asked, .mould = MW_NONE}, cost_run);
    to->has_total = true;
    mw_memory_give(names.items);
    return status;
}

static void total_row(report *in, grid *to, const char *name, const char *global)
{
    int64_t minor = 0;
    grid_text(in, to, mw_str_of(name));
    if (mw_money_minor(mw_job_total(in->job, global), in->digits, &minor)) {
        grid_money(in, to, minor);
    } else {
        grid_none(in, to);
    }
}

/* What `pricing` tells one by one. */
static void on_top_row(report *in, grid *to)
{
    int64_t price = 0;
    int64_t offer = 0;
    if (mw_money_minor(mw_job_total(in->job, "job.price"), in->digits, &price) &&
        mw_money_minor(mw_job_total(in->job, "job.offer"), in->digits, &offer) && price != offer) {
        grid_text(in, to, mw_str_of("left over, discount, rounding"));
        grid_money(in, to, offer - price);
    }
}

static void of_job(report *in)
{
    grid *to = report_grid(in, "job", "the job");
    columns_text(to, "what", "");
    columns_money(in, to, "amount", "");
    total_row(in, to, "price of all moulds", "job.price");
    on_top_row(in, to);
    total_row(in, to, "tax", "job.tax");
    total_row(in, to, "price with tax", "job.total");
    to->has_total = true;
    int64_t left = 0;
    if (mw_money_minor(mw_job_total(in->job, "job.left_over_cost"), in->digits, &left)) {
        mw_text worth = {0};
        mw_text_adds(&worth, "left over from whole packs: worth ");
        mw_money_words(left, in->digits, ' ', &worth);
        mw_text_addf(&worth, " %s, in no mould's cost", in->currency);
        report_note(in, false, report_take(in, &worth));
    }
}

mw_status report_cost(report *in, uint32_t mould)
{
    money_list list = {.asked = mould};
    mw_status status = mw_job_postings(in->job, mould, &list.items, &list.count, in->diags);
    if (status != MW_OK) {
        return status;
    }
    const char *title = report_text(in, "cost by mould, %s", in->currency).at;
    by_mould(in, &list, cost_run, report_grid(in, "by_mould", title));
    by_mould(in, &list, price_run, report_grid(in, "price_by_mould", "price by mould"));
    status = by_step(in, &list);
    if (mould == MW_NONE && mw_job_shop(in->job)) {
        of_job(in);
    }
    return status;
}

/* ---- cautions ---- */

/* Conditions of recipes that hold, as warnings. */
static mw_status add_conditions(report *in, uint32_t mould)
{
    const mw_warning_view *views = NULL;
    uint32_t count = 0;
    const mw_status status = mw_job_warnings(in->job, mould, &views, &count);
    for (uint32_t i = 0; status == MW_OK && i < count; i++) {
        mw_text text = {0};
        reply_warning_words(&views[i], &text);
        report_note(in, true, report_take(in, &text));
    }
    return status;
}

mw_status report_cautions(report *in, uint32_t mould)
{
    const mw_caution_view *views;
    uint32_t count = 0;
    mw_status status = mw_job_cautions(in->job, mould, &views, &count, in->diags);
    if (status != MW_OK) {
        return status;
    }
    if (in->style->json) {
        grid *to = report_grid(in, "cautions", NULL);
        columns_text(to, "caution", "");
        columns_text(to, "text", "");
        columns_text(to, "where", "");
        columns_text(to, "see", "");
        for (uint32_t i = 0; i < count; i++) {
            grid_text(in, to, views[i].caution->word);
            grid_text(in, to, views[i].caution->text);
            grid_text(in, to,
                      report_text(in, "%.*s", (int)views[i].where.length, views[i].where.at));
            grid_text(in, to, views[i].caution->defer);
        }
    }
    for (uint32_t i = 0; !in->style->json && i < count; i++) {
        const mw_caution *of = views[i].caution;
        report_note(in, false,
                    report_text(in, "%.*s: %.*s  Where: %.*s. Ask: %.*s", (int)of->word.length,
                                of->word.at, (int)of->text.length, of->text.at,
                                (int)views[i].where.length, views[i].where.at,
                                (int)of->defer.length, of->defer.at));
    }
    report_note(in, false,
                mw_str_of("These are the usual cautions, not all of them. Data sheets, local rules "
                          "and qualified people go before anything said here. No figure of this "
                          "program releases a part to fly, float or lift."));
    return add_conditions(in, mould);
}
