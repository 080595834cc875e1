/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quotation for the customer, and the costing behind it for the shop. */
#include "paper.h"
#include "reply.h"

#include <math.h>

#include "mouldwright/pricing.h"

static void heading(writer *to, const char *text)
{
    mw_paper_heading(to->paper, 1, mw_str_of(text));
}

static void column_of(writer *to, const char *head, bool right)
{
    mw_paper_column_add(to->paper, mw_str_of(head), right);
}

static int64_t total_of(const writer *to, const char *name)
{
    int64_t minor = 0;
    return mw_money_minor(mw_job_total(to->in->job, name), to->in->digits, &minor) ? minor : 0;
}

static void dates(writer *to)
{
    mw_text text = {0};
    const double valid_s = mw_job_total(to->in->job, "shop.offer_valid");
    const double revision = paper_revision(to->in->job);
    mw_text_adds(&text, "Date: ");
    mw_date_day_words(to->today_s, &text);
    if (isfinite(revision)) {
        mw_text_adds(&text, " \u00b7 Revision: ");
        mw_number_words(revision, &text);
    }
    if (isfinite(valid_s)) {
        mw_text_adds(&text, " \u00b7 Valid until: ");
        mw_date_day_words(to->today_s + valid_s, &text);
    }
    paper_take(to, MW_PAPER_TEXT, &text);
}

/* ---- what is offered, and its price ---- */

static void quantity_cell(writer *to, uint32_t mould, const char *quantity)
{
    mw_text text = {0};
    const uint32_t cell = mw_job_cell(to->in->job, mould, MW_NONE, quantity);
    if (cell != MW_NONE) {
        cell_words(to->in->job, cell, &text);
    }
    paper_text(to, report_take(to->in, &text));
}

static int64_t price_of(const writer *to, uint32_t mould, int kind)
{
    const money_filter filter = {.asked = MW_NONE, .mould = mould, .kind = kind};
    return figure_money(to->postings, to->posting_count, &filter);
}

static void offered(writer *to)
{
    heading(to, "What is offered");
    mw_paper_table(to->paper, (mw_str){"", 0});
    column_of(to, "mould", false);
    column_of(to, "made as", false);
    column_of(to, "area", true);
    column_of(to, "edge", true);
    column_of(to, to->in->currency, true);
    for (uint32_t m = 0; m < mw_job_mould_count(to->in->job); m++) {
        const mw_mould_view view = mw_job_mould(to->in->job, m);
        paper_text(to, view.name);
        paper_text(to, view.recipe->name);
        quantity_cell(to, m, "area");
        quantity_cell(to, m, "edge");
        paper_money(to, price_of(to, m, -1));
    }
    paper_text(to, mw_str_of("all moulds"));
    for (int i = 0; i < 3; i++) {
        paper_text(to, (mw_str){"", 0});
    }
    paper_money(to, price_of(to, MW_NONE, -1));
    mw_paper_total(to->paper);
}

static void price_row(writer *to, const char *what, int64_t minor, bool always)
{
    if (minor != 0 || always) {
        paper_text(to, mw_str_of(what));
        paper_money(to, minor);
    }
}

static void price(writer *to)
{
    mw_text tax = {0};
    heading(to, "Price");
    mw_paper_table(to->paper, (mw_str){"", 0});
    column_of(to, "", false);
    column_of(to, to->in->currency, true);
    price_row(to, "price of all moulds", price_of(to, MW_NONE, -1), true);
    price_row(to, "material bought for this job alone", total_of(to, "job.left_over_charge"),
              false);
    price_row(to, "discount", -total_of(to, "job.discount"), false);
    price_row(to, "rounding", total_of(to, "job.rounding"), false);
    price_row(to, "offer, without tax", total_of(to, "job.offer"), true);
    mw_text_adds(&tax, "tax, ");
    mw_number_words(round(mw_job_total(to->in->job, "shop.tax") * 1e6) / 1e4, &tax);
    mw_text_adds(&tax, " %");
    paper_text(to, report_take(to->in, &tax));
    paper_money(to, total_of(to, "job.tax"));
    price_row(to, "to pay", total_of(to, "job.total"), true);
    mw_paper_total(to->paper);
}

static mw_status payments(writer *to)
{
    const mw_due *dues;
    uint32_t count = 0;
    const mw_status status = mw_job_dues(to->in->job, &dues, &count, to->in->diags);
    heading(to, "Payment");
    mw_paper_table(to->paper, (mw_str){"", 0});
    column_of(to, "", false);
    column_of(to, "by the present plan", false);
    column_of(to, to->in->currency, true);
    for (uint32_t i = 0; status == MW_OK && i < count; i++) {
        paper_text(to, dues[i].what);
        paper_date(to, dues[i].due_s);
        paper_money(to, dues[i].minor);
    }
    paper_text(to, mw_str_of("to pay"));
    paper_text(to, (mw_str){"", 0});
    paper_money(to, total_of(to, "job.total"));
    mw_paper_total(to->paper);
    return status;
}

/* ---- what it rests on ---- */

static void sentences(writer *to, const char *head, const mw_name_list *list)
{
    if (list->count > 0) {
        heading(to, head);
    }
    for (uint32_t i = 0; i < list->count; i++) {
        mw_paper_add(to->paper, MW_PAPER_POINT, list->items[i]);
    }
}

/* Plies of the steps of a mould that have some: `glass 1, carbon 2, heavy 4`. */
static void plies_words(const writer *to, uint32_t m, mw_text *out)
{
    const mw_recipe *recipe = mw_job_mould(to->in->job, m).recipe;
    bool any = false;
    for (uint32_t s = 0; s < recipe->step_count; s++) {
        const double plies = mw_job_value(to->in->job, m, s, "plies");
        if (isfinite(plies) && plies > 0.0) {
            mw_text_addf(out, "%s%.*s ", any ? ", " : "", (int)recipe->steps[s].name.length,
                         recipe->steps[s].name.at);
            mw_number_words(plies, out);
            any = true;
        }
    }
    mw_text_adds(out, any ? "" : "none");
}

static void room_point(writer *to)
{
    const mw_shop *shop = mw_job_shop(to->in->job);
    mw_text text = {0};
    double low_k = (double)HUGE_VAL;
    double high_k = 0.0;
    const double day_k = mw_job_total(to->in->job, "shop.day_warmer");
    const double night_k = mw_job_total(to->in->job, "shop.night_warmer");
    for (uint32_t i = 0; shop && i < shop->season_count; i++) {
        low_k =
            fmin(low_k, fmin(shop->seasons[i].day_k + day_k, shop->seasons[i].night_k + night_k));
        high_k =
            fmax(high_k, fmax(shop->seasons[i].day_k + day_k, shop->seasons[i].night_k + night_k));
    }
    if (!isfinite(low_k) || !isfinite(high_k)) {
        return;
    }
    mw_text_adds(&text, "The hall stands between ");
    mw_number_words(round((low_k - 273.15) * 10.0) / 10.0, &text);
    mw_text_adds(&text, " and ");
    mw_number_words(round((high_k - 273.15) * 10.0) / 10.0, &text);
    mw_text_adds(&text, " degC over the year; cure times follow from that.");
    paper_take(to, MW_PAPER_POINT, &text);
}

static void assumptions(writer *to)
{
    heading(to, "What this rests on");
    for (uint32_t m = 0; m < mw_job_mould_count(to->in->job); m++) {
        mw_text text = {0};
        const mw_mould_view view = mw_job_mould(to->in->job, m);
        const uint32_t area = mw_job_cell(to->in->job, m, MW_NONE, "area");
        paper_name(view.name, &text);
        mw_text_adds(&text, ": ");
        if (area != MW_NONE) {
            cell_words(to->in->job, area, &text);
            mw_text_adds(&text, " of surface; ");
        }
        mw_text_adds(&text, "plies: ");
        plies_words(to, m, &text);
        mw_text_adds(&text, ".");
        paper_take(to, MW_PAPER_POINT, &text);
    }
    room_point(to);
    mw_paper_add(to->paper, MW_PAPER_POINT,
                 mw_str_of("Areas and edges are those that were given; other figures change the "
                           "price."));
    mw_paper_add(to->paper, MW_PAPER_POINT,
                 mw_str_of("Tolerances are those of the customer's drawing as far as they were "
                           "given; none is promised beyond them."));
}

/* ---- delivery ---- */

/* Whole weeks from the day of the start to the end of a day. */
static double weeks_until(double start_s, double day_s)
{
    return ceil((floor(day_s / MW_DAY_S) + 1.0 - floor(start_s / MW_DAY_S)) / 7.0);
}

/* The date to promise, in weeks from the start, with the confidence that was asked for. */
static void promise(writer *to, double start_s)
{
    mw_text text = {0};
    const double weeks = weeks_until(start_s, to->sure.promise_s);
    mw_text_addf(&text, "With a confidence of %g %% they are delivered within %.0f %s: by ",
                 100.0 * to->sure.confidence, weeks, weeks == 1.0 ? "week" : "weeks");
    mw_date_day_words(to->sure.promise_s, &text);
    mw_text_adds(&text, ", by samples of what is not known exactly.");
    paper_take(to, MW_PAPER_TEXT, &text);
}

static void delivery(writer *to)
{
    const double start_s = mw_job_total(to->in->job, "job.start");
    const double ready_s = mw_job_headline(to->in->job).ready_s;
    const double weeks = weeks_until(start_s, ready_s);
    mw_text text = {0};
    heading(to, "Delivery");
    if (!isfinite(ready_s) || !isfinite(start_s) || !(ready_s > start_s)) {
        mw_paper_add(to->paper, MW_PAPER_TEXT, mw_str_of("No date can be given yet."));
        return;
    }
    mw_text_adds(&text, "All moulds are ready on ");
    mw_date_day_words(ready_s, &text);
    mw_text_adds(&text, " (");
    mw_date_week_words(ready_s, &text);
    mw_text_addf(&text, "), %.0f %s after the start on ", weeks, weeks == 1.0 ? "week" : "weeks");
    mw_date_day_words(start_s, &text);
    mw_text_adds(&text, ". The dates follow from the present plan without a reserve.");
    paper_take(to, MW_PAPER_TEXT, &text);
    if (to->sure.asked && isfinite(to->sure.promise_s)) {
        promise(to, start_s);
    }
    mw_paper_bars(to->paper, mw_str_of("From start to ready"));
    paper_days(to, start_s, ready_s);
    for (uint32_t m = 0; m < mw_job_mould_count(to->in->job); m++) {
        const double begin_s = mw_job_value(to->in->job, m, MW_NONE, "start");
        const double end_s = mw_job_value(to->in->job, m, MW_NONE, "ready");
        mw_text words = {0};
        if (isfinite(end_s)) {
            mw_date_day_words(end_s, &words);
        } else {
            mw_text_adds(&words, "no date");
        }
        const mw_paper_bar bar = {mw_job_mould(to->in->job, m).name, report_take(to->in, &words),
                                  (begin_s - start_s) / (ready_s - start_s),
                                  (end_s - start_s) / (ready_s - start_s)};
        mw_paper_bar_add(to->paper, &bar);
    }
}

/* ---- the end ---- */

static mw_status cautions(writer *to)
{
    const mw_caution_view *views;
    uint32_t count = 0;
    mw_text text = {0};
    const mw_status status = mw_job_cautions(to->in->job, MW_NONE, &views, &count, to->in->diags);
    heading(to, "Cautions");
    mw_text_adds(&text, "In use and repair of these moulds mind: ");
    for (uint32_t i = 0; status == MW_OK && i < count; i++) {
        mw_text_addf(&text, "%s%.*s", i ? ", " : "", (int)views[i].caution->word.length,
                     views[i].caution->word.at);
    }
    mw_text_adds(&text, ". Data sheets, local rules and qualified people go before anything said "
                        "here. Figures on stiffness compare lay-ups; nothing here approves a part "
                        "to fly, float or lift.");
    paper_take(to, MW_PAPER_SMALL, &text);
    return status;
}

mw_status paper_quotation(writer *to)
{
    static const mw_name_list none = {NULL, NULL, 0};
    const mw_shop *shop = mw_job_shop(to->in->job);
    mw_status status =
        mw_job_postings(to->in->job, MW_NONE, &to->postings, &to->posting_count, to->in->diags);
    if (status != MW_OK) {
        return status;
    }
    dates(to);
    offered(to);
    price(to);
    delivery(to);
    status = payments(to);
    if (status == MW_OK && to->asked->since.length > 0) {
        status = paper_changes(to, to->asked);
    }
    sentences(to, "Included", shop ? &shop->included : &none);
    sentences(to, "Not included", shop ? &shop->excluded : &none);
    assumptions(to);
    sentences(to, "Terms", shop ? &shop->terms : &none);
    return status == MW_OK ? cautions(to) : status;
}

/* ---- costing ---- */

static void cost_bars(writer *to)
{
    static const struct {
        mw_posting_kind kind;
        const char *name;
    } kinds[] = {{MW_POST_MATERIAL, "material"},
                 {MW_POST_LABOUR, "labour"},
                 {MW_POST_MACHINE, "machines"},
                 {MW_POST_ENERGY, "energy"},
                 {MW_POST_OUTSIDE, "outside work"},
                 {MW_POST_OVERHEAD, "overhead"},
                 {MW_POST_CONTINGENCY, "contingency"},
                 {MW_POST_MARKUP, "mark-up"},
                 {MW_POST_MARGIN, "margin"}};
    int64_t most = 1;
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        const int64_t sum = price_of(to, MW_NONE, (int)kinds[i].kind);
        most = sum > most ? sum : most;
    }
    mw_paper_bars(to->paper, mw_str_of("What the price is made of"));
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        const int64_t sum = price_of(to, MW_NONE, (int)kinds[i].kind);
        mw_text words = {0};
        mw_money_words(sum, to->in->digits, ' ', &words);
        const mw_paper_bar bar = {mw_str_of(kinds[i].name), report_take(to->in, &words), 0.0,
                                  (double)sum / (double)most};
        if (sum != 0) {
            mw_paper_bar_add(to->paper, &bar);
        }
    }
}

static mw_status section(writer *to, const char *word, const char *head)
{
    report part;
    mw_request request = {.word = mw_str_of(word), .style = to->in->style};
    heading(to, head);
    mw_status status = report_start(&part, to->in->job, &request, to->in->diags);
    if (status == MW_OK) {
        status = report_make(&part, &request, MW_NONE);
    }
    if (status == MW_OK) {
        paper_grids(to, &part);
        paper_notes(to, &part);
        to->paper->lost = to->paper->lost || part.lost;
    }
    report_end(&part);
    return status;
}

mw_status paper_costing(writer *to)
{
    static const char *const sections[][2] = {{"pricing", "Price"}, {"cost", "Cost"},
                                              {"hours", "Hours"},   {"buying", "Buying"},
                                              {"moulds", "Moulds"}, {"cautions", "Cautions"}};
    mw_status status =
        mw_job_postings(to->in->job, MW_NONE, &to->postings, &to->posting_count, to->in->diags);
    if (status == MW_OK) {
        dates(to);
        cost_bars(to);
    }
    if (status == MW_OK && to->sure.asked) {
        paper_risk_section(to);
    }
    if (status == MW_OK && to->asked->since.length > 0) {
        status = paper_changes(to, to->asked);
    }
    for (size_t i = 0; status == MW_OK && i < sizeof sections / sizeof *sections; i++) {
        status = section(to, sections[i][0], sections[i][1]);
    }
    return status == MW_OK ? paper_why(to) : status;
}
