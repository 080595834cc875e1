/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON writing (RFC 8259), into a growing text. */
#ifndef MOULDWRIGHT_JSON_H
#define MOULDWRIGHT_JSON_H

#include "mouldwright/text.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Adds a JSON string with its quotes; control characters escaped, invalid UTF-8 replaced by
 * U+FFFD. */
void mw_json_string(mw_text *out, mw_str value);
/* Adds a number with 17 significant digits (trailing zeros dropped); NaN and infinity as null. */
void mw_json_number(mw_text *out, double value);

/* A writer that places commas. Start from {.out = text}. Opening and closing what does not match, or
 * too deep, is an error of the program (assert). */
typedef struct mw_json {
    mw_text *out;
    uint32_t depth;
    uint64_t filled; /* bit per depth: something stands there already */
    bool after_key;
} mw_json;

/* Opens an object ('{') or an array ('['), at most 60 deep. */
void mw_json_open(mw_json *json, char bracket);
/* Closes the newest with '}' or ']'. */
void mw_json_close(mw_json *json, char bracket);
/* Adds a key of an object; the next thing added is its value. */
void mw_json_key(mw_json *json, const char *key);
/* Adds a string. */
void mw_json_add_string(mw_json *json, mw_str value);
/* Adds a number as mw_json_number() writes it. */
void mw_json_add_number(mw_json *json, double value);
/* Adds a whole number. */
void mw_json_add_integer(mw_json *json, int64_t value);
/* Adds true or false. */
void mw_json_add_truth(mw_json *json, bool value);
/* Adds null. */
void mw_json_add_null(mw_json *json);

#ifdef __cplusplus
}
#endif

#endif
