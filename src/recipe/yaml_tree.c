/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Building the tree. Texts that stand in the source as they are stay there: the tree borrows them. */
#include "recipe/yaml_tree.h"

#include <assert.h>
#include <string.h>

#include "mouldwright/memory.h"
#include "recipe/yaml_keys.h"
#include "recipe/yaml_text.h"

enum { NODES_AHEAD = 64 };

mw_span mw_yaml_span(const mw_yaml_tree *tree, uint32_t begin, uint32_t end)
{
    return (mw_span){tree->source, begin, end < begin ? begin : end};
}

static bool stop(mw_yaml_tree *tree)
{
    tree->stopped = true;
    return false;
}

static bool stop_no_memory(mw_yaml_tree *tree)
{
    tree->no_memory = true;
    return false;
}

/* Returns a fresh node with its place; NULL when there is no memory or the limit was reached. */
static mw_yaml_node *new_node(mw_yaml_tree *tree, mw_yaml_kind kind, mw_span span)
{
    if (tree->node_count == MW_YAML_NODES) {
        mw_diags_error(tree->diags, MW_CODE_TOO_BIG, span, "the file has more than %u values",
                       MW_YAML_NODES);
        tree->stopped = true;
        return NULL;
    }
    if (tree->spare_count == 0) {
        tree->spare = mw_arena_get(tree->arena, NODES_AHEAD * sizeof *tree->spare);
        if (tree->spare == NULL) {
            tree->no_memory = true;
            return NULL;
        }
        tree->spare_count = NODES_AHEAD;
    }
    mw_yaml_node *node = tree->spare++;
    tree->spare_count--;
    tree->node_count++;
    node->kind = (uint8_t)kind;
    node->span = span;
    return node;
}

static void report_twice(mw_yaml_tree *tree, const mw_yaml_node *first, const mw_yaml_frame *frame)
{
    int length = (int)(frame->key.length < 60 ? frame->key.length : 60);
    mw_diag *diag =
        mw_diags_error(tree->diags, MW_CODE_YAML_TWICE, frame->key_span,
                       "the key `%.*s` stands here for the second time", length, frame->key.at);
    mw_diag_other(tree->diags, diag, first->key_span, "the first is here");
}

/* Puts a node where the next value belongs: into the open list, behind the open key, or on top. */
static bool link_node(mw_yaml_tree *tree, mw_yaml_node *node)
{
    if (tree->depth == 0) {
        assert(tree->root == NULL);
        tree->root = node;
        return true;
    }
    mw_yaml_frame *frame = &tree->frames[tree->depth - 1];
    if (frame->node->kind == MW_YAML_MAP) {
        node->key = frame->key;
        node->key_span = frame->key_span;
        frame->has_key = false;
        const mw_yaml_node *twin = mw_yaml_key_twice(tree, frame, node);
        if (twin != NULL) {
            report_twice(tree, twin, frame);
        }
    }
    if (frame->last == NULL) {
        frame->node->first = node;
    } else {
        frame->last->next = node;
    }
    frame->last = node;
    frame->node->count++;
    return !tree->no_memory;
}

/* Whether the open frame is a map that waits for a key. */
static bool wants_key(const mw_yaml_tree *tree)
{
    if (tree->depth == 0) {
        return false;
    }
    const mw_yaml_frame *frame = &tree->frames[tree->depth - 1];
    return frame->node->kind == MW_YAML_MAP && !frame->has_key;
}

bool mw_yaml_tree_open(mw_yaml_tree *tree, mw_yaml_kind kind, bool flow, uint32_t begin)
{
    mw_span span = mw_yaml_span(tree, begin, mw_yaml_word_end(tree->text, begin));
    if (wants_key(tree)) {
        mw_diags_error(tree->diags, MW_CODE_YAML_FORM, span,
                       "a key must be a text, but a %s stands here",
                       kind == MW_YAML_LIST ? "list" : "map");
        return stop(tree);
    }
    if (tree->depth == MW_YAML_DEPTH) {
        mw_diag *diag =
            mw_diags_error(tree->diags, MW_CODE_TOO_DEEP, span,
                           "more than %d lists and maps stand inside each other", MW_YAML_DEPTH);
        mw_diag_try(tree->diags, diag, "write it flatter");
        return stop(tree);
    }
    mw_yaml_node *node = new_node(tree, kind, mw_yaml_span(tree, begin, begin));
    if (node == NULL || !link_node(tree, node)) {
        return false;
    }
    tree->frames[tree->depth++] =
        (mw_yaml_frame){.node = node, .id = tree->frame_count++, .flow = flow};
    return true;
}

bool mw_yaml_tree_close(mw_yaml_tree *tree, uint32_t begin, uint32_t end)
{
    assert(tree->depth > 0);
    const mw_yaml_frame *frame = &tree->frames[--tree->depth];
    if (end > begin) {
        tree->last_flow_end = end;
    } else if (frame->last != NULL) {
        /* Without a closing bracket libyaml reports the next word, after comments and blank lines. */
        end = frame->last->span.end;
        uint32_t key_end = frame->last->key_span.end;
        end = end < key_end ? key_end : end;
    } else {
        end = frame->node->span.begin;
    }
    frame->node->span.end = end < frame->node->span.begin ? frame->node->span.begin : end;
    return true;
}

/* --- scalars --------------------------------------------------------------------------------- */

/* Returns the piece of the source that is the text, if it stands there as it is. */
static mw_span inner_span(const mw_yaml_tree *tree, const mw_yaml_scalar *scalar)
{
    if (scalar->style == MW_YAML_QUOTED && scalar->end >= scalar->begin + 2) {
        return mw_yaml_span(tree, scalar->begin + 1, scalar->end - 1);
    }
    return mw_yaml_span(tree, scalar->begin, scalar->end);
}

static bool is_blank(mw_str text, uint32_t at)
{
    return text.at[at] == ' ' || text.at[at] == '\t';
}

/* Returns the place from the first to the last visible character of a block behind its header. */
static mw_span block_span(const mw_yaml_tree *tree, const mw_yaml_scalar *scalar)
{
    mw_str text = tree->text;
    uint32_t begin = scalar->begin;
    uint32_t end = scalar->end;
    while (begin < end && mw_yaml_break(text, begin) == 0) {
        begin++;
    }
    while (begin < end && (is_blank(text, begin) || mw_yaml_break(text, begin) > 0)) {
        size_t length = mw_yaml_break(text, begin);
        begin += length > 0 ? (uint32_t)length : 1;
    }
    begin = begin > end ? end : begin;
    while (end > begin && strchr(" \t\r\n", text.at[end - 1]) != NULL) {
        end--;
    }
    return mw_yaml_span(tree, begin, end);
}

static bool stands_at(const mw_yaml_tree *tree, mw_str value, mw_span span)
{
    return value.length == span.end - span.begin &&
           memcmp(value.at, tree->text.at + span.begin, value.length) == 0;
}

/* Fills text and place of a scalar: borrowed from the source, or copied. */
static bool place_scalar(mw_yaml_tree *tree, const mw_yaml_scalar *scalar, mw_yaml_node *node)
{
    bool block = scalar->style == MW_YAML_LITERAL || scalar->style == MW_YAML_FOLDED;
    node->span = block ? block_span(tree, scalar) : inner_span(tree, scalar);
    node->plain = scalar->style == MW_YAML_PLAIN;
    node->literal = scalar->style == MW_YAML_LITERAL;
    node->in_place = node->literal || (!block && stands_at(tree, scalar->value, node->span));
    if (stands_at(tree, scalar->value, node->span)) {
        node->text = (mw_str){tree->text.at + node->span.begin, scalar->value.length};
        return true;
    }
    char *copy = mw_arena_copy(tree->arena, scalar->value.at, scalar->value.length);
    node->text = (mw_str){copy, scalar->value.length};
    return copy != NULL || stop_no_memory(tree);
}

static bool scalar_is_too_long(mw_yaml_tree *tree, const mw_yaml_scalar *scalar)
{
    if (scalar->value.length <= MW_YAML_SCALAR_BYTES) {
        return false;
    }
    uint32_t end = mw_yaml_word_end(tree->text, scalar->begin);
    mw_diags_error(tree->diags, MW_CODE_TOO_LONG, mw_yaml_span(tree, scalar->begin, end),
                   "the text that begins here has %zu bytes; at most %u are read",
                   scalar->value.length, MW_YAML_SCALAR_BYTES);
    return true;
}

static bool take_key(mw_yaml_tree *tree, const mw_yaml_scalar *scalar)
{
    mw_yaml_node key = {.kind = MW_YAML_SCALAR};
    if (!place_scalar(tree, scalar, &key)) {
        return false;
    }
    if (key.text.length == 0) {
        uint32_t end = mw_yaml_word_end(tree->text, scalar->begin);
        mw_diags_error(tree->diags, MW_CODE_YAML_FORM, mw_yaml_span(tree, scalar->begin, end),
                       "a key is missing before the colon");
        return stop(tree);
    }
    mw_yaml_frame *frame = &tree->frames[tree->depth - 1];
    frame->has_key = true;
    frame->key = key.text;
    frame->key_span = key.span;
    return true;
}

bool mw_yaml_tree_scalar(mw_yaml_tree *tree, const mw_yaml_scalar *scalar)
{
    if (scalar_is_too_long(tree, scalar)) {
        return stop(tree);
    }
    tree->last_scalar = mw_yaml_span(tree, scalar->begin, scalar->end);
    tree->last_quoted = scalar->style == MW_YAML_QUOTED;
    if (wants_key(tree)) {
        return take_key(tree, scalar);
    }
    mw_yaml_node *node = new_node(tree, MW_YAML_SCALAR, mw_yaml_span(tree, 0, 0));
    return node != NULL && place_scalar(tree, scalar, node) && link_node(tree, node);
}

void mw_yaml_tree_end(mw_yaml_tree *tree)
{
    mw_memory_give(tree->slots);
    tree->slots = NULL;
}
