/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading materials with their packs and figures, and cautions. */
#include "recipe/files.h"

#include <math.h>

#include "mouldwright/money.h"
#include "recipe/raw.h"

bool mw_load_value(mw_load *load, mw_span formula, mw_type type, double *value)
{
    mw_constant figure;
    if (formula.source == MW_NONE) {
        return false;
    }
    mw_status status = type == MW_NONE
                           ? mw_calculate(load->calculator, formula, &figure, load->diags)
                           : mw_calculate_as(load->calculator, formula, type, &figure, load->diags);
    load->no_memory |= status == MW_NO_MEMORY;
    if (status == MW_OK) {
        *value = figure.value;
    }
    return status == MW_OK;
}

/* ---- packs ---- */

typedef struct raw_pack {
    mw_span size, price;
} raw_pack;

static const mw_field pack_fields[] = {
    MW_NEEDED("size", MW_FIELD_FORMULA, raw_pack, size),
    MW_NEEDED("price", MW_FIELD_FORMULA, raw_pack, price),
};
static const mw_keys pack_form = MW_KEYS("a pack", pack_fields);

/* Whether a type is an amount of money and nothing else. */
static bool is_money(mw_load *load, mw_type type)
{
    mw_measure *measure = load->calculator->measure;
    uint16_t currency = mw_type_look(measure, type)->currency;
    return currency != 0 && mw_money_type(measure, currency) == type;
}

static void read_price(mw_load *load, mw_span formula, mw_pack *pack)
{
    mw_constant price;
    pack->price_type = mw_money_type(load->calculator->measure, 1);
    if (formula.source == MW_NONE ||
        mw_calculate(load->calculator, formula, &price, load->diags) != MW_OK) {
        return;
    }
    if (!is_money(load, price.type) || price.value < 0.0) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_WRONG_KIND, formula,
                                       "the price of a pack is an amount of money");
        mw_diag_try(load->diags, diag, "105 EUR");
        return;
    }
    pack->price = price.value;
    pack->price_type = price.type;
}

static void read_pack(mw_load *load, const mw_yaml_node *node, mw_type stock, mw_pack *pack)
{
    raw_pack raw = {mw_nowhere(), mw_nowhere()};
    mw_load_fields(load, &pack_form, node, &raw);
    *pack = (mw_pack){.at = raw.price};
    read_price(load, raw.price, pack);
    if (mw_load_value(load, raw.size, stock, &pack->size) && !(pack->size > 0.0)) {
        mw_diags_error(load->diags, MW_CODE_OUT_OF_RANGE, raw.size,
                       "a pack must hold more than nothing");
    }
}

static void read_packs(mw_load *load, const mw_yaml_node *list, mw_material *material)
{
    mw_pack *packs = mw_load_room(load, list->count, sizeof *packs);
    for (const mw_yaml_node *node = packs ? list->first : NULL; node; node = node->next) {
        read_pack(load, node, material->stock_type, &packs[material->pack_count++]);
    }
    material->packs = packs;
    if (list->count == 0) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_MISSING_KEY, mw_node_place(list),
                                       "at least one pack is needed");
        mw_diag_try(load->diags, diag, "packs: [{size: 5 kg, price: 60 EUR}]");
    }
}

/* ---- figures ---- */

typedef struct raw_figure {
    mw_span is;
    mw_str source;
} raw_figure;

static const mw_field figure_fields[] = {
    MW_NEEDED("is", MW_FIELD_FORMULA, raw_figure, is),
    MW_FIELD("source", MW_FIELD_TEXT, raw_figure, source),
};
static const mw_keys figure_form = MW_KEYS("a figure", figure_fields);

/* The kind that a figure of that name has; MW_NONE: any. A name that is nearly a known one is taken for a slip:
 * false, reported. */
static bool figure_type(mw_load *load, const mw_yaml_node *node, mw_type *type)
{
    mw_suggest nearest = mw_load_suggest(load, node->key);
    *type = MW_NONE;
    for (const mw_figure_kind *kind = mw_figure_kinds(); kind->name; kind++) {
        if (mw_str_is(node->key, kind->name)) {
            mw_unit unit;
            return mw_unit_of_words(load->calculator->measure, mw_str_of(kind->unit), type,
                                    &unit) == MW_OK;
        }
        mw_suggest_offer(&nearest, mw_str_of(kind->name));
    }
    if (nearest.best.length == 0 || nearest.distance > 2) {
        return true;
    }
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_UNKNOWN_KEY, node->key_span,
                                   "there is no figure `%.*s`", MW_SHOW(node->key));
    mw_load_mean(load, diag, &nearest);
    return false;
}

static void read_figure(mw_load *load, const mw_yaml_node *node, mw_figure *figure)
{
    raw_figure raw = {.is = mw_nowhere()};
    mw_type type = MW_NONE;
    double value = 0.0;
    if (node->kind == MW_YAML_MAP) {
        mw_load_fields(load, &figure_form, node, &raw);
    } else if (!mw_load_formula(load, node, &raw.is)) {
        raw.is = mw_nowhere();
    }
    *figure = (mw_figure){node->key, raw.source, raw.is, node->key_span};
    bool known =
        mw_load_name(load, node->key, node->key_span, "a figure") && figure_type(load, node, &type);
    if (known) {
        mw_load_value(load, raw.is, type, &value);
    }
}

static void read_figures(mw_load *load, const mw_yaml_node *map, mw_material *material)
{
    mw_figure *figures = mw_load_room(load, map->count, sizeof *figures);
    for (const mw_yaml_node *node = figures ? map->first : NULL; node; node = node->next) {
        read_figure(load, node, &figures[material->figure_count++]);
    }
    material->figures = figures;
}

/* ---- materials ---- */

typedef struct raw_material {
    mw_material row;
    const mw_yaml_node *packs, *figures;
} raw_material;

static const mw_field material_fields[] = {
    MW_NEEDED_ALSO("material", MW_FIELD_TEXT, raw_material, row.name, row.name_at),
    MW_NEEDED("kind", MW_FIELD_TEXT, raw_material, row.kind),
    MW_FIELD("about", MW_FIELD_TEXT, raw_material, row.about),
    MW_FIELD("source", MW_FIELD_TEXT, raw_material, row.source),
    MW_NEEDED_ALSO("stock", MW_FIELD_UNIT, raw_material, row.stock_type, row.stock_unit),
    MW_NEEDED("packs", MW_FIELD_LIST, raw_material, packs),
    MW_FIELD("figures", MW_FIELD_MAP, raw_material, figures),
    MW_FIELD("cautions", MW_FIELD_TEXTS, raw_material, row.cautions),
};
static const mw_keys material_form = MW_KEYS("a material", material_fields);

static void read_material(mw_load *load, const mw_yaml_node *node, mw_material *material)
{
    raw_material raw = {0};
    mw_load_fields(load, &material_form, node, &raw);
    *material = raw.row;
    if (raw.packs) {
        read_packs(load, raw.packs, material);
    }
    if (raw.figures) {
        read_figures(load, raw.figures, material);
    }
}

typedef struct raw_list {
    const mw_yaml_node *list;
} raw_list;

static const mw_field materials_fields[] = {
    MW_NEEDED("materials", MW_FIELD_LIST, raw_list, list),
};
static const mw_keys materials_form = MW_KEYS("a file of materials", materials_fields);

mw_material *mw_materials_read(mw_load *load, const mw_yaml_node *root, uint32_t *count)
{
    raw_list raw = {0};
    *count = 0;
    mw_load_fields(load, &materials_form, root, &raw);
    if (!raw.list) {
        return NULL;
    }
    mw_material *rows = mw_load_room(load, raw.list->count, sizeof *rows);
    for (const mw_yaml_node *node = rows ? raw.list->first : NULL; node; node = node->next) {
        read_material(load, node, &rows[(*count)++]);
    }
    return rows;
}

/* ---- cautions ---- */

static const mw_field caution_fields[] = {
    MW_NEEDED("text", MW_FIELD_TEXT, mw_caution, text),
    MW_NEEDED("defer", MW_FIELD_TEXT, mw_caution, defer),
};
static const mw_keys caution_form = MW_KEYS("a caution", caution_fields);

static const mw_field cautions_fields[] = {
    MW_NEEDED("cautions", MW_FIELD_MAP, raw_list, list),
};
static const mw_keys cautions_form = MW_KEYS("a file of cautions", cautions_fields);

mw_caution *mw_cautions_read(mw_load *load, const mw_yaml_node *root, uint32_t *count)
{
    raw_list raw = {0};
    *count = 0;
    mw_load_fields(load, &cautions_form, root, &raw);
    if (!raw.list) {
        return NULL;
    }
    mw_caution *rows = mw_load_room(load, raw.list->count, sizeof *rows);
    for (const mw_yaml_node *node = rows ? raw.list->first : NULL; node; node = node->next) {
        mw_load_fields(load, &caution_form, node, &rows[*count]);
        rows[(*count)++].word = node->key;
    }
    return rows;
}
