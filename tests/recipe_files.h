/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A library over small files that a test writes into a folder of its own. */
#ifndef TESTS_RECIPE_FILES_H
#define TESTS_RECIPE_FILES_H

#include "support.h"

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#include "mouldwright/recipe.h"

/* The least that is a shop: two trades, a machine, one shift, one season. */
#define FILES_SHOP_HEAD "shop: yard\ncurrency: EUR\n"
#define FILES_SHOP_TIMES                             \
    "shifts:\n  day: {mon-fri: [\"08:00-16:00\"]}\n" \
    "temperature:\n"                                 \
    "  - {months: all, day: 20 degC, night: 15 degC, from: \"07:00\", until: \"18:00\"}\n"
#define FILES_SHOP FILES_SHOP_HEAD FILES_SHOP_TIMES

typedef struct recipe_files {
    char folder[200];
    mw_sources *sources;
    mw_measure *measure;
    mw_library *library;
    mw_diags diags;
    uint32_t asked; /* source of the names that are asked for */
} recipe_files;

/* Makes a folder below the test's own; one that is there stays. */
static inline void files_folder(const recipe_files *files, const char *name)
{
    char path[400];
    snprintf(path, sizeof path, "%s/%s", files->folder, name);
    mkdir(path, 0700);
}

/* Writes a file: "shops/yard.yaml". */
static inline void files_write(const recipe_files *files, const char *name, const char *text)
{
    char path[400];
    snprintf(path, sizeof path, "%s/%s", files->folder, name);
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    assert_int_equal(fclose(file), 0);
}

/* Adds a folder below the test's own to the search order; "" is that folder itself. */
static inline void files_search(recipe_files *files, const char *name)
{
    char path[400];
    snprintf(path, sizeof path, "%s%s%s", files->folder, name[0] == '\0' ? "" : "/", name);
    assert_int_equal(mw_library_folder(files->library, path), MW_OK);
}

/* An empty library and an empty folder with the folders shops and materials. */
static inline void files_start(recipe_files *files)
{
    memset(files, 0, sizeof *files);
    snprintf(files->folder, sizeof files->folder, "%s", support_folder());
    files_folder(files, "shops");
    files_folder(files, "materials");
    files->sources = mw_sources_new();
    files->measure = mw_measure_new();
    assert_non_null(files->sources);
    assert_non_null(files->measure);
    files->library = mw_library_new(files->measure, files->sources);
    assert_non_null(files->library);
    assert_int_equal(mw_diags_start(&files->diags), MW_OK);
    files->asked = mw_sources_add(files->sources, mw_str_of("t.job"), mw_str_of("asked\n"));
    assert_int_not_equal(files->asked, MW_NONE);
}

static inline void files_end(recipe_files *files)
{
    mw_library_free(files->library);
    mw_diags_free(&files->diags);
    mw_measure_free(files->measure);
    mw_sources_free(files->sources);
    support_folder_remove(files->folder);
}

static inline mw_span files_asked(const recipe_files *files)
{
    return (mw_span){files->asked, 0, 5};
}

static inline mw_status files_shop(recipe_files *files, const char *name, const mw_shop **shop)
{
    return mw_library_shop(files->library, mw_str_of(name), files_asked(files), shop,
                           &files->diags);
}

static inline mw_status files_recipe(recipe_files *files, const char *name,
                                     const mw_recipe **recipe)
{
    return mw_library_recipe(files->library, mw_str_of(name), files_asked(files), recipe,
                             &files->diags);
}

static inline mw_status files_material(recipe_files *files, const char *name,
                                       const mw_material **material)
{
    return mw_library_material(files->library, mw_str_of(name), files_asked(files), material,
                               &files->diags);
}

/* Fails with the first message when something was not well. */
static inline void files_fine(recipe_files *files, mw_status status)
{
    if (status != MW_OK || files->diags.count > 0) {
        fail_msg("status %d: %s", (int)status,
                 files->diags.count ? files->diags.items[0].message : "no message");
    }
}

#endif
