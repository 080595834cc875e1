/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The history file: entries whole, two sessions, a half written end; progress and pages in numbers. */
#include "support.h"

#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/history.h"
#include "cli/progress.h"
#include "cli/screen.h"

static void gather(void *context, mw_str entry)
{
    mw_text *all = context;
    mw_text_addc(all, '[');
    mw_text_add_str(all, entry);
    mw_text_addc(all, ']');
}

typedef struct split_row {
    const char *name;
    const char *text;
    const char *entries;
} split_row;

static const split_row splits[] = {
    {"nothing", "", ""},
    {"one line", "#1\na\n", "[a]"},
    {"two", "#1\na\n#2\nb\n", "[a][b]"},
    {"several lines stay one", "#1\nx = (1 +\n2)\n#2\nb\n", "[x = (1 +\n2)][b]"},
    {"a remark with a word is no mark", "#1\n# area\na\n", "[# area\na]"},
    {"a number of a remark", "#1\n #12\n", "[ #12]"},
    {"an end that is half written", "#1\na\n#2\nhal", "[a]"},
    {"a mark without entry", "#1\n#2\nb\n#3\n", "[b]"},
    {"text in front of the first mark", "old\n#2\nb\n", "[b]"},
};

static void check_split(void **state)
{
    const split_row *row = *state;
    mw_text all = {0};
    history_split(mw_str_of(row->text), gather, &all);
    assert_string_equal(mw_text_chars(&all), row->entries);
    mw_text_free(&all);
}

static void appended_by_two(void **state)
{
    (void)state;
    char folder[] = "/tmp/mouldwright-history-XXXXXX";
    assert_non_null(mkdtemp(folder));
    mw_text path = {0};
    mw_text_addf(&path, "%s/state/deep/history", folder);
    const char *name = mw_text_chars(&path);
    assert_true(history_append(name, mw_str_of("one"), 10));
    assert_true(history_append(name, mw_str_of("#12\ntwo"), 11));
    assert_true(history_append(name, mw_str_of("three"), 12));
    struct stat is;
    assert_int_equal(stat(name, &is), 0);
    assert_int_equal(is.st_mode & 0777, 0600);
    mw_text all = {0};
    history_read(name, gather, &all);
    assert_string_equal(mw_text_chars(&all), "[one][ #12\ntwo][three]");
    mw_text_free(&all);
    unlink(name);
    mw_text_free(&path);
}

typedef struct page_row {
    const char *name;
    const char *text;
    size_t width, rows;
    size_t all;  /* rows of the whole text */
    size_t page; /* bytes of the first page */
} page_row;

static const page_row pages[] = {
    {"nothing", "", 80, 10, 0, 0},
    {"short", "a\nb\n", 80, 10, 2, 4},
    {"cut between lines", "a\nb\nc\n", 80, 2, 3, 4},
    {"a wide line takes two rows", "abcdef\nb\n", 4, 2, 3, 7},
    {"an empty line takes one", "\n\nx", 80, 1, 3, 1},
    {"a line wider than the page goes out all the same", "abcdefgh\nb\n", 2, 2, 5, 9},
    {"wide characters count twice", "\xe6\xb0\xb4\xe6\xb0\xb4\nb\n", 2, 2, 3, 7},
};

static void check_page(void **state)
{
    const page_row *row = *state;
    mw_str text = mw_str_of(row->text);
    assert_int_equal(pager_rows(text, row->width), row->all);
    assert_int_equal(pager_page(text, 0, row->width, row->rows), row->page);
}

typedef struct progress_row {
    const char *name;
    double share, spent_s;
    const char *words;
} progress_row;

static const progress_row progresses[] = {
    {"not known", -1.0, 3.2, "working, 3 s; Ctrl-C stops"},
    {"too early to guess", 0.04, 1.0, "working, 4 %; Ctrl-C stops"},
    {"half", 0.5, 10.0, "working, 50 %, about 10 s left; Ctrl-C stops"},
    {"a tenth of twenty minutes", 0.1, 120.0, "working, 10 %, about 18 min left; Ctrl-C stops"},
    {"done", 1.0, 5.0, "working, 100 %, about 0 s left; Ctrl-C stops"},
};

static void check_progress(void **state)
{
    const progress_row *row = *state;
    mw_text words = {0};
    progress_words(row->share, row->spent_s, &words);
    assert_string_equal(mw_text_chars(&words), row->words);
    mw_text_free(&words);
}

typedef struct due_row {
    const char *name;
    work of;
    double now;
    bool due;
} due_row;

static const due_row dues[] = {
    {"before half a second", {.shown = true, .begun_s = 1.0}, 1.4, false},
    {"after it", {.shown = true, .begun_s = 1.0}, 1.6, true},
    {"just drawn", {.shown = true, .begun_s = 1.0, .drawn_s = 2.0}, 2.05, false},
    {"a tenth of a second later", {.shown = true, .begun_s = 1.0, .drawn_s = 2.0}, 2.2, true},
    {"no terminal", {.shown = false, .begun_s = 1.0}, 9.0, false},
};

static void check_due(void **state)
{
    const due_row *row = *state;
    assert_int_equal(progress_due(&row->of, row->now), row->due);
}

/* Colours are added, nothing else changes. */
static void painted(void **state)
{
    (void)state;
    const char text[] = "a.job:1:2: error: no error: here\n  x = 1\n  ^\n  try: y\n  see: help x\n";
    mw_text out = {0};
    screen_paint(mw_str_of(text), &out);
    assert_non_null(strstr(mw_text_chars(&out), "\033[31m"));
    mw_text bare = {0};
    for (size_t i = 0; i < out.length; i++) {
        if (out.data[i] == '\033') {
            i += strcspn(out.data + i, "m");
        } else {
            mw_text_addc(&bare, out.data[i]);
        }
    }
    assert_string_equal(mw_text_chars(&bare), text);
    mw_text_free(&bare);
    mw_text_free(&out);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "entries", splits, check_split);
    test_add(&list, appended_by_two);
    test_add_rows(&list, "page", pages, check_page);
    test_add_rows(&list, "progress", progresses, check_progress);
    test_add_rows(&list, "due", dues, check_due);
    test_add(&list, painted);
    return test_run(&list, "cli: history, pages, progress");
}
