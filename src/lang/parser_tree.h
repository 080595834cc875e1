/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Growing the tree while reading. Room for it was made before (ast_room.h), so nothing here can fail. */
#ifndef MW_LANG_PARSER_TREE_H
#define MW_LANG_PARSER_TREE_H

#include <assert.h>

#include "parser.h"

static inline uint32_t mw_tree_offset(const mw_reading *reading, const char *at)
{
    return (uint32_t)(at - reading->base);
}

static inline mw_node *mw_tree_node(const mw_reading *reading, uint32_t id)
{
    return &reading->ast->nodes[id];
}

/* Adds a node; its caret stands at its beginning until the caller moves it. */
static inline uint32_t mw_tree_add(mw_reading *reading, mw_node_kind kind, uint32_t begin,
                                   uint32_t end)
{
    mw_ast *ast = reading->ast;
    assert(ast->node_count < ast->node_capacity);
    ast->nodes[ast->node_count] = (mw_node){.kind = (uint8_t)kind,
                                            .begin = begin,
                                            .end = end,
                                            .at = begin,
                                            .a = MW_NONE,
                                            .b = MW_NONE,
                                            .c = MW_NONE};
    return ast->node_count++;
}

static inline uint32_t mw_tree_part(mw_reading *reading, mw_str part)
{
    mw_ast *ast = reading->ast;
    assert(ast->part_count < ast->part_capacity);
    ast->parts[ast->part_count] = part;
    return ast->part_count++;
}

static inline uint32_t mw_tree_higher(uint32_t a, uint32_t b)
{
    return a > b ? a : b;
}

static inline mw_str mw_tree_now(const mw_reading *reading)
{
    return mw_lexer_piece(reading->now.begin, reading->now.end);
}

/* Returns the node that stands for all that could not be read. */
uint32_t mw_tree_hole(mw_reading *reading);

/* Counts one more construct that stands open; false where that is too many: reported, and the rest
 * is passed over. Give it back with reading->depth--. */
bool mw_tree_enter(mw_reading *reading) MW_MUST_USE;

/* Passes over all the rest and stays quiet about it. */
void mw_tree_give_up(mw_reading *reading);

/* Reports a tree that is too high and gives up. */
void mw_tree_too_high(mw_reading *reading);

/* The tree has grown by a node above one of this height. */
static inline void mw_tree_grow(mw_reading *reading, uint32_t height)
{
    reading->height = height + 1;
    if (reading->height > MW_TREE_HEIGHT) {
        mw_tree_too_high(reading);
    }
}

#endif
