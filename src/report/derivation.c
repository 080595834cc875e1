/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Why: a derivation as an indented tree, or as JSON in the same order with the depth of each
 * node. */
#include "reply.h"

#include "mouldwright/file.h"
#include "wrap.h"

/* Blanks before a note, a place and a source. */
#define PART_GAP 3

/* `carbon-tool.yaml:88`; nothing for what the program made. */
static bool place_words(mw_job *job, mw_span from, mw_text *out)
{
    if (from.source == MW_NONE) {
        return false;
    }
    const mw_sources *sources = mw_job_sources(job);
    mw_str name = mw_path_base(mw_sources_name(sources, from.source));
    if (name.length > 0 && name.at[0] == '<') {
        return false;
    }
    mw_place place = mw_sources_place(sources, from.source, from.begin);
    mw_text_addf(out, "%.*s:%u", (int)name.length, name.at, (unsigned)place.line);
    return true;
}

/* The formula on one line. */
static void formula_words(mw_str formula, mw_text *out)
{
    bool blank = false;
    for (size_t i = 0; i < formula.length; i++) {
        bool space = formula.at[i] == '\n' || formula.at[i] == ' ' || formula.at[i] == '\t';
        if (!space || !blank) {
            mw_text_addc(out, space ? ' ' : formula.at[i]);
        }
        blank = space;
    }
}

/* What stands behind the value of a node: its formula unless that says no more, note, place and
 * source. */
static void add_origin(mw_job *job, const mw_why_node *node, mw_str value, wrapping *line)
{
    mw_text text = {0};
    mw_text_adds(&text, "= ");
    formula_words(node->formula, &text);
    const mw_str formula = {mw_text_chars(&text), text.length};
    if (node->formula.length > 0 &&
        !mw_str_equal((mw_str){formula.at + 2, formula.length - 2}, value)) {
        wrap_part(line, 1, formula);
    }
    if (node->note.length > 0 && !mw_str_is(node->note, "a list")) {
        wrap_part(line, PART_GAP, node->note);
    }
    line->out->failed = line->out->failed || text.failed;
    mw_text_clear(&text);
    if (place_words(job, node->from, &text)) {
        wrap_part(line, PART_GAP, (mw_str){mw_text_chars(&text), text.length});
    }
    line->out->failed = line->out->failed || text.failed;
    mw_text_clear(&text);
    if (node->source.length > 0 && !node->overridden) {
        mw_text_addf(&text, "[%.*s]", (int)node->source.length, node->source.at);
        wrap_part(line, PART_GAP, (mw_str){mw_text_chars(&text), text.length});
    }
    line->out->failed = line->out->failed || text.failed;
    mw_text_free(&text);
}

/* The tree grows to the right no further than to the middle of the screen. */
static void node_words(mw_job *job, const mw_why_node *node, size_t width, mw_text *out)
{
    const size_t wanted = 2 * (size_t)node->depth + 2;
    const size_t indent = wanted < width / 2 ? wanted : width / 2;
    mw_text value = {0};
    if (mw_str_is(node->note, "a list")) {
        mw_text_adds(&value, "a list"); /* what it is made of stands below */
    } else {
        reply_short_words(job, node->value, node->type, node->unit, &value);
    }
    const mw_str words = {mw_text_chars(&value), value.length};
    mw_text_fill(out, ' ', indent);
    wrapping line = {.out = out, .width = width, .indent = indent + 4, .used = indent};
    wrap_words(&line, node->name);
    wrap_part(&line, node->name.length > 0 ? 2 : 0, words);
    add_origin(job, node, words, &line);
    mw_text_addc(out, '\n');
    out->failed = out->failed || value.failed;
    mw_text_free(&value);
}

/* `name: value` lines, without an indent that is only seen. */
static void node_plain(mw_job *job, const mw_why_node *node, mw_text *out)
{
    mw_text_add_str(out, node->name);
    mw_text_adds(out, node->name.length > 0 ? ": " : "value: ");
    reply_short_words(job, node->value, node->type, node->unit, out);
    mw_text_addf(out, "\nlevel: %u\n", (unsigned)node->depth);
    if (node->formula.length > 0) {
        mw_text_adds(out, "formula: ");
        formula_words(node->formula, out);
        mw_text_addc(out, '\n');
    }
    if (node->note.length > 0) {
        mw_text_addf(out, "note: %.*s\n", (int)node->note.length, node->note.at);
    }
    mw_text place = {0};
    if (place_words(job, node->from, &place)) {
        mw_text_addf(out, "place: %s\n", mw_text_chars(&place));
    }
    out->failed = out->failed || place.failed;
    mw_text_free(&place);
    if (node->source.length > 0 && !node->overridden) {
        mw_text_addf(out, "source: %.*s\n", (int)node->source.length, node->source.at);
    }
}

static void text_key(mw_json *json, const char *key, mw_str text)
{
    mw_json_key(json, key);
    mw_json_add_string(json, text);
}

static void node_json(mw_job *job, const mw_why_node *node, mw_json *json)
{
    mw_json_open(json, '{');
    mw_json_key(json, "depth");
    mw_json_add_integer(json, node->depth);
    text_key(json, "name", node->full);
    mw_json_key(json, "result");
    value_json(job, node->value, node->type, node->unit, json);
    text_key(json, "formula", node->formula);
    const mw_sources *sources = mw_job_sources(job);
    mw_json_key(json, "file");
    if (node->from.source == MW_NONE) {
        mw_json_add_null(json);
        mw_json_key(json, "line");
        mw_json_add_null(json);
    } else {
        mw_place place = mw_sources_place(sources, node->from.source, node->from.begin);
        mw_json_add_string(json, place.name);
        mw_json_key(json, "line");
        mw_json_add_integer(json, place.line);
    }
    mw_json_key(json, "overridden");
    mw_json_add_truth(json, node->overridden);
    text_key(json, "source", node->source);
    text_key(json, "note", node->note);
    mw_json_close(json, '}');
}

void reply_why(mw_job *job, const mw_reply *reply, const mw_style *style, mw_text *out)
{
    if (!style->json) {
        for (uint32_t i = 0; i < reply->node_count; i++) {
            if (style->plain) {
                mw_text_adds(out, i ? "\n" : "");
                node_plain(job, &reply->nodes[i], out);
            } else {
                node_words(job, &reply->nodes[i], style->width, out);
            }
        }
        return;
    }
    mw_json json = {.out = out};
    mw_json_open(&json, '{');
    mw_json_key(&json, "why");
    mw_json_open(&json, '[');
    for (uint32_t i = 0; i < reply->node_count; i++) {
        node_json(job, &reply->nodes[i], &json);
    }
    mw_json_close(&json, ']');
    mw_json_close(&json, '}');
    mw_text_addc(out, '\n');
}
