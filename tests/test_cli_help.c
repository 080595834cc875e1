/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Help: every word of the tables has a page, pages lead on to pages, and fit a screen of 24 lines of 80 columns. That
 * their examples answer what they say is tests/tools/check-help's affair. */
#include "support.h"

#include <string.h>

#include "cli/cli.h"
#include "cli/help.h"
#include "mouldwright/parse.h"

enum { SCREEN_ROWS = 24, SCREEN_COLUMNS = 80 };

typedef struct bench {
    cli program;
    mw_text page;
} bench;

static void start(bench *made, uint32_t width)
{
    *made = (bench){0};
    made->program.style.width = width;
    mw_job_options options = {0};
    made->program.job = mw_job_new(&options);
    assert_non_null(made->program.job);
}

static void end(bench *made)
{
    mw_job_free(made->program.job);
    mw_text_free(&made->page);
}

static bool show(bench *in, mw_str word)
{
    mw_text_clear(&in->page);
    bool found = cli_help(&in->program, word, &in->page);
    assert_false(in->page.failed);
    return found;
}

static size_t rows_of(const mw_text *page)
{
    size_t rows = 0;
    for (size_t i = 0; i < page->length; i++) {
        rows += page->data[i] == '\n';
    }
    return rows;
}

/* No line is wider than the screen. */
static void check_width(const mw_text *page, size_t width)
{
    for (size_t at = 0; at < page->length;) {
        size_t length = strcspn(page->data + at, "\n");
        mw_str line = {page->data + at, length};
        if (mw_utf8_columns(line) > width) {
            fail_msg("wider than %zu: %.*s", width, (int)length, line.at);
        }
        at += length + 1;
    }
}

static void overview_fits(void **state)
{
    static const uint32_t widths[] = {40, 80, 200};
    (void)state;
    for (size_t i = 0; i < sizeof widths / sizeof *widths; i++) {
        bench in;
        start(&in, widths[i]);
        assert_true(show(&in, (mw_str){0}));
        check_width(&in.page, widths[i]);
        assert_true(widths[i] < SCREEN_COLUMNS || rows_of(&in.page) < SCREEN_ROWS);
        end(&in);
    }
}

static void check_table(bench *in, const mw_command_row *row)
{
    for (; row->word; row++) {
        assert_non_null(row->group);
        assert_true(show(in, mw_str_of(row->word)));
        assert_non_null(strstr(mw_text_chars(&in->page), row->about));
        check_width(&in->page, in->program.style.width);
        show(in, (mw_str){0});
        assert_non_null(strstr(mw_text_chars(&in->page), row->word));
    }
}

static void every_statement_has_a_page(void **state)
{
    (void)state;
    bench in;
    start(&in, 400);
    check_table(&in, mw_statement_rows());
    check_table(&in, mw_command_rows());
    end(&in);
}

/* A page of help.txt belongs to a word, has two examples or more, and what it names under `see` exists. */
static void pages_lead_on(void **state)
{
    (void)state;
    bench in;
    start(&in, SCREEN_COLUMNS);
    for (const help_page *page = help_pages; page->word; page++) {
        assert_true(show(&in, mw_str_of(page->word)));
        assert_true(page->examples[0].statement != NULL);
        for (const char *at = page->see ? page->see : ""; *at;) {
            size_t length = strcspn(at, ",");
            mw_str word = mw_str_trim((mw_str){at, length});
            if (!show(&in, word)) {
                fail_msg("help %s leads to %.*s, which has no page", page->word, (int)word.length,
                         word.at);
            }
            at += length + (at[length] == ',');
        }
    }
    end(&in);
}

/* Words with more than one page, with a list, or with a whole file are taller: the pager shows them. */
static bool may_be_tall(const char *word)
{
    static const char *const tall[] = {"shop",   "moulds",       "functions", "units",
                                       "errors", "recipe-files", NULL};
    for (size_t i = 0; tall[i]; i++) {
        if (strcmp(word, tall[i]) == 0) {
            return true;
        }
    }
    return false;
}

static void pages_fit_a_screen(void **state)
{
    (void)state;
    bench in;
    start(&in, SCREEN_COLUMNS);
    for (const help_page *page = help_pages; page->word; page++) {
        assert_true(show(&in, mw_str_of(page->word)));
        check_width(&in.page, SCREEN_COLUMNS);
        if (page->see && !may_be_tall(page->word) && rows_of(&in.page) >= SCREEN_ROWS) {
            fail_msg("help %s takes %zu rows", page->word, rows_of(&in.page));
        }
    }
    end(&in);
}

static void every_code_has_a_page(void **state)
{
    (void)state;
    bench in;
    start(&in, SCREEN_COLUMNS);
    for (int i = 0; i < MW_CODE_COUNT; i++) {
        mw_code code = (mw_code)i;
        assert_true(show(&in, mw_str_of(mw_code_word(code))));
        const char *asks = strstr(mw_code_advice(code), "`help ");
        if (asks) {
            const char *word = asks + strlen("`help ");
            assert_true(show(&in, (mw_str){word, strcspn(word, "`")}));
        }
    }
    end(&in);
}

static void units_have_pages_and_other_words_none(void **state)
{
    (void)state;
    bench in;
    start(&in, SCREEN_COLUMNS);
    assert_true(show(&in, mw_str_of("kg")));
    assert_non_null(strstr(mw_text_chars(&in.page), "mass"));
    assert_false(show(&in, mw_str_of("qqzz")));
    assert_true(mw_str_is(cli_help_nearest(mw_str_of("takeof")), "takeoff"));
    assert_int_equal(cli_help_nearest(mw_str_of("xylophone")).length, 0);
    end(&in);
}

static void plain_pages_have_no_columns(void **state)
{
    (void)state;
    bench in;
    start(&in, SCREEN_COLUMNS);
    in.program.style.plain = true;
    assert_true(show(&in, mw_str_of("moulds")));
    const char *text = mw_text_chars(&in.page);
    assert_null(strstr(text, "\xE2\x94\x80")); /* a drawn line */
    assert_non_null(strstr(text, "form: moulds [MOULD]\n"));
    assert_non_null(strstr(text, "example: moulds hatch\n"));
    end(&in);
}

int main(void)
{
    test_list list = {0};
    test_add(&list, overview_fits);
    test_add(&list, every_statement_has_a_page);
    test_add(&list, pages_lead_on);
    test_add(&list, pages_fit_a_screen);
    test_add(&list, every_code_has_a_page);
    test_add(&list, units_have_pages_and_other_words_none);
    test_add(&list, plain_pages_have_no_columns);
    return test_run(&list, "cli: help");
}
