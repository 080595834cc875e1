/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The charts of a document as a picture that stands alone, one below the other.
 * Source: W3C, Scalable Vector Graphics (SVG) 1.1. */
#include "paper.h"

double mw_paper_picture_height(const mw_paper *paper)
{
    double height = 2.0 * MW_PAPER_PICTURE_EDGE;
    for (uint32_t i = 0; i < paper->item_count; i++) {
        const mw_paper_item *of = &paper->items[i];
        const bool chart = of->kind == MW_PAPER_CHART || of->kind == MW_PAPER_BARS;
        height +=
            chart ? of->head_height + of->row_count * of->row_height + MW_PAPER_PICTURE_GAP : 0.0;
    }
    return height;
}

static void write_chart(const mw_paper_item *of, double top, mw_text *out)
{
    for (uint32_t i = 0; i < of->shape_count; i++) {
        const uint32_t row = of->shapes[i].row;
        const double below = row > 0 ? of->head_height + (row - 1) * of->row_height : 0.0;
        mw_paper_shape_svg(&of->shapes[i], top + below, out);
        mw_text_addc(out, '\n');
    }
}

mw_status mw_paper_svg(const mw_paper *paper, mw_text *out)
{
    const double width = MW_PAPER_CHART_WIDTH + 2.0 * MW_PAPER_PICTURE_EDGE;
    const double height = mw_paper_picture_height(paper);
    double top = MW_PAPER_PICTURE_EDGE;
    mw_text_addf(out,
                 "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%.0f\" height=\"%.0f\" "
                 "viewBox=\"0 0 %.0f %.0f\" role=\"img\" font-size=\"%.1f\" "
                 "font-family=\"DejaVu Sans,sans-serif\">\n<title>",
                 width * 1.5, height * 1.5, width, height, MW_PAPER_LETTERS);
    mw_paper_escape_html(paper->title, out);
    mw_text_addf(out,
                 "</title>\n<rect width=\"%.0f\" height=\"%.0f\" fill=\"#%06x\"/>\n"
                 "<g transform=\"translate(%.0f 0)\">\n",
                 width, height, mw_paper_rgb(MW_INK_WHITE), MW_PAPER_PICTURE_EDGE);
    for (uint32_t i = 0; i < paper->item_count; i++) {
        const mw_paper_item *of = &paper->items[i];
        if (of->kind == MW_PAPER_CHART || of->kind == MW_PAPER_BARS) {
            write_chart(of, top, out);
            top += of->head_height + of->row_count * of->row_height + MW_PAPER_PICTURE_GAP;
        }
    }
    mw_text_adds(out, "</g>\n</svg>\n");
    return paper->lost || out->failed ? MW_NO_MEMORY : MW_OK;
}
