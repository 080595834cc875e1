/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Materials and cautions of the library: all files of all folders are read at the first call. */
#include "mouldwright/file.h"
#include "recipe/library.h"

/* Folders being read to fill a shelf. */
typedef struct filling {
    mw_library *library;
    mw_shelf *shelf;
    mw_load *load;
    mw_span at;
    uint32_t folder;
    void (*put)(struct filling *filling, const mw_yaml_node *root);
} filling;

/* Reads one file. A broken one does not keep the next from being looked at. */
static mw_status read_file(void *context, const char *path, mw_str name)
{
    filling *f = context;
    const mw_yaml_node *root;
    (void)name;
    mw_status status = mw_library_read(f->library, path, f->at, f->load, &root);
    if (status == MW_OK) {
        f->put(f, root);
    }
    mw_arena_rewind(f->load->scratch, (mw_arena_mark){0});
    return status == MW_NO_MEMORY || f->load->no_memory ? MW_NO_MEMORY : MW_OK;
}

/* Fills a new shelf by `read_folder`; puts it in place of the old only when all went well. Asked again
 * with errors in the sink, what is wrong with the files is not said a second time. */
static mw_status fill(filling *f, mw_status (*read_folder)(filling *f, const char *folder),
                      mw_diags *diags)
{
    if (f->shelf->full || (f->shelf->broken && diags->errors > 0)) {
        return f->shelf->full ? MW_OK : MW_FAILED;
    }
    mw_shelf fresh;
    bool started = mw_shelf_start(&fresh);
    mw_arena *scratch = mw_arena_new();
    mw_status status = started && scratch != NULL ? MW_OK : MW_NO_MEMORY;
    mw_load load = mw_load_start(&f->library->calculator, fresh.rows, scratch, diags);
    mw_shelf *target = f->shelf;
    f->shelf = &fresh;
    f->load = &load;
    for (f->folder = 0; f->folder < f->library->folder_count && status == MW_OK; f->folder++) {
        status = read_folder(f, f->library->folders[f->folder]);
    }
    status = status == MW_OK ? mw_load_status(&load) : status;
    if (status == MW_OK) {
        fresh.full = true;
        *target = fresh;
    } else {
        mw_shelf_end(&fresh);
        target->broken = status == MW_FAILED;
    }
    mw_arena_free(scratch);
    f->shelf = target;
    f->load = NULL;
    return status;
}

/* --- materials -------------------------------------------------------------------------------- */

static void put_materials(filling *f, const mw_yaml_node *root)
{
    uint32_t count;
    const mw_material *rows = mw_materials_read(f->load, root, &count);
    for (uint32_t i = 0; i < count; i++) {
        mw_library_check_cautions(f->library, f->load, &rows[i].cautions);
        if (rows[i].name.length > 0) {
            mw_shelf_row row = {"a material", rows[i].name, rows[i].name_at, &rows[i], f->folder};
            mw_shelf_add(f->load, f->shelf, &row);
        }
    }
}

static mw_status read_materials(filling *f, const char *folder)
{
    mw_text path = {0};
    mw_path_join(&path, mw_str_of(folder), mw_str_of("materials"));
    mw_status status =
        path.failed ? MW_NO_MEMORY : mw_folder_each(mw_text_chars(&path), ".yaml", read_file, f);
    if (status == MW_IO) {
        mw_library_refused(mw_text_chars(&path), f->at, f->load->diags);
        status = MW_OK; /* counted as an error of the load */
    }
    mw_text_free(&path);
    return status;
}

static mw_status need_materials(mw_library *library, mw_span at, mw_diags *diags)
{
    filling f = {.library = library, .shelf = &library->materials, .at = at, .put = put_materials};
    return fill(&f, read_materials, diags);
}

static mw_status report_unknown(mw_library *library, mw_str name, mw_span at, mw_diags *diags)
{
    mw_wanted wanted = {name, at, "material", "materials", MW_CODE_UNKNOWN_MATERIAL};
    mw_suggest near;
    mw_suggest_start(&near, diags->errors < diags->limit ? name : (mw_str){"", 0});
    for (uint32_t i = 0; i < library->materials.count; i++) {
        const mw_material *material = library->materials.items[i];
        mw_suggest_offer(&near, material->name);
    }
    return mw_library_unknown(library, &wanted, near.best, diags);
}

mw_status mw_library_material(mw_library *library, mw_str name, mw_span at,
                              const mw_material **material, mw_diags *diags)
{
    mw_status status = need_materials(library, at, diags);
    const void *item;
    if (status == MW_OK) {
        status = mw_shelf_find(&library->materials, name, &item);
    }
    if (status == MW_OK) {
        *material = item;
    }
    return status == MW_NOT_FOUND ? report_unknown(library, name, at, diags) : status;
}

mw_status mw_library_materials(mw_library *library,
                               void (*each)(void *context, const mw_material *material),
                               void *context, mw_diags *diags)
{
    mw_status status = need_materials(library, (mw_span){.source = MW_NONE}, diags);
    for (uint32_t i = 0; status == MW_OK && i < library->materials.count; i++) {
        each(context, library->materials.items[i]);
    }
    return status;
}

/* --- cautions --------------------------------------------------------------------------------- */

static void put_cautions(filling *f, const mw_yaml_node *root)
{
    uint32_t count;
    const mw_caution_entry *rows = mw_cautions_read(f->load, root, &count);
    for (uint32_t i = 0; i < count; i++) {
        mw_shelf_row row = {"a caution", rows[i].row.word, rows[i].word_at, &rows[i].row,
                            f->folder};
        mw_shelf_add(f->load, f->shelf, &row);
    }
}

static mw_status read_cautions(filling *f, const char *folder)
{
    mw_text path = {0};
    mw_path_join(&path, mw_str_of(folder), mw_str_of("cautions.yaml"));
    mw_status status = path.failed ? MW_NO_MEMORY : MW_OK;
    if (status == MW_OK && mw_file_exists(mw_text_chars(&path))) {
        status = read_file(f, mw_text_chars(&path), mw_str_of("cautions.yaml"));
    }
    mw_text_free(&path);
    return status;
}

static mw_status find_caution(mw_library *library, mw_str word, mw_span at,
                              const mw_caution **caution, mw_diags *diags)
{
    *caution = NULL;
    filling f = {.library = library, .shelf = &library->cautions, .at = at, .put = put_cautions};
    mw_status status = fill(&f, read_cautions, diags);
    const void *item = NULL;
    if (status == MW_OK) {
        status = mw_shelf_find(&library->cautions, word, &item);
        *caution = item;
    }
    return status;
}

mw_status mw_library_caution(mw_library *library, mw_str word, mw_span at,
                             const mw_caution **caution, mw_diags *diags)
{
    mw_status status = find_caution(library, word, at, caution, diags);
    return status == MW_NOT_FOUND ? MW_OK : status;
}

static void report_caution(mw_library *library, mw_load *load, mw_str word, mw_span at)
{
    mw_wanted wanted = {word, at, "caution", "cautions.yaml", MW_CODE_UNKNOWN_CAUTION};
    mw_suggest near = mw_load_suggest(load, word);
    for (uint32_t i = 0; i < library->cautions.count; i++) {
        const mw_caution *caution = library->cautions.items[i];
        mw_suggest_offer(&near, caution->word);
    }
    load->no_memory |= mw_library_unknown(library, &wanted, near.best, load->diags) == MW_NO_MEMORY;
}

void mw_library_check_cautions(mw_library *library, mw_load *load, const mw_name_list *words)
{
    for (uint32_t i = 0; i < words->count; i++) {
        const mw_caution *caution;
        mw_status status =
            find_caution(library, words->items[i], words->spans[i], &caution, load->diags);
        load->no_memory |= status == MW_NO_MEMORY;
        if (status == MW_NOT_FOUND) {
            report_caution(library, load, words->items[i], words->spans[i]);
        }
    }
}
