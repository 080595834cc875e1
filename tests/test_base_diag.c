/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Diagnostics: the catalogue, the sink, and how a message looks. */
#include "support.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "mouldwright/diag.h"

/* --- the catalogue --------------------------------------------------------------------------- */

static void words_are_unique_and_well_formed(void **state)
{
    (void)state;
    assert_true(MW_CODE_COUNT > 50);
    for (int i = 0; i < MW_CODE_COUNT; i++) {
        const char *word = mw_code_word((mw_code)i);
        assert_true(strlen(word) >= 4);
        for (const char *at = word; *at != '\0'; at++) {
            assert_true(islower((unsigned char)*at) || *at == '-');
        }
        assert_true(strlen(mw_code_title((mw_code)i)) > 0);
        assert_true(strlen(mw_code_advice((mw_code)i)) > 0);
        for (int j = 0; j < i; j++) {
            assert_string_not_equal(word, mw_code_word((mw_code)j));
            assert_string_not_equal(mw_code_title((mw_code)i), mw_code_title((mw_code)j));
        }
    }
}

static void no_code_is_a_fault_of_ours(void **state)
{
    (void)state;
    assert_string_equal(mw_code_word(MW_CODE_COUNT), "internal");
    assert_string_equal(mw_code_word(MW_CODE_KIND_MISMATCH), "kind-mismatch");
}

/* --- how a message looks --------------------------------------------------------------------- */

/* The words of advice are those of codes.def, so rows give their own. */
typedef struct render_row {
    const char *name;
    const char *text; /* of the source */
    uint32_t begin;
    uint32_t end;
    const char *want;
} render_row;

#define TAIL "  try: t\n  see: help kind-mismatch\n"

static const render_row render_rows[] = {
    {"one term", "rate = 58 EUR/h + 3 kg\n", 18, 22,
     "j:1:19: error: m\n"
     "  rate = 58 EUR/h + 3 kg\n"
     "                    ^^^^\n" TAIL},
    {"second line", "a = 1\nb = x\nc = 2\n", 10, 11,
     "j:2:5: error: m\n"
     "  b = x\n"
     "      ^\n" TAIL},
    {"a place between characters", "a = (1\n", 6, 6,
     "j:1:7: error: m\n"
     "  a = (1\n"
     "        ^\n" TAIL},
    {"an empty text", "", 0, 0,
     "j:1:1: error: m\n"
     "  \n"
     "  ^\n" TAIL},
    {"past the end", "a\n", 70, 80,
     "j:2:1: error: m\n"
     "  \n"
     "  ^\n" TAIL},
    {"an end before the begin", "abc\n", 1, 0,
     "j:1:2: error: m\n"
     "  abc\n"
     "   ^\n" TAIL},
    {"over the line end", "abc\ndef\n", 1, 6,
     "j:1:2: error: m\n"
     "  abc\n"
     "   ^^\n" TAIL},
    {"a tab before the mark", "\tx = y\n", 5, 6,
     "j:1:6: error: m\n"
     "          x = y\n"
     "              ^\n" TAIL},
    {"a tab in the middle goes to the next stop", "abc\tx\n", 4, 5,
     "j:1:5: error: m\n"
     "  abc     x\n"
     "          ^\n" TAIL},
    {"a tab under the mark", "a\tb\n", 1, 2,
     "j:1:2: error: m\n"
     "  a       b\n"
     "   ^^^^^^^\n" TAIL},
    {"wide characters before", "\xE6\x97\xA5\xE6\x9C\xAC = q\n", 9, 10,
     "j:1:6: error: m\n"
     "  \xE6\x97\xA5\xE6\x9C\xAC = q\n"
     "         ^\n" TAIL},
    {"wide characters under", "a \xE6\x97\xA5\xE6\x9C\xAC b\n", 2, 8,
     "j:1:3: error: m\n"
     "  a \xE6\x97\xA5\xE6\x9C\xAC b\n"
     "    ^^^^\n" TAIL},
    {"two bytes, one column", "f\xC3\xBCr = q\n", 7, 8,
     "j:1:7: error: m\n"
     "  f\xC3\xBCr = q\n"
     "        ^\n" TAIL},
    {"combining mark before", "e\xCC\x81 = q\n", 6, 7,
     "j:1:6: error: m\n"
     "  e\xCC\x81 = q\n"
     "      ^\n" TAIL},
    {"escape sequence made harmless", "\x1B[31mred\n", 5, 8,
     "j:1:6: error: m\n"
     "  ?[31mred\n"
     "       ^^^\n" TAIL},
    {"bytes that are no character", "\xFF\xC3 q\n", 3, 4,
     "j:1:4: error: m\n"
     "  ?? q\n"
     "     ^\n" TAIL},
    {"mark on a byte that is no character", "ab\xFFz\n", 2, 3,
     "j:1:3: error: m\n"
     "  ab?z\n"
     "    ^\n" TAIL},
    {"direction marks made harmless",
     "a\xE2\x80\xAE"
     "b q\n",
     6, 7,
     "j:1:5: error: m\n"
     "  a?b q\n"
     "      ^\n" TAIL},
    {"carriage return at the line end", "a = b\r\n", 4, 5,
     "j:1:5: error: m\n"
     "  a = b\n"
     "      ^\n" TAIL},
};

static void renders(void **state)
{
    const render_row *row = *state;
    mw_sources *sources = mw_sources_new();
    uint32_t id = mw_sources_add(sources, mw_str_of("j"), mw_str_of(row->text));
    mw_diags diags;
    assert_int_equal(mw_diags_start(&diags), MW_OK);
    mw_span span = {id, row->begin, row->end};
    mw_diag *diag = mw_diags_error(&diags, MW_CODE_KIND_MISMATCH, span, "m");
    mw_diag_try(&diags, diag, "t");
    mw_text out = {0};
    mw_diags_render(&diags, sources, &out);
    assert_string_equal(mw_text_chars(&out), row->want);
    mw_text_free(&out);
    mw_diags_free(&diags);
    mw_sources_free(sources);
}

static const char *line_of(const char *text, int number)
{
    for (int i = 1; i < number; i++) {
        text = strchr(text, '\n');
        assert_non_null(text);
        text++;
    }
    return text;
}

/* Whatever the length of the line and the place of the mark, the mark stands under the one `!`, and
 * nothing is wider than 104 columns. */
static void long_lines_are_shown_in_part(void **state)
{
    (void)state;
    enum { LENGTH = 400 };
    for (uint32_t at = 0; at < LENGTH; at++) {
        char text[LENGTH + 1];
        memset(text, '.', LENGTH);
        text[at] = '!';
        text[LENGTH] = '\0';
        mw_sources *sources = mw_sources_new();
        uint32_t id = mw_sources_add(sources, mw_str_of("j"), mw_str_of(text));
        mw_diags diags;
        assert_int_equal(mw_diags_start(&diags), MW_OK);
        (void)mw_diags_error(&diags, MW_CODE_SYNTAX, (mw_span){id, at, at + 1}, "m");
        mw_text out = {0};
        mw_diag_render(&diags.items[0], sources, &out);
        const char *line = line_of(mw_text_chars(&out), 2);
        const char *mark = line_of(line, 2);
        assert_int_equal(strcspn(line, "!"), strcspn(mark, "^"));
        assert_int_equal(strspn(strchr(mark, '^'), "^"), 1);
        assert_true(strcspn(line, "\n") <= 104);
        mw_text_free(&out);
        mw_diags_free(&diags);
        mw_sources_free(sources);
    }
}

static void a_mark_longer_than_the_window_is_cut(void **state)
{
    (void)state;
    char text[1000];
    memset(text, 'x', sizeof text);
    mw_sources *sources = mw_sources_new();
    uint32_t id = mw_sources_add(sources, mw_str_of("j"), (mw_str){text, sizeof text});
    mw_diags diags;
    assert_int_equal(mw_diags_start(&diags), MW_OK);
    (void)mw_diags_error(&diags, MW_CODE_SYNTAX, (mw_span){id, 100, 900}, "m");
    mw_text out = {0};
    mw_diag_render(&diags.items[0], sources, &out);
    const char *mark = line_of(mw_text_chars(&out), 3);
    assert_true(strcspn(mark, "\n") <= 104);
    assert_true(strspn(strchr(mark, '^'), "^") > 50);
    mw_text_free(&out);
    mw_diags_free(&diags);
    mw_sources_free(sources);
}

/* A line of nothing but combining marks must cost no more than a pass over it. */
static void marks_without_end_are_cheap(void **state)
{
    (void)state;
    enum { LENGTH = 1 << 20 };
    char *text = malloc(LENGTH);
    for (size_t i = 0; i < LENGTH; i++) {
        text[i] = i % 2 == 0 ? '\xCC' : '\x81';
    }
    mw_sources *sources = mw_sources_new();
    uint32_t id = mw_sources_add(sources, mw_str_of("j"), (mw_str){text, LENGTH});
    mw_diags diags;
    assert_int_equal(mw_diags_start(&diags), MW_OK);
    (void)mw_diags_error(&diags, MW_CODE_SYNTAX, (mw_span){id, LENGTH / 2, LENGTH / 2 + 2}, "m");
    mw_text out = {0};
    clock_t begin = clock();
    mw_diag_render(&diags.items[0], sources, &out);
    assert_true((double)(clock() - begin) / CLOCKS_PER_SEC < 2.0); /* 0.05 s here, sanitized */
    assert_false(out.failed);
    free(text);
    mw_text_free(&out);
    mw_diags_free(&diags);
    mw_sources_free(sources);
}

/* A message with everything in it. */
static void fill(mw_diags *diags, uint32_t file, uint32_t other_file)
{
    mw_diag *diag = mw_diags_error(diags, MW_CODE_NAME_TWICE, (mw_span){file, 9, 13},
                                   "`%s` is defined twice", "rate");
    mw_diag_other(diags, diag, (mw_span){other_file, 0, 4}, "first here");
    mw_diag_extra(diags, diag, "one more\nand another");
    mw_diag_extra(diags, diag, "and the %dth", 5);
    mw_diag_try(diags, diag, "rename one: rate_%d", 2);
    (void)mw_diags_warn(diags, MW_CODE_NEVER, (mw_span){.source = MW_NONE}, "too late");
}

static void shows_all_parts(void **state)
{
    (void)state;
    mw_sources *sources = mw_sources_new();
    uint32_t other = mw_sources_add(sources, mw_str_of("a.job"), mw_str_of("rate = 1\n"));
    uint32_t file = mw_sources_add(sources, mw_str_of("b.job"), mw_str_of("# tools\n\nrate = 2\n"));
    mw_diags diags;
    assert_int_equal(mw_diags_start(&diags), MW_OK);
    assert_false(mw_diags_bad(&diags));
    fill(&diags, file, other);
    assert_true(mw_diags_bad(&diags));
    assert_int_equal(diags.errors, 1);
    assert_int_equal(diags.warnings, 1);
    mw_text out = {0};
    mw_diags_render(&diags, sources, &out);
    assert_string_equal(mw_text_chars(&out), "b.job:3:1: error: `rate` is defined twice\n"
                                             "  rate = 2\n"
                                             "  ^^^^\n"
                                             "a.job:1:1: see also: first here\n"
                                             "  rate = 1\n"
                                             "  ^^^^\n"
                                             "  one more\n"
                                             "  and another\n"
                                             "  and the 5th\n"
                                             "  try: rename one: rate_2\n"
                                             "  see: help name-twice\n"
                                             "warning: too late\n"
                                             "  try: check shifts and holidays\n"
                                             "  see: help never\n");
    mw_text_clear(&out);
    mw_diag_json(&diags.items[0], sources, &out);
    assert_string_equal(mw_text_chars(&out), "{\"error\": {\"code\": \"name-twice\", "
                                             "\"message\": \"`rate` is defined twice\", "
                                             "\"file\": \"b.job\", \"line\": 3, \"column\": 1, "
                                             "\"other\": {\"note\": \"first here\", "
                                             "\"file\": \"a.job\", \"line\": 1, \"column\": 1}, "
                                             "\"extra\": \"one more\\nand another\\nand the 5th\", "
                                             "\"try\": \"rename one: rate_2\"}}");
    mw_text_clear(&out);
    mw_diag_json(&diags.items[1], NULL, &out);
    assert_string_equal(
        mw_text_chars(&out),
        "{\"warning\": {\"code\": \"never\", \"message\": \"too late\", "
        "\"file\": null, \"line\": null, \"column\": null, \"try\": \"check shifts and holidays\"}}");
    mw_text_free(&out);
    mw_diags_free(&diags);
    mw_sources_free(sources);
}

static void texts_of_the_user_are_made_harmless(void **state)
{
    (void)state;
    mw_diags diags;
    assert_int_equal(mw_diags_start(&diags), MW_OK);
    mw_diag *diag = mw_diags_error(&diags, MW_CODE_SYNTAX, (mw_span){.source = MW_NONE},
                                   "no `%s` here", "\x1B]0;x\x07\xC2\x9B\xFF");
    mw_diag_try(&diags, diag, "a\tb");
    mw_text out = {0};
    mw_diag_render(&diags.items[0], NULL, &out);
    assert_string_equal(mw_text_chars(&out), "error: no `?]0;x???` here\n"
                                             "  try: a b\n"
                                             "  see: help syntax\n");
    mw_text_free(&out);
    mw_diags_free(&diags);
}

/* --- the sink -------------------------------------------------------------------------------- */

static void counts_past_the_limit(void **state)
{
    (void)state;
    mw_diags diags;
    assert_int_equal(mw_diags_start(&diags), MW_OK);
    assert_int_equal(diags.limit, 10);
    for (int i = 0; i < 14; i++) {
        mw_diag *diag =
            mw_diags_error(&diags, MW_CODE_SYNTAX, (mw_span){.source = MW_NONE}, "number %d", i);
        assert_true((diag != NULL) == (i < 10));
        mw_diag_try(&diags, diag, "x");
        mw_diag_other(&diags, diag, (mw_span){.source = MW_NONE}, "x");
        mw_diag_extra(&diags, diag, "x");
    }
    assert_non_null(mw_diags_warn(&diags, MW_CODE_SYNTAX, (mw_span){.source = MW_NONE}, "w"));
    assert_int_equal(diags.count, 11);
    assert_int_equal(diags.errors, 14);
    mw_text out = {0};
    mw_diags_render(&diags, NULL, &out);
    const char *end = strstr(mw_text_chars(&out), "and ");
    assert_string_equal(end, "and 4 more\n");
    assert_non_null(strstr(mw_text_chars(&out), "number 9\n"));
    assert_null(strstr(mw_text_chars(&out), "number 10\n"));
    mw_text_free(&out);
    mw_diags_free(&diags);
}

static void clear_forgets(void **state)
{
    (void)state;
    mw_diags diags;
    assert_int_equal(mw_diags_start(&diags), MW_OK);
    for (int round = 0; round < 3; round++) {
        for (int i = 0; i < 20; i++) {
            (void)mw_diags_error(&diags, MW_CODE_SYNTAX, (mw_span){.source = MW_NONE}, "e%d", i);
        }
        assert_int_equal(diags.count, 10);
        assert_string_equal(diags.items[9].message, "e9");
        mw_diags_clear(&diags);
        assert_int_equal(diags.count, 0);
        assert_false(mw_diags_bad(&diags));
    }
    mw_diags_free(&diags);
    mw_diags empty = {0};
    mw_diags_free(&empty);
}

static void warnings_alone_are_not_bad(void **state)
{
    (void)state;
    mw_diags diags;
    assert_int_equal(mw_diags_start(&diags), MW_OK);
    (void)mw_diags_warn(&diags, MW_CODE_NEVER, (mw_span){.source = MW_NONE}, "w");
    assert_false(mw_diags_bad(&diags));
    mw_diags_free(&diags);
}

static support_outcome gather(void *context)
{
    const uint32_t *file = context;
    mw_diags diags;
    if (mw_diags_start(&diags) != MW_OK) {
        mw_diags_free(&diags);
        return SUPPORT_NO_MEMORY;
    }
    fill(&diags, *file, *file);
    bool lost = diags.no_memory;
    assert_true(mw_diags_bad(&diags));
    support_fail_never();
    mw_text out = {0};
    mw_diags_render(&diags, NULL, &out);
    assert_int_equal(lost, strstr(mw_text_chars(&out), "out of memory") != NULL);
    mw_text_free(&out);
    mw_diags_free(&diags);
    return lost ? SUPPORT_NO_MEMORY : SUPPORT_DONE;
}

static void every_allocation_may_fail(void **state)
{
    (void)state;
    uint32_t file = MW_NONE;
    assert_true(support_fail_each_allocation(gather, &file) >= 3);
}

int main(void)
{
    test_list tests = {0};
    test_add(&tests, words_are_unique_and_well_formed);
    test_add(&tests, no_code_is_a_fault_of_ours);
    test_add_rows(&tests, "render", render_rows, renders);
    test_add(&tests, long_lines_are_shown_in_part);
    test_add(&tests, a_mark_longer_than_the_window_is_cut);
    test_add(&tests, marks_without_end_are_cheap);
    test_add(&tests, shows_all_parts);
    test_add(&tests, texts_of_the_user_are_made_harmless);
    test_add(&tests, counts_past_the_limit);
    test_add(&tests, clear_forgets);
    test_add(&tests, warnings_alone_are_not_bad);
    test_add(&tests, every_allocation_may_fail);
    return test_run(&tests, "base diag");
}
