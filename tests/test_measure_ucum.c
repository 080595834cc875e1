/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The functional tests of the Unified Code for Units of Measure, where we spell the unit as
 * well. */
#include "measure_support.h"

#include <ctype.h>
#include <math.h>

enum { MOST_ROWS = 100 };

/* How we spell what UCUM spells otherwise. Numbers inside units, its constants and its columns of
 * liquid we do not have. */
static const struct {
    const char *ucum;
    const char *ours;
} spellings[] = {
    {"s.m-1", "s/m"},
    {"s.mm-1", "s/mm"},
    {"s.mm-2", "s/mm2"},
    {"s.m-2", "s/m2"},
    {"s.m-1.g-1", "s/m/g"},
    {"s.m-1.g", "s*g/m"},
    {"s/m.mg", "s*mg/m"},
    {"g.m.s-2.A-2", "g*m/s2/A2"},
    {"g.m.C-2", "g*m/C2"},
    {"[in_i]", "in"},
    {"g-1.m-2.C2.s", "C2*s/g/m2"},
    {"g.m", "g*m"},
    {"m.g", "m*g"},
    {"[lb_av]/h", "lb/h"},
};

typedef struct conversion {
    double value;
    double outcome;
    double tolerance; /* the outcome is rounded to the digits of the value */
    char from[32];
    char to[32];
} conversion;

static conversion rows[MOST_ROWS];
static int mapped;
static int listed;

static bool our_spelling(const char *ucum, char *out, size_t size)
{
    snprintf(out, size, "%s", ucum);
    for (size_t i = 0; i < sizeof spellings / sizeof spellings[0]; i++) {
        if (strcmp(spellings[i].ucum, ucum) == 0) {
            snprintf(out, size, "%s", spellings[i].ours);
        }
    }
    /* Plain ones are spelt alike. */
    return strpbrk(out, "[]{}-") == NULL && !isdigit((unsigned char)out[0]) &&
           strstr(out, "/4") == NULL && strchr(out, '.') == NULL;
}

/* Returns half of the last digit that a number is written with, as a share of it. */
static double half_digit(const char *text)
{
    int digits = 0;
    for (const char *at = text; *at != '\0' && *at != 'e'; at++) {
        digits += isdigit((unsigned char)*at) != 0;
    }
    return 0.5001 * pow(10, 1 - digits);
}

static void test_conversion(void **state)
{
    const conversion *row = *state;
    mw_measure *measure = mw_measure_new();
    double si = mw_unit_to_si(measure, unit_of(measure, row->from), row->value);
    double got = mw_unit_from_si(measure, unit_of(measure, row->to), si);
    assert_near(got, row->outcome, row->tolerance);
    mw_measure_free(measure);
}

static void add_row(test_list *list, char *line)
{
    char *fields[5];
    if (csv_split(line, fields, 5) < 5 || strcmp(fields[0], "id") == 0) {
        return;
    }
    listed++;
    conversion *row = &rows[mapped];
    if (mapped == MOST_ROWS || !our_spelling(fields[2], row->from, sizeof row->from) ||
        !our_spelling(fields[3], row->to, sizeof row->to)) {
        return;
    }
    row->value = strtod(fields[1], NULL);
    row->outcome = strtod(fields[4], NULL);
    row->tolerance = fmax(half_digit(fields[1]), 1e-15);
    mapped++;
    char name[200];
    snprintf(name, sizeof name, "conversion %s: %s %s to %s", fields[0], fields[1], fields[2],
             fields[3]);
    test_add_named(list, name, test_conversion, row);
}

static void test_how_many(void **state)
{
    (void)state;
    print_message("%d of %d conversions have units of ours\n", mapped, listed);
    assert_int_equal(listed, 30);
    assert_true(mapped >= 20);
}

/* --- definitions ----------------------------------------------------------------------------- */

typedef struct definition {
    const char *name; /* ours */
    double value;
    const char *unit;
    const char *code;
} definition;

/* Source: UCUM essence, definitions of customary units. Its Btu and calorie are thermochemical; its
 * columns of mercury have fewer digits and are not compared. */
static const definition definitions[] = {
    {"L", 1, "dm3", "l"},
    {"min", 60, "s", "min"},
    {"h", 60, "min", "h"},
    {"d", 24, "h", "d"},
    {"week", 7, "d", "wk"},
    {"t", 1e3, "kg", "t"},
    {"bar", 1e5, "Pa", "bar"},
    {"u", 1.66053906660e-24, "g", "u"},
    {"atm", 101325, "Pa", "atm"},
    {"in", 2.54, "cm", "[in_i]"},
    {"ft", 12, "in", "[ft_i]"},
    {"yd", 3, "ft", "[yd_i]"},
    {"mile", 5280, "ft", "[mi_i]"},
    {"mil", 1e-3, "in", "[mil_i]"},
    {"gal", 231, "in3", "[gal_us]"},
    {"qt", 0.25, "gal", "[qt_us]"},
    {"pt", 0.5, "qt", "[pt_us]"},
    {"cup", 16, "tbsp", "[cup_us]"},
    {"gal_uk", 4.54609, "L", "[gal_br]"},
    {"pt_uk", 0.5, "qt_uk", "[pt_br]"},
    {"lb", 7000, "gr", "[lb_av]"},
    {"oz", 1.0 / 16, "lb", "[oz_av]"},
    {"ton_us", 20, "cwt_us", "[ston_av]"},
    {"ton_uk", 20, "cwt_uk", "[lton_av]"},
    {"Btu", 1.05505585262, "kJ", "[Btu_IT]"},
    {"Btu_th", 1.054350, "kJ", "[Btu_th], to its seven digits"},
    {"hp", 550, "ft*lbf/s", "[HP]"},
    {"tex", 1, "g/km", "tex"},
    {"denier", 1.0 / 9, "g/km", "[den]"},
    {"psi", 1, "lbf/in2", "[psi]"},
    {"mmH2O", 9.80665, "Pa", "m[H2O]"},
    {"inH2O", 25.4, "mmH2O", "[in_i'H2O]"},
};

static void test_definition(void **state)
{
    const definition *row = *state;
    mw_measure *measure = mw_measure_new();
    double got = mw_unit_scale(measure, unit_of(measure, row->name)) /
                 mw_unit_scale(measure, unit_of(measure, row->unit));
    assert_near(got, row->value, strstr(row->code, "seven") != NULL ? 5e-7 : 1e-15);
    mw_measure_free(measure);
}

/* --- products -------------------------------------------------------------------------------- */

typedef struct product {
    const char *name;
    char operation;
    double value;
    const char *unit;
    double other;
    const char *other_unit;
    double want;
    const char *want_unit;
    double tolerance; /* outcomes are rounded to the digits of the values */
} product;

/* Source: UCUM functional tests, 3 February 2021, multiplication and division. */
static const product products[] = {
    {"multiplication 4-101", '*', 1.5, "g", 2, "m", 3.0, "g*m", 1e-15},
    {"multiplication 4-102", '*', 2, "m", 1.5, "g", 3.0, "m*g", 1e-15},
    {"division 4-101", '/', 1.5, "g", 2, "m", 0.75, "g/m", 1e-15},
    {"division 4-102", '/', 2, "m", 1.5, "g", 1.3, "m/g", 0.05},
    {"division 4-103", '/', 1, "lb/h", 1, "kg/s", 0.000125997880555555555556, "", 1e-15},
};

static void test_product(void **state)
{
    const product *row = *state;
    mw_measure *measure = mw_measure_new();
    mw_unit a = unit_of(measure, row->unit);
    mw_unit b = unit_of(measure, row->other_unit);
    double x = mw_unit_to_si(measure, a, row->value);
    double y = mw_unit_to_si(measure, b, row->other);
    bool times = row->operation == '*';
    mw_type type = MW_NONE;
    mw_type_fault fault = (times ? mw_type_multiply : mw_type_divide)(
        measure, mw_unit_type(measure, a), mw_unit_type(measure, b), &type);
    assert_int_equal(fault, MW_TYPE_FINE);
    mw_unit unit = (times ? mw_unit_multiply : mw_unit_divide)(measure, a, b, type);
    mw_text text = {0};
    mw_unit_words(measure, unit, &text);
    assert_text(&text, row->want_unit);
    assert_near(mw_unit_from_si(measure, unit, times ? x * y : x / y), row->want, row->tolerance);
    mw_measure_free(measure);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "product", products, test_product);
    test_add_rows(&list, "definition", definitions, test_definition);
    FILE *file = checks_open("data/ucum/cases_conversion.csv");
    if (file == NULL) {
        test_add_named(&list, "UCUM conversions: data absent", data_absent, NULL);
        return test_run(&list, "ucum");
    }
    char line[512];
    while (fgets(line, sizeof line, file) != NULL) {
        add_row(&list, line);
    }
    fclose(file);
    test_add_named(&list, "how many of the conversions", test_how_many, NULL);
    return test_run(&list, "ucum");
}
