/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What drives the result: each input low and high with the others as they stand, and indices of variance. */
#include <math.h>

#include "mouldwright/memory.h"
#include "risk.h"

enum { TILE = MW_RISK_TILE };

/* The value of a target when its input is low (share 0.1) or high (0.9). */
static double swing_value(const risk_model *model, const risk_target *of, bool high)
{
    if (of->shape.shape == MW_RISK_CHANCE) {
        return risk_typed(model, of, of->shape.at[high ? 1 : 2]);
    }
    return risk_typed(model, of, mw_risk_value(&of->shape, high ? 0.9 : 0.1));
}

/* Fills lanes with the trial as it stands, but for one swing a lane: number first + lane. */
static mw_status fill_swings(risk_session *on, risk_bench *bench, uint32_t first)
{
    const risk_model *model = &on->model;
    for (uint32_t t = 0; t < model->target_count; t++) {
        const risk_target *of = &model->targets[t];
        double *column = mw_lanes_give(bench->lanes, of->cell);
        if (!column) {
            return MW_NO_MEMORY;
        }
        for (uint32_t s = 0; s < TILE; s++) {
            uint32_t swing = first + s;
            column[s] = swing / 2 == of->input ? swing_value(model, of, swing % 2 == 1)
                                               : mw_sheet_value(bench->in->sheet, of->cell);
        }
    }
    return MW_OK;
}

static mw_status run_swings(risk_session *on, mw_risk_input_view *views, double *swings)
{
    const uint32_t rows = on->watch.row_count;
    const uint32_t count = 2 * on->model.input_count;
    double *out = mw_memory_get((size_t)on->watch.cell_count * TILE * sizeof *out);
    mw_status status = out ? MW_OK : MW_NO_MEMORY;
    for (uint32_t first = 0; status == MW_OK && first < count; first += TILE) {
        status = fill_swings(on, &on->work.benches[0], first);
        if (status == MW_OK) {
            status = risk_compute(&on->work.plan, &on->work.benches[0], out);
        }
        for (uint32_t s = 0; status == MW_OK && s < TILE && first + s < count; s++) {
            for (uint32_t r = 0; r < rows; r++) {
                swings[(size_t)(first + s) * rows + r] =
                    risk_row_value(&on->watch, r, out + s, TILE);
            }
        }
    }
    for (uint32_t i = 0; i < on->model.input_count; i++) {
        views[i].low_swing = swings + (size_t)(2 * i) * rows;
        views[i].high_swing = swings + (size_t)(2 * i + 1) * rows;
    }
    mw_memory_give(out);
    return status;
}

/* Results of one row in one design; false: in some sample it has no value. */
static bool row_results(const risk_session *on, uint32_t row, uint32_t design, double *out)
{
    bool all = true;
    for (uint32_t s = 0; s < on->work.done; s++) {
        const double *cells = risk_work_results(&on->work, design, 0) + s;
        out[s] = risk_row_value(&on->watch, row, cells, on->work.samples);
        all = all && !isnan(out[s]);
    }
    return all;
}

static mw_status find_indices(risk_session *on, mw_risk_input_view *views, mw_risk_index *indices)
{
    const uint32_t rows = on->watch.row_count;
    const size_t count = on->work.done;
    double *room = mw_memory_get((3 * count + 1) * sizeof *room);
    if (!room) {
        return MW_NO_MEMORY;
    }
    for (uint32_t r = 0; r < rows; r++) {
        bool sound = row_results(on, r, 0, room) && row_results(on, r, 1, room + count);
        for (uint32_t i = 0; i < on->model.input_count; i++) {
            mw_risk_index *to = &indices[(size_t)i * rows + r];
            const mw_risk_figure none = {(double)NAN, (double)NAN};
            bool all = sound && row_results(on, r, 2 + i, room + 2 * count);
            *to = all ? mw_risk_index_of(room, room + count, room + 2 * count, count)
                      : (mw_risk_index){none, none};
            views[i].indices = indices + (size_t)i * rows;
        }
    }
    mw_memory_give(room);
    return MW_OK;
}

mw_status risk_answer_drives(risk_session *on)
{
    const uint32_t n = on->model.input_count;
    const size_t figures = (size_t)n * on->watch.row_count;
    mw_risk_input_view *views = mw_arena_get(on->job->scratch, (n + 1) * sizeof *views);
    double *swings = mw_arena_get(on->job->scratch, (2 * figures + 1) * sizeof *swings);
    mw_risk_index *indices = mw_arena_get(on->job->scratch, (figures + 1) * sizeof *indices);
    if (!views || !swings || !indices) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < n; i++) {
        const risk_input *input = &on->model.inputs[i];
        views[i] = (mw_risk_input_view){.name = input->name, .from = input->at};
        if (input->target_count > 0) {
            const risk_target *of = &on->model.targets[input->first_target];
            views[i].low = swing_value(&on->model, of, false);
            views[i].high = swing_value(&on->model, of, true);
            views[i].type = of->type;
            views[i].unit = of->unit;
        }
    }
    on->reply->inputs = views;
    on->reply->input_count = n;
    mw_status status = MW_OK;
    if (on->ask.drives) {
        status = run_swings(on, views, swings);
    }
    if (status == MW_OK && on->work.designs > 1) {
        status = find_indices(on, views, indices);
    }
    return status;
}
