/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers as text, independent of the locale. */
#ifndef MOULDWRIGHT_NUMBER_H
#define MOULDWRIGHT_NUMBER_H

#include "mouldwright/unit.h"

/* Reads a number (digits, point, exponent; no sign) at the start of `text`. Returns the bytes used, 0 if
 * none stands there. Correctly rounded. `1e3` has an exponent only if a digit follows. */
size_t mw_number_read(mw_str text, double *value);

/* Adds the shortest decimal that means the same to 15 significant digits; exponent form
 * outside 1e-6 to 1e15. */
void mw_number_words(double value, mw_text *out);
/* Adds a number rounded to `digits` significant digits, plain form, digits grouped by `group` (0: not). */
void mw_number_short(double value, int digits, char group, mw_text *out);
/* Adds a number with fixed decimals, grouped by `group` (0: not). Never "-0". */
void mw_number_fixed(double value, int decimals, char group, mw_text *out);

/* Adds a value of `type` (inside, in SI) for people in `unit`: number, blank, unit; a date as
 * 2027-03-11 (with T14:30 if not midnight), a truth as yes or no, money with its minor digits where it
 * has no more. `%` as `8 %`. Text values are the caller's business. */
void mw_value_words(mw_measure *measure, double value, mw_type type, mw_unit unit, mw_text *out);

#endif
