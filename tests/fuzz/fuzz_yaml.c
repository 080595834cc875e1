/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a YAML file, and what comes of it as a recipe, a file of materials, of cautions, and a
 * shop. Every place must lie inside the text, every text that stands in place must be there, every
 * message must be valid UTF-8 at a place inside the text. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "recipe/files.h"
#include "recipe/merge.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(int condition)
{
    if (!condition) {
        abort();
    }
}

static bool is_blank(char byte)
{
    return byte == ' ' || byte == '\t' || byte == '\n' || byte == '\r';
}

/* Whether two pieces have the same visible bytes in the same order: a literal block without and with its
 * indentation. Line breaks beyond ASCII stand for line ends, so they are left out, too. */
static bool same_but_blanks(mw_str a, mw_str b)
{
    size_t i = 0;
    size_t k = 0;
    for (;;) {
        while (i < a.length && is_blank(a.at[i])) {
            i++;
        }
        while (k < b.length && is_blank(b.at[k])) {
            k++;
        }
        if (i == a.length || k == b.length) {
            return i == a.length && k == b.length;
        }
        if (a.at[i++] != b.at[k++]) {
            return false;
        }
    }
}

/* Whether lines break at U+0085, U+2028 or U+2029 somewhere. */
static bool has_foreign_break(mw_str text)
{
    for (size_t i = 0; i + 1 < text.length; i++) {
        bool separator = i + 2 < text.length && (memcmp(text.at + i, "\xe2\x80\xa8", 3) == 0 ||
                                                 memcmp(text.at + i, "\xe2\x80\xa9", 3) == 0);
        if (separator || memcmp(text.at + i, "\xc2\x85", 2) == 0) {
            return true;
        }
    }
    return false;
}

static void check_span(mw_str text, mw_span span, uint32_t source)
{
    require(span.source == source && span.begin <= span.end && span.end <= text.length);
}

static void check_tree(const mw_sources *sources, uint32_t source, const mw_yaml_node *node,
                       unsigned depth)
{
    mw_str text = mw_sources_text(sources, source);
    require(depth <= MW_YAML_DEPTH);
    check_span(text, node->span, source);
    if (node->key.length > 0) {
        check_span(text, node->key_span, source);
    }
    if (node->kind == MW_YAML_SCALAR) {
        mw_str piece = mw_sources_piece(sources, node->span);
        require(node->text.length <= MW_YAML_SCALAR_BYTES);
        require(mw_utf8_check(node->text) == node->text.length);
        require(!node->in_place || node->literal || mw_str_equal(piece, node->text));
        require(!node->literal || has_foreign_break(text) || same_but_blanks(piece, node->text));
    }
    uint32_t count = 0;
    for (const mw_yaml_node *child = node->first; child != NULL; child = child->next) {
        count++;
        require(node->kind != MW_YAML_SCALAR && (node->kind == MW_YAML_LIST) == !child->key.at);
        require(child->span.begin >= node->span.begin && child->span.end <= node->span.end);
        check_tree(sources, source, child, depth + 1);
    }
    require(count == node->count);
}

static void check_messages(const mw_diags *diags, const mw_sources *sources, uint32_t source)
{
    mw_text out = {0};
    for (size_t i = 0; i < diags->count; i++) {
        const mw_diag *diag = &diags->items[i];
        check_span(mw_sources_text(sources, source), diag->span, source);
        require(mw_utf8_check(mw_str_of(diag->message)) == strlen(diag->message));
        if (diag->other.source != MW_NONE) {
            check_span(mw_sources_text(sources, source), diag->other, source);
        }
    }
    mw_diags_render(diags, sources, &out);
    require(mw_utf8_check((mw_str){mw_text_chars(&out), out.length}) == out.length);
    mw_text_free(&out);
}

typedef void reader(mw_load *load, const mw_yaml_node *root);

static void as_recipe(mw_load *load, const mw_yaml_node *root)
{
    mw_raw_recipe raw;
    mw_raw_recipe_read(load, root, &raw);
    if (mw_load_status(load) == MW_OK) {
        mw_recipe *made = mw_recipe_merge(load, &raw, NULL);
        require(made != NULL);
        mw_recipe_check(load, made, &raw);
        if (mw_load_status(load) == MW_OK) {
            /* On top of itself: every line and use has one below. */
            made = mw_recipe_merge(load, &raw, made);
            require(made != NULL);
            mw_recipe_check(load, made, &raw);
        }
    }
}

static void as_materials(mw_load *load, const mw_yaml_node *root)
{
    uint32_t count;
    const mw_material *rows = mw_materials_read(load, root, &count);
    for (uint32_t i = 0; i < count && mw_load_status(load) == MW_OK; i++) {
        require(rows[i].pack_count > 0 && rows[i].packs[0].size > 0);
    }
}

static void as_cautions(mw_load *load, const mw_yaml_node *root)
{
    uint32_t count;
    const mw_caution_entry *rows = mw_cautions_read(load, root, &count);
    require(rows != NULL || count == 0);
}

static void as_shop(mw_load *load, const mw_yaml_node *root)
{
    mw_shop_making making;
    mw_shop_read(load, root, &making);
    if (mw_load_status(load) != MW_OK) {
        return;
    }
    require(mw_shop_settle(&making, load->calculator->measure) == MW_OK);
    mw_calendar *shift = mw_shop_shift(&making.shop, (mw_str){"", 0});
    mw_cure_rule rule = {.reference_k = 293.15, .doubling_k = 10.0};
    mw_calendar *cure = mw_shop_cure(&making.shop, &rule);
    require(shift != NULL && cure != NULL);
    mw_calendar_free(shift);
    mw_calendar_free(cure);
}

/* Reads the tree by one reader, with contexts of its own. */
static void read_as(reader *read, mw_sources *sources, uint32_t source, const mw_yaml_node *root)
{
    mw_measure *measure = mw_measure_new();
    mw_calculator calculator;
    mw_arena *rows = mw_arena_new();
    mw_arena *scratch = mw_arena_new();
    mw_diags diags;
    require(measure != NULL && rows != NULL && scratch != NULL);
    require(mw_diags_start(&diags) == MW_OK);
    require(mw_calculator_start(&calculator, sources, measure));
    mw_load load = mw_load_start(&calculator, rows, scratch, &diags);
    read(&load, root);
    require(mw_load_status(&load) != MW_NO_MEMORY);
    check_messages(&diags, sources, source);
    mw_calculator_end(&calculator);
    mw_measure_free(measure);
    mw_arena_free(rows);
    mw_arena_free(scratch);
    mw_diags_free(&diags);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static reader *const readers[] = {as_recipe, as_materials, as_cautions, as_shop};
    mw_sources *sources = mw_sources_new();
    mw_arena *arena = mw_arena_new();
    mw_diags diags;
    require(sources != NULL && arena != NULL && mw_diags_start(&diags) == MW_OK);
    uint32_t source =
        mw_sources_add(sources, mw_str_of("fuzz.yaml"), (mw_str){(const char *)data, size});
    const mw_yaml_node *root = NULL;
    mw_status status = mw_yaml_read(sources, source, arena, &root, &diags);
    require(status == (diags.errors == 0 ? MW_OK : MW_FAILED));
    check_messages(&diags, sources, source);
    if (status == MW_OK) {
        check_tree(sources, source, root, 0);
        for (size_t i = 0; i < sizeof readers / sizeof readers[0]; i++) {
            read_as(readers[i], sources, source, root);
        }
    }
    mw_diags_free(&diags);
    mw_arena_free(arena);
    mw_sources_free(sources);
    return 0;
}
