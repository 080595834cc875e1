/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What would help, against figures worked out by hand. */
#include "job_bench.h"

#include "mouldwright/job_levers.h"

static const mw_cure_lever *cure_of(const mw_levers *of, mw_lever_kind kind)
{
    for (uint32_t i = 0; i < of->cure_count; i++) {
        if (of->cures[i].kind == kind) {
            return &of->cures[i];
        }
    }
    return NULL;
}

/* 08:00-12:00 and 12:30-16:30, people give 80 % of the day: coat and cover take 4 h each by one of two layers, with lunch
 * between them 8.5 h from the start of one to the end of the other; the window has 6 h.
 * Faster by x: 8 h * (1 - x) + 0.5 h <= 6 h from 31.25 % on, in steps of 5 %: 35 %. With one more hand on both: 2 h
 * each, within a morning. In two parts likewise. A hardener slower by x: 6 h * (1 + x) >= 8.5 h from 41.67 %
 * on: 45 %. A longer day does not help: both still take 8 h. The window runs with the cure, which
 * this shop says doubles each 10 K: k colder, 6 h * 2^(k / 10) >= 8.5 h from 5.02 K on, in steps of half a kelvin:
 * 5.5 K. */
static const struct cure_row {
    const char *name;
    mw_lever_kind kind;
    bool helps;
    double amount, below;
} cures[] = {
    {"faster crew", MW_LEVER_FASTER, true, 0.35, 0.30},
    {"one more", MW_LEVER_PEOPLE, true, 1.0, 0.0},
    {"slower hardener", MW_LEVER_HARDENER, true, 0.45, 0.40},
    {"split area", MW_LEVER_SPLIT, true, 2.0, 1.0},
    {"colder room", MW_LEVER_COLDER, true, 5.5, 5.0},
    {"warmer room", MW_LEVER_WARMER, false, 15.0, 0.0},
    {"longer shift", MW_LEVER_SHIFT, false, 6 * 3600.0, 0.0},
};

static void test_cure(void **state)
{
    const struct cure_row *row = *state;
    job_bench bench;
    mw_levers of;
    bench_start(&bench, NULL);
    bench_say_all(&bench, "shop \"yard\"\nstart 2027-01-11\n"
                          "mould a: area 4 m2, recipe \"windowed\"");
    assert_int_equal(mw_job_levers(bench.job, &of, &bench.diags), MW_OK);
    const mw_cure_lever *found = cure_of(&of, row->kind);
    assert_non_null(found);
    assert_int_equal(found->helps, row->helps);
    assert_close(found->amount, row->amount, 1e-9);
    assert_close(found->below, row->below, 1e-9);
    bench_end(&bench);
}

/* What the lever says is what comes out when the job is changed so, and is missed with the next smaller amount. */
static void test_set_by_hand(void **state)
{
    (void)state;
    job_bench bench;
    uint32_t count = 0;
    bench_start(&bench, NULL);
    bench_say_all(&bench, "shop \"yard\"\nstart 2027-01-11\n"
                          "mould a: area 4 m2, recipe \"windowed\"");
    mw_job_misses(bench.job, &count);
    assert_int_equal(count, 1);
    bench_say_all(&bench, "a.coat.hours = usual * 0.70\na.cover.hours = usual * 0.70");
    mw_job_misses(bench.job, &count);
    assert_int_equal(count, 1);
    bench_say_all(&bench, "a.coat.hours = usual * 0.65\na.cover.hours = usual * 0.65");
    mw_job_misses(bench.job, &count);
    assert_int_equal(count, 0);
    bench_end(&bench);
}

/* Two blocks take the mill for 8 h each: Monday and Tuesday, no plan is shorter. With a second mill both are done on
 * Monday, a day earlier; a second miller has nothing to do with it; with a second shift of 8 h (to midnight: 7.5 h) the
 * second one begins on Monday and ends Tuesday 08:30 instead of 16:30: 8 h earlier. */
static void test_gains(void **state)
{
    (void)state;
    job_bench bench;
    mw_levers of;
    bench_start(&bench, NULL);
    bench_say_all(&bench, "shop \"yard\"\nstart 2027-01-11\n"
                          "mould a: area 4 m2, recipe \"milled\"\n"
                          "mould b: area 4 m2, recipe \"milled\"");
    const double ready_s = bench_value(&bench, "job.ready");
    assert_int_equal(mw_job_levers(bench.job, &of, &bench.diags), MW_OK);
    assert_int_equal(of.cure_count, 0);
    assert_close(of.last_s, ready_s, 0.01);
    assert_true(of.gain_count >= 3);
    assert_int_equal(of.gains[0].kind, MW_LEVER_MACHINE);
    assert_close(of.gains[0].gain_s, 24 * 3600.0, 0.01);
    assert_true(of.gains[0].proven);
    assert_int_equal(of.gains[1].kind, MW_LEVER_EVENING);
    assert_close(of.gains[1].gain_s, 8 * 3600.0, 0.01);
    assert_close(of.gains[2].gain_s, 0.0, 0.01);
    assert_false(of.gains[2].proven);
    assert_close(bench_value(&bench, "job.ready"), ready_s, 0.0); /* the job stays as it is */
    bench_end(&bench);
}

/* The answer after it is the same as without it. */
static void test_leaves_the_job(void **state)
{
    (void)state;
    double ready_s[2];
    for (int asked = 0; asked < 2; asked++) {
        job_bench bench;
        mw_levers of;
        bench_open_shipped(&bench, "samples/creek.job");
        if (asked) {
            assert_int_equal(mw_job_levers(bench.job, &of, &bench.diags), MW_OK);
        }
        assert_int_equal(bench_say(&bench, "skiff.heavy.plies = 6"), MW_OK);
        ready_s[asked] = bench_value(&bench, "job.ready");
        bench_end(&bench);
    }
    assert_close(ready_s[0], ready_s[1], 0.0);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "keeps the window", cures, test_cure);
    test_add(&list, test_set_by_hand);
    test_add(&list, test_gains);
    test_add(&list, test_leaves_the_job);
    return test_run(&list, "job: levers");
}
