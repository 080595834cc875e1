/* SPDX-License-Identifier: GPL-3.0-or-later */
/* docs/units.md says what the program does: its tables are read and compared. */
#include "measure_support.h"

#include <math.h>

#include "mouldwright/number.h"

enum { MOST_ROWS = 300, PREFIXES = 24 };

typedef struct doc_row {
    char name[32];  /* in backticks */
    char about[80]; /* or, of another spelling, the unit in backticks */
    char value[48]; /* "" in a table of two columns */
} doc_row;

static doc_row rows[MOST_ROWS];
static size_t count;

/* Copies the text up to the next bar, without blanks and backticks round it. Returns what
 * follows. */
static const char *take_cell(const char *at, char *out, size_t size)
{
    const char *end = strchr(at, '|');
    if (end == NULL) {
        out[0] = '\0';
        return at;
    }
    const char *last = end;
    while (at < last && (*at == ' ' || *at == '`')) {
        at++;
    }
    while (last > at && (last[-1] == ' ' || last[-1] == '`')) {
        last--;
    }
    snprintf(out, size, "%.*s", (int)(last - at), at);
    return end + 1;
}

static void read_docs(void)
{
    FILE *file = fopen("docs/units.md", "r");
    char line[400];
    while (file != NULL && fgets(line, sizeof line, file) != NULL) {
        if (strncmp(line, "| `", 3) != 0 || count == MOST_ROWS) {
            continue;
        }
        doc_row *row = &rows[count++];
        const char *at = take_cell(line + 2, row->name, sizeof row->name);
        at = take_cell(at, row->about, sizeof row->about);
        take_cell(at, row->value, sizeof row->value);
    }
    if (file != NULL) {
        fclose(file);
    }
}

static const doc_row *find_row(mw_str name, mw_str about)
{
    for (size_t i = 0; i < count; i++) {
        if (mw_str_is(name, rows[i].name) && mw_str_is(about, rows[i].about)) {
            return &rows[i];
        }
    }
    print_error("docs/units.md has no row for %.*s, %.*s\n", (int)name.length, name.at,
                (int)about.length, about.at);
    fail();
    return NULL;
}

/* The value is a number and a unit of the kind; together they are the scale. */
static void check_row(void *context, mw_str name, mw_str about, mw_type type, double scale)
{
    mw_measure *measure = context;
    const doc_row *row = find_row(name, about);
    double number = 0;
    size_t used = mw_number_read(mw_str_of(row->value), &number);
    assert_true(used > 0);
    const char *rest = row->value + used + strspn(row->value + used, " ");
    mw_unit unit = unit_of(measure, rest);
    assert_near(mw_unit_to_si(measure, unit, number), scale, 5e-15); /* 15 digits are printed */
    mw_type joined;
    mw_type plain = type == MW_TYPE_DEGREES ? MW_TYPE_TEMPERATURE : type;
    assert_int_equal(mw_type_join(measure, mw_unit_type(measure, unit), plain, &joined),
                     MW_TYPE_FINE);
}

static void test_units_and_prefixes(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    mw_unit_each(measure, check_row, measure);
    mw_measure_free(measure);
}

static void count_row(void *context, mw_str name, mw_str about, mw_type type, double scale)
{
    (void)name, (void)about, (void)type, (void)scale;
    ++*(size_t *)context;
}

/* Tables of two columns are other spellings: each reads as the unit beside it. */
static void test_spellings(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    size_t expected = 0;
    size_t spellings = 0;
    mw_unit_each(measure, count_row, &expected);
    for (size_t i = 0; i < count; i++) {
        if (rows[i].value[0] == '\0') {
            assert_int_equal(unit_of(measure, rows[i].name), unit_of(measure, rows[i].about));
            spellings++;
        }
    }
    assert_int_equal(count, expected + spellings);
    assert_int_equal(spellings, 71);
    mw_measure_free(measure);
}

/* The sentence on prefixes names just the units that take them. */
static void test_prefix_sentence(void **state)
{
    (void)state;
    FILE *file = fopen("docs/units.md", "r");
    static char line[4000];
    while (fgets(line, sizeof line, file) != NULL && strncmp(line, "Before `", 8) != 0) {
    }
    fclose(file);
    char *large = strstr(line, "; the large ones");
    assert_non_null(large);
    mw_measure *measure = mw_measure_new();
    size_t units = 0;
    mw_unit_each(measure, count_row, &units);
    for (size_t i = 0; i < units - PREFIXES; i++) {
        char text[64];
        size_t used;
        mw_unit unit;
        snprintf(text, sizeof text, "G%.30s", rows[i].name);
        bool big = mw_unit_read(measure, mw_str_of(text), &used, &unit) == MW_OK;
        snprintf(text, sizeof text, "c%.30s", rows[i].name);
        bool small = mw_unit_read(measure, mw_str_of(text), &used, &unit) == MW_OK;
        snprintf(text, sizeof text, "`%.30s`", rows[i].name);
        const char *found = strstr(line, text);
        assert_int_equal(found != NULL && found < large, big && small);
        assert_int_equal(found != NULL && found > large, big && !small);
    }
    mw_measure_free(measure);
}

int main(void)
{
    test_list list = {0};
    read_docs();
    test_add(&list, test_units_and_prefixes);
    test_add(&list, test_spellings);
    test_add(&list, test_prefix_sentence);
    return test_run(&list, "docs");
}
