/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text: borrowed pieces of text, and a buffer that grows. */
#ifndef MOULDWRIGHT_TEXT_H
#define MOULDWRIGHT_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "mouldwright/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* A piece of text that somebody else owns; not NUL-terminated. */
typedef struct mw_str {
    const char *at;
    size_t length;
} mw_str;

/* A growing text. Start from {0}. `failed` is sticky: after an allocation failed all further
 * additions do nothing, and the caller asks once at the end. */
typedef struct mw_text {
    char *data; /* NUL-terminated once anything was added; NULL before */
    size_t length;
    size_t capacity;
    bool failed;
} mw_text;

/* Returns the piece that a NUL-terminated text is; NULL gives the empty piece. */
mw_str mw_str_of(const char *text);

/* Returns whether both pieces hold the same bytes. */
bool mw_str_equal(mw_str a, mw_str b);

/* Returns whether the piece is the NUL-terminated text. */
bool mw_str_is(mw_str a, const char *text);

/* Returns the piece without blanks, tabs and line ends at both sides. */
mw_str mw_str_trim(mw_str a);

/* Adds `length` bytes. */
void mw_text_add(mw_text *text, const char *bytes, size_t length);
/* Adds a piece. */
void mw_text_add_str(mw_text *text, mw_str piece);
/* Adds a NUL-terminated text. */
void mw_text_adds(mw_text *text, const char *string);
/* Adds one byte. */
void mw_text_addc(mw_text *text, char byte);
/* Adds formatted text. Numbers have the decimal point as long as LC_NUMERIC is that of the C locale,
 * which every program starts in and ours never leaves. */
void mw_text_addf(mw_text *text, const char *format, ...) MW_PRINTF(2, 3);
/* Adds `count` times one byte. */
void mw_text_fill(mw_text *text, char byte, size_t count);
/* Empties the text, keeps its memory, clears `failed`. */
void mw_text_clear(mw_text *text);
/* Gives the memory back and makes the text {0}. */
void mw_text_free(mw_text *text);
/* Returns the bytes as a NUL-terminated text, never NULL; valid until the next change. */
const char *mw_text_chars(const mw_text *text);

/* Decodes the UTF-8 character at `at` (not past `end`); sets `*length` to its bytes (1 to 4).
 * Returns the code point, or UINT32_MAX with `*length` 1 where the bytes are no valid UTF-8. */
uint32_t mw_utf8_decode(const char *at, const char *end, size_t *length);

/* Returns the columns that a piece of UTF-8 takes on a terminal: 0 for combining marks and control
 * characters, 2 for East Asian wide characters and emoji, else 1; a byte that is not valid UTF-8
 * counts as 1. Own table: it does not depend on the locale. Source: Unicode Standard Annex 11 (East
 * Asian Width), Unicode 15. */
size_t mw_utf8_columns(mw_str piece);

/* Returns the offset of the first byte that is not valid UTF-8, or `piece.length`. */
size_t mw_utf8_check(mw_str piece);

#ifdef __cplusplus
}
#endif

#endif
