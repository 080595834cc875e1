/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Formulas that cannot be read: the code, the place, the wording and what is offered, of every message. The
 * rows pin what was decided; a change here is a change that users see. */
#include "lang_front.h"

typedef struct error_row {
    const char *name;
    const char *text;
    const char *want; /* one line a message: code begin..end message | try */
} error_row;

static const error_row error_rows[] = {
    /* brackets and quotes */
    {"bracket not closed", "(a + b", "unclosed 0..1 the bracket `(` is not closed"},
    {"outer of two not closed", "(a + (b)", "unclosed 0..1 the bracket `(` is not closed"},
    {"inner and outer not closed", "((a + b", "unclosed 1..2 the bracket `(` is not closed"},
    {"list not closed", "[1, 2", "unclosed 0..1 the bracket `[` is not closed"},
    {"call not closed", "sum(1, 2", "unclosed 3..4 the bracket `(` is not closed"},
    {"closed by another kind", "a + (b * [1, 2)",
     "unclosed 9..10 the bracket `[` is closed by one of another kind"},
    {"list closed by a bracket", "[1, 2) + 3",
     "unclosed 0..1 the bracket `[` is closed by one of another kind"},
    {"bracket closed twice", "(a + b)) * 2", "syntax 7..8 `)` closes nothing that was opened"},
    {"list closed from nowhere", "a ]", "syntax 2..3 `]` closes nothing that was opened"},
    {"nothing in brackets", "()", "syntax 0..2 nothing stands between the brackets"},
    {"quote not closed", "\"split carbon",
     "unclosed 0..1 the text that begins here has no closing quote"},
    {"quote not closed at a line end", "\"split\n + 1",
     "unclosed 0..1 the text that begins here has no closing quote"},
    {"lonely quote", "\"", "unclosed 0..1 the text that begins here has no closing quote"},
    {"quote with an odd backslash", "\"C:\\temp\"",
     "syntax 3..4 in a text `\\` stands only in front of a quote or another `\\` | \\\\"},
    {"single quotes", "'abc'", "bad-character 0..1 text stands between double quotes | \""},
    {"curly quotes", "\u201Cabc\u201D",
     "bad-character 0..3 text stands between double quotes | \""},
    {"curly brackets", "{a}", "bad-character 0..1 brackets are round, those of lists square | ("},
    {"only an opening bracket", "(", "unclosed 0..1 the bracket `(` is not closed"},
    {"only an opening list", "[", "unclosed 0..1 the bracket `[` is not closed"},
    {"only a call", "f(", "unclosed 1..2 the bracket `(` is not closed"},
    /* missing values */
    {"nothing", "", "syntax 0..0 a formula is missing"},
    {"blanks", "   ", "syntax 3..3 a formula is missing"},
    {"comment only", "# nothing", "syntax 9..9 a formula is missing"},
    {"sum without an end", "a +", "syntax 2..3 a value is missing behind `+`"},
    {"product without a beginning", "* 3", "syntax 0..1 a value is missing in front of `*`"},
    {"two signs", "a + * b", "syntax 4..5 two signs follow each other: `+` and `*`"},
    {"two pluses", "1 + + 2", "syntax 4..5 two signs follow each other: `+` and `+`"},
    {"minus and plus", "1 - +2", "syntax 4..5 two signs follow each other: `-` and `+`"},
    {"comparison without an end", "a <", "syntax 2..3 a value is missing behind `<`"},
    {"comparison without a beginning", "= 3", "syntax 0..1 a value is missing in front of `=`"},
    {"and without an end", "a and", "syntax 2..5 a value is missing behind `and`"},
    {"not without an end", "not", "syntax 0..3 a value is missing behind `not`"},
    {"minus without an end", "-", "syntax 0..1 a value is missing behind `-`"},
    {"bracket without an end", "(a +)", "syntax 4..5 a value is missing between `+` and `)`"},
    {"value missing between commas", "f(1,,2)",
     "syntax 4..5 a value is missing between `,` and `,`"},
    {"value missing behind the last comma", "[1, 2,]",
     "syntax 6..7 a value is missing between `,` and `]`"},
    {"value missing in front of a comma", "f(,1)",
     "syntax 2..3 a value is missing between `(` and `,`"},
    {"range without an end", "6 ..", "syntax 2..4 a value is missing behind `..`"},
    {"range without a middle", "6 .. .. 12 h",
     "syntax 5..7 two signs follow each other: `..` and `..`"},
    {"as without a unit", "a as", "bad-unit 2..4 a unit is missing behind `as` | as kg"},
    {"as with a number", "a as 5", "bad-unit 2..4 a unit is missing behind `as` | as kg"},
    {"as with a word of the language", "a as if",
     "bad-unit 2..4 a unit is missing behind `as` | as kg"},
    /* side by side */
    {"two names", "1 + a b",
     "syntax 6..7 a sign is missing between `a` and `b` | a_b if this is one name"},
    {"two amounts", "2 h 30 min",
     "syntax 4..10 a sign is missing between `2 h` and `30 min` | 2 h + 30 min"},
    {"in another unit", "2 h in min",
     "syntax 4..6 a sign is missing between `2 h` and `in` | 2 h as ... shows it in another unit"},
    {"a share of", "10 % of 3 kg",
     "syntax 5..7 a sign is missing between `10 %` and `of` | 10 % * ... is a share of it"},
    {"two numbers", "2 3", "syntax 2..3 a sign is missing between `2` and `3` | 2 * 3"},
    {"number and bracket", "2(a)", "syntax 1..2 a sign is missing between `2` and `(` | 2 * ("},
    {"bracket and bracket", "(a)(b)", "syntax 3..4 a sign is missing between `)` and `(` | ) * ("},
    {"bracket and unit", "(a + b) kg",
     "syntax 8..10 a sign is missing between `)` and `kg` | * kg, or * 1 kg if it is a unit"},
    {"unit and number", "2 m2 3",
     "syntax 5..6 a sign is missing between `2 m2` and `3` | 2 m2 * 3"},
    {"digits with a blank", "1 000 kg",
     "syntax 2..8 a sign is missing between `1` and `000 kg` | 1000 kg"},
    {"mixed fraction", "3 1/2 in",
     "syntax 2..8 a sign is missing between `3` and `1/2 in` | 3.5 in"},
    {"number and a division", "1 3/8 + 2",
     "syntax 2..3 a sign is missing between `1` and `3` | 1 * 3"},
    {"digits and a long number", "1 0001",
     "syntax 2..6 a sign is missing between `1` and `0001` | 1 * 0001"},
    {"three digits and a unit", "12 500 kg",
     "syntax 3..9 a sign is missing between `12` and `500 kg` | 12500 kg"},
    {"text and name", "\"a\" b",
     "syntax 4..5 a sign is missing between `\"a\"` and `b` | \"a\" * b"},
    {"list and number", "[1] 2", "syntax 4..5 a sign is missing between `]` and `2` | ] * 2"},
    {"values without a comma", "[1 2]",
     "syntax 3..4 a sign is missing between `1` and `2` | put a comma in front of `2`"},
    {"arguments without a comma", "f(a b)",
     "syntax 4..5 a sign is missing between `a` and `b` | put a comma in front of `b`"},
    {"name and list", "a [1]", "syntax 2..3 a sign is missing between `a` and `[` | a * ["},
    {"as not last", "a as kg + 3",
     "syntax 8..9 `as` and its unit come last | put brackets round what `as` converts: (a as kg) ..."},
    {"as not last in a list", "[a as kg * 2, b]",
     "syntax 9..10 `as` and its unit come last | put brackets round what `as` converts: (a as kg) ..."},
    {"path and bracket", "a.b(3)",
     "unknown-function 0..3 `a.b` is no function: the name of a function has no point"},
    {"unit and function", "2 sqrt(3)",
     "syntax 2..6 a sign is missing between `2` and `sqrt` | 2 * sqrt"},
    /* numbers and dates */
    {"decimal comma", "1,5", "decimal-comma 0..3 a comma stands inside the number `1,5` | 1.5"},
    {"decimal comma with a unit", "1,5 kg",
     "decimal-comma 0..3 a comma stands inside the number `1,5` | 1.5"},
    {"decimal comma in brackets", "2 * (1,5 + a)",
     "decimal-comma 5..8 a comma stands inside the number `1,5` | 1.5"},
    {"decimal comma in brackets in a call", "f((1,5), 2)",
     "decimal-comma 3..6 a comma stands inside the number `1,5` | 1.5"},
    {"thousands comma", "1,000",
     "decimal-comma 0..5 a comma stands inside the number `1,000` | 1000 for thousands, 1.000 for decimals"},
    {"thousands commas", "1,234,567.5",
     "decimal-comma 0..11 a comma stands inside the number `1,234,567.5` | 1234567.5"},
    {"thousands comma and point", "1,234.5",
     "decimal-comma 0..7 a comma stands inside the number `1,234.5` | 1234.5"},
    {"points for thousands", "1.234,5",
     "decimal-comma 0..7 a comma stands inside the number `1.234,5` | 1234.5"},
    {"point at the end", "5.", "bad-number 0..2 digits are missing behind the point of `5.` | 5.0"},
    {"point at the end before a sign", "5. + 1",
     "bad-number 0..2 digits are missing behind the point of `5.` | 5.0"},
    {"point in front", ".5",
     "bad-number 0..2 a digit is missing in front of the point of `.5` | 0.5"},
    {"two points", "1.2.3",
     "bad-number 0..5 `1.2.3` has more than one point | 1.5 for a number, 2027-03-11 for a date"},
    {"date with points", "11.03.2027",
     "bad-number 0..10 `11.03.2027` has more than one point | 1.5 for a number, 2027-03-11 for a date"},
    {"digits parted by lines", "1_000",
     "bad-number 0..5 the digits of a number stand without marks between them | 1000"},
    {"digits parted by quotes", "1'000'000",
     "bad-number 0..9 the digits of a number stand without marks between them | 1000000"},
    {"decimal comma and a point", "1,5. + 2",
     "decimal-comma 0..3 a comma stands inside the number `1,5` | 1.5\n"
     "bad-character 3..4 a point joins two names without blanks, or stands in a number | hull.area"},
    {"two points and a range", "1.2.3..4",
     "bad-number 0..5 `1.2.3` has more than one point | 1.5 for a number, 2027-03-11 for a date"},
    {"digits and a name parted by lines", "1_000_x",
     "bad-number 0..5 the digits of a number stand without marks between them | 1000\n"
     "unknown-unit 5..7 `_x` is no unit | to multiply by a name put `*` in front: * _x"},
    {"too large", "1e999", "too-large 0..5 the number `1e999` is too large"},
    {"too large with a unit", "-1e400 kg", "too-large 1..6 the number `1e400` is too large"},
    {"no such day", "2027-02-30", "bad-date 0..10 there is no date `2027-02-30`"},
    {"no such month", "2027-13-01", "bad-date 0..10 there is no date `2027-13-01`"},
    {"no such time", "2027-03-11T25:00", "bad-date 0..16 there is no date `2027-03-11T25:00`"},
    {"leap day in an ordinary year", "2027-02-29", "bad-date 0..10 there is no date `2027-02-29`"},
    {"short date", "2027-3-1",
     "bad-date 0..8 month and day of a date have two digits each | 2027-03-01"},
    {"short day", "2027-03-1 + 2 d",
     "bad-date 0..9 month and day of a date have two digits each | 2027-03-01"},
    {"time zone", "2027-03-11T14:30Z",
     "bad-date 0..17 `Z` behind the date cannot be read | 2027-03-11T14:30 for a time of day; time zones are not kept"},
    {"letters behind a date", "2027-03-11abc",
     "bad-date 0..13 `abc` behind the date cannot be read | 2027-03-11T14:30 for a time of day; time zones are not kept"},
    /* units */
    {"unknown unit", "5 metr", "unknown-unit 2..6 `metr` is no unit | metre"},
    {"unknown unit, nothing near", "5 quux",
     "unknown-unit 2..6 `quux` is no unit | to multiply by a name put `*` in front: * quux"},
    {"one-letter unknown unit", "3 x * 4",
     "unknown-unit 2..3 `x` is no unit | to multiply by a name put `*` in front: * x"},
    {"two unknown units", "5 metr + 4 galon",
     "unknown-unit 2..6 `metr` is no unit | metre\n"
     "unknown-unit 11..16 `galon` is no unit | gallon"},
    {"unknown unit behind as", "a as metr", "unknown-unit 5..9 `metr` is no unit | metre"},
    {"unknown unit behind as, nothing near", "a as quux", "unknown-unit 5..9 `quux` is no unit"},
    {"unknown unit with a power", "5 quux2",
     "unknown-unit 2..7 `quux2` is no unit | to multiply by a name put `*` in front: * quux2"},
    {"unit that goes on", "5 kg_x",
     "unknown-unit 2..6 `kg_x` is no unit | to multiply by a name put `*` in front: * kg_x"},
    {"unit with a power out of range", "5 m^99999999",
     "bad-unit 2..12 the unit `m^99999999` has a power out of range"},
    {"unknown unit in a list", "[1 metr, 2 metr]",
     "unknown-unit 3..7 `metr` is no unit | metre\n"
     "unknown-unit 11..15 `metr` is no unit | metre"},
    /* signs of other notations */
    {"two equal signs", "a == b", "syntax 2..4 one `=` is enough | ="},
    {"exclamation unequal", "a != b", "syntax 2..4 unequal is written `<>` | <>"},
    {"ampersands", "a && b", "syntax 2..4 conditions are joined by the word `and` | and"},
    {"ampersand", "a & b", "syntax 2..3 conditions are joined by the word `and` | and"},
    {"bars", "a || b", "syntax 2..4 conditions are joined by the word `or` | or"},
    {"bar", "a | b", "syntax 2..3 conditions are joined by the word `or` | or"},
    {"exclamation", "!a", "syntax 0..1 a condition is turned round by the word `not` | not"},
    {"stars", "2 ** 3", "syntax 2..4 powers are written with `^` | ^"},
    {"slashes", "a // b", "bad-character 2..4 a comment begins with `#`; one `/` divides | #"},
    {"colon equals", "a := 3", "syntax 2..4 a name gets its formula by `=` | ="},
    {"equal less", "a =< b", "syntax 2..4 less or equal is written the other way round | <="},
    {"equal greater", "a => b", "syntax 2..4 greater or equal is written the other way round | >="},
    {"several at once", "a == b && c != d",
     "syntax 2..4 one `=` is enough | =\n"
     "syntax 7..9 conditions are joined by the word `and` | and\n"
     "syntax 12..14 unequal is written `<>` | <>"},
    {"raised two", "x\u00B2", "bad-character 1..3 powers are written with `^` | ^2"},
    {"raised three", "x\u00B3 + 1", "bad-character 1..3 powers are written with `^` | ^3"},
    {"raised one", "x\u00B9", "bad-character 1..3 powers are written with `^` | ^1"},
    {"times sign", "2 \u00D7 3", "syntax 2..4 times is written `*` | *"},
    {"dot sign", "2 \u00B7 a", "syntax 2..4 times is written `*` | *"},
    {"dot operator", "2 \u22C5 a", "syntax 2..5 times is written `*` | *"},
    {"division sign", "6 \u00F7 2", "syntax 2..4 division is written `/` | /"},
    {"long minus", "6 \u2212 2", "syntax 2..5 minus is written with the sign of the keyboard | -"},
    {"dash", "6 \u2013 2", "syntax 2..5 minus is written with the sign of the keyboard | -"},
    {"long dash", "6 \u2014 2", "syntax 2..5 minus is written with the sign of the keyboard | -"},
    {"less or equal in one", "a \u2264 b", "syntax 2..5 less or equal is written `<=` | <="},
    {"greater or equal in one", "a \u2265 b", "syntax 2..5 greater or equal is written `>=` | >="},
    {"unequal in one", "a \u2260 b", "syntax 2..5 unequal is written `<>` | <>"},
    {"dots in one", "6 \u2026 8 h", "syntax 2..5 a range is written with two points | .."},
    {"a half in one", "\u00BD in", "bad-character 0..2 fractions are written with `/` | 1/2"},
    {"a quarter in one", "\u00BC in", "bad-character 0..2 fractions are written with `/` | 1/4"},
    {"three quarters in one", "\u00BE in",
     "bad-character 0..2 fractions are written with `/` | 3/4"},
    {"euro sign", "58 \u20AC",
     "bad-character 3..6 a currency is written by its three letters, behind the amount | 58 EUR"},
    {"dollar sign", "$58",
     "bad-character 0..1 a currency is written by its three letters, behind the amount | 58 USD"},
    {"pound sign", "\u00A358",
     "bad-character 0..2 a currency is written by its three letters, behind the amount | 58 GBP"},
    {"yen sign", "\u00A558",
     "bad-character 0..2 a currency is written by its three letters, behind the amount | 58 JPY"},
    {"degree sign alone", "\u00B0 20",
     "bad-character 0..2 temperatures are written with degC or degF | 20 degC"},
    {"degree sign behind a name", "a \u00B0C",
     "bad-character 2..4 temperatures are written with degC or degF | 20 degC"},
    {"question mark", "a ? b : c",
     "bad-character 2..3 a choice is written with `if` | if a > b then a else b"},
    {"semicolon", "a; b", "syntax 1..2 values are parted by commas | ,"},
    {"semicolons in a list", "[1; 2]", "syntax 2..3 values are parted by commas | ,"},
    {"percent as a remainder", "a % 3",
     "bad-character 2..3 `%` stands only right behind a number | 8 %"},
    {"special blank", "a\u00A0+ b",
     "bad-character 1..3 this blank is a special one | an ordinary blank"},
    {"thin blank", "1\u2009000",
     "bad-character 1..4 this blank is a special one | an ordinary blank"},
    {"narrow blank", "a +\u202Fb",
     "bad-character 3..6 this blank is a special one | an ordinary blank"},
    {"invisible character", "a\u200B + b",
     "bad-character 1..4 a character stands here that cannot be seen"},
    {"byte order mark inside", "a \uFEFF+ b",
     "bad-character 2..5 a character stands here that cannot be seen"},
    {"point with blanks", "a . b",
     "bad-character 2..3 a point joins two names without blanks, or stands in a number | hull.area"},
    {"point at the end of a name", "a.",
     "bad-character 1..2 a point joins two names without blanks, or stands in a number | hull.area"},
    {"point and digit behind a name", "a.5",
     "bad-number 1..3 a digit is missing in front of the point of `.5` | 0.5"},
    {"backslash inside", "a \\ b",
     "bad-character 2..3 `\\` joins two lines: it stands at the end of the first"},
    {"at sign", "a @ b", "bad-character 2..3 `@` (U+0040) has no meaning in a formula"},
    {"colon", "a : b",
     "syntax 2..3 `:` stands only behind the name of a new mould | = in its place, to set a value"},
    {"time of day", "12:30",
     "syntax 2..3 `:` stands only behind the name of a new mould | 12.5 h for hours, "
     "2027-03-11T08:30 for a time of day"},
    {"tilde", "~a", "bad-character 0..1 `~` (U+007E) has no meaning in a formula"},
    {"emoji", "\U0001F6A2 + 1", "bad-character 0..4 `🚢` (U+1F6A2) has no meaning in a formula"},
    {"control character", "a \x01 + b",
     "bad-character 2..3 a control character (U+0001) stands here"},
    {"delete character", "a \x7F", "bad-character 2..3 a control character (U+007F) stands here"},
    {"control character in a text", "\"a\x07z\"",
     "bad-character 2..3 a control character (U+0007) stands in the text"},
    {"broken UTF-8", "a + \xFF", "bad-text 4..5 this byte (0xFF) is not part of UTF-8 text"},
    {"broken UTF-8 in a text", "\"a\xC3\"",
     "bad-text 2..3 this byte (0xC3) is not part of UTF-8 text"},
    {"broken UTF-8 in a name", "na\xC3me",
     "bad-text 2..3 this byte (0xC3) is not part of UTF-8 text"},
    /* words */
    {"if without then", "if a b",
     "syntax 5..6 `then` is missing here to go with `if` | if a > b then a else b"},
    {"if without else", "if a then b",
     "syntax 11..11 `else` is missing here to go with `if` | if a > b then a else b"},
    {"else without if", "a else b",
     "syntax 2..6 `else` has no `if` in front | if a > b then a else b"},
    {"then without if", "a then b",
     "syntax 2..6 `then` has no `if` in front | if a > b then a else b"},
    {"else if without else", "if a then b else if c then d",
     "syntax 28..28 `else` is missing here to go with `if` | if a > b then a else b"},
    {"word of the language in a path", "a.no",
     "syntax 2..4 `no` is a word of the language and cannot be a name"},
    {"word of the language behind a point", "a.if + 1",
     "syntax 2..4 `if` is a word of the language and cannot be a name"},
    {"comparison of three", "a < b < c",
     "syntax 6..7 one comparison cannot go on into the next | a < b and b < c"},
    {"comparison of three with others", "a + 1 <= b = c * 2",
     "syntax 11..12 one comparison cannot go on into the next | a + 1 <= b and b = c * 2"},
    {"comparison of five", "1 < 2 < 3 < 4 < 5",
     "syntax 6..7 one comparison cannot go on into the next | 1 < 2 and 2 < 3"},
    {"comparison of four", "1 < 2 < 3 < 4",
     "syntax 6..7 one comparison cannot go on into the next | 1 < 2 and 2 < 3"},
    {"range of four", "1 .. 2 .. 3 .. 4",
     "syntax 12..14 a range has at most three values: low .. likely .. high"},
    {"comma outside", "a, b",
     "syntax 1..2 a comma parts the values of a list or a function, and this stands in neither | a list in square brackets: [1, 2]"},
    {"comma outside in brackets", "(a, b)",
     "syntax 2..3 a comma parts the values of a list or a function, and this stands in neither | a list in square brackets: [1, 2]"},
    /* several */
    {"each value of a list on its own", "[1 2, 3 4, + , 5 metr]",
     "syntax 3..4 a sign is missing between `1` and `2` | put a comma in front of `2`\n"
     "syntax 8..9 a sign is missing between `3` and `4` | put a comma in front of `4`\n"
     "syntax 13..14 a value is missing between `+` and `,`\n"
     "unknown-unit 17..21 `metr` is no unit | metre"},
    {"each value of a call on its own", "f(a b, c +, 5 metr, (d e))",
     "syntax 4..5 a sign is missing between `a` and `b` | put a comma in front of `b`\n"
     "syntax 10..11 a value is missing between `+` and `,`\n"
     "unknown-unit 14..18 `metr` is no unit | metre\n"
     "syntax 23..24 a sign is missing between `d` and `e` | d_e if this is one name"},
    {"lists inside are passed over", "[a b (c, [d, e]), f g]",
     "syntax 3..4 a sign is missing between `a` and `b` | put a comma in front of `b`\n"
     "syntax 20..21 a sign is missing between `f` and `g` | put a comma in front of `g`"},
    {"long comparison of three",
     "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa < bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb < c",
     "syntax 124..125 one comparison cannot go on into the next"},
    {"fault, then another behind the bracket", "(a +) * 3 metr",
     "syntax 4..5 a value is missing between `+` and `)`\n"
     "unknown-unit 10..14 `metr` is no unit | metre"},
};

static void says(void **state)
{
    const error_row *row = *state;
    front f;
    front_open(&f, mw_str_of(row->text));
    uint32_t root = 0;
    assert_int_equal(mw_parse_formula(&f.reader, front_whole(&f), &root), MW_FAILED);
    assert_int_equal(root, MW_NONE);
    assert_int_equal(f.ast.node_count, 0);
    assert_string_equal(front_messages(&f), row->want);
    front_check_words(&f);
    front_close(&f);
}

static void says_inside_others(void **state)
{
    const error_row *row = *state;
    front_check_inside(row->text);
}

/* A message shows at most 40 bytes of what was written, and whole characters only. */
static void shows_little(void **state)
{
    (void)state;
    char text[200] = "1 + ";
    for (int i = 0; i < 60; i++) {
        strcat(text, "\u00F6");
    }
    strcat(text, " 2");
    front f;
    front_open(&f, mw_str_of(text));
    uint32_t root = 0;
    assert_int_equal(mw_parse_formula(&f.reader, front_whole(&f), &root), MW_FAILED);
    char want[200] = "a sign is missing between `";
    for (int i = 0; i < 20; i++) {
        strcat(want, "\u00F6");
    }
    strcat(want, "` and `2`");
    assert_string_equal(f.diags.items[0].message, want);
    front_close(&f);
    text[3] = 'x'; /* one byte on, the fortieth byte lies inside a character */
    front_open(&f, mw_str_of(text + 2));
    assert_int_equal(mw_parse_formula(&f.reader, front_whole(&f), &root), MW_FAILED);
    assert_non_null(strstr(f.diags.items[0].message, "ö` and `2`"));
    assert_int_equal(mw_utf8_check(mw_str_of(f.diags.items[0].message)),
                     strlen(f.diags.items[0].message));
    front_close(&f);
}

/* Ten messages are kept, the others counted. */
static void keeps_ten(void **state)
{
    (void)state;
    front f;
    uint32_t root = 0;
    front_open(&f, mw_str_of("[a b, a b, a b, a b, a b, a b, a b, a b, a b, a b, a b, a b]"));
    assert_int_equal(mw_parse_formula(&f.reader, front_whole(&f), &root), MW_FAILED);
    assert_int_equal(f.diags.errors, 12);
    assert_int_equal(f.diags.count, 10);
    front_close(&f);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "error", error_rows, says);
    test_add_rows(&list, "error inside", error_rows, says_inside_others);
    test_add(&list, shows_little);
    test_add(&list, keeps_ten);
    return test_run(&list, "lang_parse_errors");
}
