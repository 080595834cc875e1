/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Recipes of the library, each merged with those that it builds on. */
#include "mouldwright/file.h"
#include "mouldwright/memory.h"
#include "recipe/library.h"
#include "recipe/merge.h"

enum { BUILDS_ON_MOST = 32 };

/* The recipes being read at the moment, from the innermost out. */
typedef struct chain {
    const struct chain *outer;
    const mw_wanted *wanted;
    uint32_t depth;
} chain;

/* One request. */
typedef struct request {
    mw_library *library;
    mw_wanted wanted;
    const chain *outer;
    mw_diags *diags;
} request;

static mw_status get_recipe(const request *of, const mw_recipe **recipe);

static const mw_recipe *find_kept(const mw_library *library, mw_str name)
{
    for (uint32_t i = 0; i < library->recipe_count; i++) {
        if (mw_same_name(library->recipes[i].recipe->name, name)) {
            return library->recipes[i].recipe;
        }
    }
    return NULL;
}

/* --- loops ------------------------------------------------------------------------------------ */

static void add_link(const mw_library *library, const mw_wanted *wanted, mw_text *out)
{
    mw_place place = mw_sources_place(library->sources, wanted->at.source, wanted->at.begin);
    mw_text_addf(out, " builds on %.*s (%.*s:%u)", MW_SHOW(wanted->name), (int)place.name.length,
                 place.name.at, (unsigned)place.line);
}

/* Adds the path from the outermost recipe of a loop to the innermost. */
static void add_path(const mw_library *library, const chain *link, mw_str again, mw_text *out)
{
    if (mw_same_name(link->wanted->name, again)) {
        mw_text_addf(out, "%.*s", MW_SHOW(link->wanted->name));
    } else {
        add_path(library, link->outer, again, out);
        add_link(library, link->wanted, out);
    }
}

static mw_status report_loop(const request *of)
{
    mw_text path = {0};
    add_path(of->library, of->outer, of->wanted.name, &path);
    add_link(of->library, &of->wanted, &path);
    mw_diag *diag =
        mw_diags_error(of->diags, MW_CODE_BUILDS_ON_LOOP, of->wanted.at,
                       "the recipe `%.*s` would build on itself", MW_SHOW(of->wanted.name));
    mw_diag_extra(of->diags, diag, "%s", mw_text_chars(&path));
    mw_status status = path.failed ? MW_NO_MEMORY : MW_FAILED;
    mw_text_free(&path);
    return status;
}

static bool is_in_chain(const chain *link, mw_str name)
{
    for (; link != NULL; link = link->outer) {
        if (mw_same_name(link->wanted->name, name)) {
            return true;
        }
    }
    return false;
}

/* --- reading ---------------------------------------------------------------------------------- */

/* Reads the one built on, too, so that the errors of both come in one run. */
static mw_status get_base(const request *of, const mw_raw_recipe *raw, const mw_recipe **base)
{
    *base = NULL;
    if (raw->builds_on.length == 0) {
        return MW_OK;
    }
    chain link = {of->outer, &of->wanted, of->outer == NULL ? 1 : of->outer->depth + 1};
    request inner = {
        .library = of->library,
        .wanted = {raw->builds_on, raw->builds_on_at, "recipe", "", MW_CODE_UNKNOWN_RECIPE},
        .outer = &link,
        .diags = of->diags};
    return get_recipe(&inner, base);
}

static mw_status read_recipe(const request *of, const char *path, mw_load *load,
                             const mw_recipe **recipe)
{
    const mw_yaml_node *root;
    const mw_recipe *base;
    mw_raw_recipe raw;
    mw_status status = mw_library_read(of->library, path, of->wanted.at, load, &root);
    if (status != MW_OK) {
        return status;
    }
    mw_raw_recipe_read(load, root, &raw);
    mw_library_check_name(load, raw.name, raw.name_at);
    status = mw_load_status(load);
    mw_status below = status == MW_NO_MEMORY ? status : get_base(of, &raw, &base);
    if (status != MW_OK || below != MW_OK) {
        return below == MW_NO_MEMORY ? below : MW_FAILED;
    }
    mw_recipe *made = mw_recipe_merge(load, &raw, base);
    if (made != NULL) {
        mw_recipe_check(load, made, &raw);
        for (uint32_t i = 0; i < raw.step_count; i++) {
            mw_library_check_cautions(of->library, load, &raw.steps[i].row.cautions);
        }
    }
    *recipe = made;
    return mw_load_status(load);
}

static mw_status keep_recipe(mw_library *library, const mw_recipe *recipe, mw_arena *rows)
{
    void *recipes = library->recipes;
    if (!mw_memory_grow32(&recipes, &library->recipe_capacity, library->recipe_count + 1,
                          sizeof *library->recipes)) {
        return MW_NO_MEMORY;
    }
    library->recipes = recipes;
    library->recipes[library->recipe_count++] = (mw_kept_recipe){recipe, rows};
    return MW_OK;
}

static mw_status load_recipe(const request *of, const char *path, const mw_recipe **recipe)
{
    mw_arena *rows = mw_arena_new();
    mw_arena *scratch = mw_arena_new();
    mw_status status = MW_NO_MEMORY;
    const mw_recipe *made = NULL;
    if (rows != NULL && scratch != NULL) {
        mw_load load = mw_load_start(&of->library->calculator, rows, scratch, of->diags);
        status = read_recipe(of, path, &load, &made);
    }
    if (status == MW_OK) {
        status = keep_recipe(of->library, made, rows);
    }
    if (status == MW_OK) {
        *recipe = made;
    } else {
        mw_arena_free(rows);
    }
    mw_arena_free(scratch);
    return status;
}

static mw_status get_recipe(const request *of, const mw_recipe **recipe)
{
    const mw_recipe *kept = find_kept(of->library, of->wanted.name);
    if (kept != NULL) {
        *recipe = kept;
        return MW_OK;
    }
    if (is_in_chain(of->outer, of->wanted.name)) {
        return report_loop(of);
    }
    if (of->outer != NULL && of->outer->depth >= BUILDS_ON_MOST) {
        mw_diags_error(of->diags, MW_CODE_TOO_DEEP, of->wanted.at,
                       "more than %d recipes build on each other", BUILDS_ON_MOST);
        return MW_FAILED;
    }
    mw_text path = {0};
    mw_status status = mw_library_find(of->library, &of->wanted, &path, of->diags);
    if (status == MW_OK) {
        status = load_recipe(of, mw_text_chars(&path), recipe);
    }
    mw_text_free(&path);
    return status;
}

mw_status mw_library_recipe(mw_library *library, mw_str name, mw_span at, const mw_recipe **recipe,
                            mw_diags *diags)
{
    request of = {.library = library,
                  .wanted = {name, at, "recipe", "", MW_CODE_UNKNOWN_RECIPE},
                  .diags = diags};
    return get_recipe(&of, recipe);
}

/* --- the list --------------------------------------------------------------------------------- */

typedef struct listing {
    void (*each)(void *context, mw_str name);
    void *context;
    mw_names *seen; /* words of names that were told: those of earlier folders hide later ones */
} listing;

static mw_status tell_file(void *context, const char *path, mw_str file)
{
    const listing *list = context;
    mw_str stem = mw_file_stem(file);
    (void)path;
    if (!mw_is_recipe_file(stem)) {
        return MW_OK;
    }
    mw_text word = {0};
    mw_name_word(stem, &word);
    uint32_t count = mw_names_count(list->seen);
    uint32_t id =
        word.failed ? MW_NONE : mw_names_add(list->seen, (mw_str){word.data, word.length});
    if (id == count) {
        for (size_t i = 0; i < word.length; i++) {
            word.data[i] = word.data[i] == '_' ? ' ' : word.data[i];
        }
        list->each(list->context, (mw_str){word.data, word.length});
    }
    mw_text_free(&word);
    return id == MW_NONE ? MW_NO_MEMORY : MW_OK;
}

mw_status mw_library_recipes(mw_library *library, void (*each)(void *context, mw_str name),
                             void *context)
{
    listing list = {each, context, mw_names_new()};
    mw_status status = list.seen == NULL ? MW_NO_MEMORY : MW_OK;
    for (uint32_t i = 0; i < library->folder_count && status == MW_OK; i++) {
        status = mw_folder_each(library->folders[i], ".yaml", tell_file, &list);
    }
    mw_names_free(list.seen);
    return status;
}
