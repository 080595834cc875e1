/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What changed since the offer before this one: moulds, what they are made to, prices and dates of two jobs. */
#include "paper.h"

#include <math.h>
#include <string.h>

#include "mouldwright/draft.h"

static void change_row(writer *to, mw_str mould, const char *what, mw_str before, mw_str now)
{
    if (!mw_str_equal(before, now)) {
        paper_text(to, mould);
        paper_text(to, mw_str_of(what));
        paper_text(to, before);
        paper_text(to, now);
        to->changes++;
    }
}

/* A quantity of a mould in words; empty: it has none. */
static mw_str quantity(writer *to, mw_job *job, uint32_t mould, const char *name)
{
    mw_text words = {0};
    const uint32_t cell = mw_job_cell(job, mould, MW_NONE, name);
    if (cell != MW_NONE) {
        cell_words(job, cell, &words);
    }
    return report_take(to->in, &words);
}

static mw_str money_words(writer *to, double amount)
{
    int64_t minor = 0;
    mw_text words = {0};
    if (!to->other_money && mw_money_minor(amount, to->in->digits, &minor)) {
        mw_money_words(minor, to->in->digits, ' ', &words);
    }
    return report_take(to->in, &words);
}

static mw_str price_words(writer *to, const mw_job *job, uint32_t mould)
{
    return money_words(to, mw_job_value(job, mould, MW_NONE, "price"));
}

static mw_str recipe_of(const mw_job *job, uint32_t mould)
{
    return mw_job_mould(job, mould).recipe->name;
}

static void compare_mould(writer *to, mw_job *before, uint32_t was, uint32_t is)
{
    static const char *const names[] = {"area", "edge", "count"};
    const mw_str name = mw_job_mould(to->in->job, is).name;
    change_row(to, name, "made as", recipe_of(before, was), recipe_of(to->in->job, is));
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        change_row(to, name, names[i], quantity(to, before, was, names[i]),
                   quantity(to, to->in->job, is, names[i]));
    }
    change_row(to, name, "price", price_words(to, before, was), price_words(to, to->in->job, is));
}

static void compare_moulds(writer *to, mw_job *before)
{
    const mw_str none = {"", 0};
    for (uint32_t m = 0; m < mw_job_mould_count(to->in->job); m++) {
        const mw_str name = mw_job_mould(to->in->job, m).name;
        const uint32_t was = mw_job_mould_find(before, name);
        if (was == MW_NONE) {
            change_row(to, name, "new", none, price_words(to, to->in->job, m));
        } else {
            compare_mould(to, before, was, m);
        }
    }
    for (uint32_t m = 0; m < mw_job_mould_count(before); m++) {
        const mw_str name = mw_job_mould(before, m).name;
        if (mw_job_mould_find(to->in->job, name) == MW_NONE) {
            change_row(to, name, "left out", price_words(to, before, m), none);
        }
    }
}

static mw_str total_words(writer *to, const mw_job *job, const char *name)
{
    return money_words(to, mw_job_total(job, name));
}

static mw_str date_words(writer *to, const mw_job *job)
{
    mw_text words = {0};
    mw_date_day_words(mw_job_total(job, "job.ready"), &words);
    return report_take(to->in, &words);
}

static void compare_totals(writer *to, mw_job *before)
{
    static const char *const names[][2] = {
        {"job.offer", "offer, without tax"}, {"job.tax", "tax"}, {"job.total", "to pay"}};
    const mw_str whole = mw_str_of("the job");
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        change_row(to, whole, names[i][1], total_words(to, before, names[i][0]),
                   total_words(to, to->in->job, names[i][0]));
    }
    change_row(to, whole, "ready", date_words(to, before), date_words(to, to->in->job));
}

static bool same_currency(const writer *to, mw_job *before)
{
    const mw_measure *measure = mw_job_measure(before);
    const uint16_t currency = mw_money_base_of(measure);
    return currency && strcmp(mw_currency_code(measure, currency), to->in->currency) == 0;
}

static mw_status compare(writer *to, mw_job *before)
{
    static const char *const heads[] = {"", "what", "before", "now"};
    mw_text head = {0};
    const mw_str name = mw_job_name(before);
    const double revision = paper_revision(before);
    mw_text_adds(&head, "Changed since ");
    if (isfinite(revision)) {
        mw_text_adds(&head, "revision ");
        mw_number_words(revision, &head);
    } else {
        paper_name(name, &head);
    }
    mw_paper_heading(to->paper, 1, report_take(to->in, &head));
    mw_paper_table(to->paper, (mw_str){"", 0});
    for (int c = 0; c < 4; c++) {
        mw_paper_column_add(to->paper, mw_str_of(heads[c]), c > 1);
    }
    to->changes = 0;
    to->other_money = !same_currency(to, before);
    compare_moulds(to, before);
    compare_totals(to, before);
    if (to->other_money) {
        mw_paper_add(to->paper, MW_PAPER_SMALL,
                     mw_str_of("The older offer is in other money: amounts are not compared."));
    }
    if (to->changes == 0) {
        mw_paper_add(to->paper, MW_PAPER_TEXT, mw_str_of("Nothing that the offer shows."));
    }
    return MW_OK;
}

/* What was wrong with the other file, in the words of its first message. */
static mw_status refuse(writer *to, const mw_paper_request *asked, const mw_diags *of)
{
    const mw_diag *first = of->count > 0 ? &of->items[0] : NULL;
    mw_diag *diag =
        mw_diags_error(to->in->diags, MW_CODE_CANNOT_READ, asked->since_at,
                       "the older job %.*s cannot be used: %s", (int)asked->since.length,
                       asked->since.at, first ? first->message : "it has faults");
    mw_diag_try(to->in->diags, diag, "open it by itself to see what is wrong with it");
    return MW_FAILED;
}

mw_status paper_changes(writer *to, const mw_paper_request *asked)
{
    mw_diags diags;
    mw_text path = {0};
    const mw_job_options options = mw_job_options_of(to->in->job);
    mw_job *before = mw_job_new(&options);
    mw_status status = mw_diags_start(&diags);
    mw_text_add_str(&path, asked->since);
    if (!before || path.failed || status != MW_OK) {
        status = MW_NO_MEMORY;
    } else {
        status = mw_job_open(before, mw_text_chars(&path), &diags);
        status = status == MW_OK          ? compare(to, before)
                 : status == MW_NO_MEMORY ? status
                                          : refuse(to, asked, &diags);
    }
    mw_text_free(&path);
    mw_job_free(before);
    mw_diags_free(&diags);
    return status;
}
