/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pictures of risk, as shapes that every writer draws alike: how often each value comes and how often at most that; and
 * what each input does to a figure, the widest first. */
#include "risk.h"

#include <math.h>

#include "mouldwright/memory.h"

#define WIDTH   MW_PAPER_CHART_WIDTH
#define LEFT    40.0
#define RIGHT   (WIDTH - 40.0)
#define TITLE   12.0
#define TOP     34.0
#define BASE    168.0
#define HEIGHT  196.0
#define GAP     0.8
#define LETTERS 7.0

enum { SCALE_ROOM = 16, WANTED = 6, INPUTS_SHOWN = 14 };

/* ---- a scale ---- */

/* Round values from low to high. */
typedef struct ruler {
    double low, high; /* what the two ends of the plot stand for */
    double left, right;
    double at[SCALE_ROOM];
    uint32_t count;
} ruler;

static double place(const ruler *on, double value)
{
    double width = on->high - on->low;
    double share = width > 0.0 ? (value - on->low) / width : 0.5;
    return on->left + fmin(1.0, fmax(0.0, share)) * (on->right - on->left);
}

/* A step of 1, 2 or 5 times a power of ten (days: also weeks) of which there are at most so many. */
static double round_step(double width, bool days)
{
    static const double day_steps[] = {1, 2, 7, 14, 28, 56, 91, 182, 364};
    double wanted = width / WANTED;
    for (size_t i = 0; days && i < sizeof day_steps / sizeof *day_steps; i++) {
        if (day_steps[i] * MW_DAY_S >= wanted) {
            return day_steps[i] * MW_DAY_S;
        }
    }
    double power = pow(10.0, floor(log10(wanted)));
    double times = wanted / power;
    return power * (times <= 1.0 ? 1.0 : times <= 2.0 ? 2.0 : times <= 5.0 ? 5.0 : 10.0);
}

/* Marks in the unit that is shown. */
static void rule(mw_job *job, const mw_risk_row *row, ruler *on)
{
    const bool date = row->type == MW_TYPE_DATE;
    const double unit = date ? 1.0 : mw_unit_scale(mw_job_measure(job), row->unit);
    const double width = (on->high - on->low) / unit;
    if (!(width > 0.0) || !isfinite(width)) {
        on->at[0] = on->low;
        on->count = 1;
        return;
    }
    const double step = round_step(width, date);
    /* weeks begin on a Monday: 1970-01-05 was one */
    const double origin = date && step >= 7.0 * MW_DAY_S ? 4.0 * MW_DAY_S : 0.0;
    double at = ceil((on->low / unit - origin) / step) * step + origin;
    for (; at <= on->high / unit && on->count < SCALE_ROOM; at += step) {
        on->at[on->count++] = at * unit;
    }
}

/* ---- shapes ---- */

static void words(mw_paper *paper, mw_paper_shape shape, mw_text *text)
{
    shape.kind = MW_SHAPE_WORDS;
    shape.text = (mw_str){mw_text_chars(text), text->length};
    mw_paper_shape_add(paper, &shape);
    paper->lost = paper->lost || text->failed;
    mw_text_clear(text);
}

static void line(mw_paper *paper, mw_paper_ink ink, uint32_t row, const double at[4])
{
    mw_paper_shape_add(paper, &(mw_paper_shape){.kind = MW_SHAPE_LINE,
                                                .ink = ink,
                                                .row = row,
                                                .x = at[0],
                                                .y = at[1],
                                                .w = at[2],
                                                .h = at[3]});
}

/* Short: without what a date has in common, money without cents. */
static void mark_words(mw_job *job, const mw_risk_row *row, double value, mw_text *out)
{
    if (row->type == MW_TYPE_DATE) {
        mw_text full = {0};
        mw_date_words(floor(value / MW_DAY_S) * MW_DAY_S, &full);
        mw_text_adds(out, full.length > 5 ? mw_text_chars(&full) + 5 : "");
        out->failed = out->failed || full.failed;
        mw_text_free(&full);
    } else {
        mw_number_short(mw_unit_from_si(mw_job_measure(job), row->unit, value), 5, ' ', out);
    }
}

/* A line across the plot at a figure, with its name above. */
static void mark(mw_paper *paper, const ruler *on, double value, const char *name)
{
    const double x = place(on, value);
    mw_text text = {0};
    line(paper, MW_INK_DARK, 0, (double[]){x, TOP - 4.0, 0.0, BASE - TOP + 4.0});
    mw_text_adds(&text, name);
    words(paper,
          (mw_paper_shape){
              .ink = MW_INK_DARK, .x = x, .y = TOP - 6.0, .align = 0, .size = LETTERS - 1.0},
          &text);
    mw_text_free(&text);
}

/* ---- how often ---- */

static void draw_grid(mw_job *job, mw_paper *paper, const mw_risk_row *row, const ruler *on)
{
    mw_text text = {0};
    for (int tenth = 0; tenth <= 10; tenth += 2) {
        const double y = BASE - (BASE - TOP) * tenth / 10.0;
        line(paper, MW_INK_RULE, 0, (double[]){LEFT, y, RIGHT - LEFT, 0.0});
        mw_text_addf(&text, "%d %%", tenth * 10);
        words(
            paper,
            (mw_paper_shape){
                .ink = MW_INK_ACCENT, .x = RIGHT + 5.0, .y = y + 2.5, .align = -1, .size = LETTERS},
            &text);
    }
    for (uint32_t i = 0; i < on->count; i++) {
        const double x = place(on, on->at[i]);
        line(paper, MW_INK_GREY, 0, (double[]){x, BASE, 0.0, 3.0});
        mark_words(job, row, on->at[i], &text);
        words(paper,
              (mw_paper_shape){
                  .ink = MW_INK_GREY, .x = x, .y = BASE + 11.0, .align = 0, .size = LETTERS},
              &text);
    }
    mw_text_free(&text);
}

/* Bars as high as the most frequent bin fills the plot; its share stands at the left. */
static void draw_bins(mw_paper *paper, const mw_risk_row *row, const mw_risk_bins *bins,
                      const ruler *on)
{
    uint32_t most = 1;
    for (uint32_t i = 0; i < bins->count; i++) {
        most = bins->counts[i] > most ? bins->counts[i] : most;
    }
    const double width = (bins->high - bins->low) / bins->count;
    for (uint32_t i = 0; i < bins->count; i++) {
        const double x = bins->count == 1 ? on->left : place(on, bins->low + i * width);
        const double until = bins->count == 1 ? on->right : place(on, bins->low + (i + 1) * width);
        const double high = (BASE - TOP) * bins->counts[i] / most;
        if (bins->counts[i] > 0) {
            mw_paper_shape_add(paper, &(mw_paper_shape){.kind = MW_SHAPE_BOX,
                                                        .ink = MW_INK_SOFT,
                                                        .x = x + GAP / 2.0,
                                                        .y = BASE - fmax(high, 0.6),
                                                        .w = fmax(until - x - GAP, 0.5),
                                                        .h = fmax(high, 0.6)});
        }
    }
    mw_text text = {0};
    mw_text_addf(&text, "%.0f %%", 100.0 * most / row->count);
    words(paper,
          (mw_paper_shape){
              .ink = MW_INK_GREY, .x = LEFT - 5.0, .y = TOP + 2.5, .align = 1, .size = LETTERS},
          &text);
    mw_text_adds(&text, "0 %");
    words(paper,
          (mw_paper_shape){
              .ink = MW_INK_GREY, .x = LEFT - 5.0, .y = BASE + 2.5, .align = 1, .size = LETTERS},
          &text);
    mw_text_free(&text);
}

/* The share of the samples at or below each value. */
static void draw_curve(mw_paper *paper, const mw_risk_row *row, const ruler *on)
{
    enum { STEPS = 200 };
    double points[2 * (STEPS + 1)];
    uint32_t below = 0;
    for (uint32_t i = 0; i <= STEPS; i++) {
        const double value = on->low + (on->high - on->low) * i / STEPS;
        while (below < row->count && row->sorted[below] <= value) {
            below++;
        }
        points[(size_t)2 * i] = on->left + (on->right - on->left) * i / STEPS;
        points[(size_t)2 * i + 1] = BASE - (BASE - TOP) * below / row->count;
    }
    mw_paper_shape_add(paper, &(mw_paper_shape){.kind = MW_SHAPE_PATH,
                                                .ink = MW_INK_ACCENT,
                                                .size = 1.4,
                                                .points = points,
                                                .point_count = STEPS + 1});
}

static void title(mw_job *job, mw_paper *paper, const mw_risk_row *row, const char *rest)
{
    mw_text text = {0};
    risk_name_words(job, row, &text);
    mw_text_adds(&text, rest);
    words(paper,
          (mw_paper_shape){
              .ink = MW_INK_DARK, .y = TITLE, .align = -1, .size = LETTERS + 2.0, .bold = true},
          &text);
    mw_text_free(&text);
}

void risk_odds(mw_job *job, mw_paper *paper, const mw_risk_row *row)
{
    uint32_t counts[RISK_BINS] = {0};
    const mw_risk_bins bins = risk_choose_bins(row, counts);
    ruler on = {.low = bins.low, .high = bins.high, .left = LEFT, .right = RIGHT};
    mw_text name = {0};
    mw_risk_histogram(row->sorted, row->count, &bins);
    risk_name_words(job, row, &name);
    mw_paper_chart(paper, (mw_str){mw_text_chars(&name), name.length}, HEIGHT, 0.0, 0);
    mw_text_free(&name);
    title(job, paper, row,
          ": how often each value comes (bars), and how often at most that (line)");
    rule(job, row, &on);
    draw_bins(paper, row, &bins, &on);
    draw_grid(job, paper, row, &on);
    if (row->now >= bins.low && row->now <= bins.high) {
        mark(paper, &on, row->now, "now");
    }
    for (uint32_t q = 1; q < MW_RISK_SHOWN; q += 1) {
        char label[8] = "P";
        const int percent = (int)lround(100.0 * mw_risk_shown[q]);
        label[1] = (char)('0' + percent / 10);
        label[2] = (char)('0' + percent % 10);
        const bool apart =
            q == 1 ||
            place(&on, row->quantiles[q].value) - place(&on, row->quantiles[q - 1].value) > 14.0;
        const bool clear = fabs(place(&on, row->quantiles[q].value) - place(&on, row->now)) > 16.0;
        if (apart && clear && mw_error_code(row->quantiles[q].value) == MW_CODE_COUNT) {
            mark(paper, &on, row->quantiles[q].value, label);
        }
    }
    draw_curve(paper, row, &on);
}

/* ---- what drives it ---- */

#define NAMES      150.0
#define VALUES     62.0
#define BAR_TOP    3.0
#define BAR_HEIGHT 9.0
#define ROW_HEIGHT 15.0
#define HEAD       34.0

static void draw_swing(mw_job *job, mw_paper *paper, const mw_risk_reply *reply,
                       const risk_swing *of, const ruler *on)
{
    const mw_risk_row *row = &reply->rows[of->row];
    const mw_risk_input_view *input = &reply->inputs[of->input];
    const double low = fmin(input->low_swing[of->row], input->high_swing[of->row]);
    const double high = fmax(input->low_swing[of->row], input->high_swing[of->row]);
    const double now = place(on, row->now);
    mw_text text = {0};
    mw_text_add_str(&text, input->name);
    mw_paper_shape name = {.ink = MW_INK_DARK,
                           .row = of->place,
                           .x = NAMES - 6.0,
                           .y = 10.6,
                           .w = NAMES - 6.0,
                           .align = 1};
    words(paper, name, &text);
    line(paper, MW_INK_GREY, of->place, (double[]){now, 0.0, 0.0, ROW_HEIGHT});
    /* what the low value of the input does is pale, what the high one does is dark */
    for (int end = 0; end < 2; end++) {
        const double at = place(on, end ? input->high_swing[of->row] : input->low_swing[of->row]);
        mw_paper_shape_add(paper, &(mw_paper_shape){.kind = MW_SHAPE_BOX,
                                                    .ink = end ? MW_INK_ACCENT : MW_INK_SOFT,
                                                    .row = of->place,
                                                    .x = fmin(at, now),
                                                    .y = BAR_TOP,
                                                    .w = fabs(at - now),
                                                    .h = BAR_HEIGHT});
    }
    mark_words(job, row, low, &text);
    words(paper,
          (mw_paper_shape){.ink = MW_INK_GREY,
                           .row = of->place,
                           .x = fmin(place(on, low), now) - 3.0,
                           .y = 10.2,
                           .align = 1,
                           .size = LETTERS - 0.6},
          &text);
    mark_words(job, row, high, &text);
    words(paper,
          (mw_paper_shape){.ink = MW_INK_GREY,
                           .row = of->place,
                           .x = fmax(place(on, high), now) + 3.0,
                           .y = 10.2,
                           .align = -1,
                           .size = LETTERS - 0.6},
          &text);
    mw_text_free(&text);
}

static void draw_tornado(mw_job *job, mw_paper *paper, const mw_risk_reply *reply, uint32_t r)
{
    const mw_risk_row *row = &reply->rows[r];
    risk_swing swings[INPUTS_SHOWN];
    const uint32_t count = risk_swings(reply, r, swings, INPUTS_SHOWN);
    ruler on = {.low = row->now, .high = row->now, .left = NAMES + VALUES, .right = WIDTH - VALUES};
    mw_text text = {0};
    if (count == 0 || !isfinite(row->now)) {
        return;
    }
    for (uint32_t i = 0; i < count; i++) {
        const mw_risk_input_view *input = &reply->inputs[swings[i].input];
        on.low = fmin(on.low, fmin(input->low_swing[r], input->high_swing[r]));
        on.high = fmax(on.high, fmax(input->low_swing[r], input->high_swing[r]));
    }
    risk_name_words(job, row, &text);
    mw_paper_chart(paper, (mw_str){mw_text_chars(&text), text.length}, HEAD, ROW_HEIGHT, count);
    mw_text_clear(&text);
    title(job, paper, row, ": what each input does, the others as they stand");
    mw_text_adds(&text, "input low (P10) pale, input high (P90) dark; as it stands ");
    risk_value_words(job, row, row->now, &text);
    words(paper,
          (mw_paper_shape){.ink = MW_INK_GREY, .y = TITLE + 13.0, .align = -1, .size = LETTERS},
          &text);
    mw_text_free(&text);
    for (uint32_t i = 0; i < count; i++) {
        draw_swing(job, paper, reply, &swings[i], &on);
    }
}

mw_paper *risk_picture(mw_job *job, const mw_risk_reply *reply)
{
    mw_text name = {0};
    mw_text_adds(&name, "Risk: ");
    mw_text_add_str(&name, mw_job_name(job));
    mw_paper *paper =
        name.failed ? NULL : mw_paper_new((mw_str){mw_text_chars(&name), name.length});
    mw_text_free(&name);
    for (uint32_t r = 0; paper && r < reply->row_count; r++) {
        if (reply->drives) {
            draw_tornado(job, paper, reply, r);
        } else if (reply->rows[r].count > 0) {
            risk_odds(job, paper, &reply->rows[r]);
        }
    }
    return paper;
}
