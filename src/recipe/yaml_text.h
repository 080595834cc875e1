/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What reading a file needs to know of its bare text: places, lines, indentation, bytes that are
 * not allowed. Places are bytes from the start of the text. */
#ifndef RECIPE_YAML_TEXT_H
#define RECIPE_YAML_TEXT_H

#include "mouldwright/diag.h"

/* A cursor that turns counted characters into bytes. It moves both ways and costs the distance. */
typedef struct mw_yaml_places {
    mw_str text;
    bool ascii;       /* a character is a byte everywhere */
    size_t byte;      /* of the cursor */
    size_t character; /* of the cursor */
} mw_yaml_places;

/* Returns the byte at which character number `character` (from 0) begins; the length of the text
 * for a character past its end. */
uint32_t mw_yaml_byte(mw_yaml_places *places, size_t character);

/* Looks at every byte: sets `*ascii`, and returns whether all of it is UTF-8 without control
 * characters; else reports the first that is not. */
bool mw_yaml_check_bytes(mw_str text, uint32_t source, bool *ascii, mw_diags *diags);

/* Returns the bytes of the line break at `at`: 0 if there is none. Besides LF, CR and CR LF, YAML 1.1
 * breaks lines at U+0085, U+2028 and U+2029. */
size_t mw_yaml_break(mw_str text, size_t at);

/* Returns where the line that holds `at` begins and ends (before its line break). */
uint32_t mw_yaml_line_begin(mw_str text, uint32_t at);
uint32_t mw_yaml_line_end(mw_str text, uint32_t at);

/* Returns the first byte of the line that is no blank and no tab; its end for a blank line. */
uint32_t mw_yaml_line_content(mw_str text, uint32_t line_begin);

/* Returns where the nearest line above that has more than blanks and a comment begins; MW_NONE if
 * there is none. */
uint32_t mw_yaml_line_above(mw_str text, uint32_t line_begin);

/* Returns where in the line's indentation the first tab stands; MW_NONE if there is none. */
uint32_t mw_yaml_tab(mw_str text, uint32_t line_begin);

/* Returns the end of the word that begins at `at`: up to a blank, comma, colon, bracket or the end
 * of the line, but at least one character where there is one. */
uint32_t mw_yaml_word_end(mw_str text, uint32_t at);

#endif
