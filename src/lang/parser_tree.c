/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Beginning and ending to read, and the limits of what is read. */
#include "parser_tree.h"

#include "ast_room.h"

mw_span mw_parser_span(const mw_reading *reading, const char *begin, const char *end)
{
    return (mw_span){reading->source, mw_tree_offset(reading, begin), mw_tree_offset(reading, end)};
}

/* The node that stands for all that could not be read: whoever gets the tree never sees it. */
uint32_t mw_tree_hole(mw_reading *reading)
{
    if (reading->hole == MW_NONE) {
        reading->hole = mw_tree_add(reading, MW_NODE_NUMBER, 0, 0);
    }
    reading->height = 1;
    return reading->hole;
}

void mw_parser_put(mw_reading *reading, uint32_t child)
{
    assert(reading->pending > reading->ast->link_count);
    reading->ast->links[--reading->pending] = child;
}

uint32_t mw_parser_gather(mw_reading *reading, uint32_t count)
{
    mw_ast *ast = reading->ast;
    uint32_t first = ast->link_count;
    assert(first + count <= reading->pending);
    for (uint32_t i = count; i > 0; i--) {
        ast->links[ast->link_count++] = ast->links[reading->pending + i - 1];
    }
    reading->pending += count;
    return first;
}

/* Passes over all the rest and stays quiet about it. */
void mw_tree_give_up(mw_reading *reading)
{
    reading->quiet = true;
    reading->at = reading->end;
    mw_lexer_next(reading);
}

bool mw_tree_enter(mw_reading *reading)
{
    if (++reading->depth <= MW_DEPTH_MAX) {
        return true;
    }
    mw_lexer_error(reading, MW_CODE_TOO_DEEP, mw_tree_now(reading),
                   "more than %d brackets, signs or choices stand inside each other", MW_DEPTH_MAX);
    mw_tree_give_up(reading);
    return false;
}

void mw_tree_too_high(mw_reading *reading)
{
    mw_lexer_error(reading, MW_CODE_TOO_DEEP, mw_tree_now(reading),
                   "more than %d signs follow each other in one formula", MW_TREE_HEIGHT);
    mw_tree_give_up(reading);
}

void mw_parser_too_long(mw_reading *reading, mw_str text, uint32_t limit)
{
    mw_lexer_error(reading, MW_CODE_TOO_LONG, (mw_str){text.at, 1},
                   "this has %zu bytes; at most %u are read in one piece", text.length,
                   (unsigned)limit);
}

/* Field by field, since clearing the whole would take as long as reading a short formula. What is not
 * set here is set by the first token. */
static void start_reading(mw_reading *reading, const mw_reader *reader)
{
    const mw_ast *ast = reader->ast;
    reading->now.begin = NULL;
    reading->now.end = NULL;
    reading->now.kind = MW_TOKEN_END;
    reading->now.number = 0;
    reading->now.unit = MW_UNIT_ONE;
    reading->depth = 0;
    reading->height = 0;
    reading->hole = MW_NONE;
    reading->commas = false;
    reading->joiners = false;
    reading->fields = false;
    reading->failed = false;
    reading->quiet = false;
    reading->no_memory = false;
    reading->ast = reader->ast;
    reading->measure = reader->measure;
    reading->diags = reader->diags;
    reading->node_count = ast->node_count;
    reading->link_count = ast->link_count;
    reading->part_count = ast->part_count;
    reading->item_count = ast->item_count;
}

mw_status mw_parser_begin(mw_reading *reading, const mw_reader *reader, mw_span span,
                          uint32_t limit)
{
    mw_ast *ast = reader->ast;
    mw_str whole = mw_sources_text(reader->sources, span.source);
    assert(span.begin <= span.end && span.end <= whole.length);
    start_reading(reading, reader);
    reading->base = whole.at;
    reading->at = whole.at + span.begin;
    reading->end = whole.at + span.end;
    reading->source = span.source;
    uint32_t length = span.end - span.begin;
    if (length > limit) {
        mw_parser_too_long(reading, mw_lexer_piece(reading->at, reading->end), limit);
        return MW_FAILED;
    }
    if (mw_ast_room(ast, length) != MW_OK) {
        return MW_NO_MEMORY;
    }
    reading->pending = ast->link_capacity;
    ast->source = span.source;
    mw_lexer_next(reading);
    return MW_OK;
}

mw_status mw_parser_end(mw_reading *reading)
{
    if (!reading->failed && !reading->no_memory) {
        return MW_OK;
    }
    mw_ast *ast = reading->ast;
    ast->node_count = reading->node_count;
    ast->link_count = reading->link_count;
    ast->part_count = reading->part_count;
    ast->item_count = reading->item_count;
    return reading->no_memory ? MW_NO_MEMORY : MW_FAILED;
}

mw_status mw_parse_formula(const mw_reader *reader, mw_span span, uint32_t *root)
{
    mw_reading reading;
    *root = MW_NONE;
    mw_status status = mw_parser_begin(&reading, reader, span, MW_FORMULA_BYTES);
    if (status != MW_OK) {
        return status;
    }
    uint32_t read = mw_parser_formula(&reading);
    if (reading.now.kind != MW_TOKEN_END) {
        mw_parser_misfit(&reading);
    }
    status = mw_parser_end(&reading);
    *root = status == MW_OK ? read : MW_NONE;
    return status;
}
