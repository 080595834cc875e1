/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Single operations: constants worked out, two operations made one, temporaries used like a stack. */
#include "emit.h"
#include "mouldwright/memory.h"

void mw_emit_add(mw_compiler *compiler, const mw_instruction *instruction)
{
    mw_program *code = &compiler->out.code;
    if (code->count >= MW_CODE_LIMIT) {
        compiler->out.too_long = true;
        return;
    }
    if (!mw_memory_grow32((void **)&code->items, &code->capacity, code->count + 1,
                          sizeof *code->items)) {
        compiler->no_memory = true;
        return;
    }
    code->items[code->count++] = *instruction;
}

mw_operand mw_emit_operand(mw_compiler *compiler, const mw_waiting *place)
{
    mw_emission *out = &compiler->out;
    if (!place->constant) {
        return place->operand;
    }
    if (!mw_memory_grow32((void **)&out->constants, &out->constant_capacity,
                          out->constant_count + 1, sizeof *out->constants)) {
        compiler->no_memory = true;
        return MW_FIRST_CONSTANT;
    }
    out->constants[out->constant_count] = place->value;
    return MW_FIRST_CONSTANT - (mw_operand)out->constant_count++;
}

void mw_emit_push(mw_compiler *compiler, mw_waiting place)
{
    mw_emission *out = &compiler->out;
    if (!mw_memory_grow32((void **)&out->places, &out->place_capacity, out->place_count + 1,
                          sizeof *out->places)) {
        compiler->no_memory = true;
        return;
    }
    out->places[out->place_count++] = place;
}

mw_waiting mw_emit_pop(mw_compiler *compiler)
{
    mw_emission *out = &compiler->out;
    if (out->place_count == 0) {
        compiler->no_memory = true; /* only where one could not be put on */
        return (mw_waiting){.constant = true};
    }
    const mw_waiting place = out->places[--out->place_count];
    out->depth -= place.owned ? 1 : 0;
    return place;
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

bool mw_emit_is_newest(const mw_compiler *compiler, const mw_waiting *place)
{
    const mw_emission *out = &compiler->out;
    return place->owned && out->code.count > out->segment &&
           out->code.items[out->code.count - 1].to == place->operand;
}

void mw_emit_move(mw_compiler *compiler, const mw_waiting *place, mw_operand to)
{
    if (mw_emit_is_newest(compiler, place)) {
        compiler->out.code.items[compiler->out.code.count - 1].to = to;
        return;
    }
    const mw_instruction copy = {
        .operation = MW_OP_COPY, .to = to, .a = mw_emit_operand(compiler, place), .b = -1, .c = -1};
    mw_emit_add(compiler, &copy);
}

/* Two operations that one instruction can do: the newest does `first`, and stands to the left or to the right
 * of the second. The third operand is `c`. */
typedef struct fusion {
    mw_operation second;
    mw_operation first;
    bool right;
    mw_operation both;
} fusion;

static const fusion fusions[] = {
    {MW_OP_ADD, MW_OP_MULTIPLY, false, MW_OP_MULTIPLY_ADD},
    {MW_OP_ADD, MW_OP_MULTIPLY, true, MW_OP_MULTIPLY_ADD},
    {MW_OP_ADD, MW_OP_ADD, false, MW_OP_ADD_ADD},
    {MW_OP_ADD, MW_OP_ADD, true, MW_OP_ADD_ADD},
    {MW_OP_SUBTRACT, MW_OP_MULTIPLY, false, MW_OP_MULTIPLY_SUBTRACT},
    {MW_OP_SUBTRACT, MW_OP_MULTIPLY, true, MW_OP_SUBTRACT_MULTIPLY},
    {MW_OP_MULTIPLY, MW_OP_MULTIPLY, false, MW_OP_MULTIPLY_MULTIPLY},
    {MW_OP_MULTIPLY, MW_OP_MULTIPLY, true, MW_OP_MULTIPLY_MULTIPLY},
    {MW_OP_DIVIDE, MW_OP_MULTIPLY, false, MW_OP_MULTIPLY_DIVIDE},
};

/* Makes the newest instruction do `operation` too. `left` and `right` are its operands, already taken
 * off. */
static bool fuse(mw_compiler *compiler, mw_operation operation, const mw_waiting *left,
                 const mw_waiting *right)
{
    const bool on_right = mw_emit_is_newest(compiler, right);
    if (!on_right && !mw_emit_is_newest(compiler, left)) {
        return false;
    }
    mw_instruction *newest = &compiler->out.code.items[compiler->out.code.count - 1];
    for (size_t i = 0; i < sizeof fusions / sizeof fusions[0]; i++) {
        const fusion *row = &fusions[i];
        if (row->second == operation && row->first == newest->operation && row->right == on_right) {
            newest->operation = (uint16_t)row->both;
            newest->extra = on_right ? MW_C_FIRST : 0;
            newest->c = mw_emit_operand(compiler, on_right ? left : right);
            newest->to = mw_emit_take(compiler, 1);
            mw_emit_push(compiler, (mw_waiting){.operand = newest->to, .owned = true});
            return true;
        }
    }
    return false;
}

/* Adds the instruction of an operation on places already taken off. */
static void add_operation(mw_compiler *compiler, mw_instruction instruction,
                          const mw_waiting *places)
{
    const uint32_t count = mw_operands_of(&instruction);
    instruction.a = mw_emit_operand(compiler, &places[0]);
    instruction.b = count > 1 ? mw_emit_operand(compiler, &places[1]) : -1;
    instruction.c = count > 2 ? mw_emit_operand(compiler, &places[2]) : -1;
    instruction.to = mw_emit_take(compiler, 1);
    mw_emit_add(compiler, &instruction);
    mw_emit_push(compiler, (mw_waiting){.operand = instruction.to, .owned = true});
}

void mw_emit_operation(mw_compiler *compiler, mw_operation operation, uint16_t extra)
{
    const uint32_t count = mw_operation_rows[operation].operands;
    mw_waiting places[3] = {{.constant = true}, {.constant = true}, {.constant = true}};
    for (uint32_t i = count; i > 0; i--) {
        places[i - 1] = mw_emit_pop(compiler);
    }
    if (places[0].constant && places[1].constant && places[2].constant) {
        const double values[3] = {places[0].value, places[1].value, places[2].value};
        mw_emit_push(compiler,
                     (mw_waiting){.value = mw_operation_apply((uint16_t)operation, extra, values),
                                  .constant = true});
        return;
    }
    if (operation == MW_OP_POWER && places[1].constant && places[1].value == 2) {
        places[1] = places[0];
        operation = MW_OP_MULTIPLY;
    } else if (count == 2 && fuse(compiler, operation, &places[0], &places[1])) {
        return;
    }
    add_operation(compiler, (mw_instruction){.operation = (uint16_t)operation, .extra = extra},
                  places);
}
