/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Charts: the shapes of a document drawn row by row. */
#include "pdf.h"

double pdf_chart_scale(const pdf *in, const mw_paper_item *chart)
{
    return chart->chart_width > 0.0 ? in->page.text_width / chart->chart_width : 1.0;
}

static void draw_words(pdf *in, const mw_paper_shape *of)
{
    const pdf_words how = {.style = of->bold ? PDF_CHART_BOLD : PDF_CHART,
                           .scale = of->size > 0.0 ? of->size / MW_PAPER_LETTERS : 1.0,
                           .single = true};
    PangoLayout *layout = pdf_lay(in, of->text, &how);
    PangoRectangle box;
    pango_layout_get_extents(layout, NULL, &box);
    const double width = pango_units_to_double(box.width);
    const double base = pango_units_to_double(pango_layout_get_baseline(layout));
    double x = of->x;
    cairo_save(in->cairo);
    if (of->w > 0.0 && width > of->w) { /* too long for its room */
        pango_layout_set_width(layout, pango_units_from_double(of->w));
        pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
        pango_layout_set_height(layout, -1);
        x -= of->align > 0 ? of->w : of->align == 0 ? of->w / 2.0 : 0.0;
    } else {
        x -= of->align > 0 ? width : of->align == 0 ? width / 2.0 : 0.0;
    }
    pdf_ink(in, of->ink);
    cairo_move_to(in->cairo, x, of->y - base);
    pango_cairo_show_layout(in->cairo, layout);
    cairo_restore(in->cairo);
}

static void draw_path(pdf *in, const mw_paper_shape *of)
{
    cairo_new_path(in->cairo); /* words leave a point behind */
    for (uint32_t i = 0; i < of->point_count; i++) {
        cairo_line_to(in->cairo, of->points[(size_t)2 * i], of->points[(size_t)2 * i + 1]);
    }
    cairo_set_line_width(in->cairo, of->size > 0.0 ? of->size : 1.2);
    cairo_set_line_join(in->cairo, CAIRO_LINE_JOIN_ROUND);
    cairo_stroke(in->cairo);
}

static void draw_shape(pdf *in, const mw_paper_shape *of)
{
    pdf_ink(in, of->ink);
    switch (of->kind) {
    case MW_SHAPE_LINE:
        cairo_set_line_width(in->cairo, of->ink == MW_INK_RULE ? 0.4 : 0.8);
        cairo_move_to(in->cairo, of->x, of->y);
        cairo_line_to(in->cairo, of->x + of->w, of->y + of->h);
        cairo_stroke(in->cairo);
        break;
    case MW_SHAPE_BOX:
        cairo_rectangle(in->cairo, of->x, of->y, of->w, of->h);
        cairo_fill(in->cairo);
        break;
    case MW_SHAPE_PATH:
        draw_path(in, of);
        break;
    case MW_SHAPE_WORDS:
        draw_words(in, of);
        break;
    }
}

/* Shapes of a row stand together, in the order of the rows. */
static uint32_t first_of(const mw_paper_item *chart, uint32_t row)
{
    uint32_t low = 0;
    uint32_t high = chart->shape_count;
    while (low < high) {
        const uint32_t middle = low + (high - low) / 2;
        if (chart->shapes[middle].row < row) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

void pdf_chart_draw(pdf *in, uint32_t item, uint32_t row, double top)
{
    const mw_paper_item *chart = &in->paper->items[item];
    const double scale = pdf_chart_scale(in, chart);
    cairo_save(in->cairo);
    cairo_translate(in->cairo, in->page.left, top);
    cairo_scale(in->cairo, scale, scale);
    for (uint32_t i = first_of(chart, row); i < chart->shape_count && chart->shapes[i].row == row;
         i++) {
        draw_shape(in, &chart->shapes[i]);
    }
    cairo_restore(in->cairo);
}
