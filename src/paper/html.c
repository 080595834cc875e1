/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Documents as one HTML file: style inside, charts as SVG whose bars are fills (browsers print no backgrounds). */
#include "mouldwright/paper.h"

#include <string.h>

#define ACCENT "#1f5f8b"

static const char style[] =
    "@page{margin:18mm}\n"
    "body{font:11pt/1.45 'DejaVu Sans',Helvetica,Arial,sans-serif;color:#1a1a1a;max-width:46rem;"
    "margin:2rem auto;padding:0 1rem}\n"
    "header p{margin:0;color:#555;font-size:.85rem}\n"
    "header{border-bottom:2px solid " ACCENT ";padding-bottom:.6rem;margin-bottom:1.4rem}\n"
    "h1{font-size:1.7rem;margin:.2rem 0 .8rem}h2{font-size:1.15rem;color:" ACCENT
    ";margin:1.6rem 0 .4rem;break-after:avoid}h3{font-size:1rem;margin:1.1rem 0 .3rem;"
    "break-after:avoid}\n"
    "p,li{overflow-wrap:anywhere}small{color:#555}\n"
    "div.wide{overflow-x:auto}table{border-collapse:collapse;width:100%;margin:.4rem 0 1rem;"
    "font-size:.88rem}\n"
    "caption{text-align:left;font-weight:bold;padding:.2rem 0}\n"
    "th{border-bottom:1.5px solid " ACCENT ";text-align:left;font-weight:600}\n"
    "th,td{padding:.2rem .6rem .2rem 0;vertical-align:top;overflow-wrap:anywhere}\n"
    "td{border-bottom:1px solid #ddd}tr{break-inside:avoid}\n"
    ".n{text-align:right;white-space:nowrap;font-variant-numeric:tabular-nums;padding-right:0;"
    "padding-left:.8rem}\n"
    "tr.all td{border-top:1.5px solid #1a1a1a;border-bottom:0;font-weight:600}\n"
    "svg{width:100%;height:auto;margin:.3rem 0 1rem}\n"
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

#define CHART_WIDTH 720.0
#define CHART_LEFT  190.0
#define CHART_RIGHT 150.0
#define ROW_HEIGHT  22.0

static void write_bar(const mw_paper_bar *bar, double top, mw_text *out)
{
    const double width = CHART_WIDTH - CHART_LEFT - CHART_RIGHT;
    double length = (bar->to - bar->from) * width;
    length = length > 0.0 && length < 1.0 ? 1.0 : length;
    mw_text_addf(out, "<text x=\"%.0f\" y=\"%.1f\" text-anchor=\"end\">", CHART_LEFT - 8.0,
                 top + 15.0);
    mw_paper_escape_html(bar->label, out);
    mw_text_addf(out,
                 "</text><rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"14\" fill=\"" ACCENT
                 "\"/><text x=\"%.1f\" y=\"%.1f\">",
                 CHART_LEFT + bar->from * width, top + 4.0, length > 0.0 ? length : 0.0,
                 CHART_WIDTH - CHART_RIGHT + 8.0, top + 15.0);
    mw_paper_escape_html(bar->value, out);
    mw_text_adds(out, "</text>\n");
}

static void write_bars(const mw_paper_item *of, mw_text *out)
{
    const double height = (of->bar_count + 1) * ROW_HEIGHT;
    element("<h3>", of->text, "</h3>\n", out);
    mw_text_addf(out,
                 "<svg viewBox=\"0 0 %.0f %.0f\" role=\"img\" font-size=\"12\" "
                 "font-family=\"DejaVu Sans,sans-serif\">",
                 CHART_WIDTH, height);
    element("<title>", of->text, "</title>\n", out);
    for (uint32_t i = 0; i < of->bar_count; i++) {
        write_bar(&of->bars[i], i * ROW_HEIGHT, out);
    }
    mw_text_addf(out, "<text x=\"%.0f\" y=\"%.0f\" fill=\"#555\">", CHART_LEFT, height - 6.0);
    mw_paper_escape_html(of->scale_from, out);
    mw_text_addf(out, "</text><text x=\"%.0f\" y=\"%.0f\" text-anchor=\"end\" fill=\"#555\">",
                 CHART_WIDTH - CHART_RIGHT, height - 6.0);
    mw_paper_escape_html(of->scale_to, out);
    mw_text_adds(out, "</text></svg>\n");
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
        write_bars(of, out);
        break;
    }
}

static void write_head(const mw_paper *paper, mw_text *out)
{
    mw_text_adds(out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    element("<title>", paper->title, "</title>\n", out);
    mw_text_addf(out, "<style>\n%s</style>\n</head>\n<body>\n<header>\n", style);
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
