/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Messages of the readers of recipe files. */
#include "recipe/load.h"

#include <string.h>

#include "recipe/yaml_text.h"

enum { SHOWN_BYTES = 60 };

int mw_shown_length(mw_str piece)
{
    size_t length = piece.length;
    if (length > SHOWN_BYTES) {
        length = SHOWN_BYTES;
        while (length > 0 && ((unsigned char)piece.at[length] & 0xc0u) == 0x80u) {
            length--;
        }
    }
    return (int)length;
}

mw_span mw_node_place(const mw_yaml_node *node)
{
    if (node->kind == MW_YAML_SCALAR && node->text.length > 0) {
        return node->span;
    }
    if (node->key.length > 0) {
        return node->key_span;
    }
    if (node->first != NULL) {
        const mw_yaml_node *first = node->first;
        return first->key.length > 0 ? first->key_span : mw_node_place(first);
    }
    return node->span;
}

const char *mw_node_words(mw_load *load, const mw_yaml_node *node)
{
    if (node->kind == MW_YAML_LIST) {
        return "a list";
    }
    if (node->kind == MW_YAML_MAP) {
        return "a map of keys";
    }
    mw_str text = mw_str_trim(node->text);
    const char *line_end = text.length > 0 ? memchr(text.at, '\n', text.length) : NULL;
    if (line_end != NULL) {
        text.length = (size_t)(line_end - text.at);
    }
    if (text.length == 0) {
        return "nothing";
    }
    const char *words = mw_arena_print(load->diags->arena, "`%.*s`", MW_SHOW(text));
    load->no_memory |= words == NULL;
    return words == NULL ? "" : words;
}

mw_diag *mw_load_wrong_form(mw_load *load, const mw_yaml_node *node, const char *expected)
{
    const char *found = mw_node_words(load, node);
    mw_span at = mw_node_place(node);
    if (node->key.length > 0) {
        return mw_diags_error(load->diags, MW_CODE_YAML_FORM, at, "`%.*s` must be %s, found %s",
                              MW_SHOW(node->key), expected, found);
    }
    return mw_diags_error(load->diags, MW_CODE_YAML_FORM, at, "%s is expected here, found %s",
                          expected, found);
}

bool mw_load_is(mw_load *load, const mw_yaml_node *node, mw_yaml_kind kind)
{
    bool empty = node->kind == MW_YAML_SCALAR && node->plain && node->text.length == 0;
    if (node->kind == kind || empty) {
        return true;
    }
    bool list = kind == MW_YAML_LIST;
    mw_diag *diag = mw_load_wrong_form(load, node, list ? "a list" : "a map of keys");
    mw_diag_try(load->diags, diag, list ? "write it as in [a, b]" : "write it as in {key: value}");
    return false;
}

void mw_load_range(mw_load *load, mw_span at, const char *message)
{
    mw_diags_error(load->diags, MW_CODE_OUT_OF_RANGE, at, "%s", message);
}

void mw_load_twice(mw_load *load, const char *what, mw_str name, mw_span second, mw_span first)
{
    mw_diag *diag =
        mw_diags_error(load->diags, MW_CODE_NAME_TWICE, second,
                       "%s called `%.*s` stands here for the second time", what, MW_SHOW(name));
    mw_diag_other(load->diags, diag, first, "the first is here");
}

mw_suggest mw_load_suggest(const mw_load *load, mw_str wanted)
{
    mw_suggest near;
    bool shown = load->diags->errors < load->diags->limit;
    mw_suggest_start(&near, shown ? wanted : (mw_str){"", 0});
    return near;
}

void mw_load_mean(mw_load *load, mw_diag *diag, const mw_suggest *suggest)
{
    if (suggest->best.length > 0) {
        mw_diag_try(load->diags, diag, "did you mean %.*s?", MW_SHOW(suggest->best));
    }
}
