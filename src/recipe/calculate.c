/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures go through the same compiler as every formula, with a scope that knows no names. */
#include "recipe/calculate.h"

#include <math.h>

#include "mouldwright/memory.h"

enum { CELLS = 3 };

bool mw_calculator_start(mw_calculator *calculator, const mw_sources *sources, mw_measure *measure)
{
    *calculator =
        (mw_calculator){.sources = sources, .measure = measure, .values = mw_values_new()};
    if (calculator->values == NULL || !mw_values_reserve(calculator->values, CELLS)) {
        return false;
    }
    calculator->compiler = mw_compiler_new(measure, calculator->values);
    return calculator->compiler != NULL;
}

void mw_calculator_end(mw_calculator *calculator)
{
    mw_memory_give(calculator->program.items);
    mw_ast_free(&calculator->ast);
    mw_compiler_free(calculator->compiler);
    mw_values_free(calculator->values);
    *calculator = (mw_calculator){0};
}

static mw_status parse(mw_calculator *calculator, mw_span span, uint32_t *root, mw_diags *diags)
{
    mw_ast_clear(&calculator->ast);
    mw_reader reader = {.ast = &calculator->ast,
                        .measure = calculator->measure,
                        .sources = calculator->sources,
                        .diags = diags};
    return mw_parse_formula(&reader, span, root);
}

mw_status mw_calculator_read(mw_calculator *calculator, mw_span span, mw_diags *diags)
{
    uint32_t root;
    return parse(calculator, span, &root, diags);
}

static mw_status refuse_name(void *context, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    (void)context;
    (void)out;
    mw_diag *diag = mw_diags_error(diags, MW_CODE_NOT_AN_INPUT, path->span,
                                   "a plain figure is expected here; it cannot read names");
    mw_diag_try(diags, diag, "write the figure with its unit");
    return MW_FAILED;
}

static mw_status run(mw_calculator *calculator, const mw_meaning *meaning, mw_constant *out)
{
    static const uint32_t cells[CELLS] = {0, 1, 2};
    calculator->program.count = 0;
    if (mw_compiler_emit(calculator->compiler, cells, &calculator->program, NULL) != MW_OK) {
        return MW_NO_MEMORY;
    }
    mw_machine machine = {.base = mw_values_base(calculator->values)};
    mw_run(&machine, calculator->program.items, calculator->program.count);
    const double *results = machine.base;
    bool range = meaning->shape == MW_SHAPE_RANGE;
    *out = (mw_constant){.low = results[0],
                         .value = results[range ? 1 : 0],
                         .high = results[range ? 2 : 0],
                         .type = meaning->type,
                         .unit = meaning->unit};
    return MW_OK;
}

static mw_status find_value(mw_calculator *calculator, mw_span span, mw_constant *out,
                            mw_diags *diags)
{
    static const mw_scope scope = {.find = refuse_name};
    mw_question question = {.ast = &calculator->ast, .scope = &scope, .slot = MW_NONE};
    mw_meaning meaning;
    mw_status status = parse(calculator, span, &question.root, diags);
    if (status == MW_OK) {
        status = mw_compiler_check(calculator->compiler, &question, &meaning, diags);
    }
    if (status != MW_OK) {
        return status;
    }
    if (meaning.shape == MW_SHAPE_LIST) {
        mw_diags_error(diags, MW_CODE_IS_A_LIST, span,
                       "a single figure is expected here, not a list");
        return MW_FAILED;
    }
    return run(calculator, &meaning, out);
}

mw_status mw_calculate(mw_calculator *calculator, mw_span span, mw_constant *out, mw_diags *diags)
{
    mw_status status = find_value(calculator, span, out, diags);
    if (status != MW_OK) {
        return status;
    }
    double values[CELLS] = {out->low, out->value, out->high};
    for (int i = 0; i < CELLS; i++) {
        if (!isfinite(values[i])) {
            mw_code code = mw_error_code(values[i]);
            mw_diags_error(diags, code, span, "this figure has no value: %s", mw_code_title(code));
            return MW_FAILED;
        }
    }
    return MW_OK;
}

mw_status mw_calculate_as(mw_calculator *calculator, mw_span span, mw_type slot, mw_constant *out,
                          mw_diags *diags)
{
    mw_status status = mw_calculate(calculator, span, out, diags);
    if (status != MW_OK || mw_type_fits(calculator->measure, out->type, slot) == MW_TYPE_FINE) {
        return status;
    }
    mw_text found = {0};
    mw_text expected = {0};
    mw_type_words(calculator->measure, out->type, &found);
    mw_type_words(calculator->measure, slot, &expected);
    mw_diags_error(diags, MW_CODE_WRONG_KIND, span, "%s is expected here, found %s",
                   mw_text_chars(&expected), mw_text_chars(&found));
    diags->no_memory |= found.failed || expected.failed;
    mw_text_free(&found);
    mw_text_free(&expected);
    return MW_FAILED;
}
