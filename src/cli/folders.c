/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where recipes are looked for: an environment variable, the user's data folder, beside the job, the checkout or the
 * installed data folder. And where the modules are that are loaded only when they are needed. */
#include "cli.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"

#ifndef MW_DATA_FOLDER
#define MW_DATA_FOLDER ""
#endif
#ifndef MW_MODULE_FOLDER
#define MW_MODULE_FOLDER ""
#endif

typedef struct folder_list {
    char **items;
    size_t count, capacity;
    bool lost;
} folder_list;

static void add_folder(folder_list *list, mw_str folder)
{
    void *items = (void *)list->items;
    char *copy = mw_memory_get(folder.length + 1);
    if (!copy || !mw_memory_grow(&items, &list->capacity, list->count + 1, sizeof *list->items)) {
        mw_memory_give(copy);
        list->lost = true;
        return;
    }
    memcpy(copy, folder.at, folder.length);
    list->items = items;
    list->items[list->count++] = copy;
}

static void add_below(folder_list *list, const char *base, const char *below)
{
    mw_text path = {0};
    mw_text_adds(&path, base);
    mw_text_adds(&path, below);
    if (!path.failed) {
        add_folder(list, (mw_str){mw_text_chars(&path), path.length});
    }
    list->lost = list->lost || path.failed;
    mw_text_free(&path);
}

/* MOULDWRIGHT_RECIPES: folders parted by colons. */
static void add_named(folder_list *list, const char *names)
{
    while (names && *names) {
        size_t length = strcspn(names, ":");
        if (length > 0) {
            add_folder(list, (mw_str){names, length});
        }
        names += length + (names[length] == ':');
    }
}

static void add_user(folder_list *list)
{
    const char *data = getenv("XDG_DATA_HOME");
    const char *home = getenv("HOME");
    if (data && data[0] == '/') {
        add_below(list, data, "/mouldwright/recipes");
    } else if (home && home[0] == '/') {
        add_below(list, home, "/.local/share/mouldwright/recipes");
    }
}

/* Adds a folder below the one that lies `up` levels above a path. */
static void add_above(folder_list *list, mw_str path, int up, const char *below)
{
    mw_text folder = {0};
    mw_text_add_str(&folder, path);
    for (int i = 0; i < up && !folder.failed; i++) {
        mw_text above = {0};
        mw_path_folder(&above, (mw_str){mw_text_chars(&folder), folder.length});
        mw_text_free(&folder);
        folder = above;
    }
    list->lost = list->lost || folder.failed;
    if (!folder.failed) {
        add_below(list, mw_text_chars(&folder), below);
    }
    mw_text_free(&folder);
}

/* The folder of the program: of a checkout (build/MODE/mouldwright), or bin beside share. Its path is without links, so
 * that going up is taking parts away. */
static void add_program(folder_list *list)
{
    char path[4096];
    ssize_t length = readlink("/proc/self/exe", path, sizeof path - 1);
    if (length <= 0) {
        return;
    }
    mw_str program = {path, (size_t)length};
    mw_text layers = {0};
    mw_path_folder(&layers, program);
    mw_text_adds(&layers, "/../../src/LAYERS");
    if (!layers.failed && mw_file_exists(mw_text_chars(&layers))) {
        add_above(list, program, 3, "/recipes");
    }
    list->lost = list->lost || layers.failed;
    add_above(list, program, 2, "/share/mouldwright/recipes");
    mw_text_free(&layers);
}

/* The list as an array; NULL where memory was short. */
static char **finish(folder_list *list, size_t *count)
{
    if (list->lost) {
        cli_folders_free(list->items, list->count);
        return NULL;
    }
    *count = list->count;
    return list->items;
}

/* Beside the program, as in a build folder; in lib beside its bin; where it was to be installed. */
char **cli_modules(const char *name, size_t *count)
{
    folder_list list = {0};
    char path[4096];
    const ssize_t length = readlink("/proc/self/exe", path, sizeof path - 1);
    mw_text below = {0};
    if (length > 0) {
        mw_text_addf(&below, "/%s", name);
        add_above(&list, (mw_str){path, (size_t)length}, 1, mw_text_chars(&below));
        list.lost = list.lost || below.failed;
        mw_text_clear(&below);
        mw_text_addf(&below, "/lib/mouldwright/%s", name);
        add_above(&list, (mw_str){path, (size_t)length}, 2, mw_text_chars(&below));
        list.lost = list.lost || below.failed;
        mw_text_clear(&below);
    }
    mw_text_addf(&below, "/%s", name);
    list.lost = list.lost || below.failed;
    if (MW_MODULE_FOLDER[0] != '\0') {
        add_below(&list, MW_MODULE_FOLDER, mw_text_chars(&below));
    }
    mw_text_free(&below);
    return finish(&list, count);
}

char **cli_folders(size_t *count)
{
    folder_list list = {0};
    add_named(&list, getenv("MOULDWRIGHT_RECIPES"));
    add_user(&list);
    add_folder(&list, mw_str_of(""));
    add_program(&list);
    if (MW_DATA_FOLDER[0] != '\0') {
        add_folder(&list, mw_str_of(MW_DATA_FOLDER "/recipes"));
    }
    return finish(&list, count);
}

void cli_folders_free(char **folders, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        mw_memory_give(folders[i]);
    }
    mw_memory_give((void *)folders);
}
