/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Types: what kind of quantity a value is. Checked once, when a formula is entered. */
#ifndef MOULDWRIGHT_TYPES_H
#define MOULDWRIGHT_TYPES_H

#include "mouldwright/text.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Base kinds. The first seven are those of SI. A person is a kind of its own, so that labour
 * (person-hours) is no clock time; money has a currency beside it. Angles are plain numbers. */
enum {
    MW_LENGTH,
    MW_MASS,
    MW_TIME,
    MW_CURRENT,
    MW_TEMPERATURE,
    MW_AMOUNT,
    MW_LUMINOUS,
    MW_PERSON,
    MW_MONEY,
    MW_BASE_COUNT
};

/* Exponents are rational: stored as multiples of 1/60. */
#define MW_EXPONENT_ONE 60

typedef enum mw_form { MW_FORM_NUMBER, MW_FORM_TRUTH, MW_FORM_TEXT } mw_form;

typedef struct mw_type_parts {
    int16_t exponent[MW_BASE_COUNT]; /* in sixtieths */
    uint16_t currency;               /* id of mw_currency_find(); 0 none */
    uint8_t form;                    /* mw_form; exponents are 0 unless MW_FORM_NUMBER */
    uint8_t point; /* 1: a point (TEMPERATURE^1 or, a date, TIME^1), no difference */
    uint8_t soft;  /* 1: its hours came from bare literals such as `0.4 h/m2`:
                                        clock hours or person-hours */
} mw_type_parts;

/* An interned type: equal ids, equal parts. */
typedef uint32_t mw_type;

/* Types that every mw_measure has, with these ids. */
enum {
    MW_TYPE_NUMBER = 0, /* a plain number */
    MW_TYPE_TRUTH,
    MW_TYPE_TEXT,
    MW_TYPE_LENGTH,
    MW_TYPE_AREA,
    MW_TYPE_VOLUME,
    MW_TYPE_MASS,
    MW_TYPE_TIME,   /* clock time, a difference, not soft */
    MW_TYPE_LABOUR, /* person x time */
    MW_TYPE_PEOPLE,
    MW_TYPE_DATE,        /* point on the time line, seconds since 1970-01-01T00:00, no time zone */
    MW_TYPE_DEGREES,     /* temperature point, kelvin */
    MW_TYPE_TEMPERATURE, /* temperature difference, kelvin */
    MW_TYPE_FIXED_COUNT
};

/* The context of all measuring: interned types, units, currencies, rates. One per session; not
 * shared between threads while it changes. */
typedef struct mw_measure mw_measure;

/* Returns a context with the built-in units and currencies, or NULL when there is no memory.
 * Free with mw_measure_free(). */
mw_measure *mw_measure_new(void) MW_MUST_USE;
void mw_measure_free(mw_measure *measure);

/* Returns the interned type of `parts`, or MW_NONE when there is no memory. */
mw_type mw_type_of(mw_measure *measure, const mw_type_parts *parts) MW_MUST_USE;
/* Returns the parts of a type; valid until the context is freed (never moves). */
const mw_type_parts *mw_type_look(const mw_measure *measure, mw_type type);

/* Why two types do not go together. */
typedef enum mw_type_fault {
    MW_TYPE_FINE = 0,
    MW_TYPE_KINDS,      /* other dimensions or forms */
    MW_TYPE_CURRENCIES, /* both money, other currency, no rate */
    MW_TYPE_POINTS,     /* point + point, point * x ... */
    MW_TYPE_POWER,      /* no unit for that power */
    MW_TYPE_MEMORY
} mw_type_fault;

/* The result type of a + b, a - b, a * b, a / b: each sets `*out` when fine, else leaves it alone.
 * Remembered, a few nanoseconds. point + difference = point; point - point = difference; a point
 * times or over anything is MW_TYPE_POINTS, as is point + point. Two currencies without a rate do
 * not even multiply or divide: their ratio is an exchange rate that nobody stated.
 *
 * Soft hours (`3 h`, `0.4 h/m2`, `58 EUR/h`) may turn out to be clock hours or person-hours:
 *   - sums, comparisons, branches: soft with soft stays soft; soft with clock time is clock time;
 *     soft with labour is labour; clock time with labour is MW_TYPE_KINDS.
 *   - products and quotients are soft if an operand is and time is left in them. Where reading the
 *     soft operands as person-hours brings the exponent of people nearer to 0, they are read so,
 *     and the result is no longer soft:
 *         labour * 58 EUR/h       = money          58 EUR/h * people = money per clock time
 *         labour / (8 h)          = plain number   24 h / 2 people   = clock time
 *         labour * 2.5 m2/h       = area           3 people / (2 h)  = number per clock time
 *   - people * 3 h is labour and no longer soft; labour / people is clock time, labour / clock
 *     time is people: nothing soft there.
 * See docs/language.md, "Labour and clock time". */
mw_type_fault mw_type_add(mw_measure *measure, mw_type a, mw_type b, mw_type *out) MW_MUST_USE;
mw_type_fault mw_type_subtract(mw_measure *measure, mw_type a, mw_type b, mw_type *out) MW_MUST_USE;
mw_type_fault mw_type_multiply(mw_measure *measure, mw_type a, mw_type b, mw_type *out) MW_MUST_USE;
mw_type_fault mw_type_divide(mw_measure *measure, mw_type a, mw_type b, mw_type *out) MW_MUST_USE;
/* The type of a to a constant power. MW_TYPE_POWER where an exponent is no multiple of 1/60. */
mw_type_fault mw_type_power(mw_measure *measure, mw_type a, double power, mw_type *out) MW_MUST_USE;
/* Whether a and b may be compared or stand as two branches; `*out` is their common type. */
mw_type_fault mw_type_join(mw_measure *measure, mw_type a, mw_type b, mw_type *out) MW_MUST_USE;
/* Whether a value of type `from` may fill a slot declared as `slot`: same type; soft hours for
 * labour or for clock time; either for a slot declared with soft hours (`h/m2`); a plain number for
 * people. */
mw_type_fault mw_type_fits(mw_measure *measure, mw_type from, mw_type slot) MW_MUST_USE;

/* Adds the kind in plain words: "a mass", "money per time (EUR)", "a temperature", "labour", "a
 * date", "a time" (soft hours), "clock time", "a plain number", or by base units where no word
 * exists: "a quantity in kg*m4". */
void mw_type_words(const mw_measure *measure, mw_type type, mw_text *out);

#ifdef __cplusplus
}
#endif

#endif
