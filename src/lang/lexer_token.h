/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Taking one token by the byte that it begins with. */
#ifndef MW_LANG_LEXER_TOKEN_H
#define MW_LANG_LEXER_TOKEN_H

#include "lexer.h"

/* Takes the token that begins at `at`, which is not the end. */
void mw_token_take(mw_reading *reading, const char *at);

/* Takes the word that begins with the ASCII letter at `begin`. */
void mw_token_take_word(mw_reading *reading, const char *begin);

/* Takes the token behind the blanks and comments at `at`, or the end. */
void mw_token_take_behind(mw_reading *reading, const char *at);

#endif
