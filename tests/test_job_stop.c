/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Long work hears that it shall stop, says so, and leaves everything as it was. */
#include "job_bench.h"

#include "mouldwright/progress.h"

#define TWO "tests/data/job/two.job"

typedef struct patience {
    int left; /* so often it goes on */
    int asked;
} patience;

static bool tell(void *context, double share)
{
    patience *of = context;
    assert_true(share <= 1.0);
    of->asked++;
    return of->left-- > 0;
}

typedef struct stop_row {
    const char *name;
    const char *say;
} stop_row;

static const stop_row rows[] = {
    {"what if", "what if a.heavy.plies = 1, 2, 3, 5, 6, 7, 8"},
    {"what if of a material", "what if moulds.resin_material = \"fast resin\", \"slow resin\""},
};

/* However soon it is told to stop: nothing has changed, and once it is not, the answer comes. */
static void stops(void **state)
{
    const stop_row *row = *state;
    job_bench bench;
    bench_start(&bench, TWO);
    double cost = bench_value(&bench, "job.cost");
    bool done = false;
    for (int n = 0; n < 200 && !done; n++) {
        patience with = {.left = n};
        mw_progress progress = {tell, &with};
        mw_job_watch(bench.job, &progress);
        mw_status status = bench_say(&bench, row->say);
        mw_job_watch(bench.job, NULL);
        done = status == MW_OK;
        if (!done) {
            assert_int_equal(status, MW_FAILED);
            assert_int_equal(bench.diags.items[0].code, MW_CODE_STOPPED);
        } else {
            assert_true(n > 0 && with.asked <= n); /* it does ask, and nobody said stop */
            assert_int_equal(bench.reply.kind, MW_REPLY_WHAT_IF);
        }
        double after = bench_value(&bench, "job.cost");
        assert_memory_equal(&after, &cost, sizeof cost);
    }
    assert_true(done);
    bench_end(&bench);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "stop", rows, stops);
    return test_run(&list, "job: stop");
}
