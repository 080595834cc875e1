/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Units as text: reading, writing, the names that a shop adds, suggestions. The grammar is our own,
 * stated in unit.h. */
#include "measure_support.h"

#include <math.h>

#include "mouldwright/money.h"
#include "mouldwright/suggest.h"

/* --- rows ------------------------------------------------------------------------------------ */

typedef struct read_row {
    const char *name; /* the text */
    mw_status status;
    size_t used;
    const char *words; /* of the unit read */
} read_row;

static const read_row read_rows[] = {
    {"m", MW_OK, 1, "m"},
    {"m2", MW_OK, 2, "m2"},
    {"m^2", MW_OK, 3, "m2"},
    {"m^-1", MW_OK, 4, "1/m"},
    {"m-1", MW_OK, 1, "m"},
    {"s^1/2", MW_OK, 5, "s^1/2"},
    {"s^3/2/m", MW_OK, 7, "s^3/2/m"},
    {"m^0.5", MW_OK, 5, "m^1/2"},
    {"m^1.25", MW_OK, 6, "m^5/4"},
    {"m^2/4", MW_OK, 5, "m^1/2"},
    {"m^2/kg", MW_OK, 6, "m2/kg"},
    {"m2/3", MW_OK, 2, "m2"},
    {"m^x", MW_OK, 1, "m"},
    {"m^-x", MW_OK, 1, "m"},
    {"m^", MW_OK, 1, "m"},
    {"m^2.x", MW_OK, 3, "m2"},
    {"m2.kg", MW_OK, 5, "m2*kg"},
    {"m2^3", MW_OK, 2, "m2"},
    {"kg*m/s2", MW_OK, 7, "kg*m/s2"},
    {"kg/m2/h", MW_OK, 7, "kg/m2/h"},
    {"kg/m2*h", MW_OK, 7, "kg*h/m2"},
    {"N.m", MW_OK, 3, "N*m"},
    {"N.x", MW_OK, 1, "N"},
    {"EUR/h", MW_OK, 5, "EUR/h"},
    {"EUR/person/h", MW_OK, 12, "EUR/person/h"},
    {"1/h", MW_OK, 3, "1/h"},
    {"1/m2/s", MW_OK, 6, "1/m2/s"},
    {"1*kg", MW_OK, 4, "kg"},
    {"1", MW_OK, 1, ""},
    {"1 ", MW_OK, 1, ""},
    {"1/x", MW_NOT_FOUND, 0, NULL},
    {"1/2", MW_NOT_FOUND, 0, NULL},
    {"12", MW_NOT_FOUND, 0, NULL},
    {"1m", MW_NOT_FOUND, 0, NULL},
    {"m/m", MW_OK, 3, ""},
    {"m*m", MW_OK, 3, "m2"},
    {"kg/kg", MW_OK, 5, ""},
    {"g/kg", MW_OK, 4, "g/kg"},
    {"h*rate", MW_OK, 1, "h"},
    {"kg/area", MW_OK, 2, "kg"},
    {"kg/2", MW_OK, 2, "kg"},
    {"kg/", MW_OK, 2, "kg"},
    {"kg*", MW_OK, 2, "kg"},
    {"kg)", MW_OK, 2, "kg"},
    {"kg,m", MW_OK, 2, "kg"},
    {"kg + m", MW_OK, 2, "kg"},
    {"%", MW_OK, 1, "%"},
    {"%/h", MW_OK, 3, "%/h"},
    {"%x", MW_OK, 1, "%"},
    {"", MW_NOT_FOUND, 0, NULL},
    {" m", MW_NOT_FOUND, 0, NULL},
    {"/m", MW_NOT_FOUND, 0, NULL},
    {"2", MW_NOT_FOUND, 0, NULL},
    {"_m", MW_NOT_FOUND, 0, NULL},
    {"foo", MW_NOT_FOUND, 3, NULL},
    {"foo/m", MW_NOT_FOUND, 3, NULL},
    {"foo2", MW_NOT_FOUND, 4, NULL},
    {"m2x", MW_NOT_FOUND, 3, NULL},
    {"m_2", MW_NOT_FOUND, 3, NULL},
    {"Kg", MW_NOT_FOUND, 2, NULL},
    {"KG", MW_NOT_FOUND, 2, NULL},
    {"as", MW_NOT_FOUND, 2, NULL},
    {"and", MW_NOT_FOUND, 3, NULL},
    {"year", MW_NOT_FOUND, 4, NULL},
    {"month", MW_NOT_FOUND, 5, NULL},
    {"mt", MW_NOT_FOUND, 2, NULL},
    {"kmin", MW_NOT_FOUND, 4, NULL},
    {"kdegC", MW_NOT_FOUND, 5, NULL},
    {"kin", MW_NOT_FOUND, 3, NULL},
    {"mkm", MW_NOT_FOUND, 3, NULL},
    {"klitre", MW_NOT_FOUND, 6, NULL},
    {"k", MW_NOT_FOUND, 1, NULL},
    {"kt", MW_OK, 2, "kt"},
    {"min", MW_OK, 3, "min"},
    {"cd", MW_OK, 2, "cd"},
    {"Pa", MW_OK, 2, "Pa"},
    {"ft", MW_OK, 2, "ft"},
    {"pt", MW_OK, 2, "pt"},
    {"dam", MW_OK, 3, "dam"},
    {"dm", MW_OK, 2, "dm"},
    {"l", MW_OK, 1, "L"},
    {"ml", MW_OK, 2, "mL"},
    {"litres", MW_OK, 6, "L"},
    {"hours", MW_OK, 5, "h"},
    {"days", MW_OK, 4, "d"},
    {"weeks", MW_OK, 5, "week"},
    {"feet", MW_OK, 4, "ft"},
    {"inches", MW_OK, 6, "in"},
    {"lbs", MW_OK, 3, "lb"},
    {"thou", MW_OK, 4, "mil"},
    {"micron", MW_OK, 6, "um"},
    {"micron2", MW_OK, 7, "um2"},
    {"kilos", MW_OK, 5, "kg"},
    {"torr", MW_OK, 4, "Torr"},
    {"mtorr", MW_OK, 5, "mTorr"},
    {"person", MW_OK, 6, "people"},
    {"people", MW_OK, 6, "people"},
    {"person*h", MW_OK, 8, "person*h"},
    {"h*people", MW_OK, 8, "h*person"},
    {"pieces", MW_OK, 6, "pcs"},
    {"\xc2\xb5m", MW_OK, 3, "um"},     /* micro sign */
    {"\xce\xbcm", MW_OK, 3, "um"},     /* Greek mu */
    {"k\xce\xa9", MW_OK, 3, "kohm"},   /* Greek omega */
    {"\xe2\x84\xa6", MW_OK, 3, "ohm"}, /* ohm sign */
    {"\xc2\xb0"
     "C",
     MW_OK, 3, "degC"}, /* degree sign */
    {"\xc2\xb0"
     "F",
     MW_OK, 3, "degF"},
    {"\xc2\xb0", MW_OK, 2, "deg"},
    {"m\xc2\xb2", MW_OK, 3, "m2"},              /* raised 2 */
    {"m\xc2\xb3/h", MW_OK, 5, "m3/h"},          /* raised 3 */
    {"m\xe2\x81\xbb\xc2\xb9", MW_OK, 6, "1/m"}, /* raised -1 */
    {"m\xe2\x81\xb4", MW_OK, 4, "m4"},          /* raised 4 */
    {"m\xc2\xb9\xe2\x81\xb0", MW_OK, 6, "m10"}, /* raised 10 */
    {"m\xe2\x81\xbb", MW_OK, 1, "m"},           /* raised minus alone */
    {"m\xc2\xb2\xe2\x81\xbb", MW_OK, 3, "m2"},  /* raised minus behind a raised 2 */
    {"N\xc2\xb7m", MW_OK, 4, "N*m"},            /* raised dot */
    {"N\xe2\x8b\x85m", MW_OK, 5, "N*m"},        /* dot operator */
    {"N\xc2\xb7", MW_OK, 1, "N"},
    {"m\xc2\xa0x", MW_OK, 1, "m"}, /* blank that does not break */
    {"gr\xc3\xb6\xc3\x9f"
     "e",
     MW_NOT_FOUND, 7, NULL},  /* a foreign word */
    {"m\xff", MW_OK, 1, "m"}, /* no UTF-8 */
    {"m0", MW_FAILED, 2, NULL},
    {"m^0", MW_FAILED, 3, NULL},
    {"m^1/0", MW_FAILED, 5, NULL},
    {"m^1/7", MW_FAILED, 5, NULL},
    {"m99", MW_OK, 3, "m99"},
    {"m100", MW_FAILED, 4, NULL},
    {"m^-100", MW_FAILED, 6, NULL},
    {"m50*m50", MW_FAILED, 7, NULL},
    {"m1234567", MW_FAILED, 8, NULL},
    {"Qm10", MW_OK, 4, "Qm10"},
    {"%^2", MW_OK, 3, "%^2"},
    {"Qm10*Qg", MW_FAILED, 7, NULL},
    {"Qm11", MW_FAILED, 4, NULL},
    {"qm11", MW_FAILED, 4, NULL},
    {"m*g*s*A*K*mol*cd*people*EUR*N*Pa*J", MW_OK, 34, "m*g*s*A*K*mol*cd*person*EUR*N*Pa*J"},
    {"m*g*s*A*K*mol*cd*people*EUR*N*Pa*J*W", MW_FAILED, 36, NULL},
    {"EUR/USD", MW_FAILED, 7, NULL},
    {"a_word_that_is_so_long_that_no_unit_has_ever_had_such_a_name", MW_NOT_FOUND, 60, NULL},
    {"EURO", MW_NOT_FOUND, 4, NULL},
    {"eur", MW_NOT_FOUND, 3, NULL},
};

/* Reads exactly the bytes of the text, so that the sanitizer sees a step too far. */
static void test_read(void **state)
{
    const read_row *row = *state;
    mw_measure *measure = mw_measure_new();
    size_t length = strlen(row->name);
    char *exact = malloc(length + (length == 0));
    memcpy(exact, row->name, length);
    for (int i = 0; i < 2; i++) { /* the second time it is remembered */
        size_t used = 999;
        mw_unit unit = MW_NONE;
        mw_status status = mw_unit_read(measure, (mw_str){exact, length}, &used, &unit);
        assert_int_equal(status, row->status);
        assert_int_equal(used, row->used);
        if (status == MW_OK) {
            mw_text text = {0};
            mw_unit_words(measure, unit, &text);
            assert_text(&text, row->words);
        }
    }
    free(exact);
    mw_measure_free(measure);
}

/* --- properties ------------------------------------------------------------------------------ */

typedef struct names {
    char text[200][16];
    int count;
} names;

static void collect(void *context, mw_str name, mw_str about, mw_type type, double scale)
{
    names *all = context;
    assert_true(about.length > 0);
    assert_int_not_equal(type, MW_NONE);
    assert_true(scale > 0);
    assert_true(all->count < 200 && name.length < 16);
    memcpy(all->text[all->count], name.at, name.length);
    all->text[all->count++][name.length] = '\0';
}

enum { PREFIXES = 24 };

/* The built-in units, and the prefixes behind them. */
static names all_names(const mw_measure *measure)
{
    names all = {.count = 0};
    mw_unit_each(measure, collect, &all);
    return all;
}

static int64_t steps_between(double a, double b)
{
    int64_t x;
    int64_t y;
    memcpy(&x, &a, sizeof x);
    memcpy(&y, &b, sizeof y);
    return x > y ? x - y : y - x;
}

/* Every unit there and back: within 2 steps of a double; for temperatures within 2 steps of the
 * larger of the value and the unit's zero, which is what a double in kelvin can hold. */
static void test_there_and_back(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    names all = all_names(measure);
    dice random = dice_start(1);
    for (int i = 0; i < 100000; i++) {
        char text[32];
        const char *prefix = all.text[all.count - PREFIXES + dice_below(&random, PREFIXES)];
        const char *name = all.text[dice_below(&random, all.count - PREFIXES)];
        snprintf(text, sizeof text, "%s%s", dice_below(&random, 2) == 0 ? prefix : "", name);
        size_t used;
        mw_unit unit;
        if (mw_unit_read(measure, mw_str_of(text), &used, &unit) != MW_OK) {
            continue;
        }
        double value = pow(10, dice_below(&random, 12) - 6) * (0.1 + dice_unit(&random));
        double back = mw_unit_from_si(measure, unit, mw_unit_to_si(measure, unit, value));
        double offset = mw_unit_offset(measure, unit);
        if (offset == 0) {
            assert_true(steps_between(value, back) <= 2);
        } else {
            double larger = fmax(value, offset / mw_unit_scale(measure, unit));
            assert_close(back, value, 2 * (nextafter(larger, HUGE_VAL) - larger));
        }
    }
    mw_measure_free(measure);
}

/* Appends a random factor. */
static void add_random_factor(dice *random, const names *all, char *text, size_t size)
{
    size_t at = strlen(text);
    const char *join = at == 0 ? "" : dice_below(random, 2) == 0 ? "*" : "/";
    const char *name = all->text[dice_below(random, all->count - PREFIXES)];
    static const char *const powers[] = {"", "", "2", "3", "^-1", "^1/2", "^-3/4", "^2"};
    snprintf(text + at, size - at, "%s%s%s", join, name, powers[dice_below(random, 8)]);
}

/* read(words(unit)) is the unit again. */
static void test_words_read_back(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    names all = all_names(measure);
    dice random = dice_start(2);
    mw_text words = {0};
    int checked = 0;
    for (int i = 0; i < 100000; i++) {
        char text[256] = "";
        for (int k = dice_below(&random, 4); k >= 0; k--) {
            add_random_factor(&random, &all, text, sizeof text);
        }
        size_t used;
        mw_unit unit;
        if (mw_unit_read(measure, mw_str_of(text), &used, &unit) != MW_OK || used != strlen(text)) {
            continue;
        }
        mw_text_clear(&words);
        mw_unit_words(measure, unit, &words);
        if (words.length > 0) {
            /* Factors that cancel may leave others in another order, hence the second look. */
            mw_unit again = unit_of(measure, mw_text_chars(&words));
            mw_text second = {0};
            mw_unit_words(measure, again, &second);
            assert_text(&second, mw_text_chars(&words));
            assert_near(mw_unit_scale(measure, again), mw_unit_scale(measure, unit), 1e-14);
            assert_int_equal(mw_unit_type(measure, again), mw_unit_type(measure, unit));
            checked++;
        }
    }
    assert_true(checked > 50000);
    mw_text_free(&words);
    mw_measure_free(measure);
}

/* Noise: no crash, never more used than there is, the same answer from memory and afresh. */
static void test_noise(void **state)
{
    (void)state;
    static const char letters[] = "mkghsEURd2/*^.-1%C \xc2\xb2\xb7";
    mw_measure *measure = mw_measure_new();
    dice random = dice_start(3);
    for (int i = 0; i < 100000; i++) {
        char text[40];
        size_t length = (size_t)dice_below(&random, 40);
        for (size_t k = 0; k < length; k++) {
            text[k] = letters[dice_below(&random, (int)sizeof letters - 1)];
        }
        size_t used = 0;
        mw_unit unit = MW_NONE;
        mw_status status = mw_unit_read(measure, (mw_str){text, length}, &used, &unit);
        assert_true(used <= length);
        if (i % 500 == 0) {
            mw_measure *fresh = mw_measure_new();
            size_t used_again = 0;
            mw_unit again = MW_NONE;
            assert_int_equal(mw_unit_read(fresh, (mw_str){text, length}, &used_again, &again),
                             status);
            assert_int_equal(used_again, used);
            mw_measure_free(fresh);
        }
    }
    mw_measure_free(measure);
}

/* Each name of the table reads as itself, not as a prefix and another name. */
static void test_names_are_themselves(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    names all = all_names(measure);
    for (int i = 0; i < all.count - PREFIXES; i++) {
        mw_text text = {0};
        mw_unit_words(measure, unit_of(measure, all.text[i]), &text);
        assert_text(&text, all.text[i]);
    }
    mw_measure_free(measure);
}

/* --- units of a shop ------------------------------------------------------------------------- */

static mw_status define(mw_measure *measure, const char *name, double factor, const char *unit)
{
    return mw_unit_define(measure, mw_str_of(name), factor, unit_of(measure, unit));
}

static void test_define(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    size_t used;
    mw_unit unit;
    assert_int_equal(mw_unit_read(measure, mw_str_of("drum"), &used, &unit), MW_NOT_FOUND);
    assert_int_equal(define(measure, "drum", 200, "kg"), MW_OK);
    assert_int_equal(define(measure, "roll", 50, "m"), MW_OK);
    assert_int_equal(define(measure, "bucket", 20, "L"), MW_OK);
    assert_int_equal(define(measure, "shift", 8, "h"), MW_OK);
    assert_int_equal(define(measure, "D16", 16, "mm"), MW_OK);
    assert_int_equal(define(measure, "pallet", 4, "drum"), MW_OK);
    assert_int_equal(define(measure, "kEUR", 1000, "EUR"), MW_OK);
    assert_near(mw_unit_to_si(measure, unit_of(measure, "drum"), 3), 600, 1e-15);
    assert_near(mw_unit_to_si(measure, unit_of(measure, "pallet"), 1), 800, 1e-15);
    assert_near(mw_unit_scale(measure, unit_of(measure, "EUR/drum")), 1 / 200.0, 1e-15);
    assert_near(mw_unit_scale(measure, unit_of(measure, "kEUR/kg")), 1000, 1e-15);
    assert_int_equal(mw_unit_type(measure, unit_of(measure, "kEUR/drum")),
                     mw_unit_type(measure, unit_of(measure, "EUR/kg")));
    /* A shift is as soft as an hour. */
    assert_int_equal(mw_unit_type(measure, unit_of(measure, "shift")), type_of(measure, "h"));
    assert_int_equal(mw_unit_type(measure, unit_of(measure, "person*shift")), MW_TYPE_LABOUR);
    mw_text text = {0};
    mw_unit_words(measure, unit_of(measure, "D16^2/drum2"), &text);
    assert_text(&text, "D16^2/drum2");
    mw_unit_words(measure, unit_of(measure, "D162"), &text);
    assert_text(&text, "D16^2");
    mw_measure_free(measure);
}

static void test_define_again(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    assert_int_equal(define(measure, "drum", 200, "kg"), MW_OK);
    mw_unit before = unit_of(measure, "drum");
    assert_int_equal(define(measure, "drum", 200, "kg"), MW_OK);
    assert_int_equal(unit_of(measure, "drum"), before);
    assert_int_equal(define(measure, "drum", 60, "L"), MW_OK);
    mw_unit after = unit_of(measure, "drum");
    assert_int_not_equal(after, before);
    assert_near(mw_unit_scale(measure, after), 0.06, 1e-15);
    assert_near(mw_unit_scale(measure, before), 200, 1e-15);
    mw_measure_free(measure);
}

typedef struct refused_row {
    const char *name;
    double factor;
    const char *unit;
    mw_status status;
} refused_row;

static const refused_row refused_rows[] = {
    {"kg", 1, "g", MW_FAILED},
    {"m", 1, "g", MW_FAILED},
    {"m2", 1, "g", MW_FAILED},
    {"EUR", 1, "g", MW_FAILED},
    {"litre", 1, "g", MW_FAILED},
    {"mbar", 1, "g", MW_FAILED},
    {"as", 1, "g", MW_FAILED},
    {"then", 1, "g", MW_FAILED},
    {"not", 1, "g", MW_FAILED},
    {"crate", 0, "g", MW_FAILED},
    {"crate", -1, "g", MW_FAILED},
    {"crate", (double)NAN, "g", MW_FAILED},
    {"crate", HUGE_VAL, "g", MW_FAILED},
    {"crate", 1e-300, "Qg", MW_OK},
    {"crate", 1e-310, "g", MW_FAILED},
    {"hot", 20, "degC", MW_FAILED},
    {"", 1, "g", MW_NOT_FOUND},
    {"2x", 1, "g", MW_NOT_FOUND},
    {"_x", 1, "g", MW_NOT_FOUND},
    {"a b", 1, "g", MW_NOT_FOUND},
    {"a/b", 1, "g", MW_NOT_FOUND},
    {"gr\xc3\xb6", 1, "g", MW_NOT_FOUND},
    {"x1_y", 1, "g", MW_OK},
    {"kilo", 1, "g", MW_FAILED},
    {"m100", 1, "g", MW_FAILED},
    {"year", 365, "d", MW_OK},
};

static void test_refused(void **state)
{
    const refused_row *row = *state;
    mw_measure *measure = mw_measure_new();
    assert_int_equal(define(measure, row->name, row->factor, row->unit), row->status);
    mw_measure_free(measure);
}

/* Units of a shop can reach powers that nothing has. */
static void test_define_powers(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    size_t used;
    mw_unit unit;
    assert_int_equal(define(measure, "root", 1, "m^1/60"), MW_OK);
    assert_int_equal(define(measure, "tower", 1, "m99"), MW_OK);
    assert_int_equal(mw_unit_read(measure, mw_str_of("root^60"), &used, &unit), MW_OK);
    assert_int_equal(mw_unit_type(measure, unit), MW_TYPE_LENGTH);
    assert_int_equal(mw_unit_read(measure, mw_str_of("root^1/2"), &used, &unit), MW_FAILED);
    assert_int_equal(mw_unit_read(measure, mw_str_of("tower5"), &used, &unit), MW_OK);
    assert_int_equal(mw_unit_read(measure, mw_str_of("tower6"), &used, &unit), MW_FAILED);
    mw_measure_free(measure);
}

/* The rate of a currency reaches units of the shop that are made of it. */
static void test_define_in_money(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    uint16_t euro = 0;
    uint16_t dollar = 0;
    const mw_type_parts *parts =
        mw_type_look(measure, mw_unit_type(measure, unit_of(measure, "EUR")));
    euro = parts->currency;
    parts = mw_type_look(measure, mw_unit_type(measure, unit_of(measure, "USD")));
    dollar = parts->currency;
    assert_int_equal(define(measure, "grand", 1000, "USD"), MW_OK);
    mw_unit price = unit_of(measure, "grand/t");
    assert_int_equal(mw_money_base(measure, euro), MW_OK);
    assert_int_equal(mw_money_rate(measure, dollar, 0.9), MW_OK);
    assert_near(mw_unit_scale(measure, price), 0.9, 1e-15);
    assert_int_equal(mw_unit_type(measure, price), type_of(measure, "EUR/kg"));
    mw_measure_free(measure);
}

/* --- suggestions ----------------------------------------------------------------------------- */

typedef struct suggest_row {
    const char *name;
    const char *want;
} suggest_row;

static const suggest_row suggest_rows[] = {
    {"Kg", "kg"},       {"hurs", "hrs"},     {"peple", "people"},
    {"litrs", "litre"}, {"galon", "gallon"}, {"degc", "degC"},
    {"inhg", "inHg"},   {"drumm", "drum"},   {"mpa", "MPa"},
    {"zzzzzz", ""},     {"x", ""},           {"euR", "EUR"},
    {"EURO", "EUR"},    {"year", ""},        {"ton", "t, ton_us or ton_uk"},
    {"Nm", "N*m"},      {"M2", "m2"},        {"sqm", "m2"},
    {"cbm", "m3"},      {"kgs", "kg"},       {"ltr", "L"},
};

static void test_suggest(void **state)
{
    const suggest_row *row = *state;
    mw_measure *measure = mw_measure_new();
    assert_int_equal(define(measure, "drum", 200, "kg"), MW_OK);
    mw_suggest suggest;
    mw_suggest_start(&suggest, mw_str_of(row->name));
    mw_unit_suggest(measure, &suggest);
    assert_true(mw_str_is(suggest.best, row->want));
    mw_measure_free(measure);
}

/* --- memory ---------------------------------------------------------------------------------- */

/* Reads, combines and defines so much that every table grows. */
static support_outcome use_units(void *context)
{
    mw_measure *measure = context;
    for (int i = 1; i < 90; i++) {
        char text[40];
        size_t used;
        mw_unit unit;
        snprintf(text, sizeof text, "kg%d*m%d", i, 90 - i);
        mw_status status = mw_unit_read(measure, mw_str_of(text), &used, &unit);
        if (status == MW_NO_MEMORY) {
            return SUPPORT_NO_MEMORY;
        }
        assert_int_equal(status, MW_OK);
        mw_type type;
        if (mw_type_divide(measure, MW_TYPE_NUMBER, mw_unit_type(measure, unit), &type) ==
                MW_TYPE_MEMORY ||
            mw_unit_divide(measure, MW_UNIT_ONE, unit, type) == MW_NONE ||
            mw_unit_power(measure, unit, -1, type) == MW_NONE ||
            mw_unit_usual(measure, type) == MW_NONE) {
            return SUPPORT_NO_MEMORY;
        }
        snprintf(text, sizeof text, "crate_%d_of_wood", i);
        status = mw_unit_define(measure, mw_str_of(text), i, unit);
        if (status == MW_NO_MEMORY) {
            return SUPPORT_NO_MEMORY;
        }
        assert_int_equal(status, MW_OK);
    }
    return SUPPORT_DONE;
}

static void test_without_memory(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    support_fail_each_tolerant(use_units, measure);
    assert_near(mw_unit_scale(measure, unit_of(measure, "g/m2")), 1e-3, 1e-15);
    assert_near(mw_unit_scale(measure, unit_of(measure, "crate_7_of_wood")), 7, 1e-15);
    mw_measure_free(measure);
}

/* A rate that fails for want of memory leaves all units as they were. */
static void test_rates_without_memory(void **state)
{
    (void)state;
    for (size_t n = 0; n < 12; n++) {
        mw_measure *measure = mw_measure_new();
        uint16_t euro = mw_currency_find(measure, mw_str_of("EUR"));
        uint16_t yen = mw_currency_find(measure, mw_str_of("JPY"));
        assert_int_equal(mw_money_base(measure, euro), MW_OK);
        mw_type before = MW_NONE;
        mw_unit unit = MW_UNIT_ONE;
        for (int i = 1; i < 90; i++) {
            char text[40];
            snprintf(text, sizeof text, "JPY/kg%d/m%d", i, 90 - i);
            unit = unit_of(measure, text);
            before = mw_unit_type(measure, unit);
        }
        support_fail_allocation(n, true);
        mw_status status = mw_money_rate(measure, yen, 0.006);
        bool hit = support_fail_never();
        assert_int_equal(status, hit ? MW_NO_MEMORY : MW_OK);
        assert_near(mw_unit_scale(measure, unit), hit ? 1 : 0.006, 1e-15);
        assert_true(!hit || mw_unit_type(measure, unit) == before);
        assert_int_equal(mw_money_rate(measure, yen, 0.007), MW_OK);
        assert_near(mw_unit_scale(measure, unit), 0.007, 1e-15);
        mw_measure_free(measure);
    }
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "read", read_rows, test_read);
    test_add_rows(&list, "refused", refused_rows, test_refused);
    test_add_rows(&list, "suggest", suggest_rows, test_suggest);
    test_add(&list, test_there_and_back);
    test_add(&list, test_words_read_back);
    test_add(&list, test_noise);
    test_add(&list, test_names_are_themselves);
    test_add(&list, test_define);
    test_add(&list, test_define_again);
    test_add(&list, test_define_powers);
    test_add(&list, test_define_in_money);
    test_add(&list, test_without_memory);
    test_add(&list, test_rates_without_memory);
    return test_run(&list, "unit_read");
}
