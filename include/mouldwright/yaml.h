/* SPDX-License-Identifier: GPL-3.0-or-later */
/* YAML files as a tree with positions, read from libyaml's events under our own limits. */
#ifndef MOULDWRIGHT_YAML_H
#define MOULDWRIGHT_YAML_H

#include "mouldwright/diag.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum mw_yaml_kind { MW_YAML_SCALAR, MW_YAML_LIST, MW_YAML_MAP } mw_yaml_kind;

/* A node. Children of a list are linked by `next`; those of a map are its values, each with its key.
 * A scalar is in place if its bytes stand in the source as they are, so that `span` is exactly its
 * text and a place inside it can be shown: plain, quoted on one line without escapes, or a literal
 * block. The text of a literal block is without indentation; its span goes from its first to its
 * last visible character, the indentation of further lines included. */
typedef struct mw_yaml_node {
    uint8_t kind;   /* mw_yaml_kind */
    bool plain;     /* a scalar without quotes */
    bool in_place;  /* a scalar, see above */
    bool literal;   /* a block after `|`, see above */
    uint32_t count; /* children */
    mw_span span;   /* of the value: for a scalar its text without quotes */
    mw_str text;    /* scalar: its text */
    mw_str key;     /* as a map's child */
    mw_span key_span;
    const struct mw_yaml_node *first; /* child */
    const struct mw_yaml_node *next;  /* in the same parent */
} mw_yaml_node;

/* Limits. One document, no anchors, aliases or tags. */
#define MW_YAML_DEPTH        64        /* lists and maps inside each other */
#define MW_YAML_NODES        2000000u  /* values in a file */
#define MW_YAML_SCALAR_BYTES 65536u    /* of one text or key */
#define MW_YAML_FILE_BYTES   67108864u /* of a file */

/* Reads the whole source into a tree owned by `arena`; `*root` is its top. MW_FAILED: diagnostics (syntax, a key
 * twice with both lines, alias, limits, bytes that are no UTF-8) with file, line and column. An empty file is
 * an empty map. Texts that stand in place are borrowed from the source, the others belong to the
 * arena. MW_NO_MEMORY: what was taken from the arena stays there until it is rewound. */
mw_status mw_yaml_read(const mw_sources *sources, uint32_t source, mw_arena *arena,
                       const mw_yaml_node **root, mw_diags *diags) MW_MUST_USE;

/* Returns the child with that key, or NULL. */
const mw_yaml_node *mw_yaml_find(const mw_yaml_node *map, const char *key);

#ifdef __cplusplus
}
#endif

#endif
