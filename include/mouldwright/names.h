/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names: a text to a small dense id and back. */
#ifndef MOULDWRIGHT_NAMES_H
#define MOULDWRIGHT_NAMES_H

#include "mouldwright/text.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct mw_names mw_names;

/* Returns an empty table, or NULL when there is no memory. Free with mw_names_free(). */
mw_names *mw_names_new(void) MW_MUST_USE;

/* Frees the table with its texts. NULL is allowed. */
void mw_names_free(mw_names *names);

/* Makes room for `count` names in all. False when there is no memory. */
bool mw_names_reserve(mw_names *names, uint32_t count) MW_MUST_USE;

/* Returns the id of `name`, adding it if new (ids count up from 0 in the order of adding);
 * MW_NONE when there is no memory. The table keeps its own copy of the text. */
uint32_t mw_names_add(mw_names *names, mw_str name) MW_MUST_USE;

/* Returns the id of `name`, or MW_NONE if it was never added. */
uint32_t mw_names_find(const mw_names *names, mw_str name);

/* Returns the hash that mw_names_find_hashed() takes. The same on every machine. */
uint32_t mw_names_hash(mw_str name);

/* The same as mw_names_find() for a name whose hash is known already. */
uint32_t mw_names_find_hashed(const mw_names *names, mw_str name, uint32_t hash);

/* Asks the processor to load the place of a hash: worth it when many are looked up in a row. */
void mw_names_prefetch(const mw_names *names, uint32_t hash);
/* The same for the text behind a place that was asked for some time before. */
void mw_names_prefetch_text(const mw_names *names, uint32_t hash);

/* Returns the text of `id`, owned by the table, valid until it is freed. */
mw_str mw_names_text(const mw_names *names, uint32_t id);

/* Returns how many names there are. */
uint32_t mw_names_count(const mw_names *names);

/* Returns the bytes held. */
size_t mw_names_bytes(const mw_names *names);

#ifdef __cplusplus
}
#endif

#endif
