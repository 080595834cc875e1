/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the library keeps, and how its files are found. */
#ifndef RECIPE_LIBRARY_H
#define RECIPE_LIBRARY_H

#include "recipe/files.h"
#include "recipe/merge.h"

/* A recipe that is read, or being read (`recipe` NULL: to notice loops). */
typedef struct mw_kept_recipe {
    mw_str name; /* as asked for */
    mw_span at;
    const mw_recipe *recipe;
} mw_kept_recipe;

struct mw_library {
    mw_measure *measure;
    mw_sources *sources;
    mw_arena *arena;
    mw_calculator calculator;
    bool has_calculator;
    char **folders;
    size_t folder_count, folder_capacity;
    const mw_shop **shops;
    size_t shop_count, shop_capacity;
    mw_kept_recipe *recipes;
    size_t recipe_count, recipe_capacity;
    const mw_material **materials; /* those of earlier folders hide later ones */
    size_t material_count, material_capacity;
    size_t folder_materials; /* materials there were before the folder being read */
    bool has_materials;
    bool broken_materials; /* said in the sink that was given */
    const mw_caution **cautions;
    size_t caution_count, caution_capacity;
    bool has_cautions;
};

/* Finds BELOW/NAME.yaml in the folders; the path in `path`. MW_NOT_FOUND: in none. */
mw_status mw_library_find(mw_library *library, const char *below, mw_str name, mw_text *path);
/* Reads a file into a tree; `at` is where it was asked for. */
mw_status mw_library_read(mw_library *library, const char *path, mw_span at, mw_load *load,
                          const mw_yaml_node **root);
mw_load mw_library_load(mw_library *library, mw_diags *diags);
mw_status mw_library_keep_shop(mw_library *library, const mw_shop *shop);

/* Something that was asked for and is not there. */
typedef struct mw_missing {
    mw_str name;
    mw_span at;
    const char *what;  /* "shop" */
    const char *below; /* folder of such files */
    mw_code code;
} mw_missing;
/* Says so, with the nearest name and the places looked at. Returns MW_FAILED (or MW_NO_MEMORY). */
mw_status mw_library_unknown(mw_library *library, const mw_missing *missing, mw_diags *diags);

#endif
