/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON writing (RFC 8259), into a growing text. */
#ifndef MOULDWRIGHT_JSON_H
#define MOULDWRIGHT_JSON_H

#include "mouldwright/text.h"

/* Adds a JSON string with its quotes; control characters escaped, invalid UTF-8 replaced by
 * U+FFFD. */
void mw_json_string(mw_text *out, mw_str value);
/* Adds a number with 17 significant digits (trailing zeros dropped); NaN and infinity as null. */
void mw_json_number(mw_text *out, double value);

/* A writer that places commas. Start from {.out = text}. */
typedef struct mw_json {
    mw_text *out;
    uint32_t depth;
    uint64_t filled; /* bit per depth: something stands there already */
    bool after_key;
} mw_json;

void mw_json_open(mw_json *json, char bracket); /* '{' or '[' ; at most 60 deep */
void mw_json_close(mw_json *json, char bracket); /* '}' or ']' */
void mw_json_key(mw_json *json, const char *key);
void mw_json_add_string(mw_json *json, mw_str value);
void mw_json_add_number(mw_json *json, double value);
void mw_json_add_integer(mw_json *json, int64_t value);
void mw_json_add_truth(mw_json *json, bool value);
void mw_json_add_null(mw_json *json);

#endif
