/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Loading sources: every form that a line can have, any order of lines, and what is said of
 * those that cannot be loaded. Values are worked out by hand. */
#include <stdlib.h>

#include "sheet_fixture.h"

typedef struct load_row {
    const char *name;
    const char *text;
    const char *line;
    double value;
} load_row;

static const load_row load_rows[] = {
    {"comments and blank lines", "# a job\n\n  a = 2  # two\n\t\nb = a * 3 # six", "b", 6},
    {"line ends of both kinds", "a = 2\r\nb = a * 3\r\n", "b", 6},
    {"no line end at the end", "a = 2\nb = a * 3", "b", 6},
    {"a mark of byte order",
     "\xEF\xBB\xBF"
     "a = 2\nb = a * 3\n",
     "b", 6},
    {"a line joined by a backslash", "a = 2 + \\\n  5\nb = a * 3\n", "b", 21},
    {"a line joined by a bracket", "a = sum([1,\n 2,\n 3])\nb = a * 3\n", "b", 18},
    {"brackets on one line", "b = (a + 1) * (a - 1)\na = 4\n", "b", 15},
    {"dotted names", "hull.area = 2 * hull.edge\nhull.edge = 3\n", "hull.area", 6},
    {"letters of other alphabets",
     "b = fl\xC3\xA4"
     "che * 2\nfl\xC3\xA4"
     "che = 4\n",
     "b", 8},
    {"names that are units too", "kg = 3\nm = kg * 2\nb = m + kg\n", "b", 9},
    {"a name behind a unit without a blank", "b = 2*a/4\na = 8\n", "b", 4},
    {"a unit and a name in one breath", "b = 3 kg/m2*a / 1 kg*1 m2\na = 5\n", "b", 15},
    {"names in a text", "b = if \"a # c\" = \"a # c\" then 1 else c\nc = 2\n", "b", 1},
    {"numbers with exponents", "b = 1e3 + e3\ne3 = 0.5\n", "b", 1000.5},
    {"a choice", "b = if a > c then a else c\na = 1\nc = 2\n", "b", 2},
    {"a range", "b = a .. c\na = 1\nc = 3\n", "b", 2},
    {"a name like a word of the language", "thenb = 3\nb = thenb + iff\niff = 1\n", "b", 4},
    {"blanks everywhere", "   b   =   a  +  1   \n a\t=\t2 \n", "b", 3},
    {"a sign right behind the equals sign", "b =-a\na = 2\n", "b", -2},
};

static void lines_are_understood(void **state)
{
    const load_row *row = *state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, row->text);
    assert_near(fixture_value(&f, row->line), row->value, 1e-15);
    fixture_close(&f);
}

typedef struct error_row {
    const char *name;
    const char *text;
    mw_code code;
    const char *says;
} error_row;

static const error_row error_rows[] = {
    {"another statement", "a = 2\nhours\n", MW_CODE_UNKNOWN_STATEMENT, "job:2"},
    {"a bare formula", "a = 2\na + 1\n", MW_CODE_UNKNOWN_STATEMENT, "NAME = FORMULA"},
    {"a reserved name", "if = 2\n", MW_CODE_SYNTAX, "job:1"},
    {"nothing behind the sign", "a =\n", MW_CODE_SYNTAX, "job:1"},
    {"the same name twice", "a = 2\nb = 3\na = 4\n", MW_CODE_NAME_TWICE, "`a` is defined twice"},
    {"twice, one with a comment", "a = 2 # first\na = 4\n", MW_CODE_NAME_TWICE, "job:2"},
    {"twice, the second joined", "a = 2\na = (3 +\n4)\n", MW_CODE_NAME_TWICE, "a = 2"},
    {"a misspelt name", "plies = 2\nb = plie * 3\n", MW_CODE_UNKNOWN_NAME, "try: plies"},
};

static void errors_are_told(void **state)
{
    const error_row *row = *state;
    fixture f;
    fixture_open(&f);
    assert_int_equal(fixture_try_load(&f, row->text), MW_FAILED);
    assert_int_equal(f.diags.count, 1);
    assert_int_equal(f.diags.items[0].code, row->code);
    assert_true(fixture_says(&f, row->says));
    assert_int_equal(mw_sheet_count(f.sheet), 0);
    fixture_load(&f, "a = 1\nb = a * 2\n");
    assert_near(fixture_value(&f, "b"), 2, 0);
    fixture_close(&f);
}

static void a_second_source_redefines(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, "a = 2\nb = a * 3\nc = b + 1\n");
    fixture_load(&f, "d = c * 2\na = e + 1\ne = 9\nf = a\n");
    assert_near(fixture_value(&f, "d"), 62, 0);
    assert_near(fixture_value(&f, "f"), 10, 0);
    assert_int_equal(fixture_try_load(&f, "g = 1\ne = d\n"), MW_FAILED);
    assert_int_equal(f.diags.items[0].code, MW_CODE_CYCLE);
    assert_int_equal(mw_sheet_find(f.sheet, mw_str_of("g")), MW_NONE);
    fixture_load(&f, "g = 1\ne = g\n");
    assert_near(fixture_value(&f, "d"), 14, 0);
    fixture_close(&f);
}

enum { CHAIN = 60000 };

/* x_n = x_(n-1) + 1, in an order that only looks mixed: every line once, 7919 and CHAIN have no
 * common factor. */
static void long_chains(void **state)
{
    (void)state;
    static const uint32_t strides[] = {1, CHAIN - 1, 7919};
    for (size_t s = 0; s < sizeof strides / sizeof *strides; s++) {
        fixture f;
        fixture_open(&f);
        mw_text text = {0};
        for (uint32_t i = 0; i < CHAIN; i++) {
            const uint32_t line = (uint32_t)((uint64_t)i * strides[s] % CHAIN);
            if (line == 0) {
                mw_text_adds(&text, "x0 = 0.5\n");
            } else {
                mw_text_addf(&text, "x%u = x%u + 1\n", line, line - 1);
            }
        }
        fixture_load(&f, mw_text_chars(&text));
        mw_text_free(&text);
        char name[16];
        snprintf(name, sizeof name, "x%u", CHAIN - 1);
        assert_near(fixture_value(&f, name), CHAIN - 0.5, 0);
        fixture_line(&f, "x0", "1.5");
        assert_near(fixture_value(&f, name), CHAIN + 0.5, 0);
        assert_int_equal(f.changes.computed, CHAIN - 1);
        mw_sheet_recompute(f.sheet, &f.changes);
        assert_int_equal(f.changes.computed, CHAIN - 1);
        assert_int_equal(f.changes.changed, 0);
        fixture_close(&f);
    }
}

/* The whole chain is one loop: it is named, but not in full. */
static void a_long_loop(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    mw_text text = {0};
    for (uint32_t i = 0; i < CHAIN; i++) {
        mw_text_addf(&text, "x%u = x%u + 1\n", i, (i + CHAIN - 1) % CHAIN);
    }
    assert_int_equal(fixture_try_load(&f, mw_text_chars(&text)), MW_FAILED);
    mw_text_free(&text);
    assert_int_equal(f.diags.count, 1);
    assert_int_equal(f.diags.items[0].code, MW_CODE_CYCLE);
    assert_true(fixture_says(&f, "`x0` (job:1) -> `x59999` (job:60000) -> "));
    assert_true(fixture_says(&f, " more -> `x0`"));
    fixture_close(&f);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "line", load_rows, lines_are_understood);
    test_add_rows(&list, "error", error_rows, errors_are_told);
    test_add(&list, a_second_source_redefines);
    test_add(&list, long_chains);
    test_add(&list, a_long_loop);
    return test_run(&list, "sheet load");
}
