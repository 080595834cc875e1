/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Take-off: what is used of each material, net and lost, and what it costs; then by mould. */
#include "figures.h"

#include <math.h>

#define TAKEOFF_DECIMALS 2

/* Net and lost of a row add up to its total in print. */
static void amount_fields(report *in, grid *to, const mw_need *need)
{
    mw_measure *measure = mw_job_measure(in->job);
    mw_unit unit = need->material->stock_unit;
    mw_type type = need->material->stock_type;
    bool sound = isfinite(need->total);
    int64_t total = sound ? round_units(measure, need->total, unit, TAKEOFF_DECIMALS) : 0;
    int64_t net = sound ? round_units(measure, need->net, unit, TAKEOFF_DECIMALS) : 0;
    const double values[] = {need->net, need->lost, need->total};
    const int64_t units[] = {net, total - net, total};
    for (int i = 0; i < 3; i++) {
        field made = {.kind = FIELD_VALUE,
                      .value = values[i],
                      .type = type,
                      .unit = unit,
                      .fixed = sound,
                      .units = units[i],
                      .own_unit = i == 2};
        grid_field(in, to, &made);
    }
}

static mw_status by_material(report *in, uint32_t mould)
{
    const mw_need *needs;
    uint32_t count = 0;
    mw_status status = mw_job_needs(in->job, mould, &needs, &count, in->diags);
    if (status != MW_OK) {
        return status;
    }
    bool whole = mould == MW_NONE;
    int64_t cost = 0;
    int64_t left_over = 0;
    grid *to = report_grid(in, "materials", NULL);
    columns_text(to, "material", "material");
    columns_value(to, "net", "net", TAKEOFF_DECIMALS, MW_NONE);
    columns_value(to, "lost", "lost", TAKEOFF_DECIMALS, MW_NONE);
    columns_value(to, "total", "total", TAKEOFF_DECIMALS, MW_NONE);
    columns_money(in, to, "cost", "cost");
    if (whole) {
        columns_value(to, "packs", "packs", 0, MW_NONE);
        columns_value(to, "left_over", "left over", TAKEOFF_DECIMALS, MW_NONE);
    }
    for (uint32_t i = 0; i < count; i++) {
        const mw_need *need = &needs[i];
        grid_text(in, to, need->material->name);
        amount_fields(in, to, need);
        grid_money(in, to, need->cost_minor);
        cost += need->cost_minor;
        left_over += need->left_over_minor;
        if (whole) {
            grid_value(in, to, need->packs, MW_TYPE_NUMBER, MW_UNIT_ONE);
            grid_value(in, to, need->left_over, need->material->stock_type,
                       need->material->stock_unit);
        }
    }
    grid_text(in, to, mw_str_of("all"));
    for (int i = 0; i < 3; i++) {
        grid_none(in, to);
    }
    grid_money(in, to, cost);
    for (int i = 0; whole && i < 2; i++) {
        grid_none(in, to);
    }
    to->has_total = true;
    if (whole) {
        mw_text worth = {0};
        mw_text_adds(&worth, "what is left over from whole packs is worth ");
        mw_money_words(left_over, in->digits, ' ', &worth);
        mw_text_addf(&worth, " %s; it belongs to the job, to no mould", in->currency);
        report_note(in, false, report_take(in, &worth));
    }
    return MW_OK;
}

/* The parts of one material over the moulds add up in print to its total above. */
static void split_over_moulds(report *in, grid *to, const mw_need *whole)
{
    mw_measure *measure = mw_job_measure(in->job);
    uint32_t rows = to->field_count / to->column_count;
    double *shares = mw_arena_get(in->arena, (rows + 1) * sizeof *shares);
    int64_t *parts = mw_arena_get(in->arena, (rows + 1) * sizeof *parts);
    field **fields = mw_arena_get(in->arena, (rows + 1) * sizeof *fields);
    uint32_t count = 0;
    if (!shares || !parts || !fields || !isfinite(whole->total)) {
        in->lost = in->lost || !shares || !parts || !fields;
        return;
    }
    for (uint32_t r = 0; r < rows; r++) {
        field *name = &to->fields[r * to->column_count + 1];
        if (mw_str_equal(name->text, whole->material->name)) {
            fields[count] = name + 1;
            shares[count++] = (name + 1)->value;
        }
    }
    int64_t total =
        round_units(measure, whole->total, whole->material->stock_unit, TAKEOFF_DECIMALS);
    if (mw_money_split(total, shares, count, parts)) {
        for (uint32_t i = 0; i < count; i++) {
            fields[i]->fixed = true;
            fields[i]->units = parts[i];
        }
    }
}

static mw_status by_mould(report *in)
{
    grid *to = report_grid(in, "by_mould", "by mould");
    columns_text(to, "mould", "mould");
    columns_text(to, "material", "material");
    columns_value(to, "total", "total", TAKEOFF_DECIMALS, MW_NONE);
    columns_money(in, to, "cost", "cost");
    int64_t cost = 0;
    for (uint32_t m = 0; m < mw_job_mould_count(in->job); m++) {
        const mw_need *needs;
        uint32_t count = 0;
        mw_status status = mw_job_needs(in->job, m, &needs, &count, in->diags);
        if (status != MW_OK) {
            return status;
        }
        for (uint32_t i = 0; i < count; i++) {
            grid_text(in, to, mw_job_mould(in->job, m).name);
            grid_text(in, to, needs[i].material->name);
            field made = {.kind = FIELD_VALUE,
                          .value = needs[i].total,
                          .type = needs[i].material->stock_type,
                          .unit = needs[i].material->stock_unit,
                          .own_unit = true};
            grid_field(in, to, &made);
            grid_money(in, to, needs[i].cost_minor);
            cost += needs[i].cost_minor;
        }
    }
    const mw_need *whole;
    uint32_t count = 0;
    mw_status status = mw_job_needs(in->job, MW_NONE, &whole, &count, in->diags);
    for (uint32_t i = 0; status == MW_OK && i < count; i++) {
        split_over_moulds(in, to, &whole[i]);
    }
    grid_text(in, to, mw_str_of("all"));
    grid_none(in, to);
    grid_none(in, to);
    grid_money(in, to, cost);
    to->has_total = true;
    return status;
}

mw_status report_takeoff(report *in, uint32_t mould)
{
    mw_status status = by_material(in, mould);
    return status == MW_OK && mould == MW_NONE ? by_mould(in) : status;
}
