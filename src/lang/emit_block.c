/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Making code for lists, reductions and calls. */
#include "emit.h"

/* Only the child of the element wanted. */
static void make_element(mw_compiler *compiler, uint32_t at, uint32_t element)
{
    const uint32_t child = compiler->slots[compiler->facts[at].first + element];
    mw_emit_span(compiler, compiler->facts[child].start, child, 0);
    compiler->out.values[at] = mw_emit_value(compiler, child, 0);
}

/* Remembers a position among the items. */
static void add_item(mw_compiler *compiler, uint32_t position)
{
    mw_emission *out = &compiler->out;
    if (!mw_check_room((void **)&out->items, &out->item_capacity, out->item_count + 1,
                       sizeof *out->items)) {
        compiler->no_memory = true;
        return;
    }
    out->items[out->item_count++] = position;
}

/* Remembers the positions of a node's children, from left to right. */
static void add_children(mw_compiler *compiler, uint32_t at)
{
    const uint32_t count = mw_check_node_of(compiler, at)->count;
    const uint32_t *children = mw_check_children(compiler, at, count);
    for (uint32_t i = 0; i < count; i++) {
        add_item(compiler, children[i]);
    }
}

/* --- calls ---------------------------------------------------------------------------------------
 */

/* Whether a function takes whole lists: it gets their elements one after the other. */
static bool takes_lists(const mw_compiler *compiler, const mw_fact *call)
{
    const bool own = call->operation == MW_OP_CALL;
    const mw_signature *signature = &(own ? &compiler->own : &compiler->host)->items[call->first];
    bool lists = false;
    for (uint32_t i = 0; i < signature->count; i++) {
        lists = lists || signature->takes[i].list;
    }
    return lists;
}

/* Whether an argument may be one value for all elements of the lists beside it. */
static bool takes_each(const mw_compiler *compiler, const mw_fact *call, uint32_t argument)
{
    const bool own = call->operation == MW_OP_CALL;
    const mw_signature *signature = &(own ? &compiler->own : &compiler->host)->items[call->first];
    const uint32_t last = signature->count - 1;
    return signature->takes[argument < last ? argument : last].each;
}

/* What a call passes. */
typedef struct passing {
    uint32_t first; /* its arguments among the items */
    uint32_t count;
    uint32_t values;
    uint32_t element; /* of lists that are not passed whole */
    uint32_t length;  /* of the lists that are */
    bool whole;
} passing;

/* How many values the argument makes. */
static uint32_t many_of(const mw_compiler *compiler, const mw_fact *fact, const passing *call,
                        uint32_t argument)
{
    const mw_fact *part = &compiler->facts[compiler->out.items[call->first + argument]];
    if (!call->whole) {
        return 1;
    }
    if (part->list) {
        return part->length;
    }
    return takes_each(compiler, fact, argument) ? call->length : 1;
}

/* Computes the values of all arguments into the temporaries from `slot` on. */
static void make_arguments(mw_compiler *compiler, const mw_fact *fact, const passing *call,
                           mw_operand slot)
{
    for (uint32_t i = 0; i < call->count; i++) {
        const uint32_t child = compiler->out.items[call->first + i];
        const mw_fact *part = &compiler->facts[child];
        const uint32_t many = many_of(compiler, fact, call, i);
        for (uint32_t j = 0; j < many && !mw_emit_stopped(compiler); j++) {
            if (j > 0 && !part->list) {
                mw_emit_move(compiler, &(mw_waiting){.operand = slot - 1}, slot);
                slot++;
                continue;
            }
            const uint32_t element = call->whole ? j : call->element;
            mw_emit_span(compiler, part->start, child, element);
            const mw_waiting value = mw_emit_value(compiler, child, element);
            mw_emit_release(compiler, &value);
            mw_emit_move(compiler, &value, slot++);
        }
    }
}

static void make_call(mw_compiler *compiler, uint32_t at, uint32_t element)
{
    mw_emission *out = &compiler->out;
    const mw_fact *fact = &compiler->facts[at];
    passing call = {.first = out->item_count, .element = element, .length = 1};
    add_children(compiler, at);
    if (mw_emit_stopped(compiler)) {
        return;
    }
    call.count = out->item_count - call.first;
    call.whole = takes_lists(compiler, fact);
    for (uint32_t i = 0; i < call.count; i++) {
        const mw_fact *part = &compiler->facts[out->items[call.first + i]];
        call.length = part->list ? part->length : call.length;
    }
    for (uint32_t i = 0; i < call.count; i++) {
        call.values += many_of(compiler, fact, &call, i);
    }
    const uint32_t depth = out->depth;
    const mw_operand first = mw_emit_take(compiler, call.values);
    make_arguments(compiler, fact, &call, first);
    out->depth = depth;
    out->item_count = call.first;
    const mw_instruction instruction = {.operation = fact->operation,
                                        .extra = (uint16_t)call.values,
                                        .a = call.values > 0 ? first : -1,
                                        .b = -1 - (mw_operand)fact->first,
                                        .c = -1,
                                        .to = mw_emit_take(compiler, 1)};
    mw_emit_add(compiler, &instruction);
    out->values[at] = (mw_waiting){.operand = instruction.to, .owned = true};
}

/* --- reductions ----------------------------------------------------------------------------------
 */

/* What is reduced: the elements of a list, or the arguments of a reduction, those of lists each
 * reduced first. So only one argument at a time needs temporaries for what stands aside. */
typedef struct reducing {
    mw_operation operation;
    uint32_t list;  /* position of the list; MW_NONE: arguments */
    uint32_t first; /* the first argument among the items */
} reducing;

static mw_waiting make_argument(mw_compiler *compiler, const reducing *of, uint32_t child);

/* One of the values that are reduced. */
static mw_waiting make_part(mw_compiler *compiler, const reducing *of, uint32_t which)
{
    if (of->list == MW_NONE) {
        return make_argument(compiler, of, compiler->out.items[of->first + which]);
    }
    mw_emit_span(compiler, compiler->facts[of->list].start, of->list, which);
    return mw_emit_value(compiler, of->list, which);
}

/* Sums in thirds: a tree whose shape depends on the number of values only. */
static mw_waiting make_sum(mw_compiler *compiler, const reducing *of, uint32_t from, uint32_t count)
{
    if (mw_emit_stopped(compiler)) {
        return (mw_waiting){.constant = true};
    }
    if (count == 1) {
        return make_part(compiler, of, from);
    }
    mw_waiting parts[3];
    const uint32_t third = (count + 2) / 3;
    const uint32_t second = (count - third + 1) / 2;
    const uint32_t rest = count - third - second;
    parts[0] = make_sum(compiler, of, from, third);
    parts[1] = make_sum(compiler, of, from + third, second);
    if (rest == 0) {
        return mw_emit_operation(compiler, MW_OP_ADD, 0, parts);
    }
    parts[2] = make_sum(compiler, of, from + third + second, rest);
    return mw_emit_operation(compiler, MW_OP_ADD_ADD, 0, parts);
}

static mw_waiting make_extreme(mw_compiler *compiler, const reducing *of, uint32_t count)
{
    mw_waiting parts[2] = {make_part(compiler, of, 0)};
    for (uint32_t i = 1; i < count && !mw_emit_stopped(compiler); i++) {
        parts[1] = make_part(compiler, of, i);
        parts[0] = mw_emit_operation(compiler, of->operation, 0, parts);
    }
    return parts[0];
}

static mw_waiting reduce(mw_compiler *compiler, const reducing *of, uint32_t count)
{
    return of->operation == MW_OP_ADD ? make_sum(compiler, of, 0, count)
                                      : make_extreme(compiler, of, count);
}

/* Computes a value that stands beside lists, for all elements. */
static void make_aside(mw_compiler *compiler, uint32_t at)
{
    mw_emit_span(compiler, compiler->facts[at].start, at, 0);
    compiler->out.values[at].owned = false; /* it stays in use */
    compiler->facts[at].ready = true;
    add_item(compiler, at);
}

/* Returns the end of the block to pass over at a position of an argument, having computed it if it
 * stands aside; MW_NONE: none begins there. */
static uint32_t pass_block(mw_compiler *compiler, uint32_t at, uint32_t last)
{
    for (uint32_t block = compiler->facts[at].block; block != MW_NONE;
         block = compiler->facts[block].outer) {
        const mw_fact *fact = &compiler->facts[block];
        if (block > last) {
            continue;
        }
        if (fact->aside && !fact->ready) {
            make_aside(compiler, block);
            return block;
        }
        if (fact->ready || fact->kind == MW_BLOCK_REDUCE || fact->kind == MW_BLOCK_SKIP) {
            return block;
        }
    }
    return MW_NONE;
}

static void make_asides(mw_compiler *compiler, uint32_t child)
{
    const mw_fact *part = &compiler->facts[child];
    uint32_t at = part->start;
    while (part->list && at <= child && !mw_emit_stopped(compiler)) {
        const uint32_t block = pass_block(compiler, at, child);
        at = block == MW_NONE ? at + 1 : block + 1;
    }
}

/* Frees the temporaries of asides below the result of a reduction. */
static mw_waiting lower_result(mw_compiler *compiler, mw_waiting value, uint32_t depth)
{
    compiler->out.depth = depth;
    if (value.owned) {
        const mw_operand to = mw_emit_take(compiler, 1);
        if (value.operand != to) {
            mw_emit_move(compiler, &value, to);
            value.operand = to;
        }
    }
    return value;
}

/* The value of an argument; a list is reduced. */
static mw_waiting make_argument(mw_compiler *compiler, const reducing *of, uint32_t child)
{
    mw_emission *out = &compiler->out;
    const mw_fact *part = &compiler->facts[child];
    if (!part->list) {
        mw_emit_span(compiler, part->start, child, 0);
        return mw_emit_value(compiler, child, 0);
    }
    const uint32_t depth = out->depth;
    const uint32_t asides = out->item_count;
    make_asides(compiler, child);
    const reducing elements = {.operation = of->operation, .list = child};
    const mw_waiting value = reduce(compiler, &elements, part->length);
    for (uint32_t i = asides; i < out->item_count; i++) {
        compiler->facts[out->items[i]].ready = false;
    }
    out->item_count = asides;
    return lower_result(compiler, value, depth);
}

/* All values there are: an argument that is an empty list has none. */
static void make_reduction(mw_compiler *compiler, uint32_t at)
{
    mw_emission *out = &compiler->out;
    const mw_fact *fact = &compiler->facts[at];
    const uint32_t before = out->item_count;
    add_children(compiler, at);
    uint32_t arguments = before;
    uint32_t count = 0;
    for (uint32_t i = before; i < out->item_count; i++) {
        const mw_fact *part = &compiler->facts[out->items[i]];
        count += part->list ? part->length : 1;
        out->items[arguments] = out->items[i];
        arguments += !part->list || part->length > 0 ? 1 : 0;
    }
    out->item_count = arguments;
    if (mw_emit_stopped(compiler)) {
        return;
    }
    const reducing all = {(mw_operation)fact->operation, MW_NONE, before};
    mw_waiting value = reduce(compiler, &all, arguments - before);
    if (fact->first == MW_FUNCTION_MEAN) {
        const mw_waiting divisor = {.value = count, .constant = true};
        value = mw_emit_operation(compiler, MW_OP_DIVIDE, 0, (mw_waiting[]){value, divisor});
    }
    out->item_count = before;
    out->values[at] = value;
}

void mw_emit_block(mw_compiler *compiler, uint32_t at, uint32_t element)
{
    const mw_fact *fact = &compiler->facts[at];
    if (fact->ready) {
        return;
    }
    switch ((mw_block)fact->kind) {
    case MW_BLOCK_NONE:
    case MW_BLOCK_SKIP:
        return;
    case MW_BLOCK_LIST:
        make_element(compiler, at, element);
        return;
    case MW_BLOCK_REDUCE:
        make_reduction(compiler, at);
        return;
    case MW_BLOCK_CALL:
        make_call(compiler, at, element);
        return;
    }
}
