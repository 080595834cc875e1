/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of names: small, large, and under a failing allocator. */
#include "support.h"

#include <stdio.h>
#include <string.h>

#include "mouldwright/names.h"

static mw_names *new_names(void)
{
    mw_names *names = mw_names_new();
    assert_non_null(names);
    return names;
}

static void ids_count_up(void **state)
{
    (void)state;
    static const char *const words[] = {"hull",         "hull_port",     "",
                                        "HULL",         "resin",         "a",
                                        "twelve_bytes", "thirteen_byte", "f\xC3\xBCr"};
    enum { WORDS = sizeof words / sizeof words[0] };
    mw_names *names = new_names();
    assert_int_equal(mw_names_count(names), 0);
    for (uint32_t i = 0; i < WORDS; i++) {
        assert_int_equal(mw_names_find(names, mw_str_of(words[i])), MW_NONE);
        assert_int_equal(mw_names_add(names, mw_str_of(words[i])), i);
    }
    for (uint32_t i = 0; i < WORDS; i++) {
        assert_int_equal(mw_names_add(names, mw_str_of(words[i])), i);
        assert_int_equal(mw_names_find(names, mw_str_of(words[i])), i);
        assert_true(mw_str_is(mw_names_text(names, i), words[i]));
    }
    assert_int_equal(mw_names_count(names), WORDS);
    mw_names_free(names);
    mw_names_free(NULL);
}

static void keeps_its_own_copy(void **state)
{
    (void)state;
    mw_names *names = new_names();
    char text[] = "a name that is long enough to lie outside";
    uint32_t id = mw_names_add(names, mw_str_of(text));
    memset(text, '-', sizeof text - 1);
    assert_true(mw_str_is(mw_names_text(names, id), "a name that is long enough to lie outside"));
    assert_int_equal(mw_names_find(names, mw_str_of(text)), MW_NONE);
    mw_names_free(names);
}

/* Names that begin alike, of every length round the limit of the short form. */
static void tells_lengths_and_last_bytes_apart(void **state)
{
    (void)state;
    mw_names *names = new_names();
    char text[80];
    memset(text, 'm', sizeof text);
    uint32_t id = 0;
    for (size_t length = 1; length < 70; length++) {
        assert_int_equal(mw_names_add(names, (mw_str){text, length}), id++);
        text[length - 1] = 'n';
        assert_int_equal(mw_names_add(names, (mw_str){text, length}), id++);
        text[length - 1] = '\0';
        assert_int_equal(mw_names_add(names, (mw_str){text, length}), id++);
        text[length - 1] = 'm';
    }
    assert_int_equal(mw_names_count(names), id);
    for (size_t length = 1; length < 70; length++) {
        assert_int_equal(mw_names_find(names, (mw_str){text, length}), 3 * (length - 1));
    }
    mw_names_free(names);
}

/* The hash must come from the bytes alone, wherever they lie. */
static void hash_does_not_depend_on_place(void **state)
{
    (void)state;
    char text[64];
    uint32_t want = mw_names_hash(mw_str_of("hull_port.heavy.plies"));
    for (size_t at = 0; at < 16; at++) {
        memset(text, (int)at, sizeof text);
        strcpy(text + at, "hull_port.heavy.plies");
        assert_int_equal(mw_names_hash(mw_str_of(text + at)), want);
    }
    assert_int_not_equal(mw_names_hash((mw_str){"\0", 1}), mw_names_hash((mw_str){"\0\0", 2}));
}

static void hashed_look_up_is_the_same(void **state)
{
    (void)state;
    mw_names *names = new_names();
    for (uint32_t i = 0; i < 1000; i++) {
        char text[32];
        snprintf(text, sizeof text, "line_%u", (unsigned)i);
        mw_str name = mw_str_of(text);
        assert_int_equal(mw_names_find_hashed(names, name, mw_names_hash(name)), MW_NONE);
        assert_int_equal(mw_names_add(names, name), i);
        mw_names_prefetch(names, mw_names_hash(name));
        assert_int_equal(mw_names_find_hashed(names, name, mw_names_hash(name)), i);
    }
    mw_names_free(names);
}

static size_t number_name(char *text, size_t size, uint32_t i)
{
    /* short and long names by turns */
    switch (i % 3) {
    case 0:
        return (size_t)snprintf(text, size, "n%x", (unsigned)i);
    case 1:
        return (size_t)snprintf(text, size, "mould_%u.heavy.resin", (unsigned)i);
    default:
        return (size_t)snprintf(text, size, "%u_x", (unsigned)i);
    }
}

static void a_million_names(void **state)
{
    const bool *reserve = *state;
    enum { MANY = 1000000 };
    mw_names *names = new_names();
    if (*reserve) {
        assert_true(mw_names_reserve(names, MANY));
    }
    char text[64];
    for (uint32_t i = 0; i < MANY; i++) {
        size_t length = number_name(text, sizeof text, i);
        assert_int_equal(mw_names_add(names, (mw_str){text, length}), i);
    }
    for (uint32_t i = 0; i < MANY; i++) {
        size_t length = number_name(text, sizeof text, i);
        mw_str kept = mw_names_text(names, i);
        if (mw_names_find(names, (mw_str){text, length}) != i ||
            !mw_str_equal(kept, (mw_str){text, length})) {
            fail_msg("name %u is lost", (unsigned)i);
        }
    }
    assert_int_equal(mw_names_find(names, mw_str_of("not there")), MW_NONE);
    assert_int_equal(mw_names_count(names), MANY);
    size_t bytes = mw_names_bytes(names);
    assert_true(bytes > MANY * 16 && bytes < (size_t)MANY * 80);
    mw_names_free(names);
}

static void texts_stay_where_they_are(void **state)
{
    (void)state;
    mw_names *names = new_names();
    assert_int_equal(mw_names_add(names, mw_str_of("short")), 0);
    assert_int_equal(mw_names_add(names, mw_str_of("a longer name than that")), 1);
    mw_str first = mw_names_text(names, 0);
    mw_str second = mw_names_text(names, 1);
    char text[64];
    for (uint32_t i = 0; i < 100000; i++) {
        size_t length = number_name(text, sizeof text, i);
        assert_int_not_equal(mw_names_add(names, (mw_str){text, length}), MW_NONE);
    }
    assert_ptr_equal(mw_names_text(names, 0).at, first.at);
    assert_ptr_equal(mw_names_text(names, 1).at, second.at);
    assert_true(mw_str_is(first, "short"));
    assert_true(mw_str_is(second, "a longer name than that"));
    mw_names_free(names);
}

static void reserve_beyond_all_is_refused(void **state)
{
    (void)state;
    mw_names *names = new_names();
    assert_int_equal(mw_names_add(names, mw_str_of("kept")), 0);
    assert_false(mw_names_reserve(names, UINT32_MAX));
    assert_true(mw_names_reserve(names, 0));
    assert_int_equal(mw_names_find(names, mw_str_of("kept")), 0);
    mw_names_free(names);
}

static support_outcome add_names(void *context)
{
    (void)context;
    mw_names *names = mw_names_new();
    if (names == NULL) {
        return SUPPORT_NO_MEMORY;
    }
    support_outcome outcome = mw_names_reserve(names, 100) ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
    uint32_t added = 0;
    char text[64];
    for (uint32_t i = 0; i < 300; i++) {
        size_t length = number_name(text, sizeof text, i);
        uint32_t id = mw_names_add(names, (mw_str){text, length});
        if (id == MW_NONE) {
            outcome = SUPPORT_NO_MEMORY;
            assert_int_equal(mw_names_find(names, (mw_str){text, length}), MW_NONE);
        } else {
            assert_int_equal(id, added);
            assert_true(mw_str_equal(mw_names_text(names, id), (mw_str){text, length}));
            added++;
        }
        assert_int_equal(mw_names_count(names), added);
    }
    mw_names_free(names);
    return outcome;
}

static void every_allocation_may_fail(void **state)
{
    (void)state;
    assert_true(support_fail_each_allocation(add_names, NULL) > 8);
}

int main(void)
{
    static const bool yes = true;
    static const bool no = false;
    test_list tests = {0};
    test_add(&tests, ids_count_up);
    test_add(&tests, keeps_its_own_copy);
    test_add(&tests, tells_lengths_and_last_bytes_apart);
    test_add(&tests, hash_does_not_depend_on_place);
    test_add(&tests, hashed_look_up_is_the_same);
    test_add_named(&tests, "a million names", a_million_names, &no);
    test_add_named(&tests, "a million names, room made before", a_million_names, &yes);
    test_add(&tests, texts_stay_where_they_are);
    test_add(&tests, reserve_beyond_all_is_refused);
    test_add(&tests, every_allocation_may_fail);
    return test_run(&tests, "base names");
}
