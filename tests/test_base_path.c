/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Paths as text; dirname() and basename() of POSIX are the witnesses. */
#include "support.h"

#include <libgen.h>
#include <string.h>

#include "mouldwright/file.h"

typedef struct path_row {
    const char *name;
    const char *folder;
    const char *base;
} path_row;

/* IEEE Std 1003.1-2017, basename(): the table of sample inputs, and dirname(): the same */
static const path_row path_rows[] = {
    {"usr", ".", "usr"},
    {"usr/", ".", "usr"},
    {"/", "/", "/"},
    {"///", "/", "/"},
    {"/usr/", "/", "usr"},
    {"/usr/lib", "/usr", "lib"},
    {"//usr//lib//", "//usr", "lib"},
    {"/home//dwc//test", "/home//dwc", "test"},
    {".", ".", "."},
    {"..", ".", ".."},
    {"samples/dunlin.job", "samples", "dunlin.job"},
    {"../a/b.yaml", "../a", "b.yaml"},
};

static void splits(void **state)
{
    const path_row *row = *state;
    mw_text folder = {0};
    mw_path_folder(&folder, mw_str_of(row->name));
    assert_string_equal(mw_text_chars(&folder), row->folder);
    mw_str base = mw_path_base(mw_str_of(row->name));
    assert_true(mw_str_is(base, row->base));
    char copy[64];
    strcpy(copy, row->name);
    assert_string_equal(basename(copy), row->base);
    strcpy(copy, row->name);
    assert_string_equal(dirname(copy), row->folder);
    mw_text_free(&folder);
}

static void empty_path_is_here(void **state)
{
    (void)state;
    mw_text folder = {0};
    mw_path_folder(&folder, mw_str_of(""));
    assert_string_equal(mw_text_chars(&folder), ".");
    assert_int_equal(mw_path_base(mw_str_of("")).length, 0);
    mw_text_free(&folder);
}

typedef struct join_row {
    const char *name;
    const char *folder;
    const char *file;
    const char *want;
} join_row;

static const join_row join_rows[] = {
    {"two words", "recipes", "shops", "recipes/shops"},
    {"slash there already", "recipes/", "shops", "recipes/shops"},
    {"root", "/", "etc", "/etc"},
    {"absolute name", "recipes", "/etc/x", "/etc/x"},
    {"no folder", "", "x", "x"},
    {"here", ".", "x", "./x"},
    {"upwards", "a/b", "../c", "a/b/../c"},
};

static void joins(void **state)
{
    const join_row *row = *state;
    mw_text path = {0};
    mw_path_join(&path, mw_str_of(row->folder), mw_str_of(row->file));
    assert_string_equal(mw_text_chars(&path), row->want);
    mw_text_free(&path);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "path", path_rows, splits);
    test_add(&tests, empty_path_is_here);
    test_add_rows(&tests, "join", join_rows, joins);
    return test_run(&tests, "base path");
}
