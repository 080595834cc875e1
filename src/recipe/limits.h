/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits of what files say: checked where a formula is a plain figure. One that reads names is checked when the job
 * works it out. */
#ifndef RECIPE_LIMITS_H
#define RECIPE_LIMITS_H

#include "recipe/load.h"

/* A place for messages that nobody reads, used again for every figure that is tried. */
typedef struct mw_limits {
    mw_load *load;
    mw_diags unsaid;
} mw_limits;

/* Begins; mw_limits_end() is due in any case. Without memory, noted in the load, nothing is checked. */
void mw_limits_start(mw_limits *limits, mw_load *load);
void mw_limits_end(mw_limits *limits);

/* Reports a line's own figure that is outside its `low`, `high` and `whole`, or below 0 though it is a standard
 * quantity of a step. */
void mw_limits_line(mw_limits *limits, const mw_line_row *row, bool of_step);
/* Reports a loss that is no share of what is used up. */
void mw_limits_loss(mw_limits *limits, const mw_use_row *use);
/* Reports a value of a shop outside what its row allows. */
void mw_limits_shop(mw_limits *limits, const mw_shop_known *known, mw_span formula);

#endif
