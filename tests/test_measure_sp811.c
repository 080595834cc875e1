/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every factor of NIST Special Publication 811, appendix B.8, whose units we have, both ways. */
#include "measure_support.h"

#include <math.h>

#include "sp811_names.h"

enum { MOST_ROWS = 1200 };

/* A row of the published table: a formula with the value of the first unit as its only name. */
typedef struct factor_row {
    char from[32];
    char to[32];
    char formula[64];
} factor_row;

static factor_row rows[MOST_ROWS];

/* --- the formulas of the table --------------------------------------------------------------- */

/* formula = product { ("+" | "-") product }, product = value { ("*" | "/") value },
 * value = number | name | "(" formula ")" */
typedef struct formula {
    const char *at;
    double name;
} formula;

static double read_sum(formula *in);

static double read_value(formula *in)
{
    in->at += strspn(in->at, " ");
    if (*in->at == '(') {
        in->at++;
        double value = read_sum(in);
        in->at += strspn(in->at, " )");
        return value;
    }
    if (strchr("0123456789", *in->at) != NULL) {
        char *end;
        double value = strtod(in->at, &end);
        in->at = end;
        return value;
    }
    in->at += strcspn(in->at, " *+-/()");
    return in->name;
}

static double read_product(formula *in)
{
    double value = read_value(in);
    for (;;) {
        in->at += strspn(in->at, " ");
        char sign = *in->at;
        if (sign != '*' && sign != '/') {
            return value;
        }
        in->at++;
        double other = read_value(in);
        value = sign == '*' ? value * other : value / other;
    }
}

static double read_sum(formula *in)
{
    double value = read_product(in);
    for (;;) {
        in->at += strspn(in->at, " ");
        char sign = *in->at;
        if (sign != '+' && sign != '-') {
            return value;
        }
        in->at++;
        double other = read_product(in);
        value = sign == '+' ? value + other : value - other;
    }
}

/* --- rows ------------------------------------------------------------------------------------ */

static const char *our_unit(const char *name, bool interval)
{
    for (size_t i = 0; i < sizeof sp811_names / sizeof sp811_names[0]; i++) {
        if (strcmp(sp811_names[i].name, name) == 0) {
            const char *unit = sp811_names[i].unit;
            /* The table calls the degree of an interval by the name of the degree now and then. */
            return interval && strcmp(unit, "degC") == 0   ? "degC_step"
                   : interval && strcmp(unit, "degF") == 0 ? "degF_step"
                                                           : unit;
        }
    }
    return NULL;
}

/* The table prints seven digits; a value in it is off by half of the last. */
static void test_factor(void **state)
{
    const factor_row *row = *state;
    mw_measure *measure = mw_measure_new();
    mw_unit from = unit_of(measure, row->from);
    mw_unit to = unit_of(measure, row->to);
    mw_type common;
    bool points = mw_unit_offset(measure, from) != 0 || mw_unit_offset(measure, to) != 0;
    if (!points) {
        assert_int_equal(
            mw_type_join(measure, mw_unit_type(measure, from), mw_unit_type(measure, to), &common),
            MW_TYPE_FINE);
    }
    for (int i = 0; i < 3; i++) {
        double value = (double[]){1, 37.25, 451.3}[i];
        double want = read_sum(&(formula){row->formula, value});
        double got = mw_unit_from_si(measure, to, mw_unit_to_si(measure, from, value));
        assert_near(got, want, 5e-7);
    }
    mw_measure_free(measure);
}

static int mapped;
static int listed;

static void test_how_many(void **state)
{
    (void)state;
    print_message("%d of %d factors have units of ours\n", mapped, listed);
    assert_int_equal(listed, 899);
    assert_true(mapped >= 600);
}

static void add_row(test_list *list, char *line)
{
    char *fields[4];
    if (csv_split(line, fields, 4) < 4 || strcmp(fields[0], "r_function") == 0) {
        return;
    }
    listed++;
    bool interval = strstr(fields[1], "interval") != NULL || strstr(fields[2], "interval") != NULL;
    const char *from = our_unit(fields[1], interval);
    const char *to = our_unit(fields[2], interval);
    if (from == NULL || to == NULL || mapped == MOST_ROWS) {
        return;
    }
    factor_row *row = &rows[mapped++];
    snprintf(row->from, sizeof row->from, "%s", from);
    snprintf(row->to, sizeof row->to, "%s", to);
    snprintf(row->formula, sizeof row->formula, "%s", fields[3]);
    char name[400];
    snprintf(name, sizeof name, "B.8: %s to %s", fields[1], fields[2]);
    test_add_named(list, name, test_factor, row);
}

/* Source: NIST Special Publication 811, appendix B.8, 2014 web edition, as coded in the package of
 * conversion functions NISTunits 1.0.1. */
int main(void)
{
    test_list list = {0};
    FILE *file = checks_open("data/units/sp811_factors.csv");
    if (file == NULL) {
        test_add_named(&list, "SP 811 B.8: data absent", data_absent, NULL);
        return test_run(&list, "sp811");
    }
    char line[512];
    while (fgets(line, sizeof line, file) != NULL) {
        add_row(&list, line);
    }
    fclose(file);
    test_add_named(&list, "how many of the table", test_how_many, NULL);
    return test_run(&list, "sp811");
}
