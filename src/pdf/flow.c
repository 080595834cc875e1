/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A document taken to pieces that are not cut, and the pieces dealt out to pages. */
#include "pdf.h"

#include <math.h>

#define INDENT     11.0 /* of the points of a list */
#define LINES_MOST 6    /* of titles and headings */
#define ROWS_WHOLE 8    /* a table or chart of so many rows is not cut */

static uint32_t add(pdf *in, pdf_atom atom)
{
    g_array_append_val(in->atoms, atom);
    return in->atoms->len - 1;
}

/* Changes whether the newest atom stays with its next. */
static void keep_newest(pdf *in)
{
    if (in->atoms->len > 0) {
        g_array_index(in->atoms, pdf_atom, in->atoms->len - 1).keep = true;
    }
}

static void add_block(pdf *in, uint32_t item, pdf_style style, double before)
{
    const mw_str text = item == MW_NONE ? in->paper->title : in->paper->items[item].text;
    const pdf_words how = {.style = style,
                           .width = in->page.text_width,
                           .scale = 1.0,
                           .lines = LINES_MOST,
                           .align = -1};
    const double height = pdf_laid_height(pdf_lay(in, text, &how)) + 3.0;
    add(in, (pdf_atom){PDF_BLOCK, style, item, 0, MW_NONE, height, before, true, 0});
}

/* The lines of a text. One line alone stays neither behind nor goes ahead of the others. */
static void add_lines(pdf *in, uint32_t item, pdf_style style, double indent)
{
    const pdf_words how = {
        .style = style, .width = in->page.text_width - indent, .scale = 1.0, .align = -1};
    const mw_str text = in->paper->items[item].text;
    size_t from = 0;
    do {
        const mw_str piece = pdf_piece(text, from);
        PangoLayout *layout = pdf_lay(in, piece, &how);
        const int count = pango_layout_get_line_count(layout);
        for (int i = 0; i < count; i++) {
            PangoRectangle box;
            pango_layout_line_get_extents(pango_layout_get_line_readonly(layout, i), NULL, &box);
            const bool first = i == 0 && from == 0;
            const double before = !first               ? 1.0
                                  : style == PDF_SMALL ? 5.0
                                  : indent > 0.0       ? 2.5
                                                       : 4.0;
            add(in, (pdf_atom){.kind = PDF_LINE,
                               .style = style,
                               .item = item,
                               .row = (uint32_t)i,
                               .head = MW_NONE,
                               .height = pango_units_to_double(box.height),
                               .before = before,
                               .keep = count > 1 && (i == 0 || i + 2 == count),
                               .from = from});
        }
        from += piece.length;
    } while (from < text.length);
}

/* The title and head of a table stay with its first row, its total with the row above. */
static void add_table(pdf *in, uint32_t item)
{
    const mw_paper_item *table = &in->paper->items[item];
    const uint32_t rows = table->column_count ? table->cell_count / table->column_count : 0;
    if (table->column_count == 0) {
        return;
    }
    if (table->text.length > 0) {
        add_block(in, item, PDF_SUBHEADING, 11.0);
    }
    pdf_columns_find(in, table, &in->columns[item]);
    const uint32_t head = add(in, (pdf_atom){PDF_TABLE_HEAD, PDF_HEAD, item, MW_NONE, MW_NONE,
                                             pdf_row_height(in, item, MW_NONE), 5.0, true, 0});
    for (uint32_t r = 0; r < rows; r++) {
        const bool keep = r + 1 < rows && (rows <= ROWS_WHOLE || r == 0 || r + 3 >= rows);
        add(in, (pdf_atom){PDF_TABLE_ROW, PDF_CELL, item, r, head, pdf_row_height(in, item, r), 0.0,
                           keep, 0});
    }
}

static void add_chart(pdf *in, uint32_t item)
{
    const mw_paper_item *chart = &in->paper->items[item];
    const double scale = pdf_chart_scale(in, chart);
    if (chart->text.length > 0) {
        add_block(in, item, PDF_SUBHEADING, 11.0);
    }
    const uint32_t head =
        add(in, (pdf_atom){PDF_CHART_ROW, PDF_CHART, item, 0, MW_NONE, chart->head_height * scale,
                           4.0, chart->row_count > 0, 0});
    for (uint32_t r = 1; r <= chart->row_count; r++) {
        const bool keep = r < chart->row_count &&
                          (chart->row_count <= ROWS_WHOLE || r == 1 || r + 1 == chart->row_count);
        add(in, (pdf_atom){PDF_CHART_ROW, PDF_CHART, item, r, head, chart->row_height * scale, 0.0,
                           keep, 0});
    }
}

static void add_item(pdf *in, uint32_t item)
{
    const mw_paper_item *of = &in->paper->items[item];
    switch (of->kind) {
    case MW_PAPER_LETTERHEAD: /* stands at the head of the first page */
        break;
    case MW_PAPER_HEADING:
        add_block(in, item, of->level == 1 ? PDF_HEADING : PDF_SUBHEADING,
                  of->level == 1 ? 16.0 : 11.0);
        break;
    case MW_PAPER_TEXT:
        add_lines(in, item, PDF_TEXT, 0.0);
        break;
    case MW_PAPER_POINT:
        add_lines(in, item, PDF_TEXT, INDENT);
        break;
    case MW_PAPER_SMALL:
        add_lines(in, item, PDF_SMALL, 0.0);
        break;
    case MW_PAPER_TABLE:
        add_table(in, item);
        break;
    case MW_PAPER_BARS:
    case MW_PAPER_CHART:
        add_chart(in, item);
        break;
    }
}

void pdf_atoms_find(pdf *in)
{
    const double letterhead = pdf_letterhead_height(in);
    if (letterhead > 0.0) {
        add(in,
            (pdf_atom){PDF_LETTERHEAD, PDF_SENDER, MW_NONE, 0, MW_NONE, letterhead, 0.0, true, 0});
    }
    add_block(in, MW_NONE, PDF_TITLE, 14.0);
    for (uint32_t i = 0; i < in->paper->item_count; i++) {
        /* A remark belongs to what stands above it. */
        if (in->paper->items[i].kind == MW_PAPER_SMALL && i > 0 &&
            in->paper->items[i - 1].kind == MW_PAPER_TABLE) {
            keep_newest(in);
        }
        add_item(in, i);
    }
}

/* ---- pages ---- */

typedef struct flow {
    pdf *in;
    double y; /* used of the page */
    bool empty;
} flow;

static const pdf_atom *atom_at(const pdf *in, uint32_t i)
{
    return &g_array_index(in->atoms, pdf_atom, i);
}

/* The first atom behind those that must stay together with `from`, and their height at the place where they are. */
static uint32_t chain_end(const flow *on, uint32_t from, double *height)
{
    uint32_t end = from;
    *height = 0.0;
    do {
        const pdf_atom *of = atom_at(on->in, end);
        *height += of->height + (end == from && on->empty ? 0.0 : of->before);
        end++;
    } while (end < on->in->atoms->len && atom_at(on->in, end - 1)->keep);
    return end;
}

static void put(flow *on, uint32_t atom)
{
    const pdf_atom *of = atom_at(on->in, atom);
    const double before = on->empty ? 0.0 : of->before;
    const pdf_place place = {atom, on->in->pages - 1, on->in->page.top + on->y + before};
    g_array_append_val(on->in->places, place);
    on->y += before + of->height;
    on->empty = false;
}

/* Turns the page; within a table its head comes first again. */
static void turn(flow *on, uint32_t next)
{
    const uint32_t head = atom_at(on->in, next)->head;
    on->in->pages++;
    on->y = 0.0;
    on->empty = true;
    if (head != MW_NONE) {
        put(on, head);
    }
}

void pdf_places_find(pdf *in)
{
    flow on = {.in = in, .empty = true};
    const double room = in->page.text_height;
    in->pages = 1;
    for (uint32_t i = 0; i < in->atoms->len;) {
        double height = 0.0;
        const uint32_t end = chain_end(&on, i, &height);
        if (on.y + height > room && !on.empty) {
            turn(&on, i);
        }
        for (; i < end; i++) { /* a chain that is longer than a page is cut all the same */
            const pdf_atom *of = atom_at(in, i);
            if (on.y + of->before + of->height > room && !on.empty &&
                on.y > (of->head == MW_NONE ? 0.0 : atom_at(in, of->head)->height)) {
                turn(&on, i);
            }
            put(&on, i);
        }
    }
}
