/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Signs of two bytes, signs as other notations write them, and letters beyond ASCII. */
#ifndef MW_LANG_LEXER_SPELLING_H
#define MW_LANG_LEXER_SPELLING_H

#include "lexer.h"

/* Reads the longest sign at `at`. One that is written otherwise here is reported and taken for what was
 * meant; what means nothing is reported and WRONG. Sets `*length` to its bytes. */
mw_token_kind mw_spelling_read(mw_reading *reading, const char *at, size_t *length);

/* Returns the bytes of the character beyond ASCII at `at` if it may stand in a name (`inside`: not as its
 * first), else 0. */
size_t mw_letter_length(const char *at, const char *end, bool inside);

#endif
