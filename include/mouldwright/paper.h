/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Documents: headings, paragraphs, tables and bars, kept as plain data, and writers that all print the same strings. */
#ifndef MOULDWRIGHT_PAPER_H
#define MOULDWRIGHT_PAPER_H

#include "mouldwright/arena.h"
#include "mouldwright/status.h"
#include "mouldwright/text.h"

#ifdef __cplusplus
extern "C" {
#endif

#define MW_PAPER_COLUMNS_MAX 16

typedef enum mw_paper_kind {
    MW_PAPER_LETTERHEAD, /* `text`: a line at the head of the first page */
    MW_PAPER_HEADING,    /* `text`, `level` 1 or 2 */
    MW_PAPER_TEXT,       /* `text`: a paragraph */
    MW_PAPER_POINT,      /* `text`: one of a list */
    MW_PAPER_SMALL,      /* `text`: a remark in small print */
    MW_PAPER_TABLE,
    MW_PAPER_BARS
} mw_paper_kind;

/* A cell of a table. */
typedef struct mw_paper_cell {
    mw_str text;  /* for people */
    mw_str plain; /* a number as machines read it; empty: the text */
} mw_paper_cell;

typedef struct mw_paper_column {
    mw_str head;
    bool right; /* numbers: at the right edge, so that decimals stand below each other */
} mw_paper_column;

/* A bar of a chart over a common scale. */
typedef struct mw_paper_bar {
    mw_str label;
    mw_str value;
    double from, to; /* 0 to 1 */
} mw_paper_bar;

/* One after the other down the page. Which members count depends on the kind. */
typedef struct mw_paper_item {
    mw_paper_kind kind;
    int level;
    mw_str text; /* TABLE, BARS: title, may be empty */
    mw_paper_column columns[MW_PAPER_COLUMNS_MAX];
    uint32_t column_count;
    mw_paper_cell *cells; /* row by row */
    uint32_t cell_count, cell_capacity;
    bool has_total; /* the last row is a total */
    mw_paper_bar *bars;
    uint32_t bar_count, bar_capacity;
    mw_str scale_from, scale_to; /* BARS: what stands at the ends */
} mw_paper_item;

typedef enum mw_paper_size { MW_PAPER_A4, MW_PAPER_LETTER } mw_paper_size;

typedef struct mw_paper {
    mw_arena *arena; /* owns all texts */
    mw_str title;
    mw_str foot; /* beside the page number */
    mw_paper_size size;
    double made_s; /* the date of the document, seconds since 1970-01-01 */
    mw_paper_item *items;
    uint32_t item_count, item_capacity;
    bool lost; /* no memory: writers then say so */
} mw_paper;

/* Returns an empty document; NULL when there is no memory. Texts are copied by all that follow. */
mw_paper *mw_paper_new(mw_str title) MW_MUST_USE;
void mw_paper_free(mw_paper *paper);

/* Adds a heading, paragraph, point, remark or line of the letterhead. */
void mw_paper_add(mw_paper *paper, mw_paper_kind kind, mw_str text);
/* Adds a heading of a level, 1 or 2. */
void mw_paper_heading(mw_paper *paper, int level, mw_str text);
/* Begins a table; columns first, then cells from left to right. */
void mw_paper_table(mw_paper *paper, mw_str title);
void mw_paper_column_add(mw_paper *paper, mw_str head, bool right);
void mw_paper_cell_add(mw_paper *paper, mw_str text, mw_str plain);
/* The newest row of the newest table is its total. */
void mw_paper_total(mw_paper *paper);
/* Begins a chart of bars between two ends of a scale. */
void mw_paper_bars(mw_paper *paper, mw_str title, mw_str from, mw_str to);
/* `from`, `to`: 0 to 1; what is outside is cut. */
void mw_paper_bar_add(mw_paper *paper, const mw_paper_bar *bar);

/* Writers. MW_NO_MEMORY where anything was lost. Every text is escaped for its format; control characters become blanks. */
mw_status mw_paper_markdown(const mw_paper *paper, mw_text *out) MW_MUST_USE;
/* One file that needs no other: style inside, charts as SVG. */
mw_status mw_paper_html(const mw_paper *paper, mw_text *out) MW_MUST_USE;
/* The tables one after the other, a blank line between (RFC 4180); numbers plain, texts that a reader might take for a
 * formula (= + - @ or a tab in front) with a quote mark before them. */
mw_status mw_paper_csv(const mw_paper *paper, mw_text *out) MW_MUST_USE;

/* Adds a text escaped for HTML and for SVG, for a cell of Markdown, for a cell of CSV. */
void mw_paper_escape_html(mw_str text, mw_text *out);
void mw_paper_escape_markdown(mw_str text, mw_text *out);
void mw_paper_escape_csv(mw_str text, mw_text *out);

#ifdef __cplusplus
}
#endif

#endif
