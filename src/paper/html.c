/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Documents as one HTML file: style inside, charts as SVG whose bars are fills (browsers print no backgrounds). */
#include "paper.h"

#include <string.h>

#define ACCENT "#1f5f8b"

static const char style[] =
    "@page{margin:18mm}\n"
    "body{font:11pt/1.45 'DejaVu Sans',Helvetica,Arial,sans-serif;color:#1a1a1a;max-width:46rem;"
    "margin:2rem auto;padding:0 1rem}\n"
    "header p{margin:0;color:#555;font-size:.85rem}\n"
    "header p:first-child{font-size:1.25rem;font-weight:bold;color:" ACCENT "}\n"
    "header img{float:right;max-height:70px;max-width:200px;margin-left:1rem}\n"
    "header{overflow:hidden;border-bottom:2px solid " ACCENT
    ";padding-bottom:.6rem;margin-bottom:1.4rem}\n"
    "h1{font-size:1.7rem;margin:.2rem 0 .8rem}h2{font-size:1.15rem;color:" ACCENT
    ";margin:1.6rem 0 .4rem;break-after:avoid}h3{font-size:1rem;margin:1.1rem 0 .3rem;"
    "break-after:avoid}\n"
    "p,li{overflow-wrap:anywhere}small{color:#555}\n"
    "div.wide{overflow-x:auto}table{border-collapse:collapse;width:100%;margin:.4rem 0 1rem;"
    "font-size:.88rem}\n"
    "caption{text-align:left;font-weight:bold;padding:.2rem 0}\n"
    "th{border-bottom:1.5px solid " ACCENT ";text-align:left;font-weight:600}\n"
    "th,td{padding:.2rem .6rem .2rem 0;vertical-align:top;overflow-wrap:anywhere}\n"
    "td:not(.n){min-width:5.8em}\n"
    "td{border-bottom:1px solid #ddd;text-align:left}tr{break-inside:avoid}\n"
    ".n{text-align:right;white-space:nowrap;font-variant-numeric:tabular-nums;padding-right:0;"
    "padding-left:.8rem}\n"
    "tr.all td{border-top:2px solid #1a1a1a;border-bottom:0;font-weight:600}\n"
    "svg{font:7.6px 'DejaVu Sans',sans-serif;display:block;width:100%;min-width:34rem;height:auto;margin:.3rem 0 1rem}\n"
    "@media (max-width:30rem){table{font-size:.78rem}th,td{padding-right:.4rem}"
    ".n{padding-left:.4rem}}\n"
    "@media print{body{max-width:none;margin:0;padding:0;font-size:9.5pt}"
    "div.wide{overflow:visible}}\n";

void mw_paper_escape_html(mw_str text, mw_text *out)
{
    for (size_t i = 0; i < text.length; i++) {
        const char c = text.at[i];
        switch (c) {
        case '<':
            mw_text_adds(out, "&lt;");
            break;
        case '>':
            mw_text_adds(out, "&gt;");
            break;
        case '&':
            mw_text_adds(out, "&amp;");
            break;
        case '"':
            mw_text_adds(out, "&quot;");
            break;
        case '\'':
            mw_text_adds(out, "&#39;");
            break;
        default:
            mw_text_addc(out, (unsigned char)c < ' ' || c == 0x7f ? ' ' : c);
            break;
        }
    }
}

static void element(const char *open, mw_str text, const char *close, mw_text *out)
{
    mw_text_adds(out, open);
    mw_paper_escape_html(text, out);
    mw_text_adds(out, close);
}

static void write_table(const mw_paper_item *of, mw_text *out)
{
    const uint32_t rows = of->column_count ? of->cell_count / of->column_count : 0;
    mw_text_adds(out, "<div class=\"wide\"><table>\n");
    if (of->text.length > 0) {
        element("<caption>", of->text, "</caption>\n", out);
    }
    mw_text_adds(out, "<thead><tr>");
    for (uint32_t c = 0; c < of->column_count; c++) {
        element(of->columns[c].right ? "<th scope=\"col\" class=\"n\">" : "<th scope=\"col\">",
                of->columns[c].head, "</th>", out);
    }
    mw_text_adds(out, "</tr></thead>\n<tbody>\n");
    for (uint32_t r = 0; r < rows; r++) {
        mw_text_adds(out, of->has_total && r + 1 == rows ? "<tr class=\"all\">" : "<tr>");
        for (uint32_t c = 0; c < of->column_count; c++) {
            element(of->columns[c].right ? "<td class=\"n\">" : "<td dir=\"auto\">",
                    of->cells[r * of->column_count + c].text, "</td>", out);
        }
        mw_text_adds(out, "</tr>\n");
    }
    mw_text_adds(out, "</tbody></table></div>\n");
}

/* A text that is too long for its room ends in an ellipsis; the room is measured in columns of letters. */
static mw_str fitted(mw_str text, double columns)
{
    size_t length = 0;
    double used = 0.0;
    while (length < text.length) {
        size_t bytes = 1;
        mw_utf8_decode(text.at + length, text.at + text.length, &bytes);
        used += (double)mw_utf8_columns((mw_str){text.at + length, bytes});
        if (used > columns) {
            break;
        }
        length += bytes;
    }
    return (mw_str){text.at, length};
}

static void write_words(const mw_paper_shape *of, double top, mw_text *out)
{
    const double size = of->size > 0.0 ? of->size : MW_PAPER_LETTERS;
    const double columns = of->w / (size * 0.62);
    const bool cut = of->w > 0.0 && (double)mw_utf8_columns(of->text) > columns;
    mw_text_addf(out, "<text x=\"%.1f\" y=\"%.1f\"", of->x, top + of->y);
    mw_text_adds(out, of->align > 0    ? " text-anchor=\"end\""
                      : of->align == 0 ? " text-anchor=\"middle\""
                                       : "");
    if (of->size > 0.0) {
        mw_text_addf(out, " font-size=\"%.1f\"", of->size);
    }
    mw_text_addf(out, "%s fill=\"#%06x\">", of->bold ? " font-weight=\"bold\"" : "",
                 mw_paper_rgb(of->ink));
    mw_paper_escape_html(cut ? fitted(of->text, columns - 1.0) : of->text, out);
    mw_text_adds(out, cut ? "\u2026</text>" : "</text>");
}

static void write_path(const mw_paper_shape *of, double top, mw_text *out)
{
    mw_text_addf(out, "<polyline fill=\"none\" stroke=\"#%06x\" stroke-width=\"%.1f\" points=\"",
                 mw_paper_rgb(of->ink), of->size > 0.0 ? of->size : 1.2);
    for (uint32_t i = 0; i < of->point_count; i++) {
        mw_text_addf(out, "%s%.1f,%.1f", i ? " " : "", of->points[(size_t)2 * i],
                     top + of->points[(size_t)2 * i + 1]);
    }
    mw_text_adds(out, "\"/>");
}

void mw_paper_shape_svg(const mw_paper_shape *of, double top, mw_text *out)
{
    switch (of->kind) {
    case MW_SHAPE_LINE:
        mw_text_addf(out,
                     "<line x1=\"%.1f\" y1=\"%.1f\" x2=\"%.1f\" y2=\"%.1f\" stroke=\"#%06x\" "
                     "stroke-width=\"%s\"/>",
                     of->x, top + of->y, of->x + of->w, top + of->y + of->h, mw_paper_rgb(of->ink),
                     of->ink == MW_INK_RULE ? "0.5" : "0.8");
        break;
    case MW_SHAPE_BOX:
        mw_text_addf(out,
                     "<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" "
                     "fill=\"#%06x\"/>",
                     of->x, top + of->y, of->w, of->h, mw_paper_rgb(of->ink));
        break;
    case MW_SHAPE_PATH:
        write_path(of, top, out);
        break;
    case MW_SHAPE_WORDS:
        write_words(of, top, out);
        break;
    }
}

static void write_chart(const mw_paper_item *of, mw_text *out)
{
    const double height = of->head_height + of->row_count * of->row_height;
    if (of->text.length > 0) {
        element("<h3 dir=\"auto\">", of->text, "</h3>\n", out);
    }
    mw_text_addf(out, "<div class=\"wide\"><svg viewBox=\"0 0 %.0f %.1f\" role=\"img\">",
                 of->chart_width, height + 2.0);
    if (of->text.length > 0) {
        element("<title>", of->text, "</title>\n", out);
    }
    for (uint32_t i = 0; i < of->shape_count; i++) {
        const uint32_t row = of->shapes[i].row;
        mw_paper_shape_svg(&of->shapes[i],
                           row > 0 ? of->head_height + (row - 1) * of->row_height : 0.0, out);
        mw_text_addc(out, '\n');
    }
    mw_text_adds(out, "</svg></div>\n");
}

static void write_item(const mw_paper_item *of, mw_text *out)
{
    switch (of->kind) {
    case MW_PAPER_LETTERHEAD: /* stands in the header */
        break;
    case MW_PAPER_HEADING:
        element(of->level == 1 ? "<h2 dir=\"auto\">" : "<h3 dir=\"auto\">", of->text,
                of->level == 1 ? "</h2>\n" : "</h3>\n", out);
        break;
    case MW_PAPER_TEXT:
        element("<p dir=\"auto\">", of->text, "</p>\n", out);
        break;
    case MW_PAPER_POINT:
        element("<li dir=\"auto\">", of->text, "</li>\n", out);
        break;
    case MW_PAPER_SMALL:
        element("<p dir=\"auto\"><small>", of->text, "</small></p>\n", out);
        break;
    case MW_PAPER_TABLE:
        write_table(of, out);
        break;
    case MW_PAPER_BARS:
    case MW_PAPER_CHART:
        write_chart(of, out);
        break;
    }
}

/* The picture stands inside the page (RFC 2397), so that the file needs no other. */
static void write_picture(const mw_paper *paper, mw_text *out)
{
    static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    const unsigned char *at = (const unsigned char *)paper->picture.at;
    const size_t length = paper->picture.length;
    if (length == 0) {
        return;
    }
    mw_text_adds(out, "<img alt=\"\" src=\"data:image/png;base64,");
    for (size_t i = 0; i < length; i += 3) {
        const unsigned long three = (unsigned long)at[i] << 16 |
                                    (i + 1 < length ? (unsigned long)at[i + 1] << 8 : 0) |
                                    (i + 2 < length ? at[i + 2] : 0);
        mw_text_addc(out, digits[three >> 18]);
        mw_text_addc(out, digits[three >> 12 & 63]);
        mw_text_addc(out, i + 1 < length ? digits[three >> 6 & 63] : '=');
        mw_text_addc(out, i + 2 < length ? digits[three & 63] : '=');
    }
    mw_text_adds(out, "\">\n");
}

static void write_head(const mw_paper *paper, mw_text *out)
{
    mw_text_adds(out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    element("<title>", paper->title, "</title>\n", out);
    mw_text_addf(out, "<style>\n%s</style>\n</head>\n<body>\n<header>\n", style);
    write_picture(paper, out);
    for (uint32_t i = 0; i < paper->item_count; i++) {
        if (paper->items[i].kind == MW_PAPER_LETTERHEAD) {
            element("<p dir=\"auto\">", paper->items[i].text, "</p>\n", out);
        }
    }
    mw_text_adds(out, "</header>\n<main>\n");
    element("<h1 dir=\"auto\">", paper->title, "</h1>\n", out);
}

mw_status mw_paper_html(const mw_paper *paper, mw_text *out)
{
    bool listing = false;
    write_head(paper, out);
    for (uint32_t i = 0; i < paper->item_count; i++) {
        const bool point = paper->items[i].kind == MW_PAPER_POINT;
        if (point != listing) {
            mw_text_adds(out, point ? "<ul>\n" : "</ul>\n");
            listing = point;
        }
        write_item(&paper->items[i], out);
    }
    mw_text_adds(out, listing ? "</ul>\n" : "");
    mw_text_adds(out, "</main>\n</body>\n</html>\n");
    return out->failed || paper->lost ? MW_NO_MEMORY : MW_OK;
}
