/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables on the screen: columns as wide as what stands in them; text columns shrink, numbers
 * never. */
#include "mouldwright/memory.h"
#include "mouldwright/report.h"

#include <string.h>

#include "wrap.h"

#define COLUMNS_MAX 80
#define TEXT_LEAST  6
#define GAP         2

typedef struct table_cell {
    char *text;
    size_t length;
} table_cell;

struct mw_table {
    mw_arena *arena;
    mw_str heads[COLUMNS_MAX];
    mw_align aligns[COLUMNS_MAX];
    uint32_t columns;
    table_cell *cells;
    uint32_t count, capacity;
    bool *rules; /* before the row */
    uint32_t rule_rows, rule_capacity;
    bool lost;
};

mw_table *mw_table_new(void)
{
    mw_table *table = mw_memory_get(sizeof *table);
    if (table && !(table->arena = mw_arena_new())) {
        mw_memory_give(table);
        table = NULL;
    }
    return table;
}

void mw_table_free(mw_table *table)
{
    if (table) {
        mw_arena_free(table->arena);
        mw_memory_give(table->cells);
        mw_memory_give(table->rules);
        mw_memory_give(table);
    }
}

void mw_table_column(mw_table *table, const char *head, mw_align align)
{
    if (table->columns == COLUMNS_MAX) {
        table->lost = true;
        return;
    }
    char *copy = mw_arena_copy(table->arena, head, strlen(head));
    table->lost = table->lost || !copy;
    table->heads[table->columns] = mw_str_of(copy);
    table->aligns[table->columns++] = align;
}

void mw_table_cell(mw_table *table, mw_str text)
{
    void *cells = table->cells;
    char *copy = mw_arena_copy(table->arena, text.at ? text.at : "", text.length);
    if (!copy ||
        !mw_memory_grow32(&cells, &table->capacity, table->count + 1, sizeof *table->cells)) {
        table->lost = true;
        return;
    }
    for (size_t i = 0; i < text.length; i++) {
        copy[i] = (unsigned char)copy[i] < ' ' ? ' ' : copy[i];
    }
    table->cells = cells;
    table->cells[table->count++] = (table_cell){copy, text.length};
}

void mw_table_rule(mw_table *table)
{
    uint32_t row = table->columns ? table->count / table->columns : 0;
    void *rules = table->rules;
    if (!mw_memory_grow32(&rules, &table->rule_capacity, row + 1, sizeof *table->rules)) {
        table->lost = true;
        return;
    }
    table->rules = rules;
    while (table->rule_rows <= row) {
        table->rules[table->rule_rows++] = false;
    }
    table->rules[row] = true;
}

static mw_str cell_at(const mw_table *table, uint32_t row, uint32_t column)
{
    uint32_t at = row * table->columns + column;
    return at < table->count ? (mw_str){table->cells[at].text, table->cells[at].length}
                             : (mw_str){0};
}

static uint32_t row_count(const mw_table *table)
{
    return table->columns ? (table->count + table->columns - 1) / table->columns : 0;
}

static void measure_columns(const mw_table *table, size_t *widths)
{
    for (uint32_t c = 0; c < table->columns; c++) {
        widths[c] = mw_utf8_columns(table->heads[c]);
        for (uint32_t r = 0; r < row_count(table); r++) {
            size_t width = mw_utf8_columns(cell_at(table, r, c));
            widths[c] = width > widths[c] ? width : widths[c];
        }
    }
}

static size_t total_width(const mw_table *table, const size_t *widths)
{
    size_t total = GAP;
    for (uint32_t c = 0; c < table->columns; c++) {
        total += widths[c] + (c ? GAP : 0);
    }
    return total;
}

/* Takes columns from the widest text column until the table fits; false: it cannot. */
static bool shrink(const mw_table *table, size_t *widths, size_t room)
{
    while (total_width(table, widths) > room) {
        uint32_t widest = COLUMNS_MAX;
        for (uint32_t c = 0; c < table->columns; c++) {
            bool text = table->aligns[c] == MW_LEFT && widths[c] > TEXT_LEAST;
            if (text && (widest == COLUMNS_MAX || widths[c] > widths[widest])) {
                widest = c;
            }
        }
        if (widest == COLUMNS_MAX) {
            return false;
        }
        widths[widest]--;
    }
    return true;
}

/* The bytes of a text that fit in `columns`. */
static size_t fitting(mw_str text, size_t columns)
{
    size_t at = 0;
    size_t used = 0;
    while (at < text.length) {
        size_t length;
        mw_utf8_decode(text.at + at, text.at + text.length, &length);
        size_t width = mw_utf8_columns((mw_str){text.at + at, length});
        if (used + width > columns) {
            break;
        }
        used += width;
        at += length;
    }
    return at;
}

static void write_cell(mw_str text, size_t width, mw_align align, bool ascii, mw_text *out)
{
    size_t columns = mw_utf8_columns(text);
    if (columns > width) {
        const char *mark = ascii ? "~" : "\xe2\x80\xa6";
        text.length = fitting(text, width - 1);
        columns = mw_utf8_columns(text) + 1;
        mw_text_add_str(out, text);
        mw_text_adds(out, mark);
        mw_text_fill(out, ' ', width - columns);
        return;
    }
    mw_text_fill(out, ' ', align == MW_RIGHT ? width - columns : 0);
    mw_text_add_str(out, text);
    mw_text_fill(out, ' ', align == MW_LEFT ? width - columns : 0);
}

static void end_line(mw_text *out)
{
    while (out->length > 0 && out->data[out->length - 1] == ' ') {
        out->data[--out->length] = '\0';
    }
    mw_text_addc(out, '\n');
}

#define HEAD_ROW UINT32_MAX

static void write_line(const mw_table *table, const size_t *widths, uint32_t row, bool ascii,
                       mw_text *out)
{
    bool head = row == HEAD_ROW;
    mw_text_fill(out, ' ', GAP);
    for (uint32_t c = 0; c < table->columns; c++) {
        mw_text_fill(out, ' ', c ? GAP : 0);
        write_cell(head ? table->heads[c] : cell_at(table, row, c), widths[c], table->aligns[c],
                   ascii, out);
    }
    end_line(out);
}

static void write_rule(const mw_table *table, const size_t *widths, bool ascii, mw_text *out)
{
    mw_text_fill(out, ' ', GAP);
    size_t width = total_width(table, widths) - GAP;
    for (size_t i = 0; i < width; i++) {
        mw_text_adds(out, ascii ? "-" : "\xe2\x94\x80");
    }
    mw_text_addc(out, '\n');
}

/* One record a block: `head: value` lines, broken to the screen but in plain style. */
static void write_records(const mw_table *table, const mw_style *style, mw_text *out)
{
    for (uint32_t r = 0; r < row_count(table); r++) {
        mw_text_adds(out, r ? "\n" : "");
        for (uint32_t c = 0; c < table->columns; c++) {
            mw_str text = cell_at(table, r, c);
            if (text.length > 0) {
                mw_text_add_str(out, table->heads[c]);
                mw_text_adds(out, table->heads[c].length ? ": " : "");
                size_t used = mw_utf8_columns(table->heads[c]) + (table->heads[c].length ? 2 : 0);
                size_t width = style->plain ? SIZE_MAX : style->width;
                wrapping to = {.out = out, .width = width, .indent = 2, .used = used};
                wrap_words(&to, text);
                mw_text_addc(out, '\n');
            }
        }
    }
}

mw_status mw_table_write(const mw_table *table, const mw_style *style, mw_text *out)
{
    size_t widths[COLUMNS_MAX] = {0};
    if (table->lost) {
        return MW_NO_MEMORY;
    }
    measure_columns(table, widths);
    if (style->plain || !shrink(table, widths, style->width)) {
        write_records(table, style, out);
        return out->failed ? MW_NO_MEMORY : MW_OK;
    }
    write_line(table, widths, HEAD_ROW, style->ascii, out);
    for (uint32_t r = 0; r < row_count(table); r++) {
        if (r < table->rule_rows && table->rules[r]) {
            write_rule(table, widths, style->ascii, out);
        }
        write_line(table, widths, r, style->ascii, out);
    }
    return out->failed ? MW_NO_MEMORY : MW_OK;
}
