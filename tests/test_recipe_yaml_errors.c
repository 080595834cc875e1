/* SPDX-License-Identifier: GPL-3.0-or-later */
/* YAML files that are not well-formed, or use what these files do not: code, line, column and words of
 * the first message, and that no word of the library that reads YAML shows. */
#include <stdlib.h>
#include <string.h>

#include "mouldwright/yaml.h"
#include "support.h"

typedef struct error_row {
    const char *name;
    const char *text;
    mw_code code;
    uint32_t line;   /* from 1 */
    uint32_t column; /* from 1, in characters */
    const char *piece;
    size_t errors; /* in all; 0 stands for 1 */
} error_row;

static const error_row rows[] = {
    /* indentation */
    {"tab", "a:\n\tb: 1\n", MW_CODE_YAML_SYNTAX, 2, 1, "a tab is used for indentation", 0},
    {"tab after blanks", "a:\n  b: 1\n \tc: 2\n", MW_CODE_YAML_SYNTAX, 3, 2, "a tab is used", 0},
    {"tab before a list", "a:\n\t- b\n", MW_CODE_YAML_SYNTAX, 2, 1, "a tab is used", 0},
    {"tab in a block", "a: |\n\tx\nb: 1\n", MW_CODE_YAML_SYNTAX, 2, 1, "a tab is used", 0},
    {"too far left", "a:\n    b: 1\n  c: 2\n", MW_CODE_YAML_SYNTAX, 3, 3,
     "indented by 2 blanks; expected are 4 as in line 2, or 0 as in line 1", 0},
    {"item key too far left", "s:\n  - step: a\n   about: x\n", MW_CODE_YAML_SYNTAX, 3, 4,
     "indented by 3 blanks; expected are 4 as in line 2", 0},
    {"left of the first line", "  a: 1\nb: 2\n", MW_CODE_YAML_SYNTAX, 2, 1,
     "indented by 0 blanks; expected are 2 as in line 1", 0},
    {"deeper than a value", "a: 1\n  b: 2\n", MW_CODE_YAML_SYNTAX, 2, 3,
     "deeper than the one above", 0},
    {"deeper behind a comment", "a: 1\n# note\n\n  b: 2\n", MW_CODE_YAML_SYNTAX, 4, 3,
     "deeper than the one above", 0},
    {"item where a key is due", "a: 1\n- b\n", MW_CODE_YAML_SYNTAX, 2, 1,
     "a key with a colon is expected here, found `-`", 0},
    {"key where an item is due", "s:\n  - a\n  b: 1\n", MW_CODE_YAML_SYNTAX, 3, 3,
     "a list item with `-` is expected here, found `b`", 0},
    {"list below a value", "a: b\n  - c: d\n", MW_CODE_YAML_SYNTAX, 2, 3,
     "deeper than the one above", 0},
    {"behind the only map", "{a: 1}\nb: 2\n", MW_CODE_YAML_SYNTAX, 2, 1, "has ended before this",
     0},

    /* colons */
    {"colon missing", "a: 1\nbcd\ne: 2\n", MW_CODE_YAML_SYNTAX, 2, 1,
     "a colon is missing: `key: value` is expected, found `bcd`", 0},
    {"colon missing at the top", "recipe split carbon\nabout: x\n", MW_CODE_YAML_SYNTAX, 1, 1,
     "a colon is missing", 0},
    {"colon missing at the end", "a: 1\nbc de", MW_CODE_YAML_SYNTAX, 2, 1, "a colon is missing", 0},
    {"blank missing behind a colon", "recipe:split\nabout: x\n", MW_CODE_YAML_SYNTAX, 1, 7,
     "a blank is missing behind this colon", 0},
    {"blank missing further down", "a: 1\nb:2\nc: 3\n", MW_CODE_YAML_SYNTAX, 2, 2,
     "a blank is missing behind this colon", 0},
    {"blank missing in brackets", "a: {b: 1, c:}\n", MW_CODE_YAML_SYNTAX, 1, 12,
     "a blank is missing behind this colon", 0},
    {"second colon", "about: light: two layers\n", MW_CODE_YAML_SYNTAX, 1, 13, "a second colon", 0},
    {"second colon at the end", "a: b:\n", MW_CODE_YAML_SYNTAX, 1, 5, "a second colon", 0},
    {"key missing in a map", "a: 1\n: 2\n", MW_CODE_YAML_SYNTAX, 2, 1,
     "a key is missing before the colon", 0},
    {"key missing in brackets", "a: {: 1}\n", MW_CODE_YAML_SYNTAX, 1, 5,
     "a key is missing before the colon", 0},
    {"key missing", ": 1\n", MW_CODE_YAML_SYNTAX, 1, 1, "a key is missing before the colon", 0},

    /* brackets and quotes */
    {"list not closed", "a: [1, 2\nb: 3\n", MW_CODE_UNCLOSED, 1, 4,
     "this `[` is never closed: `]` is expected", 0},
    {"map not closed", "a: {b: 2\nc: 3\n", MW_CODE_UNCLOSED, 1, 4,
     "this `{` is never closed: `}` is expected", 0},
    {"list not closed at the end", "a: 1\nb: [1, 2", MW_CODE_UNCLOSED, 2, 4, "never closed", 0},
    {"inner map not closed", "a: [{b: 1, {c: 2}]\n", MW_CODE_YAML_FORM, 1, 12,
     "a key must be a text, but a map stands here", 0},
    {"other bracket", "a: [1, 2}\n", MW_CODE_YAML_SYNTAX, 1, 9,
     "a comma or `]` is expected here, found `}`", 0},
    {"comma missing", "a: [b, \"c\" d]\n", MW_CODE_YAML_SYNTAX, 1, 12,
     "a comma or `]` is expected here, found `d`", 0},
    {"comma missing over lines", "a: [b,\n  \"c\" d]\n", MW_CODE_YAML_SYNTAX, 2, 7,
     "a comma or `]` is expected here, found `d`", 0},
    {"value missing between commas", "a: [1, , 2]\n", MW_CODE_YAML_SYNTAX, 1, 8,
     "a value is missing before this", 0},
    {"closed twice", "a: [b]]\n", MW_CODE_YAML_SYNTAX, 1, 7, "behind the closing bracket", 0},
    {"formula behind a bracket", "a: {b: 1} + 2\n", MW_CODE_YAML_SYNTAX, 1, 11,
     "behind the closing bracket", 0},
    {"quote not closed", "a: \"abc\nb: 2\n", MW_CODE_UNCLOSED, 1, 4, "this quote is never closed",
     0},
    {"single quote not closed", "a: 'abc\nb: 2\n", MW_CODE_UNCLOSED, 1, 4,
     "this quote is never closed", 0},
    {"quote closed by the next", "a: \"abc\nb: \"x\"\n", MW_CODE_UNCLOSED, 1, 4,
     "not closed in its line", 0},
    {"quote ended by a document", "a: \"abc\n---\n", MW_CODE_UNCLOSED, 1, 4,
     "this quote is never closed", 0},
    {"text behind a quote", "a: \"x\" y\n", MW_CODE_YAML_SYNTAX, 1, 8, "behind the closing quote",
     0},
    {"unknown escape", "a: \"\\q\"\n", MW_CODE_YAML_SYNTAX, 1, 5, "means nothing in double quotes",
     0},
    {"bad number of a character", "a: \"\\xZZ\"\n", MW_CODE_YAML_SYNTAX, 1, 5,
     "means nothing in double quotes", 0},
    {"no such character", "a: \"\\U00110000\"\n", MW_CODE_YAML_SYNTAX, 1, 5,
     "means nothing in double quotes", 0},

    /* first characters */
    {"at sign", "a: @x\n", MW_CODE_YAML_SYNTAX, 1, 4, "cannot begin with `@`", 0},
    {"back quote", "a: `x`\n", MW_CODE_YAML_SYNTAX, 1, 4, "cannot begin with ```", 0},
    {"per cent", "a: %5\n", MW_CODE_YAML_SYNTAX, 1, 4, "cannot begin with `%`", 0},
    {"greater in brackets", "a: {is: > 5}\n", MW_CODE_YAML_SYNTAX, 1, 9, "cannot begin with `>`",
     0},
    {"list behind a key", "a: - b\n", MW_CODE_YAML_SYNTAX, 1, 4, "a list item cannot begin here",
     0},
    {"question mark", "a: ? b\n", MW_CODE_YAML_SYNTAX, 1, 4, "a key cannot begin here", 0},
    {"text behind a bar", "a: | x\n", MW_CODE_YAML_SYNTAX, 1, 6, "nothing may stand behind `|`", 0},
    {"bar with 0", "a: |0\n x\n", MW_CODE_YAML_SYNTAX, 1, 5, "nothing may stand behind `|`", 0},
    {"star", "a: * 2\n", MW_CODE_YAML_ALIAS, 1, 4, "cannot begin with `*`", 0},
    {"ampersand", "a: & 2\n", MW_CODE_YAML_ALIAS, 1, 4, "cannot begin with `&`", 0},
    {"broken tag", "a: !<x 2\n", MW_CODE_YAML_FORM, 1, 4, "cannot begin with `!`", 0},
    {"tag of an unknown sort", "a: !x!y 2\n", MW_CODE_YAML_FORM, 1, 4, "cannot begin with `!`", 0},

    /* what these files do not use */
    {"anchor", "a: &x 1\n", MW_CODE_YAML_ALIAS, 1, 4, "an anchor (`&`)", 0},
    {"alias", "a: 1\nb: *x\n", MW_CODE_YAML_ALIAS, 2, 4, "an alias (`*`)", 0},
    {"anchor and alias", "a: &x 1\nb: *x\n", MW_CODE_YAML_ALIAS, 1, 4, "an anchor", 2},
    {"anchor at a list", "a: &x [1]\n", MW_CODE_YAML_ALIAS, 1, 4, "an anchor", 0},
    {"anchor at a map", "a: &x {b: 1}\n", MW_CODE_YAML_ALIAS, 1, 4, "an anchor", 0},
    {"anchor at a key", "&x a: 1\n", MW_CODE_YAML_ALIAS, 1, 1, "an anchor", 0},
    {"merge of an alias", "<<: *x\n", MW_CODE_YAML_ALIAS, 1, 5, "an alias", 0},
    {"tag", "a: !!str 1\n", MW_CODE_YAML_FORM, 1, 4, "a tag (`!`)", 0},
    {"own tag", "a: !x 1\n", MW_CODE_YAML_FORM, 1, 4, "a tag (`!`)", 0},
    {"tag at a map", "a: !!map {b: 1}\n", MW_CODE_YAML_FORM, 1, 4, "a tag (`!`)", 0},
    {"second document", "a: 1\n---\nb: 2\n", MW_CODE_YAML_FORM, 2, 1, "a second document", 0},
    {"second document after dots", "a: 1\n...\n---\nb: 2\n", MW_CODE_YAML_FORM, 3, 1,
     "a second document", 0},
    {"unknown directive", "%FOO 1\na: 1\n", MW_CODE_YAML_FORM, 1, 1, "begins with `%`", 0},
    {"future version", "%YAML 9.9\n---\na: 1\n", MW_CODE_YAML_FORM, 1, 1, "begins with `%`", 0},
    {"list as a key", "? [a]\n: b\n", MW_CODE_YAML_FORM, 1, 3,
     "a key must be a text, but a list stands here", 0},
    {"map as a key", "{a: 1}: b\n", MW_CODE_YAML_FORM, 1, 1,
     "a key must be a text, but a map stands here", 0},

    /* keys that come twice */
    {"key twice", "a: 1\na: 2\n", MW_CODE_YAML_TWICE, 2, 1,
     "the key `a` stands here for the second time", 0},
    {"key three times", "a: 1\na: 2\na: 3\n", MW_CODE_YAML_TWICE, 2, 1, "the key `a`", 2},
    {"key twice in brackets", "m: {x: 1, y: 2, x: 3}\n", MW_CODE_YAML_TWICE, 1, 17, "the key `x`",
     0},
    {"key twice, once in quotes", "a: 1\n\"a\": 2\n", MW_CODE_YAML_TWICE, 2, 2, "the key `a`", 0},
    {"key twice, once escaped", "a: 1\n\"\\x61\": 2\n", MW_CODE_YAML_TWICE, 2, 2, "the key `a`", 0},
    {"twice beyond sixteen",
     "{a: 1, b: 1, c: 1, d: 1, e: 1, f: 1, g: 1, h: 1, i: 1, j: 1, k: 1, l: 1, m: 1, n: 1, o: 1, "
     "p: 1, q: 1, r: 1,\n c: 2}\n",
     MW_CODE_YAML_TWICE, 2, 2, "the key `c`", 0},

    /* bytes */
    {"byte of no encoding", "a: \xff\n", MW_CODE_BAD_TEXT, 1, 4, "the byte FF here is not UTF-8",
     0},
    {"Latin-1", "a: caf\xe9\nb: 2\n", MW_CODE_BAD_TEXT, 1, 7, "the byte E9 here is not UTF-8", 0},
    {"overlong", "a: \xc0\xaf\n", MW_CODE_BAD_TEXT, 1, 4, "the byte C0", 0},
    {"half of a surrogate pair", "a: \xed\xa0\x80\n", MW_CODE_BAD_TEXT, 1, 4, "the byte ED", 0},
    {"character cut off", "a: \xe2\x82", MW_CODE_BAD_TEXT, 1, 4, "the byte E2", 0},
    {"control character", "a: b\x01\n", MW_CODE_BAD_CHARACTER, 1, 5, "the control character U+0001",
     0},
    {"delete", "a: b\x7f\n", MW_CODE_BAD_CHARACTER, 1, 5, "U+007F", 0},
    {"control character beyond ASCII", "a: \xc2\x9f\n", MW_CODE_BAD_CHARACTER, 1, 4, "U+009F", 0},

    /* places count characters, not bytes */
    {"behind letters beyond ASCII", "\xc3\xa9t\xc3\xa9: \xc3\xa8: 1\n", MW_CODE_YAML_SYNTAX, 1, 7,
     "a second colon", 0},
    {"in a line behind some", "a: \xe2\x82\xac\xe2\x82\xac\nb: [1\n", MW_CODE_UNCLOSED, 2, 4,
     "never closed", 0},
    {"behind a byte order mark",
     "\xef\xbb\xbf"
     "a: 1\na: 2\n",
     MW_CODE_YAML_TWICE, 2, 1, "the key `a`", 0},
    {"after CR LF", "a: 1\r\nb: 2\r\nb: 3\r\n", MW_CODE_YAML_TWICE, 3, 1, "the key `b`", 0},
};

/* Words of the library that reads YAML: none may reach a person. */
static const char *const foreign_words[] = {"mapping", "sequence", "scanning",      "parsing",
                                            "token",   "scalar",   "node",          "stream",
                                            "did not", "block ",   "could not find"};

typedef struct outcome {
    mw_sources *sources;
    mw_arena *arena;
    mw_diags diags;
    mw_status status;
} outcome;

static outcome read_text(mw_str text)
{
    outcome out = {.sources = mw_sources_new(), .arena = mw_arena_new()};
    const mw_yaml_node *root = NULL;
    assert_int_equal(mw_diags_start(&out.diags), MW_OK);
    uint32_t source = mw_sources_add(out.sources, mw_str_of("file.yaml"), text);
    out.status = mw_yaml_read(out.sources, source, out.arena, &root, &out.diags);
    return out;
}

static void outcome_end(outcome *out)
{
    mw_diags_free(&out->diags);
    mw_arena_free(out->arena);
    mw_sources_free(out->sources);
}

static void refuses(void **state)
{
    const error_row *row = *state;
    outcome out = read_text(mw_str_of(row->text));
    assert_int_equal(out.status, MW_FAILED);
    assert_int_equal(out.diags.errors, row->errors == 0 ? 1 : row->errors);
    const mw_diag *diag = &out.diags.items[0];
    mw_place place = mw_sources_place(out.sources, diag->span.source, diag->span.begin);
    if (diag->code != row->code || place.line != row->line || place.column != row->column ||
        strstr(diag->message, row->piece) == NULL) {
        fail_msg("%s at %u:%u: %s", mw_code_word(diag->code), (unsigned)place.line,
                 (unsigned)place.column, diag->message);
    }
    mw_text said = {0};
    mw_text_adds(&said, diag->message);
    mw_text_adds(&said, diag->advice == NULL ? "" : diag->advice);
    for (size_t i = 0; i < sizeof foreign_words / sizeof foreign_words[0]; i++) {
        assert_null(strstr(mw_text_chars(&said), foreign_words[i]));
    }
    mw_text_free(&said);
    outcome_end(&out);
}

/* --- the second place --------------------------------------------------------------------------- */

typedef struct other_row {
    const char *name;
    const char *text;
    uint32_t line, column; /* of the other place */
    const char *note;
} other_row;

static const other_row other_rows[] = {
    {"the first of two keys", "x: 1\na: 1\nb: 2\na: 3\n", 2, 1, "the first is here"},
    {"where a list began", "s:\n  - a\n  b: 1\n", 2, 3, "the list begins here"},
    {"where keys began", "a: 1\n- b\n", 1, 1, "the keys begin here"},
    {"what is left outside", "a: [1, 2\nbb: 3\n", 2, 1, "no longer belong"},
    {"which bracket", "a: [1, 2}\n", 1, 4, "opened here"},
    {"the first colon", "a: b: c\n", 1, 2, "the first colon"},
    {"the line above", "a: 1\n  b: 2\n", 1, 1, "the line above"},
};

static void shows_other_place(void **state)
{
    const other_row *row = *state;
    outcome out = read_text(mw_str_of(row->text));
    const mw_diag *diag = &out.diags.items[0];
    assert_int_equal(diag->other.source, 0);
    mw_place place = mw_sources_place(out.sources, diag->other.source, diag->other.begin);
    assert_int_equal(place.line, row->line);
    assert_int_equal(place.column, row->column);
    assert_non_null(strstr(diag->other_note, row->note));
    outcome_end(&out);
}

/* --- limits: one below, at, one beyond ---------------------------------------------------------- */

static mw_str repeated(mw_text *text, const char *piece, size_t times)
{
    for (size_t i = 0; i < times; i++) {
        mw_text_adds(text, piece);
    }
    assert_false(text->failed);
    return (mw_str){mw_text_chars(text), text->length};
}

static void check_limit(mw_text *text, bool fits, mw_code code)
{
    outcome out = read_text((mw_str){mw_text_chars(text), text->length});
    assert_int_equal(out.status, fits ? MW_OK : MW_FAILED);
    if (!fits) {
        assert_int_equal(out.diags.items[0].code, code);
    }
    outcome_end(&out);
    mw_text_free(text);
}

static void limits_depth(void **state)
{
    (void)state;
    for (size_t depth = MW_YAML_DEPTH - 1; depth <= MW_YAML_DEPTH + 1; depth++) {
        mw_text text = {0};
        repeated(&text, "[", depth);
        repeated(&text, "]", depth);
        check_limit(&text, depth <= MW_YAML_DEPTH, MW_CODE_TOO_DEEP);
    }
}

static void limits_scalar(void **state)
{
    (void)state;
    for (size_t length = MW_YAML_SCALAR_BYTES - 1; length <= MW_YAML_SCALAR_BYTES + 1; length++) {
        mw_text text = {0};
        mw_text_adds(&text, "a: ");
        mw_text_fill(&text, 'x', length);
        check_limit(&text, length <= MW_YAML_SCALAR_BYTES, MW_CODE_TOO_LONG);
    }
}

/* The list itself is a value, too. */
static void limits_nodes(void **state)
{
    (void)state;
    for (size_t items = MW_YAML_NODES - 2; items <= MW_YAML_NODES; items++) {
        mw_text text = {0};
        repeated(&text, "- \n", items);
        check_limit(&text, items + 1 <= MW_YAML_NODES, MW_CODE_TOO_BIG);
    }
}

static void limits_file(void **state)
{
    (void)state;
    for (size_t length = MW_YAML_FILE_BYTES; length <= MW_YAML_FILE_BYTES + 1; length++) {
        mw_text text = {0};
        mw_text_adds(&text, "a: 1\n#");
        mw_text_fill(&text, 'x', length - text.length);
        check_limit(&text, length <= MW_YAML_FILE_BYTES, MW_CODE_TOO_BIG);
    }
}

/* Ten errors are kept, the rest is counted. */
static void counts_beyond_ten(void **state)
{
    (void)state;
    mw_text text = {0};
    repeated(&text, "a: 1\n", 15);
    outcome out = read_text((mw_str){mw_text_chars(&text), text.length});
    assert_int_equal(out.diags.errors, 14);
    assert_int_equal(out.diags.count, 10);
    outcome_end(&out);
    mw_text_free(&text);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "refuses", rows, refuses);
    test_add_rows(&list, "other place", other_rows, shows_other_place);
    test_add(&list, limits_depth);
    test_add(&list, limits_scalar);
    test_add(&list, limits_nodes);
    test_add(&list, limits_file);
    test_add(&list, counts_beyond_ten);
    return test_run(&list, "recipe: yaml errors");
}
