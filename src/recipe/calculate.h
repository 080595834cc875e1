/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures of files worked out: formulas that read no names. */
#ifndef RECIPE_CALCULATE_H
#define RECIPE_CALCULATE_H

#include "mouldwright/code.h"
#include "mouldwright/parse.h"

/* What working out needs, used again for every figure. */
typedef struct mw_calculator {
    const mw_sources *sources;
    mw_measure *measure;
    mw_values *values;
    mw_compiler *compiler;
    mw_ast ast;
    mw_program program;
} mw_calculator;

/* Borrows both. False when there is no memory; mw_calculator_end() is due in any case. */
bool mw_calculator_start(mw_calculator *calculator, const mw_sources *sources, mw_measure *measure);
void mw_calculator_end(mw_calculator *calculator);

/* Reads a formula to see whether it can be read. */
mw_status mw_calculator_read(mw_calculator *calculator, mw_span span, mw_diags *diags);

/* A figure: inside, in SI. A range has three values, else all are the same. */
typedef struct mw_constant {
    double low, value, high;
    mw_type type;
    mw_unit unit; /* as written */
} mw_constant;

/* Works a figure out. MW_FAILED: reported, also where it reads a name, is a list or has no value. */
mw_status mw_calculate(mw_calculator *calculator, mw_span span, mw_constant *out, mw_diags *diags);

/* Works out a figure that must fit the type `slot`. */
mw_status mw_calculate_as(mw_calculator *calculator, mw_span span, mw_type slot, mw_constant *out,
                          mw_diags *diags);

#endif
