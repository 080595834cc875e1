/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The store of values: operands of cells, constants and temporaries, texts, and errors as values.
 */
#include <math.h>
#include <string.h>

#include "mouldwright/values.h"
#include "support.h"

static void check_cells(void **state)
{
    (void)state;
    mw_values *values = mw_values_new();
    assert_non_null(values);
    assert_true(mw_values_reserve(values, 3));
    double *base = mw_values_base(values);
    for (int i = 0; i < 3; i++) {
        assert_int_equal(mw_error_code(base[i]), MW_CODE_NOT_A_VALUE);
        base[i] = 10 + i;
    }
    base[-1] = 7;
    base[-MW_TEMPORARIES] = 8;
    assert_true(mw_values_reserve(values, 100000));
    assert_true(mw_values_reserve(values, 2)); /* fewer: nothing happens */
    base = mw_values_base(values);
    assert_near(base[0], 10, 0);
    assert_near(base[2], 12, 0);
    assert_near(base[-1], 7, 0);
    assert_near(base[-MW_TEMPORARIES], 8, 0);
    assert_int_equal(mw_error_code(base[3]), MW_CODE_NOT_A_VALUE);
    assert_int_equal(mw_error_code(base[99999]), MW_CODE_NOT_A_VALUE);
    assert_false(mw_values_reserve(values, UINT32_MAX));
    mw_values_free(values);
    mw_values_free(NULL);
}

/* Constants keep their value and operand while the store grows; equal ones are shared. */
static void check_constants(void **state)
{
    (void)state;
    enum { COUNT = 20000 };
    static mw_operand operands[COUNT];
    mw_values *values = mw_values_new();
    assert_non_null(values);
    assert_true(mw_values_reserve(values, 5));
    mw_values_base(values)[4] = 44;
    for (int i = 0; i < COUNT; i++) {
        operands[i] = mw_values_constant(values, 0.1 * i);
        assert_true(operands[i] < -MW_TEMPORARIES);
        assert_int_equal(mw_values_constant(values, 0.1 * i), operands[i]);
    }
    for (int i = 0; i < COUNT; i++) {
        const double value = mw_values_base(values)[operands[i]];
        assert_memory_equal(&value, &(double){0.1 * i}, sizeof value);
    }
    assert_near(mw_values_base(values)[4], 44, 0);
    assert_int_equal(mw_values_constants(values), COUNT);
    assert_int_not_equal(mw_values_constant(values, 0.0), mw_values_constant(values, -0.0));
    assert_true(mw_values_bytes(values) > COUNT * sizeof(double));
    mw_values_free(values);
}

static void check_forget(void **state)
{
    (void)state;
    mw_values *values = mw_values_new();
    assert_non_null(values);
    const mw_operand kept = mw_values_constant(values, 1.5);
    const uint32_t count = mw_values_constants(values);
    const mw_operand tried = mw_values_constant(values, 2.5);
    mw_values_forget(values, count);
    assert_int_equal(mw_values_constants(values), count);
    mw_values_forget(values, count + 10); /* none so new: nothing happens */
    assert_int_equal(mw_values_constants(values), count);
    assert_int_equal(mw_values_constant(values, 3.5), tried);
    assert_int_not_equal(mw_values_constant(values, 2.5), tried);
    assert_int_equal(mw_values_constant(values, 1.5), kept);
    assert_near(mw_values_base(values)[tried], 3.5, 0);
    mw_values_free(values);
}

static void check_texts(void **state)
{
    (void)state;
    mw_values *values = mw_values_new();
    assert_non_null(values);
    const double epoxy = mw_values_text(values, mw_str_of("epoxy"));
    const double empty = mw_values_text(values, mw_str_of(""));
    assert_near(mw_values_text(values, mw_str_of("epoxy")), epoxy, 0);
    assert_true(mw_str_is(mw_values_text_of(values, epoxy), "epoxy"));
    assert_true(mw_str_is(mw_values_text_of(values, empty), ""));
    assert_int_equal(mw_values_text_of(values, 1e9).length, 0);
    assert_int_equal(mw_values_text_of(values, -1).length, 0);
    assert_int_equal(mw_values_text_of(values, mw_error_value(MW_CODE_NEVER)).length, 0);
    mw_values_free(values);
}

static void check_errors(void **state)
{
    (void)state;
    for (int code = 0; code < MW_CODE_COUNT; code++) {
        const double value = mw_error_value((mw_code)code);
        assert_true(isnan(value));
        assert_int_equal(mw_error_code(value), code);
        assert_int_equal(mw_error_code(value + 1.0), code); /* it flows through arithmetic */
    }
    assert_int_equal(mw_error_code((double)NAN), MW_CODE_NOT_A_VALUE);
    assert_int_equal(mw_error_code(-(double)NAN), MW_CODE_NOT_A_VALUE);
    assert_int_equal(mw_error_code(mw_error_value(MW_CODE_COUNT)), MW_CODE_NOT_A_VALUE);
    assert_int_equal(mw_error_code((double)INFINITY), MW_CODE_TOO_LARGE);
    assert_int_equal(mw_error_code(-(double)INFINITY), MW_CODE_TOO_LARGE);
    assert_int_equal(mw_error_code(0), MW_CODE_COUNT);
    assert_int_equal(mw_error_code(-1e308), MW_CODE_COUNT);
}

static support_outcome use_store(void *context)
{
    (void)context;
    mw_values *values = mw_values_new();
    if (values == NULL) {
        return SUPPORT_NO_MEMORY;
    }
    bool fine = mw_values_reserve(values, 10);
    for (int i = 0; fine && i < 200; i++) {
        fine = mw_values_constant(values, i) != 0;
    }
    fine = fine && !isnan(mw_values_text(values, mw_str_of("a text")));
    fine = fine && mw_values_reserve(values, 5000);
    mw_values_free(values);
    return fine ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void check_no_memory(void **state)
{
    (void)state;
    assert_true(support_fail_each_allocation(use_store, NULL) > 4);
}

int main(void)
{
    test_list tests = {0};
    test_add(&tests, check_cells);
    test_add(&tests, check_constants);
    test_add(&tests, check_forget);
    test_add(&tests, check_texts);
    test_add(&tests, check_errors);
    test_add(&tests, check_no_memory);
    return test_run(&tests, "lang_values");
}
