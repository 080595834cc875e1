/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Columns one character at a time. */
#ifndef BASE_UTF8_H
#define BASE_UTF8_H

#include <stddef.h>
#include <stdint.h>

/* Returns the columns that the character `code` adds behind one that took `*last` columns (0 at the
 * start), and sets `*last` for the next. */
size_t mw_utf8_step_columns(uint32_t code, size_t *last);

#endif
