/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Documents: headings, paragraphs, tables and charts, kept as plain data, and writers that all print the same strings. */
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
    MW_PAPER_BARS, /* a bar a row over a common scale */
    MW_PAPER_CHART /* `text`: title; shapes that whoever made it put there */
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

/* A mark on the scale of bars. */
typedef struct mw_paper_tick {
    mw_str label;
    double at; /* 0 to 1 */
} mw_paper_tick;

/* What charts are drawn in: one accent, the rest greys. */
typedef enum mw_paper_ink {
    MW_INK_DARK,
    MW_INK_GREY,
    MW_INK_ACCENT,
    MW_INK_SOFT, /* the accent, pale */
    MW_INK_RULE,
    MW_INK_WHITE,
    MW_INKS
} mw_paper_ink;

/* Returns the colour of an ink: red, green, blue, a byte each. */
static inline unsigned mw_paper_rgb(mw_paper_ink ink)
{
    static const unsigned colours[MW_INKS] = {0x1a1a1a, 0x555555, 0x1f5f8b,
                                              0xc3d7e4, 0xd8d8d8, 0xffffff};
    return colours[ink];
}

typedef enum mw_shape_kind {
    MW_SHAPE_LINE, /* from x, y to x + w, y + h */
    MW_SHAPE_BOX,  /* filled */
    MW_SHAPE_PATH, /* through `points` */
    MW_SHAPE_WORDS /* `text` on one line, its base at y; cut at `w` where that is not 0 */
} mw_shape_kind;

/* A piece of a chart, drawn alike by every writer. Lengths in points, downwards from the top left of its row. */
typedef struct mw_paper_shape {
    mw_shape_kind kind;
    mw_paper_ink ink;
    uint32_t row; /* 0: the scale above the rows, which stands again at the top of a new page */
    double x, y, w, h;
    int align;      /* WORDS: -1 begins at x, 0 its middle, 1 ends there */
    double size;    /* WORDS: of the letters; 0: as usual. PATH: thickness; 0: as usual */
    bool bold;      /* WORDS */
    mw_str text;    /* WORDS */
    double *points; /* PATH: x and y of each in turn */
    uint32_t point_count;
} mw_paper_shape;

#define MW_PAPER_CHART_WIDTH 495.0
#define MW_PAPER_LETTERS     7.6 /* size of a chart's words */

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
    mw_paper_tick *ticks; /* BARS */
    uint32_t tick_count, tick_capacity;
    double chart_width, head_height, row_height; /* BARS (made by mw_paper_finish()), CHART */
    uint32_t row_count;
    mw_paper_shape *shapes; /* in the order of their rows */
    uint32_t shape_count, shape_capacity;
} mw_paper_item;

typedef enum mw_paper_size { MW_PAPER_A4, MW_PAPER_LETTER } mw_paper_size;

typedef struct mw_paper {
    mw_arena *arena; /* owns all texts */
    mw_str title;
    mw_str foot;    /* beside the page number */
    mw_str picture; /* PNG file for the letterhead; empty: none */
    mw_paper_size size;
    bool landscape;
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
/* Begins a chart of bars. */
void mw_paper_bars(mw_paper *paper, mw_str title);
/* `from`, `to`: 0 to 1; what is outside is cut. */
void mw_paper_bar_add(mw_paper *paper, const mw_paper_bar *bar);
/* Adds a mark to the scale of the newest bars; those outside 0 to 1 are left out. */
void mw_paper_tick_add(mw_paper *paper, double at, mw_str label);
/* Begins a chart of `rows` rows with a scale above them; shapes follow, in the order of their rows. */
void mw_paper_chart(mw_paper *paper, mw_str title, double head_height, double row_height,
                    uint32_t rows);
void mw_paper_shape_add(mw_paper *paper, const mw_paper_shape *shape);
/* The document is whole: draws its bars. Writers want this first; again it does nothing. */
void mw_paper_finish(mw_paper *paper);

/* Writers. MW_NO_MEMORY where anything was lost. Every text is escaped for its format; control characters become blanks. */
mw_status mw_paper_markdown(const mw_paper *paper, mw_text *out) MW_MUST_USE;
/* One file that needs no other: style inside, charts as SVG. */
mw_status mw_paper_html(const mw_paper *paper, mw_text *out) MW_MUST_USE;
/* The tables one after the other, a blank line between (RFC 4180); numbers plain, texts that a reader might take for a
 * formula (= + - @ or a tab in front) with a quote mark before them. */
mw_status mw_paper_csv(const mw_paper *paper, mw_text *out) MW_MUST_USE;

/* Of a picture: the room around it and below each chart, in points. */
#define MW_PAPER_PICTURE_EDGE 14.0
#define MW_PAPER_PICTURE_GAP  12.0
/* Returns how high the picture is that holds all charts, one below the other, in points. */
double mw_paper_picture_height(const mw_paper *paper);
/* The charts alone as one SVG file; its width is that of a chart and the edges. Source: W3C, Scalable Vector Graphics (SVG) 1.1. */
mw_status mw_paper_svg(const mw_paper *paper, mw_text *out) MW_MUST_USE;

/* What the module that writes PDF hands over. It stands in a shared object of its own (src/pdf). */
typedef struct mw_paper_sink {
    bool (*take)(void *to, const void *bytes, size_t length); /* false: no more, nothing kept */
    void *to;
} mw_paper_sink;
typedef enum mw_paper_pdf_status {
    MW_PDF_WRITTEN,
    MW_PDF_NO_FONTS, /* there is no font on this machine */
    MW_PDF_LOST,     /* the sink took no more */
    MW_PDF_FAILED,
    MW_PDF_NO_MODULE, /* none of the files is there */
    MW_PDF_NO_LIBRARY /* the module is there, cairo or pango is not */
} mw_paper_pdf_status;
typedef struct mw_paper_module {
    const char *version; /* it and the sizes are those of the program that it was built with */
    size_t paper_size, item_size, shape_size;
    mw_paper_pdf_status (*write)(const mw_paper *paper, const mw_paper_sink *sink);
    mw_paper_pdf_status (*write_png)(const mw_paper *paper, const mw_paper_sink *sink);
} mw_paper_module;

/* Writes PDF through the first of `count` module files that is there; it stays loaded. cairo and pango end the program
 * where there is no memory. Anything but MW_PDF_WRITTEN: `out` is of no use, `why` says in the system's words what was
 * wrong with a module. */
mw_paper_pdf_status mw_paper_pdf(const mw_paper *paper, const char *const *modules, size_t count,
                                 mw_text *out, mw_text *why) MW_MUST_USE;

/* The same for the charts alone, as a PNG picture. */
mw_paper_pdf_status mw_paper_png(const mw_paper *paper, const char *const *modules, size_t count,
                                 mw_text *out, mw_text *why) MW_MUST_USE;

/* Adds a text escaped for HTML and for SVG, for a cell of Markdown, for a cell of CSV. */
void mw_paper_escape_html(mw_str text, mw_text *out);
void mw_paper_escape_markdown(mw_str text, mw_text *out);
void mw_paper_escape_csv(mw_str text, mw_text *out);

#ifdef __cplusplus
}
#endif

#endif
