/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The library: folders of a search order, and what was read from them. */
#include "recipe/library.h"

#include <string.h>

#include "mouldwright/memory.h"

mw_library *mw_library_new(mw_measure *measure, mw_sources *sources)
{
    mw_library *library = mw_memory_get(sizeof *library);
    if (library == NULL) {
        return NULL;
    }
    library->measure = measure;
    library->sources = sources;
    library->shop_in_force = MW_NONE;
    if (!mw_calculator_start(&library->calculator, sources, measure)) {
        mw_library_free(library);
        return NULL;
    }
    return library;
}

void mw_library_free(mw_library *library)
{
    if (library == NULL) {
        return;
    }
    for (uint32_t i = 0; i < library->recipe_count; i++) {
        mw_arena_free(library->recipes[i].rows);
    }
    for (uint32_t i = 0; i < library->shop_count; i++) {
        mw_arena_free(library->shops[i].rows);
    }
    for (uint32_t i = 0; i < library->folder_count; i++) {
        mw_memory_give(library->folders[i]);
    }
    mw_shelf_end(&library->materials);
    mw_shelf_end(&library->cautions);
    mw_calculator_end(&library->calculator);
    mw_memory_give(library->folders);
    mw_memory_give(library->recipes);
    mw_memory_give(library->shops);
    mw_memory_give(library);
}

mw_status mw_library_folder(mw_library *library, const char *folder)
{
    void *folders = library->folders;
    if (!mw_memory_grow32(&folders, &library->folder_capacity, library->folder_count + 1,
                          sizeof *library->folders)) {
        return MW_NO_MEMORY;
    }
    library->folders = folders;
    size_t size = strlen(folder) + 1;
    char *copy = mw_memory_get(size);
    if (copy == NULL) {
        return MW_NO_MEMORY;
    }
    memcpy(copy, folder, size);
    library->folders[library->folder_count++] = copy;
    return MW_OK;
}

/* --- shelves ---------------------------------------------------------------------------------- */

bool mw_shelf_start(mw_shelf *shelf)
{
    *shelf = (mw_shelf){.rows = mw_arena_new(), .words = mw_names_new()};
    return shelf->rows != NULL && shelf->words != NULL;
}

void mw_shelf_end(mw_shelf *shelf)
{
    mw_arena_free(shelf->rows);
    mw_names_free(shelf->words);
    mw_memory_give(shelf->items);
    mw_memory_give(shelf->places);
    mw_memory_give(shelf->folders);
    *shelf = (mw_shelf){0};
}

static bool make_shelf_room(mw_shelf *shelf)
{
    void *items = shelf->items;
    void *places = shelf->places;
    void *folders = shelf->folders;
    uint32_t needed = shelf->count + 1;
    bool fine = mw_memory_grow32(&items, &shelf->capacity, needed, sizeof *shelf->items) &&
                mw_memory_grow32(&places, &shelf->place_capacity, needed, sizeof *shelf->places) &&
                mw_memory_grow32(&folders, &shelf->folder_capacity, needed, sizeof *shelf->folders);
    shelf->items = items;
    shelf->places = places;
    shelf->folders = folders;
    return fine;
}

void mw_shelf_add(mw_load *load, mw_shelf *shelf, const mw_shelf_row *row)
{
    mw_text word = {0};
    mw_name_word(row->name, &word);
    uint32_t id = MW_NONE;
    if (!word.failed && make_shelf_room(shelf)) {
        id = mw_names_add(shelf->words, (mw_str){mw_text_chars(&word), word.length});
    }
    mw_text_free(&word);
    if (id == MW_NONE) {
        load->no_memory = true;
    } else if (id == shelf->count) {
        shelf->items[id] = row->item;
        shelf->places[id] = row->at;
        shelf->folders[id] = row->folder;
        shelf->count++;
    } else if (shelf->folders[id] == row->folder) {
        mw_load_twice(load, row->what, row->name, row->at, shelf->places[id]);
    }
}

mw_status mw_shelf_find(const mw_shelf *shelf, mw_str name, const void **item)
{
    mw_text word = {0};
    mw_name_word(name, &word);
    mw_status status = MW_NO_MEMORY;
    if (!word.failed) {
        uint32_t id = mw_names_find(shelf->words, (mw_str){mw_text_chars(&word), word.length});
        status = id == MW_NONE ? MW_NOT_FOUND : MW_OK;
        *item = id == MW_NONE ? NULL : shelf->items[id];
    }
    mw_text_free(&word);
    return status;
}
