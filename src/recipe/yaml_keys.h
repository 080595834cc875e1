/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Finds keys that a map has twice: by looking through a small map, by a hash table for big ones. */
#ifndef RECIPE_YAML_KEYS_H
#define RECIPE_YAML_KEYS_H

#include "recipe/yaml_tree.h"

/* Returns the child of the frame's map that has the key of `node`, or NULL; remembers `node` for
 * later. Call it before `node` is linked in. Sets tree->no_memory (and returns NULL) when there is
 * no memory. */
const mw_yaml_node *mw_yaml_key_twice(mw_yaml_tree *tree, const mw_yaml_frame *frame,
                                      const mw_yaml_node *node);

#endif
