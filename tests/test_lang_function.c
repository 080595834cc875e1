/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of functions: every row is whole, every example gives what it says, and the functions
 * give known values. */
#include <math.h>
#include <stdio.h>

#include "lang_fixture.h"

static void check_example(void **state)
{
    const mw_function *function = *state;
    lang_fixture world;
    lang_start(&world);
    assert_string_equal(lang_answer(&world, function->example), function->result);
    mw_text_clear(&world.text);
    mw_text_adds(&world.text, function->example);
    assert_non_null(strstr(mw_text_chars(&world.text), function->name));
    lang_stop(&world);
}

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
    const char last = function->about[strlen(function->about) - 1];
    assert_int_equal(last, '.');
}

typedef struct value_row {
    const char *formula; /* also the name of the test */
    double value;
    double within; /* relative; 0: exactly */
    const char *source;
} value_row;

/* Digits of Abramowitz and Stegun, Handbook of Mathematical Functions, 1964: tables 1.1
 * (constants), 4.2 (logarithms), 4.4 (exponentials), 4.6 (circular functions, radians). */
static const value_row value_rows[] = {
    {"exp(1)", 2.718281828459045, 1e-15, "Abramowitz and Stegun 1964, table 1.1"},
    {"ln(2)", 0.693147180559945, 1e-15, "Abramowitz and Stegun 1964, table 4.2"},
    {"ln(10)", 2.302585092994046, 1e-15, "Abramowitz and Stegun 1964, table 1.1"},
    {"log10(2)", 0.301029995663981, 1e-14, "Abramowitz and Stegun 1964, table 4.1"},
    {"sqrt(2)", 1.414213562373095, 1e-15, "Abramowitz and Stegun 1964, table 1.1"},
    {"4 * atan(1)", 3.141592653589793, 1e-15, "Abramowitz and Stegun 1964, table 1.1"},
    {"sin(1)", 0.841470984807897, 1e-15, "Abramowitz and Stegun 1964, table 4.6"},
    {"cos(1)", 0.540302305868140, 1e-15, "Abramowitz and Stegun 1964, table 4.6"},
    {"tan(1)", 1.557407724654902, 1e-15, "Abramowitz and Stegun 1964, table 4.6"},
    {"asin(0.5) as deg", 0.523598775598299, 1e-14, "pi / 6"},
    {"acos(0.5)", 1.047197551196598, 1e-15, "pi / 3"},
    {"sin(90 deg)", 1, 0, "definition"},
    /* rounding: worked out by hand */
    {"round_up(0.3, 0.1)", 0.3, 0, "three steps"},
    {"round_up(0.31, 0.1)", 0.4, 0, "four steps"},
    {"round_up(0.1 + 0.2, 0.1)", 0.1 + 0.2, 0, "three steps but for rounding: as it was"},
    {"round_down(0.7 + 0.1, 0.1)", 0.7 + 0.1, 0, "eight steps but for rounding: as it was"},
    {"round_down(0.79, 0.1)", 0.7, 0, "seven steps"},
    {"round_up(-0.25, 0.1)", -0.2, 0, "upwards"},
    {"round_down(-0.25, 0.1)", -0.3, 0, "downwards"},
    {"round_up(7, 7)", 7, 0, "whole"},
    {"round_up(0, 5)", 0, 0, "whole"},
    {"round_up(1e-12, 1)", 0, 0, "within 1e-9 of a step"},
    {"round_up(1e-8, 1)", 1, 0, "farther than 1e-9 of a step"},
    {"round_down(2.9999999999, 1)", 3, 0, "within 1e-9 of a step"},
    {"round_down(2.99999, 1)", 2, 0, "farther"},
    {"round_up(123456789.01, 0.01)", 123456789.01, 0, "whole"},
    {"round_up(123456789.011, 0.01)", 123456789.02, 0, "a part of a step"},
    {"round_to(2.5, 1)", 3, 0, "half away from zero"},
    {"round_to(-2.5, 1)", -3, 0, "half away from zero"},
    {"round_to(2.4, 1)", 2, 0, "nearest"},
    {"round_to(-2.4, 1)", -2, 0, "nearest"},
    {"round_to(1.005, 0.01)", 1.01, 0, "a half but for rounding"},
    {"round_to(0.45, 0.1)", 0.5, 0, "a half but for rounding"},
    {"round_to(28, 5)", 30, 0, "nearest"},
    {"round_to(1e17, 1)", 1e17, 0, "no halves left"},
    {"round_up(1e300, 1e-300)", 1e300, 0, "no halves left"},
    {"round_up(10 / 3, 1/3)", 10.0 / 3, 0, "ten steps"},
    {"round_to(37, 2.5)", 37.5, 0, "nearest"},
    /* ISO weeks. ISO 8601-1:2019, 5.4: the week that holds 4 January is week 1; the days below are
     * Thursdays and their neighbours around new year. */
    {"week(2026-12-31)", 53, 0, "ISO 8601-1:2019"},
    {"week(2027-01-03)", 53, 0, "ISO 8601-1:2019"},
    {"week(2027-01-04)", 1, 0, "ISO 8601-1:2019"},
    {"iso_year(2027-01-03)", 2026, 0, "ISO 8601-1:2019"},
    {"iso_year(2027-01-04)", 2027, 0, "ISO 8601-1:2019"},
    {"week(2024-12-30)", 1, 0, "ISO 8601-1:2019"},
    {"iso_year(2024-12-30)", 2025, 0, "ISO 8601-1:2019"},
    {"weekday(2000-01-01)", 6, 0, "a Saturday"},
    {"weekday(1970-01-01)", 4, 0, "a Thursday"},
    {"weekday(1969-12-31)", 3, 0, "a Wednesday"},
    {"day(2024-02-29)", 29, 0, "a leap day"},
    {"day(2024-02-29 + 23 h)", 29, 0, "the same day"},
    {"day(2024-02-29 + 24 h)", 1, 0, "the next"},
    {"month(2027-12-31)", 12, 0, "calendar"},
    {"year(2027-12-31 + 1 d)", 2028, 0, "calendar"},
};

static void check_value(void **state)
{
    const value_row *wanted = *state;
    lang_fixture world;
    lang_start(&world);
    lang_run(&world, wanted->formula);
    const double got = lang_result(&world, 0);
    if (wanted->value == 0) {
        assert_close(got, 0, wanted->within);
    } else {
        assert_near(got, wanted->value, wanted->within);
    }
    lang_stop(&world);
}

/* A moment that no calendar has is an error, and so is what is asked of it. */
static void check_far_dates(void **state)
{
    (void)state;
    const char *const names[] = {"year", "month", "day", "weekday", "week", "iso_year"};
    lang_fixture world;
    lang_start(&world);
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        char formula[64];
        snprintf(formula, sizeof formula, "%s(ready + 1e7 d)", names[i]);
        assert_string_equal(lang_answer(&world, formula), "error date-range");
        snprintf(formula, sizeof formula, "%s(ready - 1e7 d)", names[i]);
        assert_string_equal(lang_answer(&world, formula), "error date-range");
    }
    lang_stop(&world);
}

int main(void)
{
    test_list tests = {0};
    size_t count;
    const mw_function *functions = mw_functions(&count);
    test_add_table(&tests, "example", functions, count, sizeof *functions, check_example);
    test_add_table(&tests, "row", functions, count, sizeof *functions, check_row);
    test_add_rows(&tests, "value", value_rows, check_value);
    test_add(&tests, check_far_dates);
    return test_run(&tests, "lang_function");
}
