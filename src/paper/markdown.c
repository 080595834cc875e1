/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Documents as Markdown (CommonMark with tables) and as CSV (RFC 4180). */
#include <string.h>

#include "mouldwright/paper.h"

/* Whether a byte is a control character: shown as a blank. */
static bool is_control(char c)
{
    return (unsigned char)c < ' ' || c == 0x7f;
}

void mw_paper_escape_markdown(mw_str text, mw_text *out)
{
    for (size_t i = 0; i < text.length; i++) {
        const char c = text.at[i];
        if (is_control(c)) {
            mw_text_addc(out, ' ');
        } else if (c == '<' || c == '&') {
            mw_text_adds(out, c == '<' ? "&lt;" : "&amp;");
        } else {
            if (strchr("\\`*_{}[]()#+-.!|>~:", c) && (i == 0 || !strchr("().-+:", c))) {
                mw_text_addc(out, '\\');
            }
            mw_text_addc(out, c);
        }
    }
}

static void write_row(const mw_paper_item *of, uint32_t row, mw_text *out)
{
    const bool total = of->has_total && (row + 1) * of->column_count == of->cell_count;
    mw_text_addc(out, '|');
    for (uint32_t c = 0; c < of->column_count; c++) {
        const mw_paper_cell *cell = &of->cells[row * of->column_count + c];
        const bool strong = total && cell->text.length > 0;
        mw_text_adds(out, strong ? " **" : " ");
        mw_paper_escape_markdown(cell->text, out);
        mw_text_adds(out, strong ? "** |" : " |");
    }
    mw_text_addc(out, '\n');
}

static uint32_t row_count(const mw_paper_item *of)
{
    return of->column_count ? of->cell_count / of->column_count : 0;
}

static void write_table(const mw_paper_item *of, mw_text *out)
{
    if (of->text.length > 0) {
        mw_text_adds(out, "**");
        mw_paper_escape_markdown(of->text, out);
        mw_text_adds(out, "**\n\n");
    }
    mw_text_addc(out, '|');
    for (uint32_t c = 0; c < of->column_count; c++) {
        mw_text_addc(out, ' ');
        mw_paper_escape_markdown(of->columns[c].head, out);
        mw_text_adds(out, " |");
    }
    mw_text_adds(out, "\n|");
    for (uint32_t c = 0; c < of->column_count; c++) {
        mw_text_adds(out, of->columns[c].right ? " ---: |" : " --- |");
    }
    mw_text_addc(out, '\n');
    for (uint32_t r = 0; r < row_count(of); r++) {
        write_row(of, r, out);
    }
    mw_text_addc(out, '\n');
}

/* A chart as a list: what its bars say in words. */
static void write_bars(const mw_paper_item *of, mw_text *out)
{
    mw_text_adds(out, "**");
    mw_paper_escape_markdown(of->text, out);
    mw_text_adds(out, "**\n\n");
    for (uint32_t i = 0; i < of->bar_count; i++) {
        mw_text_adds(out, "- ");
        mw_paper_escape_markdown(of->bars[i].label, out);
        mw_text_adds(out, ": ");
        mw_paper_escape_markdown(of->bars[i].value, out);
        mw_text_addc(out, '\n');
    }
    mw_text_addc(out, '\n');
}

static void write_item(const mw_paper_item *of, bool more_points, mw_text *out)
{
    switch (of->kind) {
    case MW_PAPER_TABLE:
        write_table(of, out);
        return;
    case MW_PAPER_BARS:
        write_bars(of, out);
        return;
    case MW_PAPER_CHART: /* its figures stand in words or a table beside it */
        return;
    case MW_PAPER_HEADING:
        mw_text_adds(out, of->level == 1 ? "## " : "### ");
        break;
    case MW_PAPER_POINT:
        mw_text_adds(out, "- ");
        break;
    case MW_PAPER_LETTERHEAD:
    case MW_PAPER_TEXT:
    case MW_PAPER_SMALL:
        break;
    }
    mw_paper_escape_markdown(of->text, out);
    mw_text_adds(out, more_points ? "\n" : "\n\n");
}

mw_status mw_paper_markdown(const mw_paper *paper, mw_text *out)
{
    mw_text_adds(out, "# ");
    mw_paper_escape_markdown(paper->title, out);
    mw_text_adds(out, "\n\n");
    for (uint32_t i = 0; i < paper->item_count; i++) {
        const mw_paper_item *of = &paper->items[i];
        const bool more = of->kind == MW_PAPER_POINT && i + 1 < paper->item_count &&
                          paper->items[i + 1].kind == MW_PAPER_POINT;
        write_item(of, more, out);
    }
    return out->failed || paper->lost ? MW_NO_MEMORY : MW_OK;
}

/* ---- CSV ---- */

/* Whether U+2068 or U+2069 stands there. */
static bool is_isolate(mw_str text, size_t at)
{
    return text.length - at >= 3 && memcmp(text.at + at, "\xe2\x81", 2) == 0 &&
           (text.at[at + 2] == '\xa8' || text.at[at + 2] == '\xa9');
}

void mw_paper_escape_csv(mw_str text, mw_text *out)
{
    const bool risky = text.length > 0 && text.at[0] != '\0' && strchr("=+-@\t\r", text.at[0]);
    mw_text_adds(out, risky ? "\"'" : "\"");
    for (size_t i = 0; i < text.length; i++) {
        if (is_isolate(text, i)) { /* of our own making, for lines of running text */
            i += 2;
            continue;
        }
        mw_text_adds(out, text.at[i] == '"' ? "\"" : "");
        mw_text_addc(out, is_control(text.at[i]) ? ' ' : text.at[i]);
    }
    mw_text_addc(out, '"');
}

static void write_csv_table(const mw_paper_item *of, mw_text *out)
{
    for (uint32_t c = 0; c < of->column_count; c++) {
        mw_text_adds(out, c ? "," : "");
        mw_paper_escape_csv(of->columns[c].head, out);
    }
    mw_text_adds(out, "\r\n");
    for (uint32_t i = 0; i < of->cell_count; i++) {
        const mw_paper_cell *cell = &of->cells[i];
        if (cell->plain.length > 0) {
            mw_text_add_str(out, cell->plain);
        } else {
            mw_paper_escape_csv(cell->text, out);
        }
        mw_text_adds(out, (i + 1) % of->column_count ? "," : "\r\n");
    }
}

mw_status mw_paper_csv(const mw_paper *paper, mw_text *out)
{
    bool first = true;
    for (uint32_t i = 0; i < paper->item_count; i++) {
        if (paper->items[i].kind == MW_PAPER_TABLE && paper->items[i].column_count > 0) {
            mw_text_adds(out, first ? "" : "\r\n");
            first = false;
            write_csv_table(&paper->items[i], out);
        }
    }
    return out->failed || paper->lost ? MW_NO_MEMORY : MW_OK;
}
