/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Making code for a stretch of the row of nodes: from left to right, each node putting its value on those
 * that wait, each operation taking its operands off. */
#include "emit.h"

void mw_emit_middle(mw_compiler *compiler)
{
    mw_emission *out = &compiler->out;
    if (out->place_count < 2) {
        return; /* one could not be put on */
    }
    const mw_waiting high = out->places[out->place_count - 1];
    mw_waiting low = out->places[out->place_count - 2];
    mw_waiting middle = {.constant = true};
    if (high.constant && low.constant) {
        middle.value = (high.value - low.value) * 0.5 + low.value;
    } else {
        const mw_waiting half = {.constant = true, .value = 0.5};
        middle = (mw_waiting){.operand = mw_emit_take(compiler, 1), .owned = true};
        mw_instruction step = {.operation = MW_OP_SUBTRACT, .to = middle.operand, .c = -1};
        step.a = mw_emit_operand(compiler, &high);
        step.b = mw_emit_operand(compiler, &low);
        mw_emit_add(compiler, &step);
        step.operation = MW_OP_MULTIPLY_ADD;
        step.a = middle.operand;
        step.b = mw_emit_operand(compiler, &half);
        step.c = mw_emit_operand(compiler, &low);
        mw_emit_add(compiler, &step);
    }
    out->places[out->place_count - 1] = middle;
    mw_emit_push(compiler, high);
}

/* The `count` children were constants, and so is the node. */
static void make_constant(mw_compiler *compiler, const mw_fact *fact, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        (void)mw_emit_pop(compiler);
    }
    mw_emit_push(compiler, (mw_waiting){.value = fact->value, .constant = true});
}

/* A node with `count` children whose values wait. */
static void make_operation(mw_compiler *compiler, const mw_fact *fact, uint32_t count)
{
    if (fact->from == MW_FROM_CONSTANT) {
        make_constant(compiler, fact, count);
        return;
    }
    if (fact->operation != MW_OP_RANGE) {
        mw_emit_operation(compiler, (mw_operation)fact->operation, 0);
        return;
    }
    if (count == 2) {
        mw_emit_middle(compiler);
    }
    mw_emit_operation(compiler, MW_OP_RANGE, 1);
}

static void make_leaf(mw_compiler *compiler, const mw_fact *fact, uint32_t element)
{
    switch ((mw_from)fact->from) {
    case MW_FROM_CONSTANT:
        mw_emit_push(compiler, (mw_waiting){.value = fact->value, .constant = true});
        return;
    case MW_FROM_CELL:
        mw_emit_push(compiler, (mw_waiting){.operand = (mw_operand)fact->first});
        return;
    case MW_FROM_SLOTS:
        mw_emit_push(compiler,
                     (mw_waiting){.operand = (mw_operand)compiler->slots[fact->first + element]});
        return;
    case MW_FROM_CODE:
        return;
    }
}

static void make_node(mw_compiler *compiler, uint32_t at, uint32_t element)
{
    const mw_fact *fact = &compiler->facts[at];
    const mw_node *node = mw_check_node_of(compiler, at);
    switch ((mw_node_kind)node->kind) {
    case MW_NODE_NUMBER:
    case MW_NODE_DATE:
    case MW_NODE_TEXT:
    case MW_NODE_TRUTH:
    case MW_NODE_PATH:
    case MW_NODE_USUAL:
        make_leaf(compiler, fact, element);
        return;
    case MW_NODE_AS:   /* the value before it goes on */
    case MW_NODE_LIST: /* a block */
        return;
    case MW_NODE_NEGATE:
    case MW_NODE_NOT:
        make_operation(compiler, fact, 1);
        return;
    case MW_NODE_BINARY:
        make_operation(compiler, fact, 2);
        return;
    case MW_NODE_IF:
        make_operation(compiler, fact, 3);
        return;
    case MW_NODE_RANGE:
        make_operation(compiler, fact, node->b == MW_NONE ? 2 : 3);
        return;
    case MW_NODE_CALL: /* those that are no blocks are operations */
        make_operation(compiler, fact, node->count);
        return;
    }
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
    uint32_t at = from;
    while (at <= to && !mw_emit_stopped(compiler)) {
        const uint32_t block = compiler->blocks ? block_at(compiler, at, to) : MW_NONE;
        if (block == MW_NONE) {
            make_node(compiler, at++, element);
        } else {
            mw_emit_block(compiler, block, element);
            at = block + 1;
        }
    }
}
