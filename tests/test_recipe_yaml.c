/* SPDX-License-Identifier: GPL-3.0-or-later */
/* YAML files as trees: examples of the published specification, styles, places, big maps, and memory that
 * ends. A tree is written as one line: lists in [], maps in {}, texts as they are, line ends as \n. */
#include <string.h>

#include "mouldwright/yaml.h"
#include "support.h"

typedef struct tree_row {
    const char *name; /* examples: YAML Ain't Markup Language 1.2, 3rd edition (2009), chapter 2 */
    const char *text;
    const char *tree;
} tree_row;

static const tree_row rows[] = {
    {"spec 1.2, example 2.1: sequence of scalars", "- Mark McGwire\n- Sammy Sosa\n- Ken Griffey\n",
     "[Mark McGwire, Sammy Sosa, Ken Griffey]"},
    {"spec 1.2, example 2.2: mapping scalars to scalars",
     "hr:  65    # Home runs\navg: 0.278 # Batting average\nrbi: 147   # Runs Batted In\n",
     "{hr: 65, avg: 0.278, rbi: 147}"},
    {"spec 1.2, example 2.3: mapping scalars to sequences",
     "american:\n  - Boston Red Sox\n  - Detroit Tigers\n  - New York Yankees\nnational:\n"
     "  - New York Mets\n  - Chicago Cubs\n  - Atlanta Braves\n",
     "{american: [Boston Red Sox, Detroit Tigers, New York Yankees], "
     "national: [New York Mets, Chicago Cubs, Atlanta Braves]}"},
    {"spec 1.2, example 2.4: sequence of mappings",
     "-\n  name: Mark McGwire\n  hr:   65\n  avg:  0.278\n-\n  name: Sammy Sosa\n  hr:   63\n"
     "  avg:  0.288\n",
     "[{name: Mark McGwire, hr: 65, avg: 0.278}, {name: Sammy Sosa, hr: 63, avg: 0.288}]"},
    {"spec 1.2, example 2.5: sequence of sequences",
     "- [name        , hr, avg  ]\n- [Mark McGwire, 65, 0.278]\n- [Sammy Sosa  , 63, 0.288]\n",
     "[[name, hr, avg], [Mark McGwire, 65, 0.278], [Sammy Sosa, 63, 0.288]]"},
    {"spec 1.2, example 2.6: mapping of mappings",
     "Mark McGwire: {hr: 65, avg: 0.278}\nSammy Sosa: {\n    hr: 63,\n    avg: 0.288\n  }\n",
     "{Mark McGwire: {hr: 65, avg: 0.278}, Sammy Sosa: {hr: 63, avg: 0.288}}"},
    {"spec 1.2, example 2.9: single document with two comments",
     "---\nhr: # 1998 hr ranking\n  - Mark McGwire\n  - Sammy Sosa\nrbi:\n"
     "  # 1998 rbi ranking\n  - Sammy Sosa\n  - Ken Griffey\n",
     "{hr: [Mark McGwire, Sammy Sosa], rbi: [Sammy Sosa, Ken Griffey]}"},
    {"spec 1.2, example 2.12: compact nested mapping",
     "---\n# Products purchased\n- item    : Super Hoop\n  quantity: 1\n- item    : Basketball\n"
     "  quantity: 4\n- item    : Big Shoes\n  quantity: 1\n",
     "[{item: Super Hoop, quantity: 1}, {item: Basketball, quantity: 4}, "
     "{item: Big Shoes, quantity: 1}]"},
    {"spec 1.2, example 2.13: in literals, newlines are preserved",
     "# ASCII Art\n--- |\n  \\//||\\/||\n  // ||  ||__\n", "\\//||\\/||\\n// ||  ||__\\n"},
    {"spec 1.2, example 2.14: in folded scalars, newlines become spaces",
     "--- >\n  Mark McGwire's\n  year was crippled\n  by a knee injury.\n",
     "Mark McGwire's year was crippled by a knee injury.\\n"},
    {"spec 1.2, example 2.15: folded newlines are kept for more indented lines",
     ">\n Sammy Sosa completed another\n fine season with great stats.\n\n   63 Home Runs\n"
     "   0.288 Batting Average\n\n What a year!\n",
     "Sammy Sosa completed another fine season with great stats.\\n\\n  63 Home Runs\\n"
     "  0.288 Batting Average\\n\\nWhat a year!\\n"},
    {"spec 1.2, example 2.16: indentation determines scope",
     "name: Mark McGwire\naccomplishment: >\n  Mark set a major league\n  home run record in 1998.\n"
     "stats: |\n  65 Home Runs\n  0.278 Batting Average\n",
     "{name: Mark McGwire, accomplishment: Mark set a major league home run record in 1998.\\n, "
     "stats: 65 Home Runs\\n0.278 Batting Average\\n}"},
    {"spec 1.2, example 2.17: quoted scalars",
     "unicode: \"Sosa did fine.\\u263A\"\ncontrol: \"\\b1998\\t1999\\t2000\\n\"\n"
     "hex esc: \"\\x0d\\x0a is \\r\\n\"\n\nsingle: '\"Howdy!\" he cried.'\n"
     "quoted: ' # Not a ''comment''.'\ntie-fighter: '|\\-*-/|'\n",
     "{unicode: Sosa did fine.\xe2\x98\xba, control: \b1998\t1999\t2000\\n, "
     "hex esc: \r\\n is \r\\n, single: \"Howdy!\" he cried., quoted:  # Not a 'comment'., "
     "tie-fighter: |\\-*-/|}"},
    {"spec 1.2, example 2.18: multi-line flow scalars",
     "plain:\n  This unquoted scalar\n  spans many lines.\n\nquoted: \"So does this\n"
     "  quoted scalar.\\n\"\n",
     "{plain: This unquoted scalar spans many lines., quoted: So does this quoted scalar.\\n}"},
    {"spec 1.2, example 2.19: integers are texts here",
     "canonical: 12345\ndecimal: +12,345\noctal: 0o14\nhexadecimal: 0xC\n",
     "{canonical: 12345, decimal: +12,345, octal: 0o14, hexadecimal: 0xC}"},
    {"spec 1.2, example 2.21: miscellaneous are texts here",
     "null:\nbooleans: [ true, false ]\nstring: '012345'\n",
     "{null: , booleans: [true, false], string: 012345}"},
    {"spec 1.2, example 2.22: timestamps are texts here",
     "canonical: 2001-12-15T02:59:43.1Z\niso8601: 2001-12-14t21:59:43.10-05:00\n"
     "spaced: 2001-12-14 21:59:43.10 -5\ndate: 2002-12-14\n",
     "{canonical: 2001-12-15T02:59:43.1Z, iso8601: 2001-12-14t21:59:43.10-05:00, "
     "spaced: 2001-12-14 21:59:43.10 -5, date: 2002-12-14}"},

    {"empty file", "", "{}"},
    {"only a comment", "# nothing\n", "{}"},
    {"only a document mark", "---\n", "{}"},
    {"no line end at the end", "a: b", "{a: b}"},
    {"one text", "just this\n", "just this"},
    {"no is a text", "a: no\nb: off\nc: ~\n", "{a: no, b: off, c: ~}"},
    {"list at the depth of its key", "a:\n- b\n- c\nd: e\n", "{a: [b, c], d: e}"},
    {"pairs in a list", "[a: b, c]", "[{a: b}, c]"},
    {"keys in quotes", "\"a b\": 1\n'c''d': 2\n", "{a b: 1, c'd: 2}"},
    {"chomping", "a: |-\n  x\nb: |+\n  y\n\nc: z\n", "{a: x, b: y\\n\\n, c: z}"},
    {"indentation told", "a: |2\n    x\n  y\n", "{a:   x\\ny\\n}"},
    {"empty literal", "a: |\nb: c\n", "{a: , b: c}"},
    {"CR LF", "a: 1\r\nb:\r\n  - c\r\n", "{a: 1, b: [c]}"},
    {"CR LF in a literal", "a: |\r\n  x\r\n  y\r\n", "{a: x\\ny\\n}"},
    {"byte order mark",
     "\xef\xbb\xbf"
     "a:\n  b: 1\n",
     "{a: {b: 1}}"},
    {"letters beyond ASCII", "\xc3\xa9t\xc3\xa9: \xe2\x82\xac\n",
     "{\xc3\xa9t\xc3\xa9: \xe2\x82\xac}"},
    {"end of the document", "a: 1\n...\n", "{a: 1}"},
    {"version", "%YAML 1.2\n---\na: 1\n", "{a: 1}"},
    {"formula with colons in brackets", "a: {is: if b then 2 else 3, about: \"x: y\"}\n",
     "{a: {is: if b then 2 else 3, about: x: y}}"},
};

static void write_tree(const mw_yaml_node *node, mw_text *out)
{
    if (node->kind == MW_YAML_SCALAR) {
        for (size_t i = 0; i < node->text.length; i++) {
            if (node->text.at[i] == '\n') {
                mw_text_adds(out, "\\n");
            } else {
                mw_text_addc(out, node->text.at[i]);
            }
        }
        return;
    }
    bool map = node->kind == MW_YAML_MAP;
    mw_text_addc(out, map ? '{' : '[');
    for (const mw_yaml_node *child = node->first; child != NULL; child = child->next) {
        mw_text_adds(out, child == node->first ? "" : ", ");
        if (map) {
            mw_text_add_str(out, child->key);
            mw_text_adds(out, ": ");
        }
        write_tree(child, out);
    }
    mw_text_addc(out, map ? '}' : ']');
}

/* A file that is read. */
typedef struct file {
    mw_sources *sources;
    mw_arena *arena;
    mw_diags diags;
    const mw_yaml_node *root;
} file;

static file read_file(const char *text)
{
    file f = {.sources = mw_sources_new(), .arena = mw_arena_new()};
    assert_int_equal(mw_diags_start(&f.diags), MW_OK);
    uint32_t source = mw_sources_add(f.sources, mw_str_of("file.yaml"), mw_str_of(text));
    mw_status status = mw_yaml_read(f.sources, source, f.arena, &f.root, &f.diags);
    if (status != MW_OK) {
        fail_msg("%s", f.diags.count > 0 ? f.diags.items[0].message : "no memory");
    }
    return f;
}

static void file_end(file *f)
{
    mw_diags_free(&f->diags);
    mw_arena_free(f->arena);
    mw_sources_free(f->sources);
}

static void reads(void **state)
{
    const tree_row *row = *state;
    file f = read_file(row->text);
    mw_text tree = {0};
    write_tree(f.root, &tree);
    assert_string_equal(mw_text_chars(&tree), row->tree);
    mw_text_free(&tree);
    file_end(&f);
}

/* --- places --------------------------------------------------------------------------------------- */

typedef struct place_row {
    const char *name;
    const char *text;  /* a map whose key `k` has the value looked at */
    const char *piece; /* what its span holds */
    bool in_place;
    bool plain;
    bool literal;
} place_row;

static const place_row place_rows[] = {
    {"plain", "k: a + b   # note\n", "a + b", true, true, false},
    {"plain in brackets", "{x: 1, k: a * 2 , y: 3}\n", "a * 2", true, true, false},
    {"double quotes", "k: \"a: b\"\n", "a: b", true, false, false},
    {"single quotes", "k: 'a \"b\"'\n", "a \"b\"", true, false, false},
    {"behind letters beyond ASCII", "\xc3\xa9: \xe2\x82\xac\nk: \"\xc3\xa8 + 1\"\n", "\xc3\xa8 + 1",
     true, false, false},
    {"behind a byte order mark",
     "\xef\xbb\xbf"
     "k: abc\n",
     "abc", true, true, false},
    {"escaped", "k: \"a\\\"b\"\n", "a\\\"b", false, false, false},
    {"doubled quote", "k: 'a''b'\n", "a''b", false, false, false},
    {"quoted over two lines", "k: \"a\n  b\"\n", "a\n  b", false, false, false},
    {"quoted over lines of equal length", "k: \"a\nb\"\n", "a\nb", false, false, false},
    {"plain over two lines", "k: a +\n  b\n", "a +\n  b", false, true, false},
    {"folded", "k: >\n  a\n  b\nx: 1\n", "a\n  b", false, false, false},
    {"literal of one line", "k: |\n  a + b\nx: 1\n", "a + b", true, false, true},
    {"literal of two lines", "k: |\n  a +\n  b\nx: 1\n", "a +\n  b", true, false, true},
    {"literal behind blank lines", "k: |  # note\n\n \n  a\n\n\nx: 1\n", "a", true, false, true},
    {"empty literal", "k: |\n\nx: 1\n", "", true, false, true},
    {"empty", "k:\nx: 1\n", "", true, true, false},
    {"empty quotes", "k: ''\n", "", true, false, false},
    {"list in brackets", "k: [a, [b], c]\nx: 1\n", "[a, [b], c]", false, false, false},
    {"list of items", "k:\n  - a\n  - b\n\n# note\nx: 1\n", "- a\n  - b", false, false, false},
    {"map of keys", "k:\n  a: 1\n  b: 2 # note\nx: 1\n", "a: 1\n  b: 2", false, false, false},
    {"map whose last value is empty", "k:\n  a: 1\n  b:\nx: 1\n", "a: 1\n  b:", false, false,
     false},
};

static void stands_at(void **state)
{
    const place_row *row = *state;
    file f = read_file(row->text);
    const mw_yaml_node *node = mw_yaml_find(f.root, "k");
    assert_non_null(node);
    mw_str piece = mw_sources_piece(f.sources, node->span);
    if (!mw_str_is(piece, row->piece)) {
        fail_msg("span holds `%.*s`", (int)piece.length, piece.at);
    }
    assert_int_equal(node->in_place, row->in_place);
    assert_int_equal(node->plain, row->plain);
    assert_int_equal(node->literal, row->literal);
    assert_true(mw_str_is(mw_sources_piece(f.sources, node->key_span), "k"));
    file_end(&f);
}

/* --- finding -------------------------------------------------------------------------------------- */

static void finds_keys(void **state)
{
    (void)state;
    file f = read_file("a: 1\nbc: [x, y]\n");
    assert_true(mw_str_is(mw_yaml_find(f.root, "a")->text, "1"));
    assert_int_equal(mw_yaml_find(f.root, "bc")->count, 2);
    assert_null(mw_yaml_find(f.root, "b"));
    assert_null(mw_yaml_find(f.root, ""));
    assert_null(mw_yaml_find(mw_yaml_find(f.root, "bc"), "x"));
    assert_null(mw_yaml_find(mw_yaml_find(f.root, "a"), "1"));
    file_end(&f);
}

/* Two maps with the same many keys do not disturb each other, and twins are found in both. */
static void tells_big_maps_apart(void **state)
{
    (void)state;
    enum { KEYS = 3000 };
    mw_text text = {0};
    for (int map = 0; map < 2; map++) {
        mw_text_addf(&text, "m%d:\n", map);
        for (int i = 0; i < KEYS; i++) {
            mw_text_addf(&text, "  key_%d: %d\n", i, i);
        }
    }
    file f = read_file(mw_text_chars(&text));
    assert_int_equal(mw_yaml_find(f.root, "m0")->count, KEYS);
    assert_int_equal(mw_yaml_find(f.root, "m1")->count, KEYS);
    file_end(&f);
    mw_text_adds(&text, "  key_2345: x\n");
    mw_sources *sources = mw_sources_new();
    mw_arena *arena = mw_arena_new();
    mw_diags diags;
    const mw_yaml_node *root;
    assert_int_equal(mw_diags_start(&diags), MW_OK);
    uint32_t source =
        mw_sources_add(sources, mw_str_of("f"), (mw_str){mw_text_chars(&text), text.length});
    assert_int_equal(mw_yaml_read(sources, source, arena, &root, &diags), MW_FAILED);
    assert_int_equal(diags.errors, 1);
    assert_int_equal(mw_sources_place(sources, source, diags.items[0].span.begin).line,
                     2 * (KEYS + 1) + 1);
    assert_int_equal(mw_sources_place(sources, source, diags.items[0].other.begin).line,
                     KEYS + 1 + 1 + 2345 + 1);
    mw_diags_free(&diags);
    mw_arena_free(arena);
    mw_sources_free(sources);
    mw_text_free(&text);
}

/* --- memory ----------------------------------------------------------------------------------------- */

typedef struct memory_case {
    mw_sources *sources;
    uint32_t source;
    bool broken;
} memory_case;

static support_outcome attempt_read(void *context)
{
    const memory_case *of = context;
    mw_diags diags;
    const mw_yaml_node *root = NULL;
    mw_arena *arena = mw_arena_new();
    mw_status status = mw_diags_start(&diags);
    if (status == MW_OK && arena != NULL) {
        status = mw_yaml_read(of->sources, of->source, arena, &root, &diags);
    } else {
        status = MW_NO_MEMORY;
    }
    support_fail_never();
    if (status != MW_NO_MEMORY) {
        assert_int_equal(status, of->broken ? MW_FAILED : MW_OK);
        assert_int_equal(diags.errors > 0, of->broken);
    }
    mw_diags_free(&diags);
    mw_arena_free(arena);
    return status == MW_NO_MEMORY ? SUPPORT_NO_MEMORY : SUPPORT_DONE;
}

static void fails_each(const char *text, bool broken)
{
    memory_case of = {.sources = mw_sources_new(), .broken = broken};
    of.source = mw_sources_add(of.sources, mw_str_of("f"), mw_str_of(text));
    assert_true(support_fail_each_allocation(attempt_read, &of) > 0);
    mw_sources_free(of.sources);
}

static void memory_ends_in_a_tree(void **state)
{
    (void)state;
    fails_each("a: \"x\\ty\"\nb: [1, {c: >\n  d\n  e\n}]\n", true);
    fails_each("a: \"x\\ty\"\nb: [1, {c: d}]\nf: >\n  g\n  h\n", false);
    fails_each("{a: 1, b: 1, c: 1, d: 1, e: 1, f: 1, g: 1, h: 1, i: 1, j: 1, k: 1, l: 1, m: 1, "
               "n: 1, o: 1, p: 1, q: 1, r: 1}",
               false);
}

static void memory_ends_in_messages(void **state)
{
    (void)state;
    fails_each("a: 1\na: 2\nb: *c\n", true);
    fails_each("a:\n    b: 1\n  c: 2\n", true);
    fails_each("a: [1, 2\nb: c\n", true);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "reads", rows, reads);
    test_add_rows(&list, "stands at", place_rows, stands_at);
    test_add(&list, finds_keys);
    test_add(&list, tells_big_maps_apart);
    test_add(&list, memory_ends_in_a_tree);
    test_add(&list, memory_ends_in_messages);
    return test_run(&list, "recipe: yaml");
}
