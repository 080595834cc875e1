/* SPDX-License-Identifier: GPL-3.0-or-later */
/* docs/language.md says what the program does: its statements are read, and its tables of functions, reports
 * and statements are those of the program. What the statements answer is compared by the transcripts. */
#include "lang_front.h"

#include <stdlib.h>

#include "mouldwright/file.h"
#include "mouldwright/function.h"
#include "mouldwright/memory.h"

static const char doc_path[] = "docs/language.md";

static void read_doc(char **text)
{
    size_t length = 0;
    assert_int_equal(mw_file_read(doc_path, 1 << 20, text, &length), MW_OK);
}

/* Adds what is typed in the blocks of the page, one line a line; returns how many blocks there are. */
static size_t add_typed(const char *doc, mw_text *out)
{
    size_t blocks = 0;
    const char *at = doc;
    while ((at = strstr(at, "\n```mouldwright\n")) != NULL) {
        const char *end = strstr(at + 4, "\n```");
        assert_non_null(end);
        blocks++;
        for (at = strstr(at, "\n> "); at != NULL && at < end; at = strstr(at, "\n> ")) {
            at += 3;
            mw_text_add(out, at, strcspn(at, "\n"));
            mw_text_addc(out, '\n');
        }
        at = end;
    }
    return blocks;
}

static void statements_are_read(void **state)
{
    (void)state;
    char *doc = NULL;
    read_doc(&doc);
    mw_text typed = {0};
    assert_true(add_typed(doc, &typed) >= 10);
    front f;
    front_open(&f, (mw_str){typed.data, typed.length});
    uint32_t at = 0;
    size_t count = 0;
    mw_span span;
    while (mw_next_line(f.sources, f.source, &at, &span)) {
        mw_statement statement;
        mw_status status = mw_parse_statement(&f.reader, span, &statement);
        assert_string_equal(front_messages(&f), "");
        assert_int_equal(status, MW_OK);
        count++;
    }
    assert_true(count >= 50);
    front_close(&f);
    mw_text_free(&typed);
    mw_memory_give(doc);
}

/* Whether the page has a row of a table that begins like this and has the two cells. */
static bool has_row(const char *doc, const char *begin, const char *example, const char *result)
{
    const char *row = strstr(doc, begin);
    if (row == NULL) {
        return false;
    }
    char line[400];
    snprintf(line, sizeof line, "%.*s", (int)strcspn(row + 1, "\n"), row + 1);
    char cells[300];
    snprintf(cells, sizeof cells, "| `%s` | `%s` |", example, result);
    return strstr(line, cells) != NULL;
}

static void functions_are_those_of_the_program(void **state)
{
    (void)state;
    char *doc = NULL;
    read_doc(&doc);
    size_t count = 0;
    const mw_function *functions = mw_functions(&count);
    for (size_t i = 0; i < count; i++) {
        char begin[80];
        snprintf(begin, sizeof begin, "\n| `%s(", functions[i].name);
        if (!has_row(doc, begin, functions[i].example, functions[i].result)) {
            fail_msg("%s has no row for %s, `%s`, `%s`", doc_path, functions[i].name,
                     functions[i].example, functions[i].result);
        }
    }
    mw_memory_give(doc);
}

static void words_are_those_of_the_program(void **state)
{
    (void)state;
    char *doc = NULL;
    read_doc(&doc);
    for (const mw_command_row *row = mw_statement_rows(); row->word != NULL; row++) {
        char begin[80];
        snprintf(begin, sizeof begin, "\n| `%s ", row->word);
        if (strstr(doc, begin) == NULL) {
            fail_msg("%s has no row for %s", doc_path, row->word);
        }
    }
    const char *reports = strstr(doc, "\nReports, each alone");
    assert_non_null(reports);
    for (const mw_command_row *row = mw_command_rows(); row->word != NULL; row++) {
        const char *found = strstr(reports, row->word);
        if (found == NULL || found - reports > 600) {
            fail_msg("%s does not name %s", doc_path, row->word);
        }
    }
    mw_memory_give(doc);
}

int main(void)
{
    test_list list = {0};
    test_add(&list, statements_are_read);
    test_add(&list, functions_are_those_of_the_program);
    test_add(&list, words_are_those_of_the_program);
    return test_run(&list, "lang_statement_docs");
}
