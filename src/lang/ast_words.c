/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Trees back to text: what is written reads to the same tree again. */
#include "mouldwright/date.h"
#include "mouldwright/number.h"
#include "mouldwright/parse.h"

#include <math.h>

#include "parser.h"

enum { LEVEL_WHOLE = MW_LEVEL_POWER + 1 }; /* binds by itself: names, numbers, calls ... */

typedef struct operator_words {
    const char *sign;
    uint8_t level;
    uint8_t left; /* what may stand on its sides without brackets */
    uint8_t right;
} operator_words;

static const operator_words operators[MW_OPERATOR_COUNT] = {
    [MW_ADD] = {" + ", MW_LEVEL_SUM, MW_LEVEL_SUM, MW_LEVEL_PRODUCT},
    [MW_SUBTRACT] = {" - ", MW_LEVEL_SUM, MW_LEVEL_SUM, MW_LEVEL_PRODUCT},
    [MW_MULTIPLY] = {" * ", MW_LEVEL_PRODUCT, MW_LEVEL_PRODUCT, MW_LEVEL_SIGN},
    [MW_DIVIDE] = {" / ", MW_LEVEL_PRODUCT, MW_LEVEL_PRODUCT, MW_LEVEL_SIGN},
    [MW_POWER] = {"^", MW_LEVEL_POWER, LEVEL_WHOLE, MW_LEVEL_SIGN},
    [MW_LESS] = {" < ", MW_LEVEL_COMPARE, MW_LEVEL_RANGE, MW_LEVEL_RANGE},
    [MW_LESS_EQUAL] = {" <= ", MW_LEVEL_COMPARE, MW_LEVEL_RANGE, MW_LEVEL_RANGE},
    [MW_EQUAL] = {" = ", MW_LEVEL_COMPARE, MW_LEVEL_RANGE, MW_LEVEL_RANGE},
    [MW_UNEQUAL] = {" <> ", MW_LEVEL_COMPARE, MW_LEVEL_RANGE, MW_LEVEL_RANGE},
    [MW_GREATER_EQUAL] = {" >= ", MW_LEVEL_COMPARE, MW_LEVEL_RANGE, MW_LEVEL_RANGE},
    [MW_GREATER] = {" > ", MW_LEVEL_COMPARE, MW_LEVEL_RANGE, MW_LEVEL_RANGE},
    [MW_AND] = {" and ", MW_LEVEL_AND, MW_LEVEL_AND, MW_LEVEL_NOT},
    [MW_OR] = {" or ", MW_LEVEL_OR, MW_LEVEL_OR, MW_LEVEL_AND},
};

/* What is being written. */
typedef struct writing {
    const mw_ast *ast;
    const mw_measure *measure;
    mw_text *out;
} writing;

static void write_node(const writing *to, uint32_t id, unsigned level);

static const mw_node *node_of(const writing *to, uint32_t id)
{
    return &to->ast->nodes[id];
}

static unsigned level_of(const mw_node *node)
{
    switch ((mw_node_kind)node->kind) {
    case MW_NODE_NUMBER:
        return signbit(node->number) ? MW_LEVEL_SIGN : LEVEL_WHOLE;
    case MW_NODE_RANGE:
        return MW_LEVEL_RANGE;
    case MW_NODE_NEGATE:
        return MW_LEVEL_SIGN;
    case MW_NODE_NOT:
        return MW_LEVEL_NOT;
    case MW_NODE_BINARY:
        return operators[node->op].level;
    case MW_NODE_IF:
        return MW_LEVEL_NOTHING;
    case MW_NODE_AS:
        return MW_LEVEL_AS;
    case MW_NODE_DATE:
    case MW_NODE_TEXT:
    case MW_NODE_TRUTH:
    case MW_NODE_PATH:
    case MW_NODE_USUAL:
    case MW_NODE_LIST:
    case MW_NODE_CALL:
        break;
    }
    return LEVEL_WHOLE;
}

/* Fifteen digits where they are enough to read the same number, else all seventeen. */
static void write_figure(mw_text *out, double value)
{
    size_t before = out->length;
    mw_number_words(value, out);
    if (out->failed) {
        return;
    }
    double again = 0;
    mw_number_read((mw_str){out->data + before, out->length - before}, &again);
    if (again != value) {
        out->length = before;
        mw_text_addf(out, "%.17g", value);
    }
}

static void write_number(const writing *to, const mw_node *node)
{
    if (signbit(node->number)) {
        mw_text_addc(to->out, '-');
    }
    write_figure(to->out, fabs(node->number));
    if (node->unit != MW_UNIT_ONE) {
        mw_text_addc(to->out, ' ');
        mw_unit_words(to->measure, node->unit, to->out);
    }
}

static void write_path(const writing *to, const mw_node *node)
{
    for (uint32_t i = 0; i < node->count; i++) {
        mw_text_adds(to->out, i > 0 ? "." : "");
        mw_text_add_str(to->out, to->ast->parts[node->a + i]);
    }
}

static void write_values(const writing *to, const mw_node *node)
{
    for (uint32_t i = 0; i < node->count; i++) {
        mw_text_adds(to->out, i > 0 ? ", " : "");
        write_node(to, to->ast->links[node->a + i], MW_LEVEL_NOTHING);
    }
}

static void write_range(const writing *to, const mw_node *node)
{
    write_node(to, node->a, MW_LEVEL_SUM);
    mw_text_adds(to->out, " .. ");
    if (node->b != MW_NONE) {
        write_node(to, node->b, MW_LEVEL_SUM);
        mw_text_adds(to->out, " .. ");
    }
    write_node(to, node->c, MW_LEVEL_SUM);
}

static void write_bracketed(const writing *to, uint32_t id)
{
    mw_text_addc(to->out, '(');
    write_node(to, id, MW_LEVEL_NOTHING);
    mw_text_addc(to->out, ')');
}

/* A sign right in front of a number would become the number's own. */
static void write_negate(const writing *to, const mw_node *node)
{
    const mw_node *child = node_of(to, node->a);
    mw_text_addc(to->out, '-');
    if (child->kind == MW_NODE_NUMBER && !signbit(child->number)) {
        write_bracketed(to, node->a);
    } else {
        write_node(to, node->a, MW_LEVEL_SIGN);
    }
}

/* `2 m^2` would be two square metres, not the square of two metres. */
static void write_binary(const writing *to, const mw_node *node)
{
    const operator_words *words = &operators[node->op];
    const mw_node *left = node_of(to, node->a);
    if (node->op == MW_POWER && left->kind == MW_NODE_NUMBER && left->unit != MW_UNIT_ONE) {
        write_bracketed(to, node->a);
    } else {
        write_node(to, node->a, words->left);
    }
    mw_text_adds(to->out, words->sign);
    write_node(to, node->b, words->right);
}

static void write_if(const writing *to, const mw_node *node)
{
    mw_text_adds(to->out, "if ");
    write_node(to, node->a, MW_LEVEL_NOTHING);
    mw_text_adds(to->out, " then ");
    write_node(to, node->b, MW_LEVEL_NOTHING);
    mw_text_adds(to->out, " else ");
    bool chain = node_of(to, node->c)->kind == MW_NODE_IF;
    write_node(to, node->c, chain ? MW_LEVEL_NOTHING : MW_LEVEL_OR);
}

static void write_as(const writing *to, const mw_node *node)
{
    bool choice = node_of(to, node->a)->kind == MW_NODE_IF;
    write_node(to, node->a, choice ? MW_LEVEL_NOTHING : MW_LEVEL_AS);
    mw_text_adds(to->out, " as ");
    mw_unit_words(to->measure, node->unit, to->out);
}

static void write_bare(const writing *to, const mw_node *node)
{
    switch ((mw_node_kind)node->kind) {
    case MW_NODE_NUMBER:
        write_number(to, node);
        break;
    case MW_NODE_DATE:
        mw_date_words(node->number, to->out);
        break;
    case MW_NODE_TEXT:
        mw_text_addc(to->out, '"');
        mw_text_add_str(to->out, to->ast->parts[node->a]);
        mw_text_addc(to->out, '"');
        break;
    case MW_NODE_TRUTH:
        mw_text_adds(to->out, node->number != 0 ? "yes" : "no");
        break;
    case MW_NODE_PATH:
        write_path(to, node);
        break;
    case MW_NODE_USUAL:
        mw_text_adds(to->out, "usual");
        break;
    case MW_NODE_LIST:
        mw_text_addc(to->out, '[');
        write_values(to, node);
        mw_text_addc(to->out, ']');
        break;
    case MW_NODE_RANGE:
        write_range(to, node);
        break;
    case MW_NODE_NEGATE:
        write_negate(to, node);
        break;
    case MW_NODE_NOT:
        mw_text_adds(to->out, "not ");
        write_node(to, node->a, MW_LEVEL_NOT);
        break;
    case MW_NODE_BINARY:
        write_binary(to, node);
        break;
    case MW_NODE_IF:
        write_if(to, node);
        break;
    case MW_NODE_CALL:
        mw_text_add_str(to->out, to->ast->parts[node->b]);
        mw_text_addc(to->out, '(');
        write_values(to, node);
        mw_text_addc(to->out, ')');
        break;
    case MW_NODE_AS:
        write_as(to, node);
        break;
    }
}

/* Writes a node where only what binds at least as tightly as `level` may stand without brackets. */
static void write_node(const writing *to, uint32_t id, unsigned level)
{
    const mw_node *node = node_of(to, id);
    if (level_of(node) < level) {
        write_bracketed(to, id);
    } else {
        write_bare(to, node);
    }
}

void mw_ast_words(const mw_ast *ast, const mw_measure *measure, uint32_t root, mw_text *out)
{
    const writing to = {ast, measure, out};
    write_node(&to, root, MW_LEVEL_NOTHING);
}
