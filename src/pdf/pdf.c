/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A document written as PDF: the whole of it, from data to bytes. Loaded apart, so that a session which writes none
 * does not wait for the libraries that it takes. */
#include "pdf.h"

#include <time.h>

/* The only name that can be seen from outside; mw_paper_pdf() looks for it. */
extern const mw_paper_module mw_pdf_module;

#define SIDE 50.0
#define HEAD 44.0
#define FOOT 56.0

static const struct {
    double width, height;
} sizes[] = {[MW_PAPER_A4] = {595.276, 841.890}, [MW_PAPER_LETTER] = {612.0, 792.0}};

static pdf_page page_of(const mw_paper *paper)
{
    const double width = paper->landscape ? sizes[paper->size].height : sizes[paper->size].width;
    const double height = paper->landscape ? sizes[paper->size].width : sizes[paper->size].height;
    return (pdf_page){width, height, SIDE, HEAD, width - 2.0 * SIDE, height - HEAD - FOOT};
}

static cairo_status_t write_bytes(void *to, const unsigned char *bytes, unsigned int length)
{
    const mw_paper_sink *sink = to;
    return sink->take(sink->to, bytes, length) ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_WRITE_ERROR;
}

static void set_text(pdf *in, cairo_pdf_metadata_t which, mw_str text)
{
    char *valid = g_utf8_make_valid(text.at, (gssize)text.length);
    cairo_pdf_surface_set_metadata(in->surface, which, valid);
    g_free(valid);
}

/* The date of the document, so that the same job gives the same bytes. */
static void set_date(pdf *in)
{
    const time_t made = (time_t)in->paper->made_s;
    struct tm parts;
    char date[40];
    if (gmtime_r(&made, &parts) && strftime(date, sizeof date, "%Y-%m-%dT%H:%M:%SZ", &parts) > 0) {
        cairo_pdf_surface_set_metadata(in->surface, CAIRO_PDF_METADATA_CREATE_DATE, date);
    }
}

static void begin(pdf *in, const mw_paper_sink *sink)
{
    in->sink = *sink;
    in->surface = cairo_pdf_surface_create_for_stream(write_bytes, &in->sink, in->page.width,
                                                      in->page.height);
    in->cairo = cairo_create(in->surface);
    in->atoms = g_array_new(FALSE, FALSE, sizeof(pdf_atom));
    in->places = g_array_new(FALSE, FALSE, sizeof(pdf_place));
    in->columns = g_new0(pdf_columns, in->paper->item_count + 1);
    set_text(in, CAIRO_PDF_METADATA_TITLE, in->paper->title);
    for (uint32_t i = 0; i < in->paper->item_count; i++) {
        if (in->paper->items[i].kind == MW_PAPER_LETTERHEAD) {
            set_text(in, CAIRO_PDF_METADATA_AUTHOR, in->paper->items[i].text);
            break;
        }
    }
    set_date(in);
    pdf_words_begin(in);
    pdf_picture_read(in);
}

static cairo_status_t end(pdf *in)
{
    pdf_words_end(in);
    cairo_destroy(in->cairo);
    cairo_surface_finish(in->surface);
    const cairo_status_t status = cairo_surface_status(in->surface);
    cairo_surface_destroy(in->surface);
    if (in->picture) {
        cairo_surface_destroy(in->picture);
    }
    g_array_free(in->atoms, TRUE);
    g_array_free(in->places, TRUE);
    g_free(in->columns);
    return status;
}

static mw_paper_pdf_status write_pdf(const mw_paper *paper, const mw_paper_sink *sink)
{
    pdf in = {.paper = paper, .page = page_of(paper), .laid_item = MW_NONE};
    begin(&in, sink);
    const bool fonts = pdf_has_fonts(&in);
    if (fonts) {
        pdf_atoms_find(&in);
        pdf_places_find(&in);
        pdf_draw(&in);
    }
    const cairo_status_t status = end(&in);
    return !fonts                               ? MW_PDF_NO_FONTS
           : status == CAIRO_STATUS_SUCCESS     ? MW_PDF_WRITTEN
           : status == CAIRO_STATUS_WRITE_ERROR ? MW_PDF_LOST
                                                : MW_PDF_FAILED;
}

__attribute__((visibility("default"))) const mw_paper_module mw_pdf_module = {
    .version = MW_VERSION,
    .paper_size = sizeof(mw_paper),
    .item_size = sizeof(mw_paper_item),
    .shape_size = sizeof(mw_paper_shape),
    .write = write_pdf,
    .write_png = pdf_write_png,
};
