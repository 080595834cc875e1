/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Materials and cautions of the library: all files of all folders, read at the first call. */
#include "recipe/library.h"

#include <string.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"

/* A folder being read. */
typedef struct reading {
    mw_library *library;
    mw_diags *diags;
    mw_span at;
} reading;

static const mw_material *find_material(const mw_library *library, mw_str name, size_t from)
{
    for (size_t i = from; i < library->material_count; i++) {
        if (mw_same_name(library->materials[i]->name, name)) {
            return library->materials[i];
        }
    }
    return NULL;
}

/* A name in an earlier folder hides this one; twice in one folder is an error. */
static mw_status add_material(const reading *on, const mw_material *material)
{
    mw_library *library = on->library;
    const mw_material *twin = find_material(library, material->name, library->folder_materials);
    if (twin) {
        mw_diag *diag = mw_diags_error(on->diags, MW_CODE_NAME_TWICE, material->name_at,
                                       "material `%.*s` stands twice", MW_SHOW(material->name));
        mw_diag_other(on->diags, diag, twin->name_at, "the other one");
        return MW_FAILED;
    }
    if (find_material(library, material->name, 0)) {
        return MW_OK;
    }
    void *materials = (void *)library->materials;
    if (!mw_memory_grow(&materials, &library->material_capacity, library->material_count + 1,
                        sizeof *library->materials)) {
        return MW_NO_MEMORY;
    }
    library->materials = materials;
    library->materials[library->material_count++] = material;
    return MW_OK;
}

static mw_status read_materials(void *context, const char *path, mw_str name)
{
    const reading *on = context;
    mw_load load = mw_library_load(on->library, on->diags);
    const mw_yaml_node *root = NULL;
    (void)name;
    mw_status status = mw_library_read(on->library, path, on->at, &load, &root);
    if (status != MW_OK) {
        return status;
    }
    uint32_t count = 0;
    const mw_material *rows = mw_materials_read(&load, root, &count);
    status = mw_load_status(&load);
    for (uint32_t i = 0; i < count && status == MW_OK; i++) {
        status = add_material(on, &rows[i]);
    }
    return status;
}

static mw_status read_all_materials(mw_library *library, mw_span at, mw_diags *diags)
{
    reading on = {library, diags, at};
    mw_status status = MW_OK;
    for (size_t i = 0; i < library->folder_count && status == MW_OK; i++) {
        mw_text folder = {0};
        mw_text_addf(&folder, "%s/materials", library->folders[i]);
        library->folder_materials = library->material_count;
        status = folder.failed
                     ? MW_NO_MEMORY
                     : mw_folder_each(mw_text_chars(&folder), ".yaml", read_materials, &on);
        status = status == MW_IO ? MW_OK : status;
        mw_text_free(&folder);
    }
    if (status != MW_OK) {
        library->material_count = 0; /* all or nothing */
    }
    library->has_materials = status == MW_OK;
    return status;
}

static mw_status need_materials(mw_library *library, mw_span at, mw_diags *diags)
{
    if (library->has_materials) {
        return MW_OK;
    }
    if (library->broken_materials && diags->errors > 0) {
        return MW_FAILED; /* what is wrong with the files is said once */
    }
    mw_status status = read_all_materials(library, at, diags);
    library->broken_materials = status == MW_FAILED;
    return status;
}

mw_status mw_library_material(mw_library *library, mw_str name, mw_span at,
                              const mw_material **material, mw_diags *diags)
{
    mw_status status = need_materials(library, at, diags);
    if (status != MW_OK) {
        return status;
    }
    *material = find_material(library, name, 0);
    if (*material) {
        return MW_OK;
    }
    mw_suggest nearest;
    mw_suggest_start(&nearest, name);
    for (size_t i = 0; i < library->material_count; i++) {
        mw_suggest_offer(&nearest, library->materials[i]->name);
    }
    mw_diag *diag = mw_diags_error(diags, MW_CODE_UNKNOWN_MATERIAL, at,
                                   "there is no material `%.*s`", MW_SHOW(name));
    if (nearest.best.length > 0) {
        mw_diag_try(diags, diag, "\"%.*s\"", MW_SHOW(nearest.best));
    }
    return MW_FAILED;
}

mw_status mw_library_materials(mw_library *library,
                               void (*each)(void *context, const mw_material *material),
                               void *context, mw_diags *diags)
{
    mw_status status = need_materials(library, (mw_span){.source = MW_NONE}, diags);
    for (size_t i = 0; i < library->material_count && status == MW_OK; i++) {
        each(context, library->materials[i]);
    }
    return status;
}

/* ---- cautions ---- */

static const mw_caution *find_caution(const mw_library *library, mw_str word)
{
    for (size_t i = 0; i < library->caution_count; i++) {
        if (mw_same_name(library->cautions[i]->word, word)) {
            return library->cautions[i];
        }
    }
    return NULL;
}

static mw_status add_caution(mw_library *library, const mw_caution *caution)
{
    void *cautions = (void *)library->cautions;
    if (find_caution(library, caution->word)) {
        return MW_OK;
    }
    if (!mw_memory_grow(&cautions, &library->caution_capacity, library->caution_count + 1,
                        sizeof *library->cautions)) {
        return MW_NO_MEMORY;
    }
    library->cautions = cautions;
    library->cautions[library->caution_count++] = caution;
    return MW_OK;
}

static mw_status read_cautions(mw_library *library, const char *folder, mw_span at, mw_diags *diags)
{
    mw_text path = {0};
    mw_text_addf(&path, "%s/cautions.yaml", folder);
    mw_status status = path.failed ? MW_NO_MEMORY : MW_OK;
    if (status == MW_OK && mw_file_exists(mw_text_chars(&path))) {
        mw_load load = mw_library_load(library, diags);
        const mw_yaml_node *root = NULL;
        uint32_t count = 0;
        const mw_caution *rows = NULL;
        status = mw_library_read(library, mw_text_chars(&path), at, &load, &root);
        if (status == MW_OK) {
            rows = mw_cautions_read(&load, root, &count);
            status = mw_load_status(&load);
        }
        for (uint32_t i = 0; i < count && status == MW_OK; i++) {
            status = add_caution(library, &rows[i]);
        }
    }
    mw_text_free(&path);
    return status;
}

mw_status mw_library_caution(mw_library *library, mw_str word, mw_span at,
                             const mw_caution **caution, mw_diags *diags)
{
    mw_status status = MW_OK;
    for (size_t i = 0; !library->has_cautions && i < library->folder_count && status == MW_OK;
         i++) {
        status = read_cautions(library, library->folders[i], at, diags);
    }
    library->has_cautions = status == MW_OK;
    *caution = status == MW_OK ? find_caution(library, word) : NULL;
    return status;
}
