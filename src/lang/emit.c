/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Making code: results one after the other, each complete in itself. */
#include "emit.h"

#include "mouldwright/memory.h"

/* One result: computed by the newest instruction, or copied. */
static void finish_result(mw_compiler *compiler)
{
    mw_emission *out = &compiler->out;
    const mw_waiting place = mw_emit_pop(compiler);
    mw_emit_move(compiler, &place, (mw_operand)out->results);
    out->ends[out->results++] = out->code.count;
    out->segment = out->code.count;
}

/* The low, likely or high result of a range. */
static void make_range(mw_compiler *compiler, uint32_t result)
{
    uint32_t at = compiler->fact_count - 1;
    while (mw_check_node_of(compiler, at)->kind == MW_NODE_AS) {
        at--;
    }
    const bool all = mw_check_node_of(compiler, at)->b != MW_NONE;
    const uint32_t first = compiler->facts[at].start;
    mw_emit_span(compiler, first, at - 1, 0);
    if (!all) {
        mw_emit_middle(compiler);
    }
    mw_emit_operation(compiler, MW_OP_RANGE, (uint16_t)result);
}

static void make_result(mw_compiler *compiler, mw_shape shape, uint32_t result)
{
    compiler->out.depth = 0;
    compiler->out.place_count = 0;
    switch (shape) {
    case MW_SHAPE_ONE:
    case MW_SHAPE_LIST:
        mw_emit_span(compiler, 0, compiler->fact_count - 1, result);
        return;
    case MW_SHAPE_RANGE:
        make_range(compiler, result);
        return;
    }
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

mw_status mw_emit_make(mw_compiler *compiler, mw_shape shape, uint32_t length)
{
    mw_emission *out = &compiler->out;
    out->code.count = 0;
    out->constant_count = 0;
    out->results = 0;
    out->segment = 0;
    out->too_deep = false;
    out->too_long = false;
    if (compiler->blocks && !mw_memory_grow32((void **)&out->aside, &out->aside_capacity,
                                              compiler->fact_count, sizeof *out->aside)) {
        return MW_NO_MEMORY;
    }
    out->item_count = 0;
    if (!mw_memory_grow32((void **)&out->ends, &out->end_capacity, length, sizeof *out->ends)) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < length && !mw_emit_stopped(compiler); i++) {
        make_result(compiler, shape, i);
        if (!mw_emit_stopped(compiler)) {
            finish_result(compiler);
        }
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
        !mw_memory_grow32((void **)&code->items, &code->capacity, before + out->code.count,
                          sizeof *code->items) ||
        !mw_memory_grow32((void **)&out->operands, &out->operand_capacity, out->constant_count,
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
