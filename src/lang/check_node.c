/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Checking one node: values, lists, ranges, signs and conversions. */
#include <string.h>

#include "check.h"

void mw_check_block(mw_compiler *compiler, uint32_t at, mw_block kind)
{
    mw_fact *fact = &compiler->facts[at];
    fact->kind = (uint8_t)kind;
    fact->outer = compiler->facts[fact->start].block;
    compiler->facts[fact->start].block = at;
    compiler->blocks = true;
}

/* Marks a computed value that stands beside lists, so that it is computed once for all elements. */
static void put_aside(mw_compiler *compiler, uint32_t at)
{
    mw_fact *fact = &compiler->facts[at];
    if (fact->from == MW_FROM_CODE && !fact->aside) {
        fact->aside = true;
        if (fact->kind == MW_BLOCK_NONE) {
            mw_check_block(compiler, at, MW_BLOCK_NONE);
        }
    }
}

void mw_check_lengths(mw_compiler *compiler, uint32_t left, uint32_t right)
{
    const uint32_t here = compiler->facts[right].length;
    const uint32_t there = compiler->facts[left].length;
    const char *piece = mw_check_piece(compiler, right, 0);
    const char *other = mw_check_piece(compiler, left, 1);
    mw_diag *diag =
        mw_diags_error(compiler->diags, MW_CODE_LIST_LENGTHS, mw_check_span(compiler, right),
                       "%s has %u values, %s has %u", piece, here, other, there);
    mw_diag_other(compiler->diags, diag, mw_check_span(compiler, left), "%u values", there);
}

bool mw_check_lists(mw_compiler *compiler, uint32_t at, uint32_t count)
{
    mw_fact *fact = &compiler->facts[at];
    uint32_t list = MW_NONE;
    uint32_t child = at - 1;
    for (uint32_t i = 0; i < count; i++, child = mw_check_before(compiler, child)) {
        const mw_fact *part = &compiler->facts[child];
        fact->bad = fact->bad || part->bad;
        if (part->list) {
            if (list != MW_NONE && compiler->facts[list].length != part->length && !fact->bad) {
                mw_check_lengths(compiler, child, list);
                return false;
            }
            list = child;
        }
    }
    if (fact->bad || list == MW_NONE) {
        return !fact->bad;
    }
    fact->list = true;
    fact->length = compiler->facts[list].length;
    child = at - 1;
    for (uint32_t i = 0; i < count; i++, child = mw_check_before(compiler, child)) {
        if (!compiler->facts[child].list) {
            put_aside(compiler, child);
        }
    }
    return true;
}

void mw_check_work_out(mw_compiler *compiler, uint32_t at, uint32_t count)
{
    double place[3] = {0, 0, 0};
    uint32_t child = at - 1;
    for (uint32_t i = count; i > 0; i--, child = mw_check_before(compiler, child)) {
        const mw_fact *part = &compiler->facts[child];
        if (part->from != MW_FROM_CONSTANT) {
            return;
        }
        place[i - 1] = part->value;
    }
    mw_fact *fact = &compiler->facts[at];
    fact->value = mw_operation_apply(fact->operation, 0, place);
    fact->from = MW_FROM_CONSTANT;
}

static void set_constant(mw_fact *fact, mw_type type, double value)
{
    fact->from = MW_FROM_CONSTANT;
    fact->type = type;
    fact->value = value;
}

static void set_number(mw_compiler *compiler, mw_fact *fact, double number, mw_unit unit)
{
    set_constant(fact, MW_TYPE_NUMBER, number);
    if (unit != MW_UNIT_ONE) {
        fact->unit = unit;
        fact->type = mw_unit_type(compiler->measure, unit);
        fact->value = mw_unit_to_si(compiler->measure, unit, number);
    }
}

/* The text between the quotes, with \" and \\ made " and \. */
static void check_text(mw_compiler *compiler, mw_fact *fact, const mw_node *node)
{
    mw_str text = compiler->ast->parts[node->a];
    mw_text *plain = &compiler->pieces[0];
    if (text.length > 0 && memchr(text.at, '\\', text.length) != NULL) {
        mw_text_clear(plain);
        for (size_t i = 0; i < text.length; i++) {
            i += text.at[i] == '\\' && i + 1 < text.length;
            mw_text_addc(plain, text.at[i]);
        }
        compiler->no_memory = compiler->no_memory || plain->failed;
        text = (mw_str){mw_text_chars(plain), plain->length};
    }
    const double id = mw_values_text(compiler->values, text);
    compiler->no_memory = compiler->no_memory || !mw_is_number(id);
    set_constant(fact, MW_TYPE_TEXT, id);
}

const uint32_t *mw_check_children(mw_compiler *compiler, uint32_t at, uint32_t count)
{
    uint32_t child = at - 1;
    for (uint32_t i = count; i > 0; i--, child = mw_check_before(compiler, child)) {
        compiler->children[i - 1] = child;
    }
    return compiler->children;
}

/* Reports a list where a single value is needed. */
static bool check_single(mw_compiler *compiler, uint32_t at, const char *where)
{
    if (!compiler->facts[at].list) {
        return true;
    }
    const char *piece = mw_check_piece(compiler, at, 0);
    mw_diags_error(compiler->diags, MW_CODE_IS_A_LIST, mw_check_span(compiler, at),
                   "%s is a list; %s holds single values", piece, where);
    return false;
}

/* The common kind of `count` single children of `where` ("a list"); `deed` says what else they
 * cannot be. The unit is the first one's. */
static bool join_children(mw_compiler *compiler, uint32_t at, uint32_t count, const char *where,
                          const char *deed)
{
    mw_fact *fact = &compiler->facts[at];
    const uint32_t *children = mw_check_children(compiler, at, count);
    bool fine = true;
    for (uint32_t i = 0; i < count; i++) {
        fine = check_single(compiler, children[i], where) && fine;
        fine = fine && !compiler->facts[children[i]].bad;
    }
    if (!fine || count == 0) {
        return fine;
    }
    fact->type = compiler->facts[children[0]].type;
    fact->unit = compiler->facts[children[0]].unit;
    for (uint32_t i = 1; i < count; i++) {
        const mw_type other = compiler->facts[children[i]].type;
        const mw_type_fault fault = mw_type_join(compiler->measure, fact->type, other, &fact->type);
        if (fault != MW_TYPE_FINE) {
            mw_check_clash(compiler, &(mw_clash){fault, children[0], children[i], deed});
            return false;
        }
    }
    return true;
}

static void check_list(mw_compiler *compiler, uint32_t at, const mw_node *node)
{
    mw_fact *fact = &compiler->facts[at];
    fact->bad = !join_children(compiler, at, node->count, "a list", "put into one list");
    fact->list = true;
    fact->length = node->count;
    fact->first = compiler->slot_count;
    if (!mw_check_room((void **)&compiler->slots, &compiler->slot_capacity,
                       fact->first + node->count, sizeof *compiler->slots)) {
        compiler->no_memory = true;
        return;
    }
    if (node->count > 0) {
        memcpy(compiler->slots + fact->first, mw_check_children(compiler, at, node->count),
               node->count * sizeof *compiler->slots);
    }
    compiler->slot_count += node->count;
    mw_check_block(compiler, at, MW_BLOCK_LIST);
}

/* `6 .. 8 .. 12 h`: the unit at the end serves the bare numbers before it. */
static void share_unit(mw_compiler *compiler, const uint32_t *children, uint32_t count)
{
    const mw_fact *last = &compiler->facts[children[count - 1]];
    if (last->unit == MW_UNIT_ONE ||
        mw_check_node_of(compiler, children[count - 1])->kind != MW_NODE_NUMBER) {
        return;
    }
    for (uint32_t i = 0; i + 1 < count; i++) {
        mw_fact *fact = &compiler->facts[children[i]];
        const mw_node *node = mw_check_node_of(compiler, children[i]);
        if (node->kind == MW_NODE_NUMBER && fact->unit == MW_UNIT_ONE) {
            set_number(compiler, fact, node->number, last->unit);
        }
    }
}

/* low .. high means the middle as the likely one. */
static void fold_range(mw_compiler *compiler, uint32_t at, uint32_t count)
{
    const uint32_t *children = mw_check_children(compiler, at, count);
    double value[3];
    for (uint32_t i = 0; i < count; i++) {
        if (compiler->facts[children[i]].from != MW_FROM_CONSTANT) {
            return;
        }
        value[i == 1 && count == 2 ? 2 : i] = compiler->facts[children[i]].value;
    }
    if (count == 2) {
        value[1] = (value[2] - value[0]) * 0.5 + value[0];
    }
    mw_fact *fact = &compiler->facts[at];
    fact->value = mw_operation_apply(MW_OP_RANGE, 1, value);
    fact->from = MW_FROM_CONSTANT;
    if (mw_error_code(fact->value) == MW_CODE_OUT_OF_RANGE) {
        const char *piece = mw_check_piece(compiler, at, 0);
        mw_diags_error(compiler->diags, MW_CODE_OUT_OF_RANGE, mw_check_span(compiler, at),
                       "%s goes down: a range rises from low over likely to high", piece);
    }
}

static void check_range(mw_compiler *compiler, uint32_t at, const mw_node *node)
{
    const uint32_t count = node->b == MW_NONE ? 2 : 3;
    mw_fact *fact = &compiler->facts[at];
    const uint32_t *children = mw_check_children(compiler, at, count);
    share_unit(compiler, children, count);
    if (!join_children(compiler, at, count, "a range", "put into one range")) {
        fact->bad = true;
        return;
    }
    children = mw_check_children(compiler, at, count);
    fact->unit = compiler->facts[children[count - 1]].unit;
    fact->operation = MW_OP_RANGE;
    fact->range = true;
    if (mw_check_quantity(compiler, children[0])) {
        fold_range(compiler, at, count);
    }
}

static void check_negate(mw_compiler *compiler, uint32_t at)
{
    mw_fact *fact = &compiler->facts[at];
    const mw_fact *part = &compiler->facts[at - 1];
    if (!mw_check_shape(compiler, at, 1) || !mw_check_quantity(compiler, at - 1)) {
        return;
    }
    if (mw_check_is_point(compiler, part->type)) {
        mw_check_refuse_point(compiler, at - 1, "made negative");
        return;
    }
    fact->type = part->type;
    fact->unit = part->unit;
    fact->operation = MW_OP_NEGATE;
    mw_check_fold(compiler, at, 1);
}

static void check_not(mw_compiler *compiler, uint32_t at)
{
    mw_fact *fact = &compiler->facts[at];
    if (mw_check_shape(compiler, at, 1) && mw_check_truth(compiler, at - 1, "`not`")) {
        fact->type = MW_TYPE_TRUTH;
        fact->operation = MW_OP_NOT;
        mw_check_fold(compiler, at, 1);
    }
}

/* Says why a value cannot be shown in a unit. */
static void report_conversion(mw_compiler *compiler, uint32_t at, mw_unit unit)
{
    const mw_node *node = mw_check_node_of(compiler, at);
    const mw_type from = compiler->facts[at - 1].type;
    const mw_type to = mw_unit_type(compiler->measure, unit);
    mw_type joined;
    const mw_type_fault fault = mw_type_join(compiler->measure, to, from, &joined);
    const char *is = mw_check_is(compiler, at - 1, 0);
    const char *shown = mw_check_unit(compiler, unit, 1);
    const char *kind = mw_check_kind(compiler, to, 2);
    mw_diag *diag = mw_diags_error(
        compiler->diags, fault == MW_TYPE_CURRENCIES ? MW_CODE_NO_RATE : MW_CODE_WRONG_KIND,
        (mw_span){compiler->ast->source, node->at, node->end}, "%s; %s is a unit of %s%s", is,
        shown, kind, fault == MW_TYPE_CURRENCIES ? "; there is no exchange rate between them" : "");
    mw_diag_other(compiler->diags, diag, mw_check_span(compiler, at - 1), "%s", is);
    if (fault == MW_TYPE_POINTS && mw_check_is_point(compiler, to)) {
        mw_diag_try(compiler->diags, diag, "show a difference of temperatures in K: as K");
    }
}

static void check_as(mw_compiler *compiler, uint32_t at, const mw_node *node)
{
    mw_fact *fact = &compiler->facts[at];
    const mw_fact *part = &compiler->facts[at - 1];
    if (part->bad || !mw_check_quantity(compiler, at - 1)) {
        fact->bad = true;
        return;
    }
    if (!mw_unit_shows(compiler->measure, node->unit, part->type)) {
        report_conversion(compiler, at, node->unit);
        return;
    }
    fact->value = part->value;
    fact->type = part->type;
    fact->length = part->length;
    fact->first = part->first;
    fact->operation = part->operation;
    fact->from = part->from;
    fact->list = part->list;
    fact->range = part->range;
    fact->unit = node->unit;
}

void mw_check_node(mw_compiler *compiler, uint32_t at)
{
    const mw_node *node = mw_check_node_of(compiler, at);
    mw_fact *fact = &compiler->facts[at];
    switch ((mw_node_kind)node->kind) {
    case MW_NODE_NUMBER:
        set_number(compiler, fact, node->number, node->unit);
        return;
    case MW_NODE_DATE:
        set_constant(fact, MW_TYPE_DATE, node->number);
        return;
    case MW_NODE_TEXT:
        check_text(compiler, fact, node);
        return;
    case MW_NODE_TRUTH:
        set_constant(fact, MW_TYPE_TRUTH, node->number);
        return;
    case MW_NODE_PATH:
        mw_check_path(compiler, at);
        return;
    case MW_NODE_USUAL:
        mw_check_usual(compiler, at);
        return;
    case MW_NODE_LIST:
        check_list(compiler, at, node);
        return;
    case MW_NODE_RANGE:
        check_range(compiler, at, node);
        return;
    case MW_NODE_NEGATE:
        check_negate(compiler, at);
        return;
    case MW_NODE_NOT:
        check_not(compiler, at);
        return;
    case MW_NODE_BINARY:
        mw_check_binary(compiler, at);
        return;
    case MW_NODE_IF:
        mw_check_choice(compiler, at);
        return;
    case MW_NODE_CALL:
        mw_check_call(compiler, at);
        return;
    case MW_NODE_AS:
        check_as(compiler, at, node);
        return;
    }
}
