/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading formulas inside statements. */
#ifndef MW_LANG_PARSER_H
#define MW_LANG_PARSER_H

#include "lexer.h"

#define MW_DEPTH_MAX 200

/* How tightly signs bind, from loose to tight. */
typedef enum mw_level {
    MW_LEVEL_NOTHING,
    MW_LEVEL_AS,
    MW_LEVEL_OR,
    MW_LEVEL_AND,
    MW_LEVEL_NOT,
    MW_LEVEL_COMPARE,
    MW_LEVEL_RANGE,
    MW_LEVEL_SUM,
    MW_LEVEL_PRODUCT,
    MW_LEVEL_SIGN,
    MW_LEVEL_POWER
} mw_level;

/* Begins reading a span of at most `limit` bytes and looks at its first token. MW_NO_MEMORY, or
 * MW_FAILED for one that is too long. */
mw_status mw_parser_begin(mw_reading *reading, const mw_reader *reader, mw_span span,
                          uint32_t limit) MW_MUST_USE;

/* Returns what the whole reading came to; takes back what was added to the tree unless that is MW_OK. */
mw_status mw_parser_end(mw_reading *reading) MW_MUST_USE;

/* Reports a text of more than `limit` bytes. */
void mw_parser_too_long(mw_reading *reading, mw_str text, uint32_t limit);

/* Reads the longest formula from the present token on; returns its root. */
uint32_t mw_parser_formula(mw_reading *reading);

/* Goes on with a formula whose first value, `left`, has been read. */
uint32_t mw_parser_onward(mw_reading *reading, uint32_t left);

/* Reads the path that begins with the present token, a NAME. Returns its node. */
uint32_t mw_parser_path(mw_reading *reading);

/* Reports that the present token cannot stand where it does, behind a whole formula. */
void mw_parser_misfit(mw_reading *reading);

/* Reports a comma that parts nothing. */
void mw_parser_stray_comma(mw_reading *reading, mw_str comma);

/* Reports that a value is missing before the present token. */
void mw_parser_missing(mw_reading *reading);

/* Reports `a < b < c`; `node` is `a < b` and the present token the second sign. Passes over the rest. */
void mw_parser_chained(mw_reading *reading, uint32_t node);

/* Reports that the bracket at `open` is not closed by the present token. */
void mw_parser_unclosed(mw_reading *reading, const char *open);

/* Returns whether a token binds what stands on both sides of it. */
bool mw_parser_is_sign(mw_token_kind kind);

/* Reads what binds at least as tightly as `level`. */
uint32_t mw_parser_level(mw_reading *reading, mw_level level);

/* Passes over what cannot be read, up to a comma or closing bracket that is not inside an inner pair, or
 * the end. What comes then may be reported again. */
void mw_parser_resume(mw_reading *reading);

/* Puts a child aside; mw_parser_gather() moves the last `count` of them to links[] and returns where the
 * first stands. */
void mw_parser_put(mw_reading *reading, uint32_t child);
uint32_t mw_parser_gather(mw_reading *reading, uint32_t count);

/* Returns the span of the bytes from `begin` to `end`. */
mw_span mw_parser_span(const mw_reading *reading, const char *begin, const char *end);

#endif
