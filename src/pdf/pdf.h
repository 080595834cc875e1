/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of the PDF module share. Lengths are points (1/72 inch), downwards from the top of the page.
 *
 * A document becomes atoms, pieces that are not cut: a line of a paragraph, a row of a table or chart. They are measured,
 * dealt out to pages, then drawn. Memory comes from GLib, which pango uses too: both end the program where there is
 * none, so the writer is the last step of a statement that changes nothing. */
#ifndef MW_PDF_PDF_H
#define MW_PDF_PDF_H

#include <cairo/cairo-pdf.h>
#include <pango/pangocairo.h>

#include "mouldwright/paper.h"

/* Ways to set text; a table in words.c says how each looks. */
typedef enum pdf_style {
    PDF_TITLE,
    PDF_HEADING,
    PDF_SUBHEADING,
    PDF_TEXT,
    PDF_SMALL,
    PDF_CELL,
    PDF_HEAD,
    PDF_TOTAL,
    PDF_SENDER,
    PDF_ADDRESS,
    PDF_FOOT,
    PDF_CHART,
    PDF_CHART_BOLD,
    PDF_STYLES
} pdf_style;

typedef enum pdf_atom_kind {
    PDF_LETTERHEAD, /* all its lines and the picture */
    PDF_BLOCK,      /* a whole text: title, heading, title of a table */
    PDF_LINE,       /* one line of a text */
    PDF_TABLE_HEAD,
    PDF_TABLE_ROW,
    PDF_CHART_ROW /* row 0: its scale */
} pdf_atom_kind;

typedef struct pdf_atom {
    pdf_atom_kind kind;
    pdf_style style;
    uint32_t item; /* of the document; MW_NONE: the document itself */
    uint32_t row;  /* of a table or chart; line of a text, counted from `from` */
    uint32_t head; /* atom that is drawn again above this one on a new page; MW_NONE: none */
    double height;
    double before; /* room above, not at the top of a page */
    bool keep;     /* on the page of the next one */
    size_t from;   /* byte of a text at which the piece begins that is laid as one */
} pdf_atom;

/* An atom that has its place. */
typedef struct pdf_place {
    uint32_t atom, page; /* page from 0 */
    double top;
} pdf_place;

/* How wide the columns of a table are. */
typedef struct pdf_columns {
    double at[MW_PAPER_COLUMNS_MAX];    /* left edge */
    double width[MW_PAPER_COLUMNS_MAX]; /* without the gap */
    double scale;                       /* of the letters */
} pdf_columns;

typedef struct pdf_page {
    double width, height;
    double left, top, text_width, text_height;
} pdf_page;

typedef struct pdf {
    const mw_paper *paper;
    mw_paper_sink sink;
    pdf_page page;
    cairo_surface_t *surface;
    cairo_t *cairo;
    PangoContext *context;
    PangoLayout *layouts[PDF_STYLES];
    double advance[PDF_STYLES][128]; /* of ASCII characters, at the size of the style */
    cairo_surface_t *picture;        /* of the letterhead; NULL: none */
    GArray *atoms;                   /* pdf_atom */
    GArray *places;                  /* pdf_place */
    pdf_columns *columns;            /* by item; only those of tables mean anything */
    uint32_t pages;
    uint32_t laid_item; /* whose text stands in the layout of its style, and from which byte on */
    size_t laid_from;
} pdf;

/* -- words.c -- */
void pdf_words_begin(pdf *in);
void pdf_words_end(pdf *in);
/* Returns whether there is any font to write with. */
bool pdf_has_fonts(pdf *in);
/* How high one line of a style is. */
double pdf_line_height(const pdf *in, pdf_style style);
/* How wide a text is on one line, times `scale`. */
double pdf_width(pdf *in, pdf_style style, mw_str text, double scale);
/* The widest piece of a text that is not broken at a blank. */
double pdf_longest_word(pdf *in, pdf_style style, mw_str text, double scale);
/* Where and how a text is set. */
typedef struct pdf_words {
    pdf_style style;
    double width; /* <= 0: one line as long as it is */
    double scale;
    int lines;   /* at most so many, then an ellipsis; 0: any number */
    int align;   /* -1 left, 0 middle, 1 right */
    bool single; /* known to fit on one line */
} pdf_words;
/* Sets a text; returns the layout, valid until the style is used again. */
PangoLayout *pdf_lay(pdf *in, mw_str text, const pdf_words *how);
/* The piece of a text that is laid as one: pango takes time by the square of a paragraph's length, so that a very long one
 * is parted, at a blank if there is one. */
mw_str pdf_piece(mw_str text, size_t from);
double pdf_laid_height(PangoLayout *layout);
/* Draws what is laid with its top left corner there, in the colour of the style. */
void pdf_show(pdf *in, PangoLayout *layout, pdf_style style, double x, double y);
void pdf_ink(pdf *in, mw_paper_ink ink);

/* -- table.c -- */
void pdf_columns_find(pdf *in, const mw_paper_item *table, pdf_columns *to);
/* row MW_NONE: the head. */
double pdf_row_height(pdf *in, uint32_t item, uint32_t row);
void pdf_row_draw(pdf *in, uint32_t item, uint32_t row, double top);

/* -- chart.c -- */
double pdf_chart_scale(const pdf *in, const mw_paper_item *chart);
void pdf_chart_draw(pdf *in, uint32_t item, uint32_t row, double top);

/* -- letterhead.c -- */
double pdf_letterhead_height(pdf *in);
void pdf_letterhead_draw(pdf *in, double top);
/* Reads the picture of the document; without one, or one that is no PNG, there is none. */
void pdf_picture_read(pdf *in);

/* -- flow.c -- */
void pdf_atoms_find(pdf *in);
void pdf_places_find(pdf *in);

/* -- picture.c -- */
mw_paper_pdf_status pdf_write_png(const mw_paper *paper, const mw_paper_sink *sink);

/* -- draw.c -- */
void pdf_draw(pdf *in);

#endif
