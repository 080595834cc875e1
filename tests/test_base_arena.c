/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Arenas; the sanitizer build runs the same tests on the form in which each piece is its own. */
#include "support.h"

#include <stdalign.h>
#include <stdio.h>
#include <string.h>

#include "mouldwright/arena.h"

static mw_arena *new_arena(void)
{
    mw_arena *arena = mw_arena_new();
    assert_non_null(arena);
    return arena;
}

static bool is_filled(const unsigned char *bytes, size_t size, unsigned char with)
{
    for (size_t i = 0; i < size; i++) {
        if (bytes[i] != with) {
            return false;
        }
    }
    return true;
}

typedef struct size_row {
    const char *name;
    size_t size;
} size_row;

static const size_row size_rows[] = {
    {"nothing", 0},    {"a byte", 1},           {"fifteen", 15},
    {"sixteen", 16},   {"seventeen", 17},       {"a block nearly", 2047},
    {"a block", 2048}, {"more than one", 2049}, {"larger than any", 1000003},
};

static void pieces_are_zeroed_aligned_apart(void **state)
{
    const size_row *row = *state;
    mw_arena *arena = new_arena();
    enum { PIECES = 40 };
    unsigned char *pieces[PIECES];
    for (size_t i = 0; i < PIECES; i++) {
        pieces[i] = mw_arena_get(arena, row->size);
        assert_non_null(pieces[i]);
        assert_int_equal((uintptr_t)pieces[i] % alignof(max_align_t), 0);
        assert_true(is_filled(pieces[i], row->size, 0));
        memset(pieces[i], (int)(i + 1), row->size);
    }
    for (size_t i = 0; i < PIECES; i++) {
        assert_true(is_filled(pieces[i], row->size, (unsigned char)(i + 1)));
        assert_true(i == 0 || pieces[i] != pieces[i - 1]);
    }
    assert_true(mw_arena_bytes(arena) >= PIECES * row->size);
    mw_arena_free(arena);
}

static void copies_and_prints(void **state)
{
    (void)state;
    mw_arena *arena = new_arena();
    char *copy = mw_arena_copy(arena, "laminate", 4);
    assert_string_equal(copy, "lami");
    assert_string_equal(mw_arena_copy(arena, NULL, 0), "");
    assert_memory_equal(mw_arena_copy(arena, "a\0b", 3), "a\0b", 4);
    char *print = mw_arena_print(arena, "%s: %d plies, %.1f mm", "heavy", 6, 5.0);
    assert_string_equal(print, "heavy: 6 plies, 5.0 mm");
    char long_text[5000];
    memset(long_text, 'y', sizeof long_text - 1);
    long_text[sizeof long_text - 1] = '\0';
    assert_string_equal(mw_arena_print(arena, "%s", long_text), long_text);
    assert_string_equal(copy, "lami");
    mw_arena_free(arena);
}

static void rewinding_keeps_what_is_older(void **state)
{
    (void)state;
    mw_arena *arena = new_arena();
    char *older = mw_arena_copy(arena, "older", 5);
    mw_arena_mark mark = mw_arena_here(arena);
    for (int i = 0; i < 1000; i++) {
        assert_non_null(mw_arena_get(arena, 100));
    }
    mw_arena_rewind(arena, mark);
    assert_string_equal(older, "older");
    unsigned char *again = mw_arena_get(arena, 3000);
    assert_true(is_filled(again, 3000, 0));
    assert_string_equal(older, "older");
    mw_arena_free(arena);
}

static void rewinding_keeps_memory_flat(void **state)
{
    (void)state;
    mw_arena *arena = new_arena();
    mw_arena_mark empty = mw_arena_here(arena);
    size_t held = 0;
    for (int round = 0; round < 200; round++) {
        for (int i = 0; i < 50; i++) {
            unsigned char *piece = mw_arena_get(arena, 777);
            assert_true(is_filled(piece, 777, 0));
            memset(piece, 0xEE, 777);
        }
        if (round == 0) {
            held = mw_arena_bytes(arena);
        }
        assert_int_equal(mw_arena_bytes(arena), held);
        mw_arena_rewind(arena, empty);
    }
    mw_arena_rewind(arena, (mw_arena_mark){0});
    mw_arena_free(arena);
}

static void marks_nest(void **state)
{
    (void)state;
    mw_arena *arena = new_arena();
    enum { DEPTH = 60 };
    mw_arena_mark marks[DEPTH];
    char *texts[DEPTH];
    for (int i = 0; i < DEPTH; i++) {
        marks[i] = mw_arena_here(arena);
        texts[i] = mw_arena_print(arena, "%0*d", 20 * i + 1, i);
        assert_non_null(texts[i]);
    }
    for (int i = DEPTH - 1; i >= 0; i--) {
        char want[20 * DEPTH + 2];
        snprintf(want, sizeof want, "%0*d", 20 * i + 1, i);
        assert_string_equal(texts[i], want);
        mw_arena_rewind(arena, marks[i]);
    }
    mw_arena_free(arena);
}

/* After a rewind a piece larger than the block that waits must still be served. */
static void large_piece_after_rewind(void **state)
{
    (void)state;
    mw_arena *arena = new_arena();
    for (size_t size = 16; size < 600000; size *= 3) {
        mw_arena_rewind(arena, (mw_arena_mark){0});
        unsigned char *piece = mw_arena_get(arena, size);
        assert_non_null(piece);
        memset(piece, 1, size);
        assert_non_null(mw_arena_get(arena, 16));
    }
    mw_arena_free(arena);
}

static void absurd_sizes_are_refused(void **state)
{
    (void)state;
    mw_arena *arena = new_arena();
    assert_null(mw_arena_get(arena, SIZE_MAX));
    assert_null(mw_arena_get(arena, SIZE_MAX - 20));
    assert_null(mw_arena_copy(arena, "x", SIZE_MAX));
    assert_non_null(mw_arena_get(arena, 8));
    mw_arena_free(arena);
    mw_arena_free(NULL);
}

static support_outcome use_arena(void *context)
{
    (void)context;
    mw_arena *arena = mw_arena_new();
    if (arena == NULL) {
        return SUPPORT_NO_MEMORY;
    }
    char *first = mw_arena_copy(arena, "first", 5);
    bool served = first != NULL;
    for (int i = 0; i < 12; i++) {
        served = mw_arena_get(arena, 3000) != NULL && served;
    }
    served = mw_arena_print(arena, "%d", 1) != NULL && served;
    if (first != NULL) {
        assert_string_equal(first, "first");
    }
    mw_arena_free(arena);
    return served ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void every_allocation_may_fail(void **state)
{
    (void)state;
    assert_true(support_fail_each_allocation(use_arena, NULL) > 3);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "size", size_rows, pieces_are_zeroed_aligned_apart);
    test_add(&tests, copies_and_prints);
    test_add(&tests, rewinding_keeps_what_is_older);
    test_add(&tests, rewinding_keeps_memory_flat);
    test_add(&tests, marks_nest);
    test_add(&tests, large_piece_after_rewind);
    test_add(&tests, absurd_sizes_are_refused);
    test_add(&tests, every_allocation_may_fail);
    return test_run(&tests, "base arena");
}
