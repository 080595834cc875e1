/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See support.h. The linker sends the calls named in the Makefile's WRAPPED here. */
#include "support.h"

#include <errno.h>
#include <fcntl.h>
#include <ftw.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <unistd.h>

/* --- numbers --------------------------------------------------------------------------------- */

void support_near(double got, double want, double relative, const char *what, const char *file,
                  int line)
{
    /* Written so that a NaN anywhere makes the comparison false. */
    if (fabs(got - want) <= relative * fabs(want)) {
        return;
    }
    if (got == want) { /* infinities */
        return;
    }
    print_error("%s is %.17g, not %.17g within %g of it (off by %.3g)\n", what, got, want, relative,
                fabs(got - want) / fabs(want));
    _fail(file, line);
}

void support_close(double got, double want, double absolute, const char *what, const char *file,
                   int line)
{
    if (fabs(got - want) <= absolute || got == want) {
        return;
    }
    print_error("%s is %.17g, not %.17g within %g\n", what, got, want, absolute);
    _fail(file, line);
}

/* --- rows as tests --------------------------------------------------------------------------- */

static void *must(void *block)
{
    if (block == NULL) {
        fputs("no memory for the tests themselves\n", stderr);
        abort();
    }
    return block;
}

/* cmocka takes a pointer to non-const; no test writes to its row. */
static void *without_const(const void *state)
{
    void *result;
    memcpy(&result, &state, sizeof result);
    return result;
}

void test_add_named(test_list *list, const char *name, CMUnitTestFunction function,
                    const void *state)
{
    if (list->count == list->capacity) {
        list->capacity = list->capacity * 2 + 16;
        list->items = must(realloc(list->items, list->capacity * sizeof *list->items));
    }
    char *copy = must(malloc(strlen(name) + 1));
    strcpy(copy, name);
    list->items[list->count++] =
        (struct CMUnitTest){copy, function, NULL, NULL, without_const(state)};
}

void test_add_table(test_list *list, const char *prefix, const void *rows, size_t count,
                    size_t row_size, CMUnitTestFunction function)
{
    for (size_t i = 0; i < count; i++) {
        const char *row = (const char *)rows + i * row_size;
        const char *row_name;
        memcpy(&row_name, row, sizeof row_name);
        size_t size = strlen(prefix) + strlen(row_name) + 3;
        char *name = must(malloc(size));
        snprintf(name, size, "%s: %s", prefix, row_name);
        test_add_named(list, name, function, row);
        free(name);
    }
}

int test_run(test_list *list, const char *group)
{
    int failed = _cmocka_run_group_tests(group, list->items, list->count, NULL, NULL);
    for (size_t i = 0; i < list->count; i++) {
        free(without_const(list->items[i].name));
    }
    free(list->items);
    *list = (test_list){0};
    return failed == 0 ? 0 : 1;
}

int support_run_table(const char *group, const void *rows, size_t count, size_t row_size,
                      CMUnitTestFunction function)
{
    test_list list = {0};
    test_add_table(&list, group, rows, count, row_size, function);
    return test_run(&list, group);
}

/* --- failing allocations --------------------------------------------------------------------- */

static struct {
    bool armed;
    bool from_then_on;
    bool hit;
    size_t left; /* allocations that still succeed */
    size_t seen;
} allocation;

static bool allocation_fails(void)
{
    allocation.seen++;
    if (!allocation.armed) {
        return false;
    }
    if (allocation.left > 0) {
        allocation.left--;
        return false;
    }
    allocation.hit = true;
    allocation.armed = allocation.from_then_on;
    return true;
}

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *block, size_t size);
void *__real_aligned_alloc(size_t alignment, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *block, size_t size);
void *__wrap_aligned_alloc(size_t alignment, size_t size);

void *__wrap_malloc(size_t size)
{
    if (allocation_fails()) {
        errno = ENOMEM;
        return NULL;
    }
    return __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size)
{
    if (allocation_fails()) {
        errno = ENOMEM;
        return NULL;
    }
    return __real_calloc(count, size);
}

void *__wrap_realloc(void *block, size_t size)
{
    if (allocation_fails()) {
        errno = ENOMEM;
        return NULL;
    }
    return __real_realloc(block, size);
}

void *__wrap_aligned_alloc(size_t alignment, size_t size)
{
    if (allocation_fails()) {
        errno = ENOMEM;
        return NULL;
    }
    return __real_aligned_alloc(alignment, size);
}

void support_fail_allocation(size_t n, bool from_then_on)
{
    allocation.armed = true;
    allocation.from_then_on = from_then_on;
    allocation.hit = false;
    allocation.left = n;
    allocation.seen = 0;
}

static void calls_succeed(void);

bool support_fail_never(void)
{
    bool hit = allocation.hit;
    allocation.armed = false;
    calls_succeed();
    return hit;
}

static size_t fail_each(support_outcome (*attempt)(void *), void *context, bool from_then_on,
                        bool tolerant)
{
    enum { ENOUGH = 200000 };
    for (size_t n = 0; n < ENOUGH; n++) {
        support_fail_allocation(n, from_then_on);
        support_outcome outcome = attempt(context);
        bool hit = support_fail_never();
        if (!hit) {
            assert_int_equal(outcome, SUPPORT_DONE);
            return n;
        }
        if (outcome == SUPPORT_DONE && !tolerant) {
            fail_msg("allocation %zu failed and nobody said so", n);
        }
    }
    fail_msg("still failing after %d allocations", ENOUGH);
    return 0;
}

size_t support_fail_each_allocation(support_outcome (*attempt)(void *context), void *context)
{
    fail_each(attempt, context, true, false);
    return fail_each(attempt, context, false, false);
}

size_t support_fail_each_tolerant(support_outcome (*attempt)(void *context), void *context)
{
    fail_each(attempt, context, true, true);
    return fail_each(attempt, context, false, true);
}

/* --- failing input and output ---------------------------------------------------------------- */

static struct {
    bool armed;
    bool from_then_on;
    size_t left;
    int error;
} call_failure[SUPPORT_CALL_COUNT];
static size_t calls_failed;
static size_t io_limit_bytes;

static void calls_succeed(void)
{
    for (int i = 0; i < SUPPORT_CALL_COUNT; i++) {
        call_failure[i].armed = false;
    }
    io_limit_bytes = 0;
}

void support_fail_call(support_call call, size_t n, int error)
{
    call_failure[call].armed = true;
    call_failure[call].from_then_on = false;
    call_failure[call].left = n;
    call_failure[call].error = error;
    calls_failed = 0;
}

void support_fail_calls(support_call call, size_t n, int error)
{
    support_fail_call(call, n, error);
    call_failure[call].from_then_on = true;
}

size_t support_calls_failed(void)
{
    return calls_failed;
}

void support_short_io(size_t bytes)
{
    io_limit_bytes = bytes;
}

static bool call_fails(support_call call)
{
    if (!call_failure[call].armed) {
        return false;
    }
    if (call_failure[call].left > 0) {
        call_failure[call].left--;
        return false;
    }
    call_failure[call].armed = call_failure[call].from_then_on;
    calls_failed++;
    errno = call_failure[call].error;
    return true;
}

static size_t within_limit(size_t size)
{
    return io_limit_bytes > 0 && size > io_limit_bytes ? io_limit_bytes : size;
}

int __real_open(const char *path, int flags, ...);
ssize_t __real_read(int file, void *data, size_t size);
ssize_t __real_write(int file, const void *data, size_t size);
int __real_fsync(int file);
int __real_close(int file);
int __real_rename(const char *from, const char *to);
int __real_mkstemp(char *pattern);
int __real_ftruncate(int file, off_t length);
int __real_unlink(const char *path);
int __wrap_open(const char *path, int flags, ...);
ssize_t __wrap_read(int file, void *data, size_t size);
ssize_t __wrap_write(int file, const void *data, size_t size);
int __wrap_fsync(int file);
int __wrap_close(int file);
int __wrap_rename(const char *from, const char *to);
int __wrap_mkstemp(char *pattern);
int __wrap_ftruncate(int file, off_t length);
int __wrap_unlink(const char *path);

int __wrap_open(const char *path, int flags, ...)
{
    mode_t mode = 0;
    if ((flags & O_CREAT) != 0) {
        va_list arguments;
        va_start(arguments, flags);
        mode = va_arg(arguments, mode_t);
        va_end(arguments);
    }
    return call_fails(SUPPORT_OPEN) ? -1 : __real_open(path, flags, mode);
}

ssize_t __wrap_read(int file, void *data, size_t size)
{
    return call_fails(SUPPORT_READ) ? -1 : __real_read(file, data, within_limit(size));
}

ssize_t __wrap_write(int file, const void *data, size_t size)
{
    return call_fails(SUPPORT_WRITE) ? -1 : __real_write(file, data, within_limit(size));
}

int __wrap_fsync(int file)
{
    return call_fails(SUPPORT_FSYNC) ? -1 : __real_fsync(file);
}

int __wrap_close(int file)
{
    bool fails = call_fails(SUPPORT_CLOSE);
    int error = errno;
    int result = __real_close(file);
    if (fails) {
        errno = error;
        return -1;
    }
    return result;
}

int __wrap_rename(const char *from, const char *to)
{
    return call_fails(SUPPORT_RENAME) ? -1 : __real_rename(from, to);
}

int __wrap_mkstemp(char *pattern)
{
    return call_fails(SUPPORT_MKSTEMP) ? -1 : __real_mkstemp(pattern);
}

int __wrap_ftruncate(int file, off_t length)
{
    return call_fails(SUPPORT_FTRUNCATE) ? -1 : __real_ftruncate(file, length);
}

int __wrap_unlink(const char *path)
{
    return call_fails(SUPPORT_UNLINK) ? -1 : __real_unlink(path);
}

/* --- folders --------------------------------------------------------------------------------- */

const char *support_folder(void)
{
    static char path[] = "/tmp/mouldwright-test-XXXXXX";
    strcpy(path, "/tmp/mouldwright-test-XXXXXX");
    return must(mkdtemp(path));
}

static int remove_entry(const char *path, const struct stat *status, int kind, struct FTW *place)
{
    (void)status;
    (void)kind;
    (void)place;
    return remove(path);
}

void support_folder_remove(const char *folder)
{
    assert_int_equal(nftw(folder, remove_entry, 16, FTW_DEPTH | FTW_PHYS), 0);
}
