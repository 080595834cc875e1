/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files of the library: found by name in the folders, read into trees. */
#include <errno.h>
#include <string.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"
#include "recipe/library.h"

static const char *const ending = ".yaml";

mw_str mw_file_stem(mw_str file_name)
{
    size_t length = strlen(ending);
    return (mw_str){file_name.at, file_name.length < length ? 0 : file_name.length - length};
}

bool mw_is_recipe_file(mw_str stem)
{
    return stem.length > 0 && stem.at[0] != '.' && !mw_str_is(stem, "cautions");
}

/* --- refusals of the system ------------------------------------------------------------------- */

static const char *words_of_error(int error)
{
    switch (error) {
    case ENOENT:
        return "it is not there";
    case EACCES:
    case EPERM:
        return "no permission";
    case EISDIR:
        return "it is a folder";
    case ENOTDIR:
        return "it is no folder";
    case EFBIG:
        return "it is too large";
    default:
        return strerror(error);
    }
}

void mw_library_refused(const char *path, mw_span at, mw_diags *diags)
{
    int error = errno;
    mw_diags_error(diags, error == EFBIG ? MW_CODE_TOO_BIG : MW_CODE_CANNOT_READ, at,
                   "`%s` cannot be read: %s", path, words_of_error(error));
}

mw_status mw_library_read(mw_library *library, const char *path, mw_span at, mw_load *load,
                          const mw_yaml_node **root)
{
    char *data = NULL;
    size_t length = 0;
    mw_status status = mw_file_read(path, MW_YAML_FILE_BYTES, &data, &length);
    if (status == MW_IO) {
        mw_library_refused(path, at, load->diags);
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
    return mw_yaml_read(library->sources, source, load->scratch, root, load->diags);
}

/* --- looking for a file ----------------------------------------------------------------------- */

/* A search through the folders. */
typedef struct hunt {
    const mw_wanted *wanted;
    bool all; /* `below` is a folder of its own, where every file counts */
    mw_text *path;
    mw_text twin; /* another file of that name in the same folder */
    mw_suggest near;
    mw_text nearest; /* names of files are only lent, so the best is copied */
    bool failed;
} hunt;

static void offer(hunt *h, mw_str stem)
{
    size_t distance = h->near.distance;
    mw_suggest_offer(&h->near, stem);
    if (h->near.distance != distance) {
        mw_text_clear(&h->nearest);
        mw_name_word(stem, &h->nearest);
        h->failed |= h->nearest.failed;
        h->near.best = (mw_str){mw_text_chars(&h->nearest), h->nearest.length};
    }
}

static mw_status look_at(void *context, const char *path, mw_str name)
{
    hunt *h = context;
    mw_str stem = mw_file_stem(name);
    if (!h->all && !mw_is_recipe_file(stem)) {
        return MW_OK;
    }
    if (!mw_same_name(stem, h->wanted->name)) {
        offer(h, stem);
    } else {
        mw_text *to = h->path->length == 0 ? h->path : &h->twin;
        mw_text_clear(to);
        mw_text_adds(to, path);
        h->failed |= to->failed;
    }
    return h->failed ? MW_NO_MEMORY : MW_OK;
}

/* Adds the path of a folder below another; "" is that folder itself. */
static void add_folder(const char *folder, const char *below, mw_text *out)
{
    if (below[0] == '\0') {
        mw_text_adds(out, folder);
    } else {
        mw_path_join(out, mw_str_of(folder), mw_str_of(below));
    }
}

static mw_status search_folder(hunt *h, const char *folder, mw_diags *diags)
{
    mw_text path = {0};
    add_folder(folder, h->wanted->below, &path);
    mw_status status =
        path.failed ? MW_NO_MEMORY : mw_folder_each(mw_text_chars(&path), ending, look_at, h);
    if (status == MW_IO) {
        mw_library_refused(mw_text_chars(&path), h->wanted->at, diags);
        status = MW_FAILED;
    }
    mw_text_free(&path);
    return status;
}

static mw_status report_twin(const hunt *h, mw_diags *diags)
{
    mw_diag *diag =
        mw_diags_error(diags, MW_CODE_NAME_TWICE, h->wanted->at,
                       "two files of one folder have the name `%.*s`", MW_SHOW(h->wanted->name));
    mw_diag_extra(diags, diag, "%s and %s", mw_text_chars(h->path), mw_text_chars(&h->twin));
    return MW_FAILED;
}

mw_status mw_library_unknown(const mw_library *library, const mw_wanted *wanted, mw_str nearest,
                             mw_diags *diags)
{
    mw_text looked = {0};
    for (uint32_t i = 0; i < library->folder_count; i++) {
        mw_text_adds(&looked, i == 0 ? "looked in: " : ", ");
        add_folder(library->folders[i], wanted->below, &looked);
    }
    mw_diag *diag = mw_diags_error(diags, wanted->unknown, wanted->at, "no %s is called `%.*s`",
                                   wanted->what, MW_SHOW(wanted->name));
    if (nearest.length > 0) {
        mw_diag_try(diags, diag, "did you mean %.*s?", MW_SHOW(nearest));
    }
    mw_diag_extra(diags, diag, "%s",
                  library->folder_count == 0 ? "there are no folders to look in"
                                             : mw_text_chars(&looked));
    mw_status status = looked.failed ? MW_NO_MEMORY : MW_FAILED;
    mw_text_free(&looked);
    return status;
}

mw_status mw_library_find(mw_library *library, const mw_wanted *wanted, mw_text *path,
                          mw_diags *diags)
{
    hunt h = {.wanted = wanted, .all = wanted->below[0] != '\0', .path = path};
    mw_suggest_start(&h.near, wanted->name);
    mw_status status = MW_OK;
    for (uint32_t i = 0; i < library->folder_count && status == MW_OK && path->length == 0; i++) {
        status = search_folder(&h, library->folders[i], diags);
    }
    if (status == MW_OK && path->length == 0) {
        for (size_t i = 0; i < h.nearest.length; i++) {
            h.nearest.data[i] = h.nearest.data[i] == '_' ? ' ' : h.nearest.data[i];
        }
        status = mw_library_unknown(library, wanted, h.near.best, diags);
    } else if (status == MW_OK && h.twin.length > 0) {
        status = report_twin(&h, diags);
    }
    mw_text_free(&h.twin);
    mw_text_free(&h.nearest);
    return status;
}

void mw_library_check_name(mw_load *load, mw_str name, mw_span at)
{
    if (at.source == MW_NONE || name.length == 0) {
        return;
    }
    mw_str file = mw_path_base(mw_sources_name(load->sources, at.source));
    mw_str stem = mw_file_stem(file);
    if (!mw_same_name(stem, name)) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_YAML_FORM, at,
                                       "the file is called `%.*s`, but this says `%.*s`",
                                       MW_SHOW(stem), MW_SHOW(name));
        mw_diag_try(load->diags, diag, "give both the same name");
    }
}
