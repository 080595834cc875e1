/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop: people, machines and places, shifts, what it is run by, and work already promised. */
#include "figures.h"

/* What a value of the shop is worth in the job, such as `shop.layer_rate`. */
static void global_field(report *in, grid *to, mw_str name, const char *ending)
{
    mw_text path = {0};
    mw_text_adds(&path, "shop.");
    mw_name_word(name, &path);
    mw_text_adds(&path, ending);
    mw_str words = {mw_text_chars(&path), path.length};
    uint32_t cell = path.failed ? MW_NONE : mw_sheet_find(mw_job_sheet(in->job), words);
    in->lost = in->lost || path.failed;
    mw_text_free(&path);
    if (cell == MW_NONE) {
        grid_none(in, to);
    } else {
        grid_cell(in, to, cell);
    }
}

static void people(report *in, const mw_shop *shop)
{
    grid *to = report_grid(in, "people", "people");
    columns_text(to, "trade", "trade");
    columns_value(to, "count", "count", 0, MW_NONE);
    columns_date(to, "rate", "rate");
    columns_text(to, "shift", "shift");
    for (uint32_t i = 0; i < shop->trade_count; i++) {
        grid_text(in, to, shop->trades[i].name);
        grid_value(in, to, shop->trades[i].count, MW_TYPE_NUMBER, MW_UNIT_ONE);
        global_field(in, to, shop->trades[i].name, "_rate");
        grid_text(in, to, shop->trades[i].shift);
    }
}

static void machines(report *in, const mw_shop *shop)
{
    grid *to = report_grid(in, "machines", "machines and places");
    columns_text(to, "machine", "machine");
    columns_value(to, "count", "count", 0, MW_NONE);
    columns_date(to, "rate", "rate");
    columns_text(to, "shift", "shift");
    for (uint32_t i = 0; i < shop->machine_count; i++) {
        grid_text(in, to, shop->machines[i].name);
        grid_value(in, to, shop->machines[i].count, MW_TYPE_NUMBER, MW_UNIT_ONE);
        global_field(in, to, shop->machines[i].name, "_rate");
        grid_text(in, to, shop->machines[i].shift);
    }
}

/* `08:00-12:00 12:30-16:30` */
static mw_str stretches_text(report *in, const mw_stretch *stretches, uint32_t count)
{
    mw_text text = {0};
    for (uint32_t i = 0; i < count; i++) {
        int from = stretches[i].from_minute;
        int to = stretches[i].to_minute;
        mw_text_addf(&text, "%s%02d:%02d-%02d:%02d", i ? " " : "", from / 60, from % 60, to / 60,
                     to % 60);
    }
    return report_take(in, &text);
}

static void shifts(report *in, const mw_shop *shop)
{
    static const char *const days[] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
    grid *to = report_grid(in, "shifts", "shifts");
    columns_text(to, "shift", "shift");
    columns_text(to, "day", "day");
    columns_text(to, "hours", "hours");
    for (uint32_t i = 0; i < shop->shift_count; i++) {
        const mw_shift *shift = &shop->shifts[i];
        for (uint32_t day = 0; day < 7; day++) {
            if (shift->stretch_count[day] > 0) {
                grid_text(in, to, shift->name);
                grid_text(in, to, mw_str_of(days[day]));
                grid_text(in, to, stretches_text(in, shift->day[day], shift->stretch_count[day]));
            }
        }
    }
}

static void run_by(report *in, const mw_shop *shop)
{
    grid *to = report_grid(in, "values", "values");
    columns_text(to, "name", "name");
    columns_date(to, "result", "value");
    columns_text(to, "source", "");
    for (uint32_t i = 0; i < shop->line_count; i++) {
        grid_text(in, to, shop->lines[i].name);
        global_field(in, to, shop->lines[i].name, "");
        grid_text(in, to, shop->lines[i].source);
    }
}

static void promised(report *in, const mw_shop *shop)
{
    if (shop->promise_count == 0 && !in->style->json) {
        return;
    }
    grid *to = report_grid(in, "promised", "promised to others");
    columns_text(to, "what", "what");
    columns_text(to, "holds", "holds");
    columns_value(to, "amount", "of them", 0, MW_NONE);
    columns_date(to, "from", "from");
    columns_date(to, "until", "until");
    for (uint32_t i = 0; i < shop->promise_count; i++) {
        const mw_promise *of = &shop->promises[i];
        grid_text(in, to, of->what);
        grid_text(in, to, of->holds);
        grid_value(in, to, of->amount, MW_TYPE_NUMBER, MW_UNIT_ONE);
        grid_value(in, to, of->from_s, MW_TYPE_DATE, MW_UNIT_ONE);
        grid_value(in, to, of->until_s, MW_TYPE_DATE, MW_UNIT_ONE);
    }
}

mw_status report_shop(report *in)
{
    const mw_shop *shop = mw_job_shop(in->job);
    if (!shop) {
        mw_diag *diag = mw_diags_error(in->diags, MW_CODE_NO_SHOP, (mw_span){.source = MW_NONE},
                                       "the job names no shop");
        mw_diag_try(in->diags, diag, "shop \"saltmarsh\"");
        return MW_FAILED;
    }
    people(in, shop);
    machines(in, shop);
    shifts(in, shop);
    run_by(in, shop);
    promised(in, shop);
    return MW_OK;
}
