/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One sample as statements: typed in, they give its figures to the last bit. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "risk.h"

enum { TILE = MW_RISK_TILE };

/* The values of all targets in one sample. */
typedef struct one_sample {
    risk_session *on;
    double *values; /* by target */
    mw_str *lines;
    uint32_t line_count;
} one_sample;

/* 17 digits, which are read back as the same number. */
static void value_words(const one_sample *of, const risk_target *target, double value, mw_text *out)
{
    const mw_measure *measure = of->on->job->measure;
    if (target->type == MW_TYPE_DATE) {
        mw_date_words(value, out);
        return;
    }
    bool bare = target->unit == MW_UNIT_ONE;
    double shown = bare ? value : mw_unit_from_si(measure, target->unit, value);
    /* that which becomes this very value */
    for (int i = 0; !bare && i < 8 && mw_unit_to_si(measure, target->unit, shown) != value; i++) {
        shown = nextafter(shown, mw_unit_to_si(measure, target->unit, shown) < value
                                     ? (double)INFINITY
                                     : -(double)INFINITY);
    }
    mw_text_addf(out, "%.17g", shown);
    if (!bare) {
        mw_text_addc(out, ' ');
        mw_unit_words(measure, target->unit, out);
    }
}

static mw_status add_line(one_sample *of, mw_text *words)
{
    mw_str line = job_copy(of->on->job->scratch, (mw_str){mw_text_chars(words), words->length});
    bool lost = words->failed || !line.at;
    of->lines[of->line_count++] = line;
    mw_text_clear(words);
    return lost ? MW_NO_MEMORY : MW_OK;
}

/* Whether all cells of an input have got the same value. */
static bool same_everywhere(const one_sample *of, const risk_input *input)
{
    for (uint32_t t = 1; t < input->target_count; t++) {
        if (of->values[input->first_target + t] != of->values[input->first_target]) {
            return false;
        }
    }
    return true;
}

static void path_words(const risk_input *input, mw_text *words)
{
    mw_text_add_str(words, input->set->name);
    if (input->field != MW_NONE) {
        mw_text_addc(words, '.');
        mw_text_add_str(words, input->set->fields[input->field].name);
    }
    mw_text_adds(words, " = ");
}

/* Whether a cell is what a narrower formula reads as `usual`. */
static bool is_usual(const build *in, uint32_t cell)
{
    label of = build_label_of(in, cell);
    return of.mould != MW_NONE && in->moulds[of.mould].cells[of.slot] != cell;
}

/* A range that is the whole formula: the value itself, in each mould its own where they differ. */
static mw_status root_lines(one_sample *of, const risk_input *input, mw_text *words)
{
    const build *in = of->on->work.benches[0].in;
    bool same = same_everywhere(of, input);
    mw_status status = MW_OK;
    for (uint32_t t = 0; status == MW_OK && t < (same ? 1 : input->target_count); t++) {
        const risk_target *target = &of->on->model.targets[input->first_target + t];
        if (same) {
            path_words(input, words);
        } else {
            bool usual = is_usual(in, target->cell);
            mw_text_adds(words, usual ? "# to be written for `usual` in " : "");
            build_cell_words(in, target->cell, words);
            mw_text_adds(words, usual ? ": " : " = ");
        }
        value_words(of, target, of->values[input->first_target + t], words);
        status = add_line(of, words);
    }
    return status;
}

/* Ranges inside a larger formula: the formula with values in their places. `*at` moves behind the inputs of it. */
static mw_status inner_line(one_sample *of, uint32_t *at, mw_text *words)
{
    const risk_model *model = &of->on->model;
    const risk_input *first = &model->inputs[*at];
    mw_span whole =
        first->field == MW_NONE ? first->set->formula : first->set->fields[first->field].value;
    uint32_t from = whole.begin;
    path_words(first, words);
    while (*at < model->input_count && model->inputs[*at].set == first->set &&
           model->inputs[*at].field == first->field) {
        const risk_input *input = &model->inputs[*at];
        mw_text_add_str(words, mw_sources_piece(model->job->sources,
                                                (mw_span){whole.source, from, input->at.begin}));
        value_words(of, &model->targets[input->first_target], of->values[input->first_target],
                    words);
        from = input->at.end;
        (*at)++;
    }
    mw_text_add_str(
        words, mw_sources_piece(model->job->sources, (mw_span){whole.source, from, whole.end}));
    return add_line(of, words);
}

static mw_status write_lines(one_sample *of)
{
    const risk_model *model = &of->on->model;
    mw_text words = {0};
    mw_status status = MW_OK;
    uint32_t at = 0;
    if (model->keeps_turns) {
        mw_text_adds(&words, "adopt");
        status = add_line(of, &words);
    }
    while (status == MW_OK && at < model->input_count) {
        const risk_input *input = &model->inputs[at];
        if (!input->root) {
            status = inner_line(of, &at, &words);
            continue;
        }
        status = input->target_count > 0 ? root_lines(of, input, &words) : MW_OK;
        at++;
    }
    mw_text_free(&words);
    return status;
}

mw_status risk_answer_sample(risk_session *on)
{
    const risk_model *model = &on->model;
    const uint32_t place = (on->ask.sample - 1) % TILE;
    risk_bench *bench = &on->work.benches[0];
    risk_draw draw = {.tile = (on->ask.sample - 1) / TILE, .swapped = MW_NONE};
    size_t room = (size_t)model->target_count + model->input_count + 2;
    one_sample of = {.on = on,
                     .values = mw_arena_get(on->job->scratch, room * sizeof *of.values),
                     .lines = mw_arena_get(on->job->scratch, room * sizeof *of.lines)};
    double *out = mw_arena_get(on->job->scratch, (size_t)on->watch.cell_count * TILE * sizeof *out);
    mw_status status = of.values && of.lines && out ? MW_OK : MW_NO_MEMORY;
    if (status == MW_OK) {
        status = risk_fill(&on->work.plan, &draw, bench->lanes);
    }
    for (uint32_t t = 0; status == MW_OK && t < model->target_count; t++) {
        of.values[t] = mw_lanes_column(bench->lanes, model->targets[t].cell)[place];
    }
    if (status == MW_OK) {
        status = risk_compute(&on->work.plan, bench, out);
    }
    for (uint32_t r = 0; status == MW_OK && r < on->watch.row_count; r++) {
        on->watch.rows[r].mean.value = risk_row_value(&on->watch, r, out + place, TILE);
    }
    if (status == MW_OK) {
        status = write_lines(&of);
    }
    on->reply->lines = of.lines;
    on->reply->line_count = of.line_count;
    return status;
}
