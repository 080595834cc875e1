/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the tests of reading share: a text is read, and the tree or the messages are written in a form that
 * shows every bracket and place, by code that has nothing in common with the program's own. */
#ifndef TESTS_LANG_FRONT_H
#define TESTS_LANG_FRONT_H

#include "support.h"

#include <stdio.h>
#include <string.h>

#include "mouldwright/parse.h"

/* A text that is being read. */
typedef struct front {
    mw_measure *measure;
    mw_sources *sources;
    mw_diags diags;
    mw_ast ast;
    mw_reader reader;
    uint32_t source;
    uint32_t shift; /* where the text begins that messages count from */
    mw_text out;    /* scratch for what the functions below return */
} front;

static inline void front_open(front *f, mw_str text)
{
    *f = (front){.measure = mw_measure_new(), .sources = mw_sources_new()};
    assert_non_null(f->measure);
    assert_non_null(f->sources);
    assert_int_equal(mw_diags_start(&f->diags), MW_OK);
    f->source = mw_sources_add(f->sources, mw_str_of("test"), text);
    assert_int_not_equal(f->source, MW_NONE);
    f->reader = (mw_reader){&f->ast, f->measure, f->sources, &f->diags};
}

static inline void front_close(front *f)
{
    mw_text_free(&f->out);
    mw_ast_free(&f->ast);
    mw_diags_free(&f->diags);
    mw_sources_free(f->sources);
    mw_measure_free(f->measure);
}

/* The span of the whole text. */
static inline mw_span front_whole(const front *f)
{
    return (mw_span){f->source, 0, (uint32_t)mw_sources_text(f->sources, f->source).length};
}

static const char *const front_signs[MW_OPERATOR_COUNT] = {
    "+", "-", "*", "/", "^", "<", "<=", "=", "<>", ">=", ">", "and", "or",
};

static inline void front_dump(front *f, uint32_t id);

static inline void front_dump_children(front *f, const mw_node *node)
{
    for (uint32_t i = 0; i < node->count; i++) {
        mw_text_addc(&f->out, ' ');
        front_dump(f, f->ast.links[node->a + i]);
    }
}

static inline void front_dump_form(front *f, const char *word, const uint32_t *children,
                                   size_t count)
{
    mw_text_addf(&f->out, "(%s", word);
    for (size_t i = 0; i < count; i++) {
        mw_text_addc(&f->out, ' ');
        if (children[i] == MW_NONE) {
            mw_text_addc(&f->out, '-');
        } else {
            front_dump(f, children[i]);
        }
    }
    mw_text_addc(&f->out, ')');
}

static inline void front_dump_parts(front *f, const mw_node *node)
{
    for (uint32_t i = 0; i < node->count; i++) {
        mw_text_adds(&f->out, i > 0 ? "." : "");
        mw_text_add_str(&f->out, f->ast.parts[node->a + i]);
    }
}

static inline void front_dump_number(front *f, const mw_node *node)
{
    mw_text_addf(&f->out, "%.17g", node->number);
    if (node->unit != MW_UNIT_ONE) {
        mw_text_addc(&f->out, '[');
        mw_unit_words(f->measure, node->unit, &f->out);
        mw_text_addc(&f->out, ']');
    }
}

static inline void front_dump_many(front *f, const mw_node *node)
{
    mw_text_adds(&f->out, node->kind == MW_NODE_CALL ? "(call " : "(list");
    if (node->kind == MW_NODE_CALL) {
        mw_text_add_str(&f->out, f->ast.parts[node->b]);
    }
    front_dump_children(f, node);
    mw_text_addc(&f->out, ')');
}

/* Adds a tree as (sign left right): `1 + 2 kg` is (+ 1 2[kg]). */
static inline void front_dump(front *f, uint32_t id)
{
    const mw_node *node = &f->ast.nodes[id];
    const uint32_t children[3] = {node->a, node->b, node->c};
    switch ((mw_node_kind)node->kind) {
    case MW_NODE_NUMBER:
        front_dump_number(f, node);
        break;
    case MW_NODE_DATE:
        mw_text_addf(&f->out, "@%.17g", node->number);
        break;
    case MW_NODE_TEXT:
        mw_text_addc(&f->out, '"');
        front_dump_parts(f, node);
        mw_text_addc(&f->out, '"');
        break;
    case MW_NODE_TRUTH:
        mw_text_adds(&f->out, node->number != 0 ? "yes" : "no");
        break;
    case MW_NODE_PATH:
        front_dump_parts(f, node);
        break;
    case MW_NODE_USUAL:
        mw_text_adds(&f->out, "usual");
        break;
    case MW_NODE_LIST:
    case MW_NODE_CALL:
        front_dump_many(f, node);
        break;
    case MW_NODE_RANGE:
        front_dump_form(f, "..", children, 3);
        break;
    case MW_NODE_NEGATE:
        front_dump_form(f, "neg", children, 1);
        break;
    case MW_NODE_NOT:
        front_dump_form(f, "not", children, 1);
        break;
    case MW_NODE_BINARY:
        front_dump_form(f, front_signs[node->op], children, 2);
        break;
    case MW_NODE_IF:
        front_dump_form(f, "if", children, 3);
        break;
    case MW_NODE_AS:
        mw_text_adds(&f->out, "(as ");
        front_dump(f, node->a);
        mw_text_addc(&f->out, ' ');
        mw_unit_words(f->measure, node->unit, &f->out);
        mw_text_addc(&f->out, ')');
        break;
    }
}

/* Returns a tree as text, valid until the next call. */
static inline const char *front_tree(front *f, uint32_t root)
{
    mw_text_clear(&f->out);
    front_dump(f, root);
    assert_false(f->out.failed);
    return mw_text_chars(&f->out);
}

/* Returns the messages, one a line: `code begin..end message`, and `| try`. */
static inline const char *front_messages(front *f)
{
    mw_text_clear(&f->out);
    for (size_t i = 0; i < f->diags.count; i++) {
        const mw_diag *diag = &f->diags.items[i];
        mw_text_addf(&f->out, "%s%s %u..%u %s", i > 0 ? "\n" : "", mw_code_word(diag->code),
                     (unsigned)(diag->span.begin - f->shift), (unsigned)(diag->span.end - f->shift),
                     diag->message);
        if (diag->advice != NULL) {
            mw_text_addf(&f->out, " | %s", diag->advice);
        }
    }
    assert_false(f->out.failed);
    return mw_text_chars(&f->out);
}

/* Reads a formula alone; returns its tree, or the messages, valid until front_close(). */
static inline const char *front_read(front *f, mw_span span)
{
    uint32_t root = MW_NONE;
    mw_diags_clear(&f->diags);
    mw_ast_clear(&f->ast);
    mw_status status = mw_parse_formula(&f->reader, span, &root);
    return status == MW_OK ? front_tree(f, root) : front_messages(f);
}

/* What stands around a formula must not matter: reads it alone and inside other texts. */
static inline void front_check_inside(const char *text)
{
    static const char *const around[] = {"5",  ".5",   "e5", "x",      "_x",  "/2 in", " kg",
                                         "%",  "\"",   "'5", ",5",     "=",   ")",     "]",
                                         "\n", "\\\n", " #", "\u00E4", ". 5", "-01-01"};
    front alone;
    front_open(&alone, mw_str_of(text));
    const char *want = front_read(&alone, front_whole(&alone));
    for (size_t i = 0; i < sizeof around / sizeof around[0]; i++) {
        char more[600];
        int length = snprintf(more, sizeof more, "%s%s%s", around[i], text, around[i]);
        assert_in_range(length, 0, sizeof more - 1);
        front inside;
        front_open(&inside, mw_str_of(more));
        inside.shift = (uint32_t)strlen(around[i]);
        mw_span span = {inside.source, inside.shift, inside.shift + (uint32_t)strlen(text)};
        if (strcmp(front_read(&inside, span), want) != 0) {
            fail_msg("\"%s\" between \"%s\": %s", text, around[i], mw_text_chars(&inside.out));
        }
        front_close(&inside);
    }
    front_close(&alone);
}

/* Fails when a message has words that only makers of such programs use. */
static inline void front_check_words(const front *f)
{
    static const char *const banned[] = {"token",    "expression", "identifier", "unexpected",
                                         "illegal",  "invalid",    "parse",      "operand",
                                         "operator", "literal",    "syntax",     "EOF"};
    for (size_t i = 0; i < f->diags.count; i++) {
        for (size_t k = 0; k < sizeof banned / sizeof banned[0]; k++) {
            if (strstr(f->diags.items[i].message, banned[k]) != NULL) {
                fail_msg("\"%s\" says \"%s\"", f->diags.items[i].message, banned[k]);
            }
        }
    }
}

#endif
