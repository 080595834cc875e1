/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Documents as PDF, read again by poppler (pdftotext, pdfinfo, pdffonts): every text comes back, heads of tables stand
 * again on every page, no row is cut, no heading is alone at the foot of a page, pages are numbered, fonts are inside.
 * Sizes of paper: ISO 216 (A4, 210 mm x 297 mm) and ANSI/ASME Y14.1 (A, 8.5 in x 11 in), in points of 1/72 inch. */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "mouldwright/paper.h"

#define PAGE_MAX 200

/* What poppler made of a document. */
typedef struct reading {
    char *text; /* pages end with a form feed */
    char *pages[PAGE_MAX];
    size_t page_count;
} reading;

static void module_path(char *path, size_t size)
{
    ssize_t length = readlink("/proc/self/exe", path, size - 32);
    assert_true(length > 0);
    path[length] = '\0';
    *strrchr(path, '/') = '\0';
    strcpy(strrchr(path, '/'), "/mouldwright-pdf.so");
}

static mw_paper_pdf_status write_to(mw_paper *paper, mw_text *out)
{
    char path[4096];
    mw_text why = {0};
    module_path(path, sizeof path);
    const char *const modules[] = {"/nonexistent/mouldwright-pdf.so", path};
    mw_paper_finish(paper);
    const mw_paper_pdf_status status = mw_paper_pdf(paper, modules, 2, out, &why);
    if (why.length > 0) {
        print_message("%s\n", mw_text_chars(&why));
    }
    mw_text_free(&why);
    return status;
}

/* What a command prints; freed by the caller. */
static char *printed_by(const char *command)
{
    size_t used = 0;
    size_t room = 1 << 16;
    char *text = malloc(room);
    FILE *from = popen(command, "r");
    assert_non_null(text);
    assert_non_null(from);
    for (size_t got; (got = fread(text + used, 1, room - used - 1, from)) > 0;) {
        used += got;
        if (room - used < 1024) {
            room *= 2;
            text = realloc(text, room);
            assert_non_null(text);
        }
    }
    assert_int_equal(pclose(from), 0);
    text[used] = '\0';
    return text;
}

/* Runs a tool on the PDF of a document, with what stands behind the file's name. */
static char *asked(const mw_text *pdf, const char *tool, const char *rest)
{
    char path[] = "/tmp/mouldwright-pdf-XXXXXX";
    char line[512];
    const int file = mkstemp(path);
    assert_true(file >= 0);
    FILE *to = fdopen(file, "wb");
    assert_non_null(to);
    assert_int_equal(fwrite(pdf->data, 1, pdf->length, to), pdf->length);
    assert_int_equal(fclose(to), 0);
    snprintf(line, sizeof line, "%s %s %s", tool, path, rest);
    char *made = printed_by(line);
    assert_int_equal(unlink(path), 0);
    return made;
}

static reading read_paper(mw_paper *paper)
{
    reading made = {0};
    mw_text pdf = {0};
    assert_int_equal(write_to(paper, &pdf), MW_PDF_WRITTEN);
    made.text = asked(&pdf, "pdftotext -layout", "-");
    for (char *at = made.text, *next; (next = strchr(at, '\f')); at = next + 1) {
        *next = '\0';
        assert_true(made.page_count < PAGE_MAX);
        made.pages[made.page_count++] = at;
    }
    mw_text_free(&pdf);
    mw_paper_free(paper);
    return made;
}

static mw_paper *new_paper(const char *title)
{
    mw_paper *paper = mw_paper_new(mw_str_of(title));
    assert_non_null(paper);
    paper->made_s = 1796083200.0; /* 2026-12-01 */
    return paper;
}

static void add_cell(mw_paper *paper, const char *before, int number, const char *behind)
{
    char text[96];
    snprintf(text, sizeof text, "%s%d%s", before, number, behind);
    mw_paper_cell_add(paper, mw_str_of(text), (mw_str){"", 0});
}

/* A table of three columns. */
static void add_table(mw_paper *paper, int rows)
{
    mw_paper_table(paper, mw_str_of("A title"));
    mw_paper_column_add(paper, mw_str_of("numbered"), false);
    mw_paper_column_add(paper, mw_str_of("worded"), false);
    mw_paper_column_add(paper, mw_str_of("priced"), true);
    for (int i = 0; i < rows; i++) {
        add_cell(paper, "row-", i, "-");
        add_cell(paper, "word ", i,
                 i % 7 ? "" : " in a cell of many words that goes on over two lines");
        add_cell(paper, "", 1000 + i, ".50");
    }
    mw_paper_cell_add(paper, mw_str_of("sum"), (mw_str){"", 0});
    mw_paper_cell_add(paper, (mw_str){"", 0}, (mw_str){"", 0});
    mw_paper_cell_add(paper, mw_str_of("9999999.50"), (mw_str){"", 0});
    mw_paper_total(paper);
}

/* -- long tables -- */

typedef struct rows_row {
    const char *name;
    int rows, before; /* lines of text above */
    mw_paper_size size;
} rows_row;

static const rows_row lengths[] = {
    {"none", 0, 0, MW_PAPER_A4},           {"one", 1, 0, MW_PAPER_A4},
    {"some", 30, 0, MW_PAPER_A4},          {"at the foot", 20, 38, MW_PAPER_A4},
    {"letter", 100, 3, MW_PAPER_LETTER},   {"a thousand", 1000, 11, MW_PAPER_A4},
    {"whole ones", 5, 41, MW_PAPER_A4},    {"at the foot, letter", 9, 36, MW_PAPER_LETTER},
    {"one by one 1", 12, 40, MW_PAPER_A4}, {"one by one 2", 12, 42, MW_PAPER_A4},
    {"one by one 3", 12, 43, MW_PAPER_A4}, {"one by one 4", 12, 44, MW_PAPER_A4}};

static void check_numbered(const reading *in)
{
    for (size_t i = 0; i < in->page_count; i++) {
        char want[32];
        snprintf(want, sizeof want, "%zu of %zu", i + 1, in->page_count);
        assert_non_null(strstr(in->pages[i], want));
    }
}

static void check_long(void **state)
{
    const rows_row *row = *state;
    mw_paper *paper = new_paper("A long one");
    paper->size = row->size;
    for (int i = 0; i < row->before; i++) {
        mw_paper_add(paper, MW_PAPER_TEXT, mw_str_of("above"));
    }
    mw_paper_heading(paper, 1, mw_str_of("Heading"));
    add_table(paper, row->rows);
    reading in = read_paper(paper);
    check_numbered(&in);
    int next = 0;
    for (size_t p = 0; p < in.page_count; p++) {
        char want[32];
        const char *head = strstr(in.pages[p], "numbered");
        snprintf(want, sizeof want, "row-%d-", next);
        if (!strstr(in.pages[p], want) && !strstr(in.pages[p], "9999999.50")) {
            assert_null(head); /* the head alone, without a row */
            assert_null(strstr(in.pages[p], "Heading"));
            continue;
        }
        assert_non_null(head);
        for (const char *at = head; (at = strstr(at, want)); next++) {
            snprintf(want, sizeof want, "row-%d-", next + 1);
        }
    }
    assert_int_equal(next, row->rows);
    assert_non_null(strstr(in.pages[in.page_count - 1], "9999999.50"));
    free(in.text);
}

/* -- texts of all kinds -- */

static const char *const hostile[] = {
    "plain",
    "<b onclick=\"x\">&'\\()[]{}%",
    "a\x01\x02 tab\tline\nend\r",
    "\xd7\xa9\xd7\x9c\xd7\x95\xd7\x9d 12.5 kg", /* Hebrew */
    "\xd9\x85\xd8\xb1\xd8\xad\xd8\xa8\xd8\xa7", /* Arabic */
    "\xce\x94\xce\xbf\xce\xba\xce\xb9\xce\xbc\xce\xae \xd0\x9b\xd0\xbe\xd0\xb4\xd0\xba\xd0\xb0", /* Greek, Cyrillic */
    "\xf0\x9f\x9a\xa4\xf0\x9f\x91\xa9\xe2\x80\x8d\xf0\x9f\x94\xa7", /* emoji, joined */
    "\xe8\x88\xb9\xe4\xbd\x93\xe6\xa8\xa1\xe5\x85\xb7",             /* Han */
    "\xff\xfe\xc3(\xe2\x82",                                        /* no UTF-8 */
    "e\xcc\x81\xcc\x81\xcc\x81\xcc\x81 Z\xcd\xa7",                  /* marks that pile up */
    "\xe2\x80\xae rev\xe2\x80\xac",                                 /* override */
    "",
    " "};

/* A document with the text in every place. */
static mw_paper *paper_with(mw_str text)
{
    mw_paper *paper = mw_paper_new(text);
    assert_non_null(paper);
    mw_paper_add(paper, MW_PAPER_LETTERHEAD, text);
    mw_paper_heading(paper, 1, text);
    mw_paper_heading(paper, 2, text);
    mw_paper_add(paper, MW_PAPER_TEXT, text);
    mw_paper_add(paper, MW_PAPER_POINT, text);
    mw_paper_add(paper, MW_PAPER_SMALL, text);
    mw_paper_table(paper, text);
    for (int c = 0; c < 4; c++) {
        mw_paper_column_add(paper, text, c % 2 == 1);
    }
    for (int c = 0; c < 8; c++) {
        mw_paper_cell_add(paper, text, (mw_str){"", 0});
    }
    mw_paper_total(paper);
    mw_paper_bars(paper, text);
    mw_paper_tick_add(paper, 0.5, text);
    mw_paper_bar_add(paper, &(mw_paper_bar){text, text, 0.0, 1.0});
    mw_paper_add(paper, MW_PAPER_TEXT, mw_str_of("the end"));
    return paper;
}

static void check_hostile(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof hostile / sizeof *hostile; i++) {
        reading in = read_paper(paper_with(mw_str_of(hostile[i])));
        assert_non_null(strstr(in.text, "the end"));
        check_numbered(&in);
        free(in.text);
    }
}

/* Letters that the named font has come back as they went in. */
static void test_letters(void **state)
{
    (void)state;
    static const char *const kept[] = {"plain",
                                       "<b onclick=\"x\">&'\\()[]{}%",
                                       "Z\xc3\xbcrich \xc5\x81\xc3\xb3k",
                                       "\xce\x94\xce\xbf\xce\xba\xce\xb9\xce\xbc\xce\xae",
                                       "\xd0\x9b\xd0\xbe\xd0\xb4\xd0\xba\xd0\xb0",
                                       "affluent office fjord"};
    for (size_t i = 0; i < sizeof kept / sizeof *kept; i++) {
        reading in = read_paper(paper_with(mw_str_of(kept[i])));
        size_t found = 0;
        for (const char *at = in.text; (at = strstr(at, kept[i])); at++) {
            found++;
        }
        assert_true(found >= 18);
        free(in.text);
    }
}

/* A text as long as a book, and one word as long as that, in every place. */
static void test_long_texts(void **state)
{
    (void)state;
    for (int blanks = 0; blanks < 2; blanks++) {
        mw_text text = {0};
        for (int i = 0; i < 4000; i++) {
            mw_text_adds(&text, blanks ? "words " : "letters");
        }
        reading in = read_paper(paper_with((mw_str){mw_text_chars(&text), text.length}));
        check_numbered(&in);
        assert_non_null(strstr(in.pages[in.page_count - 1], "the end"));
        free(in.text);
        mw_text_free(&text);
    }
}

/* Sixteen columns of long numbers: letters get smaller, nothing lies on anything else. */
static void test_many_columns(void **state)
{
    (void)state;
    mw_paper *paper = new_paper("wide");
    mw_paper_table(paper, (mw_str){"", 0});
    for (int c = 0; c < MW_PAPER_COLUMNS_MAX; c++) {
        mw_paper_column_add(paper, mw_str_of("head"), c > 0);
    }
    for (int i = 0; i < 3 * MW_PAPER_COLUMNS_MAX; i++) {
        add_cell(paper, "", 1000 + i, ".25");
    }
    reading in = read_paper(paper);
    for (int i = 0; i < 3 * MW_PAPER_COLUMNS_MAX; i++) {
        char want[16];
        snprintf(want, sizeof want, "%d.25", 1000 + i);
        assert_non_null(strstr(in.text, want));
    }
    free(in.text);
}

/* -- the file -- */

static void check_size(mw_paper_size size, bool landscape, const char *want)
{
    mw_text pdf = {0};
    mw_paper *paper = new_paper("sized");
    paper->size = size;
    paper->landscape = landscape;
    assert_int_equal(write_to(paper, &pdf), MW_PDF_WRITTEN);
    char *told = asked(&pdf, "pdfinfo", "");
    assert_non_null(strstr(told, want));
    assert_non_null(strstr(told, "Tue Dec  1 00:00:00 2026"));
    free(told);
    mw_text_free(&pdf);
    mw_paper_free(paper);
}

static void test_sizes(void **state)
{
    (void)state;
    assert_int_equal(setenv("TZ", "UTC0", 1), 0);
    check_size(MW_PAPER_A4, false, "595.276 x 841.89 pts (A4)");
    check_size(MW_PAPER_A4, true, "841.89 x 595.276 pts (A4)");
    check_size(MW_PAPER_LETTER, false, "612 x 792 pts (letter)");
}

static void test_same_bytes(void **state)
{
    (void)state;
    mw_text first = {0};
    mw_text second = {0};
    mw_paper *paper = paper_with(mw_str_of("twice"));
    assert_int_equal(write_to(paper, &first), MW_PDF_WRITTEN);
    assert_int_equal(write_to(paper, &second), MW_PDF_WRITTEN);
    assert_int_equal(first.length, second.length);
    assert_memory_equal(first.data, second.data, first.length);
    mw_text_free(&first);
    mw_text_free(&second);
    mw_paper_free(paper);
}

static void test_fonts_inside(void **state)
{
    (void)state;
    mw_text pdf = {0};
    mw_paper *paper = paper_with(mw_str_of("fonts"));
    assert_int_equal(write_to(paper, &pdf), MW_PDF_WRITTEN);
    char *told =
        asked(&pdf, "pdffonts", "| awk 'NR > 2 && $(NF - 4) $(NF - 3) != \"yesyes\" { print }'");
    assert_string_equal(told, "");
    free(told);
    mw_text_free(&pdf);
    mw_paper_free(paper);
}

/* -- what can go wrong -- */

static void test_no_module(void **state)
{
    (void)state;
    mw_text out = {0};
    mw_text why = {0};
    const char *const nowhere[] = {"/nonexistent/mouldwright-pdf.so"};
    const char *const no_module[] = {"/proc/self/exe"};
    mw_paper *paper = new_paper("none");
    assert_int_equal(mw_paper_pdf(paper, nowhere, 1, &out, &why), MW_PDF_NO_MODULE);
    assert_int_equal(why.length, 0);
    assert_int_equal(mw_paper_pdf(paper, no_module, 1, &out, &why), MW_PDF_NO_LIBRARY);
    assert_true(why.length > 0);
    mw_text_free(&out);
    mw_text_free(&why);
    mw_paper_free(paper);
}

/* A document that lost something when memory was short is not written. */
static void test_lost(void **state)
{
    (void)state;
    mw_text out = {0};
    mw_paper *paper = new_paper("lost");
    paper->lost = true;
    assert_int_equal(write_to(paper, &out), MW_PDF_LOST);
    mw_text_free(&out);
    mw_paper_free(paper);
}

/* A picture that is none is left out; the smallest one (W3C PNG specification: a grey pixel) is taken. */
static void test_picture(void **state)
{
    (void)state;
    static const unsigned char pixel[] = {
        0x89, 'P',  'N',  'G',  0x0d, 0x0a, 0x1a, 0x0a, 0,    0,    0,    13,   'I',  'H',
        'D',  'R',  0,    0,    0,    1,    0,    0,    0,    1,    8,    0,    0,    0,
        0,    0x3a, 0x7e, 0x9b, 0x55, 0,    0,    0,    10,   'I',  'D',  'A',  'T',  0x78,
        0x9c, 0x63, 0x68, 0,    0,    0,    0x82, 0,    0x81, 0x77, 0xcd, 0x72, 0xb6, 0,
        0,    0,    0,    'I',  'E',  'N',  'D',  0xae, 0x42, 0x60, 0x82};
    for (int good = 0; good < 2; good++) {
        mw_text pdf = {0};
        mw_paper *paper = paper_with(mw_str_of("pictured"));
        paper->picture = (mw_str){(const char *)pixel, good ? sizeof pixel : 40};
        assert_int_equal(write_to(paper, &pdf), MW_PDF_WRITTEN);
        char *told = asked(&pdf, "pdfimages -list", "| awk 'NR > 2 { print $3 }' | head -n 1");
        assert_string_equal(told, good ? "image\n" : "");
        free(told);
        mw_text_free(&pdf);
        mw_paper_free(paper);
    }
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "rows", lengths, check_long);
    test_add_named(&list, "hostile texts", check_hostile, NULL);
    test_add(&list, test_letters);
    test_add(&list, test_long_texts);
    test_add(&list, test_many_columns);
    test_add(&list, test_sizes);
    test_add(&list, test_same_bytes);
    test_add(&list, test_fonts_inside);
    test_add(&list, test_no_module);
    test_add(&list, test_lost);
    test_add(&list, test_picture);
    return test_run(&list, "paper pdf");
}
