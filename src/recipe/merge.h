/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Puts a recipe on top of the one it builds on, and checks the whole. */
#ifndef RECIPE_MERGE_H
#define RECIPE_MERGE_H

#include "recipe/raw.h"

/* Makes the merged recipe. `base` is NULL where it builds on none. NULL when there is no memory;
 * errors are in the load. */
mw_recipe *mw_recipe_merge(mw_load *load, const mw_raw_recipe *raw, const mw_recipe *base);

/* Lines of `base` with those of `raw` put on them by name; sets `*count`. `of_step`: names of standard
 * quantities need no unit. */
typedef struct mw_line_stack {
    const mw_line_row *base;
    uint32_t base_count;
    const mw_raw_line *raw;
    uint32_t raw_count;
    bool of_step;
} mw_line_stack;
const mw_line_row *mw_lines_merge(mw_load *load, const mw_line_stack *stack, uint32_t *count);

typedef struct mw_use_stack {
    const mw_use_row *base;
    uint32_t base_count;
    const mw_raw_use *raw;
    uint32_t raw_count;
} mw_use_stack;
const mw_use_row *mw_uses_merge(mw_load *load, const mw_use_stack *stack, uint32_t *count);

/* Reports names that are taken, roles that clash with lines, and steps that follow unknown ones or
 * themselves. `raw` tells which steps fell away. */
void mw_recipe_check(mw_load *load, const mw_recipe *recipe, const mw_raw_recipe *raw);

#endif
