/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Buying: packs of each material, orders by supplier and week, spending by week, left-overs as a line of the job. */
#include "figures.h"

#include <math.h>
#include <string.h>

#include "mouldwright/buying.h"

#define BUYING_DECIMALS 2

/* What is bought. */
typedef struct purchase_list {
    const mw_purchase *items;
    uint32_t count;
} purchase_list;

static void amount(report *in, grid *to, const mw_purchase *of, double value)
{
    const field made = {.kind = FIELD_VALUE,
                        .value = value,
                        .type = of->material->stock_type,
                        .unit = of->material->stock_unit,
                        .own_unit = true};
    grid_field(in, to, &made);
}

static void date_field(report *in, grid *to, double moment_s)
{
    if (isfinite(moment_s)) {
        grid_value(in, to, moment_s, MW_TYPE_DATE, MW_UNIT_ONE);
    } else {
        grid_none(in, to);
    }
}

static mw_str week_of(report *in, double moment_s)
{
    mw_text text = {0};
    if (isfinite(moment_s)) {
        mw_date_week_words(moment_s, &text);
    } else {
        mw_text_adds(&text, "no date");
    }
    return report_take(in, &text);
}

/* `32 kg`, with the part that it holds. */
static void pack_words(report *in, const mw_purchase *of, uint32_t i, mw_text *out)
{
    const mw_pack *pack = &of->material->packs[i];
    mw_value_words(mw_job_measure(in->job), pack->size, of->material->stock_type,
                   of->material->stock_unit, out);
    if (pack->part != MW_NONE) {
        mw_text_addc(out, ' ');
        mw_text_add_str(out, of->material->parts[pack->part].name);
    }
}

/* `2 x 32 kg + 1 x 6.5 kg`; from stock alone: `none`. */
static mw_str packs_text(report *in, const mw_purchase *of)
{
    mw_text text = {0};
    for (uint32_t i = 0; i < of->material->pack_count; i++) {
        if (of->counts[i] > 0) {
            mw_text_addf(&text, "%s%u x ", text.length ? " + " : "", (unsigned)of->counts[i]);
            pack_words(in, of, i, &text);
        }
    }
    mw_text_adds(&text, text.length ? "" : "none");
    return report_take(in, &text);
}

static const char *keeps_word(mw_keeps keeps)
{
    switch (keeps) {
    case MW_KEEPS_UNKNOWN:
        return "not known";
    case MW_KEEPS_YES:
        return "yes";
    case MW_KEEPS_NO:
        return "no";
    case MW_KEEPS_NOTHING:
        return "";
    }
    return "";
}

/* ---- by material ---- */

static void material_row(report *in, grid *to, const mw_purchase *of)
{
    grid_text(in, to, of->material->name);
    amount(in, to, of, of->needed);
    amount(in, to, of, of->from_stock);
    grid_text(in, to, packs_text(in, of));
    amount(in, to, of, of->left_over);
    grid_text(in, to, mw_str_of(keeps_word(of->keeps)));
    grid_money(in, to, of->cost);
}

static void by_material(report *in, purchase_list list)
{
    grid *to = report_grid(in, "materials", NULL);
    int64_t cost = 0;
    columns_text(to, "material", "material");
    columns_value(to, "needed", "needed", BUYING_DECIMALS, MW_NONE);
    columns_value(to, "from_stock", "from stock", BUYING_DECIMALS, MW_NONE);
    to->columns[to->column_count - 1].spare = true;
    columns_text(to, "packs", "packs");
    columns_value(to, "left_over", "left over", BUYING_DECIMALS, MW_NONE);
    columns_text(to, "keeps", "keeps");
    to->columns[to->column_count - 1].spare = true;
    columns_money(in, to, "cost", "cost");
    for (uint32_t i = 0; i < list.count; i++) {
        material_row(in, to, &list.items[i]);
        cost += list.items[i].cost;
    }
    grid_text(in, to, mw_str_of("all"));
    for (int i = 0; i < 5; i++) {
        grid_none(in, to);
    }
    grid_money(in, to, cost);
    to->has_total = true;
}

/* For machines: each pack by itself, with what it holds and costs. */
static void by_pack(report *in, purchase_list list)
{
    grid *to = report_grid(in, "packs", NULL);
    columns_text(to, "material", "material");
    columns_text(to, "part", "part");
    columns_value(to, "size", "size", BUYING_DECIMALS, MW_NONE);
    columns_value(to, "count", "count", 0, MW_NONE);
    columns_money(in, to, "cost", "cost");
    for (uint32_t i = 0; i < list.count; i++) {
        const mw_purchase *of = &list.items[i];
        for (uint32_t k = 0; k < of->material->pack_count; k++) {
            const uint32_t part = of->material->packs[k].part;
            if (of->counts[k] == 0) {
                continue;
            }
            grid_text(in, to, of->material->name);
            grid_text(in, to, part == MW_NONE ? (mw_str){"", 0} : of->material->parts[part].name);
            amount(in, to, of, of->material->packs[k].size);
            grid_value(in, to, of->counts[k], MW_TYPE_NUMBER, MW_UNIT_ONE);
            grid_money(in, to, of->lines[k]);
        }
    }
}

/* ---- orders ---- */

static int compare_texts(mw_str a, mw_str b)
{
    const size_t shorter = a.length < b.length ? a.length : b.length;
    const int order = shorter ? memcmp(a.at, b.at, shorter) : 0;
    return order != 0 ? order : (a.length > b.length) - (a.length < b.length);
}

/* Whether `a` is ordered before `b`: by day, then by supplier, then as they stand. */
static int compare_orders(const mw_purchase *a, const mw_purchase *b)
{
    const double day_a = isfinite(a->order_by_s) ? a->order_by_s : (double)INFINITY;
    const double day_b = isfinite(b->order_by_s) ? b->order_by_s : (double)INFINITY;
    if (day_a != day_b) {
        return day_a < day_b ? -1 : 1;
    }
    return compare_texts(a->supplier, b->supplier);
}

/* What is bought and not only taken from stock, in the order in which it is ordered. */
static const mw_purchase **orders_of(report *in, purchase_list list, uint32_t *count)
{
    const mw_purchase **made = mw_arena_get(in->arena, (list.count + 1) * sizeof *made);
    *count = 0;
    in->lost = in->lost || !made;
    for (uint32_t i = 0; made && i < list.count; i++) {
        uint32_t at = *count;
        if (list.items[i].cost == 0 && list.items[i].bought == 0.0) {
            continue;
        }
        for (; at > 0 && compare_orders(&list.items[i], made[at - 1]) < 0; at--) {
            made[at] = made[at - 1];
        }
        made[at] = &list.items[i];
        (*count)++;
    }
    return made;
}

static void by_order(report *in, const mw_purchase **orders, uint32_t count)
{
    grid *to = report_grid(in, "orders", "orders by week and supplier");
    int64_t cost = 0;
    columns_text(to, "week", "week");
    columns_date(to, "order_by", "order by");
    columns_text(to, "supplier", "supplier");
    columns_text(to, "material", "material");
    columns_date(to, "first_use", "first use");
    to->columns[to->column_count - 1].spare = true;
    columns_money(in, to, "cost", "cost");
    for (uint32_t i = 0; i < count; i++) {
        grid_text(in, to, week_of(in, orders[i]->order_by_s));
        date_field(in, to, orders[i]->order_by_s);
        grid_text(in, to, orders[i]->supplier);
        grid_text(in, to, orders[i]->material->name);
        date_field(in, to, orders[i]->first_use_s);
        grid_money(in, to, orders[i]->cost);
        cost += orders[i]->cost;
    }
    grid_text(in, to, mw_str_of("all"));
    for (int i = 0; i < 4; i++) {
        grid_none(in, to);
    }
    grid_money(in, to, cost);
    to->has_total = true;
}

static bool same_week(double a_s, double b_s)
{
    int year[2];
    int week[2];
    if (!isfinite(a_s) || !isfinite(b_s)) {
        return !isfinite(a_s) && !isfinite(b_s);
    }
    mw_day_week((int32_t)floor(a_s / MW_DAY_S), &year[0], &week[0]);
    mw_day_week((int32_t)floor(b_s / MW_DAY_S), &year[1], &week[1]);
    return year[0] == year[1] && week[0] == week[1];
}

static void by_week(report *in, const mw_purchase **orders, uint32_t count)
{
    grid *to = report_grid(in, "weeks", "spending by week of the order");
    int64_t all = 0;
    columns_text(to, "week", "week");
    columns_money(in, to, "cost", "cost");
    columns_money(in, to, "so_far", "so far");
    for (uint32_t i = 0; i < count;) {
        const double first_s = orders[i]->order_by_s;
        int64_t cost = 0;
        for (; i < count && same_week(first_s, orders[i]->order_by_s); i++) {
            cost += orders[i]->cost;
        }
        all += cost;
        grid_text(in, to, week_of(in, first_s));
        grid_money(in, to, cost);
        grid_money(in, to, all);
    }
    grid_text(in, to, mw_str_of("all"));
    grid_money(in, to, all);
    grid_none(in, to);
    to->has_total = true;
}

/* Suppliers in the order of their first order. */
static void by_supplier(report *in, const mw_purchase **orders, uint32_t count)
{
    grid *to = report_grid(in, "suppliers", "by supplier");
    int64_t all = 0;
    columns_text(to, "supplier", "supplier");
    columns_money(in, to, "cost", "cost");
    for (uint32_t i = 0; i < count; i++) {
        int64_t cost = 0;
        bool first = true;
        for (uint32_t k = 0; k < count; k++) {
            const bool same = mw_str_equal(orders[k]->supplier, orders[i]->supplier);
            first = first && !(same && k < i);
            cost += same ? orders[k]->cost : 0;
        }
        if (first) {
            grid_text(in, to, orders[i]->supplier);
            grid_money(in, to, cost);
            all += cost;
        }
    }
    grid_text(in, to, mw_str_of("all"));
    grid_money(in, to, all);
    to->has_total = true;
}

/* ---- the job's line ---- */

static void job_row(report *in, grid *to, const char *what, int64_t minor)
{
    grid_text(in, to, mw_str_of(what));
    grid_money(in, to, minor);
}

static void of_job(report *in, purchase_list list)
{
    int64_t charged = 0;
    int64_t bought = 0;
    for (uint32_t i = 0; i < list.count; i++) {
        charged += list.items[i].charged;
        bought += list.items[i].cost;
    }
    grid *to = report_grid(in, "job", "against what the moulds are charged");
    columns_text(to, "what", "");
    columns_money(in, to, "amount", "");
    job_row(in, to, "material in the moulds' cost", charged);
    job_row(in, to, "left over, less stock and low prices", bought - charged);
    job_row(in, to, "packs bought", bought);
    to->has_total = true;
}

static void add_notes(report *in, purchase_list list, uint32_t mould)
{
    report_note(in, false,
                mw_str_of("Packs are the cheapest that cover the need; the moulds are charged at "
                          "the usual pack's price for what they use, losses included."));
    if (mould != MW_NONE) {
        report_note(in, false,
                    mw_str_of("One mould bought for by itself: together with the "
                              "others it may take fewer packs."));
    }
    for (uint32_t i = 0; i < list.count; i++) {
        const mw_purchase *of = &list.items[i];
        const int length = (int)of->material->name.length;
        const char *name = of->material->name.at;
        if (of->late) {
            mw_text text = {0};
            mw_text_addf(&text, "%.*s had to be ordered by ", length, name);
            mw_date_day_words(of->order_by_s, &text);
            mw_text_adds(&text, ": its lead time is longer than the time that is left");
            report_note(in, true, report_take(in, &text));
        }
        if (of->keeps == MW_KEEPS_NO) {
            report_note(in, true,
                        report_text(in, "what is left of %.*s will not keep until the next job",
                                    length, name));
        }
        if (!of->proven) {
            report_note(in, true,
                        report_text(in,
                                    "%.*s: these packs may not be the very cheapest; there "
                                    "are too many ways to choose",
                                    length, name));
        }
    }
}

mw_status report_buying(report *in, uint32_t mould)
{
    purchase_list list = {NULL, 0};
    uint32_t count = 0;
    mw_status status = mw_job_purchases(in->job, mould, &list.items, &list.count, in->diags);
    if (status != MW_OK) {
        return status;
    }
    const mw_purchase **orders = orders_of(in, list, &count);
    if (!orders) {
        return MW_NO_MEMORY;
    }
    by_material(in, list);
    if (in->style->json) {
        by_pack(in, list);
    }
    by_order(in, orders, count);
    by_supplier(in, orders, count);
    by_week(in, orders, count);
    of_job(in, list);
    add_notes(in, list, mould);
    return MW_OK;
}
