/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sources: the texts that were read (files, typed lines), so that every message can point into
 * them. */
#ifndef MOULDWRIGHT_SOURCE_H
#define MOULDWRIGHT_SOURCE_H

#include "mouldwright/text.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct mw_sources mw_sources;

/* A piece of a source: bytes `begin` up to, not including, `end`. */
typedef struct mw_span {
    uint32_t source; /* MW_NONE: nowhere */
    uint32_t begin;
    uint32_t end;
} mw_span;

/* A place for people: line and column count from 1; the column counts characters, tabs as one. */
typedef struct mw_place {
    mw_str name; /* file name as the user gave it, or a word such as `prompt` */
    uint32_t line;
    uint32_t column;
    mw_str line_text;    /* without its line end */
    uint32_t line_begin; /* byte offset of line_text in the source */
} mw_place;

/* Returns an empty set, or NULL when there is no memory. Free with mw_sources_free(). */
mw_sources *mw_sources_new(void) MW_MUST_USE;

/* Frees the set with its texts. NULL is allowed. */
void mw_sources_free(mw_sources *sources);

/* Adds a text under a name; both are copied. Returns the id of the source, or MW_NONE when there is
 * no memory or the text is longer than UINT32_MAX - 1 bytes. */
uint32_t mw_sources_add(mw_sources *sources, mw_str name, mw_str text) MW_MUST_USE;

/* The same, taking over `text`: a block of mw_memory_get() with `length` bytes and a NUL behind them,
 * which the set gives back. On failure the caller still owns it. */
uint32_t mw_sources_adopt(mw_sources *sources, mw_str name, char *text, size_t length) MW_MUST_USE;

/* Drops `source` if it is the newest, for typed lines that were refused; else does nothing. */
void mw_sources_drop_last(mw_sources *sources, uint32_t source);

/* Says that the first line of a source is line `line` (1 and up) of what people see: for a text that
 * comes in piece by piece. */
void mw_sources_first_line(mw_sources *sources, uint32_t source, uint32_t line);

/* Returns the whole text of a source. It is followed by a NUL byte and stays where it is until the
 * source is dropped. */
mw_str mw_sources_text(const mw_sources *sources, uint32_t source);

/* Returns the name of a source, valid as long. */
mw_str mw_sources_name(const mw_sources *sources, uint32_t source);

/* Returns the text of a span, cut where it reaches past the source. */
mw_str mw_sources_piece(const mw_sources *sources, mw_span span);

/* Works out line and column of byte `at` of a source (its end where `at` lies past it). Costs a pass over the text before it. */
mw_place mw_sources_place(const mw_sources *sources, uint32_t source, uint32_t at);

#ifdef __cplusplus
}
#endif

#endif
