/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Money: rounding, currencies, splitting, margins. */
#include "measure_support.h"

#include <math.h>

#include "mouldwright/money.h"

/* --- rounding -------------------------------------------------------------------------------- */

#define IS_2  "IS 2:1960, Rules for rounding off numerical values, worked examples"
#define CICC  "CICC Asian data book, 2.05 Number rounding, after JIS Z 8401"
#define ISO_B "ISO 80000-1:2009, annex B, from memory"
#define RULE  "halves away from zero, our own rule; 15 digits decide"

typedef struct round_row {
    const char *name;
    double amount;
    int digits;
    double want;
    int64_t minor;
    const char *source;
} round_row;

static const round_row round_rows[] = {
    {"a half below in binary", 1.005, 2, 1.01, 101, RULE},
    {"another", 2.675, 2, 2.68, 268, RULE},
    {"a negative half", -1.005, 2, -1.01, -101, RULE},
    {"half a cent", 0.005, 2, 0.01, 1, RULE},
    {"minus half a cent", -0.005, 2, -0.01, -1, RULE},
    {"less than half a cent", 0.0049999, 2, 0, 0, RULE},
    {"fifteen digits say a half", 0.00499999999999999999, 2, 0.01, 1, RULE},
    {"thirds", 100.0 / 3, 2, 33.33, 3333, RULE},
    {"carry", 9.995, 2, 10, 1000, RULE},
    {"long carry", 99999.995, 2, 100000, 10000000, RULE},
    {"yen", 1234.5, 0, 1235, 1235, RULE},
    {"dinar", 1.2345, 3, 1.235, 1235, RULE},
    {"unidad de fomento", 1.00005, 4, 1.0001, 10001, RULE},
    {"nothing", 0, 2, 0, 0, RULE},
    {"a sum with noise", 0.1 + 0.2 + 0.005, 2, 0.31, 31, RULE},
    {"a product with noise", 1.1 * 1.1 * 1.5, 2, 1.82, 182, RULE},
    {"4.36 to 1", 4.36, 0, 4, 4, IS_2},
    {"2.355 to 1", 2.355, 0, 2, 2, IS_2},
    {"15.205 to 0.1", 15.205, 1, 15.2, 152, IS_2},
    {"9.625 to 1", 9.625, 0, 10, 10, IS_2},
    {"2.651 to 0.1", 2.651, 1, 2.7, 27, IS_2},
    {"0.3552 to 0.01", 0.3552, 2, 0.36, 36, IS_2},
    {"123.454 half up", 123.454, 2, 123.45, 12345, CICC},
    {"123.455 half up", 123.455, 2, 123.46, 12346, CICC},
    {"12.251 to 0.1", 12.251, 1, 12.3, 123, ISO_B},
    {"12.25 to 0.1, rule B", 12.25, 1, 12.3, 123, ISO_B},
    {"12.254 to 0.1, in one step", 12.254, 1, 12.3, 123, ISO_B},
    {"1222.3 to 10", 1222.3, -1, 1220, 122, ISO_B},
    {"1225.1 to 10", 1225.1, -1, 1230, 123, ISO_B},
    {"1227.5 to 10", 1227.5, -1, 1230, 123, ISO_B},
    {"1225.0 to 10, rule B", 1225, -1, 1230, 123, ISO_B},
    {"VAT fraction of 120 at 20 %", 120 / 6.0, 2, 20, 2000,
     "HMRC Notice 700, VAT fraction, from memory"},
    {"VAT fraction of 120 at 5 %", 120 / 21.0, 2, 5.71, 571,
     "HMRC Notice 700, VAT fraction, from memory"},
    {"large with cents", 12345678901234.56, 2, 12345678901234.56, INT64_C(1234567890123456), RULE},
    {"largest with cents", 90071992547409.91, 2, 90071992547409.91, INT64_C(9007199254740991),
     RULE},
};

static void test_round(void **state)
{
    const round_row *row = *state;
    assert_true(mw_money_round(row->amount, row->digits) == row->want);
    int64_t minor = 77;
    assert_true(mw_money_minor(row->amount, row->digits, &minor));
    assert_int_equal(minor, row->minor);
}

static void test_round_strange(void **state)
{
    (void)state;
    int64_t minor = 77;
    assert_true(isnan(mw_money_round((double)NAN, 2)));
    assert_true(isinf(mw_money_round(-HUGE_VAL, 2)));
    assert_false(mw_money_minor((double)NAN, 2, &minor));
    assert_false(mw_money_minor(HUGE_VAL, 2, &minor));
    assert_false(mw_money_minor(1e300, 2, &minor));
    assert_false(mw_money_minor(-1e18, 2, &minor));
    assert_int_equal(minor, 77);
    /* The limit itself, 2^62, and the next double. */
    assert_true(mw_money_minor(0x1p62, 0, &minor));
    assert_int_equal(minor, INT64_C(1) << 62);
    assert_true(mw_money_minor(-0x1p62, 0, &minor));
    assert_int_equal(minor, -(INT64_C(1) << 62));
    minor = 77;
    assert_false(mw_money_minor(nextafter(0x1p62, HUGE_VAL), 0, &minor));
    assert_int_equal(minor, 77);
}

/* Every cent is itself, in both forms; every half cent goes away from zero. */
static void test_round_cents(void **state)
{
    (void)state;
    dice random = dice_start(21);
    for (int i = 0; i < 100000; i++) {
        int64_t cents = (int64_t)(dice_bits(&random) % UINT64_C(2000000000000)) - 1000000000000;
        double amount = (double)cents / 100;
        int64_t minor;
        assert_true(mw_money_round(amount, 2) == amount);
        assert_true(mw_money_minor(amount, 2, &minor));
        assert_int_equal(minor, cents);
        double half = (double)(cents * 10 + (cents < 0 ? -5 : 5)) / 1000;
        assert_true(mw_money_minor(half, 2, &minor));
        assert_int_equal(minor, cents + (cents < 0 ? -1 : 1));
    }
}

/* Rounded at once or digit by digit: what is near a half, and what is not, comes out as the whole minor units say. */
static void test_round_both_ways(void **state)
{
    (void)state;
    static const double powers[] = {1, 10, 100, 1000, 10000};
    dice random = dice_start(22);
    for (int i = 0; i < 200000; i++) {
        const int digits = (int)(dice_bits(&random) % 5);
        const double whole = (double)(dice_bits(&random) % 3000000000u);
        const double near_half = ((double)(dice_bits(&random) % 2001u) - 1000.0) * 2e-7;
        const double part = i % 2 ? 0.5 + near_half : (double)(dice_bits(&random) % 100000u) / 1e5;
        const double amount = (i % 3 ? 1.0 : -1.0) * (whole + part) / powers[digits];
        int64_t minor;
        assert_true(mw_money_minor(amount, digits, &minor));
        assert_true(mw_money_round(amount, digits) == (double)minor / powers[digits]);
    }
}

/* --- words ----------------------------------------------------------------------------------- */

typedef struct words_row {
    const char *name;
    int64_t minor;
    int digits;
    char group;
} words_row;

static const words_row words_rows[] = {
    {"-1 234.50", -123450, 2, ' '},
    {"1234.50", 123450, 2, 0},
    {"0.00", 0, 2, ' '},
    {"0.05", 5, 2, ' '},
    {"-0.05", -5, 2, ' '},
    {"999.99", 99999, 2, ' '},
    {"1 000.00", 100000, 2, ' '},
    {"1'234'567", 1234567, 0, '\''},
    {"0", 0, 0, ' '},
    {"1.234", 1234, 3, ' '},
    {"12 345.6789", 123456789, 4, ' '},
    {"92 233 720 368 547 758.07", INT64_MAX, 2, ' '},
    {"-92 233 720 368 547 758.08", INT64_MIN, 2, ' '},
};

static void test_words(void **state)
{
    const words_row *row = *state;
    mw_text text = {0};
    mw_money_words(row->minor, row->digits, row->group, &text);
    assert_text(&text, row->name);
}

/* --- currencies ------------------------------------------------------------------------------ */

typedef struct currency_test_row {
    const char *name;
    int digits; /* -1: no such currency */
} currency_test_row;

/* Source: ISO 4217:2015, list one, as published 2024-06-25. */
static const currency_test_row currency_test_rows[] = {
    {"EUR", 2},  {"USD", 2},  {"GBP", 2},  {"CHF", 2},  {"NOK", 2},  {"BIF", 0},   {"CLP", 0},
    {"DJF", 0},  {"GNF", 0},  {"ISK", 0},  {"JPY", 0},  {"KMF", 0},  {"KRW", 0},   {"PYG", 0},
    {"RWF", 0},  {"UGX", 0},  {"UYI", 0},  {"VND", 0},  {"VUV", 0},  {"XAF", 0},   {"XOF", 0},
    {"XPF", 0},  {"BHD", 3},  {"IQD", 3},  {"JOD", 3},  {"KWD", 3},  {"LYD", 3},   {"OMR", 3},
    {"TND", 3},  {"CLF", 4},  {"UYW", 4},  {"XAU", -1}, {"XAG", -1}, {"XDR", -1},  {"XTS", -1},
    {"XXX", -1}, {"DEM", -1}, {"HRK", -1}, {"eur", -1}, {"EU", -1},  {"EURO", -1}, {"kg", -1},
    {"", -1},
};

static void test_currency(void **state)
{
    const currency_test_row *row = *state;
    mw_measure *measure = mw_measure_new();
    uint16_t id = mw_currency_find(measure, mw_str_of(row->name));
    if (row->digits < 0) {
        assert_int_equal(id, 0);
        assert_int_equal(mw_money_type(measure, id), MW_NONE);
        assert_string_equal(mw_currency_code(measure, id), "");
    } else {
        assert_int_not_equal(id, 0);
        assert_string_equal(mw_currency_code(measure, id), row->name);
        assert_int_equal(mw_currency_digits(measure, id), row->digits);
        assert_int_equal(mw_money_type(measure, id), type_of(measure, row->name));
    }
    mw_measure_free(measure);
}

/* --- the list of currencies in use ----------------------------------------------------------- */

typedef struct listed {
    char code[8];
    char digits[8];
    bool withdrawn;
} listed;

static listed listed_rows[600];

static void test_listed(void **state)
{
    const listed *row = *state;
    mw_measure *measure = mw_measure_new();
    uint16_t id = mw_currency_find(measure, mw_str_of(row->code));
    assert_int_not_equal(id, 0);
    assert_int_equal(mw_currency_digits(measure, id), atoi(row->digits));
    mw_measure_free(measure);
}

/* Nothing is in our table that is not in the list. */
static void test_nothing_more(void **state)
{
    const size_t *count = *state;
    mw_measure *measure = mw_measure_new();
    uint16_t id = 1;
    for (; mw_currency_code(measure, id)[0] != '\0'; id++) {
        bool found = false;
        for (size_t i = 0; i < *count; i++) {
            found = found || strcmp(listed_rows[i].code, mw_currency_code(measure, id)) == 0;
        }
        assert_true(found);
    }
    print_message("%d currencies\n", id - 1);
    assert_int_equal(id - 1, 165);
    mw_measure_free(measure);
}

/* Source: SIX Financial Information, ISO 4217 list one and list three, as collected in the open
 * data set "Comprehensive currency codes list". */
static void add_listed(test_list *list, size_t *count)
{
    FILE *file = checks_open("data/iso4217/codes-all.csv");
    if (file == NULL) {
        test_add_named(list, "list one: data absent", data_absent, NULL);
        return;
    }
    char line[512];
    while (fgets(line, sizeof line, file) != NULL && *count < 600) {
        char *fields[6];
        if (csv_split(line, fields, 6) < 6 || fields[5][0] != '\0' || fields[4][0] < '0' ||
            fields[4][0] > '9') {
            continue; /* withdrawn, or without minor unit */
        }
        listed *row = &listed_rows[*count];
        snprintf(row->code, sizeof row->code, "%.3s", fields[2]);
        snprintf(row->digits, sizeof row->digits, "%.3s", fields[4]);
        char name[600];
        snprintf(name, sizeof name, "list one: %s, %s", row->code, fields[0]);
        test_add_named(list, name, test_listed, row);
        (*count)++;
    }
    fclose(file);
    test_add_named(list, "list one: nothing more", test_nothing_more, count);
}

/* --- splitting ------------------------------------------------------------------------------- */

typedef struct split_row {
    const char *name;
    int64_t total;
    size_t count;
    double shares[5];
    int64_t parts[5];
} split_row;

/* The first is the method's own: the largest remainders get what is left. */
static const split_row split_rows[] = {
    {"thirds", 100, 3, {1, 1, 1}, {34, 33, 33}},
    {"two left", 101, 3, {1, 1, 1}, {34, 34, 33}},
    {"one part", 77, 1, {0.3}, {77}},
    {"with nothing", 100, 3, {0, 1, 0}, {0, 100, 0}},
    {"negative", -100, 3, {1, 1, 1}, {-34, -33, -33}},
    {"tenths", 10, 3, {0.1, 0.2, 0.7}, {1, 2, 7}},
    {"largest remainder", 10, 3, {1.5, 3.2, 5.3}, {2, 3, 5}},
    {"more parts than units", 2, 5, {1, 1, 1, 1, 1}, {1, 1, 0, 0, 0}},
    {"nothing to split", 0, 3, {1, 2, 3}, {0, 0, 0}},
    {"very unequal", 1000, 2, {1e-300, 1e300}, {0, 1000}},
    {"tiny shares", 7, 2, {5e-324, 5e-324}, {4, 3}},
    {"huge shares", 7, 2, {1.7e308, 1.7e308}, {4, 3}},
    {"largest total",
     INT64_MAX,
     2,
     {1, 1},
     {INT64_C(4611686018427387904), INT64_C(4611686018427387903)}},
    {"smallest total",
     INT64_MIN,
     2,
     {1, 1},
     {-INT64_C(4611686018427387904), -INT64_C(4611686018427387904)}},
    /* Five states of the example in Balinski and Young, Fair Representation, 1982, from memory: 26
     * seats. */
    {"26 seats", 26, 5, {9061, 7179, 5259, 3319, 1182}, {9, 7, 5, 4, 1}},
};

static void test_split(void **state)
{
    const split_row *row = *state;
    int64_t parts[5] = {0};
    assert_true(mw_money_split(row->total, row->shares, row->count, parts));
    for (size_t i = 0; i < row->count; i++) {
        assert_int_equal(parts[i], row->parts[i]);
    }
}

static void test_split_unfit(void **state)
{
    (void)state;
    int64_t parts[3];
    assert_false(mw_money_split(100, (const double[]){1, -1, 1}, 3, parts));
    assert_false(mw_money_split(100, (const double[]){0, 0, 0}, 3, parts));
    assert_false(mw_money_split(100, (const double[]){1, (double)NAN, 1}, 3, parts));
    assert_false(mw_money_split(100, (const double[]){1, HUGE_VAL, 1}, 3, parts));
    assert_false(mw_money_split(100, NULL, 0, parts));
}

/* A mould of 12 000.00 over 251 parts: 220 of 47.81 and 31 of 47.80 are 12 000.00. */
static void test_split_over_parts(void **state)
{
    (void)state;
    double shares[251];
    int64_t parts[251];
    for (int i = 0; i < 251; i++) {
        shares[i] = 1;
    }
    assert_true(mw_money_split(1200000, shares, 251, parts));
    for (int i = 0; i < 251; i++) {
        assert_int_equal(parts[i], i < 220 ? 4781 : 4780);
    }
}

/* Parts sum to the total, none is a unit or more off its share, no share has more than a larger
 * one. */
static void test_split_random(void **state)
{
    (void)state;
    dice random = dice_start(22);
    for (int i = 0; i < 100000; i++) {
        double shares[12];
        int64_t parts[12];
        size_t count = 1 + (size_t)dice_below(&random, 12);
        double sum = 0;
        for (size_t k = 0; k < count; k++) {
            shares[k] =
                dice_below(&random, 4) == 0 ? 0 : dice_unit(&random) * dice_below(&random, 50);
            sum += shares[k];
        }
        int64_t total = (int64_t)(dice_bits(&random) >> (20 + dice_below(&random, 40)));
        total = dice_below(&random, 2) == 0 ? total : -total;
        bool split = mw_money_split(total, shares, count, parts);
        assert_int_equal(split, sum > 0);
        if (!split) {
            continue;
        }
        int64_t all = 0;
        for (size_t k = 0; k < count; k++) {
            double exact = (double)total * (shares[k] / sum);
            all += parts[k];
            assert_true(fabs((double)parts[k] - exact) < 1 + fabs(exact) * 1e-14);
            assert_true(shares[k] > 0 || parts[k] == 0);
            for (size_t j = 0; j < count; j++) {
                assert_true(shares[j] <= shares[k] || llabs(parts[j]) >= llabs(parts[k]));
            }
        }
        assert_int_equal(all, total);
    }
}

/* --- margin and mark-up ---------------------------------------------------------------------- */

typedef struct margin_row {
    const char *name;
    double markup;
    double margin;
} margin_row;

/* Source: published charts of margin and mark-up, to the digits that they print; the 67 % row
 * prints 200 % where the identity gives 203.0303 %. */
static const margin_row margin_rows[] = {
    {"markup 25 %", 0.25, 0.20},           {"markup 100 %", 1.0, 0.5},
    {"margin 25 %", 0.333333333333, 0.25}, {"margin 35 %", 0.538462, 0.35},
    {"margin 67 %", 2.030303, 0.67},       {"nothing", 0, 0},
};

static void test_margin(void **state)
{
    const margin_row *row = *state;
    assert_close(mw_margin_of_markup(row->markup), row->margin, 5e-7);
    assert_close(mw_markup_of_margin(row->margin), row->markup, 5e-7);
    assert_close(mw_markup_of_margin(mw_margin_of_markup(row->markup)), row->markup, 1e-15);
}

int main(void)
{
    test_list list = {0};
    size_t count = 0;
    test_add_rows(&list, "round", round_rows, test_round);
    test_add_rows(&list, "words", words_rows, test_words);
    test_add_rows(&list, "currency", currency_test_rows, test_currency);
    test_add_rows(&list, "split", split_rows, test_split);
    test_add_rows(&list, "margin", margin_rows, test_margin);
    test_add(&list, test_round_strange);
    test_add(&list, test_round_cents);
    test_add(&list, test_round_both_ways);
    test_add(&list, test_split_unfit);
    test_add(&list, test_split_over_parts);
    test_add(&list, test_split_random);
    add_listed(&list, &count);
    return test_run(&list, "money");
}
