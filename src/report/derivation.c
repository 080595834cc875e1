/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Why: a derivation as an indented tree, or as JSON in the same order with the depth of each
 * node. */
#include "reply.h"

#include "mouldwright/file.h"

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

static void node_words(mw_job *job, const mw_why_node *node, mw_text *out)
{
    mw_text value = {0};
    mw_text place = {0};
    mw_text_fill(out, ' ', 2 * (size_t)node->depth + 2);
    if (node->name.length > 0) {
        mw_text_add_str(out, node->name);
        mw_text_adds(out, "  ");
    }
    reply_short_words(job, node->value, node->type, node->unit, &value);
    mw_text_adds(out, mw_text_chars(&value));
    mw_text formula = {0};
    formula_words(node->formula, &formula);
    bool says_more =
        formula.length > 0 && !mw_str_equal((mw_str){mw_text_chars(&formula), formula.length},
                                            (mw_str){mw_text_chars(&value), value.length});
    if (says_more) {
        mw_text_addf(out, " = %s", mw_text_chars(&formula));
    }
    if (node->note.length > 0) {
        mw_text_addf(out, "   %.*s", (int)node->note.length, node->note.at);
    }
    if (place_words(job, node->from, &place)) {
        mw_text_addf(out, "   %s", mw_text_chars(&place));
    }
    if (node->source.length > 0 && !node->overridden) {
        mw_text_addf(out, "   [%.*s]", (int)node->source.length, node->source.at);
    }
    mw_text_addc(out, '\n');
    out->failed = out->failed || value.failed || place.failed || formula.failed;
    mw_text_free(&value);
    mw_text_free(&place);
    mw_text_free(&formula);
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
            node_words(job, &reply->nodes[i], out);
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
