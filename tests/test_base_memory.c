/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The allocator's door. */
#include "support.h"

#include <string.h>

#include "mouldwright/memory.h"

static void gets_zeroed_bytes(void **state)
{
    (void)state;
    unsigned char *block = mw_memory_get(1000);
    assert_non_null(block);
    for (size_t i = 0; i < 1000; i++) {
        assert_int_equal(block[i], 0);
    }
    mw_memory_give(block);
}

static void size_zero_is_served(void **state)
{
    (void)state;
    void *block = mw_memory_get(0);
    assert_non_null(block);
    block = mw_memory_resize(block, 0);
    assert_non_null(block);
    mw_memory_give(block);
    mw_memory_give(NULL);
}

static void refused_resize_keeps_block(void **state)
{
    (void)state;
    char *block = mw_memory_get(4);
    assert_non_null(block);
    block[3] = 'x';
    support_fail_allocation(0, false);
    assert_null(mw_memory_resize(block, 4000));
    assert_true(support_fail_never());
    assert_int_equal(block[3], 'x');
    mw_memory_give(block);
}

typedef struct grow_row {
    const char *name;
    size_t capacity; /* before */
    size_t needed;
    size_t item_size;
    size_t want; /* capacity after; 0: refused */
} grow_row;

static const grow_row grow_rows[] = {
    {"nothing needed", 0, 0, 8, 0},
    {"first item", 0, 1, 8, 12},
    {"first thousand", 0, 1000, 8, 1000},
    {"fits already", 12, 12, 8, 12},
    {"one more", 12, 13, 8, 18},
    {"half as much again", 100, 101, 4, 150},
    {"exactly what is needed beyond that", 100, 400, 4, 400},
    {"more bytes than there are addresses", 12, SIZE_MAX / 8 + 1, 8, 0},
    {"all addresses", 12, SIZE_MAX, 1, 0},
};

static void grows(void **state)
{
    const grow_row *row = *state;
    void *items = row->capacity == 0 ? NULL : mw_memory_get(row->capacity * row->item_size);
    size_t capacity = row->capacity;
    bool grown = mw_memory_grow(&items, &capacity, row->needed, row->item_size);
    bool refused = row->want == 0 && row->needed > 0;
    assert_int_equal(grown, !refused);
    assert_int_equal(capacity, refused ? row->capacity : row->want);
    mw_memory_give(items);
}

typedef struct grow32_row {
    const char *name;
    uint32_t capacity;
    uint32_t needed;
    uint32_t want; /* 0: refused */
} grow32_row;

static const grow32_row grow32_rows[] = {
    {"first item", 0, 1, 12},
    {"fits already", 12, 5, 12},
    {"one more", 12, 13, 18},
    {"MW_NONE items cannot be numbered", 12, UINT32_MAX, 0},
};

static void grows32(void **state)
{
    const grow32_row *row = *state;
    void *items = row->capacity == 0 ? NULL : mw_memory_get(row->capacity);
    uint32_t capacity = row->capacity;
    assert_int_equal(mw_memory_grow32(&items, &capacity, row->needed, 1), row->want != 0);
    assert_int_equal(capacity, row->want == 0 ? row->capacity : row->want);
    mw_memory_give(items);
}

static void more_bytes_than_can_be_counted_are_refused(void **state)
{
    (void)state;
    void *items = NULL;
    uint32_t capacity = 0;
    assert_false(mw_memory_grow32(&items, &capacity, UINT32_MAX - 1, SIZE_MAX / 1000));
    assert_null(items);
    assert_int_equal(capacity, 0);
}

static void grow_without_memory_changes_nothing(void **state)
{
    (void)state;
    char *first = mw_memory_get(12);
    assert_non_null(first);
    void *items = first;
    size_t capacity = 12;
    uint32_t capacity32 = 12;
    support_fail_allocation(0, true);
    assert_false(mw_memory_grow(&items, &capacity, 13, 1));
    assert_false(mw_memory_grow32(&items, &capacity32, 13, 1));
    support_fail_never();
    assert_ptr_equal(items, first);
    assert_int_equal(capacity, 12);
    assert_int_equal(capacity32, 12);
    mw_memory_give(items);
}

/* Blocks of some MiB are taken in another way: they too are zero, keep what they hold when they grow,
 * and stay as they are when there is no memory. */
static void large_blocks_behave_like_small_ones(void **state)
{
    (void)state;
    const size_t large = ((size_t)4 << 20) + 1;
    unsigned char *block = mw_memory_get(large);
    assert_non_null(block);
    for (size_t i = 0; i < large; i++) {
        assert_int_equal(block[i], 0);
    }
    memset(block, 7, large);
    support_fail_allocation(0, true);
    void *items = block;
    size_t capacity = large;
    assert_false(mw_memory_grow(&items, &capacity, large + 1, 1));
    assert_null(mw_memory_get(large));
    assert_null(mw_memory_resize(NULL, large));
    support_fail_never();
    assert_ptr_equal(items, block);
    assert_true(mw_memory_grow(&items, &capacity, large + 1, 1));
    assert_true(capacity > large);
    for (size_t i = 0; i < large; i++) {
        assert_int_equal(((unsigned char *)items)[i], 7);
    }
    items = mw_memory_resize(items, 16);
    assert_non_null(items);
    assert_int_equal(((unsigned char *)items)[15], 7);
    mw_memory_give(items);
}

int main(void)
{
    test_list tests = {0};
    test_add(&tests, gets_zeroed_bytes);
    test_add(&tests, size_zero_is_served);
    test_add(&tests, refused_resize_keeps_block);
    test_add_rows(&tests, "grow", grow_rows, grows);
    test_add_rows(&tests, "grow32", grow32_rows, grows32);
    test_add(&tests, more_bytes_than_can_be_counted_are_refused);
    test_add(&tests, grow_without_memory_changes_nothing);
    test_add(&tests, large_blocks_behave_like_small_ones);
    return test_run(&tests, "base memory");
}
