/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading materials with their packs and figures, and cautions. */
#include "recipe/files.h"
#include "recipe/raw.h"

/* --- cure points ------------------------------------------------------------------------------- */

typedef struct raw_cure_point {
    mw_span at;
    mw_span time;
} raw_cure_point;

static const mw_field cure_point_fields[] = {
    MW_NEEDED("at", MW_FIELD_FORMULA, raw_cure_point, at),
    MW_NEEDED("time", MW_FIELD_FORMULA, raw_cure_point, time),
};
static const mw_keys cure_point_keys = MW_KEYS("a cure point", cure_point_fields);

static bool read_cure_point(mw_load *load, const mw_yaml_node *node, mw_cure_point *point)
{
    const double coldest_k = 223.15;
    const double hottest_k = 573.15;
    raw_cure_point raw = {mw_nowhere(), mw_nowhere()};
    mw_constant at;
    mw_constant time;
    mw_load_fields(load, &cure_point_keys, node, &raw);
    if (!mw_load_figure(load, raw.at, MW_TYPE_DEGREES, &at) ||
        !mw_load_figure(load, raw.time, MW_TYPE_TIME, &time)) {
        return false;
    }
    if (at.low < coldest_k || at.high > hottest_k) {
        mw_load_range(load, raw.at, "cure points stand between -50 and 300 degC");
        return false;
    }
    if (!(time.low > 0)) {
        mw_load_range(load, raw.time, "the time of a cure point is above 0");
        return false;
    }
    *point = (mw_cure_point){at.value, time.value};
    return true;
}

/* The warmer of two points must be the shorter one. */
static bool points_agree(const mw_cure_point *a, const mw_cure_point *b)
{
    return a->at_k != b->at_k && (a->at_k < b->at_k) == (a->time_s > b->time_s) &&
           a->time_s != b->time_s;
}

static void read_cure_points(mw_load *load, const mw_yaml_node *list, mw_material *material)
{
    uint32_t count = 0;
    material->cure_points_at = mw_node_place(list);
    if (list->count < 2 || list->count > MW_CURE_POINTS_READ) {
        mw_load_range(load, mw_node_place(list), "two or more cure points are needed, at most 32");
        return;
    }
    mw_cure_point *points = mw_load_room(load, list->count, sizeof *points);
    if (points == NULL) {
        return;
    }
    for (const mw_yaml_node *node = list->first; node != NULL; node = node->next) {
        if (!read_cure_point(load, node, &points[count])) {
            return;
        }
        for (uint32_t i = 0; i < count; i++) {
            if (!points_agree(&points[i], &points[count])) {
                mw_load_range(load, mw_node_place(node),
                              "of two cure points the warmer is the shorter one");
                return;
            }
        }
        count++;
    }
    material->cure_points = points;
    material->cure_point_count = count;
}

/* --- figures ---------------------------------------------------------------------------------- */

static const mw_field figure_fields[] = {
    MW_NEEDED("is", MW_FIELD_FORMULA, mw_figure, formula),
    MW_FIELD("source", MW_FIELD_TEXT, mw_figure, source),
};
static const mw_keys figure_keys = MW_KEYS("a figure", figure_fields);

/* The kind that a figure of that name must have; MW_NONE: any. */
static mw_type kind_of_figure(mw_load *load, mw_str name)
{
    for (const mw_figure_kind *kind = mw_figure_kinds(); kind->name != NULL; kind++) {
        mw_type type = MW_NONE;
        mw_unit unit;
        if (mw_str_is(name, kind->name)) {
            mw_status status =
                mw_unit_of_words(load->calculator->measure, mw_str_of(kind->unit), &type, &unit);
            load->no_memory |= status == MW_NO_MEMORY;
            return type;
        }
    }
    return MW_NONE;
}

/* A name that is nearly a known one, but not that, is taken for a slip of the pen. */
static void check_slip(mw_load *load, const mw_figure *figure)
{
    enum { SLIP_EDITS = 2 };
    mw_suggest near = mw_load_suggest(load, figure->name);
    for (const mw_figure_kind *kind = mw_figure_kinds(); kind->name != NULL; kind++) {
        mw_suggest_offer(&near, mw_str_of(kind->name));
    }
    if (near.best.length == 0 || near.distance == 0 || near.distance > SLIP_EDITS) {
        return;
    }
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_UNKNOWN_KEY, figure->name_at,
                                   "`%.*s` looks like the figure `%.*s` misspelt",
                                   MW_SHOW(figure->name), MW_SHOW(near.best));
    mw_load_mean(load, diag, &near);
}

static void read_figure(mw_load *load, const mw_yaml_node *node, mw_figure *figure)
{
    *figure = (mw_figure){.name = mw_load_key(load, node),
                          .source = {"", 0},
                          .formula = mw_nowhere(),
                          .name_at = node->key_span};
    if (mw_str_is(figure->name, "price")) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_NAME_TAKEN, figure->name_at,
                                       "the figure `price` is made from the usual pack");
        mw_diag_try(load->diags, diag, "remove it; prices stand in `packs`");
        return;
    }
    bool fine = mw_load_name(load, figure->name, figure->name_at, "a figure");
    if (node->kind == MW_YAML_MAP) {
        mw_load_fields(load, &figure_keys, node, figure);
    } else {
        mw_load_formula(load, node, &figure->formula);
    }
    if (fine) {
        mw_constant value;
        check_slip(load, figure);
        mw_load_figure(load, figure->formula, kind_of_figure(load, figure->name), &value);
    }
}

static void read_figures(mw_load *load, const mw_yaml_node *map, mw_material *material)
{
    mw_figure *figures = mw_load_room(load, map->count, sizeof *figures);
    if (figures == NULL) {
        return;
    }
    for (const mw_yaml_node *node = map->first; node != NULL; node = node->next) {
        read_figure(load, node, &figures[material->figure_count++]);
    }
    material->figures = figures;
}

/* --- materials -------------------------------------------------------------------------------- */

typedef struct raw_material {
    mw_material row;
    const mw_yaml_node *packs;
    const mw_yaml_node *parts;
    const mw_yaml_node *figures;
    const mw_yaml_node *cure_points;
} raw_material;

/* clang-format off */
static const mw_field material_fields[] = {
    MW_NEEDED_ALSO("material", MW_FIELD_TEXT, raw_material, row.name, row.name_at),
    MW_NEEDED("kind", MW_FIELD_TEXT, raw_material, row.kind),
    MW_FIELD("about", MW_FIELD_TEXT, raw_material, row.about),
    MW_FIELD("source", MW_FIELD_TEXT, raw_material, row.source),
    MW_NEEDED_ALSO("stock", MW_FIELD_UNIT, raw_material, row.stock_type, row.stock_unit),
    MW_NEEDED("packs", MW_FIELD_LIST, raw_material, packs),
    MW_FIELD("parts", MW_FIELD_MAP, raw_material, parts),
    MW_FIELD("consumable", MW_FIELD_TRUTH, raw_material, row.consumable),
    MW_FIELD("supplier", MW_FIELD_TEXT, raw_material, row.supplier),
    MW_FIELD("on_hand", MW_FIELD_FORMULA, raw_material, row.on_hand_at),
    MW_FIELD("least_order", MW_FIELD_FORMULA, raw_material, row.least_order_at),
    MW_FIELD("figures", MW_FIELD_MAP, raw_material, figures),
    MW_FIELD("cure_points", MW_FIELD_LIST, raw_material, cure_points),
    MW_FIELD("cautions", MW_FIELD_TEXTS, raw_material, row.cautions),
};
/* clang-format on */
static const mw_keys material_keys = MW_KEYS("a material", material_fields);

static void read_material(mw_load *load, const mw_yaml_node *node, mw_material *material)
{
    raw_material raw = {.row = {.name_at = mw_node_place(node),
                                .stock_type = MW_NONE,
                                .stock_unit = MW_NONE,
                                .on_hand_at = mw_nowhere(),
                                .least_order_at = mw_nowhere()}};
    mw_load_fields(load, &material_keys, node, &raw);
    *material = raw.row;
    mw_packs_read(load, raw.packs, raw.parts, material);
    if (raw.figures != NULL) {
        read_figures(load, raw.figures, material);
    }
    if (raw.cure_points != NULL) {
        read_cure_points(load, raw.cure_points, material);
    }
}

/* A file whose top is one list or map. */
typedef struct raw_file {
    const mw_yaml_node *rows;
} raw_file;

static const mw_field materials_fields[] = {
    MW_NEEDED("materials", MW_FIELD_LIST, raw_file, rows),
};
static const mw_keys materials_keys = MW_KEYS("a file of materials", materials_fields);

const mw_material *mw_materials_read(mw_load *load, const mw_yaml_node *root, uint32_t *count)
{
    raw_file raw = {0};
    *count = 0;
    mw_load_fields(load, &materials_keys, root, &raw);
    if (raw.rows == NULL) {
        return NULL;
    }
    mw_material *rows = mw_load_room(load, raw.rows->count, sizeof *rows);
    if (rows == NULL) {
        return NULL;
    }
    for (const mw_yaml_node *node = raw.rows->first; node != NULL; node = node->next) {
        read_material(load, node, &rows[(*count)++]);
    }
    return rows;
}

/* --- cautions --------------------------------------------------------------------------------- */

static const mw_field caution_fields[] = {
    MW_NEEDED("text", MW_FIELD_TEXT, mw_caution_entry, row.text),
    MW_NEEDED("defer", MW_FIELD_TEXT, mw_caution_entry, row.defer),
};
static const mw_keys caution_keys = MW_KEYS("a caution", caution_fields);

static const mw_field cautions_fields[] = {
    MW_NEEDED("cautions", MW_FIELD_MAP, raw_file, rows),
};
static const mw_keys cautions_keys = MW_KEYS("a file of cautions", cautions_fields);

const mw_caution_entry *mw_cautions_read(mw_load *load, const mw_yaml_node *root, uint32_t *count)
{
    raw_file raw = {0};
    *count = 0;
    mw_load_fields(load, &cautions_keys, root, &raw);
    if (raw.rows == NULL) {
        return NULL;
    }
    mw_caution_entry *rows = mw_load_room(load, raw.rows->count, sizeof *rows);
    if (rows == NULL) {
        return NULL;
    }
    for (const mw_yaml_node *node = raw.rows->first; node != NULL; node = node->next) {
        mw_caution_entry *entry = &rows[(*count)++];
        entry->row.word = mw_load_key(load, node);
        entry->word_at = node->key_span;
        mw_load_fields(load, &caution_keys, node, entry);
    }
    return rows;
}
