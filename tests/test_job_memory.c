/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every allocation of a job fails once: nothing crashes or leaks, and the job stays as it was. */
#include "job_state.h"

#define TWO "tests/data/job/two.job"

/* ---- opening ---- */

typedef struct opening {
    const char *path;
} opening;

static support_outcome open_once(void *context)
{
    static const char *const folders[] = {"", "tests/data/job"};
    const opening *what = context;
    mw_job_options options = {.today_s = 1798934400.0, .folders = folders, .folder_count = 2};
    mw_diags diags;
    mw_status status = mw_diags_start(&diags);
    mw_job *job = status == MW_OK ? mw_job_new(&options) : NULL;
    if (job) {
        status = mw_job_open(job, what->path, &diags);
        bool lost = status == MW_NO_MEMORY || diags.no_memory;
        support_fail_never();
        if (lost) {
            assert_int_not_equal(status, MW_OK);
            assert_int_equal(mw_job_mould_count(job), 0);
            assert_int_equal(mw_job_line_count(job), 0);
        }
        status = lost ? MW_NO_MEMORY : status;
    } else {
        status = MW_NO_MEMORY;
    }
    support_fail_never();
    mw_job_free(job);
    mw_diags_free(&diags);
    return status == MW_NO_MEMORY ? SUPPORT_NO_MEMORY : SUPPORT_DONE;
}

static void opening_without_memory(void **state)
{
    (void)state;
    opening what = {TWO};
    size_t count = support_fail_each_tolerant(open_once, &what);
    print_message("%zu allocations\n", count);
    assert_true(count > 100);
}

/* Faults are found in one run by building on past them. */
static void opening_what_is_faulty_without_memory(void **state)
{
    (void)state;
    opening what = {"tests/data/job/faulty.job"};
    size_t count = support_fail_each_tolerant(open_once, &what);
    print_message("%zu allocations\n", count);
    assert_true(count > 100);
}

/* ---- statements ---- */

typedef struct memory_row {
    const char *name;
    const char *first; /* said before, one a line; or NULL */
    const char *say;   /* "undo" and "redo" are steps of the session */
    bool refused;      /* it is refused even when there is memory */
} memory_row;

static const memory_row rows[] = {
    {"a formula", NULL, "job.cost + 2 * spare", false},
    {"a list", NULL, "[1, 2, 3, 4, 5, 6, 7, 8, 9, 10] * a.cost", false},
    {"a line", NULL, "half = spare / 2", false},
    {"a line changed", NULL, "budget = 2500 EUR", false},
    {"a line dropped", NULL, "drop maybe", false},
    {"a line refused", NULL, "half = spear / 2", true},
    {"a cycle refused", NULL, "budget = spare + 1 EUR", true},
    {"a line that becomes an input's", NULL, "rim = 50 mm", false},
    {"override of a step", NULL, "a.heavy.plies = 6", false},
    {"override on usual", NULL, "a.heavy.plies = usual + 1", false},
    {"override of all moulds", NULL, "moulds.heavy.plies = usual + 1", false},
    {"override over another", "moulds.heavy.plies = usual + 1\na.heavy.plies = usual * 2",
     "moulds.heavy.plies = usual + 2", false},
    {"override replaced", "a.heavy.plies = 5", "a.heavy.plies = usual + 1", false},
    {"override in error", "a.heavy.plies = usual + 1", "a.heavy.plies = usual + 1 kg", true},
    {"override that reaches nothing", NULL, "a.heavy.pleis = 3", true},
    {"override of the shop", NULL, "shop.margin = usual + 5 %", false},
    {"override of the shop replaced", "shop.margin = usual + 5 %", "shop.margin = 5 %", false},
    {"override of the shop in error", "shop.margin = usual + 5 %", "shop.margin = 1 kg", true},
    {"another material", NULL, "a.heavy.resin_material = \"fast resin\"", false},
    {"no such material", NULL, "a.heavy.resin_material = \"fats resin\"", true},
    {"restore", "a.heavy.plies = usual + 1", "restore a.heavy.plies", false},
    {"restore under another", "moulds.heavy.plies = 5\na.heavy.plies = usual + 1",
     "restore moulds.heavy.plies", false},
    {"restore of nothing", NULL, "restore a.heavy.plies", true},
    {"a new mould", NULL, "mould c: area 2 m2, recipe \"simple\", after a", false},
    {"a mould dropped", NULL, "drop b", false},
    {"a mould refused", NULL, "mould c: aera 2 m2, recipe \"simple\"", true},
    {"a mould copied", "a.heavy.hours = usual * 2", "copy mould a as c: area 3 m2", false},
    {"a copied mould refused", NULL, "copy mould a as c: area 3 kg", true},
    {"start", NULL, "start 2027-02-01", false},
    {"what if", NULL, "what if a.heavy.plies = 4, 5, 6 by shop.margin = 10 %, 20 %", false},
    {"what if with another material", NULL, "what if a.heavy.resin_material = \"fast resin\"",
     false},
    {"what if on usual", NULL, "what if moulds.heavy.plies = usual + 1", false},
    {"what if in steps", NULL, "what if a.heavy.plies = 2 .. 4 step 1 show job.cost", false},
    {"weighing", NULL, "weigh job.cost against job.ready over a.heavy.plies = 2, 3", false},
    {"an alternative", NULL, "alternative thin: a.heavy.plies = 2 with shop.margin = 5 %", false},
    {"what if refused", NULL, "what if a.heavy.plies = 4 kg", true},
    {"why", NULL, "why job.cost", false},
    {"why a formula", NULL, "why a.cost / b.cost", false},
    {"why a list", NULL, "why moulds.cost", false},
    {"why refused", NULL, "why a.heavy.pleis", true},
    {"undo", "a.heavy.plies = usual + 1", "undo", false},
    {"undo of a mould", "mould c: area 2 m2, recipe \"simple\"", "undo", false},
    {"a list of moulds", NULL, "moulds from \"good.csv\"", false},
    {"an included file", NULL, "include \"more.inc\"", false},
};

typedef struct saying {
    job_bench bench;
    const memory_row *row;
    mw_span span;
    job_state before;
} saying;

static mw_status say_it(saying *on)
{
    if (strcmp(on->row->say, "undo") == 0) {
        return mw_job_undo(on->bench.job, &on->bench.reply, &on->bench.diags);
    }
    return mw_job_say(on->bench.job, on->span, &on->bench.reply, &on->bench.diags);
}

/* Takes back what was done, so that the next attempt finds the same. */
static void take_back(saying *on)
{
    job_bench *bench = &on->bench;
    job_state now = state_of(bench->job);
    if (strcmp(on->row->say, "undo") == 0) {
        assert_int_equal(now.undo_at + 1, on->before.undo_at);
        assert_int_equal(mw_job_redo(bench->job, &bench->reply, &bench->diags), MW_OK);
    } else if (bench->reply.kind == MW_REPLY_CHANGE) {
        assert_int_equal(now.undo_at, on->before.undo_at + 1);
        assert_int_equal(mw_job_undo(bench->job, &bench->reply, &bench->diags), MW_OK);
    }
    bench->job->undo_count = on->before.undo_count; /* what could be redone */
}

static support_outcome say_once(void *context)
{
    saying *on = context;
    bench_clear(&on->bench);
    mw_status status = say_it(on);
    bool lost = status == MW_NO_MEMORY || on->bench.diags.no_memory;
    support_fail_never();
    if (!lost) {
        assert_int_equal(status, on->row->refused ? MW_FAILED : MW_OK);
    }
    if (status == MW_OK) {
        take_back(on);
    }
    assert_state(on->bench.job, &on->before);
    return lost ? SUPPORT_NO_MEMORY : SUPPORT_DONE;
}

/* The job that went through all that has the same bits when it is built anew. */
static void check_anew(job_bench *bench, const job_state *before)
{
    bench_say_all(bench, "mould extra: area 2 m2, recipe \"simple\"\ndrop extra");
    job_state now = state_of(bench->job);
    assert_memory_equal(&now.shown, &before->shown, sizeof now.shown);
    assert_true(now.plies == before->plies && now.spare == before->spare);
}

static void say_without_memory(void **state)
{
    saying on = {.row = *state};
    bench_start(&on.bench, TWO);
    assert_int_equal(on.bench.status, MW_OK);
    bench_say_all(&on.bench, on.row->first);
    uint32_t source = mw_sources_add(mw_job_sources(on.bench.job), mw_str_of("tests/data/job/say"),
                                     mw_str_of(on.row->say));
    assert_int_not_equal(source, MW_NONE);
    on.span = (mw_span){source, 0, (uint32_t)strlen(on.row->say)};
    on.before = state_of(on.bench.job);
    size_t count = support_fail_each_tolerant(say_once, &on);
    print_message("%zu allocations\n", count);
    check_anew(&on.bench, &on.before);
    bench_end(&on.bench);
}

int main(void)
{
    test_list list = {0};
    test_add(&list, opening_without_memory);
    test_add(&list, opening_what_is_faulty_without_memory);
    test_add_rows(&list, "no memory", rows, say_without_memory);
    return test_run(&list, "job: failing memory");
}
