/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Making code: results one after the other, each complete in itself. */
#include "emit.h"

#include <string.h>

/* The value of one result: of an element, or the low, likely or high one of a range. */
static mw_waiting make_value(mw_compiler *compiler, mw_shape shape, uint32_t result)
{
    uint32_t at = compiler->fact_count - 1;
    if (shape != MW_SHAPE_RANGE) {
        mw_emit_span(compiler, 0, at, result);
        return mw_emit_value(compiler, at, result);
    }
    while (mw_check_node_of(compiler, at)->kind == MW_NODE_AS) {
        at--;
    }
    mw_emit_span(compiler, 0, at - 1, 0);
    return mw_emit_range(compiler, at, (uint16_t)result, 0);
}

/* One result: computed by the newest instruction, or copied. */
static void make_result(mw_compiler *compiler, mw_shape shape, uint32_t result)
{
    mw_emission *out = &compiler->out;
    out->depth = 0;
    const mw_waiting value = make_value(compiler, shape, result);
    mw_emit_move(compiler, &value, (mw_operand)result);
    out->ends[out->results++] = out->code.count;
    out->segment = out->code.count;
}

static mw_status report_limit(mw_compiler *compiler)
{
    const uint32_t root = compiler->fact_count - 1;
    const char *piece = mw_check_piece(compiler, root, 0);
    const bool deep = compiler->out.too_deep;
    mw_diags_error(compiler->diags, deep ? MW_CODE_TOO_DEEP : MW_CODE_TOO_LONG,
                   mw_check_span(compiler, root),
                   deep ? "%s needs more than %u values at once"
                        : "%s with its lists needs more than %u operations",
                   piece, deep ? (unsigned)MW_TEMPORARIES : MW_CODE_LIMIT);
    return compiler->no_memory || compiler->diags->no_memory ? MW_NO_MEMORY : MW_FAILED;
}

/* Makes room for the values of `count` positions. They are set from the start: where making code
 * stops early, some are looked at that were never made. */
static bool make_room(mw_emission *out, uint32_t count)
{
    const uint32_t before = out->value_capacity;
    if (!mw_check_room((void **)&out->values, &out->value_capacity, count, sizeof *out->values)) {
        return false;
    }
    if (out->value_capacity > before) {
        memset(out->values + before, 0, (out->value_capacity - before) * sizeof *out->values);
    }
    return true;
}

mw_status mw_emit_make(mw_compiler *compiler, mw_shape shape, uint32_t length)
{
    mw_emission *out = &compiler->out;
    out->code.count = 0;
    out->constant_count = 0;
    out->results = 0;
    out->segment = 0;
    out->too_deep = false;
    out->too_long = false;
    if (!make_room(out, compiler->fact_count)) {
        return MW_NO_MEMORY;
    }
    out->item_count = 0;
    if (!mw_check_room((void **)&out->ends, &out->end_capacity, length, sizeof *out->ends)) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < length && !mw_emit_stopped(compiler); i++) {
        make_result(compiler, shape, i);
    }
    if (compiler->no_memory) {
        return MW_NO_MEMORY;
    }
    return mw_emit_stopped(compiler) ? report_limit(compiler) : MW_OK;
}

/* Gives the constants of the code their operands, in place of their values. */
static bool settle_constants(mw_compiler *compiler, mw_operand *operands)
{
    const mw_emission *out = &compiler->out;
    for (uint32_t i = 0; i < out->constant_count; i++) {
        operands[i] = mw_values_constant(compiler->values, out->constants[i]);
        if (operands[i] == 0) {
            return false;
        }
    }
    return true;
}

static mw_operand settled(mw_operand operand, const mw_operand *constants)
{
    return operand <= MW_FIRST_CONSTANT ? constants[MW_FIRST_CONSTANT - operand] : operand;
}

static void copy_code(const mw_emission *out, const mw_operand *constants, const uint32_t *to,
                      mw_instruction *code)
{
    for (uint32_t i = 0; i < out->code.count; i++) {
        code[i] = out->code.items[i];
        code[i].a = settled(code[i].a, constants);
        code[i].b = settled(code[i].b, constants);
        code[i].c = settled(code[i].c, constants);
        code[i].to = code[i].to >= 0 ? (mw_operand)to[code[i].to] : code[i].to;
    }
}

mw_status mw_compiler_emit(mw_compiler *compiler, const uint32_t *to, mw_program *code,
                           uint32_t *ends)
{
    mw_emission *out = &compiler->out;
    const uint32_t before = code->count;
    if (out->code.count > UINT32_MAX - before ||
        !mw_check_room((void **)&code->items, &code->capacity, before + out->code.count,
                       sizeof *code->items) ||
        !mw_check_room((void **)&out->operands, &out->operand_capacity, out->constant_count,
                       sizeof *out->operands) ||
        !settle_constants(compiler, out->operands)) {
        return MW_NO_MEMORY;
    }
    copy_code(out, out->operands, to, code->items + before);
    code->count = before + out->code.count;
    for (uint32_t i = 0; ends != NULL && i < out->results; i++) {
        ends[i] = before + out->ends[i];
    }
    return MW_OK;
}
