/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading a map by a table of its keys. */
#include <assert.h>
#include <string.h>

#include "recipe/load.h"

enum { MOST_FIELDS = 32 };

/* --- one reader for each kind of value ------------------------------------------------------- */

/* Where a value goes. */
typedef struct target {
    const mw_field *field;
    char *into;
} target;

static void *first_place(const target *to)
{
    return to->into + to->field->at;
}

static void *other_place(const target *to)
{
    return to->field->also == MW_FIELD_NOWHERE ? NULL : to->into + to->field->also;
}

static bool put_text(mw_load *load, const mw_yaml_node *node, const target *to)
{
    mw_span *at = other_place(to);
    if (at != NULL) {
        *at = mw_node_place(node);
    }
    mw_str *text = first_place(to);
    if (!mw_load_text(load, node, text)) {
        return false;
    }
    if (text->length == 0 && to->field->required) {
        mw_load_wrong_form(load, node, "a text");
        return false;
    }
    return true;
}

static bool put_word(mw_load *load, const mw_yaml_node *node, const target *to)
{
    return put_text(load, node, to) &&
           mw_load_name(load, *(mw_str *)first_place(to), node->span, to->field->key);
}

static bool put_texts(mw_load *load, const mw_yaml_node *node, const target *to)
{
    return mw_load_texts(load, node, first_place(to));
}

static bool put_formula(mw_load *load, const mw_yaml_node *node, const target *to)
{
    return mw_load_formula(load, node, first_place(to));
}

static bool put_unit(mw_load *load, const mw_yaml_node *node, const target *to)
{
    return mw_load_unit(load, node, first_place(to), other_place(to));
}

/* Returns which of the words a node is; where it is none, which is reported, the end of the words. */
static size_t one_of(mw_load *load, const mw_yaml_node *node, const char *const *words,
                     const char *expected)
{
    size_t i = 0;
    while (words[i] != NULL && (node->kind != MW_YAML_SCALAR || !mw_str_is(node->text, words[i]))) {
        i++;
    }
    if (words[i] == NULL) {
        mw_load_wrong_form(load, node, expected);
    }
    return i;
}

static bool put_truth(mw_load *load, const mw_yaml_node *node, const target *to)
{
    static const char *const words[] = {"no", "yes", NULL};
    size_t chosen = one_of(load, node, words, "yes or no");
    *(bool *)first_place(to) = chosen == 1;
    return words[chosen] != NULL;
}

static bool put_clock(mw_load *load, const mw_yaml_node *node, const target *to)
{
    static const char *const words[] = {
        [MW_ON_CURE] = "cure", [MW_ON_CLOCK] = "clock", [MW_ON_SHIFT] = "shift", NULL};
    size_t chosen = one_of(load, node, words, "cure, clock or shift");
    if (words[chosen] != NULL) {
        *(mw_clockwork *)first_place(to) = (mw_clockwork)chosen;
    }
    return words[chosen] != NULL;
}

static bool put_count(mw_load *load, const mw_yaml_node *node, const target *to)
{
    enum { MOST = 100000 };
    uint32_t count = 0;
    bool fine = node->kind == MW_YAML_SCALAR && node->text.length > 0;
    for (size_t i = 0; fine && i < node->text.length; i++) {
        char digit = node->text.at[i];
        fine = digit >= '0' && digit <= '9';
        count = fine ? count * 10 + (uint32_t)(digit - '0') : count;
        fine = fine && count <= MOST;
    }
    if (!fine) {
        mw_load_wrong_form(load, node, "a whole number from 0 to 100000");
        return false;
    }
    *(uint32_t *)first_place(to) = count;
    return true;
}

static bool put_node(mw_load *load, const mw_yaml_node *node, const target *to)
{
    mw_field_kind kind = to->field->kind;
    if (kind != MW_FIELD_ANY &&
        !mw_load_is(load, node, kind == MW_FIELD_LIST ? MW_YAML_LIST : MW_YAML_MAP)) {
        return false;
    }
    *(const mw_yaml_node **)first_place(to) = node;
    return true;
}

static const struct {
    bool (*put)(mw_load *load, const mw_yaml_node *node, const target *to);
    size_t size;
    size_t also_size;
} kinds[] = {
    [MW_FIELD_TEXT] = {put_text, sizeof(mw_str), sizeof(mw_span)},
    [MW_FIELD_WORD] = {put_word, sizeof(mw_str), sizeof(mw_span)},
    [MW_FIELD_TEXTS] = {put_texts, sizeof(mw_name_list), 0},
    [MW_FIELD_FORMULA] = {put_formula, sizeof(mw_span), 0},
    [MW_FIELD_TRUTH] = {put_truth, sizeof(bool), 0},
    [MW_FIELD_COUNT] = {put_count, sizeof(uint32_t), 0},
    [MW_FIELD_CLOCK] = {put_clock, sizeof(mw_clockwork), 0},
    [MW_FIELD_UNIT] = {put_unit, sizeof(mw_type), sizeof(mw_unit)},
    [MW_FIELD_LIST] = {put_node, sizeof(const mw_yaml_node *), 0},
    [MW_FIELD_MAP] = {put_node, sizeof(const mw_yaml_node *), 0},
    [MW_FIELD_ANY] = {put_node, sizeof(const mw_yaml_node *), 0},
};
_Static_assert(sizeof kinds / sizeof kinds[0] == MW_FIELD_KINDS, "a reader for each kind");

/* --- maps ------------------------------------------------------------------------------------ */

static void report_unknown(mw_load *load, const mw_keys *keys, const mw_yaml_node *child)
{
    mw_suggest near = mw_load_suggest(load, child->key);
    mw_text known = {0};
    for (size_t i = 0; i < keys->count; i++) {
        mw_suggest_offer(&near, mw_str_of(keys->fields[i].key));
        mw_text_addf(&known, "%s%s", i == 0 ? "" : ", ", keys->fields[i].key);
    }
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_UNKNOWN_KEY, child->key_span,
                                   "%s has no key `%.*s`", keys->what, MW_SHOW(child->key));
    mw_load_mean(load, diag, &near);
    mw_diag_extra(load->diags, diag, "its keys: %s", mw_text_chars(&known));
    load->no_memory |= known.failed;
    mw_text_free(&known);
}

static void report_missing(mw_load *load, const mw_keys *keys, uint32_t met,
                           const mw_yaml_node *map)
{
    for (size_t i = 0; i < keys->count; i++) {
        if (keys->fields[i].required && (met >> i & 1u) == 0) {
            mw_diag *diag =
                mw_diags_error(load->diags, MW_CODE_MISSING_KEY, mw_node_place(map),
                               "%s needs the key `%s`", keys->what, keys->fields[i].key);
            mw_diag_try(load->diags, diag, "add `%s: ...`", keys->fields[i].key);
        }
    }
}

static size_t find_field(const mw_keys *keys, mw_str key)
{
    size_t i = 0;
    while (i < keys->count && !mw_str_is(key, keys->fields[i].key)) {
        i++;
    }
    return i;
}

uint32_t mw_load_fields(mw_load *load, const mw_keys *keys, const mw_yaml_node *map, void *into)
{
    assert(keys->count <= MOST_FIELDS);
    uint32_t met = 0;
    uint32_t given = 0;
    if (map->kind != MW_YAML_MAP) {
        mw_load_wrong_form(load, map, "a map of keys");
        return 0;
    }
    for (const mw_yaml_node *child = map->first; child != NULL; child = child->next) {
        size_t i = find_field(keys, child->key);
        if (i == keys->count) {
            report_unknown(load, keys, child);
            continue;
        }
        met |= 1u << i;
        target to = {&keys->fields[i], into};
        if (kinds[keys->fields[i].kind].put(load, child, &to)) {
            given |= 1u << i;
        }
    }
    report_missing(load, keys, met, map);
    return given;
}

uint32_t mw_keys_bit(const mw_keys *keys, const char *key)
{
    size_t i = find_field(keys, mw_str_of(key));
    assert(i < keys->count);
    return 1u << i;
}

void mw_keys_copy(const mw_keys *keys, uint32_t given, const void *from, void *to, size_t size)
{
    for (size_t i = 0; i < keys->count; i++) {
        const mw_field *field = &keys->fields[i];
        if ((given >> i & 1u) == 0 || field->at >= size) {
            continue;
        }
        memcpy((char *)to + field->at, (const char *)from + field->at, kinds[field->kind].size);
        if (field->also != MW_FIELD_NOWHERE) {
            memcpy((char *)to + field->also, (const char *)from + field->also,
                   kinds[field->kind].also_size);
        }
    }
}
