/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reports as documents: the same grids as on the screen, for the writers of paper. */
#include "paper.h"

#include <math.h>

#include "mouldwright/pricing.h"

void paper_take(writer *to, mw_paper_kind kind, mw_text *text)
{
    mw_paper_add(to->paper, kind, (mw_str){mw_text_chars(text), text->length});
    to->paper->lost = to->paper->lost || text->failed;
    mw_text_free(text);
}

static void add_cell(writer *to, mw_text *text, mw_text *plain)
{
    mw_paper_cell_add(to->paper, (mw_str){mw_text_chars(text), text->length},
                      (mw_str){mw_text_chars(plain), plain->length});
    to->paper->lost = to->paper->lost || text->failed || plain->failed;
    mw_text_free(text);
    mw_text_free(plain);
}

void paper_text(writer *to, mw_str text)
{
    mw_paper_cell_add(to->paper, text, (mw_str){"", 0});
}

void paper_money(writer *to, int64_t minor)
{
    mw_text text = {0};
    mw_text plain = {0};
    mw_money_words(minor, to->in->digits, ' ', &text);
    mw_money_words(minor, to->in->digits, 0, &plain);
    add_cell(to, &text, &plain);
}

void paper_date(writer *to, double moment_s)
{
    mw_text text = {0};
    mw_text plain = {0};
    if (isfinite(moment_s)) {
        mw_date_day_words(moment_s, &text);
    }
    add_cell(to, &text, &plain);
}

/* A number as machines read it: no blanks between thousands, no unit. */
static void plain_words(const report *from, const field *of, const column *where, mw_text *out)
{
    const bool number = of->kind == FIELD_VALUE && mw_error_code(of->value) == MW_CODE_COUNT &&
                        of->type != MW_TYPE_DATE && of->type != MW_TYPE_TEXT &&
                        of->type != MW_TYPE_TRUTH;
    if (of->kind == FIELD_MONEY) {
        mw_money_words(of->minor, from->digits, 0, out);
    } else if (number && !of->own_unit) {
        const int64_t units = of->fixed ? of->units
                                        : round_units(mw_job_measure(from->job), of->value,
                                                      of->unit, where->decimals);
        mw_money_words(units, where->decimals, 0, out);
    }
}

static void paper_grid(writer *to, report *from, grid *of)
{
    grid_settle(from, of);
    mw_paper_table(to->paper, mw_str_of(of->title ? of->title : ""));
    for (uint32_t c = 0; c < of->column_count; c++) {
        mw_text head = {0};
        column_words(from, &of->columns[c], &head);
        mw_paper_column_add(to->paper, (mw_str){mw_text_chars(&head), head.length},
                            of->columns[c].align == MW_RIGHT);
        to->paper->lost = to->paper->lost || head.failed;
        mw_text_free(&head);
    }
    for (uint32_t i = 0; i < of->field_count; i++) {
        mw_text text = {0};
        mw_text plain = {0};
        field_words(from, &of->fields[i], &of->columns[i % of->column_count], &text);
        plain_words(from, &of->fields[i], &of->columns[i % of->column_count], &plain);
        add_cell(to, &text, &plain);
    }
    if (of->has_total) {
        mw_paper_total(to->paper);
    }
}

void paper_grids(writer *to, report *from)
{
    for (uint32_t i = 0; i < from->grid_count; i++) {
        if (from->grids[i].only != GRID_SCREEN) {
            paper_grid(to, from, &from->grids[i]);
        }
    }
}

void paper_notes(writer *to, report *from)
{
    for (uint32_t i = 0; i < from->note_count; i++) {
        mw_text note = {0};
        mw_text_adds(&note, from->note_warns[i] ? "Warning: " : "");
        mw_text_add_str(&note, from->notes[i]);
        paper_take(to, MW_PAPER_SMALL, &note);
    }
}

#define WEEKS_MOST 14 /* that are marked one by one */

/* Whether a day is marked: a Monday, or the first of a month (every third of them over years). */
static bool day_marked(int32_t day, int32_t days)
{
    const mw_date date = mw_date_of_day(day);
    return days <= 7 * WEEKS_MOST ? mw_day_weekday(day) == 1
           : days <= 730          ? date.day == 1
                                  : date.day == 1 && date.month % 3 == 1;
}

void paper_days(writer *to, double from_s, double until_s)
{
    if (!mw_moment_exists(from_s) || !mw_moment_exists(until_s) || !(until_s > from_s)) {
        return;
    }
    const int32_t first = (int32_t)floor(from_s / MW_DAY_S);
    const int32_t last = (int32_t)floor(until_s / MW_DAY_S);
    for (int32_t day = first; day <= last; day++) {
        if (day_marked(day, last - first)) {
            const mw_date date = mw_date_of_day(day);
            mw_text label = {0};
            if (last - first <= 7 * WEEKS_MOST) {
                mw_text_addf(&label, "%02d-%02d", date.month, date.day);
            } else {
                mw_text_addf(&label, "%04d-%02d", date.year, date.month);
            }
            mw_paper_tick_add(to->paper, fmax(0.0, (day * MW_DAY_S - from_s) / (until_s - from_s)),
                              report_take(to->in, &label));
        }
    }
}

/* ---- by their words ---- */

static void letterhead(writer *to)
{
    const mw_shop *shop = mw_job_shop(to->in->job);
    for (uint32_t i = 0; shop && i < shop->letterhead.count; i++) {
        mw_paper_add(to->paper, MW_PAPER_LETTERHEAD, shop->letterhead.items[i]);
    }
    if (shop && shop->letterhead.count == 0) {
        mw_paper_add(to->paper, MW_PAPER_LETTERHEAD, shop->title);
    }
}

static mw_status fill_paper(writer *to, const mw_request *request, uint32_t mould)
{
    letterhead(to);
    if (mw_str_is(request->word, "quotation")) {
        return paper_quotation(to);
    }
    if (mw_str_is(request->word, "costing")) {
        return paper_costing(to);
    }
    mw_status status = report_make(to->in, request, mould);
    if (status == MW_OK) {
        paper_grids(to, to->in);
        paper_notes(to, to->in);
    }
    return status;
}

static mw_str title_of(report *in, const mw_request *request)
{
    const mw_str name = mw_job_name(in->job);
    const char *word = mw_str_is(request->word, "quotation") ? "Quotation"
                       : mw_str_is(request->word, "costing") ? "Costing, for the shop only"
                                                             : NULL;
    return word ? report_text(in, "%s: %.*s", word, (int)name.length, name.at)
                : report_text(in, "%.*s: %.*s%s%.*s", (int)name.length, name.at,
                              (int)request->word.length, request->word.at,
                              request->argument.length ? " " : "", (int)request->argument.length,
                              request->argument.at);
}

mw_status mw_report_paper(mw_job *job, const mw_request *request, mw_paper **paper, mw_diags *diags)
{
    uint32_t mould;
    report made;
    *paper = NULL;
    mw_status status = report_subject(job, request, &mould, diags);
    if (status != MW_OK) {
        return status;
    }
    status = report_start(&made, job, request, diags);
    if (status == MW_OK) {
        writer to = {.in = &made, .today_s = mw_job_today(job)};
        to.paper = *paper = mw_paper_new(title_of(&made, request));
        status = to.paper ? MW_OK : MW_NO_MEMORY;
        if (status == MW_OK) {
            to.paper->made_s = to.today_s;
            status = fill_paper(&to, request, mould);
        }
        if (status == MW_OK) {
            mw_paper_finish(to.paper);
        }
        if (status == MW_OK && (made.lost || to.paper->lost)) {
            status = MW_NO_MEMORY;
        }
    }
    report_end(&made);
    if (status != MW_OK) {
        mw_paper_free(*paper);
        *paper = NULL;
    }
    return status;
}
