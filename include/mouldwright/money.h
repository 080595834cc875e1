/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Money: ISO 4217 currencies, rates, and the one place that rounds to minor units. */
#ifndef MOULDWRIGHT_MONEY_H
#define MOULDWRIGHT_MONEY_H

#include "mouldwright/types.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Returns the id (1 and up) of a currency by its three-letter code, or 0. */
uint16_t mw_currency_find(const mw_measure *measure, mw_str code);
/* Returns its code; a constant text. */
const char *mw_currency_code(const mw_measure *measure, uint16_t currency);
/* Returns its minor digits: 2 for EUR, 0 for JPY, 3 for KWD, 4 for CLF. Source: ISO 4217:2015
 * list one. */
int mw_currency_digits(const mw_measure *measure, uint16_t currency);
/* Returns the type of an amount of that currency, or MW_NONE. */
mw_type mw_money_type(mw_measure *measure, uint16_t currency);

/* Sets the shop's currency: money of currencies that have a rate is inside in this one. A change
 * of currency forgets all rates. Units that were read before get their new type and scale;
 * values worked out with the old ones are the caller's business. MW_NOT_FOUND for no currency;
 * MW_NO_MEMORY changes nothing. */
mw_status mw_money_base(mw_measure *measure, uint16_t currency) MW_MUST_USE;
uint16_t mw_money_base_of(const mw_measure *measure);
/* States that 1 unit of `currency` is `rate` units of the shop's currency (> 0). From then on
 * amounts read in `currency` have the shop's currency as their type; units read before get it
 * too. MW_FAILED for an unfit rate, before mw_money_base(), and for a rate other than 1 of the
 * shop's currency. MW_NOT_FOUND for no currency; MW_NO_MEMORY changes nothing. */
mw_status mw_money_rate(mw_measure *measure, uint16_t currency, double rate) MW_MUST_USE;

/* Rounds an amount to minor digits, halves away from zero, deciding on the shortest decimal that
 * means the same to 15 digits (so that 1.005 is a half), on the double as it is where 15 would
 * end before the minor digits. Returns the nearest double. NaN and infinity are handed through. */
double mw_money_round(double amount, int digits);

/* The same in whole minor units. Returns false (and sets nothing) past 2^62 or for NaN. */
bool mw_money_minor(double amount, int digits, int64_t *minor);

/* Adds an amount of whole minor units with `digits` decimals, thousands parted by `group` (0: not
 * parted): -1 234.50 */
void mw_money_words(int64_t minor, int digits, char group, mw_text *out);

/* Splits `total` minor units in the proportion of `shares` (>= 0, not all 0) so that the parts
 * sum to the total exactly: largest remainders, ties to the lower index, a negative total like
 * its opposite. Returns false when shares are unfit; `parts` is then unset. Source: Balinski and
 * Young, Fair Representation, 1982 (method of Hamilton). */
bool mw_money_split(int64_t total, const double *shares, size_t count, int64_t *parts) MW_MUST_USE;

/* Margin (share of price) and mark-up (share of cost) into each other: margin = markup / (1 +
 * markup). */
double mw_margin_of_markup(double markup);
double mw_markup_of_margin(double margin);

#ifdef __cplusplus
}
#endif

#endif
