/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where uncertain things stand in a trial: the cells that they set, and the numbers of their shapes. */
#include <math.h>

#include "mouldwright/memory.h"
#include "risk.h"

static mw_status say_unsound(risk_model *model, const risk_input *input, const mw_risk_input *shape)
{
    for (uint32_t i = 0; i < mw_risk_parts(shape->shape); i++) {
        mw_code code = mw_error_code(shape->at[i]);
        if (code != MW_CODE_COUNT) {
            mw_diags_error(model->diags, code, input->at, "an end of this has no value");
            return MW_FAILED;
        }
    }
    const char *what = shape->shape == MW_RISK_CHANCE ? "a probability is from 0 % to 100 %"
                       : shape->shape == MW_RISK_NORMAL || shape->shape == MW_RISK_LOGNORMAL
                           ? "a deviation is not below 0, a lognormal mean above 0"
                           : "a range rises from low over likely to high";
    mw_diags_error(model->diags, MW_CODE_OUT_OF_RANGE, input->at, "%s", what);
    return MW_FAILED;
}

/* The cells behind a line or list of the trial. */
static uint32_t elements_of(const build *in, mw_str line, uint32_t wanted)
{
    uint32_t cell = mw_sheet_find(in->sheet, line);
    uint32_t count = 0;
    mw_shape shape = MW_SHAPE_ONE;
    uint32_t first = cell == MW_NONE ? MW_NONE : mw_sheet_elements(in->sheet, cell, &count, &shape);
    return count == wanted ? first : MW_NONE;
}

/* The numbers of a range are behind the cell itself, those of a call in lines of their own. */
static bool read_shape(const build *in, const risk_input *input, uint32_t cell, mw_risk_input *out)
{
    *out = (mw_risk_input){.shape = input->shape};
    uint32_t parts = mw_risk_parts(input->shape);
    uint32_t from = 0;
    uint32_t first;
    if (input->parts.length == 0) {
        uint32_t count = 0;
        mw_shape shape = MW_SHAPE_ONE;
        first = mw_sheet_elements(in->sheet, cell, &count, &shape);
        if (shape != MW_SHAPE_RANGE) {
            return false;
        }
    } else {
        from = input->chance.length > 0 ? 1 : 0;
        first = elements_of(in, input->parts, parts - from);
    }
    if (from == 1) {
        out->at[0] = mw_sheet_value(in->sheet, mw_sheet_find(in->sheet, input->chance));
    }
    for (uint32_t i = from; first != MW_NONE && i < parts; i++) {
        out->at[i] = mw_sheet_value(in->sheet, first + i - from);
    }
    return first != MW_NONE;
}

static mw_status add_target(risk_model *model, build *in, uint32_t at, uint32_t cell)
{
    const risk_input *input = &model->inputs[at];
    void *targets = model->targets;
    risk_target target = {.cell = cell,
                          .input = at,
                          .type = mw_sheet_type(in->sheet, cell),
                          .unit = mw_sheet_unit(in->sheet, cell),
                          .low = (double)NAN,
                          .high = (double)NAN};
    if (!read_shape(in, input, cell, &target.shape)) {
        return MW_OK; /* something narrower is in force */
    }
    if (!mw_risk_sound(&target.shape)) {
        return say_unsound(model, input, &target.shape);
    }
    label of = build_label_of(in, cell);
    if (of.mould != MW_NONE) {
        const slot *to = &in->moulds[of.mould].kit->slots[of.slot];
        target.whole = to->whole;
        target.low = to->low;
        target.high = to->high;
    }
    target.drawer = mw_risk_drawer_new(&target.shape);
    if (!target.drawer || !mw_memory_grow32(&targets, &model->target_capacity,
                                            model->target_count + 1, sizeof *model->targets)) {
        mw_risk_drawer_free(target.drawer);
        return MW_NO_MEMORY;
    }
    model->targets = targets;
    model->targets[model->target_count++] = target;
    return MW_OK;
}

/* The cells of quantities that an entry or field defines, also where a narrower one reads it as `usual`. */
static mw_status reach_slots(risk_model *model, build *in, uint32_t at)
{
    const risk_input *input = &model->inputs[at];
    mw_status status = MW_OK;
    for (uint32_t m = 0; m < in->mould_count; m++) {
        const mould *of = &in->moulds[m];
        for (uint32_t i = 0; status == MW_OK && i < of->kit->slot_count; i++) {
            uint32_t cell = of->cells[i];
            for (const layer *l = of->layers[i]; l && cell != MW_NONE; l = l->next) {
                bool field = input->field != MW_NONE && of->from == input->set &&
                             l->field == &of->from->fields[input->field];
                bool set = input->field == MW_NONE && l->set == input->set;
                if (status == MW_OK && (field || set)) {
                    status = add_target(model, in, at, cell);
                }
                cell = l->hidden;
            }
        }
    }
    return status;
}

static mw_status reach(risk_model *model, build *in, uint32_t at)
{
    const risk_input *input = &model->inputs[at];
    if (!input->root) {
        return add_target(model, in, at, mw_sheet_find(in->sheet, input->line));
    }
    mw_status status = reach_slots(model, in, at);
    for (uint32_t i = 0; status == MW_OK && i < in->global_count; i++) {
        if (in->globals[i].set && in->globals[i].set == input->set) {
            status = add_target(model, in, at, in->globals[i].cell);
        }
    }
    bool line = input->field == MW_NONE && input->set->part_count == 1;
    uint32_t cell = line ? mw_sheet_find(in->sheet, input->set->name) : MW_NONE;
    return status == MW_OK && cell != MW_NONE ? add_target(model, in, at, cell) : status;
}

/* `transport`, `hull.area`, `hull.glass.hours: 0.9 .. 1 .. 1.3` */
static mw_str name_of(const risk_model *model, const risk_input *input)
{
    mw_text words = {0};
    mw_text_add_str(&words, input->set->name);
    if (input->field != MW_NONE) {
        mw_text_addc(&words, '.');
        mw_text_add_str(&words, input->set->fields[input->field].name);
    }
    if (!input->root) {
        mw_text_adds(&words, ": ");
        mw_text_add_str(&words, mw_sources_piece(model->job->sources, input->at));
    }
    mw_str name = job_copy(model->job->scratch, (mw_str){mw_text_chars(&words), words.length});
    bool lost = words.failed;
    mw_text_free(&words);
    return lost ? (mw_str){0} : name;
}

mw_status risk_reach(risk_model *model, build *in)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < model->input_count; i++) {
        risk_input *input = &model->inputs[i];
        input->first_target = model->target_count;
        status = reach(model, in, i);
        input->target_count = model->target_count - input->first_target;
        input->name = name_of(model, input);
        if (!input->name.at) {
            return MW_NO_MEMORY;
        }
    }
    return status;
}
