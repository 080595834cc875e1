/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers and values as text, against the C library and by reading back what was written. */
#include "measure_support.h"

#include <locale.h>
#include <math.h>

#include "mouldwright/money.h"
#include "mouldwright/number.h"

/* --- reading --------------------------------------------------------------------------------- */

typedef struct read_row {
    const char *name; /* the text */
    size_t used;
    double value;
} read_row;

/* Hard cases: Clinger 1990; Paxson 1991, A program for testing IEEE decimal-binary conversion. */
static const read_row read_rows[] = {
    {"0", 1, 0},
    {"12", 2, 12},
    {"0.5", 3, 0.5},
    {"007", 3, 7},
    {"1e3", 3, 1000},
    {"1E3", 3, 1000},
    {"1e+3", 4, 1000},
    {"1.5e-3x", 6, 0.0015},
    {"1e", 1, 1},
    {"1e+", 1, 1},
    {"1ex", 1, 1},
    {"1.", 1, 1},
    {"1..2", 1, 1},
    {"1.x", 1, 1},
    {"1.2.3", 3, 1.2},
    {"1,5", 1, 1},
    {"", 0, 0},
    {".5", 0, 0},
    {"-1", 0, 0},
    {"+1", 0, 0},
    {"e5", 0, 0},
    {"x", 0, 0},
    {"0x10", 1, 0},
    {"9007199254740993", 16, 9007199254740992.0},
    {"9007199254740992e22", 19, 9007199254740992e22},
    {"1e22", 4, 1e22},
    {"1e23", 4, 1e23},
    {"1e-22", 5, 1e-22},
    {"1e-23", 5, 1e-23},
    {"123456789012345678", 18, 123456789012345678.0},
    {"1.7976931348623157e308", 22, 1.7976931348623157e308},
    {"1.7976931348623159e308", 22, HUGE_VAL},
    {"1e400", 5, HUGE_VAL},
    {"1e99999999999", 13, HUGE_VAL},
    {"0e99999999999", 13, 0},
    {"1e-99999999999", 14, 0},
    {"5e-324", 6, 5e-324},
    {"2.4703282292062327e-324", 23, 0},
    {"2.4703282292062328e-324", 23, 5e-324},
    {"2.2250738585072011e-308", 23, 2.2250738585072011e-308},
    {"6.631236846766476e-316", 22, 6.631236846766476e-316},
    {"0.000000000000000000000000000001", 32, 1e-30},
    {"179769313486231580793728971405301e276", 37, 1.797693134862315807937e308},
};

static void test_read(void **state)
{
    const read_row *row = *state;
    size_t length = strlen(row->name);
    char *exact = malloc(length + (length == 0));
    memcpy(exact, row->name, length);
    double value = 0;
    assert_int_equal(mw_number_read((mw_str){exact, length}, &value), row->used);
    assert_true(value == row->value);
    free(exact);
}

/* A tie that only its 800th digit breaks: 1 + 2^-53 and a little more is not 1. */
static void test_read_long(void **state)
{
    (void)state;
    static const char tie[] = "1.00000000000000011102230246251565404236316680908203125";
    char text[1000];
    double value = 0;
    size_t length = (size_t)snprintf(text, sizeof text, "%s", tie);
    assert_int_equal(mw_number_read((mw_str){text, length}, &value), length);
    assert_true(value == 1);
    memset(text + length, '0', 900 - length);
    text[900] = '1';
    assert_int_equal(mw_number_read((mw_str){text, 901}, &value), 901);
    assert_true(value == nextafter(1, 2));
    assert_int_equal(mw_number_read((mw_str){text, 900}, &value), 900);
    assert_true(value == 1);
    /* Many digits before the point. */
    memset(text, '9', 300);
    assert_int_equal(mw_number_read((mw_str){text, 300}, &value), 300);
    assert_true(value == 1e300);
    memset(text, '0', 900);
    text[899] = '7';
    assert_int_equal(mw_number_read((mw_str){text, 900}, &value), 900);
    assert_true(value == 7);
}

static double random_double(dice *random)
{
    uint64_t bits = dice_bits(random);
    double value;
    memcpy(&value, &bits, sizeof value);
    return isfinite(value) ? fabs(value) : 1.5;
}

/* Reads as strtod() does, to the last bit. */
static void test_read_as_the_library(void **state)
{
    (void)state;
    dice random = dice_start(11);
    for (int i = 0; i < 100000; i++) {
        char text[400];
        snprintf(text, sizeof text, dice_below(&random, 2) == 0 ? "%.*g" : "%.*e",
                 1 + dice_below(&random, 25), random_double(&random));
        double value = -1;
        assert_int_equal(mw_number_read(mw_str_of(text), &value), strlen(text));
        assert_true(value == strtod(text, NULL));
    }
    /* Plain decimals as people write them. */
    for (int i = 0; i < 100000; i++) {
        char text[64];
        snprintf(text, sizeof text, "%d.%0*d", dice_below(&random, 100000),
                 1 + dice_below(&random, 8), dice_below(&random, 10));
        double value = -1;
        assert_int_equal(mw_number_read(mw_str_of(text), &value), strlen(text));
        assert_true(value == strtod(text, NULL));
    }
}

/* --- writing --------------------------------------------------------------------------------- */

typedef struct words_row {
    const char *name; /* the words */
    double value;
} words_row;

static const words_row words_rows[] = {
    {"0", 0},
    {"0", -0.0},
    {"1", 1},
    {"-1", -1},
    {"0.1", 0.1},
    {"0.3", 0.1 + 0.2},
    {"28.3", 28.3},
    {"1234567", 1234567},
    {"1.005", 1.005},
    {"0.333333333333333", 1.0 / 3},
    {"100000000000000", 1e14},
    {"999999999999999", 999999999999999},
    {"1e15", 1e15},
    {"1.5e20", 1.5e20},
    {"1e15", 999999999999999.9},
    {"0.000001", 1e-6},
    {"9.9e-7", 9.9e-7},
    {"-2.5e-10", -2.5e-10},
    {"1.79769313486232e308", 1.7976931348623157e308},
    {"4.94065645841247e-324", 5e-324},
    {"infinite", HUGE_VAL},
    {"-infinite", -HUGE_VAL},
    {"not a number", (double)NAN},
};

static void test_words(void **state)
{
    const words_row *row = *state;
    mw_text text = {0};
    mw_number_words(row->value, &text);
    assert_text(&text, row->name);
}

typedef struct short_row {
    const char *name;
    double value;
    int digits;
    char group;
} short_row;

static const short_row short_rows[] = {
    {"0", 0, 3, 0},
    {"12300", 12345.678, 3, 0},
    {"12 300", 12345.678, 3, ' '},
    {"12 346", 12345.678, 5, ' '},
    {"12 345.7", 12345.678, 6, ' '},
    {"2.68", 2.675, 3, 0},
    {"-1.01", -1.005, 3, 0},
    {"28.5", 28.5, 3, 0},
    {"28.5", 28.50001, 3, 0},
    {"0.000123", 0.00012345, 3, 0},
    {"0.0000000000123", 1.2345e-11, 3, 0},
    {"1.23e-21", 1.2345e-21, 3, 0},
    {"1 230 000 000 000 000 000", 1.234e18, 3, ' '},
    {"1.23e21", 1.234e21, 3, ' '},
    {"1000", 999.9, 3, 0},
    {"1 000", 999.9, 1, ' '},
    {"999", 999, 3, ' '},
    {"-1'234'567", -1234567, 7, '\''},
    {"infinite", HUGE_VAL, 3, 0},
};

static void test_short(void **state)
{
    const short_row *row = *state;
    mw_text text = {0};
    mw_number_short(row->value, row->digits, row->group, &text);
    assert_text(&text, row->name);
}

static const short_row fixed_rows[] = {
    {"0.00", 0, 2, 0},
    {"0.00", -0.0, 2, 0},
    {"0.00", -0.001, 2, 0},
    {"0", 0.4999, 0, 0},
    {"1", 0.5, 0, 0},
    {"-1", -0.5, 0, 0},
    {"1.01", 1.005, 2, 0},
    {"2.68", 2.675, 2, 0},
    {"0.01", 0.005, 2, 0},
    {"10.00", 9.995, 2, 0},
    {"1 234.50", 1234.5, 2, ' '},
    {"-1 234 567.0", -1234567, 1, ' '},
    {"123", 123.4, 0, ' '},
    {"100000000000000000000.00", 1e20, 2, 0},
    {"0.333333333333333000", 1.0 / 3, 18, 0},
    {"not a number", (double)NAN, 2, 0},
};

static void test_fixed(void **state)
{
    const short_row *row = *state;
    mw_text text = {0};
    mw_number_fixed(row->value, row->digits, row->group, &text);
    assert_text(&text, row->name);
}

/* What is written reads back as the same 15 digits, and no shorter text would do. */
static void test_written_reads_back(void **state)
{
    (void)state;
    dice random = dice_start(12);
    mw_text text = {0};
    for (int i = 0; i < 100000; i++) {
        double value = random_double(&random);
        char want[40];
        char got[40];
        double back = -1;
        mw_text_clear(&text);
        mw_number_words(value, &text);
        assert_int_equal(mw_number_read(mw_str_of(mw_text_chars(&text)), &back), text.length);
        snprintf(want, sizeof want, "%.14e", value);
        snprintf(got, sizeof got, "%.14e", back);
        assert_string_equal(got, want);
    }
    mw_text_free(&text);
}

/* Fixed decimals of numbers that are exact in them: what the C library prints. */
static void test_fixed_as_the_library(void **state)
{
    (void)state;
    dice random = dice_start(13);
    mw_text text = {0};
    for (int i = 0; i < 100000; i++) {
        double value = (double)(dice_below(&random, 2000000000) - 1000000000) / 64;
        char want[40];
        snprintf(want, sizeof want, "%.6f", value);
        mw_text_clear(&text);
        mw_number_fixed(value, 6, 0, &text);
        assert_string_equal(mw_text_chars(&text), strcmp(want, "-0.000000") == 0 ? want + 1 : want);
    }
    mw_text_free(&text);
}

/* Where a locale with a decimal comma is installed, nothing changes. */
static void test_decimal_comma(void **state)
{
    (void)state;
    static const char *const locales[] = {"de_DE.UTF-8", "de_DE.utf8",  "fr_FR.UTF-8",
                                          "fr_FR.utf8",  "nl_NL.UTF-8", "nl_NL.utf8"};
    const char *found = NULL;
    for (size_t i = 0; i < sizeof locales / sizeof locales[0] && found == NULL; i++) {
        found = setlocale(LC_NUMERIC, locales[i]);
    }
    if (found == NULL) {
        print_message("SKIPPED: no locale with a decimal comma is installed\n");
        skip();
    }
    mw_text text = {0};
    double value;
    mw_number_words(1234.5, &text);
    mw_number_fixed(1.005, 2, ' ', &text);
    size_t used = mw_number_read(mw_str_of("2.2250738585072011e-308"), &value);
    double money = mw_money_round(1.005, 2);
    setlocale(LC_NUMERIC, "C");
    assert_text(&text, "1234.51.01");
    assert_int_equal(used, 23);
    assert_true(value == 2.2250738585072011e-308);
    assert_true(money == 1.01);
}

/* --- values ---------------------------------------------------------------------------------- */

typedef struct value_row {
    const char *name; /* the words */
    double number;    /* in `unit` */
    const char *unit;
    const char *type; /* "": that of the unit */
} value_row;

static const value_row value_rows[] = {
    {"11.4 m2", 11.4, "m2", ""},
    {"600 g/m2", 600, "g/m2", ""},
    {"8 %", 8, "%", ""},
    {"0.3 degC", 0.3, "degC", ""},
    {"20.1 degC", 20.1, "degC", ""},
    {"-40.7 degF", -40.7, "degF", ""},
    {"350 degF", 350, "degF", ""},
    {"5 K", 5, "K", ""},
    {"12 person*h", 12, "person*h", ""},
    {"12 h", 12, "h", "person*h"},
    {"0.1 h", 0.1, "h", ""},
    {"3 people", 3, "people", ""},
    {"58.00 EUR", 58, "EUR", ""},
    {"58.50 EUR", 58.5, "EUR", ""},
    {"58.505 EUR", 58.505, "EUR", ""},
    {"-0.10 EUR", -0.1, "EUR", ""},
    {"0.00 EUR", 0, "EUR", ""},
    {"1234567 JPY", 1234567, "JPY", ""},
    {"1.500 KWD", 1.5, "KWD", ""},
    {"1.5000 CLF", 1.5, "CLF", ""},
    {"1e20 EUR", 1e20, "EUR", ""},
    {"infinite EUR", HUGE_VAL, "EUR", ""},
    {"58 EUR/h", 58, "EUR/h", ""},
    {"1.5", 1.5, "", ""},
    {"not a number", (double)NAN, "", ""},
    {"infinite degC", HUGE_VAL, "degC", ""},
    /* The unit does not fit: the usual one. */
    {"2 kg", 2, "kg", "kg"},
    {"yes", 1, "", "truth"},
    {"no", 0, "", "truth"},
    {"", 7, "", "text"},
    {"1970-01-02", 86400, "", "date"},
    {"1970-01-02T14:30", 138600, "", "date"},
};

static void test_value(void **state)
{
    const value_row *row = *state;
    mw_measure *measure = mw_measure_new();
    mw_unit unit = unit_of(measure, row->unit);
    mw_type type = row->type[0] != '\0' ? type_of(measure, row->type) : mw_unit_type(measure, unit);
    mw_text text = {0};
    mw_value_words(measure, mw_unit_to_si(measure, unit, row->number), type, unit, &text);
    assert_text(&text, row->name);
    mw_measure_free(measure);
}

typedef struct temperature_row {
    const char *name; /* the words */
    double first, second;
    const char *first_unit, *second_unit; /* second NULL: the first alone */
    const char *shown;
} temperature_row;

/* Worked out by hand from the definitions in NIST SP 811 (2008), app. B.9: t/degC = (t/degF - 32) / 1.8. */
static const temperature_row temperature_rows[] = {
    {"8 degF_step", 40, 32, "degF", "degF", "degF_step"},
    {"0 K", 20, 68, "degC", "degF", "K"},
    {"5 K", 20.1, 15.1, "degC", "degC", "K"},
    {"0.3 K", 20.4, 20.1, "degC", "degC", "K"},
    {"37.7777777777778 degC", 100, 0, "degF", NULL, "degC"},
    {"98.6 degF", 37, 0, "degC", NULL, "degF"},
    {"1e-14 K", 1e-14, 0, "K", NULL, "K"},
    {"0.333333333333333 K", 1.0 / 3, 0, "K", NULL, "K"},
};

static void test_temperature(void **state)
{
    const temperature_row *row = *state;
    mw_measure *measure = mw_measure_new();
    mw_unit first = unit_of(measure, row->first_unit);
    mw_unit shown = unit_of(measure, row->shown);
    double value = mw_unit_to_si(measure, first, row->first);
    if (row->second_unit != NULL) {
        value -= mw_unit_to_si(measure, unit_of(measure, row->second_unit), row->second);
    }
    mw_text text = {0};
    mw_value_words(measure, value, mw_unit_type(measure, shown), shown, &text);
    assert_text(&text, row->name);
    mw_measure_free(measure);
}

/* A unit that does not show the type gives way to the usual one. */
static void test_value_in_usual_unit(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    mw_text text = {0};
    mw_value_words(measure, 5, MW_TYPE_TEMPERATURE, unit_of(measure, "degC"), &text);
    assert_text(&text, "5 K");
    mw_value_words(measure, 2, MW_TYPE_MASS, unit_of(measure, "m"), &text);
    assert_text(&text, "2 kg");
    mw_value_words(measure, 7200, MW_TYPE_LABOUR, MW_NONE, &text);
    assert_text(&text, "2 h");
    mw_measure_free(measure);
}

/* read(written(x)) is x to 15 digits, for all kinds of units. */
static void test_values_read_back(void **state)
{
    (void)state;
    static const char *const units[] = {"m2",     "kg/m2", "h",   "EUR",  "EUR/kg",   "degC",
                                        "degF",   "%",     "mil", "inHg", "person*h", "oz/yd2",
                                        "JPY",    "",      "deg", "1/h",  "GPa",      "kg*m4",
                                        "people", "K",     "phr"};
    const int count = (int)(sizeof units / sizeof units[0]);
    mw_measure *measure = mw_measure_new();
    dice random = dice_start(14);
    mw_text text = {0};
    for (int i = 0; i < 100000; i++) {
        mw_unit unit = unit_of(measure, units[dice_below(&random, count)]);
        double number = pow(10, dice_below(&random, 24) - 12) * (dice_unit(&random) - 0.3);
        double value = mw_unit_to_si(measure, unit, number);
        mw_text_clear(&text);
        mw_value_words(measure, value, mw_unit_type(measure, unit), unit, &text);
        /* sign, number, blank, unit */
        mw_str rest = mw_str_of(mw_text_chars(&text));
        double sign = rest.at[0] == '-' ? -1 : 1;
        rest = (mw_str){rest.at + (sign < 0), rest.length - (sign < 0)};
        double back = 0;
        size_t used = mw_number_read(rest, &back);
        assert_true(used > 0);
        rest = mw_str_trim((mw_str){rest.at + used, rest.length - used});
        mw_unit read = MW_UNIT_ONE;
        if (rest.length > 0) {
            assert_int_equal(mw_unit_read(measure, rest, &used, &read), MW_OK);
            assert_int_equal(used, rest.length);
        }
        assert_int_equal(read, unit);
        double again = mw_unit_to_si(measure, read, sign * back);
        double offset = mw_unit_offset(measure, unit);
        /* Half of the 15th digit and three roundings of a double. */
        assert_close(again, value, 5.7e-15 * fabs(value) + (offset != 0 ? 7e-13 : 0));
    }
    mw_text_free(&text);
    mw_measure_free(measure);
}

/* --- memory ---------------------------------------------------------------------------------- */

static support_outcome write_value(void *context)
{
    mw_measure *measure = mw_measure_new();
    (void)context;
    if (measure == NULL) {
        return SUPPORT_NO_MEMORY;
    }
    mw_type_parts parts = {.form = MW_FORM_NUMBER};
    parts.exponent[MW_MASS] = 60;
    parts.exponent[MW_LENGTH] = 240;
    mw_text text = {0};
    mw_type type = mw_type_of(measure, &parts);
    bool done = type != MW_NONE;
    if (done) {
        mw_value_words(measure, 3, type, MW_UNIT_ONE, &text);
        done = !text.failed;
    }
    mw_text_free(&text);
    mw_measure_free(measure);
    return done ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void test_without_memory(void **state)
{
    (void)state;
    support_fail_each_allocation(write_value, NULL);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "read", read_rows, test_read);
    test_add_rows(&list, "words", words_rows, test_words);
    test_add_rows(&list, "short", short_rows, test_short);
    test_add_rows(&list, "fixed", fixed_rows, test_fixed);
    test_add_rows(&list, "value", value_rows, test_value);
    test_add_rows(&list, "temperature", temperature_rows, test_temperature);
    test_add(&list, test_read_long);
    test_add(&list, test_read_as_the_library);
    test_add(&list, test_written_reads_back);
    test_add(&list, test_fixed_as_the_library);
    test_add(&list, test_decimal_comma);
    test_add(&list, test_value_in_usual_unit);
    test_add(&list, test_values_read_back);
    test_add(&list, test_without_memory);
    return test_run(&list, "number");
}
