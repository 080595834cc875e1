/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions that a host plugs in: kinds of their arguments and results, lists, and limits. */
#include "lang_fixture.h"

/* What the scope hands to every call. */
typedef struct host_world {
    int calls;
} host_world;

static double call_twice(void *host, const double *arguments, uint32_t count)
{
    (void)count;
    ((host_world *)host)->calls++;
    return 2 * arguments[0];
}

static double call_total(void *host, const double *arguments, uint32_t count)
{
    ((host_world *)host)->calls++;
    double sum = 0;
    for (uint32_t i = 0; i < count; i++) {
        sum += arguments[i];
    }
    return sum;
}

/* 1000 a + 100 b + 10 c + d ...: shows the order in which arguments arrive. */
static double call_digits(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    double digits = 0;
    for (uint32_t i = 0; i < count; i++) {
        digits = 10 * digits + arguments[i];
    }
    return digits;
}

static double call_product(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return arguments[0] * arguments[1];
}

static double call_start(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)arguments, (void)count;
    return 20819 * 86400.0; /* 2027-01-01 */
}

static double call_later(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return arguments[1] > 0 ? arguments[0] + arguments[1] : mw_error_value(MW_CODE_NEVER);
}

static double call_huge(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return 1e308 * arguments[0];
}

static double call_first(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return arguments[0];
}

static const mw_function functions[] = {
    {.name = "twice", .takes = {"any"}, .names = {"x"}, .gives = "same", .call = call_twice},
    {.name = "total", .takes = {"list kg"}, .names = {"masses"}, .gives = "kg", .call = call_total},
    {.name = "digits", .takes = {"1 ..."}, .names = {"digits"}, .gives = "1", .call = call_digits},
    {.name = "price",
     .takes = {"kg", "EUR/kg"},
     .names = {"mass", "rate"},
     .gives = "EUR",
     .call = call_product},
    {.name = "begin", .takes = {NULL}, .names = {NULL}, .gives = "date", .call = call_start},
    {.name = "after",
     .takes = {"date", "time"},
     .names = {"moment", "wait"},
     .gives = "date",
     .call = call_later},
    {.name = "huge", .takes = {"1"}, .names = {"x"}, .gives = "1", .call = call_huge},
    {.name = "same_of",
     .takes = {"any", "same", "truth"},
     .names = {"x", "y", "z"},
     .gives = "same",
     .call = call_first},
    {.name = "hours_of",
     .takes = {"labour", "people"},
     .names = {"work", "crew"},
     .gives = "time",
     .call = call_first},
    {.name = "word_of", .takes = {"text"}, .names = {"word"}, .gives = "text", .call = call_first},
    {.name = "warmth", .takes = {"degC"}, .names = {"at"}, .gives = "degC", .call = call_first},
    {.name = "scaled",
     .takes = {"list 1", "1"},
     .names = {"list", "x"},
     .gives = "1",
     .call = call_digits},
    {.name = "paired",
     .takes = {"list 1", "list 1"},
     .names = {"left", "right"},
     .gives = "1",
     .call = call_digits},
    {.name = "spread",
     .takes = {"1", "each 1", "each 1"},
     .names = {"x", "these", "those"},
     .gives = "1",
     .call = call_digits},
    {.name = "broken", .takes = {"kilogramm"}, .names = {"x"}, .gives = "1", .call = call_first},
    {.name = "broken_result", .takes = {"1"}, .names = {"x"}, .gives = "wat", .call = call_first},
};

static void plug(lang_fixture *world, host_world *host)
{
    lang_start(world);
    *host = (host_world){0};
    world->scope.host = (mw_host){functions, sizeof functions / sizeof functions[0], host};
}

typedef struct row {
    const char *formula;
    const char *answer; /* or, for a refused one, its message */
    const char *code;   /* NULL: it is not refused */
} row;

static const row rows[] = {
    {"twice(area)", "22.8 m2", NULL},
    {"twice(twice(plies)) + 1", "17", NULL},
    {"twice(moulds.area)", "13 m2, 6.5 m2, 7 m2", NULL},
    {"sum(twice(moulds.plies))", "24", NULL},
    {"total(pair.glass)", "10 kg", NULL},
    {"total(pair.glass * 2) + glass", "24.5 kg", NULL},
    {"total([glass, 500 g, glass * 2])", "14 kg", NULL},
    {"digits(1, 2, 3)", "123", NULL},
    {"digits(plies, plies + 1, 9, plies * 2)", "4598", NULL},
    {"digits(1, digits(2, 3), 4)", "334", NULL},
    {"digits(moulds.plies, 1)", "41, 61, 21", NULL},
    {"digits(1 + plies * plies, moulds.plies * 1, zero)", "1740, 1760, 1720", NULL},
    {"price(glass, 2 EUR/kg)", "9.00 EUR", NULL},
    {"begin()", "2027-01-01", NULL},
    {"begin() + 3 d", "2027-01-04", NULL},
    {"after(begin(), 36 h)", "2027-01-02T12:00", NULL},
    {"after(begin(), cure)", "2027-01-01T16:00", NULL},
    {"after(begin(), zero * 1 h)", "error never", NULL},
    {"huge(10)", "error too-large", NULL},
    {"twice(wrong)", "error never", NULL},
    {"digits(1, worse, wrong)", "error empty-list", NULL},
    {"if dry then twice(wrong) else 3", "3", NULL},
    {"same_of(area, 3 m2, wet)", "11.4 m2", NULL},
    {"hours_of(work, crew)", "12 h", NULL},
    {"hours_of(3 h, 2)", "3 h", NULL},
    {"word_of(fibre)", "carbon", NULL},
    {"word_of(choice) = \"epoxy\"", "yes", NULL},
    {"warmth(room)", "20 degC", NULL},
    {"scaled([1, 2], 3)", "123", NULL},
    {"scaled(moulds.plies * 1, plies)", "4624", NULL},
    {"spread(1, [2, 3], [4, 5])", "12345", NULL},
    {"spread(1, [2, 3], 4)", "12344", NULL},
    {"spread(1, 4, [2, 3])", "14423", NULL},
    {"spread(1, plies + 1, moulds.plies)", "1555462", NULL},
    {"spread(1, 2, 3)", "123", NULL},
    {"spread(1, plies + 1, plies * 2)", "158", NULL},
    {"spread(1, [2, 3], [4, 5, 6])", "[4, 5, 6] has 3 values, [2, 3] has 2", "list-lengths"},
    {"paired([1, 2], [3, 4])", "1234", NULL},
    {"paired(moulds.plies, [1, 2, 3])", "462123", NULL},
    /* refused */
    {"paired([1, 2, 3], [4])", "[4] has 1 values, [1, 2, 3] has 3", "list-lengths"},
    {"total(glass)", "glass is a mass; masses of total is a list", "not-a-list"},
    {"total(moulds.area)", "each of moulds.area is an area; masses of total is a mass",
     "wrong-kind"},
    {"scaled([1, 2], moulds.plies)", "moulds.plies is a list; x of scaled is a single value",
     "is-a-list"},
    {"price(glass, rate)", "rate is money per time (EUR); rate of price is money per mass (EUR)",
     "wrong-kind"},
    {"digits(1, area)", "area is an area; digits of digits is a plain number", "wrong-kind"},
    {"same_of(area, glass, wet)", "glass is a mass; area is an area: they cannot be used together",
     "kind-mismatch"},
    {"same_of(area, area, 1)", "1 is a plain number; z of same_of is yes or no", "wrong-kind"},
    {"hours_of(cure, 2)", "cure is clock time; work of hours_of is labour", "wrong-kind"},
    {"warmth(rise)", "rise is a temperature difference; at of warmth is a temperature",
     "wrong-kind"},
    {"begin(1)", "begin takes 0 values, not 1", "argument-count"},
    {"after(begin())", "after takes 2 values, not 1", "argument-count"},
    {"digits()", "digits takes at least 1 value, not 0", "argument-count"},
    {"digts(1)", "there is no function digts", "unknown-function"},
    {"broken(1)", "the table of functions is wrong about broken", "internal"},
    {"broken_result(1)", "the table of functions is wrong about broken_result", "internal"},
};

static void check_row(void **state)
{
    const row *wanted = *state;
    lang_fixture world;
    host_world host;
    plug(&world, &host);
    if (wanted->code == NULL) {
        assert_string_equal(lang_answer(&world, wanted->formula), wanted->answer);
    } else {
        assert_int_equal(lang_check(&world, wanted->formula, NULL), MW_FAILED);
        assert_int_equal(world.diags.errors, 1);
        assert_string_equal(mw_code_word(world.diags.items[0].code), wanted->code);
        assert_string_equal(world.diags.items[0].message, wanted->answer);
    }
    lang_stop(&world);
}

/* A host's functions may read the shop's calendar: they are called each time, also for constants.
 */
static void check_called_each_time(void **state)
{
    (void)state;
    lang_fixture world;
    host_world host;
    plug(&world, &host);
    assert_string_equal(lang_answer(&world, "twice(3)"), "6");
    assert_true(world.meaning.constant);
    assert_int_equal(host.calls, 1);
    const mw_machine machine = {mw_values_base(world.values), functions, &host};
    mw_run(&machine, world.code.items, world.code.count);
    assert_int_equal(host.calls, 2);
    lang_stop(&world);
}

static void check_suggestion(void **state)
{
    (void)state;
    lang_fixture world;
    host_world host;
    plug(&world, &host);
    assert_int_equal(lang_check(&world, "digtis(1)", NULL), MW_FAILED);
    assert_string_equal(world.diags.items[0].advice, "did you mean digits?");
    assert_int_equal(lang_check(&world, "twice + 1", NULL), MW_FAILED);
    assert_string_equal(world.diags.items[0].advice, "twice is a function: write twice(...)");
    lang_stop(&world);
}

/* Another scope may come with another table. */
static void check_other_table(void **state)
{
    (void)state;
    lang_fixture world;
    host_world host;
    plug(&world, &host);
    assert_string_equal(lang_answer(&world, "twice(3)"), "6");
    world.scope.host = (mw_host){functions + 1, 2, &host};
    assert_int_equal(lang_check(&world, "twice(3)", NULL), MW_FAILED);
    assert_string_equal(lang_answer(&world, "digits(4, 2)"), "42");
    world.scope.host = (mw_host){NULL, 0, NULL};
    assert_int_equal(lang_check(&world, "digits(4, 2)", NULL), MW_FAILED);
    lang_stop(&world);
}

/* --- limits --------------------------------------------------------------------------------------
 */

enum { MANY = 3000 };

typedef struct crowd {
    uint32_t slots[MANY];
    uint32_t count;
} crowd;

static mw_status find_many(void *context, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    (void)path, (void)diags;
    crowd *all = context;
    *out = (mw_reference){.slots = all->slots, .count = all->count, .list = true};
    return MW_OK;
}

typedef struct limit_row {
    const char *formula;
    uint32_t count; /* of the list `many` */
    const char *message;
    const char *code; /* NULL: it is not refused */
} limit_row;

static const limit_row limit_rows[] = {
    {"digits_of(many)", MW_TEMPORARIES, NULL, NULL},
    {"digits_of(many)", MW_TEMPORARIES + 1, "digits_of(many) needs more than 1024 values at once",
     "too-deep"},
    {"1 + digits_of(many)", MW_TEMPORARIES, NULL, NULL},
    {"sum(many * 2)", MANY, NULL, NULL},
    {"largest(many * 2)", MANY, NULL, NULL},
    {"many * 2", MANY, NULL, NULL},
    {"many / sum(many)", 1000, NULL, NULL},
    {"many / sum(many)", MANY, "many / sum(many) with its lists needs more than 2097152 operations",
     "too-long"},
    {"sum(many / sum(many / sum(many / sum(many))))", MANY, NULL, NULL},
};

static const mw_function takes_many[] = {{.name = "digits_of",
                                          .takes = {"list 1"},
                                          .names = {"list"},
                                          .gives = "1",
                                          .call = call_total}};

static void check_limit(void **state)
{
    const limit_row *wanted = *state;
    lang_fixture world;
    host_world host = {0};
    lang_start(&world);
    static crowd all;
    all.count = wanted->count;
    for (uint32_t i = 0; i < MANY; i++) {
        all.slots[i] = i;
    }
    world.scope = (mw_scope){.context = &all, .find = find_many, .host = {takes_many, 1, &host}};
    const mw_status status = lang_check(&world, wanted->formula, NULL);
    if (wanted->code == NULL) {
        assert_int_equal(status, MW_OK);
        uint32_t count;
        mw_compiler_reads(world.compiler, &count);
        assert_int_equal(count, wanted->count);
    } else {
        assert_int_equal(status, MW_FAILED);
        assert_int_equal(world.diags.errors, 1);
        assert_string_equal(mw_code_word(world.diags.items[0].code), wanted->code);
        assert_string_equal(world.diags.items[0].message, wanted->message);
    }
    lang_stop(&world);
}

/* The sum of a long list is right, also past the limits of temporaries. */
static void check_long_sum(void **state)
{
    (void)state;
    lang_fixture world;
    lang_start(&world);
    static crowd all;
    all.count = MANY;
    assert_true(mw_values_reserve(world.values, 2 * MANY));
    double expected = 0;
    for (uint32_t i = 0; i < MANY; i++) {
        all.slots[i] = MANY + i;
        mw_values_base(world.values)[MANY + i] = i;
        expected += 3.0 * i;
    }
    world.scope = (mw_scope){.context = &all, .find = find_many};
    lang_run(&world, "sum(many * 3)");
    assert_near(lang_result(&world, 0), expected, 0);
    lang_run(&world, "mean(many)");
    assert_near(lang_result(&world, 0), (MANY - 1) / 2.0, 1e-15);
    lang_stop(&world);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "host", rows, check_row);
    test_add_rows(&tests, "limit", limit_rows, check_limit);
    test_add(&tests, check_called_each_time);
    test_add(&tests, check_suggestion);
    test_add(&tests, check_other_table);
    test_add(&tests, check_long_sum);
    return test_run(&tests, "lang_function_host");
}
