/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The functions that a job adds to the language: every row is whole, and every example gives what it
 * says. */
#include "job_bench.h"

#include "mouldwright/report.h"

static void check_row(void **state)
{
    const mw_function *function = *state;
    assert_true(mw_is_name(mw_str_of(function->name)));
    size_t count = 0;
    for (; count < MW_ARGUMENTS_MAX && function->takes[count] != NULL; count++) {
        assert_non_null(function->names[count]);
    }
    assert_true(count > 0);
    assert_null(function->names[count]);
    assert_non_null(function->gives);
    assert_non_null(function->about);
    assert_non_null(function->call);
    assert_int_equal(function->example == NULL, function->result == NULL);
}

static void check_example(void **state)
{
    const mw_function *function = *state;
    if (!function->example) {
        return;
    }
    assert_non_null(strstr(function->example, function->name));
    job_bench bench;
    mw_text text = {0};
    const mw_style style = {.width = 80};
    bench_start(&bench, NULL);
    if (bench_say(&bench, function->example) != MW_OK) {
        fail_msg("`%s` was refused: %s", function->example, bench.diags.items[0].message);
    }
    assert_int_equal(mw_report_reply(bench.job, &bench.reply, &style, &text), MW_OK);
    mw_text_adds(&text, "");
    char wanted[200];
    snprintf(wanted, sizeof wanted, "%s\n", function->result);
    assert_string_equal(mw_text_chars(&text), wanted);
    mw_text_free(&text);
    bench_end(&bench);
}

/* Formulas run in the inner loop of every recalculation: no method of the trade may allocate there. */
static void check_allocates_nothing(void **state)
{
    const mw_function *function = *state;
    const double arguments[64] = {0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5};
    if (!function->example) {
        return; /* those of the calendar need a shop */
    }
    uint32_t count = 0;
    while (count < MW_ARGUMENTS_MAX && function->takes[count] != NULL) {
        count++;
    }
    support_fail_allocation(0, true);
    (void)function->call(NULL, arguments, count);
    assert_false(support_fail_never());
}

int main(void)
{
    test_list tests = {0};
    const mw_host host = mw_job_functions();
    test_add_table(&tests, "row", host.functions, host.count, sizeof *host.functions, check_row);
    test_add_table(&tests, "example", host.functions, host.count, sizeof *host.functions,
                   check_example);
    test_add_table(&tests, "allocates nothing", host.functions, host.count, sizeof *host.functions,
                   check_allocates_nothing);
    return test_run(&tests, "report_functions");
}
