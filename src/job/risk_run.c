/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tiles of samples through a trial: shares become values of cells, values become columns of what is watched. */
#include <math.h>

#include "mouldwright/memory.h"
#include "risk.h"

enum { TILE = MW_RISK_TILE };

mw_status risk_bench_make(risk_model *model, risk_bench *out, mw_diags *diags)
{
    *out = (risk_bench){0};
    mw_status status = build_make(model->job, &model->document, &out->in, diags);
    if (status == MW_OK) {
        plan_node_quiet(out->in->plan, true);
        out->lanes = mw_lanes_new(mw_sheet_count(out->in->sheet), TILE);
        status = out->lanes ? MW_OK : MW_NO_MEMORY;
    }
    return status;
}

void risk_bench_free(risk_bench *bench)
{
    mw_lanes_free(bench->lanes);
    build_free(bench->in);
    *bench = (risk_bench){0};
}

/* A value as it comes back when it is typed in its unit: to the last bit. Days are whole. */
double risk_typed(const risk_model *model, const risk_target *of, double value)
{
    const mw_measure *measure = model->job->measure;
    if (of->type == MW_TYPE_DATE) {
        return floor(value / MW_DAY_S) * MW_DAY_S;
    }
    value = value < of->low ? of->low : value > of->high ? of->high : value;
    double shown = of->unit == MW_UNIT_ONE ? value : mw_unit_from_si(measure, of->unit, value);
    shown = of->whole ? round(shown) : shown;
    return of->unit == MW_UNIT_ONE ? shown : mw_unit_to_si(measure, of->unit, shown);
}

/* The shares of one input. */
static void shares_of(const risk_plan *plan, const risk_draw *draw, uint32_t input, double *shares)
{
    uint32_t shift = draw->shift;
    if (draw->swapped == input) {
        shift = shift > 0 ? 0 : plan->model->input_count;
    }
    mw_risk_shares(plan->sampler, input + shift, draw->tile, shares);
}

/* With ties, all inputs of a sample have to be known at once. */
static mw_status tied_shares(const risk_plan *plan, const risk_draw *draw, double *all)
{
    const uint32_t n = plan->model->input_count;
    double one[TILE];
    for (uint32_t i = 0; i < n; i++) {
        shares_of(plan, draw, i, one);
        for (uint32_t s = 0; s < TILE; s++) {
            all[(size_t)s * n + i] = one[s];
        }
    }
    for (uint32_t s = 0; s < TILE; s++) {
        mw_risk_bond_shares(plan->bonds, all + (size_t)s * n);
    }
    return MW_OK;
}

mw_status risk_fill(const risk_plan *plan, const risk_draw *draw, mw_lanes *lanes)
{
    const risk_model *model = plan->model;
    const uint32_t n = model->input_count;
    double *all = plan->bonds ? mw_memory_get((size_t)n * TILE * sizeof *all) : NULL;
    if (plan->bonds && !all) {
        return MW_NO_MEMORY;
    }
    mw_status status = all ? tied_shares(plan, draw, all) : MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < n; i++) {
        double shares[TILE];
        if (!all) {
            shares_of(plan, draw, i, shares);
        }
        for (uint32_t s = 0; all && s < TILE; s++) {
            shares[s] = all[(size_t)s * n + i];
        }
        const risk_input *input = &model->inputs[i];
        for (uint32_t t = 0; t < input->target_count; t++) {
            const risk_target *of = &model->targets[input->first_target + t];
            double *column = mw_lanes_give(lanes, of->cell);
            if (!column) {
                status = MW_NO_MEMORY;
                break;
            }
            mw_risk_draw(of->drawer, shares, column, TILE);
            for (uint32_t s = 0; s < TILE; s++) {
                column[s] = risk_typed(model, of, column[s]);
            }
        }
    }
    mw_memory_give(all);
    return status;
}

mw_status risk_fix(const risk_model *model, const double *values, mw_lanes *lanes)
{
    for (uint32_t t = 0; t < model->target_count; t++) {
        double *column = mw_lanes_give(lanes, model->targets[t].cell);
        if (!column) {
            return MW_NO_MEMORY;
        }
        for (uint32_t s = 0; s < TILE; s++) {
            column[s] = values[t];
        }
    }
    return MW_OK;
}

mw_status risk_compute(const risk_plan *plan, risk_bench *bench, double *out)
{
    mw_status status = mw_sheet_lanes(bench->in->sheet, bench->lanes, NULL);
    for (uint32_t c = 0; status == MW_OK && c < plan->cell_count; c++) {
        const double *column = mw_lanes_column(bench->lanes, plan->cells[c]);
        for (uint32_t s = 0; s < TILE; s++) {
            out[(size_t)c * TILE + s] =
                column ? column[s] : mw_sheet_value(bench->in->sheet, plan->cells[c]);
        }
    }
    mw_lanes_clear(bench->lanes);
    return status;
}
