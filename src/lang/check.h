/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The workspace of checking and compiling, shared by check*.c and emit*.c.
 *
 * The nodes of a tree are put in a row, children before their parents and from left to right
 * (`facts`): a position is an index into that row. The subtree of position p is the stretch from
 * facts[p].start to p; its last child stands at p - 1, the child before that in front of the last
 * one's stretch. What checking finds out about a node stands at its position, so that making code
 * looks nothing up again. */
#ifndef MW_LANG_CHECK_H
#define MW_LANG_CHECK_H

#include "function_known.h"
#include "function_signature.h"
#include "mouldwright/memory.h"
#include "run_operation.h"

/* Where the value of a node comes from. */
typedef enum mw_from {
    MW_FROM_CODE,
    MW_FROM_CONSTANT, /* `value` */
    MW_FROM_CELL,     /* cell `first` */
    MW_FROM_SLOTS     /* a list of cells: slots[first ...] */
} mw_from;

/* Nodes whose children are not simply computed once each, in their order. */
typedef enum mw_block {
    MW_BLOCK_NONE,
    MW_BLOCK_LIST,   /* only the child of the element wanted */
    MW_BLOCK_REDUCE, /* all elements of all children, put together by `operation` */
    MW_BLOCK_CALL,   /* children into consecutive temporaries */
    MW_BLOCK_SKIP    /* a constant: none of the children */
} mw_block;

typedef struct mw_fact {
    double value;
    uint32_t node;
    uint32_t start; /* of its stretch */
    mw_type type;
    mw_unit unit;
    uint32_t length; /* of a list; else 1 */
    uint32_t first;  /* cell; place in slots; row of a called function; mw_known of a reduction */
    uint32_t block; /* the widest stretch that begins here and is a block or aside; MW_NONE: none */
    uint32_t outer; /* of a block: the next narrower one that begins where it begins */
    uint16_t operation;
    uint8_t from;   /* mw_from */
    uint8_t kind;   /* mw_block */
    bool list;      /* one value for each element */
    bool bad;       /* already reported: no more is said about what it is part of */
    bool range;     /* a range, or a range `as` a unit */
    bool aside;     /* one value used for every element of a list: computed once where possible */
    bool ready;     /* aside, and computed already */
    bool uncounted; /* only its length matters: its cells are not read */
} mw_fact;

/* A value while code is made. */
typedef struct mw_waiting {
    double value;       /* of a constant */
    mw_operand operand; /* else */
    bool constant;
    bool owned; /* a temporary that is free once this is used */
} mw_waiting;

/* Code being made. Constants are numbered from MW_FIRST_CONSTANT downwards until emitted; results
 * are numbered from 0 and are the only `to` that are not below 0. */
typedef struct mw_emission {
    mw_program code;
    double *constants;
    uint32_t constant_count, constant_capacity;
    mw_waiting *values; /* by position, of what is computed by code */
    uint32_t value_capacity;
    uint32_t *ends; /* code.count after each result */
    uint32_t end_capacity;
    uint32_t results;
    mw_operand *operands; /* of the constants, while code is emitted */
    uint32_t operand_capacity;
    uint32_t *items; /* positions: arguments of the reductions being made */
    uint32_t item_count, item_capacity;
    uint32_t depth;   /* temporaries in use: -1 to -depth */
    uint32_t segment; /* where the code of the present result begins */
    bool too_deep, too_long;
} mw_emission;

#define MW_FIRST_CONSTANT (-MW_TEMPORARIES - 1)

/* Lists worked through lists may make code without end: more than this is refused. */
#define MW_CODE_LIMIT (1u << 21)

#define MW_PIECES 4

struct mw_compiler {
    mw_measure *measure;
    mw_values *values;
    mw_signatures own;
    mw_signatures host;
    mw_unit day, percent, ppm;

    const mw_ast *ast;
    const mw_scope *scope;
    mw_diags *diags;
    bool failed; /* something was reported */
    bool pending;
    bool no_memory;
    bool blocks; /* some fact is a block */

    mw_fact *facts;
    uint32_t fact_count, fact_capacity;
    uint32_t *children; /* see mw_check_children() */
    uint32_t child_capacity;
    uint32_t *slots; /* cells of lists; positions of the elements of written lists */
    uint32_t slot_count, slot_capacity;
    uint32_t *reads;
    uint32_t read_count, read_capacity;
    uint32_t *seen; /* set of reads by hash, entries + 1 */
    uint32_t seen_capacity;
    mw_text pieces[MW_PIECES]; /* for messages */

    mw_emission out;
};

/* mw_memory_grow32() with the usual case, that there is room, in line. */
static inline bool mw_check_room(void **items, uint32_t *capacity, uint32_t needed, size_t size)
{
    return needed <= *capacity || mw_memory_grow32(items, capacity, needed, size);
}

/* check_node.c: finds out about the node at a position whose children are done; its fact has `node`
 * and `start`, and is that of a plain number else. */
void mw_check_node(mw_compiler *compiler, uint32_t at);

/* Steps shared by the checks of single nodes. */

/* Returns the node of a position. */
static inline const mw_node *mw_check_node_of(const mw_compiler *compiler, uint32_t at)
{
    return &compiler->ast->nodes[compiler->facts[at].node];
}

/* Returns the position of the child before the one at `at`. */
static inline uint32_t mw_check_before(const mw_compiler *compiler, uint32_t at)
{
    return compiler->facts[at].start - 1;
}

/* Returns the positions of the `count` children of a node, from left to right; valid until the next
 * call. */
const uint32_t *mw_check_children(mw_compiler *compiler, uint32_t at, uint32_t count);

/* The part of mw_check_shape() for lists and bad children. */
bool mw_check_lists(mw_compiler *compiler, uint32_t at, uint32_t count);
/* Reports two lists of different length. */
void mw_check_lengths(mw_compiler *compiler, uint32_t left, uint32_t right);

/* The usual case: no child is a list or bad. */
static inline bool mw_check_single(const mw_compiler *compiler, uint32_t at, uint32_t count)
{
    uint32_t child = at - 1;
    for (; count > 0; count--, child = mw_check_before(compiler, child)) {
        const mw_fact *part = &compiler->facts[child];
        if (part->list || part->bad) {
            return false;
        }
    }
    return true;
}

/* Makes the shape of a node that works element by element: a list where one of its `count` last
 * children is. Reports lists of different length and returns false; false also where a child is
 * bad, and then the node is bad too. */
static inline bool mw_check_shape(mw_compiler *compiler, uint32_t at, uint32_t count)
{
    return mw_check_single(compiler, at, count) || mw_check_lists(compiler, at, count);
}

/* Makes a node a block. */
void mw_check_block(mw_compiler *compiler, uint32_t at, mw_block kind);

/* The part of mw_check_fold() behind a first look. */
void mw_check_work_out(mw_compiler *compiler, uint32_t at, uint32_t count);

/* Works a node out now if its `count` children are all constants. */
static inline void mw_check_fold(mw_compiler *compiler, uint32_t at, uint32_t count)
{
    if (compiler->facts[at - 1].from == MW_FROM_CONSTANT) {
        mw_check_work_out(compiler, at, count);
    }
}

/* check_operator.c */
void mw_check_binary(mw_compiler *compiler, uint32_t at);
void mw_check_choice(mw_compiler *compiler, uint32_t at);
/* Whether a value is a quantity (no truth, no text); reports it otherwise. */
bool mw_check_quantity(mw_compiler *compiler, uint32_t at);
/* The same for a truth; `where` says what needs it: "`if`". */
bool mw_check_truth(mw_compiler *compiler, uint32_t at, const char *where);
/* The unit in which the common kind of two values is shown: the left one's, unless that is a bare
 * number. Like all that is found out about a formula it follows from the text alone and from the
 * kinds and units of what is named in it: the sheet looks at a formula again when one of those
 * changes, not when a value does. */
mw_unit mw_check_common_unit(mw_compiler *compiler, uint32_t left, uint32_t right, mw_type type);

/* Whether one value is a plain number and the other a share of one, such as 8 %. Their sum is a
 * plain number: 3 + 5 % is 3.05, 1 - 8 % is 0.92. */
bool mw_check_mixes_shares(const mw_compiler *compiler, uint32_t one, uint32_t other);

/* check_call.c */
void mw_check_call(mw_compiler *compiler, uint32_t at);
/* check_function.c: the functions that are compiled to operations. */
void mw_check_known(mw_compiler *compiler, uint32_t at, mw_known known);

/* check_name.c */
void mw_check_path(mw_compiler *compiler, uint32_t at);
void mw_check_usual(mw_compiler *compiler, uint32_t at);
void mw_check_unknown_function(mw_compiler *compiler, uint32_t at);
/* Fills compiler->reads. */
void mw_check_gather_reads(mw_compiler *compiler);

/* check_words.c: messages. */

/* Returns the span of a position. */
mw_span mw_check_span(const mw_compiler *compiler, uint32_t at);
/* Returns the text of a position (shortened), or that text with what it is: "3 kg is a mass". It is
 * kept in place `which` (below MW_PIECES) for one message. */
const char *mw_check_piece(mw_compiler *compiler, uint32_t at, uint32_t which);
const char *mw_check_is(mw_compiler *compiler, uint32_t at, uint32_t which);
/* Returns the words of a kind, or the text of a unit, likewise. */
const char *mw_check_kind(mw_compiler *compiler, mw_type type, uint32_t which);
const char *mw_check_unit(mw_compiler *compiler, mw_unit unit, uint32_t which);

bool mw_check_is_point(const mw_compiler *compiler, mw_type type);
/* Reports a temperature or date where only a difference can be: "it cannot be multiplied". */
void mw_check_refuse_point(mw_compiler *compiler, uint32_t at, const char *deed);

/* Two values that do not go together. */
typedef struct mw_clash {
    mw_type_fault fault;
    uint32_t left;
    uint32_t right;
    const char *deed; /* what was tried: "added" */
} mw_clash;

/* Reports why two values do not go together, at the right one, with the left one as the other
 * place. */
void mw_check_clash(mw_compiler *compiler, const mw_clash *clash);

/* emit.c: makes the code of the checked facts in compiler->out. */
mw_status mw_emit_make(mw_compiler *compiler, mw_shape shape, uint32_t length) MW_MUST_USE;

#endif
