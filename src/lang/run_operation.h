/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each operation computes: shared by running, folding constants and lanes, so that all three
 * give the same bits. */
#ifndef MW_LANG_RUN_OPERATION_H
#define MW_LANG_RUN_OPERATION_H

#include <float.h>
#include <math.h>

#include "mouldwright/code.h"

typedef enum mw_operation {
#define MW_WIDE(id, word, operands, fault, formula)   MW_OP_##id,
#define MW_SINGLE(id, word, operands, fault, formula) MW_OP_##id,
#define MW_OTHER(id, word, operands)                  MW_OP_##id,
#include "operations.def"
#undef MW_WIDE
#undef MW_SINGLE
#undef MW_OTHER
    MW_OPERATION_COUNT
} mw_operation;

/* In `extra`: the operand `c` stood to the left of `a` and `b`. It decides whose error wins. */
#define MW_C_FIRST 1

typedef struct mw_operation_row {
    const char *word;
    uint32_t operands;
    mw_code fault; /* the error of a result that is none, where no operand is in error */
    bool wide;     /* its formula holds for vectors too */
} mw_operation_row;

extern const mw_operation_row mw_operation_rows[MW_OPERATION_COUNT];

/* Two numbers count as equal when they differ by at most this part of the larger: far above what
 * conversions round (0.3048 m and 12 in differ in the last bit), far below what anybody measures.
 */
#define MW_EQUAL_WITHIN 1e-12

/* Pieces of the formulas in operations.def. MW_FAULT is 0, or NaN where the gap is no number. */
#define MW_GAP(x, y)   ((x) - (y))
#define MW_SLACK(x, y) (MW_EQUAL_WITHIN * MW_ABS(x) + MW_EQUAL_WITHIN * MW_ABS(y))
#define MW_FAULT(x, y) (MW_GAP(x, y) - MW_GAP(x, y))

/* Those for doubles; lanes_kernels.inc has its own for vectors. */
#define MW_PICK(condition, x, y) ((condition) ? (x) : (y))
#define MW_YES(condition)        ((condition) ? 1.0 : 0.0)
#define MW_ABS(x)                fabs(x)

/* Whether a value is an ordinary number. */
static inline bool mw_is_number(double value)
{
    return fabs(value) <= DBL_MAX;
}

/* a to the power b; NaN also for an error in either. A square is a product, so that code may say it
 * as one. */
double mw_power(double a, double b);

/* The moment itself, or NaN where it is outside the years that dates are written in. */
double mw_moment(double seconds);

/* x rounded up, down or to the nearest multiple of step (> 0, else NaN); halves go away from
 * zero. A quotient within 1e-9 of a whole number (or of a half), or within what doubles of its size
 * can tell, counts as that, so that 0.3 is three steps of 0.1. */
double mw_round_up(double x, double step);
double mw_round_down(double x, double step);
double mw_round_to(double x, double step);

/* The low (which 0), likely (1) or high (2) one of three, or NaN where they are out of order. */
double mw_range(uint16_t which, double low, double likely, double high);

/* Returns the value of an instruction whose formula gave NaN or an infinity: the error of the
 * leftmost operand in error, or else of the operation. `place` is its three operands. */
double mw_settle(uint16_t operation, uint16_t extra, const double place[3]);

/* Returns what one instruction (not a call) gives for its operands. */
double mw_operation_apply(uint16_t operation, uint16_t extra, const double place[3]);

/* Calls a function of a table: the leftmost argument in error, or its result with anything but a
 * number made an error. */
double mw_function_apply(const mw_function *function, void *host, const double *arguments,
                         uint32_t count);

/* Returns how many operands of an instruction are read as values: a, then b, then c. */
static inline uint32_t mw_operands_of(const mw_instruction *instruction)
{
    return mw_operation_rows[instruction->operation].operands;
}

#endif
