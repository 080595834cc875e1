/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Documents being gathered. */
#include "paper.h"

#include <string.h>

#include "mouldwright/memory.h"

static mw_str keep(mw_paper *paper, mw_str text)
{
    char *copy = mw_arena_copy(paper->arena, text.at ? text.at : "", text.length);
    paper->lost = paper->lost || !copy;
    return (mw_str){copy ? copy : "", copy ? text.length : 0};
}

mw_paper *mw_paper_new(mw_str title)
{
    mw_paper *paper = mw_memory_get(sizeof *paper);
    if (!paper) {
        return NULL;
    }
    *paper = (mw_paper){.arena = mw_arena_new()};
    if (!paper->arena) {
        mw_memory_give(paper);
        return NULL;
    }
    paper->title = keep(paper, title);
    return paper;
}

void mw_paper_free(mw_paper *paper)
{
    for (uint32_t i = 0; paper && i < paper->item_count; i++) {
        mw_memory_give(paper->items[i].cells);
        mw_memory_give(paper->items[i].bars);
        mw_memory_give(paper->items[i].ticks);
        mw_memory_give(paper->items[i].shapes);
    }
    if (paper) {
        mw_memory_give(paper->items);
        mw_arena_free(paper->arena);
        mw_memory_give(paper);
    }
}

static mw_paper_item *add_item(mw_paper *paper, mw_paper_kind kind, mw_str text)
{
    void *items = paper->items;
    if (!mw_memory_grow32(&items, &paper->item_capacity, paper->item_count + 1,
                          sizeof *paper->items)) {
        paper->lost = true;
        return NULL;
    }
    paper->items = items;
    mw_paper_item *made = &paper->items[paper->item_count++];
    *made = (mw_paper_item){.kind = kind, .text = keep(paper, text)};
    return made;
}

void mw_paper_add(mw_paper *paper, mw_paper_kind kind, mw_str text)
{
    add_item(paper, kind, text);
}

void mw_paper_heading(mw_paper *paper, int level, mw_str text)
{
    mw_paper_item *made = add_item(paper, MW_PAPER_HEADING, text);
    if (made) {
        made->level = level;
    }
}

void mw_paper_table(mw_paper *paper, mw_str title)
{
    add_item(paper, MW_PAPER_TABLE, title);
}

static mw_paper_item *newest(mw_paper *paper)
{
    return paper->item_count > 0 ? &paper->items[paper->item_count - 1] : NULL;
}

void mw_paper_column_add(mw_paper *paper, mw_str head, bool right)
{
    mw_paper_item *to = newest(paper);
    if (to && to->column_count < MW_PAPER_COLUMNS_MAX) {
        to->columns[to->column_count++] = (mw_paper_column){keep(paper, head), right};
    }
}

void mw_paper_cell_add(mw_paper *paper, mw_str text, mw_str plain)
{
    mw_paper_item *to = newest(paper);
    void *cells = to ? to->cells : NULL;
    if (!to ||
        !mw_memory_grow32(&cells, &to->cell_capacity, to->cell_count + 1, sizeof *to->cells)) {
        paper->lost = true;
        return;
    }
    to->cells = cells;
    to->cells[to->cell_count++] = (mw_paper_cell){keep(paper, text), keep(paper, plain)};
}

void mw_paper_total(mw_paper *paper)
{
    mw_paper_item *to = newest(paper);
    if (to) {
        to->has_total = true;
    }
}

void mw_paper_bars(mw_paper *paper, mw_str title)
{
    add_item(paper, MW_PAPER_BARS, title);
}

static double inside(double value)
{
    return !(value > 0.0) ? 0.0 : value > 1.0 ? 1.0 : value;
}

void mw_paper_bar_add(mw_paper *paper, const mw_paper_bar *bar)
{
    mw_paper_item *to = newest(paper);
    void *bars = to ? to->bars : NULL;
    if (!to || !mw_memory_grow32(&bars, &to->bar_capacity, to->bar_count + 1, sizeof *to->bars)) {
        paper->lost = true;
        return;
    }
    to->bars = bars;
    to->bars[to->bar_count++] = (mw_paper_bar){.label = keep(paper, bar->label),
                                               .value = keep(paper, bar->value),
                                               .from = inside(bar->from),
                                               .to = inside(bar->to)};
}

void mw_paper_tick_add(mw_paper *paper, double at, mw_str label)
{
    mw_paper_item *to = newest(paper);
    void *ticks = to ? to->ticks : NULL;
    if (!(at >= 0.0 && at <= 1.0)) {
        return;
    }
    if (!to ||
        !mw_memory_grow32(&ticks, &to->tick_capacity, to->tick_count + 1, sizeof *to->ticks)) {
        paper->lost = true;
        return;
    }
    to->ticks = ticks;
    to->ticks[to->tick_count++] = (mw_paper_tick){keep(paper, label), at};
}

void mw_paper_chart(mw_paper *paper, mw_str title, double head_height, double row_height,
                    uint32_t rows)
{
    mw_paper_item *made = add_item(paper, MW_PAPER_CHART, title);
    if (made) {
        made->chart_width = MW_PAPER_CHART_WIDTH;
        made->head_height = head_height;
        made->row_height = row_height;
        made->row_count = rows;
    }
}

/* The points are copied with the texts. */
static double *keep_points(mw_paper *paper, const mw_paper_shape *shape)
{
    const size_t size = sizeof *shape->points * 2 * shape->point_count;
    double *copy = size > 0 ? mw_arena_get(paper->arena, size) : NULL;
    paper->lost = paper->lost || (size > 0 && !copy);
    if (copy) {
        memcpy(copy, shape->points, size);
    }
    return copy;
}

void mw_paper_shape_into(mw_paper *paper, mw_paper_item *to, const mw_paper_shape *shape)
{
    void *shapes = to->shapes;
    if (!mw_memory_grow32(&shapes, &to->shape_capacity, to->shape_count + 1, sizeof *to->shapes)) {
        paper->lost = true;
        return;
    }
    to->shapes = shapes;
    mw_paper_shape *made = &to->shapes[to->shape_count++];
    *made = *shape;
    made->text = keep(paper, shape->text);
    made->points = keep_points(paper, shape);
    made->point_count = made->points ? shape->point_count : 0;
}

void mw_paper_shape_add(mw_paper *paper, const mw_paper_shape *shape)
{
    mw_paper_item *to = newest(paper);
    if (to) {
        mw_paper_shape_into(paper, to, shape);
    } else {
        paper->lost = true;
    }
}
