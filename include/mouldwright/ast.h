/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Syntax trees of formulas and statements, kept in a workspace that is used again and again. */
#ifndef MOULDWRIGHT_AST_H
#define MOULDWRIGHT_AST_H

#include "mouldwright/diag.h"
#include "mouldwright/unit.h"

#ifdef __cplusplus
extern "C" {
#endif

/* No node stands further than this from the root: whoever walks a tree may recurse. */
#define MW_TREE_HEIGHT 2000

typedef enum mw_node_kind {
    MW_NODE_NUMBER, /* number, unit; negative where a sign stands right before the literal */
    MW_NODE_DATE,   /* number: seconds since 1970-01-01 */
    MW_NODE_TEXT, /* parts[a]: what stands between the quotes, as written; no escapes but \" and \\.
                       The node's span is that text too, `at` the opening quote */
    MW_NODE_TRUTH, /* number 0 or 1 */
    MW_NODE_PATH,  /* `count` name parts from parts[a] on */
    MW_NODE_USUAL,
    MW_NODE_LIST,   /* `count` children from links[a] on */
    MW_NODE_RANGE,  /* low a, likely b, high c (b is MW_NONE for `low .. high`: the middle) */
    MW_NODE_NEGATE, /* a */
    MW_NODE_NOT,    /* a */
    MW_NODE_BINARY, /* op, a, b */
    MW_NODE_IF,     /* condition a, then b, else c */
    MW_NODE_CALL,   /* name parts[b]; `count` children from links[a] on */
    MW_NODE_AS      /* a, unit */
} mw_node_kind;

typedef enum mw_operator {
    MW_ADD,
    MW_SUBTRACT,
    MW_MULTIPLY,
    MW_DIVIDE,
    MW_POWER,
    MW_LESS,
    MW_LESS_EQUAL,
    MW_EQUAL,
    MW_UNEQUAL,
    MW_GREATER_EQUAL,
    MW_GREATER,
    MW_AND,
    MW_OR,
    MW_OPERATOR_COUNT
} mw_operator;

typedef struct mw_node {
    uint8_t kind;   /* mw_node_kind */
    uint8_t op;     /* mw_operator of a BINARY */
    uint16_t count; /* children or parts */
    uint32_t begin; /* bytes in the source */
    uint32_t end;
    uint32_t at; /* where the operator, `as` or function name stands: the caret */
    uint32_t a, b, c;
    mw_unit unit;
    double number;
} mw_node;

/* One `NAME value` of a mould statement, or one `PATH = value, value ...` of a what-if, alternative or weighing. */
typedef struct mw_item {
    mw_span name;         /* as written */
    uint32_t path;        /* node of the path (what if) or MW_NONE (mould) */
    uint32_t first_value; /* roots in links[] */
    uint32_t value_count;
    mw_span value; /* text of all values */
    bool grid;     /* what if: joined to the one before by `by` (every combination), not `with` */
    bool stepped;  /* what if: the values are a range `low .. high` and the step through it */
    bool shown;    /* not varied, only shown: behind `show`, or a goal of `weigh`; `path` alone */
    bool most;     /* weigh: more of it is better */
} mw_item;

/* The workspace. Start from {0}; mw_ast_clear() between formulas keeps the memory. */
typedef struct mw_ast {
    uint32_t source; /* that the spans are in */
    mw_node *nodes;
    uint32_t node_count, node_capacity;
    uint32_t *links;
    uint32_t link_count, link_capacity;
    mw_str *parts; /* name parts and texts, borrowed from the source's text */
    uint32_t part_count, part_capacity;
    mw_item *items;
    uint32_t item_count, item_capacity;
} mw_ast;

/* Empties the tree and keeps its memory. */
void mw_ast_clear(mw_ast *ast);
/* Gives the memory back and makes the tree {0}. */
void mw_ast_free(mw_ast *ast);

#ifdef __cplusplus
}
#endif

#endif
