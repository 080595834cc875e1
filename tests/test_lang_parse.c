/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Formulas to trees. What they mean is laid down in docs/language.md, "Grammar"; how signs bind follows the
 * usual order of mathematics (ISO 80000-2:2019) but for what is said there. */
#include "lang_front.h"

typedef struct tree_row {
    const char *name;
    const char *text;
    const char *want;
} tree_row;

static const tree_row number_rows[] = {
    {"whole number", "12", "12"},
    {"decimals", "0.5", "0.5"},
    {"exponent", "1e3", "1000"},
    {"exponent with sign", "2.5e-3", "0.0025000000000000001"},
    {"capital exponent", "1E3", "1000"},
    {"e without digits is a unit's beginning", "1 eV", "1[eV]"},
    {"fifteen digits", "123456789.012345", "123456789.012345"},
    {"seventeen digits", "0.30000000000000004", "0.30000000000000004"},
    {"twenty digits", "12345678901234567890", "1.2345678901234567e+19"},
    {"leading zeros", "007", "7"},
    {"halfway between doubles, ties to even", "9007199254740993", "9007199254740992"},
    {"smallest normal", "2.2250738585072014e-308", "2.2250738585072014e-308"},
    {"too small to be told from zero", "1e-400", "0"},
    {"yes", "yes", "yes"},
    {"no", "no", "no"},
    {"usual", "usual", "usual"},
    {"text", "\"split carbon\"", "\"split carbon\""},
    {"empty text", "\"\"", "\"\""},
    {"text with a quote", "\"1 \\\" pipe\"", "\"1 \\\" pipe\""},
    {"text with a backslash", "\"a\\\\\"", "\"a\\\\\""},
    {"text with a comment sign", "\"#1\"", "\"#1\""},
    {"text beyond ASCII", "\"Möwe\"", "\"Möwe\""},
    {"date", "2027-03-11", "@1804723200"},
    {"date and time", "2027-03-11T14:30", "@1804775400"},
    {"date with seconds", "2027-03-11T14:30:15", "@1804775415"},
    {"first day", "1970-01-01", "@0"},
    {"subtraction, not a date", "2027 - 03 - 11", "(- (- 2027 3) 11)"},
    {"subtraction without blanks", "2027-3", "(- 2027 3)"},
    {"subtraction of three", "12-03-11", "(- (- 12 3) 11)"},
    {"no month has this number", "2027-40-1", "(- (- 2027 40) 1)"},
    {"no day has this number", "2027-3-32", "(- (- 2027 3) 32)"},
    {"three digits are no day", "2027-3-123", "(- (- 2027 3) 123)"},
    {"a year less a product", "2027-3*2", "(- 2027 (* 3 2))"},
    {"a year less a name", "2027-3-x", "(- (- 2027 3) x)"},
    {"two digits, one, one", "12-4-3 + 100", "(+ (- (- 12 4) 3) 100)"},
    {"three digits, then two", "123-04-03", "(- (- 123 4) 3)"},
    {"five digits are no year", "12027-03-11", "(- (- 12027 3) 11)"},
};

static const tree_row unit_rows[] = {
    {"blank between", "11.4 m2", "11.4[m2]"},
    {"no blank", "11.4m2", "11.4[m2]"},
    {"several blanks", "11.4 \t m2", "11.4[m2]"},
    {"power with a sign", "11.4 m^2", "11.4[m2]"},
    {"raised two", "11.4 m²", "11.4[m2]"},
    {"over", "600 g/m2", "600[g/m2]"},
    {"money over time", "58 EUR/h", "58[EUR/h]"},
    {"money over a name", "58 EUR / h", "(/ 58[EUR] h)"},
    {"no unit behind the slash", "58 EUR/rate", "(/ 58[EUR] rate)"},
    {"percent", "8 %", "8[%]"},
    {"degrees", "20 degC", "20[degC]"},
    {"ring and C", "20 °C", "20[degC]"},
    {"inverse", "3 1/h", "3[1/h]"},
    {"inch is no word of the language", "2 in", "2[in]"},
    {"the unit h wins over a name h", "2 h", "2[h]"},
    {"as is a word", "5 as kg", "(as 5 kg)"},
    {"and is a word", "5 and b", "(and 5 b)"},
    {"or is a word", "5 or b", "(or 5 b)"},
    {"times a name that is like a unit", "4*m2", "(* 4 m2)"},
    {"unit, then times", "4 m2 * 3", "(* 4[m2] 3)"},
    {"unit times name, no blanks", "4 m2*x", "(* 4[m2] x)"},
    {"unit times unit, no blanks", "4 N*m", "4[N*m]"},
    {"power with blanks is of the whole", "4 m ^ 2", "(^ 4[m] 2)"},
    {"bracket behind a unit", "(4 m2)", "4[m2]"},
    {"comma behind a unit", "f(4 m2,5 kg)", "(call f 4[m2] 5[kg])"},
    {"points of a range behind a unit", "4 h..5 h", "(.. 4[h] - 5[h])"},
    {"names may equal units", "m + h * kg", "(+ m (* h kg))"},
    {"a unit on the next line", "(5\n kg)", "5[kg]"},
    /* fractions */
    {"half an inch", "1/2 in", "0.5[in]"},
    {"half an inch without blank", "1/2in", "0.5[in]"},
    {"half a square metre", "1/2 m2", "0.5[m2]"},
    {"three eighths", "3/8 in", "0.375[in]"},
    {"more than one", "13/4 ft", "3.25[ft]"},
    {"half a percent", "1/2 %", "0.5[%]"},
    {"no unit: divides", "6/2", "(/ 6 2)"},
    {"blanks: divides", "1 / 2 in", "(/ 1 2[in])"},
    {"blank in front: divides", "1 /2 in", "(/ 1 2[in])"},
    {"blank behind: divides", "1/ 2 in", "(/ 1 2[in])"},
    {"units on both sides", "10 m / 2 s", "(/ 10[m] 2[s])"},
    {"units on both sides, no blanks", "10 m/2 s", "(/ 10[m] 2[s])"},
    {"decimals are no fraction", "1.5/2 in", "(/ 1.5 2[in])"},
    {"decimals below are no fraction", "1/2.5 in", "(/ 1 2.5[in])"},
    {"over a name that is like a unit", "1/h", "(/ 1 h)"},
    {"over a bracket", "1/(2 in)", "(/ 1 2[in])"},
    {"name above", "a/2 in", "(/ a 2[in])"},
    {"a word behind is no unit", "1/2 and b", "(and (/ 1 2) b)"},
    {"behind a slash none begins", "8/4/2 in", "(/ (/ 8 4) 2[in])"},
    {"behind a power none begins", "x^1/2 in", "(/ (^ x 1) 2[in])"},
    {"over zero", "1/0 in", "(/ 1 0[in])"},
    {"fraction in a sum", "3 in + 1/2 in", "(+ 3[in] 0.5[in])"},
    {"a date is no fraction", "2027-03-11/2", "(/ @1804723200 2)"},
};

static const tree_row order_rows[] = {
    {"product before sum", "1 + 2 * 3", "(+ 1 (* 2 3))"},
    {"sum to the left", "1 - 2 - 3", "(- (- 1 2) 3)"},
    {"product to the left", "8 / 4 / 2", "(/ (/ 8 4) 2)"},
    {"power to the right", "2 ^ 3 ^ 2", "(^ 2 (^ 3 2))"},
    {"power before sign", "-2^2", "(neg (^ 2 2))"},
    {"power before sign of a name", "-a^2", "(neg (^ a 2))"},
    {"sign in the exponent", "2^-1", "(^ 2 -1)"},
    {"sign in a long exponent", "2^-a^2", "(^ 2 (neg (^ a 2)))"},
    {"sign before product", "-a * b", "(* (neg a) b)"},
    {"sign behind a product", "a * -b", "(* a (neg b))"},
    {"sign behind a sum", "a - -b", "(- a (neg b))"},
    {"a number keeps its sign", "-5", "-5"},
    {"a temperature keeps its sign", "-20 degC", "-20[degC]"},
    {"a bracket does not give its sign away", "-(5)", "(neg 5)"},
    {"sign of a sign", "--5", "(neg -5)"},
    {"sign and bracketed power", "(-2)^2", "(^ -2 2)"},
    {"plus in front is nothing", "+5", "5"},
    {"plus in front of a name", "+a * (+b)", "(* a b)"},
    {"brackets", "(1 + 2) * 3", "(* (+ 1 2) 3)"},
    {"brackets in brackets", "((1))", "1"},
    {"comparison after sum", "a + 1 < b * 2", "(< (+ a 1) (* b 2))"},
    {"equal", "a = b", "(= a b)"},
    {"unequal", "a <> b", "(<> a b)"},
    {"less", "a < b", "(< a b)"},
    {"less or equal", "a <= b", "(<= a b)"},
    {"greater", "a > b", "(> a b)"},
    {"greater or equal", "a >= b", "(>= a b)"},
    {"comparisons without blanks", "a<-1", "(< a -1)"},
    {"bracketed comparison compared", "(a < b) = c", "(= (< a b) c)"},
    {"not after comparison", "not a = b", "(not (= a b))"},
    {"not before and", "not a and b", "(and (not a) b)"},
    {"not not", "not not a", "(not (not a))"},
    {"not as a value", "a = not b", "(= a (not b))"},
    {"and before or", "a or b and c", "(or a (and b c))"},
    {"and to the left", "a and b and c", "(and (and a b) c)"},
    {"or to the left", "a or b or c", "(or (or a b) c)"},
    {"as converts the whole sum", "a + b as kg", "(as (+ a b) kg)"},
    {"as converts a comparison's side in brackets", "(a as kg) > b", "(> (as a kg) b)"},
    {"as with a unit over another", "a as EUR/h", "(as a EUR/h)"},
    {"as per cent", "a as %", "(as a %)"},
    {"as over time", "a as 1/h", "(as a 1/h)"},
    {"as twice", "a as kg as lb", "(as (as a kg) lb)"},
    {"if", "if a then b else c", "(if a b c)"},
    {"else if", "if a then b else if c then d else e", "(if a b (if c d e))"},
    {"if in then", "if a then if b then c else d else e", "(if a (if b c d) e)"},
    {"if as a condition", "if if a then b else c then d else e", "(if (if a b c) d e)"},
    {"if takes all behind else", "if a then b else c + 1", "(if a b (+ c 1))"},
    {"if behind a sign", "2 * if a then b else c", "(* 2 (if a b c))"},
    {"as behind if converts the whole choice", "if a then b else c as kg", "(as (if a b c) kg)"},
    {"as inside then", "if a then b as kg else c", "(if a (as b kg) c)"},
    {"as inside else needs brackets", "if a then b else (c as kg)", "(if a b (as c kg))"},
    {"as behind else if", "if a then b else if c then d else e as h", "(as (if a b (if c d e)) h)"},
};

static const tree_row form_rows[] = {
    {"name", "area", "area"},
    {"name beyond ASCII", "größe_2", "größe_2"},
    {"name that begins beyond ASCII", "ñandú", "ñandú"},
    {"name with a combining mark", "e\xCC\x81t\xC3\xA9", "e\xCC\x81t\xC3\xA9"},
    {"Greek name", "α + β", "(+ α β)"},
    {"one underscore", "_", "_"},
    {"path", "hull_port.heavy.plies", "hull_port.heavy.plies"},
    {"path with words of statements", "moulds.area", "moulds.area"},
    {"names that begin like words", "iffy + notes - order", "(- (+ iffy notes) order)"},
    {"words are small letters", "If", "If"},
    {"call", "sqrt(2)", "(call sqrt 2)"},
    {"call with blanks", "sqrt ( 2 )", "(call sqrt 2)"},
    {"call without values", "f()", "(call f)"},
    {"call with two", "round_up(x, 0.5)", "(call round_up x 0.5)"},
    {"commas part values", "f(1,5)", "(call f 1 5)"},
    {"call in a call", "sum(f(1,2),[3,4])", "(call sum (call f 1 2) (list 3 4))"},
    {"list", "[2, 3, 4]", "(list 2 3 4)"},
    {"list without blanks", "[1,5]", "(list 1 5)"},
    {"empty list", "[]", "(list)"},
    {"list in a list", "[[1,2],[3]]", "(list (list 1 2) (list 3))"},
    {"formulas in a list", "[a + 1, if b then c else d, e as kg]",
     "(list (+ a 1) (if b c d) (as e kg))"},
    {"brackets in a list do not part values", "[(1),2]", "(list 1 2)"},
    {"range of two", "6 .. 12 h", "(.. 6[h] - 12[h])"},
    {"range of three", "6 .. 8 .. 12 h", "(.. 6[h] 8[h] 12[h])"},
    {"each with a unit", "6 h .. 8 h .. 12 h", "(.. 6[h] 8[h] 12[h])"},
    {"without blanks", "6..8..12 h", "(.. 6[h] 8[h] 12[h])"},
    {"decimals without blanks", "0.5..1.5 kg", "(.. 0.5[kg] - 1.5[kg])"},
    {"unit on two", "6 .. 8 h .. 12 h", "(.. 6[h] 8[h] 12[h])"},
    {"another unit stays", "90 min .. 2 h", "(.. 90[min] - 2[h])"},
    {"no unit", "1 .. 2 .. 3", "(.. 1 2 3)"},
    {"negative low", "-5 .. 5 K", "(.. -5[K] - 5[K])"},
    {"temperatures", "18 .. 20 .. 25 degC", "(.. 18[degC] 20[degC] 25[degC])"},
    {"names in a range", "a * 0.9 .. a .. a * 1.1",
     "(.. (* a 0.90000000000000002) a (* a 1.1000000000000001))"},
    {"a sum carries no unit over", "1 + 1 .. 3 h", "(.. (+ 1 1) - 3[h])"},
    {"range compared", "a < 1 .. 2", "(< a (.. 1 - 2))"},
    {"range of dates", "2027-01-11 .. 2027-02-11", "(.. @1799625600 - @1802304000)"},
    {"range in brackets", "(6 .. 8 h) * 2", "(* (.. 6[h] - 8[h]) 2)"},
    /* blanks, comments, joined lines */
    {"blanks around", "  \t a  +  b \t ", "(+ a b)"},
    {"no blanks", "a+b*c", "(+ a (* b c))"},
    {"comment behind", "a + b # and more (", "(+ a b)"},
    {"comment inside", "(a + # first\n b)", "(+ a b)"},
    {"joined lines", "a + \\\n b", "(+ a b)"},
    {"joined without a blank", "a+\\\nb", "(+ a b)"},
    {"joined lines with CR LF", "a + \\\r\n b", "(+ a b)"},
    {"joint at the end", "5 \\", "5"},
    {"joined behind a number", "5 \\\n kg", "5[kg]"},
    {"form feed is not a blank but CR is", "a\r+ b\r", "(+ a b)"},
};

static void reads_tree(void **state)
{
    const tree_row *row = *state;
    front f;
    front_open(&f, mw_str_of(row->text));
    uint32_t root = MW_NONE;
    mw_status status = mw_parse_formula(&f.reader, front_whole(&f), &root);
    assert_string_equal(status == MW_OK ? front_tree(&f, root) : front_messages(&f), row->want);
    assert_int_equal(f.diags.count, 0);
    front_close(&f);
}

static void reads_inside_others(void **state)
{
    const tree_row *row = *state;
    front_check_inside(row->text);
}

/* Places of a tree: the whole, and the caret of its root. */
typedef struct place_row {
    const char *name;
    const char *text;
    const char *whole; /* what the root's span covers */
    const char *caret; /* the text from the caret on begins like this */
} place_row;

static const place_row place_rows[] = {
    {"number with unit", " 4 m2 + 0", "4 m2 + 0", "+ 0"},
    {"fraction", " 1/2 in ", "1/2 in", "1/2 in"},
    {"negative number", " -5 kg ", "-5 kg", "5 kg"},
    {"text", " \"ab\" ", "ab", "\"ab\""},
    {"path", " a.b.c ", "a.b.c", "a.b.c"},
    {"path in brackets", " (a.b) ", "(a.b)", "a.b"},
    {"call", " sum( a , b ) # x", "sum( a , b )", "sum("},
    {"list", " [1, 2] ", "[1, 2]", "[1"},
    {"sum of brackets", "(a) + (b)", "(a) + (b)", "+ (b)"},
    {"as", "a + b as kg", "a + b as kg", "as kg"},
    {"if", "if a then b else c", "if a then b else c", "if a"},
    {"not", "not a = b", "not a = b", "not a"},
    {"range", "6 .. 8 .. 12 h", "6 .. 8 .. 12 h", ".. 8"},
    {"sign", "-a", "-a", "-a"},
    {"joined lines", "a + \\\n b", "a + \\\n b", "+ \\"},
    {"umlauts in front", "ä + ö", "ä + ö", "+ ö"},
};

static void knows_its_place(void **state)
{
    const place_row *row = *state;
    front f;
    front_open(&f, mw_str_of(row->text));
    uint32_t root = MW_NONE;
    assert_int_equal(mw_parse_formula(&f.reader, front_whole(&f), &root), MW_OK);
    const mw_node *node = &f.ast.nodes[root];
    char whole[100];
    snprintf(whole, sizeof whole, "%.*s", (int)(node->end - node->begin), row->text + node->begin);
    assert_string_equal(whole, row->whole);
    assert_memory_equal(row->text + node->at, row->caret, strlen(row->caret));
    front_close(&f);
}

/* A span inside a text: what stands around is not looked at. */
static void stays_inside_span(void **state)
{
    (void)state;
    const char text[] = "12345 kg + abc\"x";
    front f;
    front_open(&f, mw_str_of(text));
    uint32_t root = MW_NONE;
    mw_span inside = {f.source, 2, 4};
    assert_int_equal(mw_parse_formula(&f.reader, inside, &root), MW_OK);
    assert_string_equal(front_tree(&f, root), "34");
    inside = (mw_span){f.source, 1, 7};
    assert_int_equal(mw_parse_formula(&f.reader, inside, &root), MW_FAILED); /* `k` is no unit */
    mw_diags_clear(&f.diags);
    inside = (mw_span){f.source, 1, 8};
    assert_int_equal(mw_parse_formula(&f.reader, inside, &root), MW_OK);
    assert_string_equal(front_tree(&f, root), "2345[kg]");
    inside = (mw_span){f.source, 0, 13};
    assert_int_equal(mw_parse_formula(&f.reader, inside, &root), MW_OK);
    assert_string_equal(front_tree(&f, root), "(+ 12345[kg] ab)");
    inside = (mw_span){f.source, 6, 6};
    assert_int_equal(mw_parse_formula(&f.reader, inside, &root), MW_FAILED);
    front_close(&f);
}

/* Trees are added to the workspace; a refused formula leaves it as it was. */
static void adds_to_the_tree(void **state)
{
    (void)state;
    front f;
    front_open(&f, mw_str_of("sum([a, b]) c + [1, ] d.e * 2"));
    uint32_t first = MW_NONE;
    uint32_t second = MW_NONE;
    uint32_t refused = 0;
    mw_span span = {f.source, 0, 11};
    assert_int_equal(mw_parse_formula(&f.reader, span, &first), MW_OK);
    mw_ast before = f.ast;
    span = (mw_span){f.source, 12, 21};
    assert_int_equal(mw_parse_formula(&f.reader, span, &refused), MW_FAILED);
    assert_int_equal(refused, MW_NONE);
    assert_int_equal(f.ast.node_count, before.node_count);
    assert_int_equal(f.ast.link_count, before.link_count);
    assert_int_equal(f.ast.part_count, before.part_count);
    span = (mw_span){f.source, 22, 29};
    assert_int_equal(mw_parse_formula(&f.reader, span, &second), MW_OK);
    assert_string_equal(front_tree(&f, first), "(call sum (list a b))");
    assert_string_equal(front_tree(&f, second), "(* d.e 2)");
    mw_ast_clear(&f.ast);
    assert_int_equal(f.ast.node_count, 0);
    assert_true(f.ast.node_capacity > 0);
    front_close(&f);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "number", number_rows, reads_tree);
    test_add_rows(&list, "number inside", number_rows, reads_inside_others);
    test_add_rows(&list, "unit", unit_rows, reads_tree);
    test_add_rows(&list, "unit inside", unit_rows, reads_inside_others);
    test_add_rows(&list, "order", order_rows, reads_tree);
    test_add_rows(&list, "order inside", order_rows, reads_inside_others);
    test_add_rows(&list, "form", form_rows, reads_tree);
    test_add_rows(&list, "form inside", form_rows, reads_inside_others);
    test_add_rows(&list, "place", place_rows, knows_its_place);
    test_add(&list, stays_inside_span);
    test_add(&list, adds_to_the_tree);
    return test_run(&list, "lang_parse");
}
