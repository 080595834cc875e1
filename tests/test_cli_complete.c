/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Completion as a function of line and cursor: what fits, where the word begins, what follows it. Job:
 * tests/data/job/two.job with its frozen recipes. What is expected is read off these files. */
#include "support.h"

#include <stdio.h>
#include <string.h>

#include "cli/complete.h"
#include "mouldwright/job.h"

typedef struct complete_row {
    const char *name;
    const char *line;    /* `|` stands for the cursor */
    const char *has;     /* candidates that must be there, parted by blanks */
    const char *has_not; /* and such that must not */
    const char *only;    /* the only candidate with its ending, or NULL */
} complete_row;

static const complete_row rows[] = {
    {"the first word", "tak|", "takeoff", "", "takeoff "},
    {"statements, lines and moulds begin a line", "|", "takeoff why restore a moulds", "if", NULL},
    {"what leads on to if", "wha|", "", "", "what if "},
    {"a shop opens its quote", "sho|", "shop", "", "shop \""},
    {"steps of a mould", "a.|", "heavy steps area", "plies takeoff", NULL},
    {"one step", "a.hea|", "", "", "heavy."},
    {"quantities of a step", "a.heavy.|", "plies hours crew resin", "area heavy", NULL},
    {"one quantity", "x = a.heavy.pli|", "", "", "plies "},
    {"all moulds", "moulds.hea|", "", "", "heavy."},
    {"values of the job", "job.co|", "cost", "shop", NULL},
    {"in the middle of a line", "x = a.heavy.pli| + 1", "", "", "plies "},
    {"a unit behind a number", "x = 5 k|", "kg km", "if a", NULL},
    {"a unit right at the number", "x = 600 g/m|", "m mm min", "moulds", NULL},
    {"a unit behind as", "a.area as f|", "ft ", "float", NULL},
    {"no unit behind a unit", "x = 5 kg + sq|", "sqrt", "kg", NULL},
    {"a unit behind a blank", "x = 5 |", "kg", "moulds", NULL},
    {"a function", "x = round_u|", "", "", "round_up("},
    {"a mould behind a report", "hours |", "a b", "heavy takeoff", NULL},
    {"a material", "a.heavy.cloth_material = \"test c|", "", "", NULL},
    {"a recipe", "mould c: area 2 m2, recipe \"|", "simple", "", NULL},
    {"a recipe, when the quote is closed", "mould c: recipe \"simple m|\"", "", "", "simple more"},
    {"inputs of a mould", "mould c: are|", "", "", "area "},
    {"a mould behind after", "mould c: area 2 m2, after |", "a b", "takeoff", NULL},
    {"what can be put back", "restore a.heavy.pli|", "", "", "plies "},
    {"behind what if", "what if a.heavy.pli|", "", "", "plies "},
    {"words of help", "help takeof|", "", "", "takeoff"},
    {"a code of help", "help kind-m|", "", "", "kind-mismatch"},
    {"nothing behind a comment", "x = 5 # tak|", "", "takeoff", NULL},
    {"nothing in a text of no meaning", "x = \"tak|", "", "takeoff", NULL},
    {"the last line of several", "x = 1\ny = a.heavy.pli|", "", "", "plies "},
    {"a shop", "shop \"yar|", "", "", "yard\""},
    {"nothing behind quit", "quit |", "", "takeoff", NULL},
};

static bool has_candidate(const completion *found, const char *word, size_t length)
{
    for (size_t i = 0; i < found->count; i++) {
        if (mw_str_equal(found->items[i].text, (mw_str){word, length})) {
            return true;
        }
    }
    return false;
}

static void look_for(const completion *found, const char *words, bool wanted)
{
    while (*words) {
        size_t length = strcspn(words, " ");
        if (length > 0 && has_candidate(found, words, length) != wanted) {
            fail_msg("`%.*s` is %s among %zu", (int)length, words, wanted ? "missing" : "there",
                     found->count);
        }
        words += length + (words[length] == ' ');
    }
}

static mw_job *open_job(void)
{
    static const char *const folders[] = {"tests/data/job"};
    mw_job_options options = {.today_s = 0.0, .folders = folders, .folder_count = 1};
    mw_job *job = mw_job_new(&options);
    mw_diags diags;
    assert_non_null(job);
    assert_int_equal(mw_diags_start(&diags), MW_OK);
    assert_int_equal(mw_job_open(job, "tests/data/job/two.job", &diags), MW_OK);
    mw_diags_free(&diags);
    return job;
}

static void check_row(void **context)
{
    const complete_row *row = *context;
    static const char *const folders[] = {"tests/data/job"};
    mw_job *job = open_job();
    complete_from from = {job, folders, 1};
    char line[256];
    const char *bar = strchr(row->line, '|');
    size_t cursor = (size_t)(bar - row->line);
    snprintf(line, sizeof line, "%.*s%s", (int)cursor, row->line, bar + 1);
    completion found;
    assert_int_equal(cli_complete(&from, mw_str_of(line), cursor, &found), MW_OK);
    look_for(&found, row->has, true);
    look_for(&found, row->has_not, false);
    if (row->only) {
        assert_int_equal(found.count, 1);
        mw_text whole = {0};
        mw_text_add_str(&whole, found.items[0].text);
        mw_text_adds(&whole, found.items[0].ending);
        assert_string_equal(mw_text_chars(&whole), row->only);
        mw_text_free(&whole);
    }
    completion_free(&found);
    mw_job_free(job);
}

/* A folder does not close the quote, a file does. */
static void test_files(void **context)
{
    (void)context;
    mw_job *job = open_job();
    complete_from from = {job, NULL, 0};
    completion found;
    const char folder[] = "include \"mater";
    assert_int_equal(cli_complete(&from, mw_str_of(folder), sizeof folder - 1, &found), MW_OK);
    assert_int_equal(found.count, 1);
    assert_true(mw_str_is(found.items[0].text, "materials/"));
    assert_string_equal(found.items[0].ending, "");
    completion_free(&found);
    const char list[] = "moulds from \"go";
    assert_int_equal(cli_complete(&from, mw_str_of(list), sizeof list - 1, &found), MW_OK);
    assert_int_equal(found.count, 1);
    assert_true(mw_str_is(found.items[0].text, "good.csv"));
    assert_string_equal(found.items[0].ending, "\"");
    completion_free(&found);
    mw_job_free(job);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "at", rows, check_row);
    test_add(&list, test_files);
    return test_run(&list, "cli: completion");
}
