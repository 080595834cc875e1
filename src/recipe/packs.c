/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading how a material is bought: packs, parts that are sold apart, lower prices for more, what is on hand. */
#include "mouldwright/money.h"
#include "recipe/files.h"
#include "recipe/raw.h"

/* --- parts ------------------------------------------------------------------------------------ */

static void read_part(mw_load *load, const mw_yaml_node *node, mw_material *material)
{
    mw_material_part *part = &material->parts[material->part_count];
    mw_span formula = mw_nowhere();
    mw_constant share;
    part->name = mw_load_key(load, node);
    if (mw_load_formula(load, node, &formula) &&
        mw_load_figure(load, formula, MW_TYPE_NUMBER, &share)) {
        part->share = share.value;
        if (!(share.low > 0)) {
            mw_load_range(load, formula, "the share of a part is more than 0");
        }
    }
    material->part_count++;
}

/* Shares are put so that they sum to 1. */
static void read_parts(mw_load *load, const mw_yaml_node *map, mw_material *material)
{
    double sum = 0;
    if (map->count < 2 || map->count > MW_MATERIAL_PARTS_MAX) {
        mw_load_range(load, mw_node_place(map), "a material has two parts, or none are named");
        return;
    }
    for (const mw_yaml_node *node = map->first; node != NULL; node = node->next) {
        read_part(load, node, material);
        sum += material->parts[material->part_count - 1].share;
    }
    for (uint32_t i = 0; i < material->part_count && sum > 0; i++) {
        material->parts[i].share /= sum;
    }
}

/* --- packs ------------------------------------------------------------------------------------ */

typedef struct raw_pack {
    mw_span size;
    mw_span price;
    uint32_t at_least;
    mw_str of;
    mw_span of_at;
    const mw_yaml_node *breaks;
} raw_pack;

static const mw_field pack_fields[] = {
    MW_NEEDED("size", MW_FIELD_FORMULA, raw_pack, size),
    MW_NEEDED("price", MW_FIELD_FORMULA, raw_pack, price),
    MW_FIELD("at_least", MW_FIELD_COUNT, raw_pack, at_least),
    MW_FIELD_ALSO("of", MW_FIELD_TEXT, raw_pack, of, of_at),
    MW_FIELD("breaks", MW_FIELD_LIST, raw_pack, breaks),
};
static const mw_keys pack_keys = MW_KEYS("a pack", pack_fields);

typedef struct raw_break {
    uint32_t from;
    mw_span price;
} raw_break;

static const mw_field break_fields[] = {
    MW_NEEDED("from", MW_FIELD_COUNT, raw_break, from),
    MW_NEEDED("price", MW_FIELD_FORMULA, raw_break, price),
};
static const mw_keys break_keys = MW_KEYS("a lower price", break_fields);

/* A price; `*type` is its kind of money. */
static double read_price(mw_load *load, mw_span formula, mw_type *type)
{
    mw_measure *measure = load->calculator->measure;
    mw_constant price;
    if (!mw_load_figure(load, formula, MW_NONE, &price)) {
        return 0;
    }
    uint16_t currency = mw_type_look(measure, price.type)->currency;
    if (currency == 0 || mw_money_type(measure, currency) != price.type) {
        mw_text found = {0};
        mw_type_words(measure, price.type, &found);
        mw_diag *diag =
            mw_diags_error(load->diags, MW_CODE_WRONG_KIND, formula,
                           "the price of a pack is money, found %s", mw_text_chars(&found));
        mw_diag_try(load->diags, diag, "write it as in 105 EUR");
        load->no_memory |= found.failed;
        mw_text_free(&found);
    } else if (price.low < 0) {
        mw_load_range(load, formula, "the price of a pack is not below 0");
    }
    *type = price.type;
    return price.value;
}

static void read_break(mw_load *load, const mw_yaml_node *node, mw_pack *pack)
{
    raw_break raw = {0, mw_nowhere()};
    mw_type type = pack->price_type;
    mw_load_fields(load, &break_keys, node, &raw);
    const double price = read_price(load, raw.price, &type);
    const uint32_t before = pack->break_count ? pack->breaks[pack->break_count - 1].from : 1;
    if (type != pack->price_type) {
        mw_load_range(load, raw.price, "the prices of one pack are in one currency");
    }
    if (raw.from <= before) {
        mw_load_range(load, mw_node_place(node),
                      "`from` counts packs: 2 or more, and each row more than the one before");
    }
    pack->breaks[pack->break_count++] = (mw_pack_break){raw.from, price};
}

static void read_breaks(mw_load *load, const mw_yaml_node *list, mw_pack *pack)
{
    if (list->count > MW_PACK_BREAKS_MAX) {
        mw_load_range(load, mw_node_place(list), "a pack has at most 8 lower prices");
        return;
    }
    for (const mw_yaml_node *node = list->first; node != NULL; node = node->next) {
        read_break(load, node, pack);
    }
}

static void find_part(mw_load *load, const raw_pack *raw, const mw_material *material,
                      mw_pack *pack)
{
    for (uint32_t i = 0; i < material->part_count; i++) {
        if (mw_same_name(material->parts[i].name, raw->of)) {
            pack->part = i;
            return;
        }
    }
    mw_suggest near = mw_load_suggest(load, raw->of);
    for (uint32_t i = 0; i < material->part_count; i++) {
        mw_suggest_offer(&near, material->parts[i].name);
    }
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_UNKNOWN_NAME, raw->of_at,
                                   "the material has no part `%.*s`", MW_SHOW(raw->of));
    mw_load_mean(load, diag, &near);
}

static void read_pack(mw_load *load, const mw_yaml_node *node, const mw_material *material,
                      mw_pack *pack)
{
    raw_pack raw = {.size = mw_nowhere(), .price = mw_nowhere(), .of_at = mw_nowhere()};
    mw_constant size;
    mw_load_fields(load, &pack_keys, node, &raw);
    *pack = (mw_pack){.at = raw.price, .at_least = raw.at_least, .part = MW_NONE};
    pack->price = read_price(load, raw.price, &pack->price_type);
    if (mw_load_figure(load, raw.size, material->stock_type, &size)) {
        pack->size = size.value;
        if (!(size.low > 0)) {
            mw_load_range(load, raw.size, "a pack must hold more than nothing");
        }
    }
    if (raw.of.length > 0) {
        find_part(load, &raw, material, pack);
    }
    if (raw.breaks != NULL) {
        read_breaks(load, raw.breaks, pack);
    }
}

/* The usual pack is a whole one: recipes reckon with its price. */
static void check_first(mw_load *load, const mw_material *material)
{
    if (material->pack_count > 0 && material->packs[0].part != MW_NONE) {
        mw_load_range(load, material->packs[0].at,
                      "the first pack is the usual one: it holds all parts");
    }
}

static void read_packs(mw_load *load, const mw_yaml_node *list, mw_material *material)
{
    if (list->count == 0) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_MISSING_KEY, mw_node_place(list),
                                       "a material needs at least one pack");
        mw_diag_try(load->diags, diag, "packs: [{size: 5 kg, price: 60 EUR}]");
    } else if (list->count > MW_MATERIAL_PACKS_MAX) {
        mw_load_range(load, mw_node_place(list), "a material has at most 12 packs");
        return;
    }
    mw_pack *packs = mw_load_room(load, list->count, sizeof *packs);
    if (packs == NULL) {
        return;
    }
    for (const mw_yaml_node *node = list->first; node != NULL; node = node->next) {
        read_pack(load, node, material, &packs[material->pack_count++]);
    }
    material->packs = packs;
    check_first(load, material);
}

/* --- amounts ---------------------------------------------------------------------------------- */

static double read_amount(mw_load *load, mw_span formula, const mw_material *material)
{
    mw_constant amount = {0};
    if (formula.source != MW_NONE && mw_load_figure(load, formula, material->stock_type, &amount) &&
        amount.low < 0) {
        mw_load_range(load, formula, "an amount is not below 0");
    }
    return amount.value;
}

void mw_packs_read(mw_load *load, const mw_yaml_node *packs, const mw_yaml_node *parts,
                   mw_material *material)
{
    if (parts != NULL) {
        read_parts(load, parts, material);
    }
    if (packs != NULL) {
        read_packs(load, packs, material);
    }
    material->on_hand = read_amount(load, material->on_hand_at, material);
    material->least_order = read_amount(load, material->least_order_at, material);
}
