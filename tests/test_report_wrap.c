/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Breaking text: as a typesetter would, at blanks, with a number and its unit on one line (the SI
 * Brochure, 9th edition, 5.4.3, puts a space between them; ISO 80000-1:2022, 7.1.4, keeps them
 * together). The lines were broken by hand. */
#include "support.h"

#include "report/wrap.h"

typedef struct wrap_row {
    const char *name;
    const char *words;
    size_t width;
    const char *lines;
} wrap_row;

static const wrap_row rows[] = {
    {"nothing", "", 20, "> "},
    {"one line", "as it was", 20, "> as it was"},
    {"just full", "moulds a moulds abc", 21, "> moulds a moulds abc"},
    {"one too many", "moulds a moulds abc", 20, "> moulds a moulds\n    abc"},
    {"a number and its unit", "takes up 12.5 kg/m2 of it", 20, "> takes up\n    12.5 kg/m2 of it"},
    {"a number and its digits", "the sum is 16 778.04 EUR here", 24,
     "> the sum is\n    16 778.04 EUR here"},
    {"a share", "of the whole about 5 % more", 22, "> of the whole about\n    5 % more"},
    {"a number before a sign", "laid_area * 12 * (1 + loss)", 17,
     "> laid_area * 12\n    * (1 + loss)"},
    {"a day and its date", "ready on Thu 2027-03-11", 20, "> ready on Thu\n    2027-03-11"},
    {"a path longer than a line", "materials.carbon_biaxial_600.areal_weight", 30,
     "> materials.carbon_\n    biaxial_600.areal_weight"},
    {"a number longer than a line", "x 123456789012345678.5 / y", 16,
     "> x\n    123456789012345678.5\n    / y"},
    {"wide letters", "\xE8\x88\xB9\xE8\x88\xB9\xE8\x88\xB9 \xE8\x88\xB9\xE8\x88\xB9\xE8\x88\xB9",
     14, "> \xE8\x88\xB9\xE8\x88\xB9\xE8\x88\xB9\n    \xE8\x88\xB9\xE8\x88\xB9\xE8\x88\xB9"},
};

static void test_words(void **state)
{
    const wrap_row *row = *state;
    mw_text text = {0};
    mw_text_adds(&text, "> ");
    wrapping line = {.out = &text, .width = row->width, .indent = 4, .used = 2};
    wrap_words(&line, mw_str_of(row->words));
    assert_string_equal(mw_text_chars(&text), row->lines);
    mw_text_free(&text);
}

typedef struct part_row {
    const char *name;
    const char *part;
    size_t gap;
    const char *lines;
} part_row;

/* Behind "name  12 kg" in 30 columns. */
static const part_row part_rows[] = {
    {"fits", "= a * b", 1, "name  12 kg = a * b"},
    {"fits below", "= laid_area * demand", 1, "name  12 kg\n    = laid_area * demand"},
    {"longer than a line", "= laid_area * demand / (1 - loss)", 1,
     "name  12 kg = laid_area *\n    demand / (1 - loss)"},
    {"a source", "[a book with a long title, 1983]", 3,
     "name  12 kg\n    [a book with a long title,\n    1983]"},
};

static void test_part(void **state)
{
    const part_row *row = *state;
    mw_text text = {0};
    wrapping line = {.out = &text, .width = 30, .indent = 4};
    wrap_words(&line, mw_str_of("name"));
    wrap_part(&line, 2, mw_str_of("12 kg"));
    wrap_part(&line, row->gap, mw_str_of(row->part));
    assert_string_equal(mw_text_chars(&text), row->lines);
    mw_text_free(&text);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "words", rows, test_words);
    test_add_rows(&list, "part", part_rows, test_part);
    return test_run(&list, "wrap");
}
