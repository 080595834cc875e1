/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The head of the first page: who writes, and a picture if there is one. */
#include "pdf.h"

#include <math.h>
#include <string.h>

#define PICTURE_HEIGHT 52.0
#define PICTURE_WIDTH  150.0
#define RULE_ROOM      8.0
#define LINES_MOST     3

/* A part of the picture's bytes that cairo has not read yet. */
typedef struct picture_rest {
    const char *at;
    size_t left;
} picture_rest;

static cairo_status_t read_bytes(void *from, unsigned char *to, unsigned int length)
{
    picture_rest *rest = from;
    if (length > rest->left) {
        return CAIRO_STATUS_READ_ERROR;
    }
    memcpy(to, rest->at, length);
    rest->at += length;
    rest->left -= length;
    return CAIRO_STATUS_SUCCESS;
}

void pdf_picture_read(pdf *in)
{
    picture_rest rest = {in->paper->picture.at, in->paper->picture.length};
    if (rest.left == 0) {
        return;
    }
    in->picture = cairo_image_surface_create_from_png_stream(read_bytes, &rest);
    if (cairo_surface_status(in->picture) != CAIRO_STATUS_SUCCESS ||
        cairo_image_surface_get_width(in->picture) < 1 ||
        cairo_image_surface_get_height(in->picture) < 1) {
        cairo_surface_destroy(in->picture);
        in->picture = NULL;
    }
}

static double picture_scale(const pdf *in)
{
    return fmin(PICTURE_HEIGHT / cairo_image_surface_get_height(in->picture),
                PICTURE_WIDTH / cairo_image_surface_get_width(in->picture));
}

static double words_width(const pdf *in)
{
    return in->page.text_width - (in->picture ? PICTURE_WIDTH + 12.0 : 0.0);
}

/* Goes through the lines; draws them where `draw`. Returns their height. */
static double lines(pdf *in, double top, bool draw)
{
    double y = top;
    bool first = true;
    for (uint32_t i = 0; i < in->paper->item_count; i++) {
        if (in->paper->items[i].kind != MW_PAPER_LETTERHEAD) {
            continue;
        }
        const pdf_words how = {.style = first ? PDF_SENDER : PDF_ADDRESS,
                               .width = words_width(in),
                               .scale = 1.0,
                               .lines = LINES_MOST,
                               .align = -1};
        PangoLayout *layout = pdf_lay(in, in->paper->items[i].text, &how);
        if (draw) {
            cairo_tag_begin(in->cairo, "P", NULL);
            pdf_show(in, layout, how.style, in->page.left, y);
            cairo_tag_end(in->cairo, "P");
        }
        y += pdf_laid_height(layout) + (first ? 3.0 : 1.0);
        first = false;
    }
    return y - top;
}

static double picture_height(const pdf *in)
{
    return in->picture ? cairo_image_surface_get_height(in->picture) * picture_scale(in) : 0.0;
}

double pdf_letterhead_height(pdf *in)
{
    const double words = lines(in, 0.0, false);
    const double most = fmax(words, picture_height(in));
    return most > 0.0 ? most + RULE_ROOM : 0.0;
}

static void draw_picture(pdf *in, double top)
{
    const double scale = picture_scale(in);
    const double width = cairo_image_surface_get_width(in->picture) * scale;
    cairo_save(in->cairo);
    cairo_translate(in->cairo, in->page.left + in->page.text_width - width, top);
    cairo_scale(in->cairo, scale, scale);
    cairo_set_source_surface(in->cairo, in->picture, 0.0, 0.0);
    cairo_paint(in->cairo);
    cairo_restore(in->cairo);
}

void pdf_letterhead_draw(pdf *in, double top)
{
    const double height = pdf_letterhead_height(in);
    lines(in, top, true);
    if (in->picture) {
        draw_picture(in, top);
    }
    pdf_ink(in, MW_INK_ACCENT);
    cairo_rectangle(in->cairo, in->page.left, top + height - 1.5, in->page.text_width, 1.5);
    cairo_fill(in->cairo);
}
