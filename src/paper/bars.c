/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bars as shapes, a row a bar, so that HTML and PDF draw the same. Bars are fills, for browsers print no backgrounds; one
 * that is not nothing is seen; its value stands beside it. */
#include "paper.h"

#include <math.h>

#define ROW         15.0
#define HEAD        15.0
#define LABEL_MOST  140.0
#define VALUE_MOST  110.0
#define LETTER      (MW_PAPER_LETTERS * 0.62) /* of a column of letters, about */
#define LEAST       1.0
#define TICK_APART  34.0
#define WHOLE_WIDTH MW_PAPER_CHART_WIDTH

/* Where the bars begin and end, between labels and values. */
typedef struct room {
    double left, right;
} room;

static double columns(mw_str text)
{
    return (double)mw_utf8_columns(text) * LETTER + 2.0;
}

static room room_of(const mw_paper_item *of)
{
    double label = 30.0;
    double value = 30.0;
    for (uint32_t i = 0; i < of->bar_count; i++) {
        label = fmax(label, columns(of->bars[i].label));
        value = fmax(value, columns(of->bars[i].value));
    }
    return (room){fmin(label, LABEL_MOST) + 8.0, WHOLE_WIDTH - fmin(value, VALUE_MOST) - 8.0};
}

static double place(room in, double share)
{
    return in.left + share * (in.right - in.left);
}

/* Ticks whose labels would run into each other keep their line and lose the label. */
static void draw_head(mw_paper *paper, mw_paper_item *of, room in)
{
    double last = -TICK_APART;
    for (uint32_t i = 0; i < of->tick_count; i++) {
        const double x = place(in, of->ticks[i].at);
        if (x - last >= TICK_APART) {
            mw_paper_shape_into(paper, of,
                                &(mw_paper_shape){.kind = MW_SHAPE_WORDS,
                                                  .ink = MW_INK_GREY,
                                                  .x = x,
                                                  .y = HEAD - 5.0,
                                                  .align = 0,
                                                  .text = of->ticks[i].label});
            last = x;
        }
    }
}

static void draw_grid(mw_paper *paper, mw_paper_item *of, room in, uint32_t row)
{
    for (uint32_t i = 0; i < of->tick_count; i++) {
        mw_paper_shape_into(paper, of,
                            &(mw_paper_shape){.kind = MW_SHAPE_LINE,
                                              .ink = MW_INK_RULE,
                                              .row = row,
                                              .x = place(in, of->ticks[i].at),
                                              .h = ROW});
    }
}

static void draw_bar(mw_paper *paper, mw_paper_item *of, room in, uint32_t i)
{
    const mw_paper_bar *bar = &of->bars[i];
    const double from = place(in, bar->from);
    const double length = place(in, bar->to) - from;
    mw_paper_shape shape = {.kind = MW_SHAPE_WORDS,
                            .ink = MW_INK_DARK,
                            .row = i + 1,
                            .x = in.left - 8.0,
                            .y = 10.6,
                            .w = in.left - 8.0,
                            .align = 1,
                            .text = bar->label};
    mw_paper_shape_into(paper, of, &shape);
    shape.x = WHOLE_WIDTH;
    shape.w = WHOLE_WIDTH - in.right - 8.0;
    shape.text = bar->value;
    mw_paper_shape_into(paper, of, &shape);
    if (length > 0.0) {
        mw_paper_shape_into(paper, of,
                            &(mw_paper_shape){.kind = MW_SHAPE_BOX,
                                              .ink = MW_INK_ACCENT,
                                              .row = i + 1,
                                              .x = from,
                                              .y = 3.2,
                                              .w = fmax(length, LEAST),
                                              .h = ROW - 5.4});
    }
}

void mw_paper_finish(mw_paper *paper)
{
    for (uint32_t i = 0; i < paper->item_count; i++) {
        mw_paper_item *of = &paper->items[i];
        if (of->kind != MW_PAPER_BARS || of->shape_count > 0) {
            continue;
        }
        const room in = room_of(of);
        of->chart_width = WHOLE_WIDTH;
        of->head_height = of->tick_count > 0 ? HEAD : 2.0;
        of->row_height = ROW;
        of->row_count = of->bar_count;
        draw_head(paper, of, in);
        for (uint32_t b = 0; b < of->bar_count; b++) {
            draw_grid(paper, of, in, b + 1);
            draw_bar(paper, of, in, b);
        }
    }
}
