/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The library: files found in the folders of the search order, read once and kept. */
#include "recipe/library.h"

#include <errno.h>
#include <string.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"

mw_library *mw_library_new(mw_measure *measure, mw_sources *sources)
{
    mw_library *library = mw_memory_get(sizeof *library);
    if (!library) {
        return NULL;
    }
    library->measure = measure;
    library->sources = sources;
    library->arena = mw_arena_new();
    library->has_calculator = mw_calculator_start(&library->calculator, sources, measure);
    if (!library->arena || !library->has_calculator) {
        mw_library_free(library);
        return NULL;
    }
    return library;
}

void mw_library_free(mw_library *library)
{
    if (!library) {
        return;
    }
    mw_calculator_end(&library->calculator);
    mw_arena_free(library->arena);
    mw_memory_give((void *)library->folders);
    mw_memory_give((void *)library->shops);
    mw_memory_give((void *)library->recipes);
    mw_memory_give(library->materials);
    mw_memory_give(library->cautions);
    mw_memory_give(library);
}

mw_status mw_library_folder(mw_library *library, const char *folder)
{
    void *folders = (void *)library->folders;
    if (!mw_memory_grow(&folders, &library->folder_capacity, library->folder_count + 1,
                        sizeof *library->folders)) {
        return MW_NO_MEMORY;
    }
    library->folders = folders;
    char *copy = mw_arena_copy(library->arena, folder, strlen(folder));
    if (!copy) {
        return MW_NO_MEMORY;
    }
    library->folders[library->folder_count++] = copy;
    return MW_OK;
}

/* ---- finding files ---- */

static void file_name(mw_str name, mw_text *out)
{
    for (size_t i = 0; i < name.length; i++) {
        char letter = name.at[i];
        bool upper = letter >= 'A' && letter <= 'Z';
        mw_text_addc(out, upper                            ? (char)(letter - 'A' + 'a')
                          : letter == ' ' || letter == '_' ? '-'
                                                           : letter);
    }
}

mw_status mw_library_find(mw_library *library, const char *below, mw_str name, mw_text *path)
{
    bool unfit = name.length == 0 || memchr(name.at, '/', name.length) || name.at[0] == '.';
    for (size_t i = 0; i < library->folder_count && !unfit; i++) {
        mw_text_clear(path);
        mw_text_addf(path, "%s/%s", library->folders[i], below);
        file_name(name, path);
        mw_text_adds(path, ".yaml");
        if (path->failed) {
            return MW_NO_MEMORY;
        }
        if (mw_file_exists(mw_text_chars(path))) {
            return MW_OK;
        }
    }
    return MW_NOT_FOUND;
}

mw_status mw_library_read(mw_library *library, const char *path, mw_span at, mw_load *load,
                          const mw_yaml_node **root)
{
    char *data = NULL;
    size_t length = 0;
    mw_status status = mw_file_read(path, MW_YAML_FILE_BYTES, &data, &length);
    if (status == MW_IO) {
        mw_diags_error(load->diags, errno == EFBIG ? MW_CODE_TOO_BIG : MW_CODE_CANNOT_READ, at,
                       "cannot read `%s`: %s", path, strerror(errno));
        return MW_FAILED;
    }
    if (status != MW_OK) {
        return status;
    }
    uint32_t source = mw_sources_adopt(library->sources, mw_str_of(path), data, length);
    if (source == MW_NONE) {
        mw_memory_give(data);
        return MW_NO_MEMORY;
    }
    return mw_yaml_read(library->sources, source, library->arena, root, load->diags);
}

mw_load mw_library_load(mw_library *library, mw_diags *diags)
{
    return mw_load_start(library->sources, &library->calculator, library->arena, diags);
}

/* ---- not found ---- */

typedef struct nearest_file {
    mw_suggest suggest;
    mw_text *names; /* copies, since entries of folders do not stay */
    mw_arena *arena;
} nearest_file;

static mw_status offer_file(void *context, const char *path, mw_str name)
{
    nearest_file *nearest = context;
    (void)path;
    size_t ending = strlen(".yaml");
    char *copy = mw_arena_copy(nearest->arena, name.at, name.length - ending);
    for (char *letter = copy; letter && *letter; letter++) {
        *letter = *letter == '-' ? ' ' : *letter;
    }
    if (copy) {
        mw_suggest_offer(&nearest->suggest, mw_str_of(copy));
    }
    return copy ? MW_OK : MW_NO_MEMORY;
}

mw_status mw_library_unknown(mw_library *library, const mw_missing *missing, mw_diags *diags)
{
    nearest_file nearest = {.arena = library->arena};
    mw_text places = {0};
    mw_suggest_start(&nearest.suggest, missing->name);
    mw_status status = MW_OK;
    for (size_t i = 0; i < library->folder_count && status == MW_OK; i++) {
        mw_text folder = {0};
        mw_text_addf(&folder, "%s/%s", library->folders[i], missing->below);
        status = folder.failed
                     ? MW_NO_MEMORY
                     : mw_folder_each(mw_text_chars(&folder), ".yaml", offer_file, &nearest);
        status = status == MW_IO ? MW_OK : status;
        mw_text_addf(&places, "%s%s", i ? ", " : "looked in: ", mw_text_chars(&folder));
        mw_text_free(&folder);
    }
    mw_diag *diag = mw_diags_error(diags, missing->code, missing->at, "there is no %s `%.*s`",
                                   missing->what, MW_SHOW(missing->name));
    if (nearest.suggest.best.length > 0) {
        mw_diag_try(diags, diag, "\"%.*s\"", MW_SHOW(nearest.suggest.best));
    }
    if (!places.failed && library->folder_count > 0) {
        mw_diag_extra(diags, diag, "%s", mw_text_chars(&places));
    }
    mw_text_free(&places);
    return status == MW_OK ? MW_FAILED : status;
}

/* ---- shops ---- */

mw_status mw_library_shop(mw_library *library, mw_str name, mw_span at, const mw_shop **shop,
                          mw_diags *diags)
{
    for (size_t i = 0; i < library->shop_count; i++) {
        if (mw_same_name(library->shops[i]->name, name)) {
            *shop = library->shops[i];
            return MW_OK;
        }
    }
    mw_text path = {0};
    mw_missing missing = {name, at, "shop", "shops/", MW_CODE_UNKNOWN_SHOP};
    mw_status status = mw_library_find(library, "shops/", name, &path);
    if (status == MW_NOT_FOUND) {
        status = mw_library_unknown(library, &missing, diags);
    } else if (status == MW_OK) {
        mw_load load = mw_library_load(library, diags);
        const mw_yaml_node *root = NULL;
        mw_shop *made = NULL;
        status = mw_library_read(library, mw_text_chars(&path), at, &load, &root);
        if (status == MW_OK) {
            made = mw_shop_read(&load, root);
            status = mw_load_status(&load);
        }
        if (status == MW_OK) {
            status = mw_library_keep_shop(library, made);
            *shop = made;
        }
    }
    mw_text_free(&path);
    return status;
}

mw_status mw_library_keep_shop(mw_library *library, const mw_shop *shop)
{
    void *shops = (void *)library->shops;
    if (!mw_memory_grow(&shops, &library->shop_capacity, library->shop_count + 1,
                        sizeof *library->shops)) {
        return MW_NO_MEMORY;
    }
    library->shops = shops;
    library->shops[library->shop_count++] = shop;
    return MW_OK;
}
