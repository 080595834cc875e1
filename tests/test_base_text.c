/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pieces of text and the growing text. */
#include "support.h"

#include <stdio.h>
#include <string.h>

#include "mouldwright/text.h"

typedef struct trim_row {
    const char *name;
    const char *text;
    const char *want;
} trim_row;

static const trim_row trim_rows[] = {
    {"nothing", "", ""},
    {"only blanks", " \t\r\n ", ""},
    {"nothing to take", "a b", "a b"},
    {"both sides", "  a b\t\n", "a b"},
    {"left", "\r\n a", "a"},
    {"right", "a \t", "a"},
    {"other control characters stay", "\x01 a \x0B", "\x01 a \x0B"},
};

static void trims(void **state)
{
    const trim_row *row = *state;
    assert_true(mw_str_is(mw_str_trim(mw_str_of(row->text)), row->want));
}

typedef struct equal_row {
    const char *name;
    mw_str a;
    mw_str b;
    bool want;
} equal_row;

static const equal_row equal_rows[] = {
    {"both empty", {"", 0}, {"x", 0}, true},
    {"both nowhere", {NULL, 0}, {NULL, 0}, true},
    {"empty and nowhere", {NULL, 0}, {"", 0}, true},
    {"same bytes", {"glass", 5}, {"glassy", 5}, true},
    {"prefix", {"glass", 5}, {"glassy", 6}, false},
    {"case", {"Glass", 5}, {"glass", 5}, false},
    {"behind a NUL", {"a\0b", 3}, {"a\0c", 3}, false},
};

static void compares(void **state)
{
    const equal_row *row = *state;
    assert_int_equal(mw_str_equal(row->a, row->b), row->want);
    assert_int_equal(mw_str_equal(row->b, row->a), row->want);
}

static void str_of_nothing(void **state)
{
    (void)state;
    assert_int_equal(mw_str_of(NULL).length, 0);
    assert_true(mw_str_is(mw_str_of(NULL), ""));
    assert_false(mw_str_is(mw_str_of("a"), ""));
}

static void text_grows(void **state)
{
    (void)state;
    mw_text text = {0};
    assert_string_equal(mw_text_chars(&text), "");
    mw_text_adds(&text, "resin");
    mw_text_addc(&text, ' ');
    mw_text_add(&text, "28.5 kg left", 7);
    mw_text_add_str(&text, (mw_str){", in pots", 4});
    mw_text_addf(&text, "%s %d %.2f", "n", -7, 0.125);
    mw_text_fill(&text, '=', 3);
    assert_string_equal(mw_text_chars(&text), "resin 28.5 kg, inn -7 0.12===");
    assert_int_equal(text.length, strlen(text.data));
    mw_text_clear(&text);
    assert_int_equal(text.length, 0);
    assert_string_equal(mw_text_chars(&text), "");
    mw_text_add(&text, NULL, 0);
    mw_text_add_str(&text, (mw_str){NULL, 0});
    mw_text_fill(&text, 'x', 0);
    mw_text_addf(&text, "%s", "");
    assert_string_equal(mw_text_chars(&text), "");
    mw_text_free(&text);
    assert_null(text.data);
    mw_text_clear(&text);
    mw_text_free(&text);
}

static void text_takes_every_length(void **state)
{
    (void)state;
    mw_text text = {0};
    for (int i = 0; i < 3000; i++) {
        mw_text_addf(&text, "%d,", i);
    }
    assert_false(text.failed);
    const char *at = text.data;
    for (int i = 0; i < 3000; i++) {
        int got = -1;
        int used = 0;
        assert_int_equal(sscanf(at, "%d,%n", &got, &used), 1);
        assert_int_equal(got, i);
        at += used;
    }
    assert_int_equal(*at, 0);
    mw_text_free(&text);
}

static void bytes_may_be_nul(void **state)
{
    (void)state;
    mw_text text = {0};
    mw_text_add(&text, "a\0b", 3);
    mw_text_addc(&text, '\0');
    assert_int_equal(text.length, 4);
    assert_memory_equal(text.data, "a\0b\0", 5);
    mw_text_free(&text);
}

static void failure_is_sticky(void **state)
{
    (void)state;
    mw_text text = {0};
    mw_text_adds(&text, "kept");
    char large[200];
    memset(large, 'x', sizeof large);
    support_fail_allocation(0, false);
    mw_text_add(&text, large, sizeof large);
    assert_true(support_fail_never());
    assert_true(text.failed);
    mw_text_adds(&text, "no");
    mw_text_addf(&text, "%d", 1);
    mw_text_fill(&text, ' ', 1);
    assert_string_equal(mw_text_chars(&text), "kept");
    mw_text_clear(&text);
    assert_false(text.failed);
    mw_text_adds(&text, "again");
    assert_string_equal(mw_text_chars(&text), "again");
    mw_text_free(&text);
}

static void too_long_is_refused(void **state)
{
    (void)state;
    mw_text text = {0};
    mw_text_adds(&text, "abc");
    mw_text_fill(&text, 'x', SIZE_MAX - 3);
    assert_true(text.failed);
    assert_string_equal(mw_text_chars(&text), "abc");
    mw_text_free(&text);
}

static support_outcome build_text(void *context)
{
    (void)context;
    mw_text text = {0};
    for (int i = 0; i < 100; i++) {
        mw_text_addf(&text, "%d ", i);
        mw_text_fill(&text, '-', (size_t)i);
    }
    bool failed = text.failed;
    mw_text_free(&text);
    return failed ? SUPPORT_NO_MEMORY : SUPPORT_DONE;
}

static void every_allocation_may_fail(void **state)
{
    (void)state;
    assert_true(support_fail_each_allocation(build_text, NULL) > 3);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "trim", trim_rows, trims);
    test_add_rows(&tests, "equal", equal_rows, compares);
    test_add(&tests, str_of_nothing);
    test_add(&tests, text_grows);
    test_add(&tests, text_takes_every_length);
    test_add(&tests, bytes_may_be_nul);
    test_add(&tests, failure_is_sticky);
    test_add(&tests, too_long_is_refused);
    test_add(&tests, every_allocation_may_fail);
    return test_run(&tests, "base text");
}
