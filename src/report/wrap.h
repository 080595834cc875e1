/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text broken at blanks to the width of the screen. A number stays with its unit. */
#ifndef MW_REPORT_WRAP_H
#define MW_REPORT_WRAP_H

#include "mouldwright/text.h"

typedef struct wrapping {
    mw_text *out;
    size_t width;  /* columns of the screen */
    size_t indent; /* of all lines but the first */
    size_t used;   /* columns of the line at hand */
} wrapping;

/* Adds words behind what stands on the line. */
void wrap_words(wrapping *to, mw_str words);
/* Adds words `gap` blanks behind what stands on the line. Where they do not fit into the rest of
 * it, they begin on a line of their own; with a gap of 1 only if one holds them all. */
void wrap_part(wrapping *to, size_t gap, mw_str words);

#endif
