/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Builds the tree of a file from what libyaml reports, without libyaml: nodes, places, keys that
 * come twice, limits. */
#ifndef RECIPE_YAML_TREE_H
#define RECIPE_YAML_TREE_H

#include "mouldwright/yaml.h"

typedef enum mw_yaml_style {
    MW_YAML_PLAIN,
    MW_YAML_QUOTED,
    MW_YAML_LITERAL,
    MW_YAML_FOLDED
} mw_yaml_style;

/* A scalar as it is read: `value` is only lent. */
typedef struct mw_yaml_scalar {
    mw_str value;
    mw_yaml_style style;
    uint32_t begin; /* bytes in the source, quotes or `|` included */
    uint32_t end;
} mw_yaml_scalar;

/* A list or map that is not closed yet. */
typedef struct mw_yaml_frame {
    mw_yaml_node *node;
    mw_yaml_node *last; /* its newest child */
    uint32_t id;        /* counts lists and maps of the file */
    bool flow;          /* between brackets */
    bool has_key;       /* a map whose key was read and whose value comes next */
    mw_str key;
    mw_span key_span;
} mw_yaml_frame;

/* A place in the table of the keys of big maps. */
typedef struct mw_yaml_slot {
    const mw_yaml_node *node; /* NULL: free */
    uint32_t map;             /* id of the frame */
    uint32_t hash;
} mw_yaml_slot;

/* Start from {sources, source, text, arena, diags}; end with mw_yaml_tree_end(). */
typedef struct mw_yaml_tree {
    const mw_sources *sources;
    uint32_t source;
    mw_str text; /* of the source */
    mw_arena *arena;
    mw_diags *diags;

    mw_yaml_node *root;
    mw_yaml_frame frames[MW_YAML_DEPTH];
    uint32_t depth;
    uint32_t node_count;
    uint32_t frame_count; /* lists and maps so far */
    mw_yaml_node *spare;  /* nodes taken from the arena ahead */
    uint32_t spare_count;

    mw_yaml_slot *slots; /* keys of maps with many: 2^slot_bits places */
    uint32_t slot_bits;
    uint32_t slot_used;

    mw_span last_scalar; /* for explaining what is wrong behind it */
    bool last_quoted;
    uint32_t last_flow_end; /* byte behind the newest closing bracket; MW_NONE */

    bool stopped;   /* a limit or a form that cannot be gone past: reported */
    bool no_memory; /* sticky */
} mw_yaml_tree;

/* What each of these is told: bytes in the source. They return false when reading must stop (see
 * `stopped`, `no_memory`). */
bool mw_yaml_tree_open(mw_yaml_tree *tree, mw_yaml_kind kind, bool flow, uint32_t begin);
bool mw_yaml_tree_close(mw_yaml_tree *tree, uint32_t begin, uint32_t end);
bool mw_yaml_tree_scalar(mw_yaml_tree *tree, const mw_yaml_scalar *scalar);

void mw_yaml_tree_end(mw_yaml_tree *tree);

/* Makes a span of the tree's source. */
mw_span mw_yaml_span(const mw_yaml_tree *tree, uint32_t begin, uint32_t end);

#endif
