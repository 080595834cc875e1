/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The ballpark of one mould, beside the jobs of the folder. */
#include "figures.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "mouldwright/draft.h"
#include "mouldwright/file.h"

/* So many jobs are estimated; further ones are only counted. */
#define JOBS_MAX 60

/* What one row says, in SI; NaN where there is none. */
typedef struct row {
    double area_m2; /* of all moulds, each as often as it is made */
    double hours_s;
    double waiting_s;
    double spent_s; /* from the start to the last mould */
    double cost, price;
    bool other_money; /* in another currency: left out */
} row;

/* The report while rows are gathered. */
typedef struct ballpark {
    report made;
    grid *to;
    mw_unit square, week, per_area, money_per_area;
    mw_type type_per_area, type_money, type_money_per_area;
    uint32_t jobs, left_out;
    mw_str own; /* file of the job itself: it is shown as it stands in the session */
    const mw_job_options *options;
} ballpark;

static double of_mould(const mw_job *job, uint32_t mould, const char *quantity)
{
    double value = mw_job_value(job, mould, MW_NONE, quantity);
    return isfinite(value) ? value : 0.0;
}

static row measure_job(const mw_job *job)
{
    mw_headline of = mw_job_headline(job);
    row made = {.hours_s = of.hours_s, .cost = of.cost, .price = of.price};
    double start_s = (double)INFINITY;
    for (uint32_t m = 0; m < mw_job_mould_count(job); m++) {
        double times = mw_job_value(job, m, MW_NONE, "count");
        made.area_m2 += of_mould(job, m, "area") * (isfinite(times) ? times : 1.0);
        made.waiting_s += of_mould(job, m, "waiting");
        start_s = fmin(start_s, mw_job_value(job, m, MW_NONE, "start"));
    }
    made.spent_s = of.ready_s - start_s;
    return made;
}

static void add_number(ballpark *in, double value, mw_type type, mw_unit unit)
{
    if (isfinite(value)) {
        grid_value(&in->made, in->to, value, type, unit);
    } else {
        grid_none(&in->made, in->to);
    }
}

static void add_row(ballpark *in, mw_str name, const row *of)
{
    double money = of->other_money ? (double)NAN : 1.0;
    double per_area = of->area_m2 > 0.0 ? 1.0 / of->area_m2 : (double)NAN;
    grid_text(&in->made, in->to, name);
    add_number(in, of->area_m2, MW_TYPE_AREA, in->square);
    add_number(in, of->hours_s, MW_TYPE_LABOUR, in->made.hour);
    add_number(in, of->hours_s * per_area, in->type_per_area, in->per_area);
    add_number(in, of->waiting_s, MW_TYPE_TIME, in->made.day);
    add_number(in, of->spent_s, MW_TYPE_TIME, in->week);
    add_number(in, of->cost * money, in->type_money, in->made.money);
    add_number(in, of->price * money, in->type_money, in->made.money);
    add_number(in, of->price * money * per_area, in->type_money_per_area, in->money_per_area);
}

/* `usual unit of a type` from its words, which are of the language itself. */
static void find_unit(mw_job *job, const char *words, mw_unit *unit, mw_type *type)
{
    mw_measure *measure = mw_job_measure(job);
    size_t used = 0;
    *unit = MW_UNIT_ONE;
    if (mw_unit_read(measure, mw_str_of(words), &used, unit) != MW_OK) {
        *unit = MW_UNIT_ONE;
    }
    *type = mw_unit_type(measure, *unit);
}

static void find_units(ballpark *in)
{
    mw_job *job = in->made.job;
    mw_type ignored;
    char money[32];
    snprintf(money, sizeof money, "%s/m2", in->made.currency);
    find_unit(job, "m2", &in->square, &ignored);
    find_unit(job, "week", &in->week, &ignored);
    find_unit(job, "h/m2", &in->per_area, &in->type_per_area);
    find_unit(job, money, &in->money_per_area, &in->type_money_per_area);
    find_unit(job, in->made.currency, &ignored, &in->type_money);
}

static void add_columns(ballpark *in)
{
    in->to = report_grid(&in->made, "jobs", NULL);
    columns_text(in->to, "name", "job");
    columns_value(in->to, "area", "area", 2, in->square);
    columns_value(in->to, "hours", "hours", 1, MW_NONE);
    columns_value(in->to, "hours_per_area", "", 1, in->per_area);
    columns_value(in->to, "waiting", "waits", 1, in->made.day);
    columns_value(in->to, "weeks", "weeks", 1, MW_NONE);
    columns_value(in->to, "cost", "cost", 0, in->made.money);
    columns_value(in->to, "price", "price", 0, in->made.money);
    columns_value(in->to, "price_per_area", "", 0, in->money_per_area);
}

/* ---- the other jobs ---- */

/* `creek.job, line 4: there is no recipe ...` */
static void note_broken(ballpark *in, mw_str name, mw_job *job, const mw_diags *diags)
{
    const mw_diag *first = diags->count > 0 ? &diags->items[0] : NULL;
    mw_text text = {0};
    mw_text_addf(&text, "%.*s cannot be estimated", (int)name.length, name.at);
    if (first && first->span.source != MW_NONE) {
        mw_place place =
            mw_sources_place(mw_job_sources(job), first->span.source, first->span.begin);
        mw_str file = mw_path_base(place.name);
        mw_text_addf(&text, " (%.*s, line %u)", (int)file.length, file.at, (unsigned)place.line);
    }
    mw_text_addf(&text, ": %s", first ? first->message : "it has no value");
    report_note(&in->made, true, report_take(&in->made, &text));
}

static void show_other(ballpark *in, mw_str name, mw_job *job)
{
    mw_measure *measure = mw_job_measure(job);
    uint16_t currency = mw_money_base_of(measure);
    row made = measure_job(job);
    made.other_money =
        !currency || strcmp(mw_currency_code(measure, currency), in->made.currency) != 0;
    if (mw_job_mould_count(job) == 0) {
        report_note(&in->made, false,
                    report_text(&in->made, "%.*s has no moulds", (int)name.length, name.at));
        return;
    }
    add_row(in, report_text(&in->made, "%.*s", (int)name.length, name.at), &made);
    if (made.other_money && currency) {
        report_note(&in->made, false,
                    report_text(&in->made, "%.*s is in %s: its money is left out", (int)name.length,
                                name.at, mw_currency_code(measure, currency)));
    }
}

static mw_status open_other(ballpark *in, const char *path, mw_str name)
{
    mw_diags diags;
    mw_job *job = mw_job_new(in->options);
    mw_status status = mw_diags_start(&diags);
    if (!job || status != MW_OK) {
        mw_diags_free(&diags);
        mw_job_free(job);
        return MW_NO_MEMORY;
    }
    status = mw_job_open(job, path, &diags);
    if (status == MW_OK) {
        show_other(in, name, job);
    } else if (status != MW_NO_MEMORY) {
        note_broken(in, name, job, &diags);
        status = MW_OK;
    }
    mw_job_free(job);
    mw_diags_free(&diags);
    return status;
}

static mw_status each_job(void *context, const char *path, mw_str name)
{
    ballpark *in = context;
    if (mw_str_equal(name, in->own)) {
        return MW_OK;
    }
    if (in->jobs == JOBS_MAX) {
        in->left_out++;
        return MW_OK;
    }
    in->jobs++;
    name.length -= strlen(".job");
    return open_other(in, path, name);
}

static mw_status add_others(ballpark *in, const char *path)
{
    mw_text folder = {0};
    if (path) {
        mw_path_folder(&folder, mw_str_of(path));
        in->own = mw_path_base(mw_str_of(path));
    } else {
        mw_text_adds(&folder, ".");
    }
    mw_status status =
        folder.failed ? MW_NO_MEMORY : mw_folder_each(mw_text_chars(&folder), ".job", each_job, in);
    mw_text_free(&folder);
    if (in->left_out > 0) {
        report_note(&in->made, false,
                    report_text(&in->made, "%u more jobs of the folder are not shown",
                                (unsigned)in->left_out));
    }
    return status == MW_IO ? MW_OK : status;
}

/* ---- the whole ---- */

/* What show() needs; it is called while the job answers as the ballpark's own. */
typedef struct showing {
    mw_job *job;
    const mw_style *style;
    mw_text *out;
    mw_diags *diags;
    mw_str name; /* of the job as it stands, empty: it has no moulds */
    row now;
    mw_str shop; /* its currency decides whether it compares */
} showing;

static void say_what(ballpark *in)
{
    const mw_shop *shop = mw_job_shop(in->made.job);
    mw_mould_view mould = mw_job_mould(in->made.job, 0);
    mw_text text = {0};
    mw_text_addf(&text, "ballpark: recipe %.*s, shop %.*s, ready ", (int)mould.recipe->name.length,
                 mould.recipe->name.at, (int)shop->title.length, shop->title.at);
    mw_date_day_words(mw_job_total(in->made.job, "job.ready"), &text);
    report_note(&in->made, false, report_take(&in->made, &text));
}

static mw_status show(void *context)
{
    showing *given = context;
    mw_job_options options = mw_job_options_of(given->job);
    mw_request request = {.word = mw_str_of("ballpark"), .style = given->style};
    ballpark in = {.options = &options};
    mw_status status = report_start(&in.made, given->job, &request, given->diags);
    if (status == MW_OK) {
        row own = measure_job(given->job);
        find_units(&in);
        add_columns(&in);
        add_row(&in, mw_str_of("ballpark"), &own);
        say_what(&in);
        if (given->name.length > 0) {
            given->now.other_money = !mw_str_is(given->shop, in.made.currency);
            add_row(&in, given->name, &given->now);
        }
        status = add_others(&in, mw_job_path(given->job));
    }
    if (status == MW_OK) {
        status = report_write(&in.made, given->out);
    }
    report_end(&in.made);
    return status;
}

mw_status mw_report_ballpark(mw_job *job, mw_span statement, const mw_style *style, mw_text *out,
                             mw_diags *diags)
{
    mw_measure *measure = mw_job_measure(job);
    uint16_t currency = mw_money_base_of(measure);
    showing given = {.job = job, .style = style, .out = out, .diags = diags};
    if (mw_job_mould_count(job) > 0) {
        given.name = mw_job_name(job);
        given.now = measure_job(job);
        given.shop = mw_str_of(currency ? mw_currency_code(measure, currency) : "");
    }
    return mw_job_ballpark(job, statement, show, &given, diags);
}
