/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Running: errors as values, which of two wins, branches not taken, and arithmetic bit by bit like
 * plain C. */
#include <math.h>

#include "lang_fixture.h"
#include "lang_random.h"

typedef struct row {
    const char *formula; /* also the name of the test */
    const char *answer;
} row;

/* `wrong` holds the error never, `worse` empty-list. */
static const row rows[] = {
    /* where errors arise */
    {"1 / zero", "error divide-by-zero"},
    {"zero / zero", "error divide-by-zero"},
    {"1 / 0", "error divide-by-zero"},
    {"area / (zero * 1 m)", "error divide-by-zero"},
    {"plies * 2 / zero", "error divide-by-zero"},
    {"sqrt(zero - 1)", "error out-of-domain"},
    {"sqrt(-1)", "error out-of-domain"},
    {"ln(zero)", "error out-of-domain"},
    {"ln(-plies)", "error out-of-domain"},
    {"log10(zero)", "error out-of-domain"},
    {"asin(2)", "error out-of-domain"},
    {"acos(-plies)", "error out-of-domain"},
    {"zero^-1", "error out-of-domain"},
    {"0^-1", "error out-of-domain"},
    {"(-8)^(1/3)", "error out-of-domain"},
    {"(-plies)^0.5", "error out-of-domain"},
    {"0^0", "1"},
    {"zero^zero", "1"},
    {"round_up(plies, zero)", "error out-of-domain"},
    {"round_to(plies, -1)", "error out-of-domain"},
    {"round_down(plies, zero - 1)", "error out-of-domain"},
    {"9999-12-31 + 1 d", "error date-range"},
    {"1 d + 9999-12-31", "error date-range"},
    {"0001-01-01 - plies * 1 d", "error date-range"},
    {"9999-12-31 + plies * 1e300 d", "error date-range"},
    {"9999-12-31T23:59:59 + 0.6 s", "error date-range"},
    {"9999-12-31 + (1 d / zero)", "error divide-by-zero"},
    {"9999-12-31 + 1 d - 1 d", "error date-range"},
    {"year(9999-12-31 + plies * 1 d)", "error date-range"},
    {"year(9999-12-31 + 1 h)", "9999"},
    {"9999-12-30 + 1 d", "9999-12-31"},
    {"0001-01-02 - 24 h", "0001-01-01"},
    {"1e308 * 10", "error too-large"},
    {"1e308 * 1e308 / 1e308", "error too-large"},
    {"1e200 * (zero + 1e200)", "error too-large"},
    {"1e200 * (zero + 1e200) * 0", "error too-large"},
    {"1e200 * (zero + 1e200) / 0", "error too-large"},
    {"1e308 / (zero + 1e-10)", "error too-large"},
    {"exp(1000)", "error too-large"},
    {"10^(zero + 400)", "error too-large"},
    {"(zero + 10)^400", "error too-large"},
    {"(zero + 1e200)^2", "error too-large"},
    {"(1e308 + zero) * 10 > 5", "error too-large"},
    {"1 / ((1e308 + zero) * 10)", "error too-large"},
    {"exp(-1000)", "0"},
    {"mean(none)", "error empty-list"},
    {"5 .. plies .. 9", "error out-of-range, error out-of-range, error out-of-range"},
    {"(5 .. plies .. 9) + 1", "error out-of-range"},
    {"9 .. plies", "error out-of-range, error out-of-range, error out-of-range"},
    /* comparisons far apart, where the gap is no number */
    {"1e308 + zero < -1e308", "no"},
    {"-1e308 < 1e308 + zero", "yes"},
    {"1e308 + zero <= -1e308", "no"},
    {"1e308 + zero >= -1e308", "yes"},
    {"1e308 + zero > -1e308", "yes"},
    {"1e308 + zero = -1e308", "no"},
    {"1e308 + zero <> -1e308", "yes"},
    {"smallest(1e308 + zero, -1e308)", "-1e308"},
    {"smallest(-1e308, 1e308 + zero)", "-1e308"},
    {"largest(1e308 + zero, -1e308)", "1e308"},
    {"largest(-1e308 + zero, 1e308)", "1e308"},
    {"1e308 + zero = 1e308", "yes"},
    {"1e-320 + zero > 0", "yes"},
    /* errors flow on; the left one wins */
    {"wrong", "error never"},
    {"wrong + 1", "error never"},
    {"1 + wrong", "error never"},
    {"wrong + worse", "error never"},
    {"worse + wrong", "error empty-list"},
    {"wrong - worse", "error never"},
    {"worse - wrong", "error empty-list"},
    {"wrong * worse", "error never"},
    {"worse * wrong", "error empty-list"},
    {"wrong / worse", "error never"},
    {"worse / wrong", "error empty-list"},
    {"1 / zero / wrong", "error divide-by-zero"},
    {"wrong / zero", "error never"},
    {"wrong * 2 + worse", "error never"},
    {"worse + wrong * 2", "error empty-list"},
    {"worse * 2 + wrong", "error empty-list"},
    {"wrong + worse * 2", "error never"},
    {"wrong - plies * worse", "error never"},
    {"worse - plies * wrong", "error empty-list"},
    {"plies * wrong - worse", "error never"},
    {"plies * worse - wrong", "error empty-list"},
    {"plies * wrong * worse", "error never"},
    {"plies * worse * wrong", "error empty-list"},
    {"worse * (plies * wrong)", "error empty-list"},
    {"wrong + (plies + worse)", "error never"},
    {"worse + (wrong + plies)", "error empty-list"},
    {"plies + wrong + worse", "error never"},
    {"plies * worse / wrong", "error empty-list"},
    {"plies * zero / wrong", "error never"},
    {"wrong^2", "error never"},
    {"wrong^0", "error never"},
    {"1^wrong", "error never"},
    {"worse^wrong", "error empty-list"},
    {"-wrong", "error never"},
    {"abs(wrong)", "error never"},
    {"sqrt(wrong)", "error never"},
    {"ln(wrong)", "error never"},
    {"round_up(wrong, worse)", "error never"},
    {"round_up(worse, wrong)", "error empty-list"},
    {"round_up(1, wrong)", "error never"},
    {"sum(1, wrong, worse)", "error never"},
    {"sum(worse, 1, wrong)", "error empty-list"},
    {"mean(wrong, 2)", "error never"},
    {"smallest(1, wrong)", "error never"},
    {"smallest(wrong, 1)", "error never"},
    {"largest(worse, wrong)", "error empty-list"},
    {"largest(1, 2, wrong)", "error never"},
    {"sum([1, wrong] * 2)", "error never"},
    {"[1, wrong, 2 / zero] * 2", "2, error never, error divide-by-zero"},
    {"wrong .. 5 .. 9", "error never, error never, error never"},
    {"(1 .. wrong .. 9) * 2", "error never"},
    {"year(ready + wrong * 1 d)", "error never"},
    /* comparisons with an error give the error */
    {"wrong < 1", "error never"},
    {"1 < wrong", "error never"},
    {"wrong = wrong", "error never"},
    {"wrong <> worse", "error never"},
    {"worse >= wrong", "error empty-list"},
    {"wrong > 1", "error never"},
    {"1 <= wrong", "error never"},
    {"[1, wrong] = 1", "yes, error never"},
    /* branches not taken are dropped; a condition in error is the result */
    {"if wet then 1 else wrong", "1"},
    {"if dry then wrong else 2", "2"},
    {"if wet then wrong else 2", "error never"},
    {"if zero = 0 then 0 else 1 / zero", "0"},
    {"if wrong > 1 then 1 else 2", "error never"},
    {"if wrong > 1 then worse else worse", "error never"},
    {"if wet then -zero else wrong", "0"},
    {"if moulds.wet then moulds.plies else wrong", "4, error never, 2"},
    {"if plies > 5 then wrong else if plies > 3 then 7 else worse", "7"},
    /* and, or: what is decided by the left does not look to the right */
    {"no and wrong > 1", "no"},
    {"dry and wrong > 1", "no"},
    {"yes or wrong > 1", "yes"},
    {"wet or wrong > 1", "yes"},
    {"wet and wrong > 1", "error never"},
    {"dry or wrong > 1", "error never"},
    {"wrong > 1 and dry", "error never"},
    {"wrong > 1 or wet", "error never"},
    {"wrong > 1 and worse > 1", "error never"},
    {"worse > 1 or wrong > 1", "error empty-list"},
    {"not (wrong > 1)", "error never"},
    {"not (wet and dry) or wrong > 1", "yes"},
};

static void check_row(void **state)
{
    const row *wanted = *state;
    lang_fixture world;
    lang_start(&world);
    assert_string_equal(lang_answer(&world, wanted->formula), wanted->answer);
    lang_stop(&world);
}

/* Every code of an error survives every operation, as the same bits. */
static void check_error_bits(void **state)
{
    (void)state;
    static const char *const formulas[] = {"plies + 1",     "1 - plies",           "plies * plies",
                                           "-plies",        "plies * 2 + 1",       "1 + plies * 2",
                                           "1 / plies",     "sqrt(plies)",         "plies^3",
                                           "plies < 1",     "smallest(1, plies)",  "abs(plies)",
                                           "plies + 1 + 2", "sum(plies, plies, 1)"};
    lang_fixture world;
    lang_start(&world);
    for (size_t i = 0; i < sizeof formulas / sizeof formulas[0]; i++) {
        for (int code = 0; code < MW_CODE_COUNT; code++) {
            const double error = mw_error_value((mw_code)code);
            mw_values_base(world.values)[3] = error;
            lang_run(&world, formulas[i]);
            const double result = lang_result(&world, 0);
            assert_memory_equal(&result, &error, sizeof result);
        }
        mw_values_base(world.values)[3] = (double)NAN; /* one that is not ours */
        lang_run(&world, formulas[i]);
        const double foreign = mw_error_value(MW_CODE_NOT_A_VALUE);
        const double result = lang_result(&world, 0);
        assert_memory_equal(&result, &foreign, sizeof result);
    }
    lang_stop(&world);
}

/* --- random arithmetic against plain C
 * -------------------------------------------------------------- */

static double plain_values[RANDOM_NUMBERS] = {1.5, -2.385, 0.001, 7919, 0, 3.25e5};

static mw_status find_random(void *context, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    (void)context, (void)diags;
    *out = (mw_reference){.slot = (uint32_t)(path->parts[0].at[1] - '0'), .count = 1};
    return MW_OK;
}

/* Writes a random sum, product ... and returns what it comes to in C; NaN where there is a division
 * by zero or an overflow anywhere. */
static double grow(lang_random *random, mw_text *out, int depth, bool constant)
{
    if (depth <= 0 || lang_below(random, 5) == 0) {
        const uint32_t which = lang_below(random, RANDOM_NUMBERS);
        if (constant || lang_below(random, 2) == 0) {
            const double value = lang_below(random, 1000000) / 1024.0; /* exact as a decimal */
            mw_text_addf(out, "%.10f", value);
            return value;
        }
        mw_text_addf(out, "n%u", which);
        return plain_values[which];
    }
    const uint32_t sign = lang_below(random, 4);
    mw_text_adds(out, "(");
    const double a = grow(random, out, depth - 1, constant);
    mw_text_addf(out, " %c ", "+-*/"[sign]);
    const double b = grow(random, out, depth - 1, constant);
    mw_text_adds(out, ")");
    const double result = sign == 0 ? a + b : sign == 1 ? a - b : sign == 2 ? a * b : a / b;
    return isfinite(result) ? result : (double)NAN;
}

static void compare_random(bool constant)
{
    lang_fixture world;
    lang_start(&world);
    lang_random random = {constant ? 20270311 : 20270111};
    world.scope = (mw_scope){.find = find_random};
    memcpy(mw_values_base(world.values), plain_values, sizeof plain_values);
    mw_text formula = {0};
    for (int i = 0; i < 20000; i++) {
        const uint64_t seed = random.state;
        mw_text_clear(&formula);
        const double expected = grow(&random, &formula, 6, constant);
        lang_run(&world, mw_text_chars(&formula));
        const double got = lang_result(&world, 0);
        const bool same = isfinite(expected) ? memcmp(&got, &expected, sizeof got) == 0
                                             : mw_error_code(got) != MW_CODE_COUNT;
        if (!same) {
            fail_msg("seed %llu: %s gives %.17g, not %.17g", (unsigned long long)seed,
                     mw_text_chars(&formula), got, expected);
        }
        mw_sources_drop_last(world.sources, world.source);
    }
    mw_text_free(&formula);
    lang_stop(&world);
}

static void check_random_constants(void **state)
{
    (void)state;
    compare_random(true);
}

static void check_random_names(void **state)
{
    (void)state;
    compare_random(false);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "run", rows, check_row);
    test_add(&tests, check_error_bits);
    test_add(&tests, check_random_constants);
    test_add(&tests, check_random_names);
    return test_run(&tests, "lang_run");
}
