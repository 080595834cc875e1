/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readers of material, caution and shop files, for the library. Errors are in the load. */
#ifndef RECIPE_FILES_H
#define RECIPE_FILES_H

#include "recipe/load.h"

/* Reads how a material is bought; both nodes may be NULL. The kind of its stock is known by then. */
void mw_packs_read(mw_load *load, const mw_yaml_node *packs, const mw_yaml_node *parts,
                   mw_material *material);

/* Reads the tree of a file of materials: `*count` rows, NULL for none. */
const mw_material *mw_materials_read(mw_load *load, const mw_yaml_node *root, uint32_t *count);

/* A caution with the place of its word. */
typedef struct mw_caution_entry {
    mw_caution row;
    mw_span word_at;
} mw_caution_entry;

/* Reads the tree of a file of cautions. */
const mw_caution_entry *mw_cautions_read(mw_load *load, const mw_yaml_node *root, uint32_t *count);

/* --- shops ------------------------------------------------------------------------------------ */

/* What a shop puts into the measure context. */
typedef struct mw_own_unit {
    mw_str name;
    double factor;
    mw_str of; /* the unit as text, since units are known to one measure context only */
} mw_own_unit;

typedef struct mw_tender {
    uint16_t currency; /* 0: none that is known */
    mw_exchange *exchange;
    uint32_t exchange_count;
    mw_own_unit *units;
    uint32_t unit_count;
} mw_tender;

/* A shop in the making. Types and units of its lines belong to the measure context of the load until
 * mw_shop_settle(). */
typedef struct mw_shop_making {
    mw_shop shop;
    mw_span name_at;
    mw_tender tender;
    mw_str *line_units; /* as written */
    mw_shop_line *lines;
} mw_shop_making;

/* Reads the tree of a shop file. Currency, rates and units are put into the measure context of the
 * load as they are met, since later figures of the file need them: it should be one for trial. */
void mw_shop_read(mw_load *load, const mw_yaml_node *root, mw_shop_making *making);

/* Puts currency, rates and units into a measure context. */
mw_status mw_tender_apply(const mw_tender *tender, mw_measure *measure) MW_MUST_USE;
/* Gives the lines their types and units in a measure context that knows the tender. */
mw_status mw_shop_settle(mw_shop_making *making, mw_measure *measure) MW_MUST_USE;

/* The parts of the file that tell times. */
typedef struct mw_time_nodes {
    const mw_yaml_node *shifts, *holidays, *part_days, *temperature; /* NULL: not given */
} mw_time_nodes;
void mw_shop_times_read(mw_load *load, const mw_time_nodes *nodes, mw_shop *shop);

/* Reads `2027-03-11` or `2027-03-11T14:30` as seconds since 1970-01-01. */
bool mw_moment_read(mw_load *load, const mw_yaml_node *node, double *moment_s);

#endif
