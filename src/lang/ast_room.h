/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Room in a syntax tree: asked for once before reading, so that reading itself never allocates. */
#ifndef MW_LANG_AST_ROOM_H
#define MW_LANG_AST_ROOM_H

#include "mouldwright/ast.h"

/* Makes room for whatever a text of `length` bytes can turn into. MW_NO_MEMORY: the tree is as before. */
mw_status mw_ast_room(mw_ast *ast, size_t length) MW_MUST_USE;

/* Adds an item; NULL when there is no memory. */
mw_item *mw_ast_item(mw_ast *ast) MW_MUST_USE;

#endif
