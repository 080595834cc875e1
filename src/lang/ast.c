/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The memory of syntax trees. */
#include "mouldwright/ast.h"

#include "mouldwright/memory.h"

#include "ast_room.h"

void mw_ast_clear(mw_ast *ast)
{
    ast->node_count = 0;
    ast->link_count = 0;
    ast->part_count = 0;
    ast->item_count = 0;
}

/* Whatever becomes a node, link or part takes at least a byte of the text; one node more stands for what
 * cannot be read, and links are put aside once before they get their place. */
mw_status mw_ast_room(mw_ast *ast, size_t length)
{
    enum { SPARE = 2 };
    const size_t most = UINT32_MAX / 4;
    if (length > most || ast->node_count > most || ast->link_count > most ||
        ast->part_count > most) {
        return MW_NO_MEMORY;
    }
    uint32_t more = (uint32_t)length + SPARE;
    bool fits = ast->node_count + more <= ast->node_capacity &&
                ast->link_count + 2 * more <= ast->link_capacity &&
                ast->part_count + more <= ast->part_capacity;
    if (fits) {
        return MW_OK;
    }
    void *nodes = ast->nodes;
    void *links = ast->links;
    void *parts = ast->parts;
    bool grown =
        mw_memory_grow32(&nodes, &ast->node_capacity, ast->node_count + more, sizeof(mw_node)) &&
        mw_memory_grow32(&links, &ast->link_capacity, ast->link_count + 2 * more,
                         sizeof(uint32_t)) &&
        mw_memory_grow32(&parts, &ast->part_capacity, ast->part_count + more, sizeof(mw_str));
    ast->nodes = nodes;
    ast->links = links;
    ast->parts = parts;
    return grown ? MW_OK : MW_NO_MEMORY;
}

mw_item *mw_ast_item(mw_ast *ast)
{
    void *items = ast->items;
    if (!mw_memory_grow32(&items, &ast->item_capacity, ast->item_count + 1, sizeof(mw_item))) {
        return NULL;
    }
    ast->items = items;
    ast->items[ast->item_count] = (mw_item){.path = MW_NONE};
    return &ast->items[ast->item_count++];
}

void mw_ast_free(mw_ast *ast)
{
    mw_memory_give(ast->nodes);
    mw_memory_give(ast->links);
    mw_memory_give(ast->parts);
    mw_memory_give(ast->items);
    *ast = (mw_ast){0};
}
