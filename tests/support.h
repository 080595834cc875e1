/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every test program needs: cmocka in the right order, comparisons of numbers that NaN cannot
 * slip through, tables whose rows are tests of their own, and allocations and I/O calls that fail. */
#ifndef TESTS_SUPPORT_H
#define TESTS_SUPPORT_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <setjmp.h>

#include <cmocka.h>

/* --- numbers --------------------------------------------------------------------------------- */

/* Fails unless |got - want| <= relative * |want|. Fails on NaN. For want = 0 use assert_close(). */
#define assert_near(got, want, relative) \
    support_near((got), (want), (relative), #got, __FILE__, __LINE__)

/* Fails unless |got - want| <= absolute. Fails on NaN. */
#define assert_close(got, want, absolute) \
    support_close((got), (want), (absolute), #got, __FILE__, __LINE__)

void support_near(double got, double want, double relative, const char *what, const char *file,
                  int line);
void support_close(double got, double want, double absolute, const char *what, const char *file,
                   int line);

/* --- rows as tests --------------------------------------------------------------------------- */

/* A list of tests that grows; start from {0}, end with test_run(). */
typedef struct test_list {
    struct CMUnitTest *items;
    size_t count;
    size_t capacity;
} test_list;

/* Adds one test, named as its function. */
#define test_add(list, function) test_add_named((list), #function, (function), NULL)

/* Adds one test under a name (copied) with the state it finds in *state. */
void test_add_named(test_list *list, const char *name, CMUnitTestFunction function,
                    const void *state);

/* Adds a test for every row of the array `rows`: a struct whose first member is
 * `const char *name`. The test is called `prefix: name` and finds the row in *state. */
#define test_add_rows(list, prefix, rows, function)                                               \
    test_add_table((list), (prefix), (rows), sizeof(rows) / sizeof((rows)[0]), sizeof((rows)[0]), \
                   (function))
void test_add_table(test_list *list, const char *prefix, const void *rows, size_t count,
                    size_t row_size, CMUnitTestFunction function);

/* Runs the tests as one cmocka group and frees the list. Returns what main() returns: 0 when all
 * passed. */
int test_run(test_list *list, const char *group);

/* The whole of a program that has one table: runs its rows. */
#define run_rows(group, rows, function)                                                     \
    support_run_table((group), (rows), sizeof(rows) / sizeof((rows)[0]), sizeof((rows)[0]), \
                      (function))
int support_run_table(const char *group, const void *rows, size_t count, size_t row_size,
                      CMUnitTestFunction function);

/* --- failing allocations --------------------------------------------------------------------- */

/* What one attempt says under a failing allocator. */
typedef enum support_outcome {
    SUPPORT_DONE,      /* finished as if nothing had happened */
    SUPPORT_NO_MEMORY, /* reported that there was no memory, and cleaned up */
} support_outcome;

/* Calls `attempt` with the first allocation failing, then the second, and so on until an attempt
 * needs no allocation that fails; then all of that once more with every allocation from the n-th on
 * failing. An attempt whose allocation failed must say SUPPORT_NO_MEMORY, the last must say
 * SUPPORT_DONE; else the test fails. The attempt checks for itself that what it was given is
 * unchanged, frees what it made, and may call support_fail_never() before it does so. Only
 * allocations made by our own objects are counted, not those inside shared libraries. Returns how
 * many allocations one attempt makes. */
size_t support_fail_each_allocation(support_outcome (*attempt)(void *context), void *context);

/* Like it, for code that may do without (a cache, a hint): an attempt may also be done. */
size_t support_fail_each_tolerant(support_outcome (*attempt)(void *context), void *context);

/* Lets the n-th allocation from now (0: the next) fail, once or from then on. */
void support_fail_allocation(size_t n, bool from_then_on);

/* Lets every call succeed again. Returns whether one was made to fail. */
bool support_fail_never(void);

/* --- failing input and output ---------------------------------------------------------------- */

typedef enum support_call {
    SUPPORT_OPEN,
    SUPPORT_READ,
    SUPPORT_WRITE,
    SUPPORT_FSYNC,
    SUPPORT_CLOSE,
    SUPPORT_RENAME,
    SUPPORT_MKSTEMP,
    SUPPORT_FTRUNCATE,
    SUPPORT_UNLINK,
    SUPPORT_CALL_COUNT
} support_call;

/* Lets the n-th such call from now (0: the next) of our own objects fail with errno `error`, once.
 * A close() that is made to fail still closes. */
void support_fail_call(support_call call, size_t n, int error);

/* The same from the n-th on, until support_fail_never(). */
void support_fail_calls(support_call call, size_t n, int error);

/* How many calls were made to fail since the last of the two above. */
size_t support_calls_failed(void);

/* Lets every read() and write() of our own objects move at most `bytes` (0: no such limit). */
void support_short_io(size_t bytes);

/* --- folders --------------------------------------------------------------------------------- */

/* Makes a new empty folder and returns its path (static storage, valid until the next call). */
const char *support_folder(void);

/* Removes the folder with all that is in it. */
void support_folder_remove(const char *folder);

#endif
