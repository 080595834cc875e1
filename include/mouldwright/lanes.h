/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lanes: the same code run on columns of values, for what-if and risk. Columns exist only where
 * inputs differ; all else is one number. */
#ifndef MOULDWRIGHT_LANES_H
#define MOULDWRIGHT_LANES_H

#include "mouldwright/code.h"

#ifdef __cplusplus
extern "C" {
#endif

#define MW_LANES_MAX 256

typedef struct mw_lanes mw_lanes;

/* Returns lanes of `width` (1 to MW_LANES_MAX) over `cells` cells, all without a column; NULL when
 * there is no memory. Free with mw_lanes_free(). */
mw_lanes *mw_lanes_new(uint32_t cells, uint32_t width) MW_MUST_USE;
void mw_lanes_free(mw_lanes *lanes);
uint32_t mw_lanes_width(const mw_lanes *lanes);

/* Forgets all columns, keeps the memory. */
void mw_lanes_clear(mw_lanes *lanes);

/* Gives a cell a column (its values undefined) or returns the one it has; NULL when there is no
 * memory. Columns stay where they are until mw_lanes_free(). */
double *mw_lanes_give(mw_lanes *lanes, uint32_t cell) MW_MUST_USE;
/* Returns the column of a cell, or NULL where it has none. */
double *mw_lanes_column(const mw_lanes *lanes, uint32_t cell);
/* Takes a cell's column away (its value is again the one number). */
void mw_lanes_drop(mw_lanes *lanes, uint32_t cell);

/* Runs code on all lanes. Instructions whose operands have no column are run once. A cell that is
 * written from columns gets one. MW_NO_MEMORY where a column could not be had. An error in the
 * branch not taken is dropped lane by lane. Same bits in each lane as mw_run() would give. */
mw_status mw_lanes_run(mw_lanes *lanes, const mw_machine *machine, const mw_instruction *code,
                       uint32_t count) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
