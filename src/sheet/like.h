/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Formulas that are alike: the same text but for names and numbers, and names of the same kinds
 * and units. Loading compiles the first of them; from it a pattern is made, and the others are
 * copies of that with their own cells and constants in it. A pattern is made by compiling the
 * same tree with stand-ins for the numbers, and refused where one of them is not found again in
 * the code: there numbers were put together, or decided what to compute. Powers and zeros,
 * ranges and dates matter for more than their value and are no such numbers. */
#ifndef MW_SHEET_LIKE_H
#define MW_SHEET_LIKE_H

#include "parts.h"

enum {
    LIKE_LEAVES = 12,  /* names and numbers of one formula */
    LIKE_BYTES = 256,  /* its text without them; a power of two */
    LIKE_FIXED = 4,    /* numbers that are part of its text */
    LIKE_SHAPES = 8192 /* texts that are remembered */
};

/* What stands for a name and a number in the text of a shape. */
#define LIKE_NAME   '\x01'
#define LIKE_NUMBER '\x02'

/* What a known word is that is a number. */
#define LIKE_IS_NUMBER (MW_NONE - 1)

typedef struct like_leaf {
    mw_type type; /* of a name */
    mw_unit unit; /* of a name or number */
    bool number;
    bool negative; /* a number with its sign in front */
} like_leaf;

/* A shape with the kinds of its names. */
typedef struct pattern {
    uint32_t next; /* of the same shape */
    uint32_t first_leaf, leaf_count;
    /* Cells in the code are leaves; behind them stand the result and the fixed numbers. No code:
     * the formula is a number. */
    uint32_t first_code, code_count;
    double fixed[LIKE_FIXED];
    uint32_t fixed_count;
    mw_type type;
    mw_unit unit;
} pattern;

struct likes {
    mw_names *shapes;
    uint32_t *first; /* by shape: its patterns; MW_NONE: none yet */
    uint32_t first_capacity;
    uint32_t known; /* shapes for which `first` is set */
    pattern *patterns;
    uint32_t count, capacity;
    like_leaf *leaves;
    uint32_t leaf_count, leaf_capacity;
    mw_program code;
    mw_diags quiet; /* what is said about stand-ins, which nobody hears */
};

bool like_start(likes *all) MW_MUST_USE;
void like_end(likes *all);
/* Returns the number of a shape; MW_NONE: it has none. */
uint32_t like_shape(likes *all, mw_str text);

/* Compiles a cell by a pattern. MW_NOT_FOUND: there is none that fits. */
mw_status like_compile(mw_edit *edit, uint32_t id, uint32_t shape);
/* Makes a pattern of the cell whose tree, with this root, has just been compiled. It is no error if
 * that cannot be done. */
void like_learn(mw_edit *edit, uint32_t id, uint32_t shape, uint32_t root);

#endif
