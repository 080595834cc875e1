/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A strict reader of JSON (RFC 8259) for tests: shares no code with the writer. Duplicate keys are
 * refused too. */
#ifndef TESTS_REPORT_JSON_H
#define TESTS_REPORT_JSON_H

#include "support.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#define JSON_NODES_MAX 60000
#define JSON_NONE      0

typedef struct json_node {
    char kind;       /* { [ " 0 t f n */
    const char *key; /* inside the text, without its quotes */
    size_t key_length;
    const char *text; /* of strings, as written */
    size_t length;
    double number;
    unsigned first, next; /* JSON_NONE: none */
} json_node;

typedef struct json_tree {
    json_node *nodes; /* nodes[1] is the top */
    unsigned count;
    const char *at, *end;
    const char *fault; /* NULL: well-formed */
    unsigned depth;
} json_tree;

static inline unsigned json_value(json_tree *tree);

static inline unsigned json_refuse(json_tree *tree, const char *why)
{
    tree->fault = tree->fault ? tree->fault : why;
    return JSON_NONE;
}

static inline char json_here(const json_tree *tree)
{
    return tree->at < tree->end ? *tree->at : '\0';
}

static inline void json_blanks(json_tree *tree)
{
    while (tree->at < tree->end && strchr(" \t\r\n", *tree->at) && *tree->at) {
        tree->at++;
    }
}

/* Bytes of a UTF-8 sequence, 0: not one (RFC 3629). */
static inline size_t json_sequence(const unsigned char *at, size_t left)
{
    size_t length = at[0] < 0x80 ? 1 : at[0] < 0xC2 ? 0 : at[0] < 0xE0 ? 2 : at[0] < 0xF0 ? 3 : 4;
    if (length == 0 || length > left || at[0] > 0xF4) {
        return 0;
    }
    for (size_t i = 1; i < length; i++) {
        if ((at[i] & 0xC0) != 0x80) {
            return 0;
        }
    }
    bool long_form = (at[0] == 0xE0 && at[1] < 0xA0) || (at[0] == 0xF0 && at[1] < 0x90);
    bool outside = (at[0] == 0xED && at[1] > 0x9F) || (at[0] == 0xF4 && at[1] > 0x8F);
    return long_form || outside ? 0 : length;
}

static inline size_t json_escape(const char *at, size_t left)
{
    if (left < 2 || at[1] == '\0' || !strchr("\"\\/bfnrtu", at[1])) {
        return 0;
    }
    for (size_t i = 2; at[1] == 'u' && i < 6; i++) {
        if (i >= left || !isxdigit((unsigned char)at[i])) {
            return 0;
        }
    }
    return at[1] == 'u' ? 6 : 2;
}

static inline bool json_string(json_tree *tree, const char **text, size_t *length)
{
    if (json_here(tree) != '"') {
        json_refuse(tree, "a string is expected");
        return false;
    }
    *text = ++tree->at;
    while (tree->at < tree->end && *tree->at != '"') {
        size_t left = (size_t)(tree->end - tree->at);
        size_t step = *tree->at == '\\' ? json_escape(tree->at, left)
                      : (unsigned char)*tree->at < 0x20
                          ? 0
                          : json_sequence((const unsigned char *)tree->at, left);
        if (step == 0) {
            json_refuse(tree, "a byte that no string may have");
            return false;
        }
        tree->at += step;
    }
    if (tree->at == tree->end) {
        json_refuse(tree, "a string is not closed");
        return false;
    }
    *length = (size_t)(tree->at++ - *text);
    return true;
}

static inline bool json_digits(json_tree *tree)
{
    const char *from = tree->at;
    while (isdigit((unsigned char)json_here(tree))) {
        tree->at++;
    }
    return tree->at > from;
}

static inline bool json_number(json_tree *tree, double *number)
{
    const char *from = tree->at;
    tree->at += json_here(tree) == '-';
    const char *whole = tree->at;
    bool good = json_digits(tree) && (*whole != '0' || tree->at == whole + 1);
    if (good && json_here(tree) == '.') {
        tree->at++;
        good = json_digits(tree);
    }
    if (good && (json_here(tree) == 'e' || json_here(tree) == 'E')) {
        tree->at++;
        tree->at += json_here(tree) == '+' || json_here(tree) == '-';
        good = json_digits(tree);
    }
    *number = good ? strtod(from, NULL) : 0.0;
    if (!good) {
        json_refuse(tree, "not a number");
    }
    return good;
}

static inline bool json_same_key(const json_node *a, const json_node *b)
{
    return a->key_length == b->key_length && memcmp(a->key, b->key, a->key_length) == 0;
}

/* Reads one member of an object or array. */
static inline unsigned json_member(json_tree *tree, unsigned parent)
{
    const char *key = NULL;
    size_t length = 0;
    json_blanks(tree);
    if (tree->nodes[parent].kind == '{') {
        if (!json_string(tree, &key, &length)) {
            return JSON_NONE;
        }
        json_blanks(tree);
        if (json_here(tree) != ':') {
            return json_refuse(tree, "a colon is missing");
        }
        tree->at++;
    }
    unsigned made = json_value(tree);
    tree->nodes[made].key = key;
    tree->nodes[made].key_length = length;
    for (unsigned i = tree->nodes[parent].first; key && made && i; i = tree->nodes[i].next) {
        if (json_same_key(&tree->nodes[i], &tree->nodes[made])) {
            return json_refuse(tree, "a key stands twice");
        }
    }
    return made;
}

static inline void json_members(json_tree *tree, unsigned parent)
{
    char close = tree->nodes[parent].kind == '{' ? '}' : ']';
    unsigned last = JSON_NONE;
    tree->at++;
    json_blanks(tree);
    if (json_here(tree) == close) {
        tree->at++;
        return;
    }
    while (!tree->fault) {
        unsigned made = json_member(tree, parent);
        if (last) {
            tree->nodes[last].next = made;
        } else {
            tree->nodes[parent].first = made;
        }
        last = made;
        json_blanks(tree);
        char sign = json_here(tree);
        if (!tree->fault && sign != ',' && sign != close) {
            json_refuse(tree, "a comma or a closing bracket is missing");
        }
        tree->at += tree->at < tree->end;
        if (sign == close) {
            return;
        }
    }
}

static inline void json_word(json_tree *tree, unsigned made, const char *word)
{
    size_t length = strlen(word);
    if ((size_t)(tree->end - tree->at) < length || memcmp(tree->at, word, length) != 0) {
        json_refuse(tree, "neither true, false nor null");
        return;
    }
    tree->at += length;
    tree->nodes[made].kind = word[0];
}

static inline unsigned json_value(json_tree *tree)
{
    json_blanks(tree);
    if (tree->count == JSON_NODES_MAX || tree->depth > 60 || tree->fault) {
        return json_refuse(tree, "too much for this reader");
    }
    unsigned made = tree->count++;
    json_node *node = &tree->nodes[made];
    char sign = json_here(tree);
    *node = (json_node){.kind = sign};
    tree->depth++;
    if (sign == '{' || sign == '[') {
        json_members(tree, made);
    } else if (sign == '"') {
        json_string(tree, &node->text, &node->length);
    } else if (sign == 't' || sign == 'f' || sign == 'n') {
        json_word(tree, made, sign == 't' ? "true" : sign == 'f' ? "false" : "null");
    } else {
        node->kind = '0';
        json_number(tree, &node->number);
    }
    tree->depth--;
    return tree->fault ? JSON_NONE : made;
}

/* Reads one object that ends with the line. `fault` of the tree says what is wrong. */
static inline json_tree json_read(const char *text, size_t length)
{
    json_tree tree = {.at = text, .end = text + length, .count = 1};
    tree.nodes = calloc(JSON_NODES_MAX, sizeof *tree.nodes);
    assert_non_null(tree.nodes);
    unsigned top = json_value(&tree);
    if (!tree.fault && tree.nodes[top].kind != '{') {
        json_refuse(&tree, "not an object");
    }
    if (!tree.fault && (tree.end - tree.at != 1 || *tree.at != '\n')) {
        json_refuse(&tree, "the object does not end its line");
    }
    if (!tree.fault && memchr(text, '\n', length - 1)) {
        json_refuse(&tree, "the object goes over several lines");
    }
    return tree;
}

static inline void json_end(json_tree *tree)
{
    free(tree->nodes);
}

/* The member of that key, or JSON_NONE. */
static inline unsigned json_find(const json_tree *tree, unsigned parent, const char *key)
{
    for (unsigned i = tree->nodes[parent].first; i; i = tree->nodes[i].next) {
        if (tree->nodes[i].key_length == strlen(key) &&
            memcmp(tree->nodes[i].key, key, strlen(key)) == 0) {
            return i;
        }
    }
    return JSON_NONE;
}

static inline bool json_is(const json_tree *tree, unsigned node, const char *text)
{
    const json_node *of = &tree->nodes[node];
    return of->kind == '"' && of->length == strlen(text) && memcmp(of->text, text, of->length) == 0;
}

#endif
