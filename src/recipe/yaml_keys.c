/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One table serves all big maps of a file: entries carry the map's number, and nothing is ever taken
 * out, so the cost is the same for every key. */
#include "recipe/yaml_keys.h"

#include <string.h>

#include "mouldwright/memory.h"
#include "mouldwright/names.h"

enum { SMALL_MAP = 16, FIRST_BITS = 8 };

static bool same_key(mw_str a, mw_str b)
{
    return a.length == b.length && memcmp(a.at, b.at, a.length) == 0;
}

static uint32_t hash_key(uint32_t map, mw_str key)
{
    uint32_t hash = mw_names_hash(key) ^ (map * UINT32_C(0x9e3779b9));
    return (hash ^ (hash >> 15)) * UINT32_C(0x85ebca6b);
}

/* The first place of a hash: its upper bits, which the multiplication has mixed best. */
static uint32_t first_place(uint32_t bits, uint32_t hash)
{
    return hash >> (32 - bits);
}

static void put_slot(mw_yaml_slot *slots, uint32_t bits, mw_yaml_slot slot)
{
    uint32_t mask = ((uint32_t)1 << bits) - 1;
    uint32_t at = first_place(bits, slot.hash);
    while (slots[at].node != NULL) {
        at = (at + 1) & mask;
    }
    slots[at] = slot;
}

/* Makes room for one more key; the table is never more than half full. */
static bool make_room(mw_yaml_tree *tree)
{
    uint32_t size = tree->slots == NULL ? 0 : (uint32_t)1 << tree->slot_bits;
    if ((tree->slot_used + 1) * 2 <= size) {
        return true;
    }
    uint32_t bits = size == 0 ? FIRST_BITS : tree->slot_bits + 1;
    mw_yaml_slot *slots = mw_memory_get(((size_t)1 << bits) * sizeof *slots);
    if (slots == NULL) {
        tree->no_memory = true;
        return false;
    }
    for (uint32_t i = 0; i < size; i++) {
        if (tree->slots[i].node != NULL) {
            put_slot(slots, bits, tree->slots[i]);
        }
    }
    mw_memory_give(tree->slots);
    tree->slots = slots;
    tree->slot_bits = bits;
    return true;
}

static const mw_yaml_node *find_slot(const mw_yaml_tree *tree, mw_yaml_slot wanted)
{
    if (tree->slots == NULL) {
        return NULL;
    }
    uint32_t mask = ((uint32_t)1 << tree->slot_bits) - 1;
    uint32_t at = first_place(tree->slot_bits, wanted.hash);
    for (; tree->slots[at].node != NULL; at = (at + 1) & mask) {
        const mw_yaml_slot *slot = &tree->slots[at];
        if (slot->hash == wanted.hash && slot->map == wanted.map &&
            same_key(slot->node->key, wanted.node->key)) {
            return slot->node;
        }
    }
    return NULL;
}

static bool remember(mw_yaml_tree *tree, mw_yaml_slot slot)
{
    if (!make_room(tree)) {
        return false;
    }
    put_slot(tree->slots, tree->slot_bits, slot);
    tree->slot_used++;
    return true;
}

static mw_yaml_slot slot_of(const mw_yaml_frame *frame, const mw_yaml_node *node)
{
    return (mw_yaml_slot){node, frame->id, hash_key(frame->id, node->key)};
}

const mw_yaml_node *mw_yaml_key_twice(mw_yaml_tree *tree, const mw_yaml_frame *frame,
                                      const mw_yaml_node *node)
{
    const mw_yaml_node *map = frame->node;
    if (map->count < SMALL_MAP) {
        for (const mw_yaml_node *child = map->first; child != NULL; child = child->next) {
            if (same_key(child->key, node->key)) {
                return child;
            }
        }
        return NULL;
    }
    if (map->count == SMALL_MAP) {
        for (const mw_yaml_node *child = map->first; child != NULL; child = child->next) {
            if (!remember(tree, slot_of(frame, child))) {
                return NULL;
            }
        }
    }
    mw_yaml_slot slot = slot_of(frame, node);
    const mw_yaml_node *twin = find_slot(tree, slot);
    if (twin == NULL) {
        remember(tree, slot);
    }
    return twin;
}
