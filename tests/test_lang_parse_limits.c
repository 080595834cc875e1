/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The limits of reading, one below, at, and one beyond; and reading with no memory left. */
#include "lang_front.h"

enum { DEPTH = 200, FORMULA_BYTES = 65536, NAME_BYTES = 255 };

/* A text made of a beginning, `count` times something, a middle, `count` times something else, an end. */
typedef struct limit_row {
    const char *name;
    const char *begin;
    const char *before;
    const char *middle;
    const char *after;
    const char *end;
    unsigned count;   /* how often */
    const char *want; /* code of the only message, or "" where it is read */
} limit_row;

static const limit_row limit_rows[] = {
    {"brackets, one below", "", "(", "1", ")", "", DEPTH - 1, ""},
    {"brackets, at the limit", "", "(", "1", ")", "", DEPTH, ""},
    {"brackets, one beyond", "", "(", "1", ")", "", DEPTH + 1, "too-deep"},
    {"brackets, far beyond", "", "(", "1", ")", "", 30000, "too-deep"},
    {"brackets beyond that nothing closes", "", "(", "", "", "", 60000, "too-deep"},
    {"lists, at the limit", "", "[", "1", "]", "", DEPTH, ""},
    {"lists, one beyond", "", "[", "1", "]", "", DEPTH + 1, "too-deep"},
    {"calls, at the limit", "", "f(", "1", ")", "", DEPTH, ""},
    {"calls, one beyond", "", "f(", "1", ")", "", DEPTH + 1, "too-deep"},
    {"signs, at the limit", "", "-", "a", "", "", DEPTH, ""},
    {"signs, one beyond", "", "-", "a", "", "", DEPTH + 1, "too-deep"},
    {"signs, far beyond", "", "-", "a", "", "", 60000, "too-deep"},
    {"nots, at the limit", "", "not ", "a", "", "", DEPTH, ""},
    {"nots, one beyond", "", "not ", "a", "", "", DEPTH + 1, "too-deep"},
    {"powers, at the limit", "", "a^", "a", "", "", DEPTH, ""},
    {"powers, one beyond", "", "a^", "a", "", "", DEPTH + 1, "too-deep"},
    {"choices, at the limit", "", "if a then b else ", "c", "", "", DEPTH, ""},
    {"choices, one beyond", "", "if a then b else ", "c", "", "", DEPTH + 1, "too-deep"},
    {"choices in conditions, far beyond", "", "if ", "a", "", "", 20000, "too-deep"},
    {"signs that mean nothing, one beyond", "+", "(+", "1", ")", "", DEPTH / 2, "too-deep"},
    {"sum, one below", "a", "+a", "", "", "", MW_TREE_HEIGHT - 2, ""},
    {"sum, at the limit", "a", "+a", "", "", "", MW_TREE_HEIGHT - 1, ""},
    {"sum, one beyond", "a", "+a", "", "", "", MW_TREE_HEIGHT, "too-deep"},
    {"sum, far beyond", "a", "+a", "", "", "", 32000, "too-deep"},
    {"conversions, one beyond", "a", " as m", "", "", "", MW_TREE_HEIGHT, "too-deep"},
    {"long list", "[1", ",1", "]", "", "", 32000, ""},
    {"brackets side by side", "[1", ",(1)", "]", "", "", 1000, ""},
    {"lists side by side", "[1", ",[1]", "]", "", "", 1000, ""},
    {"calls side by side", "[1", ",f(1)", "]", "", "", 1000, ""},
    {"signs side by side", "[1", ",-a", "]", "", "", 1000, ""},
    {"pluses side by side", "[1", ",+a", "]", "", "", 1000, ""},
    {"nots side by side", "[1", ",not a", "]", "", "", 1000, ""},
    {"powers side by side", "[1", ",a^b", "]", "", "", 1000, ""},
    {"choices side by side", "[1", ",if a then b else c", "]", "", "", 1000, ""},
    {"formula, one below", "a+", "", "a", " ", "", FORMULA_BYTES - 4, ""},
    {"formula, at the limit", "a+", "", "a", " ", "", FORMULA_BYTES - 3, ""},
    {"formula, one beyond", "a+", "", "a", " ", "", FORMULA_BYTES - 2, "too-long"},
    {"name, one below", "", "n", "", "", "", NAME_BYTES - 1, ""},
    {"name, at the limit", "", "n", "", "", "", NAME_BYTES, ""},
    {"name, one beyond", "", "n", "", "", "", NAME_BYTES + 1, "too-long"},
    {"name in a path, at the limit", "a.", "n", ".b", "", "", NAME_BYTES, ""},
    {"name in a path, one beyond", "a.", "n", ".b", "", "", NAME_BYTES + 1, "too-long"},
    {"name beyond ASCII, at the limit", "n", "\u00E4", "", "", "", 127, ""},
    {"name beyond ASCII, one beyond", "n", "\u00E4", "n", "", "", 127, "too-long"},
    {"name of a function, one beyond", "", "n", "(1)", "", "", NAME_BYTES + 1, "too-long"},
    {"text of any length", "\"", "x", "\"", "", "", 60000, ""},
    {"long path", "a", ".b", "", "", "", 30000, ""},
    {"many digits", "1", "0", "", "", "", 300, ""},
    {"too many digits", "1", "0", "", "", "", 400, "too-large"},
    {"many decimals", "0.", "1", "", "", "", 60000, ""},
};

static void add_times(mw_text *out, const char *piece, unsigned count)
{
    for (unsigned i = 0; i < count; i++) {
        mw_text_adds(out, piece);
    }
}

static void has_limit(void **state)
{
    const limit_row *row = *state;
    mw_text text = {0};
    mw_text_adds(&text, row->begin);
    add_times(&text, row->before, row->count);
    mw_text_adds(&text, row->middle);
    add_times(&text, row->after, row->count);
    mw_text_adds(&text, row->end);
    front f;
    front_open(&f, (mw_str){text.data, text.length});
    uint32_t root = MW_NONE;
    mw_status status = mw_parse_formula(&f.reader, front_whole(&f), &root);
    if (row->want[0] == '\0') {
        assert_string_equal(front_messages(&f), "");
        assert_int_equal(status, MW_OK);
        /* Writing and reading again goes as deep. */
        mw_text_clear(&f.out);
        mw_ast_words(&f.ast, f.measure, root, &f.out);
        assert_false(f.out.failed);
    } else {
        assert_int_equal(status, MW_FAILED);
        assert_int_equal(f.diags.count, 1);
        assert_string_equal(mw_code_word(f.diags.items[0].code), row->want);
        front_check_words(&f);
    }
    front_close(&f);
    mw_text_free(&text);
}

/* Statements: the formula has the same limit, whatever stands in front. */
typedef struct line_row {
    const char *name;
    const char *begin;
    size_t formula; /* bytes */
    const char *end;
    bool fits;
} line_row;

static const line_row line_rows[] = {
    {"line, at the limit", "some_name = ", FORMULA_BYTES, " # rest", true},
    {"line, one beyond", "some_name = ", FORMULA_BYTES + 1, "", false},
    {"path, at the limit", "hull.heavy.plies = ", FORMULA_BYTES, "", true},
    {"why, at the limit", "why ", FORMULA_BYTES, "", true},
    {"why, one beyond", "why ", FORMULA_BYTES + 1, "", false},
    {"formula alone, at the limit", "", FORMULA_BYTES, "", true},
    {"formula alone, one beyond", "", FORMULA_BYTES + 1, "", false},
    {"formula alone, far beyond", "", 200000, "", false},
};

static void line_has_limit(void **state)
{
    const line_row *row = *state;
    mw_text text = {0};
    mw_text_adds(&text, row->begin);
    mw_text_addc(&text, 'a');
    mw_text_addc(&text, '+');
    mw_text_fill(&text, ' ', row->formula - 3);
    mw_text_addc(&text, 'a');
    mw_text_adds(&text, row->end);
    front f;
    front_open(&f, (mw_str){text.data, text.length});
    mw_statement statement;
    mw_status status = mw_parse_statement(&f.reader, front_whole(&f), &statement);
    assert_int_equal(status, row->fits ? MW_OK : MW_FAILED);
    if (row->fits) {
        assert_int_equal(statement.formula_span.end - statement.formula_span.begin, row->formula);
    } else {
        assert_string_equal(mw_code_word(f.diags.items[0].code), "too-long");
    }
    front_close(&f);
    mw_text_free(&text);
}

typedef struct field_row {
    const char *name;
    unsigned count;
    bool fits;
} field_row;

static const field_row field_rows[] = {
    {"one below", 999, true},
    {"at the limit", 1000, true},
    {"one beyond", 1001, false},
    {"far beyond", 7000, false},
};

/* Inputs of a mould. */
static void fields_have_limit(void **state)
{
    const field_row *row = *state;
    mw_text text = {0};
    mw_text_adds(&text, "mould m:");
    for (unsigned i = 0; i < row->count; i++) {
        mw_text_addf(&text, "%sf%u 1", i == 0 ? "" : ",", i);
    }
    front f;
    front_open(&f, (mw_str){text.data, text.length});
    mw_statement statement;
    mw_status status = mw_parse_statement(&f.reader, front_whole(&f), &statement);
    assert_int_equal(status, row->fits ? MW_OK : MW_FAILED);
    assert_int_equal(f.diags.errors, row->fits ? 0 : 1);
    if (row->fits) {
        assert_int_equal(statement.item_count, row->count);
    } else {
        assert_string_equal(mw_code_word(f.diags.items[0].code), "too-long");
    }
    front_close(&f);
    mw_text_free(&text);
}

/* --- no memory --- */

static const char *const memory_lines[] = {
    "hull_port.heavy.resin = sum([1, 2 kg, f(a.b, \"text\")]) * -2^x as g",
    "mould hull_port: area 6.4 m2, edge 11.2 m, recipe \"split carbon\", after [a, b]",
    "what if a = 1, 2, 3 with b = 2 kg, 3 kg, 4 kg by c.d = f(1,2), 3",
};

/* Reads all lines anew; whatever fails must leave the tree as it was. */
static support_outcome read_lines(void *context)
{
    front *f = context;
    mw_ast_free(&f->ast);
    mw_diags_clear(&f->diags);
    uint32_t at = 0;
    mw_span span;
    while (mw_next_line(f->sources, f->source, &at, &span)) {
        uint32_t nodes = f->ast.node_count;
        uint32_t items = f->ast.item_count;
        mw_statement statement;
        mw_status status = mw_parse_statement(&f->reader, span, &statement);
        if (status != MW_OK) {
            support_fail_never();
            assert_int_equal(status, MW_NO_MEMORY);
            assert_int_equal(f->ast.node_count, nodes);
            assert_int_equal(f->ast.item_count, items);
            return SUPPORT_NO_MEMORY;
        }
    }
    return SUPPORT_DONE;
}

static void survives_no_memory(void **state)
{
    (void)state;
    mw_text text = {0};
    for (size_t i = 0; i < sizeof memory_lines / sizeof memory_lines[0]; i++) {
        mw_text_adds(&text, memory_lines[i]);
        mw_text_addc(&text, '\n');
    }
    front f;
    front_open(&f, (mw_str){text.data, text.length});
    assert_int_equal(read_lines(&f), SUPPORT_DONE); /* the units are known from now on */
    assert_true(support_fail_each_allocation(read_lines, &f) >= 4);
    front_close(&f);
    mw_text_free(&text);
}

/* A message for which there is no memory still is an error. */
static void reports_without_memory(void **state)
{
    (void)state;
    front f;
    front_open(&f, mw_str_of("1 + * 2"));
    uint32_t root = 0;
    assert_int_equal(mw_parse_formula(&f.reader, front_whole(&f), &root), MW_FAILED);
    mw_diags_clear(&f.diags);
    support_fail_allocation(0, true);
    mw_status status = mw_parse_formula(&f.reader, front_whole(&f), &root);
    support_fail_never();
    assert_int_equal(status, MW_FAILED);
    assert_true(mw_diags_bad(&f.diags));
    front_close(&f);
}

/* Once the workspace has grown, reading asks for nothing. */
static void asks_for_no_more(void **state)
{
    (void)state;
    front f;
    front_open(&f, mw_str_of("cell_123 = cell_122 * 1.0625 + 3 kg + sum([a, b, 4.5])"));
    mw_statement statement;
    assert_int_equal(mw_parse_statement(&f.reader, front_whole(&f), &statement), MW_OK);
    mw_ast_clear(&f.ast);
    support_fail_allocation(0, true);
    mw_status status = mw_parse_statement(&f.reader, front_whole(&f), &statement);
    assert_false(support_fail_never());
    assert_int_equal(status, MW_OK);
    front_close(&f);
}

/* Room is asked for by length; what no memory could hold is refused without trying. */
static void frees_the_tree(void **state)
{
    (void)state;
    front f;
    front_open(&f, mw_str_of("a + b"));
    uint32_t root = 0;
    assert_int_equal(mw_parse_formula(&f.reader, front_whole(&f), &root), MW_OK);
    mw_ast_free(&f.ast);
    assert_null(f.ast.nodes);
    assert_null(f.ast.links);
    assert_null(f.ast.parts);
    assert_int_equal(f.ast.node_count, 0);
    assert_int_equal(f.ast.node_capacity, 0);
    assert_int_equal(mw_parse_formula(&f.reader, front_whole(&f), &root), MW_OK);
    front_close(&f);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "limit", limit_rows, has_limit);
    test_add_rows(&list, "line", line_rows, line_has_limit);
    test_add_rows(&list, "fields", field_rows, fields_have_limit);
    test_add(&list, survives_no_memory);
    test_add(&list, reports_without_memory);
    test_add(&list, asks_for_no_more);
    test_add(&list, frees_the_tree);
    return test_run(&list, "lang_parse_limits");
}
