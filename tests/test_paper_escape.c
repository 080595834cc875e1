/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Texts in documents: names that would be markup, formulas or control characters, and random bytes, in every place of a
 * document. What comes out is read by rules of the formats: WHATWG HTML (text and attribute values), RFC 4180. The seed is
 * printed; MW_SEED sets another. */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "mouldwright/paper.h"

typedef void (*escape)(mw_str text, mw_text *out);

typedef struct escape_row {
    const char *name;
    escape call;
    const char *text, *want;
} escape_row;

static const escape_row rows[] = {
    {"html: a tag", mw_paper_escape_html, "<b onclick=\"x\">&'",
     "&lt;b onclick=&quot;x&quot;&gt;&amp;&#39;"},
    {"html: control characters", mw_paper_escape_html, "a\x01\tb\x7f", "a  b "},
    {"html: right to left and beyond the basic plane", mw_paper_escape_html,
     "\xd7\x90\xf0\x9f\x9a\xa4", "\xd7\x90\xf0\x9f\x9a\xa4"},
    {"markdown: a table's bar and emphasis", mw_paper_escape_markdown, "a|b*c_d`",
     "a\\|b\\*c\\_d\\`"},
    {"markdown: a heading in front", mw_paper_escape_markdown, "# no", "\\# no"},
    {"markdown: a list in front", mw_paper_escape_markdown, "- no", "\\- no"},
    {"markdown: a decimal point stays", mw_paper_escape_markdown, "1.5 m2", "1.5 m2"},
    {"markdown: a tag", mw_paper_escape_markdown, "<img>&", "&lt;img\\>&amp;"},
    {"markdown: a line break", mw_paper_escape_markdown, "a\nb", "a b"},
    {"csv: quotes", mw_paper_escape_csv, "a\"b,c", "\"a\"\"b,c\""},
    {"csv: taken for a formula", mw_paper_escape_csv, "=1+2", "\"'=1+2\""},
    {"csv: a minus in front", mw_paper_escape_csv, "-1", "\"'-1\""},
    {"csv: a tab in front", mw_paper_escape_csv, "\tx", "\"' x\""},
    {"csv: a line break", mw_paper_escape_csv, "a\r\nb", "\"a  b\""},
};

static void check_row(void **state)
{
    const escape_row *row = *state;
    mw_text out = {0};
    row->call(mw_str_of(row->text), &out);
    assert_string_equal(mw_text_chars(&out), row->want);
    mw_text_free(&out);
}

static mw_paper *paper_with(mw_str text)
{
    mw_paper *paper = mw_paper_new(text);
    assert_non_null(paper);
    mw_paper_add(paper, MW_PAPER_LETTERHEAD, text);
    mw_paper_heading(paper, 1, text);
    mw_paper_add(paper, MW_PAPER_TEXT, text);
    mw_paper_add(paper, MW_PAPER_POINT, text);
    mw_paper_add(paper, MW_PAPER_SMALL, text);
    mw_paper_table(paper, text);
    mw_paper_column_add(paper, text, false);
    mw_paper_column_add(paper, text, true);
    mw_paper_cell_add(paper, text, (mw_str){"", 0});
    mw_paper_cell_add(paper, mw_str_of("1 234.50"), mw_str_of("1234.50"));
    mw_paper_total(paper);
    mw_paper_bars(paper, text);
    mw_paper_tick_add(paper, 0.5, text);
    mw_paper_bar_add(paper, &(mw_paper_bar){text, text, 0.0, 1.0});
    mw_paper_finish(paper);
    return paper;
}

/* Tags and control characters of a page, outside its style. */
typedef struct page_counts {
    size_t open, close, control;
} page_counts;

static page_counts count_page(const mw_text *page)
{
    page_counts made = {0, 0, 0};
    for (const char *at = mw_text_chars(page); *at; at++) {
        made.open += *at == '<';
        made.close += *at == '>';
        made.control += ((unsigned char)*at < ' ' && *at != '\n') || *at == 0x7f;
    }
    return made;
}

/* Whatever the text, the page has the tags of a page with a harmless one. */
static void check_html(mw_str text)
{
    mw_text page = {0};
    mw_text plain = {0};
    mw_paper *paper = paper_with(text);
    mw_paper *harmless = paper_with(mw_str_of("name"));
    assert_int_equal(mw_paper_html(paper, &page), MW_OK);
    assert_int_equal(mw_paper_html(harmless, &plain), MW_OK);
    const page_counts got = count_page(&page);
    const page_counts want = count_page(&plain);
    assert_int_equal(got.open, want.open);
    assert_int_equal(got.close, want.close);
    assert_int_equal(got.control, 0);
    mw_paper_free(paper);
    mw_paper_free(harmless);
    mw_text_free(&page);
    mw_text_free(&plain);
}

/* Read by RFC 4180, two records of two fields come back, and the number as it was. */
static void check_csv(mw_str text)
{
    mw_text page = {0};
    mw_paper *paper = paper_with(text);
    assert_int_equal(mw_paper_csv(paper, &page), MW_OK);
    size_t fields = 1;
    size_t records = 0;
    bool inside = false;
    for (const char *at = mw_text_chars(&page); *at; at++) {
        inside = *at == '"' ? !inside : inside;
        fields += !inside && *at == ',';
        if (!inside && *at == '\n') {
            assert_int_equal(fields, 2);
            fields = 1;
            records++;
        }
    }
    assert_false(inside);
    assert_int_equal(records, 2);
    assert_non_null(strstr(mw_text_chars(&page), ",1234.50\r\n"));
    mw_paper_free(paper);
    mw_text_free(&page);
}

/* Lines that begin a table row have three bars that are not escaped. */
static void check_markdown(mw_str text)
{
    mw_text page = {0};
    mw_paper *paper = paper_with(text);
    assert_int_equal(mw_paper_markdown(paper, &page), MW_OK);
    unsigned bars = 0;
    unsigned table_lines = 0;
    bool table = false;
    for (const char *at = mw_text_chars(&page); *at; at++) {
        const bool first = at == mw_text_chars(&page) || at[-1] == '\n';
        table = first ? *at == '|' : table;
        if (*at == '\\' && at[1] != '\0') {
            at++;
        } else if (table && *at == '|') {
            bars++;
        }
        if (*at == '\n' && table) {
            assert_int_equal(bars, 3);
            bars = 0;
            table_lines++;
        }
    }
    assert_int_equal(table_lines, 3);
    mw_paper_free(paper);
    mw_text_free(&page);
}

static uint64_t state_of_random;

static uint32_t below(uint32_t count)
{
    state_of_random = state_of_random * 6364136223846793005ULL + 1442695040888963407ULL;
    return (uint32_t)(state_of_random >> 33) % count;
}

static void random_texts(void **state)
{
    static const char *const pieces[] = {
        "<",    ">",    "&",  "\"",       "'",        "|",    "\\",
        "\n",   "\r\n", "=",  "-",        ",",        "</p>", "<!--",
        "]]>",  "\x01", "`",  "*",        "\xd7\x90", "name", "\xf0\x9f\x9a\xa4",
        "\x7f", "#",    "\t", "</style>", "1.5",      " ",    "_"};
    (void)state;
    const char *seed = getenv("MW_SEED");
    state_of_random = seed ? strtoull(seed, NULL, 10) : 20270311;
    print_message("seed %llu\n", (unsigned long long)state_of_random);
    for (unsigned n = 0; n < 3000; n++) {
        mw_text text = {0};
        for (uint32_t count = 1 + below(30); count > 0; count--) {
            mw_text_adds(&text, pieces[below(sizeof pieces / sizeof *pieces)]);
        }
        const mw_str name = {mw_text_chars(&text), text.length};
        check_html(name);
        check_csv(name);
        check_markdown(name);
        mw_text_free(&text);
    }
}

/* The same document twice is the same bytes. */
static void the_same_twice(void **state)
{
    (void)state;
    mw_text once = {0};
    mw_text twice = {0};
    mw_paper *paper = paper_with(mw_str_of("name"));
    assert_int_equal(mw_paper_html(paper, &once), MW_OK);
    assert_int_equal(mw_paper_html(paper, &twice), MW_OK);
    assert_string_equal(mw_text_chars(&once), mw_text_chars(&twice));
    mw_paper_free(paper);
    mw_text_free(&once);
    mw_text_free(&twice);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "escape", rows, check_row);
    test_add(&tests, random_texts);
    test_add(&tests, the_same_twice);
    return test_run(&tests, "paper_escape");
}
