/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines of the job that serve as inputs of recipes: their place among the overrides, `usual` in them, `restore` of them.
 * The figures follow by hand from tests/data/job: the rim of mould a is 100 mm by its recipe, that of b 200 mm. */
#include "job_state.h"

typedef struct input_row {
    const char *name;
    const char *say; /* one a line */
    double a_m, b_m; /* the rims then */
} input_row;

static const input_row rows[] = {
    {"the recipes", NULL, 0.1, 0.2},
    {"a line", "rim = 150 mm", 0.15, 0.15},
    {"a line by the usual value", "rim = usual * 1.5", 0.15, 0.3},
    {"a line that is another one", "rim = 150 mm\nrim = 120 mm", 0.12, 0.12},
    {"a line that begins to be by the usual value", "rim = 150 mm\nrim = usual * 3", 0.3, 0.6},
    {"a line that ceases to be so", "rim = usual * 3\nrim = 150 mm", 0.15, 0.15},
    {"restored", "rim = 150 mm\nrestore rim", 0.1, 0.2},
    {"restored from the usual value", "rim = usual * 3\nrestore rim", 0.1, 0.2},
    {"taken out", "rim = 150 mm\ndrop rim", 0.1, 0.2},
    {"all moulds are narrower than a line", "rim = 150 mm\nmoulds.rim = usual + 10 mm", 0.16, 0.16},
    {"and read a line by the usual value", "rim = usual * 2\nmoulds.rim = usual + 10 mm", 0.21,
     0.41},
    {"one mould is narrower than all", "rim = usual * 2\nmoulds.rim = 1 m\na.rim = usual / 4", 0.25,
     1.0},
    {"the narrower stays when the line goes", "rim = 150 mm\na.rim = usual * 2\nrestore rim", 0.2,
     0.2},
    {"the line is in force again", "rim = usual * 2\na.rim = 1 m\nrestore a.rim", 0.2, 0.4},
    {"a line that others read", "rim = usual * 2\nwidest = largest(rim)\nrim = usual * 3", 0.3,
     0.6},
};

static void rims(void **state)
{
    const input_row *row = *state;
    job_bench bench;
    bench_start(&bench, "tests/data/job/two.job");
    assert_int_equal(bench.status, MW_OK);
    bench_say_all(&bench, row->say);
    assert_near(bench_value(&bench, "a.rim"), row->a_m, 1e-12);
    assert_near(bench_value(&bench, "b.rim"), row->b_m, 1e-12);
    while (mw_job_undo(bench.job, &bench.reply, &bench.diags) == MW_OK) {
    }
    assert_near(bench_value(&bench, "a.rim"), 0.1, 1e-12);
    while (mw_job_redo(bench.job, &bench.reply, &bench.diags) == MW_OK) {
    }
    assert_near(bench_value(&bench, "a.rim"), row->a_m, 1e-12);
    assert_near(bench_value(&bench, "b.rim"), row->b_m, 1e-12);
    bench_end(&bench);
}

int main(void)
{
    return run_rows("job: lines that are inputs", rows, rims);
}
