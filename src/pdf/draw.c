/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pages drawn. */
#include "pdf.h"

#include <string.h>

#define INDENT     11.0
#define LINES_MOST 6

static const pdf_atom *atom_of(const pdf *in, const pdf_place *place)
{
    return &g_array_index(in->atoms, pdf_atom, place->atom);
}

static void draw_block(pdf *in, const pdf_atom *of, double top)
{
    const mw_str text = of->item == MW_NONE ? in->paper->title : in->paper->items[of->item].text;
    const pdf_words how = {.style = of->style,
                           .width = in->page.text_width,
                           .scale = 1.0,
                           .lines = LINES_MOST,
                           .align = -1};
    const char *tag = of->style == PDF_TITLE ? "H1" : of->style == PDF_HEADING ? "H2" : "H3";
    cairo_tag_begin(in->cairo, tag, NULL);
    pdf_show(in, pdf_lay(in, text, &how), of->style, in->page.left, top);
    cairo_tag_end(in->cairo, tag);
    in->laid_item = MW_NONE;
}

/* The mark of a point, at the side where its first line begins. */
static void draw_dot(pdf *in, double y, bool right)
{
    pdf_ink(in, MW_INK_ACCENT);
    cairo_rectangle(in->cairo, in->page.left + (right ? in->page.text_width - 4.6 : 2.0), y, 2.6,
                    2.6);
    cairo_fill(in->cairo);
}

/* A line of a text; all its lines are laid once, when the first of them on a page is met. */
static void draw_line(pdf *in, const pdf_atom *of, double top)
{
    const bool point = in->paper->items[of->item].kind == MW_PAPER_POINT;
    const double indent = point ? INDENT : 0.0;
    const pdf_words how = {
        .style = of->style, .width = in->page.text_width - indent, .scale = 1.0, .align = -1};
    const bool laid = in->laid_item == of->item && in->laid_from == of->from;
    PangoLayout *layout =
        laid ? in->layouts[of->style]
             : pdf_lay(in, pdf_piece(in->paper->items[of->item].text, of->from), &how);
    in->laid_item = of->item;
    in->laid_from = of->from;
    PangoLayoutLine *line = pango_layout_get_line_readonly(layout, (int)of->row);
    PangoRectangle box;
    if (!line) {
        return;
    }
    pango_layout_line_get_extents(line, NULL, &box);
    const double base = top - pango_units_to_double(box.y);
    /* Lines that run from right to left stand at the right edge. */
    const bool right = pango_layout_line_get_resolved_direction(line) == PANGO_DIRECTION_RTL;
    const double spare = how.width - pango_units_to_double(box.width);
    if (point && of->row == 0 && of->from == 0) {
        draw_dot(in, base - 4.4, right);
    }
    pdf_ink(in, of->style == PDF_SMALL ? MW_INK_GREY : MW_INK_DARK);
    cairo_tag_begin(in->cairo, point ? "LI" : "P", NULL);
    cairo_move_to(in->cairo, in->page.left + (!right ? indent : spare > 0.0 ? spare : 0.0), base);
    pango_cairo_show_layout_line(in->cairo, line);
    cairo_tag_end(in->cairo, point ? "LI" : "P");
}

static void draw_atom(pdf *in, const pdf_place *place)
{
    const pdf_atom *of = atom_of(in, place);
    switch (of->kind) {
    case PDF_LETTERHEAD:
        pdf_letterhead_draw(in, place->top);
        break;
    case PDF_BLOCK:
        draw_block(in, of, place->top);
        break;
    case PDF_LINE:
        draw_line(in, of, place->top);
        break;
    case PDF_TABLE_HEAD:
    case PDF_TABLE_ROW:
        pdf_row_draw(in, of->item, of->row, place->top);
        break;
    case PDF_CHART_ROW:
        pdf_chart_draw(in, of->item, of->row, place->top);
        break;
    }
}

/* A heading becomes a line of the table of contents that readers show beside the pages. */
static void add_outline(pdf *in, const pdf_place *place)
{
    const pdf_atom *of = atom_of(in, place);
    if (of->kind != PDF_BLOCK || of->style != PDF_HEADING) {
        return;
    }
    const mw_str text = in->paper->items[of->item].text;
    char *name = g_utf8_make_valid(text.at, (gssize)text.length);
    char *where = g_strdup_printf("page=%u pos=[%d %d]", place->page + 1, (int)in->page.left,
                                  (int)place->top);
    cairo_pdf_surface_add_outline(in->surface, CAIRO_PDF_OUTLINE_ROOT, name, where,
                                  (cairo_pdf_outline_flags_t)0);
    g_free(where);
    g_free(name);
}

static void draw_foot(pdf *in, uint32_t page)
{
    const double y = in->page.height - 34.0;
    char number[48];
    const int length = g_snprintf(number, sizeof number, "%u of %u", page + 1, in->pages);
    pdf_words how = {.style = PDF_FOOT, .width = in->page.text_width, .scale = 1.0, .align = 1};
    pdf_show(in, pdf_lay(in, (mw_str){number, (size_t)length}, &how), PDF_FOOT, in->page.left, y);
    how = (pdf_words){.style = PDF_FOOT,
                      .width = in->page.text_width - 70.0,
                      .scale = 1.0,
                      .lines = 1,
                      .align = -1};
    const mw_str foot = in->paper->foot.length > 0 ? in->paper->foot : in->paper->title;
    pdf_show(in, pdf_lay(in, foot, &how), PDF_FOOT, in->page.left, y);
}

/* The tag of the rows of a table that stand together on a page. */
static bool in_table(const pdf_atom *of)
{
    return of->kind == PDF_TABLE_HEAD || of->kind == PDF_TABLE_ROW;
}

static uint32_t draw_page(pdf *in, uint32_t page, uint32_t from)
{
    uint32_t open = MW_NONE; /* table whose tag is open */
    uint32_t i = from;
    in->laid_item = MW_NONE;
    for (; i < in->places->len; i++) {
        const pdf_place *place = &g_array_index(in->places, pdf_place, i);
        const pdf_atom *of = atom_of(in, place);
        if (place->page != page) {
            break;
        }
        const uint32_t table = in_table(of) ? of->item : MW_NONE;
        if (table != open) {
            if (open != MW_NONE) {
                cairo_tag_end(in->cairo, "Table");
            }
            if (table != MW_NONE) {
                cairo_tag_begin(in->cairo, "Table", NULL);
            }
            open = table;
        }
        add_outline(in, place);
        draw_atom(in, place);
    }
    if (open != MW_NONE) {
        cairo_tag_end(in->cairo, "Table");
    }
    return i;
}

void pdf_draw(pdf *in)
{
    uint32_t next = 0;
    for (uint32_t page = 0; page < in->pages; page++) {
        next = draw_page(in, page, next);
        draw_foot(in, page);
        cairo_show_page(in->cairo);
    }
}
