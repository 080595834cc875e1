/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Statements that a job refuses: code, column and words of the message; and the job is as it was. */
#include "job_state.h"

#define TWO "tests/data/job/two.job"

typedef struct error_row {
    const char *name;
    const char *first; /* said before, one a line; or NULL */
    const char *say;
    mw_code code;
    uint32_t column; /* from 1 */
    const char *piece;
} error_row;

static const error_row rows[] = {
    {"unclosed bracket", NULL, "x = (1 + 2", MW_CODE_UNCLOSED, 0, ""},
    {"unclosed quote", NULL, "x = \"a", MW_CODE_UNCLOSED, 0, ""},
    {"word of the language", NULL, "job = 3", MW_CODE_NAME_TAKEN, 1, "word of the language"},
    {"mould of that name", NULL, "a = 3", MW_CODE_NAME_TAKEN, 1, "name of a mould"},
    {"mould called shop", NULL, "mould shop: area 1 m2, recipe \"simple\"", MW_CODE_NAME_TAKEN, 7,
     "word of the language"},
    {"too many parts", NULL, "a.b.c.d.e = 1", MW_CODE_UNKNOWN_NAME, 1, "too many parts"},
    {"unknown quantity", NULL, "a.heavy.pleis = 3", MW_CODE_UNKNOWN_QUANTITY, 1, "to set"},
    {"unknown step", NULL, "a.haevy.plies = 3", MW_CODE_UNKNOWN_STEP, 1, "to set"},
    {"unknown mould", NULL, "c.heavy.plies = 3", MW_CODE_UNKNOWN_MOULD, 1, "to set"},
    {"made by the program", NULL, "a.heavy.cost = 3 EUR", MW_CODE_NOT_AN_INPUT, 1, "worked out"},
    {"total of the job", NULL, "job.cost = 3 EUR", MW_CODE_NOT_AN_INPUT, 1, "worked out"},
    {"beyond the limit", NULL, "a.heavy.plies = 21", MW_CODE_OUT_OF_RANGE, 17, "up to 20"},
    {"no whole number by a line", "n = 4\na.heavy.plies = n", "n = 2.5", MW_CODE_OUT_OF_RANGE, 0,
     "whole numbers"},
    {"beyond the limit by a line", "n = 4\na.heavy.plies = n", "n = 1e6", MW_CODE_OUT_OF_RANGE, 0,
     "up to 20"},
    {"margin of all", NULL, "shop.margin = 100 %", MW_CODE_OUT_OF_RANGE, 15, "less than 100 %"},
    {"productive share of nothing", NULL, "shop.productive_share = 0", MW_CODE_OUT_OF_RANGE, 25,
     "more than 0 %"},
    {"shop's value by a line", "m = 20 %\nshop.margin = m", "m = 120 %", MW_CODE_OUT_OF_RANGE, 0,
     "shop.margin"},
    {"fewer people than none", NULL, "shop.layer_count = -1", MW_CODE_OUT_OF_RANGE, 20,
     "nothing below 0"},
    {"a rate below nothing", NULL, "shop.layer_rate = -5 EUR/h", MW_CODE_OUT_OF_RANGE, 19,
     "nothing below 0"},
    {"no whole number", NULL, "a.heavy.plies = 2.5", MW_CODE_OUT_OF_RANGE, 17, "whole numbers"},
    {"fewer hours than none", NULL, "a.heavy.hours = -2 h", MW_CODE_OUT_OF_RANGE, 17,
     "less than 0"},
    {"another kind", NULL, "shop.margin = 1 kg", MW_CODE_WRONG_KIND, 15, "1 kg is a mass"},
    {"another kind of material", NULL, "a.heavy.cloth_material = \"slow resin\"",
     MW_CODE_WRONG_KIND, 27, "slow resin"},
    {"material without quotes", NULL, "a.heavy.cloth_material = 3", MW_CODE_WRONG_KIND, 26,
     "in quotes"},
    {"material lacks a figure", NULL, "a.heavy.resin_material = \"bare resin\"",
     MW_CODE_MATERIAL_LACKS, 0, "has no figure"},
    {"no recipe", NULL, "mould c: area 1 m2", MW_CODE_MISSING_INPUT, 7, "names no recipe"},
    {"no area", NULL, "mould c: recipe \"simple\"", MW_CODE_MISSING_INPUT, 7, "needs `area`"},
    {"no such recipe", NULL, "mould c: recipe \"simpel\"", MW_CODE_UNKNOWN_RECIPE, 0, ""},
    {"no such input", NULL, "mould c: aera 1 m2, recipe \"simple\"", MW_CODE_UNKNOWN_QUANTITY, 10,
     "no input `aera`"},
    {"after no mould", NULL, "mould c: area 1 m2, recipe \"simple\", after d",
     MW_CODE_UNKNOWN_MOULD, 0, "to come after"},
    {"after itself", NULL, "mould c: area 1 m2, recipe \"simple\", after c", MW_CODE_UNKNOWN_MOULD,
     0, "after itself"},
    {"from no date", NULL, "mould c: area 1 m2, recipe \"simple\", from soon", MW_CODE_BAD_DATE, 0,
     "as it is written"},
    {"a step alone", NULL, "a.heavy", MW_CODE_UNKNOWN_QUANTITY, 1, "is a step"},
    {"a mould alone", NULL, "a + 1", MW_CODE_UNKNOWN_QUANTITY, 1, "is a mould"},
    {"restore of nothing", NULL, "restore a.heavy.plies", MW_CODE_NOT_OVERRIDDEN, 9,
     "not been set"},
    {"restore of a line", NULL, "restore budget", MW_CODE_NOT_OVERRIDDEN, 9, "not been set"},
    {"drop of nothing", NULL, "drop nothing_here", MW_CODE_NOT_OVERRIDDEN, 6, "no line, mould or"},
    {"drop of what is needed", NULL, "drop budget", MW_CODE_STILL_NEEDED, 0, ""},
    {"no such file", NULL, "include \"none.inc\"", MW_CODE_NO_SUCH_FILE, 0, "cannot read"},
    {"no such list", NULL, "moulds from \"none.csv\"", MW_CODE_NO_SUCH_FILE, 0, "cannot read"},
    {"no such shop", NULL, "shop \"yrad\"", MW_CODE_UNKNOWN_SHOP, 0, ""},
    {"what if of another kind", NULL, "what if a.heavy.plies = 4 kg", MW_CODE_WRONG_KIND, 25, ""},
    {"what if beyond the limit", NULL, "what if a.heavy.plies = 2, 21", MW_CODE_OUT_OF_RANGE, 28,
     "up to 20"},
    {"what if of fewer hours than none", NULL, "what if a.heavy.hours = -2 h", MW_CODE_OUT_OF_RANGE,
     25, "less than 0"},
    {"what if of half a layer", NULL, "what if a.heavy.plies = 2.5", MW_CODE_OUT_OF_RANGE, 25,
     "whole numbers"},
    {"what if of half a layer by a line", "n = 4\na.heavy.plies = n", "what if n = 2.5",
     MW_CODE_OUT_OF_RANGE, 13, "whole numbers from 1 up to 20"},
    {"what if of the margin of all", NULL, "what if shop.margin = 30 %, 100 %",
     MW_CODE_OUT_OF_RANGE, 29, "less than 100 %"},
    {"what if of the margin of all by a line", "m = 20 %\nshop.margin = m", "what if m = 120 %",
     MW_CODE_OUT_OF_RANGE, 13, "less than 100 %"},
    {"wide override of another kind, hidden by narrower ones",
     "a.heavy.plies = 3\nb.heavy.plies = 3", "moulds.heavy.plies = 3 kg", MW_CODE_WRONG_KIND, 22,
     "3 kg is a mass"},
    {"what if of nothing", NULL, "what if nothing_here = 2", MW_CODE_UNKNOWN_NAME, 9, "to vary"},
    {"in step but not equally many", NULL, "what if a.heavy.plies = 2, 3 with b.heavy.plies = 2",
     MW_CODE_LIST_LENGTHS, 0, "same number"},
    {"a step downwards", NULL, "what if a.heavy.plies = 2 .. 8 step -1", MW_CODE_OUT_OF_RANGE, 37,
     "above 0"},
    {"a step of another kind", NULL, "what if a.heavy.plies = 2 .. 8 step 2 kg", MW_CODE_WRONG_KIND,
     37, "this is a mass"},
    {"far too many steps", NULL, "what if a.area = 1 m2 .. 2 m2 step 1 mm2", MW_CODE_OUT_OF_RANGE,
     36, "at most 64"},
    {"what is not there is shown", NULL, "what if a.heavy.plies = 2 show a.heavy.resn",
     MW_CODE_UNKNOWN_NAME, 32, ""},
    {"a list is shown", NULL, "what if a.heavy.plies = 2 show moulds.cost", MW_CODE_IS_A_LIST, 32,
     "one value"},
    {"a goal that is no number", NULL,
     "weigh a.heavy.resin_material against job.cost over a.heavy.plies = 2, 3", MW_CODE_WRONG_KIND,
     7, "more or less"},
    {"an alternative twice the same", NULL,
     "alternative x: a.heavy.plies = 2 with a.heavy.plies = 3", MW_CODE_NAME_TWICE, 39,
     "set twice"},
    {"an alternative of another kind", NULL, "alternative x: a.heavy.plies = 2 kg",
     MW_CODE_WRONG_KIND, 32, ""},
    {"an alternative of nothing", NULL, "alternative x: a.heavy.plis = 2", MW_CODE_UNKNOWN_QUANTITY,
     16, ""},
    {"an alternative with the name of a mould", NULL, "alternative a: b.heavy.plies = 2",
     MW_CODE_NAME_TAKEN, 13, "mould or line"},
    {"why of nothing", NULL, "why nothing_here", MW_CODE_UNKNOWN_NAME, 5, ""},
};

static void refused(void **state)
{
    const error_row *row = *state;
    job_bench bench;
    bench_start(&bench, TWO);
    assert_int_equal(bench.status, MW_OK);
    bench_say_all(&bench, row->first);
    bench_say_all(&bench, "a.heavy.plies = 6\nundo_me = 1");
    assert_int_equal(mw_job_undo(bench.job, &bench.reply, &bench.diags), MW_OK);
    bench_say_all(&bench, "restore a.heavy.plies");
    assert_int_equal(mw_job_undo(bench.job, &bench.reply, &bench.diags), MW_OK);
    assert_int_equal(mw_job_undo(bench.job, &bench.reply, &bench.diags), MW_OK);
    job_state before = state_of(bench.job);
    assert_int_equal(bench_say(&bench, row->say), MW_FAILED);
    assert_true(bench.diags.count > 0);
    const mw_diag *diag = &bench.diags.items[0];
    if (diag->code != row->code || !strstr(diag->message, row->piece)) {
        fail_msg("`%s`: %s: %s", row->say, mw_code_word(diag->code), diag->message);
    }
    if (row->column > 0) {
        assert_int_equal(diag->span.begin + 1, row->column);
    }
    assert_state(bench.job, &before);
    bench_clear(&bench);
    assert_int_equal(mw_job_redo(bench.job, &bench.reply, &bench.diags), MW_OK);
    bench_end(&bench);
}

static void nothing_left(void **state)
{
    (void)state;
    job_bench bench;
    bench_start(&bench, TWO);
    assert_int_equal(mw_job_undo(bench.job, &bench.reply, &bench.diags), MW_FAILED);
    assert_int_equal(bench.diags.items[0].code, MW_CODE_NOTHING_TO_UNDO);
    bench_clear(&bench);
    assert_int_equal(mw_job_redo(bench.job, &bench.reply, &bench.diags), MW_FAILED);
    assert_int_equal(bench.diags.items[0].code, MW_CODE_NOTHING_TO_REDO);
    bench_end(&bench);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "refused", rows, refused);
    test_add(&list, nothing_left);
    return test_run(&list, "job: refusals");
}
