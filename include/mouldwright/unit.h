/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Units: SI with prefixes, the trade's own, currencies, and units that a shop defines.
 * Source: NIST Special Publication 811 (2008), appendix B; BIPM SI Brochure, 9th edition; ISO
 * 4217. */
#ifndef MOULDWRIGHT_UNIT_H
#define MOULDWRIGHT_UNIT_H

#include "mouldwright/types.h"

#ifdef __cplusplus
extern "C" {
#endif

/* An interned unit expression such as `g/m2`. MW_UNIT_ONE is the plain number. */
typedef uint32_t mw_unit;
enum { MW_UNIT_ONE = 0 };

/* Functions that return a unit give MW_NONE when there is no memory; functions that take one treat
 * MW_NONE as MW_UNIT_ONE. */

/* Reads the longest unit expression at the start of `text`. Grammar (no blanks inside):
 *   unit   = (power | "1") { ("*" | "." | "/") power }    "/" binds what stands directly behind it
 *   power  = name [ digits | "^" number ]                 m2, m^2, m^-1, s^1/2, m^0.5
 *   number = ["-"] digits [ "." digits ] [ "/" digits ]
 * A "1" that has a slash behind it needs a unit behind that: 1/h. Also read: the micro sign and
 * Greek mu as u, the ohm sign and omega as ohm, the degree sign as deg (so with C or F as degC,
 * degF), raised digits and minus as powers, the raised dot as "*". Stops before the first
 * character that cannot continue it; a "/" or "*" followed by something that is no known unit is
 * left alone. A name is the longest known one: table name, else prefix + name; case matters;
 * `as` and the other words of the language are never units. Sets `*used` to the bytes read and
 * `*unit`. MW_NOT_FOUND: no known unit stands there (`*used` is then the length of the word that
 * is unknown). MW_FAILED: well-formed, but a power of 0, above 99 or no multiple of 1/60, more
 * than 12 different factors, a scale that no double holds, or two currencies without a rate;
 * `*used` is its length. MW_NO_MEMORY. The result depends on `text` up to its first blank,
 * bracket or comma alone. Mind that `10 m^2/3` is a power of two thirds: put blanks round a
 * division. */
mw_status mw_unit_read(mw_measure *measure, mw_str text, size_t *used, mw_unit *unit) MW_MUST_USE;

/* The type of a value written with this unit. A unit that stands alone and has an offset (degC,
 * degF) gives a point; inside an expression it is its difference. Hours, minutes, seconds, days
 * and weeks give soft types, except where people or another unit with time in it stand beside
 * them: person*h is labour, W*h and Pa*s are not soft. */
mw_type mw_unit_type(const mw_measure *measure, mw_unit unit);

/* value in SI (inside) = (value in unit) * scale + offset. Money is inside in whole currency
 * units; currencies with a rate are inside in the shop's currency. Offsets are those of degC and
 * degF; their way there and back is exact to a double in kelvin. */
double mw_unit_scale(const mw_measure *measure, mw_unit unit);
double mw_unit_offset(const mw_measure *measure, mw_unit unit);
double mw_unit_to_si(const mw_measure *measure, mw_unit unit, double value);
double mw_unit_from_si(const mw_measure *measure, mw_unit unit, double value);

/* Adds the unit as text that mw_unit_read() reads back to the same unit; nothing for
 * MW_UNIT_ONE. */
void mw_unit_words(const mw_measure *measure, mw_unit unit, mw_text *out);

/* The unit in which a value of a type is shown when nothing says otherwise: kg, m, m2, L for
 * volume, h for time and labour, degC, K, the currency, Pa, kg/m2, m/min, N*m for energy and
 * torque ... else made of SI base units. MW_UNIT_ONE for dates, truths and texts. */
mw_unit mw_unit_usual(mw_measure *measure, mw_type type);

/* The unit in which a * b (or a / b, or a^power) of type `type` is shown: the factors put
 * together and cancelled, plain numbers such as % dropped beside others; the usual unit of
 * `type` where two factors of one kind would stand in it (ft and m, L and m2), where people
 * would stand beside their hours, and where the factors do not fit the type. Remembered. */
mw_unit mw_unit_multiply(mw_measure *measure, mw_unit a, mw_unit b, mw_type type);
mw_unit mw_unit_divide(mw_measure *measure, mw_unit a, mw_unit b, mw_type type);
mw_unit mw_unit_power(mw_measure *measure, mw_unit a, double power, mw_type type);

/* Whether a value of `type` can be shown in `unit`: same kind, soft or labour hours as h, a
 * temperature point in K, a difference not in degC. */
bool mw_unit_shows(mw_measure *measure, mw_unit unit, mw_type type);

/* Defines a unit: one `name` is `factor` (> 0) times `unit`. MW_FAILED when the name is taken
 * (reads as a built-in unit with or without prefix, as a currency, or is a word of the
 * language), when the factor is unfit or the unit is a point (degC). MW_NOT_FOUND when the name
 * is not a word of letters, `_` and digits behind a letter. Redefining a shop unit replaces it
 * for what is read later; saying the same again changes nothing. MW_NO_MEMORY. */
mw_status mw_unit_define(mw_measure *measure, mw_str name, double factor, mw_unit unit) MW_MUST_USE;

/* Offers every unit name to `suggest` (see suggest.h). */
struct mw_suggest;
void mw_unit_suggest(const mw_measure *measure, struct mw_suggest *suggest);
/* Calls `each` for every unit and then every prefix of the built-in table, in table order, for help
 * and completion. A prefix comes with MW_TYPE_NUMBER and its power of ten. Currencies and other
 * spellings (litre, hours) are not in it. */
void mw_unit_each(const mw_measure *measure,
                  void (*each)(void *context, mw_str name, mw_str about, mw_type type,
                               double scale),
                  void *context);

#ifdef __cplusplus
}
#endif

#endif
