/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shops of the library. A shop changes the measure context, so its file is read with one for trial: a
 * broken file changes nothing. */
#include "mouldwright/memory.h"
#include "recipe/library.h"

/* Puts the money and units of the shop in force back after a new one could not be kept. That needs no
 * memory, since their types and units exist. */
static void put_back(mw_library *library)
{
    if (library->shop_in_force != MW_NONE) {
        mw_status back =
            mw_tender_apply(&library->shops[library->shop_in_force].tender, library->measure);
        (void)back;
    }
}

/* Keeps a shop that was read well. */
static mw_status keep_shop(mw_library *library, mw_shop_making *making, mw_arena *rows,
                           const mw_shop **shop)
{
    void *shops = library->shops;
    mw_shop *row = mw_arena_get(rows, sizeof *row);
    if (row == NULL || !mw_memory_grow32(&shops, &library->shop_capacity, library->shop_count + 1,
                                         sizeof *library->shops)) {
        return MW_NO_MEMORY;
    }
    library->shops = shops;
    mw_status status = mw_tender_apply(&making->tender, library->measure);
    if (status == MW_OK) {
        status = mw_shop_settle(making, library->measure);
    }
    if (status != MW_OK) {
        put_back(library);
        return status;
    }
    *row = making->shop;
    library->shop_in_force = library->shop_count;
    library->shops[library->shop_count++] = (mw_kept_shop){row, making->tender, rows};
    *shop = row;
    return MW_OK;
}

/* What reading one shop needs; all of it but `rows` goes when it is done. */
typedef struct trial {
    mw_measure *measure;
    mw_calculator calculator;
    mw_arena *rows;
    mw_arena *scratch;
} trial;

static bool start_trial(trial *t, const mw_sources *sources)
{
    *t = (trial){.measure = mw_measure_new(), .rows = mw_arena_new(), .scratch = mw_arena_new()};
    return t->measure != NULL && t->rows != NULL && t->scratch != NULL &&
           mw_calculator_start(&t->calculator, sources, t->measure);
}

static void end_trial(trial *t)
{
    mw_calculator_end(&t->calculator);
    mw_measure_free(t->measure);
    mw_arena_free(t->scratch);
}

static mw_status read_shop(mw_library *library, const char *path, mw_span at, mw_load *load,
                           mw_shop_making *making)
{
    const mw_yaml_node *root;
    mw_status status = mw_library_read(library, path, at, load, &root);
    if (status != MW_OK) {
        return status;
    }
    mw_shop_read(load, root, making);
    mw_library_check_name(load, making->shop.name, making->name_at);
    return mw_load_status(load);
}

static mw_status load_shop(mw_library *library, const mw_wanted *wanted, const char *path,
                           const mw_shop **shop, mw_diags *diags)
{
    trial t;
    mw_status status = MW_NO_MEMORY;
    mw_shop_making making;
    if (start_trial(&t, library->sources)) {
        mw_load load = mw_load_start(&t.calculator, t.rows, t.scratch, diags);
        status = read_shop(library, path, wanted->at, &load, &making);
    }
    if (status == MW_OK) {
        status = keep_shop(library, &making, t.rows, shop);
    }
    if (status != MW_OK) {
        mw_arena_free(t.rows);
    }
    end_trial(&t);
    return status;
}

/* Gives a shop that was read before again, with its money and units. */
static mw_status take_again(mw_library *library, uint32_t at, const mw_shop **shop)
{
    if (library->shop_in_force != at) {
        mw_status status = mw_tender_apply(&library->shops[at].tender, library->measure);
        if (status != MW_OK) {
            put_back(library);
            return status;
        }
    }
    library->shop_in_force = at;
    *shop = library->shops[at].shop;
    return MW_OK;
}

mw_status mw_library_shop(mw_library *library, mw_str name, mw_span at, const mw_shop **shop,
                          mw_diags *diags)
{
    for (uint32_t i = 0; i < library->shop_count; i++) {
        if (mw_same_name(library->shops[i].shop->name, name)) {
            return take_again(library, i, shop);
        }
    }
    mw_wanted wanted = {name, at, "shop", "shops", MW_CODE_UNKNOWN_SHOP};
    mw_text path = {0};
    mw_status status = mw_library_find(library, &wanted, &path, diags);
    if (status == MW_OK) {
        status = load_shop(library, &wanted, mw_text_chars(&path), shop, diags);
    }
    mw_text_free(&path);
    return status;
}
