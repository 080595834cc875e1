/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The units in which values are shown when nothing says otherwise. */
#include "measure.h"

/* What a mould maker would write. Money stands in the shop's or its own currency; "h" also shows
 * labour. Exponents of length, mass, time, current, temperature, amount, luminous, person. */
typedef struct usual_row {
    int8_t kind[SI_KINDS];
    const char *unit;
} usual_row;

/* clang-format off */
static const usual_row usual_rows[] = {
    {{3}, "L"},
    {{3, 0, -1}, "L/min"},
    {{2, 0, -1}, "m2/h"},
    {{1, 0, -1}, "m/min"},
    {{0, 1, -1}, "kg/h"},
    {{0, 0, -1}, "1/h"},
    {{0, 0, 1}, "h"},
    {{-1, 0, 1}, "h/m"},
    {{-2, 0, 1}, "h/m2"},
    {{0, -1, 1}, "h/kg"},
    {{1, 1, -2}, "N"},
    {{0, 1, -2}, "N/m"},
    {{2, 1, -2}, "N*m"},
    {{3, 1, -2}, "N*m2"},
    {{-1, 1, -2}, "Pa"},
    {{-1, 1, -1}, "Pa*s"},
    {{2, 1, -3}, "W"},
    {{0, 1, -3}, "W/m2"},
    {{1, 1, -3, 0, -1}, "W/m/K"},
    {{0, 1, -3, 0, -1}, "W/m2/K"},
    {{2, 0, -2}, "J/kg"},
    {{2, 0, -2, 0, -1}, "J/kg/K"},
    {{2, 1, -2, 0, 0, -1}, "J/mol"},
    {{2, 1, -2, 0, -1, -1}, "J/mol/K"},
    {{2, 1, -3, -1}, "V"},
    {{2, 1, -3, -2}, "ohm"},
    {{0, 0, 1, 1}, "C"},
};
/* clang-format on */

/* Whether a type is that of a row, money and labour put aside. */
static bool has_kind(const mw_type_parts *parts, const usual_row *row, bool labour)
{
    for (int i = 0; i < SI_KINDS; i++) {
        bool hours_of_people = i == MW_PERSON && labour;
        if (!hours_of_people && parts->exponent[i] != row->kind[i] * MW_EXPONENT_ONE) {
            return false;
        }
    }
    return parts->exponent[MW_MONEY] == 0;
}

/* Whether a person stands by each hour: such hours are written as h. */
static bool is_labour(const mw_type_parts *parts)
{
    return parts->exponent[MW_TIME] != 0 && parts->exponent[MW_PERSON] == parts->exponent[MW_TIME];
}

/* Adds the factor for one base kind. */
static bool add_base(const mw_measure *measure, const mw_type_parts *parts, int kind, factors *list)
{
    int exponent = parts->exponent[kind];
    if (exponent == 0) {
        return true;
    }
    atom item = (atom)kind;
    bool single = exponent == MW_EXPONENT_ONE || exponent == -MW_EXPONENT_ONE;
    bool hours =
        is_labour(parts) || (single && (parts->soft != 0 || parts->exponent[MW_MONEY] != 0));
    if (kind == MW_MASS) {
        item |= 1U << 24; /* k, the first prefix: kilogram */
    } else if (kind == MW_TIME && hours) {
        item = ROW_HOUR;
    } else if (kind == MW_PERSON && is_labour(parts)) {
        return true;
    } else if (kind == MW_MONEY) {
        uint16_t base = measure->base_currency;
        uint16_t currency = parts->currency != 0 ? parts->currency : base;
        if (currency == 0) {
            return false;
        }
        item = UNIT_ROWS + currency - 1U;
    }
    return factors_add(list, item, exponent);
}

bool factors_of_type(const mw_measure *measure, const mw_type_parts *parts, factors *list)
{
    *list = (factors){.count = 0};
    if (!add_base(measure, parts, MW_MONEY, list)) {
        return false;
    }
    static const int order[] = {MW_MASS,        MW_LENGTH, MW_TIME,     MW_CURRENT,
                                MW_TEMPERATURE, MW_AMOUNT, MW_LUMINOUS, MW_PERSON};
    for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
        if (!add_base(measure, parts, order[i], list)) {
            return false;
        }
    }
    return true;
}

static mw_status read_usual(mw_measure *measure, const char *text, mw_unit *unit)
{
    size_t used;
    return mw_unit_read(measure, mw_str_of(text), &used, unit);
}

static mw_status find_usual(mw_measure *measure, mw_type type, mw_unit *unit)
{
    const mw_type_parts *parts = type_parts(measure, type);
    *unit = MW_UNIT_ONE;
    if (parts->form != MW_FORM_NUMBER || type == MW_TYPE_DATE) {
        return MW_OK;
    }
    if (type == MW_TYPE_DEGREES) {
        return read_usual(measure, "degC", unit);
    }
    for (size_t i = 0; i < sizeof usual_rows / sizeof usual_rows[0]; i++) {
        if (has_kind(parts, &usual_rows[i], is_labour(parts))) {
            return read_usual(measure, usual_rows[i].unit, unit);
        }
    }
    factors list;
    mw_status status = MW_FAILED;
    if (factors_of_type(measure, parts, &list)) {
        status = unit_of_factors(measure, &list, unit);
    }
    return status;
}

mw_unit mw_unit_usual(mw_measure *measure, mw_type type)
{
    mw_unit known = type_record_of(measure, type)->usual;
    if (known != MW_NONE) {
        return known;
    }
    mw_unit unit;
    mw_status status = find_usual(measure, type, &unit);
    if (status == MW_NO_MEMORY) {
        return MW_NONE;
    }
    /* Powers past the limits of units are shown as bare numbers. */
    type_record_of(measure, type)->usual = status == MW_OK ? unit : MW_UNIT_ONE;
    return type_record_of(measure, type)->usual;
}
