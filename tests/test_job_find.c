/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Solving backwards: roots known by hand, whole numbers, jumps, the nearest, across the plan, stopping, memory. */
#include "mouldwright/job_find.h"

#include <math.h>

#include "job_bench.h"

#define TWO "tests/data/job/two.job"

/* Asks `find WORDS`. */
static mw_status ask(job_bench *bench, const char *words, mw_find_reply *reply)
{
    mw_sources *sources = mw_job_sources(bench->job);
    uint32_t source = mw_sources_add(sources, mw_str_of("<test>"), mw_str_of(words));
    assert_int_not_equal(source, MW_NONE);
    bench_clear(bench);
    return mw_job_find(bench->job, (mw_span){source, 0, (uint32_t)strlen(words)}, reply,
                       &bench->diags);
}

/* --- y = (x - 1) (x - 2.5) (x - 7) and others, worked out by hand --- */

typedef struct root_row {
    const char *name;
    const char *lines;
    const char *words;
    uint32_t count;
    double ends[6]; /* from, until of each stretch */
    double within;
} root_row;

#define CUBIC "x = 3\ny = (x - 1) * (x - 2.5) * (x - 7)"
static const root_row root_rows[] = {
    {"all roots", CUBIC, "x = 0 .. 10 so that y = 0", 3, {1, 1, 2.5, 2.5, 7, 7}, 1e-7},
    {"where it is positive", CUBIC, "x = 0 .. 10 so that y >= 0", 2, {1, 2.5, 7, 10}, 1e-7},
    {"where it is negative", CUBIC, "x = 0 .. 10 so that y < 0", 2, {0, 1, 2.5, 7}, 1e-7},
    {"everywhere", CUBIC, "x = 8 .. 9 so that y > 0", 1, {8, 9}, 0},
    {"nowhere", CUBIC, "x = 0 .. 10 so that y = 1000", 0, {0}, 0},
    {"a root at an end", CUBIC, "x = 7 .. 8 so that y = 0", 1, {7, 7}, 0},
    {"both sides move", "x = 1", "x = 0 .. 4 so that x * x = x + 2", 1, {2, 2}, 1e-7},
    {"with a unit",
     "l = 1 m",
     "l = 0 .. 10 m so that l * l = 2 m2",
     1,
     {1.41421356237, 1.41421356237},
     1e-7},
    {"in steps", "x = 1", "x = 0 .. 10 step 0.5 so that x * x <= 5", 1, {0, 2}, 0},
    {"a jump",
     "x = 1\ny = if x < 3.3 then 0 else 1",
     "x = 0 .. 10 so that y = 0.5",
     1,
     {3.3, 3.3},
     1e-6},
    {"a gap without a value",
     "x = 1\ny = sqrt(x - 4)",
     "x = 0 .. 10 so that y >= 1",
     1,
     {5, 10},
     1e-7},
};

static void roots(void **state)
{
    const root_row *row = *state;
    job_bench bench;
    mw_find_reply reply;
    bench_start(&bench, NULL);
    bench_say_all(&bench, row->lines);
    assert_int_equal(ask(&bench, row->words, &reply), MW_OK);
    assert_int_equal(reply.stretch_count, row->count);
    for (uint32_t i = 0; i < row->count; i++) {
        assert_close(reply.stretches[i].from.value, row->ends[2 * i], row->within);
        assert_close(reply.stretches[i].until.value, row->ends[2 * i + 1], row->within);
    }
    bench_end(&bench);
}

static void the_nearest(void **state)
{
    (void)state;
    job_bench bench;
    mw_find_reply reply;
    bench_start(&bench, NULL);
    bench_say_all(&bench, CUBIC);
    assert_int_equal(ask(&bench, "x = 0 .. 10 so that y = 1000", &reply), MW_OK);
    assert_close(reply.nearest.value, 10.0, 0.0);
    assert_close(reply.nearest.left, 202.5, 1e-9); /* 9 * 7.5 * 3 */
    bench_end(&bench);
}

/* What is found holds when it is typed in, and the next whole number does not; nothing has changed before. */
static void whole_plies(void **state)
{
    (void)state;
    job_bench bench;
    mw_find_reply reply;
    bench_start(&bench, TWO);
    const double cost = bench_value(&bench, "job.cost");
    assert_int_equal(ask(&bench, "a.heavy.plies = 1 .. 12 so that job.cost <= 1800 EUR", &reply),
                     MW_OK);
    assert_true(reply.whole);
    assert_int_equal(reply.stretch_count, 1);
    /* the answer lasts until the next statement */
    const double most = reply.stretches[0].until.value;
    const double found_cost = reply.stretches[0].until.left;
    assert_close(most, floor(most), 0.0);
    assert_close(bench_value(&bench, "job.cost"), cost, 0.0);
    char words[64];
    snprintf(words, sizeof words, "a.heavy.plies = %.0f", most);
    assert_int_equal(bench_say(&bench, words), MW_OK);
    assert_close(bench_value(&bench, "job.cost"), found_cost, 0.0);
    assert_true(bench_value(&bench, "job.cost") <= 1800.0);
    snprintf(words, sizeof words, "a.heavy.plies = %.0f", most + 1.0);
    assert_int_equal(bench_say(&bench, words), MW_OK);
    assert_true(bench_value(&bench, "job.cost") > 1800.0);
    bench_end(&bench);
}

/* Across the plan: the latest start of what is found keeps the date, an hour more does not. */
static void across_the_plan(void **state)
{
    (void)state;
    job_bench bench;
    mw_find_reply reply;
    bench_start(&bench, TWO);
    assert_int_equal(
        ask(&bench, "b.polish.hours = 0.1 .. 40 h so that job.ready <= 2027-01-07", &reply), MW_OK);
    assert_true(reply.stretch_count >= 1);
    const double most_s = reply.stretches[0].until.value;
    const double found_ready_s = reply.stretches[0].until.left;
    char words[64];
    snprintf(words, sizeof words, "b.polish.hours = %.17g h", most_s / 3600.0);
    assert_int_equal(bench_say(&bench, words), MW_OK);
    assert_close(bench_value(&bench, "job.ready"), found_ready_s, 1.0);
    bench_end(&bench);
}

typedef struct refused_row {
    const char *name;
    const char *words;
    mw_code code;
} refused_row;

static const refused_row refused_rows[] = {
    {"no condition", "x = 1 .. 2", MW_CODE_SYNTAX},
    {"no sign", "x = 1 .. 2 so that x", MW_CODE_SYNTAX},
    {"no right side", "x = 1 .. 2 so that x =", MW_CODE_SYNTAX},
    {"no range", "x = 1 so that x = 1", MW_CODE_SYNTAX},
    {"no input", "1 .. 2 so that x = 1", MW_CODE_SYNTAX},
    {"unknown input", "z = 1 .. 2 so that x = 1", MW_CODE_UNKNOWN_NAME},
    {"unknown figure", "x = 1 .. 2 so that z = 1", MW_CODE_UNKNOWN_NAME},
    {"other kind", "x = 1 .. 2 so that x = 1 kg", MW_CODE_WRONG_KIND},
    {"a list", "x = 1 .. 2 so that [x, x] = 1", MW_CODE_IS_A_LIST},
    {"tiny steps", "x = 1 .. 2 step 0.00001 so that x = 1", MW_CODE_OUT_OF_RANGE},
    {"no step", "x = 1 .. 2 step 0 so that x = 1", MW_CODE_OUT_OF_RANGE},
};

static void refused(void **state)
{
    const refused_row *row = *state;
    job_bench bench;
    mw_find_reply reply;
    bench_start(&bench, NULL);
    bench_say_all(&bench, "x = 1");
    assert_int_equal(ask(&bench, row->words, &reply), MW_FAILED);
    assert_int_equal(bench.diags.count, 1);
    assert_int_equal(bench.diags.items[0].code, row->code);
    bench_end(&bench);
}

static bool never(void *context, double share)
{
    (void)context, (void)share;
    return false;
}

static void stops(void **state)
{
    (void)state;
    job_bench bench;
    mw_find_reply reply;
    bench_start(&bench, NULL);
    bench_say_all(&bench, CUBIC);
    mw_progress progress = {never, NULL};
    mw_job_watch(bench.job, &progress);
    assert_int_equal(ask(&bench, "x = 0 .. 10 so that y = 0", &reply), MW_FAILED);
    mw_job_watch(bench.job, NULL);
    assert_int_equal(bench.diags.items[0].code, MW_CODE_STOPPED);
    assert_close(bench_value(&bench, "x"), 3.0, 0.0);
    bench_end(&bench);
}

typedef struct hunger {
    job_bench *bench;
    mw_span span;
} hunger;

static support_outcome find_without_memory(void *context)
{
    hunger *of = context;
    mw_find_reply reply;
    bench_clear(of->bench);
    return mw_job_find(of->bench->job, of->span, &reply, &of->bench->diags) == MW_OK
               ? SUPPORT_DONE
               : SUPPORT_NO_MEMORY;
}

static void without_memory(void **state)
{
    (void)state;
    static const char words[] = "x = 0 .. 10 so that y >= 0";
    job_bench bench;
    bench_start(&bench, NULL);
    bench_say_all(&bench, CUBIC);
    uint32_t source =
        mw_sources_add(mw_job_sources(bench.job), mw_str_of("<test>"), mw_str_of(words));
    hunger of = {&bench, {source, 0, sizeof words - 1}};
    assert_true(support_fail_each_allocation(find_without_memory, &of) > 10);
    assert_close(bench_value(&bench, "y"), -4.0, 0.0);
    bench_end(&bench);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "roots", root_rows, roots);
    test_add(&list, the_nearest);
    test_add(&list, whole_plies);
    test_add(&list, across_the_plan);
    test_add_rows(&list, "refused", refused_rows, refused);
    test_add(&list, stops);
    test_add(&list, without_memory);
    return test_run(&list, "job: find");
}
