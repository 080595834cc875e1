/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers as text, independent of the locale. */
#ifndef MOULDWRIGHT_NUMBER_H
#define MOULDWRIGHT_NUMBER_H

#include "mouldwright/unit.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Reads a number (digits, point, exponent; no sign) at the start of `text`. Returns the bytes
 * used, 0 if none stands there. Correctly rounded; infinity past the largest double. `1e3` has
 * an exponent only if a digit follows, `1.5` a point only if a digit follows: of `6..8` and of
 * `6.` the `6` is read. */
size_t mw_number_read(mw_str text, double *value);

/* All that follow begin with the decimal of 15 significant digits nearest to the value, and
 * round that with halves away from zero, as mw_money_round() does. NaN is "not a number",
 * infinity "infinite". */

/* Adds the shortest decimal that means the same to 15 significant digits; exponent form
 * outside 1e-6 to 1e15. */
void mw_number_words(double value, mw_text *out);
/* Adds a number rounded to `digits` (1 to 15) significant digits without zeros at the end of
 * decimals, plain form from 1e-20 to 1e21, thousands parted by `group` (0: not). */
void mw_number_short(double value, int digits, char group, mw_text *out);
/* Adds a number with fixed decimals, grouped by `group` (0: not). Never "-0". */
void mw_number_fixed(double value, int decimals, char group, mw_text *out);

/* Adds a value of `type` (inside, in SI) for people in `unit`: number, blank, unit; a date as
 * 2027-03-11 (with T14:30 if not midnight), a truth as yes or no, money with its minor digits
 * where it has no more. `%` as `8 %`. Temperatures to the 12 decimals that their kelvins hold.
 * The usual unit where `unit` does not show `type`. What is printed reads back to the same value
 * to 15 digits. Text values are the caller's business: nothing is added. */
void mw_value_words(mw_measure *measure, double value, mw_type type, mw_unit unit, mw_text *out);

#ifdef __cplusplus
}
#endif

#endif
