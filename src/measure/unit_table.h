/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tables of units, prefixes, other spellings and currencies. */
#ifndef MOULDWRIGHT_MEASURE_UNIT_TABLE_H
#define MOULDWRIGHT_MEASURE_UNIT_TABLE_H

#include <stdbool.h>
#include <stdint.h>

enum { SI_KINDS = 8 /* the base kinds of types.h before money */ };

/* Which prefixes may stand before a name. */
typedef enum unit_prefixes {
    PREFIX_NONE = 0,
    PREFIX_LARGE /* kilo and up */,
    PREFIX_ALL
} unit_prefixes;

/* What else a unit is. */
enum {
    UNIT_HOURS = 1, /* bare time, which may be read as clock hours or as person-hours */
    UNIT_POINT = 2, /* alone it is a point with an offset */
    UNIT_STEP = 4   /* a difference that never shows a point */
};

/* One `name` is numerator / denominator * 10^ten of the SI unit of its kind. Numerators and
 * denominators are whole numbers below 2^63 wherever the definition is exact. */
typedef struct unit_row {
    const char *name;
    const char *about;
    long double numerator;
    long double denominator;
    int ten;
    int8_t kind[SI_KINDS]; /* exponents of the base kinds, in their order */
    unit_prefixes prefixes;
    unsigned flags;
} unit_row;

/* The first rows are the base units, at the index of their base kind; MASS is the gram. */
enum { ROW_HOUR = SI_KINDS, UNIT_ROWS = 109 };
extern const unit_row unit_rows[UNIT_ROWS];

/* How far the zero of a unit with UNIT_POINT lies above absolute zero, in hundredths of its
 * step. */
typedef struct point_row {
    const char *unit;
    long double zero_hundredths;
} point_row;

enum { POINT_ROWS = 2 };
extern const point_row point_rows[POINT_ROWS];

typedef struct prefix_row {
    const char *symbol;
    const char *about;
    int ten;
} prefix_row;

enum { PREFIX_ROWS = 24 };
extern const prefix_row prefix_rows[PREFIX_ROWS];

/* Another spelling of a unit of the table. */
typedef struct alias_row {
    const char *name;
    const char *unit;
    bool prefixes; /* whether the unit's prefixes go before this spelling too */
} alias_row;

enum { ALIAS_ROWS = 71 };
extern const alias_row alias_rows[ALIAS_ROWS];

/* Prefixed units that people write often, for suggestions. */
enum { COMMON_ROWS = 34 };
extern const char *const common_units[COMMON_ROWS];

typedef struct currency_row {
    char code[4];
    uint8_t digits; /* of the minor unit */
} currency_row;

enum { CURRENCY_ROWS = 165 };
extern const currency_row currency_rows[CURRENCY_ROWS];

#endif
