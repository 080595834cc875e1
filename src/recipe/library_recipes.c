/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Recipes of the library, with those that they build on. */
#include "recipe/library.h"

#include <string.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"

static mw_status keep_recipe(mw_library *library, mw_str name, mw_span at)
{
    void *recipes = library->recipes;
    char *copy = mw_arena_copy(library->arena, name.at, name.length);
    if (!copy || !mw_memory_grow(&recipes, &library->recipe_capacity, library->recipe_count + 1,
                                 sizeof *library->recipes)) {
        return MW_NO_MEMORY;
    }
    library->recipes = recipes;
    library->recipes[library->recipe_count++] =
        (mw_kept_recipe){.name = {copy, name.length}, .at = at};
    return MW_OK;
}

static mw_kept_recipe *find_kept(mw_library *library, mw_str name)
{
    for (size_t i = 0; i < library->recipe_count; i++) {
        if (mw_same_name(library->recipes[i].name, name)) {
            return &library->recipes[i];
        }
    }
    return NULL;
}

/* Names the loop: what is being read now, from the recipe asked for again on. */
static mw_status say_loop(mw_library *library, mw_str name, mw_span at, mw_diags *diags)
{
    mw_text path = {0};
    bool inside = false;
    for (size_t i = 0; i < library->recipe_count; i++) {
        inside = inside || mw_same_name(library->recipes[i].name, name);
        if (inside && !library->recipes[i].recipe) {
            mw_text_add_str(&path, library->recipes[i].name);
            mw_text_adds(&path, " -> ");
        }
    }
    mw_text_add_str(&path, name);
    mw_diag *diag = mw_diags_error(diags, MW_CODE_BUILDS_ON_LOOP, at,
                                   "recipe `%.*s` would build on itself", MW_SHOW(name));
    mw_diag_extra(diags, diag, "%s", mw_text_chars(&path));
    bool lost = path.failed;
    mw_text_free(&path);
    return lost ? MW_NO_MEMORY : MW_FAILED;
}

static mw_status read_recipe(mw_library *library, const char *path, mw_span at,
                             const mw_recipe **recipe, mw_diags *diags)
{
    mw_load load = mw_library_load(library, diags);
    const mw_yaml_node *root = NULL;
    const mw_recipe *base = NULL;
    mw_raw_recipe raw = {0};
    mw_status status = mw_library_read(library, path, at, &load, &root);
    if (status != MW_OK) {
        return status;
    }
    mw_raw_recipe_read(&load, root, &raw);
    mw_status own = mw_load_status(&load);
    if (own != MW_NO_MEMORY && raw.builds_on.length > 0) {
        status = mw_library_recipe(library, raw.builds_on, raw.builds_on_at, &base, diags);
    }
    if (status != MW_OK || own != MW_OK) {
        return status != MW_OK ? status : own;
    }
    load.errors_before = diags->errors;
    *recipe = mw_recipe_merge(&load, &raw, base);
    if (*recipe) {
        mw_recipe_check(&load, *recipe, &raw);
    }
    return mw_load_status(&load);
}

mw_status mw_library_recipe(mw_library *library, mw_str name, mw_span at, const mw_recipe **recipe,
                            mw_diags *diags)
{
    const mw_kept_recipe *kept = find_kept(library, name);
    if (kept) {
        *recipe = kept->recipe;
        return kept->recipe ? MW_OK : say_loop(library, name, at, diags);
    }
    mw_text path = {0};
    size_t own = library->recipe_count;
    mw_missing missing = {name, at, "recipe", "", MW_CODE_UNKNOWN_RECIPE};
    mw_status status = mw_library_find(library, "", name, &path);
    if (status == MW_NOT_FOUND) {
        status = mw_library_unknown(library, &missing, diags);
    } else if (status == MW_OK) {
        status = keep_recipe(library, name, at);
        const mw_recipe *made = NULL;
        if (status == MW_OK) {
            status = read_recipe(library, mw_text_chars(&path), at, &made, diags);
        }
        if (status == MW_OK) {
            library->recipes[own].recipe = made;
            *recipe = made;
        } else {
            library->recipe_count =
                own; /* nothing is kept of what failed, nor of what it asked for */
        }
    }
    mw_text_free(&path);
    return status;
}

/* ---- the list ---- */

typedef struct name_list {
    void (*each)(void *context, mw_str name);
    void *context;
} name_list;

static mw_status each_file(void *context, const char *path, mw_str name)
{
    const name_list *list = context;
    size_t ending = strlen(".yaml");
    (void)path;
    mw_str bare = {name.at, name.length - ending};
    if (!mw_str_is(bare, "cautions")) {
        mw_text words = {0};
        for (size_t i = 0; i < bare.length; i++) {
            mw_text_addc(&words, bare.at[i] == '-' ? ' ' : bare.at[i]);
        }
        list->each(list->context, (mw_str){mw_text_chars(&words), words.length});
        bool lost = words.failed;
        mw_text_free(&words);
        return lost ? MW_NO_MEMORY : MW_OK;
    }
    return MW_OK;
}

mw_status mw_library_recipes(mw_library *library, void (*each)(void *context, mw_str name),
                             void *context)
{
    name_list list = {each, context};
    mw_status status = MW_OK;
    for (size_t i = 0; i < library->folder_count && status == MW_OK; i++) {
        status = mw_folder_each(library->folders[i], ".yaml", each_file, &list);
        status = status == MW_IO ? MW_OK : status;
    }
    return status;
}
