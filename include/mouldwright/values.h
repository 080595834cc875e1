/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values of cells, constants and temporaries in one array, and errors as values.
 *
 * An operand is a signed index from `base`: cells count up from 0; temporaries are -1 to
 * -MW_TEMPORARIES; constants lie below. So compiled code addresses all three alike. */
#ifndef MOULDWRIGHT_VALUES_H
#define MOULDWRIGHT_VALUES_H

#include "mouldwright/diag.h"

#ifdef __cplusplus
extern "C" {
#endif

#define MW_TEMPORARIES 1024

typedef int32_t mw_operand;

typedef struct mw_values mw_values;

/* Returns an empty store, or NULL when there is no memory. Free with mw_values_free(). */
mw_values *mw_values_new(void) MW_MUST_USE;
void mw_values_free(mw_values *values);

/* Makes room for `cells` cells in all; new ones are NaN (MW_CODE_NOT_A_VALUE). False: no memory. */
bool mw_values_reserve(mw_values *values, uint32_t cells) MW_MUST_USE;

/* Returns the array; it moves with the next reserve or new constant. */
double *mw_values_base(mw_values *values);

/* Returns the operand of a constant (equal bits share one where that is cheap); 0 when there is no
 * memory (0 is never a constant's operand). */
mw_operand mw_values_constant(mw_values *values, double constant) MW_MUST_USE;

/* Texts are values too: an interned id as a double. NaN when there is no memory. */
double mw_values_text(mw_values *values, mw_str text) MW_MUST_USE;
/* Returns the text of such an id, valid until the store is freed; empty for anything else. */
mw_str mw_values_text_of(const mw_values *values, double id);

/* Returns how many constants there are; mw_values_forget() drops those added since there were
 * `constants`, for formulas that were tried once or refused. No code that uses them may be left. */
uint32_t mw_values_constants(const mw_values *values);
void mw_values_forget(mw_values *values, uint32_t constants);

/* Returns the bytes held, texts included. */
size_t mw_values_bytes(const mw_values *values);

/* Errors flow through arithmetic as NaNs that carry their code. */
/* Returns the value of that error. */
double mw_error_value(mw_code code);
/* Returns the code that a NaN carries (MW_CODE_NOT_A_VALUE for a foreign one), MW_CODE_TOO_LARGE
 * for an infinity; MW_CODE_COUNT for an ordinary number. */
mw_code mw_error_code(double value);

#ifdef __cplusplus
}
#endif

#endif
