/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a text of statements and as one formula: every place lies inside the text, a refusal says
 * why, and what is read can be written and reads the same again. */
#include <stdint.h>
#include <stdlib.h>

#include "mouldwright/parse.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(int condition)
{
    if (!condition) {
        abort();
    }
}

static void check_span(const mw_sources *sources, mw_span span)
{
    if (span.source != MW_NONE) {
        require(span.begin <= span.end);
        require(span.end <= mw_sources_text(sources, span.source).length);
    }
}

static void check_child(const mw_ast *ast, uint32_t child, uint32_t parent)
{
    require(child == MW_NONE || (child < ast->node_count && child != parent));
}

/* Every number in a node means something. */
static void check_node(const mw_ast *ast, const mw_sources *sources, uint32_t id)
{
    const mw_node *node = &ast->nodes[id];
    check_span(sources, (mw_span){ast->source, node->begin, node->end});
    require(node->at <= mw_sources_text(sources, ast->source).length);
    require(node->kind <= MW_NODE_AS && node->op < MW_OPERATOR_COUNT);
    bool values = node->kind == MW_NODE_LIST || node->kind == MW_NODE_CALL;
    bool parts = node->kind == MW_NODE_PATH || node->kind == MW_NODE_TEXT;
    if (parts) {
        require(node->count > 0 && node->a + node->count <= ast->part_count);
    } else if (values) {
        require(node->a + node->count <= ast->link_count);
        require(node->kind == MW_NODE_LIST || node->b < ast->part_count);
    } else {
        check_child(ast, node->a, id);
        check_child(ast, node->b, id);
        check_child(ast, node->c, id);
    }
    for (uint32_t i = 0; values && i < node->count; i++) {
        require(ast->links[node->a + i] < ast->node_count);
    }
}

static void check_diags(const mw_diags *diags, const mw_sources *sources)
{
    for (size_t i = 0; i < diags->count; i++) {
        check_span(sources, diags->items[i].span);
        check_span(sources, diags->items[i].other);
    }
    mw_text out = {0};
    mw_diags_render(diags, sources, &out);
    require(!out.failed);
    require(mw_utf8_check((mw_str){mw_text_chars(&out), out.length}) == out.length);
    mw_text_free(&out);
}

/* Writes a tree, reads that, writes it again. */
static void check_words(const mw_reader *reader, mw_sources *sources, uint32_t root)
{
    mw_text first = {0};
    mw_text second = {0};
    mw_ast_words(reader->ast, reader->measure, root, &first);
    uint32_t source =
        mw_sources_add(sources, mw_str_of("words"), (mw_str){first.data, first.length});
    mw_ast ast = {0};
    mw_reader again = {&ast, reader->measure, sources, reader->diags};
    mw_span span = {source, 0, (uint32_t)first.length};
    uint32_t read = MW_NONE;
    /* Written with blanks it may just be too long. */
    if (first.length <= 60000) {
        require(mw_parse_formula(&again, span, &read) == MW_OK);
        mw_ast_words(&ast, reader->measure, read, &second);
        require(!second.failed && first.length == second.length);
        require(
            mw_str_equal((mw_str){first.data, first.length}, (mw_str){second.data, second.length}));
    }
    mw_ast_free(&ast);
    mw_sources_drop_last(sources, source);
    mw_text_free(&first);
    mw_text_free(&second);
}

static void check_statement(const mw_reader *reader, const mw_statement *statement)
{
    const mw_ast *ast = reader->ast;
    check_span(reader->sources, statement->span);
    check_span(reader->sources, statement->formula_span);
    check_span(reader->sources, statement->name);
    check_span(reader->sources, statement->rest);
    require(statement->first_item + statement->item_count <= ast->item_count);
    for (uint32_t i = 0; i < statement->item_count; i++) {
        const mw_item *item = &ast->items[statement->first_item + i];
        check_span(reader->sources, item->name);
        check_span(reader->sources, item->value);
        require(item->value_count > 0 && item->first_value + item->value_count <= ast->link_count);
        for (uint32_t k = 0; k < item->value_count; k++) {
            require(ast->links[item->first_value + k] < ast->node_count);
        }
    }
}

static void check_tree(const mw_reader *reader)
{
    for (uint32_t i = 0; i < reader->ast->node_count; i++) {
        check_node(reader->ast, reader->sources, i);
    }
}

/* Reads the text line by line; the lines lie behind each other and cover it. */
static void read_lines(const mw_reader *reader, mw_sources *sources, uint32_t source)
{
    uint32_t at = 0;
    uint32_t before = 0;
    mw_span span;
    while (mw_next_line(sources, source, &at, &span)) {
        check_span(sources, span);
        require(span.begin >= before && at > before && at >= span.end);
        before = at;
        mw_ast_clear(reader->ast);
        mw_diags_clear(reader->diags);
        mw_statement statement;
        mw_status status = mw_parse_statement(reader, span, &statement);
        require(status == MW_OK || (status == MW_FAILED && reader->diags->errors > 0));
        require(status == MW_FAILED || reader->diags->errors == 0);
        check_diags(reader->diags, sources);
        check_tree(reader);
        if (status == MW_OK) {
            check_statement(reader, &statement);
        }
        if (status == MW_OK && statement.formula != MW_NONE) {
            check_words(reader, sources, statement.formula);
        }
    }
    require(at == mw_sources_text(sources, source).length);
}

static void read_formula(const mw_reader *reader, mw_sources *sources, mw_span span)
{
    mw_ast_clear(reader->ast);
    mw_diags_clear(reader->diags);
    uint32_t root = MW_NONE;
    mw_status status = mw_parse_formula(reader, span, &root);
    require(status == MW_OK || (status == MW_FAILED && reader->diags->errors > 0));
    require((status == MW_OK) == (root != MW_NONE));
    check_diags(reader->diags, sources);
    check_tree(reader);
    if (status == MW_OK) {
        check_words(reader, sources, root);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static mw_measure *measure; /* made once: it is what takes long */
    if (measure == NULL) {
        measure = mw_measure_new();
    }
    mw_sources *sources = mw_sources_new();
    mw_diags diags;
    mw_ast ast = {0};
    if (measure == NULL || sources == NULL || mw_diags_start(&diags) != MW_OK) {
        abort();
    }
    mw_str text = {(const char *)data, size};
    uint32_t source = mw_sources_add(sources, mw_str_of("fuzz"), text);
    require(source != MW_NONE);
    mw_reader reader = {&ast, measure, sources, &diags};
    read_lines(&reader, sources, source);
    read_formula(&reader, sources, (mw_span){source, 0, (uint32_t)size});
    read_formula(&reader, sources, (mw_span){source, (uint32_t)size / 3, (uint32_t)size / 2});
    mw_line_complete(text);
    mw_is_name(text);
    mw_ast_free(&ast);
    mw_diags_free(&diags);
    mw_sources_free(sources);
    return 0;
}
