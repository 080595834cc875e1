/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the library keeps, and how its files are found. */
#ifndef RECIPE_LIBRARY_H
#define RECIPE_LIBRARY_H

#include "mouldwright/names.h"
#include "recipe/files.h"

/* A recipe that was read whole; `rows` holds all that it made. */
typedef struct mw_kept_recipe {
    const mw_recipe *recipe;
    mw_arena *rows;
} mw_kept_recipe;

typedef struct mw_kept_shop {
    const mw_shop *shop;
    mw_tender tender;
    mw_arena *rows;
} mw_kept_shop;

/* Rows that are all read at once and found by name. Start from {0}. */
typedef struct mw_shelf {
    bool full;   /* was read */
    bool broken; /* was read, and what is wrong was said in the sink then given */
    mw_arena *rows;
    mw_names *words; /* mw_name_word() of each row's name, in the order of the rows */
    const void **items;
    mw_span *places;   /* of their names */
    uint32_t *folders; /* that they come from */
    uint32_t count, capacity, place_capacity, folder_capacity;
} mw_shelf;

struct mw_library {
    mw_measure *measure;
    mw_sources *sources;
    mw_calculator calculator;
    char **folders;
    uint32_t folder_count, folder_capacity;
    mw_kept_recipe *recipes;
    uint32_t recipe_count, recipe_capacity;
    mw_kept_shop *shops;
    uint32_t shop_count, shop_capacity;
    uint32_t shop_in_force; /* whose currency, rates and units the measure context has; MW_NONE */
    mw_shelf materials;
    mw_shelf cautions;
};

/* --- files ------------------------------------------------------------------------------------ */

/* Something that is asked for by name. */
typedef struct mw_wanted {
    mw_str name;
    mw_span at;
    const char *what;  /* "shop" */
    const char *below; /* folder of such files: "shops"; "" for the folders themselves */
    mw_code unknown;   /* code when there is none */
} mw_wanted;

/* Finds the file whose name is the one wanted; adds its path to `path`. MW_FAILED: reported, with the nearest
 * name and the folders looked at. */
mw_status mw_library_find(mw_library *library, const mw_wanted *wanted, mw_text *path,
                          mw_diags *diags);
/* Reports that there is none. */
mw_status mw_library_unknown(const mw_library *library, const mw_wanted *wanted, mw_str nearest,
                             mw_diags *diags);
/* Reports that the system refused to read a file or folder (errno tells why). */
void mw_library_refused(const char *path, mw_span at, mw_diags *diags);

/* Reads a file into a tree that lives in the load's scratch arena. */
mw_status mw_library_read(mw_library *library, const char *path, mw_span at, mw_load *load,
                          const mw_yaml_node **root);

/* Returns the name of a file without its ending, and whether it can be a recipe's. */
mw_str mw_file_stem(mw_str file_name);
bool mw_is_recipe_file(mw_str stem);

/* Reports words of cautions that no folder has: one that is misspelt would be missing without a sign. */
void mw_library_check_cautions(mw_library *library, mw_load *load, const mw_name_list *words);

/* Checks that what a file says it is called fits the file's name; else reported. */
void mw_library_check_name(mw_load *load, mw_str name, mw_span at);

/* --- shelves ---------------------------------------------------------------------------------- */

bool mw_shelf_start(mw_shelf *shelf);
void mw_shelf_end(mw_shelf *shelf);

/* A row to be put on a shelf. */
typedef struct mw_shelf_row {
    const char *what; /* "a material" */
    mw_str name;
    mw_span at;
    const void *item;
    uint32_t folder;
} mw_shelf_row;
/* Adds a row. One of that name from an earlier folder hides it; one from the same folder is reported. */
void mw_shelf_add(mw_load *load, mw_shelf *shelf, const mw_shelf_row *row);
/* Finds a row by name: MW_OK, MW_NOT_FOUND or MW_NO_MEMORY. */
mw_status mw_shelf_find(const mw_shelf *shelf, mw_str name, const void **item);

#endif
