/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading whole files, replacing them, listing folders; and all that can go wrong on the way. */
#include "support.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"

enum { PLENTY = 1 << 24 };

/* --- a folder for each test ------------------------------------------------------------------ */

static char folder[64];
static char paths[4][192];

/* Returns the path of `name` in the folder; valid until the fourth call after it. */
static const char *in_folder(const char *name)
{
    static size_t turn;
    char *path = paths[turn++ % 4];
    snprintf(path, sizeof paths[0], "%s/%s", folder, name);
    return path;
}

static void open_folder(void)
{
    strcpy(folder, support_folder());
}

static void close_folder(void)
{
    support_fail_never();
    support_folder_remove(folder);
}

static void write_file(const char *path, const char *text)
{
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    assert_int_equal(fclose(file), 0);
}

static void assert_file_is(const char *path, const char *text)
{
    char got[4096] = "";
    FILE *file = fopen(path, "r");
    assert_non_null(file);
    size_t length = fread(got, 1, sizeof got - 1, file);
    got[length] = '\0';
    fclose(file);
    assert_string_equal(got, text);
}

static mw_status count_entry(void *context, const char *path, mw_str name)
{
    (void)path;
    (void)name;
    ++*(size_t *)context;
    return MW_OK;
}

static size_t entries(void)
{
    size_t count = 0;
    assert_int_equal(mw_folder_each(folder, "", count_entry, &count), MW_OK);
    return count;
}

static unsigned mode_of(const char *path)
{
    struct stat status;
    assert_int_equal(stat(path, &status), 0);
    return status.st_mode & 07777;
}

/* --- reading --------------------------------------------------------------------------------- */

typedef struct size_row {
    const char *name;
    size_t size;
    size_t at_most; /* bytes a read() gives; 0: all */
} size_row;

static const size_row size_rows[] = {
    {"empty", 0, 0},
    {"one byte", 1, 0},
    {"a line", 30, 0},
    {"a page", 4096, 0},
    {"a megabyte", 1000003, 0},
    {"byte by byte", 1000, 1},
    {"by seven bytes", 5000, 7},
};

static void reads_all(void **state)
{
    const size_row *row = *state;
    open_folder();
    char *want = malloc(row->size + 1);
    for (size_t i = 0; i < row->size; i++) {
        want[i] = (char)(i * 7 + i / 251);
    }
    FILE *file = fopen(in_folder("x"), "w");
    assert_int_equal(fwrite(want, 1, row->size, file), row->size);
    fclose(file);
    support_short_io(row->at_most);
    char *data = NULL;
    size_t length = 99;
    assert_int_equal(mw_file_read(in_folder("x"), row->size, &data, &length), MW_OK);
    assert_int_equal(length, row->size);
    assert_memory_equal(data, want, row->size);
    assert_int_equal(data[length], 0);
    mw_memory_give(data);
    if (row->size > 0) {
        errno = 0;
        assert_int_equal(mw_file_read(in_folder("x"), row->size - 1, &data, &length), MW_IO);
        assert_int_equal(errno, EFBIG);
    }
    free(want);
    close_folder();
}

static void refuses_to_read(void **state)
{
    (void)state;
    open_folder();
    char *data = NULL;
    size_t length = 0;
    assert_int_equal(mw_file_read(in_folder("not_there"), PLENTY, &data, &length), MW_IO);
    assert_int_equal(errno, ENOENT);
    assert_int_equal(mw_file_read(folder, PLENTY, &data, &length), MW_IO);
    assert_int_equal(errno, EISDIR);
    assert_int_equal(mw_file_read("/dev/zero", 100000, &data, &length), MW_IO);
    assert_int_equal(errno, EFBIG);
    assert_null(data);
    assert_int_equal(mw_file_read("/dev/null", 0, &data, &length), MW_OK);
    assert_int_equal(length, 0);
    mw_memory_give(data);
    close_folder();
}

typedef struct call_row {
    const char *name;
    support_call call;
    int error;
    bool recovers;
} call_row;

static const call_row read_rows[] = {
    {"open fails", SUPPORT_OPEN, EACCES, false},
    {"open is interrupted", SUPPORT_OPEN, EINTR, true},
    {"read fails", SUPPORT_READ, EIO, false},
    {"read is interrupted", SUPPORT_READ, EINTR, true},
};

static void reads_despite_or_not(void **state)
{
    const call_row *row = *state;
    open_folder();
    write_file(in_folder("x"), "content");
    support_fail_call(row->call, 0, row->error);
    char *data = NULL;
    size_t length = 0;
    mw_status status = mw_file_read(in_folder("x"), PLENTY, &data, &length);
    if (row->recovers) {
        assert_int_equal(status, MW_OK);
        assert_string_equal(data, "content");
        mw_memory_give(data);
    } else {
        assert_int_equal(status, MW_IO);
        assert_int_equal(errno, row->error);
        assert_null(data);
    }
    close_folder();
}

static support_outcome read_under_pressure(void *context)
{
    (void)context;
    char *data = NULL;
    size_t length = 0;
    mw_status status = mw_file_read("/dev/null", 10, &data, &length);
    if (status == MW_NO_MEMORY) {
        assert_null(data);
        return SUPPORT_NO_MEMORY;
    }
    mw_memory_give(data);
    return SUPPORT_DONE;
}

static void reading_may_lack_memory(void **state)
{
    (void)state;
    assert_true(support_fail_each_allocation(read_under_pressure, NULL) > 0);
}

static void tells_whether_a_file_exists(void **state)
{
    (void)state;
    open_folder();
    write_file(in_folder("x"), "");
    assert_int_equal(symlink("x", in_folder("link")), 0);
    assert_int_equal(symlink("nowhere", in_folder("broken")), 0);
    assert_true(mw_file_exists(in_folder("x")));
    assert_true(mw_file_exists(in_folder("link")));
    assert_false(mw_file_exists(in_folder("broken")));
    assert_false(mw_file_exists(in_folder("not_there")));
    assert_false(mw_file_exists(folder));
    assert_false(mw_file_exists("/dev/null"));
    close_folder();
}

/* --- replacing ------------------------------------------------------------------------------- */

static void replaces_and_keeps_mode(void **state)
{
    (void)state;
    static const mode_t modes[] = {0600, 0644, 0664, 0755};
    open_folder();
    for (size_t i = 0; i < sizeof modes / sizeof modes[0]; i++) {
        write_file(in_folder("job"), "old");
        assert_int_equal(chmod(in_folder("job"), modes[i]), 0);
        assert_int_equal(mw_file_replace(in_folder("job"), mw_str_of("new")), MW_OK);
        assert_file_is(in_folder("job"), "new");
        assert_int_equal(mode_of(in_folder("job")), modes[i]);
    }
    assert_int_equal(entries(), 1);
    close_folder();
}

static void new_file_follows_umask(void **state)
{
    (void)state;
    open_folder();
    mode_t before = umask(027);
    assert_int_equal(mw_file_replace(in_folder("job"), mw_str_of("new")), MW_OK);
    umask(before);
    assert_int_equal(mode_of(in_folder("job")), 0640);
    assert_file_is(in_folder("job"), "new");
    assert_int_equal(mw_file_replace(in_folder("empty"), (mw_str){NULL, 0}), MW_OK);
    assert_file_is(in_folder("empty"), "");
    close_folder();
}

static void relative_path_without_folder(void **state)
{
    (void)state;
    open_folder();
    int here = open(".", O_RDONLY);
    assert_int_equal(chdir(folder), 0);
    assert_int_equal(mw_file_replace("job", mw_str_of("new")), MW_OK);
    assert_int_equal(fchdir(here), 0);
    close(here);
    assert_file_is(in_folder("job"), "new");
    close_folder();
}

static void follows_links(void **state)
{
    (void)state;
    open_folder();
    assert_int_equal(mkdir(in_folder("sub"), 0700), 0);
    write_file(in_folder("sub/job"), "old");
    assert_int_equal(symlink("sub/job", in_folder("one")), 0);
    assert_int_equal(symlink("one", in_folder("two")), 0);
    assert_int_equal(mw_file_replace(in_folder("two"), mw_str_of("new")), MW_OK);
    assert_file_is(in_folder("sub/job"), "new");
    struct stat status;
    assert_int_equal(lstat(in_folder("one"), &status), 0);
    assert_true(S_ISLNK(status.st_mode));
    assert_int_equal(lstat(in_folder("two"), &status), 0);
    assert_true(S_ISLNK(status.st_mode));
    /* absolute, and to what is not there yet */
    assert_int_equal(symlink(in_folder("sub/fresh"), in_folder("three")), 0);
    assert_int_equal(mw_file_replace(in_folder("three"), mw_str_of("made")), MW_OK);
    assert_file_is(in_folder("sub/fresh"), "made");
    close_folder();
}

static void refuses_to_replace(void **state)
{
    (void)state;
    open_folder();
    assert_int_equal(symlink("loop", in_folder("loop")), 0);
    assert_int_equal(mw_file_replace(in_folder("loop"), mw_str_of("x")), MW_IO);
    assert_int_equal(errno, ELOOP);
    assert_int_equal(mw_file_replace(folder, mw_str_of("x")), MW_IO);
    assert_int_equal(errno, EISDIR);
    assert_int_equal(mw_file_replace(in_folder("no/such/folder"), mw_str_of("x")), MW_IO);
    assert_int_equal(errno, ENOENT);
    assert_int_equal(mw_file_replace("/dev/full", mw_str_of("x")), MW_IO);
    assert_int_equal(errno, ENOSPC);
    assert_int_equal(mw_file_replace("/dev/null", mw_str_of("x")), MW_OK);
    close_folder();
}

static void refuses_protected_file(void **state)
{
    (void)state;
    open_folder();
    write_file(in_folder("job"), "old");
    assert_int_equal(chmod(in_folder("job"), 0444), 0);
    if (geteuid() == 0) { /* nothing is protected from root, so the mode is all there is to see */
        assert_int_equal(mw_file_replace(in_folder("job"), mw_str_of("new")), MW_OK);
        assert_int_equal(mode_of(in_folder("job")), 0444);
    } else {
        assert_int_equal(mw_file_replace(in_folder("job"), mw_str_of("new")), MW_IO);
        assert_int_equal(errno, EACCES);
        assert_file_is(in_folder("job"), "old");
    }
    close_folder();
}

static void root_keeps_the_owner(void **state)
{
    (void)state;
    if (geteuid() != 0) {
        skip(); /* only root can give files away */
    }
    open_folder();
    write_file(in_folder("job"), "old");
    assert_int_equal(chown(in_folder("job"), 4321, 1234), 0);
    assert_int_equal(mw_file_replace(in_folder("job"), mw_str_of("new")), MW_OK);
    struct stat status;
    assert_int_equal(stat(in_folder("job"), &status), 0);
    assert_int_equal(status.st_uid, 4321);
    assert_int_equal(status.st_gid, 1234);
    close_folder();
}

static void waits_out_names_in_use(void **state)
{
    (void)state;
    open_folder();
    char name[64];
    for (int i = 0; i < 3; i++) {
        snprintf(name, sizeof name, ".mouldwright-%ld-%d.tmp", (long)getpid(), i);
        write_file(in_folder(name), "somebody's");
    }
    assert_int_equal(mw_file_replace(in_folder("job"), mw_str_of("new")), MW_OK);
    assert_file_is(in_folder("job"), "new");
    assert_int_equal(entries(), 4);
    for (int i = 3; i < 100; i++) {
        snprintf(name, sizeof name, ".mouldwright-%ld-%d.tmp", (long)getpid(), i);
        write_file(in_folder(name), "somebody's");
    }
    assert_int_equal(mw_file_replace(in_folder("job"), mw_str_of("newer")), MW_IO);
    assert_int_equal(errno, EEXIST);
    assert_file_is(in_folder("job"), "new");
    close_folder();
}

static const call_row replace_rows[] = {
    {"temporary file cannot be made", SUPPORT_OPEN, EACCES, false},
    {"making it is interrupted", SUPPORT_OPEN, EINTR, true},
    {"disk full", SUPPORT_WRITE, ENOSPC, false},
    {"write error", SUPPORT_WRITE, EIO, false},
    {"write is interrupted", SUPPORT_WRITE, EINTR, true},
    {"flush fails", SUPPORT_FSYNC, EIO, false},
    {"flush is interrupted", SUPPORT_FSYNC, EINTR, true},
    {"close fails", SUPPORT_CLOSE, EIO, false},
    {"close is interrupted", SUPPORT_CLOSE, EINTR, true},
    {"rename fails", SUPPORT_RENAME, EXDEV, false},
};

static void keeps_old_file_or_succeeds(void **state)
{
    const call_row *row = *state;
    open_folder();
    write_file(in_folder("job"), "old");
    support_fail_call(row->call, 0, row->error);
    mw_status status = mw_file_replace(in_folder("job"), mw_str_of("new"));
    int error = errno;
    support_fail_never();
    if (row->recovers) {
        assert_int_equal(status, MW_OK);
        assert_file_is(in_folder("job"), "new");
    } else {
        assert_int_equal(status, MW_IO);
        assert_int_equal(error, row->error);
        assert_file_is(in_folder("job"), "old");
    }
    assert_int_equal(entries(), 1);
    close_folder();
}

/* Behind the rename only the folder's flush is left: the second open and the second flush. */
static void tells_when_it_may_not_last(void **state)
{
    const call_row *row = *state;
    open_folder();
    write_file(in_folder("job"), "old");
    support_fail_call(row->call, 1, row->error);
    mw_status status = mw_file_replace(in_folder("job"), mw_str_of("new"));
    assert_int_equal(status, row->recovers ? MW_OK : MW_IO);
    if (!row->recovers) {
        assert_int_equal(errno, row->error);
    }
    assert_file_is(in_folder("job"), "new");
    assert_int_equal(entries(), 1);
    close_folder();
}

static const call_row last_rows[] = {
    {"folder cannot be opened", SUPPORT_OPEN, EACCES, false},
    {"folder cannot be flushed", SUPPORT_FSYNC, EIO, false},
    {"file system that does not flush folders", SUPPORT_FSYNC, EINVAL, true},
};

static void writes_in_short_pieces(void **state)
{
    (void)state;
    open_folder();
    support_short_io(3);
    assert_int_equal(mw_file_replace(in_folder("job"), mw_str_of("rate = 58 EUR/h\n")), MW_OK);
    support_fail_never();
    assert_file_is(in_folder("job"), "rate = 58 EUR/h\n");
    /* full only after some pieces */
    support_short_io(3);
    support_fail_call(SUPPORT_WRITE, 2, ENOSPC);
    assert_int_equal(mw_file_replace(in_folder("job"), mw_str_of("another content")), MW_IO);
    support_fail_never();
    assert_file_is(in_folder("job"), "rate = 58 EUR/h\n");
    assert_int_equal(entries(), 1);
    close_folder();
}

static support_outcome replace_under_pressure(void *context)
{
    const char *link = context;
    mw_status status = mw_file_replace(link, mw_str_of("new"));
    support_fail_never();
    assert_true(status == MW_OK || status == MW_NO_MEMORY);
    assert_file_is(link, status == MW_OK ? "new" : "old");
    assert_int_equal(entries(), 2);
    write_file(link, "old");
    return status == MW_OK ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void replacing_may_lack_memory(void **state)
{
    (void)state;
    open_folder();
    write_file(in_folder("job"), "old");
    char link[192];
    strcpy(link, in_folder("link"));
    assert_int_equal(symlink("job", link), 0);
    assert_true(support_fail_each_allocation(replace_under_pressure, link) > 3);
    close_folder();
}

/* --- folders --------------------------------------------------------------------------------- */

typedef struct seen {
    mw_text names;
    size_t stop_after;
    size_t count;
} seen;

static mw_status note(void *context, const char *path, mw_str name)
{
    seen *s = context;
    char want[400];
    snprintf(want, sizeof want, "%s/%.*s", folder, (int)name.length, name.at);
    assert_string_equal(path, want);
    mw_text_add_str(&s->names, name);
    mw_text_addc(&s->names, ' ');
    s->count++;
    return s->count == s->stop_after ? MW_PENDING : MW_OK;
}

static void lists_in_byte_order(void **state)
{
    (void)state;
    static const char *const names[] = {"b.yaml",   "a.yaml", "B.yaml", "c.yml",
                                        "a-1.yaml", ".yaml",  "yaml",   "\xC3\xA4.yaml"};
    open_folder();
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        write_file(in_folder(names[i]), "");
    }
    seen s = {0};
    assert_int_equal(mw_folder_each(folder, ".yaml", note, &s), MW_OK);
    assert_string_equal(mw_text_chars(&s.names),
                        ".yaml B.yaml a-1.yaml a.yaml b.yaml \xC3\xA4.yaml ");
    mw_text_free(&s.names);
    s = (seen){.stop_after = 2};
    assert_int_equal(mw_folder_each(folder, ".yaml", note, &s), MW_PENDING);
    assert_int_equal(s.count, 2);
    mw_text_free(&s.names);
    close_folder();
}

static void missing_folder_has_no_entries(void **state)
{
    (void)state;
    open_folder();
    size_t count = 0;
    assert_int_equal(mw_folder_each(in_folder("no"), "", count_entry, &count), MW_OK);
    assert_int_equal(count, 0);
    write_file(in_folder("x"), "");
    assert_int_equal(mw_folder_each(in_folder("x"), "", count_entry, &count), MW_IO);
    assert_int_equal(errno, ENOTDIR);
    close_folder();
}

static support_outcome list_under_pressure(void *context)
{
    size_t *count = context;
    *count = 0;
    mw_status status = mw_folder_each(folder, "", count_entry, count);
    assert_true(status == MW_OK || status == MW_NO_MEMORY);
    return status == MW_OK ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void listing_may_lack_memory(void **state)
{
    (void)state;
    open_folder();
    for (int i = 0; i < 30; i++) {
        char name[16];
        snprintf(name, sizeof name, "f%d", i);
        write_file(in_folder(name), "");
    }
    size_t count = 0;
    assert_true(support_fail_each_allocation(list_under_pressure, &count) > 3);
    assert_int_equal(count, 30);
    close_folder();
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "read", size_rows, reads_all);
    test_add(&tests, refuses_to_read);
    test_add_rows(&tests, "read", read_rows, reads_despite_or_not);
    test_add(&tests, reading_may_lack_memory);
    test_add(&tests, tells_whether_a_file_exists);
    test_add(&tests, replaces_and_keeps_mode);
    test_add(&tests, new_file_follows_umask);
    test_add(&tests, relative_path_without_folder);
    test_add(&tests, follows_links);
    test_add(&tests, refuses_to_replace);
    test_add(&tests, refuses_protected_file);
    test_add(&tests, root_keeps_the_owner);
    test_add(&tests, waits_out_names_in_use);
    test_add_rows(&tests, "replace", replace_rows, keeps_old_file_or_succeeds);
    test_add_rows(&tests, "last step", last_rows, tells_when_it_may_not_last);
    test_add(&tests, writes_in_short_pieces);
    test_add(&tests, replacing_may_lack_memory);
    test_add(&tests, lists_in_byte_order);
    test_add(&tests, missing_folder_has_no_entries);
    test_add(&tests, listing_may_lack_memory);
    return test_run(&tests, "base file");
}
