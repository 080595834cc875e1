/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The charts of a document as one PNG picture. */
#include "pdf.h"

/* Points become so many dots: letters of 7 points stay readable on a screen. */
#define DOTS 2.0

static cairo_status_t write_bytes(void *to, const unsigned char *bytes, unsigned int length)
{
    const mw_paper_sink *sink = to;
    return sink->take(sink->to, bytes, length) ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_WRITE_ERROR;
}

static void draw_charts(pdf *in)
{
    double top = MW_PAPER_PICTURE_EDGE;
    for (uint32_t i = 0; i < in->paper->item_count; i++) {
        const mw_paper_item *of = &in->paper->items[i];
        if (of->kind != MW_PAPER_CHART && of->kind != MW_PAPER_BARS) {
            continue;
        }
        pdf_chart_draw(in, i, 0, top);
        top += of->head_height;
        for (uint32_t row = 1; row <= of->row_count; row++) {
            pdf_chart_draw(in, i, row, top);
            top += of->row_height;
        }
        top += MW_PAPER_PICTURE_GAP;
    }
}

mw_paper_pdf_status pdf_write_png(const mw_paper *paper, const mw_paper_sink *sink)
{
    const double width = MW_PAPER_CHART_WIDTH + 2.0 * MW_PAPER_PICTURE_EDGE;
    double height = 2.0 * MW_PAPER_PICTURE_EDGE;
    for (uint32_t i = 0; i < paper->item_count; i++) {
        const mw_paper_item *of = &paper->items[i];
        if (of->kind == MW_PAPER_CHART || of->kind == MW_PAPER_BARS) {
            height += of->head_height + of->row_count * of->row_height + MW_PAPER_PICTURE_GAP;
        }
    }
    pdf in = {.paper = paper,
              .sink = *sink,
              .page = {width, height, MW_PAPER_PICTURE_EDGE, 0.0, MW_PAPER_CHART_WIDTH, height},
              .laid_item = MW_NONE};
    in.surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)(width * DOTS), (int)(height * DOTS));
    in.cairo = cairo_create(in.surface);
    cairo_scale(in.cairo, DOTS, DOTS);
    pdf_ink(&in, MW_INK_WHITE);
    cairo_paint(in.cairo);
    pdf_words_begin(&in);
    const bool fonts = pdf_has_fonts(&in);
    if (fonts) {
        draw_charts(&in);
    }
    pdf_words_end(&in);
    cairo_destroy(in.cairo);
    cairo_surface_flush(in.surface);
    cairo_status_t status = cairo_surface_status(in.surface);
    if (fonts && status == CAIRO_STATUS_SUCCESS) {
        status = cairo_surface_write_to_png_stream(in.surface, write_bytes, &in.sink);
    }
    cairo_surface_destroy(in.surface);
    return !fonts                               ? MW_PDF_NO_FONTS
           : status == CAIRO_STATUS_SUCCESS     ? MW_PDF_WRITTEN
           : status == CAIRO_STATUS_WRITE_ERROR ? MW_PDF_LOST
                                                : MW_PDF_FAILED;
}
