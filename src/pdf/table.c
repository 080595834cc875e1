/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables: how wide the columns are, how high a row is, and a row drawn. */
#include "pdf.h"

#include <math.h>

#define GAP         9.0 /* between columns */
#define PAD         2.6 /* above and below a cell */
#define WORD_LEAST  42.0
#define SCALE_LEAST 0.62
#define FIRST_SHARE 0.4
#define LINES_MOST  8 /* of a cell */
/* Room for the rounding of widths that were added up. */
#define SLACK 0.6

static const mw_paper_cell *cell_at(const mw_paper_item *table, uint32_t row, uint32_t column)
{
    return &table->cells[(size_t)row * table->column_count + column];
}

static uint32_t rows_of(const mw_paper_item *table)
{
    return table->column_count > 0 ? table->cell_count / table->column_count : 0;
}

static pdf_style style_of(const mw_paper_item *table, uint32_t row)
{
    return row == MW_NONE                                  ? PDF_HEAD
           : table->has_total && row + 1 == rows_of(table) ? PDF_TOTAL
                                                           : PDF_CELL;
}

static mw_str text_of(const mw_paper_item *table, uint32_t row, uint32_t column)
{
    return row == MW_NONE ? table->columns[column].head : cell_at(table, row, column)->text;
}

/* Widths wished for: the whole text of every cell on one line, and the least. */
typedef struct wishes {
    double whole[MW_PAPER_COLUMNS_MAX], least[MW_PAPER_COLUMNS_MAX];
} wishes;

static void wish_of(pdf *in, const mw_paper_item *table, uint32_t c, wishes *to)
{
    const uint32_t rows = rows_of(table);
    double whole = 0.0;
    double least = 0.0;
    for (uint32_t r = 0; r <= rows; r++) {
        const uint32_t row = r == rows ? MW_NONE : r;
        const double width = pdf_width(in, style_of(table, row), text_of(table, row, c), 1.0);
        whole = fmax(whole, width + SLACK);
        if (width > WORD_LEAST && width > least) {
            least = fmax(least,
                         pdf_longest_word(in, style_of(table, row), text_of(table, row, c), 1.0));
        }
    }
    to->whole[c] = whole;
    to->least[c] = table->columns[c].right ? whole : fmin(whole, fmax(least, WORD_LEAST) + SLACK);
}

/* Columns of numbers keep their width; texts share what is left, the long ones giving first. */
static double share_of(const mw_paper_item *table, const wishes *of, double room)
{
    double low = 0.0;
    double high = room;
    for (int i = 0; i < 40; i++) {
        const double cap = (low + high) / 2.0;
        double sum = 0.0;
        for (uint32_t c = 0; c < table->column_count; c++) {
            sum += fmax(of->least[c], fmin(of->whole[c], cap));
        }
        *(sum > room ? &high : &low) = cap;
    }
    return low;
}

/* What is over goes to the texts, so that amounts of all tables stand at the right edge of the page. A table that ends
 * with remarks has its first column as wide as those of others, so that amounts stand below each other there, too. */
static void spread(const mw_paper_item *table, double room, pdf_columns *to)
{
    const uint32_t last = table->column_count - 1;
    const bool remarks = last > 1 && !table->columns[last].right && table->columns[last - 1].right;
    uint32_t takers = 0;
    double over = room;
    for (uint32_t c = 0; c <= last; c++) {
        takers += !table->columns[c].right;
        over -= to->width[c];
    }
    if (remarks && !table->columns[0].right && over > 0.0) {
        const double first = fmin(over, fmax(0.0, FIRST_SHARE * room - to->width[0]));
        to->width[0] += first;
        to->width[last] += over - first;
        return;
    }
    for (uint32_t c = 0; c <= last && over > 0.0; c++) {
        if (!table->columns[c].right || takers == 0) {
            to->width[c] += over / (takers > 0 ? takers : last + 1);
        }
    }
}

/* Where even the least widths do not fit, letters get smaller, and in the end texts are broken anywhere. */
static void find_scale(const mw_paper_item *table, const wishes *of, double room, pdf_columns *to)
{
    double least = 0.0;
    for (uint32_t c = 0; c < table->column_count; c++) {
        least += of->least[c];
    }
    to->scale = least > room ? fmax(room / least, SCALE_LEAST) : 1.0;
}

void pdf_columns_find(pdf *in, const mw_paper_item *table, pdf_columns *to)
{
    wishes of;
    const double room = in->page.text_width - GAP * (table->column_count - 1);
    for (uint32_t c = 0; c < table->column_count; c++) {
        wish_of(in, table, c, &of);
    }
    find_scale(table, &of, room, to);
    double used = 0.0;
    for (uint32_t c = 0; c < table->column_count; c++) {
        of.whole[c] *= to->scale;
        of.least[c] *= to->scale;
        used += of.least[c];
    }
    const double shrink = used > room ? room / used : 1.0;
    const double cap = share_of(table, &of, room);
    for (uint32_t c = 0; c < table->column_count; c++) {
        to->width[c] = fmax(of.least[c], fmin(of.whole[c], cap)) * shrink;
    }
    spread(table, room, to);
    double at = in->page.left;
    for (uint32_t c = 0; c < table->column_count; c++) {
        to->at[c] = at;
        at += to->width[c] + GAP;
    }
}

static pdf_words words_of(const pdf *in, uint32_t item, uint32_t row, uint32_t column)
{
    const mw_paper_item *table = &in->paper->items[item];
    return (pdf_words){.style = style_of(table, row),
                       .width = in->columns[item].width[column] + 0.01,
                       .scale = in->columns[item].scale,
                       .lines = LINES_MOST,
                       .align = table->columns[column].right ? 1 : -1};
}

double pdf_row_height(pdf *in, uint32_t item, uint32_t row)
{
    const mw_paper_item *table = &in->paper->items[item];
    double most = pdf_line_height(in, style_of(table, row)) * in->columns[item].scale;
    for (uint32_t c = 0; c < table->column_count; c++) {
        const mw_str text = text_of(table, row, c);
        const pdf_words how = words_of(in, item, row, c);
        if (pdf_width(in, how.style, text, how.scale) > how.width) {
            most = fmax(most, pdf_laid_height(pdf_lay(in, text, &how)));
        }
    }
    return most + 2.0 * PAD;
}

/* Below a row, from edge to edge. */
static void rule(pdf *in, double y, double thickness, mw_paper_ink ink)
{
    pdf_ink(in, ink);
    cairo_set_line_width(in->cairo, thickness);
    cairo_move_to(in->cairo, in->page.left, y);
    cairo_line_to(in->cairo, in->page.left + in->page.text_width, y);
    cairo_stroke(in->cairo);
}

static void draw_cell(pdf *in, uint32_t item, uint32_t row, uint32_t column, double top)
{
    const mw_paper_item *table = &in->paper->items[item];
    const mw_str text = text_of(table, row, column);
    pdf_words how = words_of(in, item, row, column);
    if (text.length == 0) {
        return;
    }
    const double width = pdf_width(in, how.style, text, how.scale);
    how.single = width <= how.width;
    double x = in->columns[item].at[column];
    x += how.single && how.align > 0 ? in->columns[item].width[column] - width : 0.0;
    pdf_show(in, pdf_lay(in, text, &how), how.style, x, top);
}

void pdf_row_draw(pdf *in, uint32_t item, uint32_t row, double top)
{
    const mw_paper_item *table = &in->paper->items[item];
    const pdf_style style = style_of(table, row);
    const double height = pdf_row_height(in, item, row);
    cairo_tag_begin(in->cairo, "TR", NULL);
    for (uint32_t c = 0; c < table->column_count; c++) {
        cairo_tag_begin(in->cairo, row == MW_NONE ? "TH" : "TD", NULL);
        draw_cell(in, item, row, c, top + PAD);
        cairo_tag_end(in->cairo, row == MW_NONE ? "TH" : "TD");
    }
    cairo_tag_end(in->cairo, "TR");
    if (style == PDF_TOTAL) {
        rule(in, top, 1.0, MW_INK_DARK);
    } else {
        rule(in, top + height, style == PDF_HEAD ? 1.0 : 0.4,
             style == PDF_HEAD ? MW_INK_ACCENT : MW_INK_RULE);
    }
}
