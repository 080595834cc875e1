/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Types in plain words, for messages. */
#include "measure.h"

#include <string.h>

/* Exponents of length, mass, time, current, temperature, amount, luminous, person, money. */
typedef struct kind_row {
    int8_t exponent[MW_BASE_COUNT];
    const char *alone; /* with its article */
    const char *over;  /* before "per"; NULL where it does not stand there */
    const char *under; /* after "per"; NULL where it does not stand there */
} kind_row;

/* clang-format off */
static const kind_row kind_rows[] = {
    {{0}, "a plain number", "a number", NULL},
    {{1}, "a length", "a length", "length"},
    {{2}, "an area", "an area", "area"},
    {{3}, "a volume", "a volume", "volume"},
    {{0, 1}, "a mass", "a mass", "mass"},
    {{0, 0, 1}, "a time", "a time", "time"},
    {{0, 0, 1, 0, 0, 0, 0, 1}, "labour", "labour", "labour"},
    {{0, 0, 0, 0, 0, 0, 0, 1}, "people", "people", "person"},
    {{0, 0, 0, 0, 0, 0, 0, 0, 1}, "money", "money", "money"},
    {{0, 0, 0, 0, 1}, "a temperature difference", "a temperature", "temperature"},
    {{0, 0, 0, 0, 0, 1}, "an amount of substance", "an amount of substance", "amount of substance"},
    {{0, 0, 0, 1}, "a current", "a current", "current"},
    {{2, 1, -2}, "an energy or a torque", "an energy", "energy"},
    {{2, 1, -3}, "a power", "a power", "power"},
    {{1, 1, -2}, "a force", "a force", "force"},
    {{-1, 1, -2}, "a pressure", "a pressure", "pressure"},
    {{1, 0, -1}, "a speed", NULL, NULL},
    {{1, 0, -2}, "an acceleration", NULL, NULL},
    {{-1, 1, -1}, "a viscosity", NULL, NULL},
    {{0, 0, 1, 1}, "an electric charge", NULL, NULL},
    {{2, 1, -3, -1}, "a voltage", NULL, NULL},
    {{2, 1, -3, -2}, "an electric resistance", NULL, NULL},
    {{0, 0, 0, 0, 0, 0, 1}, "a luminous intensity", NULL, NULL},
};
/* clang-format on */

enum { KIND_ROWS = sizeof kind_rows / sizeof kind_rows[0] };

static bool has_kind(const mw_type_parts *parts, const kind_row *over, const kind_row *under)
{
    for (int i = 0; i < MW_BASE_COUNT; i++) {
        int wanted = over->exponent[i] - (under != NULL ? under->exponent[i] : 0);
        if (parts->exponent[i] != wanted * MW_EXPONENT_ONE) {
            return false;
        }
    }
    return true;
}

/* Adds "a mass", "labour" ... if the table has the kind itself. */
static bool add_alone(const mw_type_parts *parts, mw_text *out)
{
    for (int i = 0; i < KIND_ROWS; i++) {
        if (has_kind(parts, &kind_rows[i], NULL)) {
            mw_text_adds(out, kind_rows[i].alone);
            return true;
        }
    }
    return false;
}

/* Adds "money per area", "a mass per time" ... if two rows make the kind. */
static bool add_ratio(const mw_type_parts *parts, mw_text *out)
{
    for (int i = 0; i < KIND_ROWS; i++) {
        for (int j = 0; j < KIND_ROWS; j++) {
            const kind_row *over = &kind_rows[i];
            const kind_row *under = &kind_rows[j];
            if (over->over != NULL && under->under != NULL && has_kind(parts, over, under)) {
                mw_text_addf(out, "%s per %s", over->over, under->under);
                return true;
            }
        }
    }
    return false;
}

static void add_number_kind(const mw_measure *measure, mw_type type, mw_text *out)
{
    const mw_type_parts *parts = type_parts(measure, type);
    if (add_alone(parts, out) || add_ratio(parts, out)) {
        if (parts->currency != 0) {
            mw_text_addf(out, " (%s)", mw_currency_code(measure, parts->currency));
        }
        return;
    }
    factors list;
    if (factors_of_type(measure, parts, &list)) {
        mw_text_adds(out, "a quantity in ");
        factors_words(measure, &list, out);
    } else {
        mw_text_adds(out, "a quantity of high powers");
    }
}

void mw_type_words(const mw_measure *measure, mw_type type, mw_text *out)
{
    switch (type) {
    case MW_TYPE_TRUTH:
        mw_text_adds(out, "yes or no");
        return;
    case MW_TYPE_TEXT:
        mw_text_adds(out, "a text");
        return;
    case MW_TYPE_TIME:
        mw_text_adds(out, "clock time");
        return;
    case MW_TYPE_DATE:
        mw_text_adds(out, "a date");
        return;
    case MW_TYPE_DEGREES:
        mw_text_adds(out, "a temperature");
        return;
    default:
        add_number_kind(measure, type, out);
        return;
    }
}
