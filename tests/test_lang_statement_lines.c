/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where statements end in a text, when a typed one is whole, and what is a name. */
#include "lang_front.h"

typedef struct lines_row {
    const char *name;
    const char *text;
    const char *want; /* the statements, each behind a | */
} lines_row;

static const lines_row lines_rows[] = {
    {"nothing", "", ""},
    {"one line", "a = 1", "|a = 1"},
    {"one line with its end", "a = 1\n", "|a = 1"},
    {"two lines", "a = 1\nb = 2\n", "|a = 1|b = 2"},
    {"blank lines", "\n\na\n \n", "|||a| "},
    {"CR LF", "a = 1\r\nb = 2\r\n", "|a = 1|b = 2"},
    {"CR alone ends no line", "a\rb\n", "|a\rb"},
    {"byte order mark at the beginning",
     "\xEF\xBB\xBF"
     "a = 1\nb",
     "|a = 1|b"},
    {"comment", "a # one\nb\n", "|a # one|b"},
    /* joined by a backslash */
    {"backslash", "a = 1 + \\\n 2\nb", "|a = 1 + \\\n 2|b"},
    {"backslash and CR LF", "a = 1 + \\\r\n 2\r\nb", "|a = 1 + \\\r\n 2|b"},
    {"backslash with blanks behind", "a + \\ \t\n b\nc", "|a + \\ \t\n b|c"},
    {"backslash over three lines", "a \\\n+ \\\n b\nc", "|a \\\n+ \\\n b|c"},
    {"backslash inside a line", "a \\ b\nc", "|a \\ b|c"},
    {"backslash in a comment", "a # x \\\nb", "|a # x \\|b"},
    {"backslash before a definition", "a + \\\nb = 3\n", "|a + \\\nb = 3"},
    {"backslash at the very end", "a + \\", "|a + \\"},
    {"backslash before a blank line", "a \\\n\nb", "|a \\\n|b"},
    /* open brackets */
    {"bracket", "a = (1 +\n 2)\nb", "|a = (1 +\n 2)|b"},
    {"list", "a = [1,\n 2,\n 3]\nb", "|a = [1,\n 2,\n 3]|b"},
    {"closed on a line of its own", "a = [1,\n 2\n]\nb", "|a = [1,\n 2\n]|b"},
    {"opened at the end of a line", "a = sum(\n b)\nc", "|a = sum(\n b)|c"},
    {"sign at the beginning of a line", "a = (b\n + c)\nd", "|a = (b\n + c)|d"},
    {"word at the end of a line", "a = (b and\n c)\nd", "|a = (b and\n c)|d"},
    {"or at the end of a line", "a = (b or\n c)\nd", "|a = (b or\n c)|d"},
    {"as at the end of a line", "a = (b as\n kg)\nd", "|a = (b as\n kg)|d"},
    {"if at the end of a line", "a = (if\n b then\n c else\n d)\ne",
     "|a = (if\n b then\n c else\n d)|e"},
    {"or at the beginning of a line", "a = (b\n or c)\nd", "|a = (b\n or c)|d"},
    {"as at the beginning of a line", "a = (b\n as kg)\nd", "|a = (b\n as kg)|d"},
    {"not at the beginning of a line behind a value", "a = (b\n not c)\nd", "|a = (b| not c)|d"},
    {"if at the beginning of a line behind a value", "a = (b\n if c)\nd", "|a = (b| if c)|d"},
    {"word at the beginning of a line", "a = (b\n and c)\nd", "|a = (b\n and c)|d"},
    {"choice over lines", "a = (if b\n then c\n else d)\ne", "|a = (if b\n then c\n else d)|e"},
    {"not at the end of a line", "a = (not\n b)\nc", "|a = (not\n b)|c"},
    {"name with a digit that ends like a word", "a = (x2and\nc)", "|a = (x2and|c)"},
    {"name that ends like a word", "a = (band\nc)", "|a = (band|c)"},
    {"comments inside", "a = (1 + # one\n 2) # two\nb", "|a = (1 + # one\n 2) # two|b"},
    {"line of comment inside", "a = (1 +\n # one (\n 2)\nb", "|a = (1 +\n # one (\n 2)|b"},
    {"line of comment behind a value", "a = (1\n # one\n + 2)\nb", "|a = (1\n # one\n + 2)|b"},
    {"quotes inside", "a = (\"(\" +\n \")\")\nb", "|a = (\"(\" +\n \")\")|b"},
    {"quote with a quote inside", "a = (\"\\\")\" +\n b)\nc", "|a = (\"\\\")\" +\n b)|c"},
    {"bracket in quotes opens nothing", "a = \"(\"\nb", "|a = \"(\"|b"},
    {"bracket in a comment opens nothing", "a # (\nb", "|a # (|b"},
    {"comment sign in quotes", "a = (\"#\" +\n b)\nc", "|a = (\"#\" +\n b)|c"},
    {"closed too often", "a)\nb", "|a)|b"},
    {"bracket and backslash", "a = (1 + \\\n 2)\nb", "|a = (1 + \\\n 2)|b"},
    {"CR LF inside a bracket", "a = (1 +\r\n 2)\r\nb", "|a = (1 +\r\n 2)|b"},
    /* forgotten brackets */
    {"forgotten before a definition", "a = (1 +\nb = 2\nc", "|a = (1 +|b = 2|c"},
    {"forgotten before a path", "a = (1 +\n hull.b = 2\nc", "|a = (1 +| hull.b = 2|c"},
    {"forgotten before a blank line", "a = (1 +\n\n2)", "|a = (1 +||2)"},
    {"forgotten before a statement", "a = (1\nwhy b\nc", "|a = (1|why b|c"},
    {"forgotten before a mould", "a = [1, 2\nmould b: count 1\n", "|a = [1, 2|mould b: count 1"},
    {"forgotten behind a text", "a = f(\"x\"\nshop \"y\"", "|a = f(\"x\"|shop \"y\""},
    {"a comparison is no definition", "a = (b\n = c)\nd", "|a = (b\n = c)|d"},
    {"two equal signs are no definition", "a = (1 +\nb == 2)\nd", "|a = (1 +\nb == 2)|d"},
    {"forgotten at the end", "a = (1 +\n", "|a = (1 +"},
    /* quotes do not go over lines */
    {"quote not closed", "a = \"x\nb = \"y\"", "|a = \"x|b = \"y\""},
    {"quote not closed, backslash", "a = \"x\\\nb", "|a = \"x\\|b"},
};

static void splits(void **state)
{
    const lines_row *row = *state;
    front f;
    front_open(&f, mw_str_of(row->text));
    uint32_t at = 0;
    mw_span span;
    mw_text_clear(&f.out);
    while (mw_next_line(f.sources, f.source, &at, &span)) {
        assert_int_equal(span.source, f.source);
        mw_text_addc(&f.out, '|');
        mw_text_add_str(&f.out, mw_sources_piece(f.sources, span));
    }
    assert_int_equal(at, strlen(row->text));
    assert_string_equal(mw_text_chars(&f.out), row->want);
    front_close(&f);
}

typedef struct whole_row {
    const char *name;
    const char *text;
    bool whole;
} whole_row;

static const whole_row whole_rows[] = {
    {"nothing", "", true},
    {"a line", "a = 1", true},
    {"bracket", "a = (1 +", false},
    {"bracket behind a value", "a = (1", false},
    {"list", "a = [1,", false},
    {"bracket closed", "a = (1 + 2)", true},
    {"bracket closed in the second line", "a = (1 +\n2)", true},
    {"bracket not closed in the second line", "a = (1 +\n2", false},
    {"bracket and an empty line", "a = (1 +\n", true},
    {"bracket and a blank line", "a = (1 +\n  ", true},
    {"backslash", "a + \\", false},
    {"backslash with blanks", "a + \\  ", false},
    {"backslash and the rest", "a + \\\nb", true},
    {"backslash and an empty line", "a + \\\n", true},
    {"backslash in a comment", "a # \\", true},
    {"bracket in a comment", "a # (", true},
    {"bracket in quotes", "\"(\"", true},
    {"quote not closed", "\"abc", true},
    {"closed too often", "a)", true},
    {"two lines, the last open", "a = 1\nb = (", false},
    {"two lines, the first open", "a = (1\nb = 2", true},
    {"mould", "mould a: after [b,", false},
};

static void tells_whole(void **state)
{
    const whole_row *row = *state;
    assert_int_equal(mw_line_complete(mw_str_of(row->text)), row->whole);
}

/* Characters: Unicode Character Database 14.0, general categories. */
typedef struct name_row {
    const char *name;
    const char *text;
    bool is_name;
} name_row;

static const name_row name_rows[] = {
    {"letters", "area", true},
    {"capitals", "Area", true},
    {"digits behind", "x12", true},
    {"underscore", "_", true},
    {"underscores", "_a_", true},
    {"empty", "", false},
    {"digit in front", "1a", false},
    {"digit alone", "1", false},
    {"blank", "a b", false},
    {"point", "a.b", false},
    {"minus", "a-b", false},
    {"if", "if", false},
    {"then", "then", false},
    {"else", "else", false},
    {"and", "and", false},
    {"or", "or", false},
    {"not", "not", false},
    {"as", "as", false},
    {"yes", "yes", false},
    {"no", "no", false},
    {"usual", "usual", false},
    {"capital word", "If", true},
    {"longer than a word", "ifs", true},
    {"shorter than a word", "usua", true},
    {"another word as long", "usuak", true},
    {"statement word", "mould", true},
    {"unit", "kg", true},
    {"Latin with marks, Ll", "größe", true},
    {"Greek, Ll", "αβγ", true},
    {"Cyrillic, Lu", "ЖД", true},
    {"Hebrew, Lo", "שלום", true},
    {"Arabic, Lo", "مرحبا", true},
    {"Devanagari with vowel signs, Mc Mn", "हिन्दी", true},
    {"Thai, Lo Mn", "ไทย", true},
    {"Han, Lo", "船", true},
    {"Hangul, Lo", "배", true},
    {"Gothic, Lo beyond the first plane", "\U00010330", true},
    {"letter number, Nl", "Ⅷ", true},
    {"Arabic digit behind, Nd", "a٣", true},
    {"Arabic digit in front, Nd", "٣a", false},
    {"mark in front, Mn", "\u0301a", false},
    {"mark behind, Mn", "a\u0301", true},
    {"micro sign, Ll", "µ", true},
    {"degree sign, So", "°", false},
    {"raised two, No", "x²", false},
    {"times sign, Sm", "a×b", false},
    {"no-break blank, Zs", "a\u00A0b", false},
    {"zero-width blank, Cf", "a\u200Bb", false},
    {"ship, So", "🚢", false},
    {"dash, Pd", "a–b", false},
    {"private use, Co", "\uE000", false},
    {"broken UTF-8", "a\xFF", false},
    {"cut UTF-8", "a\xC3", false},
};

static void tells_names(void **state)
{
    const name_row *row = *state;
    assert_int_equal(mw_is_name(mw_str_of(row->text)), row->is_name);
    /* As part of a formula the same is true. */
    front f;
    front_open(&f, mw_str_of(row->text));
    uint32_t root = MW_NONE;
    bool read = mw_parse_formula(&f.reader, front_whole(&f), &root) == MW_OK;
    bool path = read && f.ast.nodes[root].kind == MW_NODE_PATH && f.ast.nodes[root].count == 1;
    assert_int_equal(path, row->is_name);
    front_close(&f);
}

static void name_has_length(void **state)
{
    (void)state;
    char text[257];
    memset(text, 'n', sizeof text);
    assert_true(mw_is_name((mw_str){text, 254}));
    assert_true(mw_is_name((mw_str){text, 255}));
    assert_false(mw_is_name((mw_str){text, 256}));
}

/* Each line of a file is read by itself: a fault in one leaves the others. */
static void faults_stay_in_their_line(void **state)
{
    (void)state;
    front f;
    front_open(&f, mw_str_of("a = (1 + 2\nb = 3 +\nc = 4\nmould d: area 5 m2, edge (3 m\n"
                             "e = [1,\n 2]\nshop \"x\nf = 5\n"));
    static const bool fine[] = {false, false, true, false, true, false, true};
    uint32_t at = 0;
    mw_span span;
    size_t line = 0;
    while (mw_next_line(f.sources, f.source, &at, &span)) {
        mw_statement statement;
        assert_true(line < sizeof fine);
        assert_int_equal(mw_parse_statement(&f.reader, span, &statement) == MW_OK, fine[line]);
        line++;
    }
    assert_int_equal(line, sizeof fine);
    assert_int_equal(f.diags.errors, 4);
    front_close(&f);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "lines", lines_rows, splits);
    test_add_rows(&list, "whole", whole_rows, tells_whole);
    test_add_rows(&list, "name", name_rows, tells_names);
    test_add(&list, name_has_length);
    test_add(&list, faults_stay_in_their_line);
    return test_run(&list, "lang_statement_lines");
}
