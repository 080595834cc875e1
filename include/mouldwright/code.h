/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Compiled formulas: checked once, bound to cells, run on doubles or on lanes of doubles. */
#ifndef MOULDWRIGHT_CODE_H
#define MOULDWRIGHT_CODE_H

#include "mouldwright/ast.h"
#include "mouldwright/function.h"

#ifdef __cplusplus
extern "C" {
#endif

/* One instruction: `to` = op(a, b, c). 20 bytes. Operations are listed in src/lang/operations.def.
 */
typedef struct mw_instruction {
    uint16_t operation;
    uint16_t extra;
    mw_operand to;
    mw_operand a, b, c;
} mw_instruction;

/* What a name stands for. */
typedef struct mw_reference {
    const uint32_t *slots; /* list: its cells, owned by the scope until the next find; else NULL */
    uint32_t slot;         /* single: its cell */
    uint32_t count;        /* list: length; single: 1 */
    bool list;
    bool constant; /* the value below is bound instead of a cell (texts, choices) */
    double value;
    mw_type type;
    mw_unit unit; /* shown in */
} mw_reference;

/* A name as written: its parts between the dots. */
typedef struct mw_path {
    const mw_str *parts;
    uint32_t count;
    mw_span span;
} mw_path;

/* How names are found. */
typedef struct mw_scope {
    void *context;
    /* Finds the thing that a path means. MW_NOT_FOUND: no such thing. MW_PENDING: its type is
     * not known yet (the caller compiles it first and comes back). MW_FAILED: diagnosed. */
    mw_status (*find)(void *context, const mw_path *path, mw_reference *out, mw_diags *diags);
    /* Offers known names for a misspelt one; may be NULL. Writes to `out` the whole suggestion and
     * returns whether there is one. */
    bool (*suggest)(void *context, const mw_path *path, mw_text *out);
    const mw_reference *usual; /* NULL: no `usual` here */
    mw_host host;
} mw_scope;

typedef enum mw_shape { MW_SHAPE_ONE, MW_SHAPE_LIST, MW_SHAPE_RANGE } mw_shape;

/* What checking found out about a formula. */
typedef struct mw_meaning {
    mw_type type;    /* of a list: of its elements */
    mw_unit unit;    /* shown in */
    mw_shape shape;  /* MW_SHAPE_RANGE: three results (low, likely, high) */
    uint32_t length; /* results: 1, list length, 3 */
    bool constant;   /* no cell is read */
} mw_meaning;

/* A checker and compiler with its reusable workspace. */
typedef struct mw_compiler mw_compiler;

/* Returns a compiler, or NULL when there is no memory. It borrows both for its life. */
mw_compiler *mw_compiler_new(mw_measure *measure, mw_values *values) MW_MUST_USE;
void mw_compiler_free(mw_compiler *compiler);

/* A formula to check. */
typedef struct mw_question {
    const mw_ast *ast;
    uint32_t root;
    const mw_scope *scope;
    mw_type slot; /* declared type that the result must fit and then has, or MW_NONE */
} mw_question;

/* Checks a formula: resolves names, infers kinds. MW_FAILED: diagnostics with both kinds and both
 * places. MW_PENDING: handed on from the scope. The tree must stay until mw_compiler_emit(). */
mw_status mw_compiler_check(mw_compiler *compiler, const mw_question *question, mw_meaning *meaning,
                            mw_diags *diags) MW_MUST_USE;

/* Code that grows. Start from {0}; give `items` back with mw_memory_give(). */
typedef struct mw_program {
    mw_instruction *items;
    uint32_t count;
    uint32_t capacity;
} mw_program;

/* Appends the code of what was checked last, results going to the cells to[0 .. length-1] (length
 * of the meaning). Constants are added to the values. The last instruction of each result writes
 * its cell; nothing else writes cells. Results follow each other; `ends` (may be NULL, room for
 * `length`) is set to code->count after each. On MW_NO_MEMORY code->count is as before. */
mw_status mw_compiler_emit(mw_compiler *compiler, const uint32_t *to, mw_program *code,
                           uint32_t *ends) MW_MUST_USE;

/* Returns the distinct cells that the checked formula reads, in the order of their first
 * appearance,
 * `*count` of them; valid until the next check. */
const uint32_t *mw_compiler_reads(const mw_compiler *compiler, uint32_t *count);

/* What running needs besides code. */
typedef struct mw_machine {
    double *base;            /* mw_values_base() */
    const mw_function *host; /* functions for the call operation, as in mw_host */
    void *host_context;
} mw_machine;

/* Runs `count` instructions one after the other. Infinities that reach a cell become
 * MW_CODE_TOO_LARGE. Never fails: errors are values. Of two operands in error the left one's
 * error wins. Comparisons take as equal what differs by less than 1e-12 of the larger, so that 1 ft
 * = 12 in. */
void mw_run(const mw_machine *machine, const mw_instruction *code, uint32_t count);

/* Calls `each` for every cell operand of the code (operands >= 0 that are read). */
void mw_program_reads(const mw_instruction *code, uint32_t count,
                      void (*each)(void *context, uint32_t cell), void *context);
/* Replaces every cell operand c (read or written) by map[c]: binds a template to cells. */
void mw_program_bind(mw_instruction *code, uint32_t count, const uint32_t *map);

/* Writes code as text, for tests and for looking at it. */
void mw_program_words(const mw_instruction *code, uint32_t count, mw_text *out);

#ifdef __cplusplus
}
#endif

#endif
