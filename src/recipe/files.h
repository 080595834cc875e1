/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readers of material, caution and shop files, for the library. */
#ifndef RECIPE_FILES_H
#define RECIPE_FILES_H

#include "recipe/load.h"

/* Reads the tree of a file of materials; `*count` rows. Errors are in the load. */
mw_material *mw_materials_read(mw_load *load, const mw_yaml_node *root, uint32_t *count);

/* Reads the tree of a file of cautions. */
mw_caution *mw_cautions_read(mw_load *load, const mw_yaml_node *root, uint32_t *count);

/* Reads the tree of a shop file. The currency, rates and units it defines are put into the measure context as they
 * are met, since later figures of the file need them. */
mw_shop *mw_shop_read(mw_load *load, const mw_yaml_node *root);

/* Reads stretches of a day from a list such as ["07:30-12:00", "12:30-16:30"]; at most 8. */
uint32_t mw_stretches_read(mw_load *load, const mw_yaml_node *list, mw_stretch *stretches);
/* Reads `07:30` as minutes of the day (24:00 is 1440). */
bool mw_minute_read(mw_load *load, const mw_yaml_node *node, int *minute);
/* Reads a date as days since 1970-01-01. */
bool mw_day_read(mw_load *load, const mw_yaml_node *node, int32_t *day);
/* Reads the shifts, holidays, part days and temperatures of a shop. */
void mw_shop_times_read(mw_load *load, const mw_yaml_node *root, mw_shop *shop);

/* Works out a formula that must be of `type`; false: reported. */
bool mw_load_value(mw_load *load, mw_span formula, mw_type type, double *value);

#endif
