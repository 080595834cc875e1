/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which kinds of quantity go together, and what comes of it. The rules are our own, stated in
 * types.h; dimensions of SI units after the SI Brochure, 9th edition. */
#include "measure_support.h"

#include "mouldwright/money.h"

/* --- rules ----------------------------------------------------------------------------------- */

typedef mw_type_fault rule(mw_measure *measure, mw_type a, mw_type b, mw_type *out);

static const char *const fault_words[] = {"",        "!kinds", "!currencies",
                                          "!points", "!power", "!memory"};

/* `want` is the text of a type, "hard X" for X with clock hours, or the fault. */
typedef struct rule_row {
    const char *name;
    char operation;
    const char *a;
    const char *b;
    const char *want;
} rule_row;

static const rule_row rule_rows[] = {
    /* plain dimensions */
    {"mass + mass", '+', "kg", "g", "kg"},
    {"area + mass", '+', "m2", "kg", "!kinds"},
    {"length * length", '*', "m", "mm", "m2"},
    {"areal mass * area", '*', "g/m2", "m2", "kg"},
    {"mass / volume", '/', "kg", "L", "kg/m3"},
    {"force / area", '/', "N", "mm2", "Pa"},
    {"number * mass", '*', "", "kg", "kg"},
    {"number / mass", '/', "", "kg", "1/kg"},
    {"percent + number", '+', "%", "", ""},
    {"angle * length", '*', "rad", "m", "m"},
    {"truth + number", '+', "truth", "", "!kinds"},
    {"truth + truth", '+', "truth", "truth", "!kinds"},
    {"truth * number", '*', "truth", "", "!kinds"},
    {"text - text", '-', "text", "text", "!kinds"},
    {"join truth, truth", 'j', "truth", "truth", "truth"},
    {"join text, text", 'j', "text", "text", "text"},
    {"join text, number", 'j', "text", "", "!kinds"},
    {"join mass, mass", 'j', "kg", "lb", "kg"},
    {"join mass, length", 'j', "kg", "m", "!kinds"},
    /* points */
    {"temperature + difference", '+', "degC", "K", "degC"},
    {"difference + temperature", '+', "K", "degC", "degC"},
    {"temperature - temperature", '-', "degC", "degF", "K"},
    {"temperature - difference", '-', "degC", "degF_step", "degC"},
    {"difference - temperature", '-', "K", "degC", "!points"},
    {"temperature + temperature", '+', "degC", "degC", "!points"},
    {"temperature * number", '*', "degC", "", "!points"},
    {"number * temperature", '*', "", "degC", "!points"},
    {"temperature / temperature", '/', "degC", "degC", "!points"},
    {"temperature + mass", '+', "degC", "kg", "!kinds"},
    {"temperature + date", '+', "degC", "date", "!kinds"},
    {"join temperatures", 'j', "degC", "degF", "degC"},
    {"join temperature, difference", 'j', "degC", "K", "!points"},
    {"date + days", '+', "date", "d", "date"},
    {"days + date", '+', "d", "date", "date"},
    {"date + clock time", '+', "date", "clock", "date"},
    {"date - date", '-', "date", "date", "clock"},
    {"date - days", '-', "date", "d", "date"},
    {"date + date", '+', "date", "date", "!points"},
    {"date + labour", '+', "date", "person*h", "!kinds"},
    {"date - labour", '-', "date", "person*h", "!kinds"},
    {"days - date", '-', "d", "date", "!points"},
    {"join date, days", 'j', "date", "d", "!points"},
    /* money */
    {"money + money", '+', "EUR", "EUR", "EUR"},
    {"two currencies", '+', "EUR", "USD", "!currencies"},
    {"two currencies compared", 'j', "EUR", "USD", "!currencies"},
    {"two currencies multiplied", '*', "EUR", "USD", "!currencies"},
    {"an exchange rate", '/', "EUR", "USD", "!currencies"},
    {"money / money", '/', "EUR", "EUR", ""},
    {"money / mass", '/', "EUR", "kg", "EUR/kg"},
    {"price * mass", '*', "EUR/kg", "g", "EUR"},
    {"money + mass", '+', "EUR", "kg", "!kinds"},
    /* soft hours: sums */
    {"soft + soft", '+', "h", "min", "h"},
    {"soft + clock", '+', "h", "clock", "clock"},
    {"clock + soft", '+', "clock", "h", "clock"},
    {"soft + labour", '+', "h", "person*h", "person*h"},
    {"labour + soft", '+', "person*h", "h", "person*h"},
    {"labour - soft", '-', "person*h", "h", "person*h"},
    {"clock + labour", '+', "clock", "person*h", "!kinds"},
    {"soft rate + labour rate", '+', "h/m2", "person*h/m2", "person*h/m2"},
    {"soft price + price of labour", '+', "EUR/h", "EUR/person/h", "EUR/person/h"},
    {"soft price + price of clock time", '+', "EUR/h", "hard EUR/h", "hard EUR/h"},
    {"join soft, labour", 'j', "h", "person*h", "person*h"},
    {"join labour, clock", 'j', "person*h", "clock", "!kinds"},
    {"soft + people", '+', "h", "people", "!kinds"},
    /* soft hours: products */
    {"soft * number", '*', "h", "", "h"},
    {"soft rate * area", '*', "h/m2", "m2", "h"},
    {"area / soft rate", '/', "m2", "m2/h", "h"},
    {"soft * soft price", '*', "h", "EUR/h", "EUR"},
    {"clock * soft price", '*', "clock", "EUR/h", "EUR"},
    {"labour * soft price", '*', "person*h", "EUR/h", "EUR"},
    {"soft price * labour", '*', "EUR/h", "person*h", "EUR"},
    {"labour * price of labour", '*', "person*h", "EUR/person/h", "EUR"},
    {"soft * price of labour", '*', "h", "EUR/person/h", "EUR"},
    {"clock * price of labour", '*', "clock", "EUR/person/h", "EUR/person"},
    {"soft price * people", '*', "EUR/h", "people", "hard EUR/h"},
    {"price of clock time * clock", '*', "hard EUR/h", "clock", "EUR"},
    {"labour / soft", '/', "person*h", "h", ""},
    {"labour / clock", '/', "person*h", "clock", "people"},
    {"labour / people", '/', "person*h", "people", "clock"},
    {"soft / people", '/', "h", "people", "clock"},
    {"soft rate / people", '/', "h/m2", "people", "hard h/m2"},
    {"people * soft", '*', "people", "h", "person*h"},
    {"people * clock", '*', "people", "clock", "person*h"},
    {"people * soft rate", '*', "people", "h/m2", "person*h/m2"},
    {"people / soft", '/', "people", "h", "hard 1/h"},
    {"labour * speed", '*', "person*h", "m2/h", "m2"},
    {"labour / speed", '/', "person*h", "h/m2", "m2"},
    {"soft / soft", '/', "h", "min", ""},
    {"soft * clock", '*', "1/h", "clock", ""},
    {"soft * hard, time left", '*', "h", "clock", "h2"},
    {"people * people", '*', "people", "people", "people2"},
    /* SI units made of others */
    {"volt * ampere", '*', "V", "A", "W"},
    {"newton * metre", '*', "N", "m", "J"},
    {"watt * second", '*', "W", "clock", "J"},
    {"weber / ampere", '/', "Wb", "A", "H"},
    {"coulomb / volt", '/', "C", "V", "F"},
    {"ampere / volt", '/', "A", "V", "S"},
};

static rule *rule_of(char operation)
{
    switch (operation) {
    case '+':
        return mw_type_add;
    case '-':
        return mw_type_subtract;
    case '*':
        return mw_type_multiply;
    case '/':
        return mw_type_divide;
    default:
        return mw_type_join;
    }
}

static void test_rule(void **state)
{
    const rule_row *row = *state;
    mw_measure *measure = mw_measure_new();
    assert_non_null(measure);
    mw_type a = type_of(measure, row->a);
    mw_type b = type_of(measure, row->b);
    /* The second time it comes from memory. */
    for (int i = 0; i < 2; i++) {
        mw_type out = 12345;
        mw_type_fault fault = rule_of(row->operation)(measure, a, b, &out);
        if (row->want[0] == '!') {
            assert_string_equal(fault_words[fault], row->want);
            assert_int_equal(out, 12345);
        } else {
            assert_string_equal(fault_words[fault], "");
            assert_int_equal(out, type_of(measure, row->want));
        }
    }
    mw_measure_free(measure);
}

/* --- powers ---------------------------------------------------------------------------------- */

typedef struct power_row {
    const char *name;
    const char *a;
    double power;
    const char *want;
} power_row;

static const power_row power_rows[] = {
    {"square", "m", 2, "m2"},
    {"root of an area", "m2", 0.5, "m"},
    {"cube root of a volume", "L", 1.0 / 3.0, "m"},
    {"root of a length", "m", 0.5, "m^1/2"},
    {"inverse", "kg", -1, "1/kg"},
    {"to nothing", "kg", 0, ""},
    {"ACCEM exponent of a number", "", 0.6295, ""},
    {"ACCEM exponent of an area", "m2", 0.6295, "!power"},
    {"too high", "m", 1000, "!power"},
    {"no number", "m", 0x1p1000, "!power"},
    {"a seventh", "m", 1.0 / 7.0, "!power"},
    {"temperature", "degC", 2, "!points"},
    {"truth", "truth", 2, "!kinds"},
    {"soft hours stay soft", "h", 2, "h2"},
    {"labour", "person*h", 2, "person2*h2"},
};

static void test_power(void **state)
{
    const power_row *row = *state;
    mw_measure *measure = mw_measure_new();
    mw_type out = 12345;
    mw_type_fault fault = mw_type_power(measure, type_of(measure, row->a), row->power, &out);
    if (row->want[0] == '!') {
        assert_string_equal(fault_words[fault], row->want);
        assert_int_equal(out, 12345);
    } else {
        assert_int_equal(fault, MW_TYPE_FINE);
        assert_int_equal(out, type_of(measure, row->want));
    }
    mw_measure_free(measure);
}

/* --- slots ----------------------------------------------------------------------------------- */

typedef struct slot_row {
    const char *name;
    const char *from;
    const char *slot;
    const char *want;
} slot_row;

static const slot_row slot_rows[] = {
    {"same", "kg", "g", ""},
    {"other kind", "kg", "m", "!kinds"},
    {"soft into labour", "h", "person*h", ""},
    {"soft into clock", "h", "clock", ""},
    {"clock into labour", "clock", "person*h", "!kinds"},
    {"labour into clock", "person*h", "clock", "!kinds"},
    {"labour into soft", "person*h/m2", "h/m2", ""},
    {"clock into soft", "hard h/m2", "h/m2", ""},
    {"number into people", "", "people", ""},
    {"people into number", "people", "", "!kinds"},
    {"number into mass", "", "kg", "!kinds"},
    {"difference into temperature", "K", "degC", "!points"},
    {"temperature into difference", "degC", "K", "!points"},
    {"degF into degC", "degF", "degC", ""},
    {"other currency", "USD", "EUR", "!currencies"},
    {"text into text", "text", "text", ""},
    {"truth into number", "truth", "", "!kinds"},
    {"soft price into price of labour", "EUR/h", "EUR/person/h", ""},
    {"percent into number", "%", "", ""},
};

static void test_slot(void **state)
{
    const slot_row *row = *state;
    mw_measure *measure = mw_measure_new();
    mw_type_fault fault =
        mw_type_fits(measure, type_of(measure, row->from), type_of(measure, row->slot));
    assert_string_equal(fault_words[fault], row->want);
    mw_measure_free(measure);
}

/* --- words ----------------------------------------------------------------------------------- */

typedef struct words_row {
    const char *name;
    const char *words;
} words_row;

static const words_row words_rows[] = {
    {"", "a plain number"},
    {"%", "a plain number"},
    {"truth", "yes or no"},
    {"text", "a text"},
    {"mm", "a length"},
    {"m2", "an area"},
    {"gal", "a volume"},
    {"lb", "a mass"},
    {"h", "a time"},
    {"clock", "clock time"},
    {"person*h", "labour"},
    {"people", "people"},
    {"date", "a date"},
    {"degF", "a temperature"},
    {"K", "a temperature difference"},
    {"EUR", "money (EUR)"},
    {"EUR/h", "money per time (EUR)"},
    {"EUR/person/h", "money per labour (EUR)"},
    {"USD/m2", "money per area (USD)"},
    {"g/m2", "a mass per area"},
    {"kg/m3", "a mass per volume"},
    {"person*h/m2", "labour per area"},
    {"h/m2", "a time per area"},
    {"1/h", "a number per time"},
    {"m/min", "a speed"},
    {"m/s2", "an acceleration"},
    {"N", "a force"},
    {"GPa", "a pressure"},
    {"kWh", "an energy or a torque"},
    {"J/kg", "an energy per mass"},
    {"hp", "a power"},
    {"V", "a voltage"},
    {"ohm", "an electric resistance"},
    {"Pa*s", "a viscosity"},
    {"K/m", "a temperature per length"},
    {"kg*m4", "a quantity in kg*m4"},
    {"EUR*kg2/m7", "a quantity in EUR*kg2/m7"},
    {"m^1/2", "a quantity in m^1/2"},
};

static void test_words(void **state)
{
    const words_row *row = *state;
    mw_measure *measure = mw_measure_new();
    mw_text text = {0};
    mw_type_words(measure, type_of(measure, row->name), &text);
    assert_text(&text, row->words);
    mw_measure_free(measure);
}

/* --- interning ------------------------------------------------------------------------------- */

static void test_same_parts_same_id(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    mw_type_parts parts = {.form = MW_FORM_NUMBER};
    parts.exponent[MW_MASS] = MW_EXPONENT_ONE;
    assert_int_equal(mw_type_of(measure, &parts), MW_TYPE_MASS);
    /* Marks that mean nothing for the kind do not make another type. */
    parts.soft = 1;
    parts.point = 1;
    parts.currency = 7;
    assert_int_equal(mw_type_of(measure, &parts), MW_TYPE_MASS);
    parts = (mw_type_parts){.form = MW_FORM_TEXT, .soft = 1};
    parts.exponent[MW_TIME] = 60;
    assert_int_equal(mw_type_of(measure, &parts), MW_TYPE_TEXT);
    parts = *mw_type_look(measure, MW_TYPE_LABOUR);
    parts.soft = 1;
    assert_int_equal(mw_type_of(measure, &parts), MW_TYPE_LABOUR);
    mw_measure_free(measure);
}

static void test_looks_never_move(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    const mw_type_parts *mass = mw_type_look(measure, MW_TYPE_MASS);
    for (int i = 1; i < 3000; i++) {
        mw_type_parts parts = {.form = MW_FORM_NUMBER};
        parts.exponent[MW_LENGTH] = (int16_t)i;
        parts.exponent[MW_AMOUNT] = (int16_t)-i;
        mw_type type = mw_type_of(measure, &parts);
        assert_int_not_equal(type, MW_NONE);
        assert_int_equal(mw_type_of(measure, &parts), type);
        assert_int_equal(mw_type_look(measure, type)->exponent[MW_AMOUNT], -i);
    }
    assert_ptr_equal(mass, mw_type_look(measure, MW_TYPE_MASS));
    assert_int_equal(mass->exponent[MW_MASS], MW_EXPONENT_ONE);
    mw_measure_free(measure);
}

/* Where reading hours as person-hours would bring no fewer people, they stay as they are. */
static void test_no_gain_stays_soft(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    mw_type out;
    assert_int_equal(mw_type_divide(measure, MW_TYPE_PEOPLE, type_of(measure, "h2"), &out),
                     MW_TYPE_FINE);
    const mw_type_parts *parts = mw_type_look(measure, out);
    assert_int_equal(parts->exponent[MW_PERSON], MW_EXPONENT_ONE);
    assert_int_equal(parts->exponent[MW_TIME], -2 * MW_EXPONENT_ONE);
    assert_int_equal(parts->soft, 1);
    mw_measure_free(measure);
}

static void test_powers_overflow(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    mw_type_parts parts = {.form = MW_FORM_NUMBER};
    parts.exponent[MW_LENGTH] = INT16_MAX;
    mw_type high = mw_type_of(measure, &parts);
    mw_type out;
    assert_int_equal(mw_type_multiply(measure, high, MW_TYPE_LENGTH, &out), MW_TYPE_POWER);
    assert_int_equal(mw_type_divide(measure, high, MW_TYPE_LENGTH, &out), MW_TYPE_FINE);
    mw_text text = {0};
    mw_type_words(measure, high, &text);
    assert_text(&text, "a quantity of high powers");
    mw_measure_free(measure);
}

/* Random pairs: what is remembered is what a fresh context works out, sums and products of plain
 * types do not depend on the order, and (a / b) * b is a where nothing is soft. */
static void test_random_pairs(void **state)
{
    (void)state;
    static const char *const texts[] = {
        "",      "kg",  "m",    "m2",    "h",    "clock", "people",   "person*h",
        "EUR",   "USD", "degC", "K",     "date", "EUR/h", "h/m2",     "EUR/person/h",
        "kg/m2", "1/h", "Pa",   "m/min", "text", "truth", "hard h/m2"};
    const int count = (int)(sizeof texts / sizeof texts[0]);
    dice random = dice_start(20270111);
    mw_measure *used = mw_measure_new();
    for (int i = 0; i < 20000; i++) {
        const char *x = texts[dice_below(&random, count)];
        const char *y = texts[dice_below(&random, count)];
        rule *apply = rule_of("+-*/j"[dice_below(&random, 5)]);
        mw_type a = type_of(used, x);
        mw_type b = type_of(used, y);
        mw_type one = MW_NONE;
        mw_type two = MW_NONE;
        mw_type_fault fault = apply(used, a, b, &one);
        if (i % 100 == 0) {
            mw_measure *fresh = mw_measure_new();
            mw_type again = MW_NONE;
            assert_int_equal(apply(fresh, type_of(fresh, x), type_of(fresh, y), &again), fault);
            if (fault == MW_TYPE_FINE) {
                assert_memory_equal(mw_type_look(fresh, again), mw_type_look(used, one),
                                    sizeof(mw_type_parts));
            }
            mw_measure_free(fresh);
        }
        if (apply == mw_type_add || apply == mw_type_multiply || apply == mw_type_join) {
            assert_int_equal(apply(used, b, a, &two), fault);
            assert_int_equal(one, two);
        }
        if (apply == mw_type_divide && fault == MW_TYPE_FINE && mw_type_look(used, a)->soft == 0 &&
            mw_type_look(used, b)->soft == 0) {
            assert_int_equal(mw_type_multiply(used, one, b, &two), MW_TYPE_FINE);
            assert_int_equal(two, a);
        }
    }
    mw_measure_free(used);
}

/* --- memory ---------------------------------------------------------------------------------- */

static support_outcome make_context(void *context)
{
    (void)context;
    mw_measure *measure = mw_measure_new();
    if (measure == NULL) {
        return SUPPORT_NO_MEMORY;
    }
    mw_measure_free(measure);
    return SUPPORT_DONE;
}

static void test_context_without_memory(void **state)
{
    (void)state;
    assert_true(support_fail_each_allocation(make_context, NULL) > 3);
    mw_measure_free(NULL);
}

static support_outcome make_types(void *context)
{
    mw_measure *measure = context;
    for (int i = 1; i < 600; i++) {
        mw_type_parts parts = {.form = MW_FORM_NUMBER};
        parts.exponent[MW_CURRENT] = (int16_t)i;
        mw_type type = mw_type_of(measure, &parts);
        mw_type out;
        if (type == MW_NONE || mw_type_add(measure, type, type, &out) == MW_TYPE_MEMORY ||
            mw_type_multiply(measure, type, MW_TYPE_MASS, &out) == MW_TYPE_MEMORY ||
            mw_type_power(measure, out, 2, &out) == MW_TYPE_MEMORY) {
            return SUPPORT_NO_MEMORY;
        }
    }
    return SUPPORT_DONE;
}

/* What was made before stays good, so the loop over failures goes on where it stopped. */
static void test_types_without_memory(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    mw_type out;
    support_fail_each_tolerant(make_types, measure);
    assert_int_equal(mw_type_add(measure, MW_TYPE_MASS, MW_TYPE_MASS, &out), MW_TYPE_FINE);
    assert_int_equal(out, MW_TYPE_MASS);
    mw_measure_free(measure);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "rule", rule_rows, test_rule);
    test_add_rows(&list, "power", power_rows, test_power);
    test_add_rows(&list, "slot", slot_rows, test_slot);
    test_add_rows(&list, "words", words_rows, test_words);
    test_add(&list, test_same_parts_same_id);
    test_add(&list, test_looks_never_move);
    test_add(&list, test_no_gain_stays_soft);
    test_add(&list, test_powers_overflow);
    test_add(&list, test_random_pairs);
    test_add(&list, test_context_without_memory);
    test_add(&list, test_types_without_memory);
    return test_run(&list, "types");
}
