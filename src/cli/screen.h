/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the screen can show: width, height, colour; and pages of long answers. */
#ifndef MW_CLI_SCREEN_H
#define MW_CLI_SCREEN_H

#include <stdio.h>

#include "mouldwright/text.h"

/* The width: the terminal's, else $COLUMNS, else 80. */
uint32_t screen_width(void);
/* The height: the terminal's, else $LINES, else 24. */
uint32_t screen_rows(void);
/* Whether colours may be used on a stream: a terminal that is not dumb, and NO_COLOR is not set (or empty). */
bool screen_colour(FILE *stream);
/* Whether characters beyond ASCII can be drawn. */
bool screen_unicode(void);

/* Adds messages with colours: the words error, warning and try, and the marks below a line. Takes nothing away and adds
 * nothing but colours. */
void screen_paint(mw_str messages, mw_text *out);

/* Where a line is broken: `column` is used already, further lines begin at `indent`. */
typedef struct screen_column {
    size_t column, indent, width;
} screen_column;

/* Adds a line broken at blanks, with its end; its own blanks in front stay. */
void screen_wrap(mw_str text, screen_column at, mw_text *out);
/* Adds messages with lines broken at blanks to the width (0: not), but for lines of a source; without the marks below
 * those unless they are wanted. */
void screen_fit(mw_str messages, size_t width, bool marks, mw_text *out);

/* How many rows of a screen a text takes, with lines that are wider than it. */
size_t pager_rows(mw_str text, size_t width);
/* The bytes of the text from `at` on that fill `rows` rows. */
size_t pager_page(mw_str text, size_t at, size_t width, size_t rows);
/* Shows a text page by page: by $PAGER, less, or ourselves. */
void pager_show(mw_str text);

#endif
