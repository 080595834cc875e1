/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The set of positions, against an array of flags. */
#include "sheet/marks.h"

#include <stdlib.h>
#include <string.h>

#include "support.h"

static uint64_t next_random(uint64_t *state)
{
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    return *state;
}

static void empty_set_has_nothing(void **state)
{
    (void)state;
    marks set = {0};
    assert_int_equal(marks_take(&set), MW_NONE);
    assert_true(marks_reserve(&set, 1));
    assert_int_equal(marks_take(&set), MW_NONE);
    marks_free(&set);
}

typedef struct size_row {
    const char *name;
    uint32_t room;
} size_row;

static const size_row size_rows[] = {
    {"one position", 1},           {"one word", 64},        {"one more than a word", 65},
    {"two full levels", 4096},     {"a third level", 4097}, {"not a power of anything", 100003},
    {"a fourth level", 262144 + 1}};

/* Adds in any order, takes the lowest, adds beyond it, as recalculation does. */
static void takes_lowest_first(void **state)
{
    const size_row *row = *state;
    marks set = {0};
    assert_true(marks_reserve(&set, row->room));
    bool *flags = calloc(row->room, sizeof *flags);
    assert_non_null(flags);
    uint64_t random = 88172645463325252u;
    uint32_t lowest = 0;
    for (uint32_t i = 0; i < 3000; i++) {
        const uint32_t at = lowest + (uint32_t)(next_random(&random) % (row->room - lowest));
        marks_add(&set, at);
        flags[at] = true;
        if (i % 3 == 2) {
            const uint32_t taken = marks_take(&set);
            while (!flags[lowest]) {
                lowest++;
            }
            assert_int_equal(taken, lowest);
            flags[lowest] = false;
        }
    }
    uint32_t taken;
    while ((taken = marks_take(&set)) != MW_NONE) {
        assert_true(flags[taken]);
        flags[taken] = false;
    }
    for (uint32_t i = 0; i < row->room; i++) {
        assert_false(flags[i]);
    }
    free(flags);
    marks_free(&set);
}

static void clearing_leaves_nothing(void **state)
{
    (void)state;
    marks set = {0};
    assert_true(marks_reserve(&set, 10000));
    for (uint32_t i = 0; i < 10000; i += 7) {
        marks_add(&set, i);
    }
    marks_clear(&set);
    assert_int_equal(marks_take(&set), MW_NONE);
    marks_free(&set);
}

static void refused_room_keeps_old(void **state)
{
    (void)state;
    marks set = {0};
    assert_true(marks_reserve(&set, 100));
    support_fail_allocation(0, false);
    assert_false(marks_reserve(&set, 100000));
    assert_true(support_fail_never());
    marks_add(&set, 99);
    assert_int_equal(marks_take(&set), 99);
    marks_free(&set);
}

int main(void)
{
    test_list list = {0};
    test_add(&list, empty_set_has_nothing);
    test_add_rows(&list, "takes the lowest first", size_rows, takes_lowest_first);
    test_add(&list, clearing_leaves_nothing);
    test_add(&list, refused_room_keeps_old);
    return test_run(&list, "sheet marks");
}
