/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A formula computed once. Its results go to cells behind the last one, that nobody can see; its
 * constants are forgotten again. */
#include <assert.h>

#include "inside.h"

static void take_results(mw_sheet *sheet, mw_answer *answer)
{
    const mw_machine machine = sheet_machine(sheet);
    mw_run(&machine, sheet->trial.items, sheet->trial.count);
    const double nothing = mw_error_value(MW_CODE_NOT_A_VALUE);
    for (uint32_t i = 0; i < answer->meaning.length; i++) {
        double *result = &machine.base[sheet->total + i];
        if (i < answer->room) {
            answer->values[i] = *result;
        }
        *result = nothing;
    }
}

static mw_status emit_trial(mw_sheet *sheet, uint32_t length)
{
    if (length > INT32_MAX - sheet->total ||
        !mw_values_reserve(sheet->values, sheet->total + length) ||
        !grow_array(sheet->slots, sheet->slot_capacity, length)) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < length; i++) {
        sheet->slots[i] = sheet->total + i;
    }
    sheet->trial.count = 0;
    return mw_compiler_emit(sheet->compiler, sheet->slots, &sheet->trial, NULL);
}

/* Reads a formula and finds out what it gives. */
static mw_status check_trial(mw_sheet *sheet, mw_span span, mw_question *question,
                             mw_meaning *meaning, mw_diags *diags)
{
    assert(!sheet->preparing);
    const mw_reader reader = {&sheet->ast, sheet->measure, sheet->sources, diags};
    question->ast = &sheet->ast;
    question->scope = question->scope == NULL ? &sheet->scope : question->scope;
    mw_ast_clear(&sheet->ast);
    mw_status status = mw_parse_formula(&reader, span, &question->root);
    if (status == MW_OK) {
        status = mw_compiler_check(sheet->compiler, question, meaning, diags);
    }
    assert(status != MW_PENDING);
    return status;
}

mw_status mw_sheet_check(mw_sheet *sheet, mw_span span, const mw_scope *scope, mw_type slot,
                         mw_diags *diags)
{
    mw_question question = {.scope = scope, .slot = slot};
    mw_meaning meaning;
    mw_status status = check_trial(sheet, span, &question, &meaning, diags);
    if (status == MW_OK && meaning.shape == MW_SHAPE_LIST) {
        mw_diags_error(diags, MW_CODE_IS_A_LIST, span,
                       "a single value is expected here, not a list");
        status = MW_FAILED;
    }
    return status;
}

mw_status mw_sheet_try(mw_sheet *sheet, mw_span span, const mw_scope *scope, mw_answer *answer,
                       mw_diags *diags)
{
    mw_question question = {.scope = scope, .slot = MW_NONE};
    mw_status status = check_trial(sheet, span, &question, &answer->meaning, diags);
    if (status != MW_OK) {
        return status;
    }
    const uint32_t constants = mw_values_constants(sheet->values);
    status = emit_trial(sheet, answer->meaning.length);
    if (status == MW_OK) {
        take_results(sheet, answer);
    }
    mw_values_forget(sheet->values, constants);
    return status;
}
