/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The only file that knows libyaml: turns its events into calls of the tree builder. libyaml counts
 * characters; everything handed on counts bytes. */
#include "mouldwright/yaml.h"

#include <string.h>

#include <yaml.h>

#include "recipe/yaml_problem.h"
#include "recipe/yaml_text.h"
#include "recipe/yaml_tree.h"

typedef struct reading {
    mw_yaml_tree tree;
    mw_yaml_places places;
    uint32_t start; /* bytes before what libyaml sees: a byte order mark */
    uint32_t documents;
} reading;

static uint32_t byte_of(reading *r, yaml_mark_t mark)
{
    return r->start + mw_yaml_byte(&r->places, mark.index);
}

static void report_mark(reading *r, const yaml_event_t *event, mw_code code, const char *what)
{
    uint32_t begin = byte_of(r, event->start_mark);
    uint32_t end = mw_yaml_word_end(r->tree.text, begin);
    mw_diag *diag = mw_diags_error(r->tree.diags, code, mw_yaml_span(&r->tree, begin, end),
                                   "%s; these files do not use them", what);
    mw_diag_try(r->tree.diags, diag, "write the value out; a text that begins so stands in quotes");
}

/* Reports the anchor or tag before a value, if it has one. */
static void refuse_marks(reading *r, const yaml_event_t *event, const yaml_char_t *anchor,
                         const yaml_char_t *tag)
{
    if (anchor != NULL) {
        report_mark(r, event, MW_CODE_YAML_ALIAS, "an anchor (`&`) marks this value");
    } else if (tag != NULL) {
        report_mark(r, event, MW_CODE_YAML_FORM, "a tag (`!`) marks this value");
    }
}

static mw_yaml_style style_of(yaml_scalar_style_t style)
{
    switch (style) {
    case YAML_SINGLE_QUOTED_SCALAR_STYLE:
    case YAML_DOUBLE_QUOTED_SCALAR_STYLE:
        return MW_YAML_QUOTED;
    case YAML_LITERAL_SCALAR_STYLE:
        return MW_YAML_LITERAL;
    case YAML_FOLDED_SCALAR_STYLE:
        return MW_YAML_FOLDED;
    case YAML_ANY_SCALAR_STYLE:
    case YAML_PLAIN_SCALAR_STYLE:
        return MW_YAML_PLAIN;
    }
    return MW_YAML_PLAIN;
}

static bool take_scalar(reading *r, const yaml_event_t *event)
{
    refuse_marks(r, event, event->data.scalar.anchor, event->data.scalar.tag);
    mw_yaml_scalar scalar = {
        .value = {(const char *)event->data.scalar.value, event->data.scalar.length},
        .style = style_of(event->data.scalar.style),
        .begin = byte_of(r, event->start_mark),
        .end = byte_of(r, event->end_mark)};
    return mw_yaml_tree_scalar(&r->tree, &scalar);
}

/* An alias is reported and stands for an empty text, so that reading goes on. */
static bool take_alias(reading *r, const yaml_event_t *event)
{
    report_mark(r, event, MW_CODE_YAML_ALIAS, "an alias (`*`) stands here");
    uint32_t begin = byte_of(r, event->start_mark);
    mw_yaml_scalar scalar = {
        .value = {"*", 1}, .style = MW_YAML_PLAIN, .begin = begin, .end = begin + 1};
    return mw_yaml_tree_scalar(&r->tree, &scalar);
}

static bool take_document(reading *r, const yaml_event_t *event)
{
    if (r->documents++ == 0) {
        return true;
    }
    uint32_t begin = byte_of(r, event->start_mark);
    mw_diag *diag =
        mw_diags_error(r->tree.diags, MW_CODE_YAML_FORM, mw_yaml_span(&r->tree, begin, begin + 3),
                       "a second document begins here; a file holds one");
    mw_diag_try(r->tree.diags, diag, "put it into a file of its own");
    r->tree.stopped = true;
    return false;
}

static bool take_event(reading *r, const yaml_event_t *event)
{
    switch (event->type) {
    case YAML_DOCUMENT_START_EVENT:
        return take_document(r, event);
    case YAML_ALIAS_EVENT:
        return take_alias(r, event);
    case YAML_SCALAR_EVENT:
        return take_scalar(r, event);
    case YAML_SEQUENCE_START_EVENT:
        refuse_marks(r, event, event->data.sequence_start.anchor, event->data.sequence_start.tag);
        return mw_yaml_tree_open(&r->tree, MW_YAML_LIST,
                                 event->data.sequence_start.style == YAML_FLOW_SEQUENCE_STYLE,
                                 byte_of(r, event->start_mark));
    case YAML_MAPPING_START_EVENT:
        refuse_marks(r, event, event->data.mapping_start.anchor, event->data.mapping_start.tag);
        return mw_yaml_tree_open(&r->tree, MW_YAML_MAP,
                                 event->data.mapping_start.style == YAML_FLOW_MAPPING_STYLE,
                                 byte_of(r, event->start_mark));
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT: {
        uint32_t begin = byte_of(r, event->start_mark);
        return mw_yaml_tree_close(&r->tree, begin, byte_of(r, event->end_mark));
    }
    case YAML_NO_EVENT:
    case YAML_STREAM_START_EVENT:
    case YAML_STREAM_END_EVENT:
    case YAML_DOCUMENT_END_EVENT:
        return true;
    }
    return true;
}

/* A mark of all zeros is one that was never set, unless something did begin at the first byte. */
static uint32_t context_of(reading *r, const yaml_parser_t *parser)
{
    return parser->context == NULL ? MW_NONE : byte_of(r, parser->context_mark);
}

static void report_problem(reading *r, const yaml_parser_t *parser)
{
    if (parser->error == YAML_MEMORY_ERROR) {
        r->tree.no_memory = true;
        return;
    }
    mw_yaml_problem problem = {.words = parser->problem == NULL ? "" : parser->problem,
                               .at = byte_of(r, parser->problem_mark),
                               .context_at = context_of(r, parser)};
    mw_yaml_explain(&r->tree, &problem);
    r->tree.stopped = true;
}

static void read_events(reading *r, yaml_parser_t *parser)
{
    yaml_event_t event;
    yaml_event_type_t type = YAML_NO_EVENT;
    bool going = true;
    while (going && type != YAML_STREAM_END_EVENT) {
        if (!yaml_parser_parse(parser, &event)) {
            report_problem(r, parser);
            return;
        }
        type = event.type;
        going = take_event(r, &event);
        yaml_event_delete(&event);
    }
}

static void read_text(reading *r)
{
    yaml_parser_t parser;
    if (!yaml_parser_initialize(&parser)) {
        r->tree.no_memory = true;
        return;
    }
    yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&parser, (const unsigned char *)r->places.text.at,
                                 r->places.text.length);
    read_events(r, &parser);
    yaml_parser_delete(&parser);
    mw_yaml_tree_end(&r->tree);
}

/* An empty file is an empty map; a file of one bare text is neither list nor map. */
static mw_status finish(reading *r, const mw_yaml_node **root)
{
    static const mw_yaml_node empty = {.kind = MW_YAML_MAP};
    if (r->tree.no_memory || r->tree.diags->no_memory) {
        return MW_NO_MEMORY;
    }
    mw_yaml_node *top = r->tree.root;
    bool nothing = top == NULL || (top->kind == MW_YAML_SCALAR && top->text.length == 0);
    if (!nothing) {
        *root = top;
        return MW_OK;
    }
    top = mw_arena_get(r->tree.arena, sizeof *top);
    if (top == NULL) {
        return MW_NO_MEMORY;
    }
    *top = empty;
    top->span = mw_yaml_span(&r->tree, 0, 0);
    *root = top;
    return MW_OK;
}

static bool file_is_too_big(const reading *r)
{
    if (r->tree.text.length <= MW_YAML_FILE_BYTES) {
        return false;
    }
    mw_diags_error(r->tree.diags, MW_CODE_TOO_BIG, mw_yaml_span(&r->tree, 0, 0),
                   "the file has %zu bytes; at most %u are read", r->tree.text.length,
                   MW_YAML_FILE_BYTES);
    return true;
}

mw_status mw_yaml_read(const mw_sources *sources, uint32_t source, mw_arena *arena,
                       const mw_yaml_node **root, mw_diags *diags)
{
    size_t errors = diags->errors;
    mw_str text = mw_sources_text(sources, source);
    reading r = {.tree = {.sources = sources,
                          .source = source,
                          .text = text,
                          .arena = arena,
                          .diags = diags,
                          .last_flow_end = MW_NONE}};
    bool ascii;
    if (file_is_too_big(&r) || !mw_yaml_check_bytes(text, source, &ascii, diags)) {
        return diags->no_memory ? MW_NO_MEMORY : MW_FAILED;
    }
    r.start = text.length >= 3 && memcmp(text.at, "\xef\xbb\xbf", 3) == 0 ? 3 : 0;
    r.places.text = (mw_str){text.at + r.start, text.length - r.start};
    r.places.ascii = ascii;
    read_text(&r);
    mw_status status = finish(&r, root);
    return status == MW_OK && diags->errors > errors ? MW_FAILED : status;
}

const mw_yaml_node *mw_yaml_find(const mw_yaml_node *map, const char *key)
{
    if (map->kind != MW_YAML_MAP) {
        return NULL;
    }
    for (const mw_yaml_node *child = map->first; child != NULL; child = child->next) {
        if (mw_str_is(child->key, key)) {
            return child;
        }
    }
    return NULL;
}
