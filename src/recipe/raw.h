/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A recipe as its own file gives it, before it is merged with the one it builds on. */
#ifndef RECIPE_RAW_H
#define RECIPE_RAW_H

#include "recipe/load.h"

typedef struct mw_raw_line {
    mw_line_row row;
    uint32_t given; /* bits of mw_line_keys */
} mw_raw_line;

typedef struct mw_raw_use {
    mw_use_row row;
    uint32_t given; /* bits of mw_use_keys */
} mw_raw_use;

typedef struct mw_raw_step {
    mw_step_row row; /* without lines and uses */
    uint32_t given;  /* bits of mw_step_keys */
    mw_str place_after;
    mw_span place_after_at;
    const mw_yaml_node *uses_node;
    const mw_yaml_node *lines_node;
    mw_raw_line *lines;
    uint32_t line_count;
    mw_raw_use *uses;
    uint32_t use_count;
} mw_raw_step;

typedef struct mw_raw_recipe {
    mw_str name;
    mw_span name_at;
    mw_str about;
    mw_str source;
    mw_str builds_on; /* empty: on none */
    mw_span builds_on_at;
    mw_name_list without;
    const mw_yaml_node *inputs_node;
    const mw_yaml_node *lines_node;
    const mw_yaml_node *steps_node;
    mw_raw_line *lines; /* inputs, then lines */
    uint32_t line_count;
    mw_raw_step *steps;
    uint32_t step_count;
} mw_raw_recipe;

extern const mw_keys mw_line_keys;
extern const mw_keys mw_use_keys;
extern const mw_keys mw_step_keys;

/* At most so many steps are read. */
#define MW_STEPS_MOST 1000

/* A place that is nowhere. */
mw_span mw_nowhere(void);

/* Reads one line `NAME: {...}` or `NAME: FORMULA`. */
void mw_raw_line_read(mw_load *load, const mw_yaml_node *node, mw_raw_line *line);

/* Reads the tree of a recipe file. Errors are in the load. */
void mw_raw_recipe_read(mw_load *load, const mw_yaml_node *root, mw_raw_recipe *recipe);

#endif
