/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sources: places by line and column. */
#include "support.h"

#include <string.h>

#include "mouldwright/memory.h"
#include "mouldwright/source.h"

static mw_sources *new_sources(void)
{
    mw_sources *sources = mw_sources_new();
    assert_non_null(sources);
    return sources;
}

typedef struct place_row {
    const char *name;
    const char *text;
    uint32_t at;
    uint32_t line;
    uint32_t column;
    const char *line_text;
} place_row;

static const place_row place_rows[] = {
    {"empty text", "", 0, 1, 1, ""},
    {"past the end of an empty text", "", 9, 1, 1, ""},
    {"first byte", "a = 1\nb = 2\n", 0, 1, 1, "a = 1"},
    {"inside the first line", "a = 1\nb = 2\n", 4, 1, 5, "a = 1"},
    {"the line end itself", "a = 1\nb = 2\n", 5, 1, 6, "a = 1"},
    {"second line", "a = 1\nb = 2\n", 6, 2, 1, "b = 2"},
    {"behind the last line end", "a = 1\nb = 2\n", 12, 3, 1, ""},
    {"no line end at the end", "a = 1\nb = 2", 11, 2, 6, "b = 2"},
    {"past the end", "a = 1\nb = 2", 400, 2, 6, "b = 2"},
    {"empty lines", "\n\n\nx", 2, 3, 1, ""},
    {"carriage returns", "a = 1\r\nb = 2\r\n", 9, 2, 3, "b = 2"},
    {"carriage return is not of the line", "a = 1\r\nb = 2\r\n", 0, 1, 1, "a = 1"},
    {"carriage return alone is a character", "a\rb", 2, 1, 3, "a\rb"},
    {"tabs count one", "\t\tx = 1", 2, 1, 3, "\t\tx = 1"},
    {"two bytes count one", "f\xC3\xBCr = 1", 3, 1, 3, "f\xC3\xBCr = 1"},
    {"wide characters count one", "\xE6\x97\xA5\xE6\x9C\xAC = 1", 6, 1, 3,
     "\xE6\x97\xA5\xE6\x9C\xAC = 1"},
    {"bytes that are no character count one", "\xFF\xFE x", 3, 1, 4, "\xFF\xFE x"},
};

static void has_place(void **state)
{
    const place_row *row = *state;
    mw_sources *sources = new_sources();
    uint32_t other = mw_sources_add(sources, mw_str_of("other"), mw_str_of("\n\n\n"));
    uint32_t id = mw_sources_add(sources, mw_str_of("dunlin.job"), mw_str_of(row->text));
    assert_int_not_equal(other, id);
    mw_place place = mw_sources_place(sources, id, row->at);
    assert_true(mw_str_is(place.name, "dunlin.job"));
    assert_int_equal(place.line, row->line);
    assert_int_equal(place.column, row->column);
    assert_true(mw_str_is(place.line_text, row->line_text));
    assert_ptr_equal(place.line_text.at, mw_sources_text(sources, id).at + place.line_begin);
    mw_sources_free(sources);
}

static void texts_stay_and_end_in_nul(void **state)
{
    (void)state;
    mw_sources *sources = new_sources();
    char typed[] = "rate = 58 EUR/h";
    uint32_t first = mw_sources_add(sources, mw_str_of("prompt"), mw_str_of(typed));
    memset(typed, '-', sizeof typed - 1);
    const char *at = mw_sources_text(sources, first).at;
    for (int i = 0; i < 1000; i++) {
        assert_int_not_equal(mw_sources_add(sources, mw_str_of("more"), mw_str_of("x")), MW_NONE);
    }
    mw_str text = mw_sources_text(sources, first);
    assert_ptr_equal(text.at, at);
    assert_true(mw_str_is(text, "rate = 58 EUR/h"));
    assert_int_equal(text.at[text.length], 0);
    assert_true(mw_str_is(mw_sources_name(sources, first), "prompt"));
    mw_sources_free(sources);
    mw_sources_free(NULL);
}

static void pieces_are_cut_at_the_end(void **state)
{
    (void)state;
    mw_sources *sources = new_sources();
    uint32_t id = mw_sources_add(sources, mw_str_of("x"), mw_str_of("area 6.4 m2"));
    assert_true(mw_str_is(mw_sources_piece(sources, (mw_span){id, 5, 8}), "6.4"));
    assert_true(mw_str_is(mw_sources_piece(sources, (mw_span){id, 9, 99}), "m2"));
    assert_true(mw_str_is(mw_sources_piece(sources, (mw_span){id, 99, 100}), ""));
    assert_true(mw_str_is(mw_sources_piece(sources, (mw_span){id, 8, 5}), ""));
    mw_sources_free(sources);
}

static void adopts_a_block(void **state)
{
    (void)state;
    mw_sources *sources = new_sources();
    char *block = mw_memory_get(6);
    assert_non_null(block);
    memcpy(block, "start", 6);
    uint32_t id = mw_sources_adopt(sources, mw_str_of("x"), block, 5);
    assert_ptr_equal(mw_sources_text(sources, id).at, block);
    mw_sources_free(sources);
}

static void only_the_newest_is_dropped(void **state)
{
    (void)state;
    mw_sources *sources = new_sources();
    uint32_t first = mw_sources_add(sources, mw_str_of("a"), mw_str_of("first"));
    uint32_t second = mw_sources_add(sources, mw_str_of("b"), mw_str_of("second"));
    mw_sources_drop_last(sources, first);
    mw_sources_drop_last(sources, MW_NONE);
    assert_true(mw_str_is(mw_sources_text(sources, first), "first"));
    assert_true(mw_str_is(mw_sources_text(sources, second), "second"));
    mw_sources_drop_last(sources, second);
    assert_int_equal(mw_sources_add(sources, mw_str_of("c"), mw_str_of("third")), second);
    assert_true(mw_str_is(mw_sources_text(sources, second), "third"));
    mw_sources_free(sources);
}

static void lines_count_from_where_the_stream_is(void **state)
{
    (void)state;
    mw_sources *sources = new_sources();
    uint32_t id = mw_sources_add(sources, mw_str_of("prompt"), mw_str_of("a = 1\nb = 2\n"));
    mw_sources_first_line(sources, id, 40);
    assert_int_equal(mw_sources_place(sources, id, 0).line, 40);
    assert_int_equal(mw_sources_place(sources, id, 6).line, 41);
    assert_int_equal(mw_sources_place(sources, id, 6).column, 1);
    uint32_t next = mw_sources_add(sources, mw_str_of("prompt"), mw_str_of("c = 3\n"));
    assert_int_equal(mw_sources_place(sources, next, 0).line, 1);
    mw_sources_free(sources);
}

static void too_long_is_refused(void **state)
{
    (void)state;
    mw_sources *sources = new_sources();
    assert_int_equal(mw_sources_add(sources, mw_str_of("x"), (mw_str){"", UINT32_MAX}), MW_NONE);
    char byte = '\0';
    assert_int_equal(mw_sources_adopt(sources, mw_str_of("x"), &byte, UINT32_MAX), MW_NONE);
    mw_sources_free(sources);
}

static support_outcome add_sources(void *context)
{
    (void)context;
    mw_sources *sources = mw_sources_new();
    if (sources == NULL) {
        return SUPPORT_NO_MEMORY;
    }
    support_outcome outcome = SUPPORT_DONE;
    for (int i = 0; i < 20; i++) {
        if (mw_sources_add(sources, mw_str_of("name"), mw_str_of("text")) == MW_NONE) {
            outcome = SUPPORT_NO_MEMORY;
        }
        char *block = mw_memory_get(2);
        if (block == NULL || mw_sources_adopt(sources, mw_str_of("x"), block, 1) == MW_NONE) {
            mw_memory_give(block);
            outcome = SUPPORT_NO_MEMORY;
        }
    }
    mw_sources_free(sources);
    return outcome;
}

static void every_allocation_may_fail(void **state)
{
    (void)state;
    assert_true(support_fail_each_allocation(add_sources, NULL) > 60);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "place", place_rows, has_place);
    test_add(&tests, texts_stay_and_end_in_nul);
    test_add(&tests, pieces_are_cut_at_the_end);
    test_add(&tests, adopts_a_block);
    test_add(&tests, only_the_newest_is_dropped);
    test_add(&tests, lines_count_from_where_the_stream_is);
    test_add(&tests, too_long_is_refused);
    test_add(&tests, every_allocation_may_fail);
    return test_run(&tests, "base source");
}
