/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the shipped recipes call while a job is worked out takes no memory: each method of the trade is watched in turn
 * while whole moulds are recalculated, so with the very values that the recipes hand it. */
#include "job_bench.h"

#include <stdlib.h>

#include "job/model.h"
#include "sheet/parts.h"

/* The function that is watched, and what was seen. */
typedef struct watched {
    double (*call)(void *host, const double *arguments, uint32_t count);
    uint32_t calls, allocations;
} watched;

static watched now;

static double watch(void *host, const double *arguments, uint32_t count)
{
    now.calls++;
    support_fail_allocation(0, true);
    const double result = now.call(host, arguments, count);
    now.allocations += support_fail_never();
    return result;
}

/* Recalculates with one function of the table watched. */
static void watch_one(job_bench *bench, mw_function *table, uint32_t at)
{
    const mw_function original = table[at];
    now = (watched){.call = original.call};
    table[at].call = watch;
    bench->job->build->sheet->host.functions = table;
    mw_sheet_recompute(bench->job->build->sheet, NULL);
    table[at] = original;
    if (now.allocations > 0) {
        fail_msg("%s: %u calls, %u allocations", original.name, (unsigned)now.calls,
                 (unsigned)now.allocations);
    }
}

static void recipes_take_no_memory(void **state)
{
    (void)state;
    const mw_host host = mw_job_functions();
    mw_function *table = malloc(host.count * sizeof *table);
    assert_non_null(table);
    memcpy(table, host.functions, host.count * sizeof *table);
    job_bench bench;
    bench_open_shipped(&bench, "samples/floats.job");
    bench_say_all(&bench, "mould in_the_oven: area 1 m2, recipe \"usual mould\", postcured 1\n"
                          "mould of_glass: area 1 m2, recipe \"glass tool\"\n"
                          "mould trimmed: area 1 m2, recipe \"trim fixture\"\n"
                          "in_the_oven.process = \"bagged\"\n"
                          "of_glass.labour_model = \"published\"");
    uint32_t used = 0;
    uint32_t calls = 0;
    for (uint32_t i = 0; i < host.count; i++) {
        watch_one(&bench, table, i);
        used += now.calls > 0;
        calls += now.calls;
    }
    print_message("%u functions, %u calls\n", (unsigned)used, (unsigned)calls);
    assert_true(used >= 50 && calls >= 1500);
    bench_end(&bench);
    free(table);
}

#ifndef MW_ARENA_DEBUG /* in which every piece is an allocation of its own */
/* A whole recalculation, plan and all, takes none once it has its room. */
static void recalculation_takes_no_memory(void **state)
{
    (void)state;
    job_bench bench;
    bench_open_shipped(&bench, "samples/dunlin.job");
    mw_sheet_recompute(bench.job->build->sheet, NULL);
    support_fail_allocation(0, true);
    mw_sheet_recompute(bench.job->build->sheet, NULL);
    assert_false(support_fail_never());
    bench_end(&bench);
}
#endif

/* Whether the watching would see it: a function that does take memory. */
static double takes_memory(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    (void)count;
    char *room = malloc((size_t)arguments[0]);
    const double size = room ? arguments[0] : 0;
    free(room);
    return size;
}

static void watching_sees_memory(void **state)
{
    (void)state;
    const double arguments[] = {64};
    now = (watched){.call = takes_memory};
    (void)watch(NULL, arguments, 1);
    assert_int_equal(now.calls, 1);
    assert_int_equal(now.allocations, 1);
}

int main(void)
{
    test_list tests = {0};
    test_add(&tests, watching_sees_memory);
    test_add(&tests, recipes_take_no_memory);
#ifndef MW_ARENA_DEBUG
    test_add(&tests, recalculation_takes_no_memory);
#endif
    return test_run(&tests, "job: memory taken while recipes run");
}
