/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Conditions of recipes that warn: which hold, which have come up with a change, which cannot be told.
 * tests/data/job/warned.yaml warns of an area below 2 m2, of more than 5 layers, of fewer than 3 (where
 * exactly 3 divide by zero). */
#include "job_bench.h"

typedef struct warning_row {
    const char *name;
    const char *say;   /* statements, one a line */
    const char *fresh; /* conditions that the last of them brought up, parted by blanks */
    const char *hold;  /* all that hold after it; `?` behind one that cannot be told */
} warning_row;

#define START "shop \"yard\"\nstart 2027-01-04\nmould a: area 4 m2, recipe \"warned\"\n"

static const warning_row rows[] = {
    {"none", START, "", ""},
    {"of a step", START "a.heavy.plies = 6", "a.heavy.thick", "a.heavy.thick"},
    {"not told again", START "a.heavy.plies = 6\na.heavy.plies = 7", "", "a.heavy.thick"},
    {"gone", START "a.heavy.plies = 6\nrestore a.heavy.plies", "", ""},
    {"come back", START "a.heavy.plies = 6\na.heavy.plies = 4\na.heavy.plies = 8", "a.heavy.thick",
     "a.heavy.thick"},
    {"of the mould", START "a.area = 1 m2", "a.tight", "a.tight"},
    {"of a new mould", START "mould b: area 1 m2, recipe \"warned\"", "b.tight", "b.tight"},
    {"of the second mould only", START "mould b: area 1 m2, recipe \"warned\"\na.heavy.plies = 6",
     "a.heavy.thick", "a.heavy.thick b.tight"},
    {"in every mould", START "mould b: area 3 m2, recipe \"warned\"\nmoulds.heavy.plies = 6",
     "a.heavy.thick b.heavy.thick", "a.heavy.thick b.heavy.thick"},
    {"two at once", START "a.heavy.plies = 2\na.area = 1 m2", "a.tight", "a.tight a.heavy.odd"},
    {"cannot be told", START "a.heavy.plies = 3", "a.heavy.odd?", "a.heavy.odd?"},
    {"told at last", START "a.heavy.plies = 3\na.heavy.plies = 2", "a.heavy.odd", "a.heavy.odd"},
    {"set by hand", START "a.heavy.thick = yes", "a.heavy.thick", "a.heavy.thick"},
    {"size of a machine", START "shop.mill_length = 3 m\na.edge = 8 m", "", "a.block.wide"},
    {"a recipe without any", "shop \"yard\"\nmould a: area 1 m2, recipe \"simple\"", "", ""},
};

static void add_names(const mw_warning_view *views, uint32_t count, mw_text *out)
{
    for (uint32_t i = 0; i < count; i++) {
        mw_text_adds(out, i > 0 ? " " : "");
        mw_text_add_str(out, views[i].what);
        mw_text_adds(out, views[i].unclear == MW_CODE_COUNT ? "" : "?");
        assert_true(views[i].text.length > 0);
    }
    mw_text_adds(out, "");
    assert_false(out->failed);
}

static void check_warnings(void **state)
{
    const warning_row *row = *state;
    job_bench bench;
    mw_text fresh = {0};
    mw_text hold = {0};
    const mw_warning_view *views = NULL;
    uint32_t count = 0;
    bench_start(&bench, NULL);
    bench_say_all(&bench, row->say);
    add_names(bench.reply.warnings, bench.reply.warning_count, &fresh);
    assert_string_equal(mw_text_chars(&fresh), row->fresh);
    assert_int_equal(mw_job_warnings(bench.job, MW_NONE, &views, &count), MW_OK);
    add_names(views, count, &hold);
    assert_string_equal(mw_text_chars(&hold), row->hold);
    mw_text_free(&fresh);
    mw_text_free(&hold);
    bench_end(&bench);
}

/* Undoing tells what comes up again, and one mould is told alone. */
static void undo_tells_again(void **state)
{
    (void)state;
    job_bench bench;
    const mw_warning_view *views = NULL;
    uint32_t count = 0;
    bench_start(&bench, NULL);
    bench_say_all(&bench, START "mould b: area 1 m2, recipe \"warned\"\na.heavy.plies = 6\n"
                                "a.heavy.plies = 4");
    assert_int_equal(mw_job_undo(bench.job, &bench.reply, &bench.diags), MW_OK);
    assert_int_equal(bench.reply.warning_count, 1);
    assert_int_equal(mw_job_warnings(bench.job, 1, &views, &count), MW_OK);
    assert_int_equal(count, 1);
    assert_true(mw_str_is(views[0].what, "b.tight"));
    assert_int_equal(views[0].mould, 1);
    assert_int_equal(views[0].step, MW_NONE);
    bench_end(&bench);
}

/* The hall and the shift of the shop file, and the size of its machines. */
static void shop_tells_sizes(void **state)
{
    (void)state;
    job_bench bench;
    bench_start(&bench, NULL);
    bench_say_all(&bench, "shop \"yard\"");
    assert_near(bench_value(&bench, "shop.working_day"), 8 * 3600.0, 1e-12);
    assert_near(bench_value(&bench, "shop.warmest_day"), 293.15, 1e-12);
    assert_close(bench_value(&bench, "shop.mill_length"), 0, 0);
    bench_end(&bench);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "warnings", rows, check_warnings);
    test_add(&tests, undo_tells_again);
    test_add(&tests, shop_tells_sizes);
    return test_run(&tests, "job_warnings");
}
