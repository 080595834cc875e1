/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pricing: from the cost of the moulds to what is asked for, all by grouping the same postings. */
#include "figures.h"

#include <math.h>

#include "mouldwright/pricing.h"

typedef struct posting_run {
    const mw_posting *items;
    uint32_t count;
    uint32_t asked;
} posting_run;

static int64_t sum_of(const posting_run *run, int kind)
{
    const money_filter filter = {.asked = run->asked, .mould = MW_NONE, .kind = kind};
    return figure_money(run->items, run->count, &filter);
}

static int64_t total_of(report *in, const char *name)
{
    int64_t minor = 0;
    return mw_money_minor(mw_job_total(in->job, name), in->digits, &minor) ? minor : 0;
}

static double share_of(report *in, const char *name)
{
    return mw_job_total(in->job, name);
}

static mw_str percent_text(report *in, double share, const char *of)
{
    mw_text text = {0};
    mw_number_words(round(share * 1e6) / 1e4, &text);
    mw_text_addf(&text, " %% %s", of);
    return report_take(in, &text);
}

/* ---- tables of an amount a line ---- */

static grid *amounts(report *in, const char *key, const char *title, const char *head)
{
    grid *to = report_grid(in, key, title);
    columns_text(to, "what", head);
    columns_money(in, to, "amount", "");
    columns_text(to, "how", "");
    return to;
}

static void amount_row(report *in, grid *to, const char *what, int64_t minor, mw_str how)
{
    grid_text(in, to, mw_str_of(what));
    grid_money(in, to, minor);
    grid_text(in, to, how);
}

/* Left out on the screen where it is nothing. */
static void amount_maybe(report *in, grid *to, const char *what, int64_t minor, mw_str how)
{
    if (minor != 0 || in->style->json) {
        amount_row(in, to, what, minor, how);
    }
}

/* ---- cost ---- */

/* What is spent on materials that leave nothing in the mould. */
static int64_t consumables_of(report *in, const posting_run *run)
{
    int64_t sum = 0;
    for (uint32_t i = 0; i < run->count; i++) {
        const mw_posting *of = &run->items[i];
        if (of->kind == MW_POST_MATERIAL && figure_asked(run->asked, of->mould) &&
            mw_job_material(in->job, of->mould, of->step, of->use)->consumable) {
            sum += of->minor;
        }
    }
    return sum;
}

static void cost_table(report *in, const posting_run *run)
{
    grid *to = amounts(in, "cost", "what it costs", "");
    const int64_t consumables = consumables_of(in, run);
    amount_row(in, to, "material", sum_of(run, MW_POST_MATERIAL) - consumables, (mw_str){"", 0});
    amount_maybe(in, to, "consumables", consumables, (mw_str){"", 0});
    amount_row(in, to, "labour", sum_of(run, MW_POST_LABOUR),
               mw_str_of("paid hours: hands-on hours over the productive share"));
    amount_maybe(in, to, "machines", sum_of(run, MW_POST_MACHINE), (mw_str){"", 0});
    amount_maybe(in, to, "energy", sum_of(run, MW_POST_ENERGY), (mw_str){"", 0});
    amount_maybe(in, to, "outside work", sum_of(run, MW_POST_OUTSIDE), (mw_str){"", 0});
    amount_maybe(in, to, "overhead", sum_of(run, MW_POST_OVERHEAD),
                 percent_text(in, share_of(in, "shop.overhead"), "of labour, and the shop's key"));
    amount_row(in, to, "cost", sum_of(run, MW_POST_KINDS), (mw_str){"", 0});
    to->has_total = true;
}

/* ---- price ---- */

static void price_table(report *in, const posting_run *run)
{
    grid *to = amounts(in, "price", "from cost to price", "");
    amount_row(in, to, "cost", sum_of(run, MW_POST_KINDS), (mw_str){"", 0});
    amount_maybe(in, to, "contingency", sum_of(run, MW_POST_CONTINGENCY),
                 percent_text(in, share_of(in, "shop.contingency"), "of the cost"));
    amount_maybe(in, to, "mark-up", sum_of(run, MW_POST_MARKUP),
                 percent_text(in, share_of(in, "shop.markup"), "on cost and contingency"));
    amount_maybe(in, to, "margin", sum_of(run, MW_POST_MARGIN),
                 percent_text(in, share_of(in, "shop.margin"), "of the price"));
    amount_row(in, to, "price", sum_of(run, -1), (mw_str){"", 0});
    to->has_total = true;
}

static void offer_table(report *in, const posting_run *run)
{
    grid *to = amounts(in, "offer", "what is asked for", "");
    amount_row(in, to, "price of all moulds", sum_of(run, -1), (mw_str){"", 0});
    amount_maybe(in, to, "left over from packs", total_of(in, "job.left_over_charge"),
                 percent_text(in, share_of(in, "shop.left_over_charged"), "of its worth"));
    amount_maybe(in, to, "discount", -total_of(in, "job.discount"),
                 percent_text(in, share_of(in, "shop.discount"), "of the price"));
    amount_maybe(in, to, "rounding", total_of(in, "job.rounding"), (mw_str){"", 0});
    amount_row(in, to, "offer", total_of(in, "job.offer"), (mw_str){"", 0});
    to->has_total = true;
    to = amounts(in, "asked", NULL, "");
    amount_row(in, to, "offer", total_of(in, "job.offer"), (mw_str){"", 0});
    amount_row(in, to, "tax", total_of(in, "job.tax"),
               percent_text(in, share_of(in, "shop.tax"), "of the offer"));
    amount_row(in, to, "with tax", total_of(in, "job.total"), (mw_str){"", 0});
    to->has_total = true;
}

/* ---- labour by trade ---- */

static int64_t labour_of(report *in, const posting_run *run, mw_str trade)
{
    int64_t sum = 0;
    for (uint32_t i = 0; i < run->count; i++) {
        const mw_posting *of = &run->items[i];
        if (of->kind == MW_POST_LABOUR && figure_asked(run->asked, of->mould) &&
            mw_same_name(mw_job_mould(in->job, of->mould).recipe->steps[of->step].trade, trade)) {
            sum += of->minor;
        }
    }
    return sum;
}

static void trade_table(report *in, const posting_run *run)
{
    const mw_shop *shop = mw_job_shop(in->job);
    grid *to = report_grid(in, "by_trade", "labour by trade");
    columns_text(to, "trade", "trade");
    columns_money(in, to, "labour", "labour");
    for (uint32_t i = 0; shop && i < shop->trade_count; i++) {
        const int64_t labour = labour_of(in, run, shop->trades[i].name);
        if (labour != 0) {
            grid_text(in, to, shop->trades[i].name);
            grid_money(in, to, labour);
        }
    }
    grid_text(in, to, mw_str_of("all"));
    grid_money(in, to, sum_of(run, MW_POST_LABOUR));
    to->has_total = true;
}

/* ---- payments, other money ---- */

static mw_status payment_table(report *in)
{
    const mw_due *dues;
    uint32_t count = 0;
    const mw_status status = mw_job_dues(in->job, &dues, &count, in->diags);
    grid *to = report_grid(in, "payments", "payments, with tax");
    columns_text(to, "what", "");
    columns_value(to, "share", "share", 2, in->percent);
    columns_date(to, "due", "due");
    columns_money(in, to, "amount", "amount");
    for (uint32_t i = 0; status == MW_OK && i < count; i++) {
        grid_text(in, to, dues[i].what);
        grid_value(in, to, dues[i].share, MW_TYPE_NUMBER, in->percent);
        if (isfinite(dues[i].due_s)) {
            grid_value(in, to, dues[i].due_s, MW_TYPE_DATE, MW_UNIT_ONE);
        } else {
            grid_none(in, to);
        }
        grid_money(in, to, dues[i].minor);
    }
    grid_text(in, to, mw_str_of("all"));
    grid_none(in, to);
    grid_none(in, to);
    grid_money(in, to, total_of(in, "job.total"));
    to->has_total = true;
    return status;
}

/* An amount in another currency, in words with its code: the money fields are of the shop's. */
static mw_str foreign_text(report *in, uint16_t currency, double amount)
{
    mw_measure *measure = mw_job_measure(in->job);
    mw_text text = {0};
    int64_t minor = 0;
    const int digits = mw_currency_digits(measure, currency);
    if (mw_money_minor(amount, digits, &minor)) {
        mw_money_words(minor, digits, ' ', &text);
    }
    mw_text_addf(&text, " %s", mw_currency_code(measure, currency));
    return report_take(in, &text);
}

static void currency_table(report *in)
{
    const mw_shop *shop = mw_job_shop(in->job);
    mw_measure *measure = mw_job_measure(in->job);
    if (!shop || shop->exchange_count == 0) {
        return;
    }
    grid *to = report_grid(in, "currencies", "with tax, in other money");
    columns_date(to, "money", "amount");
    columns_date(to, "rate", "rate");
    columns_date(to, "of", "rate of");
    for (uint32_t i = 0; i < shop->exchange_count; i++) {
        const mw_exchange *of = &shop->exchanges[i];
        mw_text rate = {0};
        mw_text_addf(&rate, "1 %s = ", mw_currency_code(measure, of->currency));
        mw_number_words(of->rate, &rate);
        mw_text_addf(&rate, " %s", in->currency);
        grid_text(in, to,
                  foreign_text(in, of->currency, mw_job_total(in->job, "job.total") / of->rate));
        grid_text(in, to, report_take(in, &rate));
        if (isfinite(shop->exchange_day_s)) {
            grid_value(in, to, shop->exchange_day_s, MW_TYPE_DATE, MW_UNIT_ONE);
        } else {
            grid_text(in, to, mw_str_of("no date"));
        }
    }
}

/* ---- parts and repeats ---- */

/* Shares of an amount over so many parts: `few` parts pay a minor unit more than the others. */
static void pull_row(report *in, grid *to, int64_t minor, int64_t parts)
{
    const int64_t low = minor / parts;
    const int64_t few = minor - low * parts;
    grid_value(in, to, (double)parts, MW_TYPE_NUMBER, MW_UNIT_ONE);
    grid_money(in, to, few > 0 ? low + 1 : low);
    grid_value(in, to, (double)(few > 0 ? few : parts), MW_TYPE_NUMBER, MW_UNIT_ONE);
    if (few > 0) {
        grid_money(in, to, low);
        grid_value(in, to, (double)(parts - few), MW_TYPE_NUMBER, MW_UNIT_ONE);
    } else {
        grid_none(in, to);
        grid_none(in, to);
    }
}

static void pull_table(report *in, int64_t minor)
{
    static const int64_t usual[] = {1, 10, 25, 50, 100, 250};
    const double wanted = mw_job_total(in->job, "shop.pulls");
    const int64_t pulls = wanted >= 1.0 && wanted <= 1e6 ? (int64_t)wanted : 1;
    bool placed = false;
    grid *to = report_grid(in, "pulls", "mould cost of a part, over so many parts, before tax");
    columns_value(to, "parts", "parts", 0, MW_NONE);
    columns_money(in, to, "each", "each");
    columns_value(to, "of_them", "of them", 0, MW_NONE);
    columns_money(in, to, "others", "others");
    columns_value(to, "of_others", "of them", 0, MW_NONE);
    for (size_t i = 0; i < sizeof usual / sizeof *usual; i++) {
        if (!placed && pulls <= usual[i]) {
            placed = true;
            if (pulls < usual[i]) {
                pull_row(in, to, minor, pulls);
            }
        }
        pull_row(in, to, minor, usual[i]);
    }
    if (!placed) {
        pull_row(in, to, minor, pulls);
    }
}

/* The n-th set of the same moulds: labour by the learning curve, the rest as before. */
static void repeat_table(report *in, const posting_run *run)
{
    static const int numbers[] = {1, 2, 3, 4, 5, 10};
    const double learning = share_of(in, "shop.learning");
    const int64_t labour = sum_of(run, MW_POST_LABOUR);
    const int64_t rest = sum_of(run, MW_POST_KINDS) - labour;
    if (!(learning < 1.0)) {
        return;
    }
    grid *to = report_grid(in, "repeats", "the same again, by the learning curve");
    columns_value(to, "number", "number", 0, MW_NONE);
    columns_money(in, to, "labour", "labour");
    columns_money(in, to, "rest", "all else");
    columns_money(in, to, "cost", "cost");
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) {
        const int64_t again = mw_job_repeat(in->job, labour, numbers[i]);
        grid_value(in, to, numbers[i], MW_TYPE_NUMBER, MW_UNIT_ONE);
        grid_money(in, to, again);
        grid_money(in, to, rest);
        grid_money(in, to, again + rest);
    }
    report_note(
        in, false,
        percent_text(in, learning, "of the labour at each doubling of the number (unit form)"));
}

static void margin_note(report *in)
{
    const double margin = share_of(in, "shop.margin");
    mw_text text = {0};
    mw_text_adds(&text,
                 "A margin is a share of the price, a mark-up a share of the cost: a margin of ");
    mw_number_words(margin * 100.0, &text);
    mw_text_adds(&text, " % is a mark-up of ");
    mw_number_words(round(mw_markup_of_margin(margin) * 1e4) / 100.0, &text);
    mw_text_adds(&text, " %.");
    report_note(in, false, report_take(in, &text));
    report_note(in, false,
                mw_str_of("Each posting (mould, step, kind of cost) is rounded once, halves away "
                          "from zero; every table here groups postings."));
}

mw_status report_pricing(report *in, uint32_t mould)
{
    posting_run run = {.asked = mould};
    mw_status status = mw_job_postings(in->job, mould, &run.items, &run.count, in->diags);
    if (status != MW_OK) {
        return status;
    }
    const bool whole = mould == MW_NONE && mw_job_shop(in->job);
    cost_table(in, &run);
    price_table(in, &run);
    if (whole) {
        offer_table(in, &run);
    }
    trade_table(in, &run);
    if (whole) {
        status = payment_table(in);
        currency_table(in);
    }
    pull_table(in, whole ? total_of(in, "job.offer") : sum_of(&run, -1));
    repeat_table(in, &run);
    margin_note(in);
    return status;
}
