/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Single operations: constants worked out, two operations made one, temporaries used like a stack.
 */
#include "emit.h"

void mw_emit_add(mw_compiler *compiler, const mw_instruction *instruction)
{
    mw_program *code = &compiler->out.code;
    if (code->count >= MW_CODE_LIMIT) {
        compiler->out.too_long = true;
        return;
    }
    if (!mw_check_room((void **)&code->items, &code->capacity, code->count + 1,
                       sizeof *code->items)) {
        compiler->no_memory = true;
        return;
    }
    code->items[code->count++] = *instruction;
}

mw_operand mw_emit_take(mw_compiler *compiler, uint32_t count)
{
    mw_emission *out = &compiler->out;
    if (count > MW_TEMPORARIES - out->depth) {
        out->too_deep = true;
        return -MW_TEMPORARIES;
    }
    out->depth += count;
    return -(mw_operand)out->depth;
}

/* The operand that an instruction has for a value. */
static mw_operand operand_of(mw_compiler *compiler, const mw_waiting *value)
{
    mw_emission *out = &compiler->out;
    if (!value->constant) {
        return value->operand;
    }
    if (!mw_check_room((void **)&out->constants, &out->constant_capacity, out->constant_count + 1,
                       sizeof *out->constants)) {
        compiler->no_memory = true;
        return MW_FIRST_CONSTANT;
    }
    out->constants[out->constant_count] = value->value;
    return MW_FIRST_CONSTANT - (mw_operand)out->constant_count++;
}

/* Whether a value was computed by the newest instruction, so that this may do more or write
 * elsewhere. */
static bool is_newest(const mw_emission *out, const mw_waiting *value)
{
    return value->owned && out->code.count > out->segment &&
           out->code.items[out->code.count - 1].to == value->operand;
}

void mw_emit_move(mw_compiler *compiler, const mw_waiting *value, mw_operand to)
{
    mw_emission *out = &compiler->out;
    if (is_newest(out, value)) {
        out->code.items[out->code.count - 1].to = to;
        return;
    }
    const mw_instruction copy = {
        .operation = MW_OP_COPY, .to = to, .a = operand_of(compiler, value), .b = -1, .c = -1};
    mw_emit_add(compiler, &copy);
}

/* What the newest instruction becomes when it does `operation` too: `right` says on which side of
 * it the newest one's result stands. MW_OPERATION_COUNT: the two cannot be one. */
static mw_operation fused(mw_operation operation, uint16_t newest, bool right)
{
    const bool product = newest == MW_OP_MULTIPLY;
    if (operation == MW_OP_ADD && (product || newest == MW_OP_ADD)) {
        return product ? MW_OP_MULTIPLY_ADD : MW_OP_ADD_ADD;
    }
    if (!product) {
        return MW_OPERATION_COUNT;
    }
    if (operation == MW_OP_SUBTRACT) {
        return right ? MW_OP_SUBTRACT_MULTIPLY : MW_OP_MULTIPLY_SUBTRACT;
    }
    if (operation == MW_OP_MULTIPLY) {
        return MW_OP_MULTIPLY_MULTIPLY;
    }
    return operation == MW_OP_DIVIDE && !right ? MW_OP_MULTIPLY_DIVIDE : MW_OPERATION_COUNT;
}

/* Makes the newest instruction do `operation` on two values too, if it computed one of them and
 * can. */
static bool fuse(mw_compiler *compiler, mw_operation operation, const mw_waiting *values)
{
    const mw_emission *out = &compiler->out;
    const bool right = is_newest(out, &values[1]);
    if (!right && !is_newest(out, &values[0])) {
        return false;
    }
    mw_instruction *newest = &out->code.items[out->code.count - 1];
    const mw_operation both = fused(operation, newest->operation, right);
    if (both == MW_OPERATION_COUNT) {
        return false;
    }
    newest->operation = (uint16_t)both;
    newest->extra = right ? MW_C_FIRST : 0;
    newest->c = operand_of(compiler, &values[right ? 0 : 1]);
    newest->to = mw_emit_take(compiler, 1);
    return true;
}

/* Adds the instruction of an operation. */
static void add_operation(mw_compiler *compiler, mw_operation operation, uint16_t extra,
                          const mw_waiting *values)
{
    const uint32_t count = mw_operation_rows[operation].operands;
    mw_instruction instruction = {
        .operation = (uint16_t)operation, .extra = extra, .b = -1, .c = -1};
    instruction.a = operand_of(compiler, &values[0]);
    if (operation == MW_OP_POWER && values[1].constant && values[1].value == 2) {
        instruction.operation = MW_OP_MULTIPLY;
        instruction.b = instruction.a;
    } else if (count > 1) {
        instruction.b = operand_of(compiler, &values[1]);
    }
    if (count > 2) {
        instruction.c = operand_of(compiler, &values[2]);
    }
    instruction.to = mw_emit_take(compiler, 1);
    mw_emit_add(compiler, &instruction);
}

mw_waiting mw_emit_operation(mw_compiler *compiler, mw_operation operation, uint16_t extra,
                             const mw_waiting *values)
{
    const uint32_t count = mw_operation_rows[operation].operands;
    bool constant = true;
    for (uint32_t i = 0; i < count; i++) {
        constant = constant && values[i].constant;
        mw_emit_release(compiler, &values[i]);
    }
    if (constant) {
        double place[3] = {0, 0, 0};
        for (uint32_t i = 0; i < count; i++) {
            place[i] = values[i].value;
        }
        return (mw_waiting){.value = mw_operation_apply((uint16_t)operation, extra, place),
                            .constant = true};
    }
    if (count != 2 || !fuse(compiler, operation, values)) {
        add_operation(compiler, operation, extra, values);
    }
    return (mw_waiting){.operand = -(mw_operand)compiler->out.depth, .owned = true};
}
