/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef MW_CLI_DECIMAL_H
#define MW_CLI_DECIMAL_H

#include "cli.h"

/* Adds what was typed with decimal commas as the language has it: a comma between digits becomes the point, a semicolon
 * the comma of lists; texts in quotes and remarks stay. Both have the same length. Returns where the first comma stands
 * that parts no digits, or the length. */
size_t decimal_to_point(mw_str typed, mw_text *out);
/* The same, and says on standard error what is wrong with a text called `name` that begins in line `line`; false: it was
 * wrong, or no memory. */
bool decimal_typed(cli *program, const char *name, mw_str typed, uint32_t line, mw_text *out);

#endif
