/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Making code for a stretch of the row of nodes, from left to right. Each node that is computed by
 * code keeps its value at its position until its parent, which comes later, uses it. */
#include "emit.h"

mw_waiting mw_emit_range(mw_compiler *compiler, uint32_t at, uint16_t which, uint32_t element)
{
    const uint32_t high = at - 1;
    const uint32_t before = mw_check_before(compiler, high);
    mw_waiting values[3] = {{.constant = true}, {.constant = true}, {.constant = true}};
    values[2] = mw_emit_value(compiler, high, element);
    if (mw_check_node_of(compiler, at)->b != MW_NONE) {
        values[1] = mw_emit_value(compiler, before, element);
        values[0] = mw_emit_value(compiler, mw_check_before(compiler, before), element);
        return mw_emit_operation(compiler, MW_OP_RANGE, which, values);
    }
    values[0] = mw_emit_value(compiler, before, element);
    mw_waiting low = values[0];
    mw_waiting top = values[2];
    low.owned = false; /* both are needed once more */
    top.owned = false;
    const mw_waiting gap = mw_emit_operation(compiler, MW_OP_SUBTRACT, 0, (mw_waiting[]){top, low});
    const mw_waiting half = {.value = 0.5, .constant = true};
    values[1] = mw_emit_operation(compiler, MW_OP_MULTIPLY_ADD, 0, (mw_waiting[]){gap, half, low});
    return mw_emit_operation(compiler, MW_OP_RANGE, which, values);
}

/* A node whose operands are its children. */
static mw_waiting make_operation(mw_compiler *compiler, uint32_t at, uint32_t element)
{
    const mw_operation operation = (mw_operation)compiler->facts[at].operation;
    if (operation == MW_OP_RANGE) {
        return mw_emit_range(compiler, at, 1, element);
    }
    mw_waiting values[3];
    uint32_t child = at - 1;
    for (uint32_t i = mw_operation_rows[operation].operands; i > 0; i--) {
        values[i - 1] = mw_emit_value(compiler, child, element);
        child = mw_check_before(compiler, child);
    }
    return mw_emit_operation(compiler, operation, 0, values);
}

/* Returns the widest block that begins at a position and ends by `last`, or one that was put aside
 * already; MW_NONE if there is none. */
static uint32_t block_at(const mw_compiler *compiler, uint32_t at, uint32_t last)
{
    uint32_t block = compiler->facts[at].block;
    while (block != MW_NONE) {
        const mw_fact *fact = &compiler->facts[block];
        if (block <= last && (fact->kind != MW_BLOCK_NONE || fact->ready)) {
            return block;
        }
        block = fact->outer;
    }
    return MW_NONE;
}

void mw_emit_span(mw_compiler *compiler, uint32_t from, uint32_t to, uint32_t element)
{
    for (uint32_t at = from; at <= to && !mw_emit_stopped(compiler); at++) {
        const uint32_t block = compiler->blocks ? block_at(compiler, at, to) : MW_NONE;
        if (block != MW_NONE) {
            mw_emit_block(compiler, block, element);
            at = block;
        } else if (compiler->facts[at].from != MW_FROM_CODE) {
            continue;
        } else if (mw_check_node_of(compiler, at)->kind == MW_NODE_AS) {
            compiler->out.values[at] = compiler->out.values[at - 1];
        } else {
            compiler->out.values[at] = make_operation(compiler, at, element);
        }
    }
}
