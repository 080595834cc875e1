/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Beginnings: a ballpark says what the same mould says as a line of a job, and leaves the job as it was; a copied mould
 * equals the one it was copied from; a new file opens to what its inputs say. Expected values come from the other way
 * round: the job written out line by line. */
#include "job_state.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <unistd.h>

#include "mouldwright/draft.h"
#include "mouldwright/file.h"
#include "mouldwright/memory.h"
#include "mouldwright/report.h"

#define TWO "tests/data/ballpark/present.job"

static mw_span add_statement(job_bench *bench, const char *text)
{
    uint32_t source =
        mw_sources_add(mw_job_sources(bench->job), mw_str_of("<test>"), mw_str_of(text));
    assert_int_not_equal(source, MW_NONE);
    return (mw_span){source, 0, (uint32_t)strlen(text)};
}

/* ---- the ballpark ---- */

typedef struct ballpark_row {
    const char *name;
    const char *before; /* said to the job first; none of it may count */
    const char *ballpark;
    const char *lines; /* the same as a job of its own */
} ballpark_row;

static const ballpark_row ballparks[] = {
    {"shop and start of the job", NULL, "ballpark area 3 m2, recipe \"simple\"",
     "shop \"yard\"\nstart 2027-01-04\nmould x: area 3 m2, recipe \"simple\""},
    {"edge and rim", NULL, "ballpark: area 2.385 m2, edge 7.31 m, rim 85 mm, recipe \"simple\"",
     "shop \"yard\"\nstart 2027-01-04\nmould x: area 2.385 m2, edge 7.31 m, rim 85 mm, recipe "
     "\"simple\""},
    {"its own start", NULL, "ballpark area 3 m2, recipe \"simple\", start 2027-03-01",
     "shop \"yard\"\nstart 2027-03-01\nmould x: area 3 m2, recipe \"simple\""},
    {"no override of the job counts", "moulds.heavy.plies = 9\nshop.margin = 50 %\nrim = 30 mm",
     "ballpark area 3 m2, recipe \"simple more\"",
     "shop \"yard\"\nstart 2027-01-04\nmould x: area 3 m2, recipe \"simple more\""},
};

typedef struct figures {
    job_bench *bench;
    mw_headline shown;
    double area_m2, waiting_s;
    uint32_t moulds;
} figures;

static mw_status take_figures(void *context)
{
    figures *to = context;
    const mw_job *job = to->bench->job;
    to->shown = mw_job_headline(job);
    to->area_m2 = mw_job_value(job, 0, MW_NONE, "area");
    to->waiting_s = mw_job_value(job, 0, MW_NONE, "waiting");
    to->moulds = mw_job_mould_count(job);
    return MW_OK;
}

static void ballpark_equals_job(void **state)
{
    const ballpark_row *row = *state;
    job_bench bench;
    bench_start(&bench, TWO);
    bench_say_all(&bench, row->before);
    job_state before = state_of(bench.job);
    figures rough = {.bench = &bench};
    mw_span span = add_statement(&bench, row->ballpark);
    assert_int_equal(mw_job_ballpark(bench.job, span, take_figures, &rough, &bench.diags), MW_OK);
    assert_state(bench.job, &before);
    job_bench other;
    bench_start(&other, NULL);
    bench_say_all(&other, row->lines);
    figures whole = {.bench = &other};
    assert_int_equal(take_figures(&whole), MW_OK);
    assert_int_equal(rough.moulds, 1);
    assert_near(rough.shown.cost, whole.shown.cost, 0.0);
    assert_near(rough.shown.price, whole.shown.price, 0.0);
    assert_near(rough.shown.hours_s, whole.shown.hours_s, 0.0);
    assert_near(rough.shown.ready_s, whole.shown.ready_s, 0.0);
    assert_near(rough.area_m2, whole.area_m2, 0.0);
    assert_near(rough.waiting_s, whole.waiting_s, 0.0);
    bench_end(&other);
    bench_end(&bench);
}

/* ---- without memory ---- */

typedef struct asking {
    job_bench bench;
    mw_span span;
    job_state before;
} asking;

static support_outcome ask_once(void *context)
{
    asking *on = context;
    mw_style style = {.width = 80};
    mw_text out = {0};
    bench_clear(&on->bench);
    mw_status status = mw_report_ballpark(on->bench.job, on->span, &style, &out, &on->bench.diags);
    bool lost = status == MW_NO_MEMORY || on->bench.diags.no_memory || out.failed;
    support_fail_never();
    if (!lost) {
        assert_int_equal(status, MW_OK);
        assert_non_null(strstr(mw_text_chars(&out), "ballpark"));
    }
    mw_text_free(&out);
    assert_state(on->bench.job, &on->before);
    return lost ? SUPPORT_NO_MEMORY : SUPPORT_DONE;
}

static void ballpark_without_memory(void **state)
{
    (void)state;
    asking on = {0};
    bench_start(&on.bench, TWO);
    on.span = add_statement(&on.bench, "ballpark area 3 m2, recipe \"simple\"");
    on.before = state_of(on.bench.job);
    size_t count = support_fail_each_tolerant(ask_once, &on);
    print_message("%zu allocations\n", count);
    assert_true(count > 50);
    bench_end(&on.bench);
}

/* ---- copies ---- */

static const char *const copied_overrides[] = {
    "a.heavy.plies = 5",
    "a.heavy.plies = usual + b.heavy.plies",
    "a.heavy.hours = usual * (a.heavy.plies / 2)",
    "a.rim = a.edge / 50",
    "moulds.heavy.plies = 7",
};

static void copy_equals_original(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof copied_overrides / sizeof *copied_overrides; i++) {
        job_bench bench;
        bench_start(&bench, TWO);
        bench_say_all(&bench, copied_overrides[i]);
        bench_say_all(&bench, "copy mould a as c");
        assert_near(bench_value(&bench, "c.hours"), bench_value(&bench, "a.hours"), 0.0);
        assert_near(bench_value(&bench, "c.cost"), bench_value(&bench, "a.cost"), 0.0);
        assert_near(bench_value(&bench, "c.heavy.resin"), bench_value(&bench, "a.heavy.resin"),
                    0.0);
        /* what was set for the copy alone leaves the original alone */
        double hours_s = bench_value(&bench, "a.hours");
        bench_say_all(&bench, "c.block.hours = 77 h\ncopy mould c as d: area 1 m2");
        assert_near(bench_value(&bench, "a.hours"), hours_s, 0.0);
        assert_near(bench_value(&bench, "d.area"), 1.0, 0.0);
        assert_near(bench_value(&bench, "d.block.hours"), 77.0 * 3600.0, 0.0);
        bench_end(&bench);
    }
}

/* ---- new files ---- */

static void new_file_opens(void **state)
{
    (void)state;
    char file[256];
    char statement[400];
    snprintf(file, sizeof file, "%s/tender.job", support_folder());
    snprintf(statement, sizeof statement,
             "new \"%s\": area 2.385 m2, recipe \"simple\", start 2027-03-01", file);
    job_bench bench;
    bench_start(&bench, TWO);
    job_state before = state_of(bench.job);
    mw_text path = {0};
    mw_span span = add_statement(&bench, statement);
    assert_int_equal(mw_job_write_new(bench.job, span, &path, &bench.diags), MW_OK);
    assert_string_equal(mw_text_chars(&path), file);
    assert_state(bench.job, &before);
    /* never over a file that is there */
    mw_text_clear(&path);
    assert_int_equal(mw_job_write_new(bench.job, span, &path, &bench.diags), MW_FAILED);
    assert_int_equal(bench.diags.items[0].code, MW_CODE_CANNOT_WRITE);
    bench_end(&bench);
    bench_start(&bench, file);
    assert_int_equal(bench.status, MW_OK);
    assert_near(bench_value(&bench, "tender.area"), 2.385, 0.0);
    assert_near(bench_value(&bench, "job.start"), 1803859200.0,
                0.0); /* date -u -d 2027-03-01 +%s */
    bench_end(&bench);
    mw_text_free(&path);
    assert_int_equal(unlink(file), 0);
}

/* A full disk or a broken one: nothing stands there, and it is said. */
static void new_file_on_a_full_disk(void **state)
{
    (void)state;
    static const support_call calls[] = {SUPPORT_WRITE, SUPPORT_FSYNC, SUPPORT_RENAME};
    char file[256];
    char statement[400];
    snprintf(file, sizeof file, "%s/full.job", support_folder());
    snprintf(statement, sizeof statement, "new \"%s\": area 2 m2, recipe \"simple\"", file);
    for (size_t i = 0; i < sizeof calls / sizeof *calls; i++) {
        job_bench bench;
        bench_start(&bench, TWO);
        mw_span span = add_statement(&bench, statement);
        mw_text path = {0};
        figures any = {.bench = &bench}; /* reads the recipe, so that only writing is left */
        mw_span first = add_statement(&bench, "ballpark area 2 m2, recipe \"simple\"");
        assert_int_equal(mw_job_ballpark(bench.job, first, take_figures, &any, &bench.diags),
                         MW_OK);
        support_fail_call(calls[i], 0, ENOSPC);
        mw_status status = mw_job_write_new(bench.job, span, &path, &bench.diags);
        support_fail_never();
        assert_int_equal(status, MW_FAILED);
        assert_int_equal(bench.diags.items[0].code, MW_CODE_CANNOT_WRITE);
        assert_false(mw_file_exists(file));
        mw_text_free(&path);
        bench_end(&bench);
    }
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "ballpark", ballparks, ballpark_equals_job);
    test_add(&list, ballpark_without_memory);
    test_add(&list, copy_equals_original);
    test_add(&list, new_file_opens);
    test_add(&list, new_file_on_a_full_disk);
    return test_run(&list, "report: beginnings");
}
