/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Setting text with pango: styles, widths, layouts. */
#include "pdf.h"

#include <pango/pangofc-fontmap.h>
#include <string.h>

#define FAMILY "DejaVu Sans"

static const struct {
    double size;
    PangoWeight weight;
    mw_paper_ink ink;
} styles[PDF_STYLES] = {
    [PDF_TITLE] = {19.0, PANGO_WEIGHT_BOLD, MW_INK_DARK},
    [PDF_HEADING] = {11.5, PANGO_WEIGHT_BOLD, MW_INK_ACCENT},
    [PDF_SUBHEADING] = {9.2, PANGO_WEIGHT_BOLD, MW_INK_DARK},
    [PDF_TEXT] = {9.2, PANGO_WEIGHT_NORMAL, MW_INK_DARK},
    [PDF_SMALL] = {8.0, PANGO_WEIGHT_NORMAL, MW_INK_GREY},
    [PDF_CELL] = {8.6, PANGO_WEIGHT_NORMAL, MW_INK_DARK},
    [PDF_HEAD] = {8.0, PANGO_WEIGHT_BOLD, MW_INK_DARK},
    [PDF_TOTAL] = {8.6, PANGO_WEIGHT_BOLD, MW_INK_DARK},
    [PDF_SENDER] = {12.0, PANGO_WEIGHT_BOLD, MW_INK_ACCENT},
    [PDF_ADDRESS] = {8.0, PANGO_WEIGHT_NORMAL, MW_INK_GREY},
    [PDF_FOOT] = {7.5, PANGO_WEIGHT_NORMAL, MW_INK_GREY},
    [PDF_CHART] = {MW_PAPER_LETTERS, PANGO_WEIGHT_NORMAL, MW_INK_DARK},
    [PDF_CHART_BOLD] = {MW_PAPER_LETTERS, PANGO_WEIGHT_BOLD, MW_INK_DARK},
};

/* Fonts of coloured pictures are left out: cairo 1.16 reads past the end of what it has of them when it puts them into a
 * PDF. Their characters are drawn by another font that has them, in outline, or as a box with their number. */
static PangoFontMap *make_fonts(void)
{
    static const FcChar8 without_colour[] =
        "<fontconfig><selectfont><rejectfont><pattern><patelt name=\"color\"><bool>true</bool>"
        "</patelt></pattern></rejectfont></selectfont></fontconfig>";
    PangoFontMap *fonts = pango_cairo_font_map_new();
    FcConfig *config = FcInitLoadConfig();
    if (config && PANGO_IS_FC_FONT_MAP(fonts) &&
        FcConfigParseAndLoadFromMemory(config, without_colour, FcTrue) &&
        FcConfigBuildFonts(config)) {
        pango_fc_font_map_set_config(PANGO_FC_FONT_MAP(fonts), config);
    }
    if (config) {
        FcConfigDestroy(config); /* the fonts hold a reference of their own */
    }
    return fonts;
}

/* Widths must not depend on the resolution of a screen, nor words on the language of the user. */
static PangoContext *make_context(cairo_t *cairo)
{
    PangoFontMap *fonts = make_fonts();
    PangoContext *context = pango_font_map_create_context(fonts);
    g_object_unref(fonts); /* the context holds one of its own */
    pango_cairo_update_context(cairo, context);
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(context, options);
    cairo_font_options_destroy(options);
    pango_cairo_context_set_resolution(context, 72.0);
    pango_context_set_round_glyph_positions(context, FALSE);
    pango_context_set_language(context, pango_language_from_string("en"));
    return context;
}

static PangoFontDescription *font_of(pdf_style style, double scale)
{
    PangoFontDescription *font = pango_font_description_new();
    pango_font_description_set_family_static(font, FAMILY);
    pango_font_description_set_weight(font, styles[style].weight);
    pango_font_description_set_size(font, pango_units_from_double(styles[style].size * scale));
    return font;
}

/* Figures of one width, so that decimals stand below each other; no joined letters, which do not copy well. */
static void set_features(PangoLayout *layout)
{
    PangoAttrList *list = pango_attr_list_new();
    pango_attr_list_insert(list, pango_attr_font_features_new("liga=0, tnum=1"));
    pango_layout_set_attributes(layout, list);
    pango_attr_list_unref(list);
}

static void find_advances(pdf *in, pdf_style style)
{
    for (char c = ' '; c < 127; c++) {
        int width = 0;
        pango_layout_set_text(in->layouts[style], &c, 1);
        pango_layout_get_size(in->layouts[style], &width, NULL);
        in->advance[style][(unsigned char)c] = pango_units_to_double(width);
    }
}

void pdf_words_begin(pdf *in)
{
    in->context = make_context(in->cairo);
    for (int s = 0; s < PDF_STYLES; s++) {
        PangoFontDescription *font = font_of((pdf_style)s, 1.0);
        in->layouts[s] = pango_layout_new(in->context);
        pango_layout_set_font_description(in->layouts[s], font);
        pango_layout_set_wrap(in->layouts[s], PANGO_WRAP_WORD_CHAR);
        set_features(in->layouts[s]);
        pango_font_description_free(font);
    }
    for (int s = 0; s < PDF_STYLES; s++) {
        if (s == PDF_CELL || s == PDF_HEAD || s == PDF_TOTAL) {
            find_advances(in, (pdf_style)s);
        }
    }
}

void pdf_words_end(pdf *in)
{
    for (int s = 0; s < PDF_STYLES; s++) {
        g_clear_object(&in->layouts[s]);
    }
    /* Else the fonts never let go of their configuration. */
    if (PANGO_IS_FC_FONT_MAP(pango_context_get_font_map(in->context))) {
        pango_fc_font_map_set_config(PANGO_FC_FONT_MAP(pango_context_get_font_map(in->context)),
                                     NULL);
    }
    g_clear_object(&in->context);
}

bool pdf_has_fonts(pdf *in)
{
    PangoFontFamily **families = NULL;
    int count = 0;
    pango_context_list_families(in->context, &families, &count);
    g_free(families);
    return count > 0;
}

double pdf_line_height(const pdf *in, pdf_style style)
{
    PangoFontMetrics *metrics = pango_context_get_metrics(
        in->context, pango_layout_get_font_description(in->layouts[style]), NULL);
    const double height = pango_units_to_double(pango_font_metrics_get_height(metrics));
    pango_font_metrics_unref(metrics);
    return height;
}

/* The sum of the advances of ASCII; -1 where there is anything else, or the style has none. */
static double quick_width(const pdf *in, pdf_style style, mw_str text)
{
    double width = 0.0;
    for (size_t i = 0; i < text.length; i++) {
        const unsigned char c = (unsigned char)text.at[i];
        if (c >= 127 || in->advance[style]['0'] <= 0.0) {
            return -1.0;
        }
        width += in->advance[style][c < ' ' ? ' ' : c];
    }
    return width;
}

double pdf_width(pdf *in, pdf_style style, mw_str text, double scale)
{
    double width = quick_width(in, style, text);
    if (width < 0.0) {
        int units = 0;
        PangoLayout *layout =
            pdf_lay(in, text, &(pdf_words){.style = style, .scale = 1.0, .single = true});
        pango_layout_get_size(layout, &units, NULL);
        width = pango_units_to_double(units);
    }
    return width * scale;
}

double pdf_longest_word(pdf *in, pdf_style style, mw_str text, double scale)
{
    double most = 0.0;
    size_t from = 0;
    for (size_t i = 0; i <= text.length; i++) {
        if (i == text.length || text.at[i] == ' ') {
            const double width =
                i > from ? pdf_width(in, style, (mw_str){text.at + from, i - from}, scale) : 0.0;
            most = width > most ? width : most;
            from = i + 1;
        }
    }
    return most;
}

/* Whether a text has pieces that keep their own direction (U+2068): then the sentence around them is ours. */
static bool has_isolates(mw_str text)
{
    for (size_t i = 0; i + 2 < text.length; i++) {
        if (memcmp(text.at + i, "\xe2\x81\xa8", 3) == 0) {
            return true;
        }
    }
    return false;
}

#define BYTES_A_LINE 800

/* What is cut to a few lines anyway need not be set whole: a name may be as long as a book. */
static mw_str front_of(mw_str text, int lines)
{
    size_t most = (size_t)lines * BYTES_A_LINE;
    if (lines <= 0 || text.length <= most) {
        return text;
    }
    while (most > 0 && ((unsigned char)text.at[most] & 0xc0) == 0x80) {
        most--;
    }
    return (mw_str){text.at, most};
}

#define PIECE_MOST 3000

mw_str pdf_piece(mw_str text, size_t from)
{
    const mw_str rest = {text.at + from, text.length - from};
    if (rest.length <= PIECE_MOST) {
        return rest;
    }
    size_t end = PIECE_MOST;
    while (end > PIECE_MOST / 2 && rest.at[end] != ' ') {
        end--;
    }
    if (rest.at[end] != ' ') {
        end = PIECE_MOST;
        while (end > 1 && ((unsigned char)rest.at[end] & 0xc0) == 0x80) {
            end--;
        }
    }
    return (mw_str){rest.at, end};
}

/* Control characters and line ends are blanks; what is no UTF-8 is marked. */
static void set_text(PangoLayout *layout, mw_str text)
{
    char *valid = g_utf8_make_valid(text.at, (gssize)text.length);
    for (char *c = valid; *c; c++) {
        *c = (unsigned char)*c < ' ' || *c == 0x7f ? ' ' : *c;
    }
    pango_layout_set_text(layout, valid, -1);
    g_free(valid);
}

static void set_scale(PangoLayout *layout, pdf_style style, double scale)
{
    PangoFontDescription *font = font_of(style, scale);
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);
}

PangoLayout *pdf_lay(pdf *in, mw_str text, const pdf_words *how)
{
    PangoLayout *layout = in->layouts[how->style];
    const bool bounded = how->width > 0.0 && !how->single;
    const int size = pango_font_description_get_size(pango_layout_get_font_description(layout));
    if (size != pango_units_from_double(styles[how->style].size * how->scale)) {
        set_scale(layout, how->style, how->scale);
    }
    const bool ours = has_isolates(text);
    pango_layout_set_auto_dir(layout, !ours);
    pango_layout_set_single_paragraph_mode(layout, TRUE);
    pango_layout_set_width(layout, bounded ? pango_units_from_double(how->width) : -1);
    pango_layout_set_alignment(layout, how->align < 0    ? PANGO_ALIGN_LEFT
                                       : how->align == 0 ? PANGO_ALIGN_CENTER
                                                         : PANGO_ALIGN_RIGHT);
    pango_layout_set_ellipsize(layout, bounded && how->lines > 0 ? PANGO_ELLIPSIZE_END
                                                                 : PANGO_ELLIPSIZE_NONE);
    pango_layout_set_height(layout, bounded && how->lines > 0 ? -how->lines : -1);
    set_text(layout, front_of(text, how->single ? 1 : how->lines));
    return layout;
}

double pdf_laid_height(PangoLayout *layout)
{
    int height = 0;
    pango_layout_get_size(layout, NULL, &height);
    return pango_units_to_double(height);
}

void pdf_ink(pdf *in, mw_paper_ink ink)
{
    const unsigned rgb = mw_paper_rgb(ink);
    cairo_set_source_rgb(in->cairo, (rgb >> 16) / 255.0, (rgb >> 8 & 0xff) / 255.0,
                         (rgb & 0xff) / 255.0);
}

void pdf_show(pdf *in, PangoLayout *layout, pdf_style style, double x, double y)
{
    pdf_ink(in, styles[style].ink);
    cairo_move_to(in->cairo, x, y);
    pango_cairo_show_layout(in->cairo, layout);
}
