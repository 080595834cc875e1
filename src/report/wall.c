/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The timeline for the wall: one sheet across, a row a mould (or a step of one), to the hour. */
#include "paper.h"

#include <math.h>

#define WEEK_S       (7.0 * MW_DAY_S)
#define SHEET_WIDTH  741.0 /* of a page across, between its margins */
#define SHEET_HEIGHT 350.0 /* for the rows, below letterhead, title and scale */
#define HEAD         34.0
#define LABEL        104.0
#define ROW_MOST     36.0
#define ROW_LEAST    7.0
#define LETTER_SHARE 0.62 /* of the size of a letter: how wide it is, about */

typedef struct wall {
    writer *to;
    uint32_t asked; /* MW_NONE: moulds are rows */
    double from_s, until_s;
    double row_height;
    double size; /* of letters */
} wall;

static double across(const wall *of, double moment_s)
{
    return LABEL + (SHEET_WIDTH - LABEL) * (moment_s - of->from_s) / (of->until_s - of->from_s);
}

static uint32_t rows_of(const wall *of)
{
    const mw_job *job = of->to->in->job;
    return of->asked == MW_NONE ? mw_job_mould_count(job)
                                : mw_job_mould(job, of->asked).recipe->step_count;
}

static uint32_t row_of(const wall *of, const mw_session *session)
{
    return of->asked == MW_NONE ? session->mould : session->step;
}

static bool shown(const wall *of, const mw_session *session)
{
    return figure_asked(of->asked, session->mould) && isfinite(session->end_s);
}

static void add(const wall *of, mw_paper_shape shape)
{
    mw_paper_shape_add(of->to->paper, &shape);
}

static void add_box(const wall *of, uint32_t row, mw_paper_ink ink, const double times[2],
                    const double heights[2])
{
    if (times[1] > times[0]) {
        add(of, (mw_paper_shape){.kind = MW_SHAPE_BOX,
                                 .ink = ink,
                                 .row = row,
                                 .x = across(of, times[0]),
                                 .y = of->row_height * heights[0],
                                 .w = fmax(across(of, times[1]) - across(of, times[0]), 0.7),
                                 .h = of->row_height * (heights[1] - heights[0])});
    }
}

/* From the first start to the last end, in whole weeks. */
static bool find_times(wall *of)
{
    uint32_t count = 0;
    const mw_session *list = mw_job_sessions(of->to->in->job, &count);
    of->from_s = (double)INFINITY;
    of->until_s = -(double)INFINITY;
    for (uint32_t i = 0; i < count; i++) {
        if (shown(of, &list[i])) {
            of->from_s = fmin(of->from_s, list[i].start_s - list[i].queued_s);
            of->until_s = fmax(of->until_s, fmax(list[i].end_s, list[i].wait_until_s));
        }
    }
    if (!isfinite(of->from_s) || !mw_moment_exists(of->from_s) || !mw_moment_exists(of->until_s)) {
        return false;
    }
    int32_t day = (int32_t)floor(of->from_s / MW_DAY_S);
    day -= mw_day_weekday(day) - 1;
    of->from_s = day * MW_DAY_S;
    of->until_s = of->from_s + WEEK_S * ceil((of->until_s - of->from_s) / (7.0 * MW_DAY_S));
    return true;
}

static void draw_legend(const wall *of)
{
    static const struct {
        mw_paper_ink ink;
        const char *words;
    } pieces[] = {{MW_INK_ACCENT, "work"},
                  {MW_INK_SOFT, "cures or waits"},
                  {MW_INK_RULE, "queues for people or machines"},
                  {MW_INK_DARK, "sets the date"}};
    double x = LABEL;
    for (size_t i = 0; i < sizeof pieces / sizeof *pieces; i++) {
        const mw_str words = mw_str_of(pieces[i].words);
        const bool line = pieces[i].ink == MW_INK_DARK;
        add(of, (mw_paper_shape){.kind = MW_SHAPE_BOX,
                                 .ink = pieces[i].ink,
                                 .x = x,
                                 .y = line ? 8.6 : 3.0,
                                 .w = 14.0,
                                 .h = line ? 1.4 : 7.0});
        add(of, (mw_paper_shape){.kind = MW_SHAPE_WORDS,
                                 .ink = MW_INK_GREY,
                                 .x = x + 18.0,
                                 .y = 9.6,
                                 .align = -1,
                                 .text = words});
        x += 34.0 + (double)words.length * MW_PAPER_LETTERS * LETTER_SHARE;
    }
}

/* The Mondays, with their weeks where there is room. */
static void draw_head(const wall *of)
{
    const double week = across(of, of->from_s + WEEK_S) - LABEL;
    const int every = (int)fmax(1.0, ceil(56.0 / week));
    const int weeks = (int)ceil((of->until_s - of->from_s) / WEEK_S);
    draw_legend(of);
    for (int number = 0; number < weeks; number++) {
        const double at_s = of->from_s + number * WEEK_S;
        mw_text words = {0};
        mw_date_week_words(at_s, &words);
        words.length = words.length > 5 ? words.length : 0;
        if (number % every == 0) {
            const mw_date date = mw_date_of_day((int32_t)floor(at_s / MW_DAY_S));
            mw_text label = {0};
            mw_text_addf(&label, "%s %02d-%02d", mw_text_chars(&words) + 5, date.month, date.day);
            add(of, (mw_paper_shape){.kind = MW_SHAPE_WORDS,
                                     .ink = MW_INK_GREY,
                                     .x = across(of, at_s) + 2.0,
                                     .y = HEAD - 5.0,
                                     .align = -1,
                                     .text = report_take(of->to->in, &label)});
        }
        mw_text_free(&words);
    }
}

static void draw_grid(const wall *of, uint32_t row)
{
    const int weeks = (int)floor((of->until_s - of->from_s) / WEEK_S);
    for (int number = 0; number <= weeks; number++) {
        add(of, (mw_paper_shape){.kind = MW_SHAPE_LINE,
                                 .ink = MW_INK_RULE,
                                 .row = row,
                                 .x = across(of, of->from_s + number * WEEK_S),
                                 .h = of->row_height});
    }
    add(of, (mw_paper_shape){.kind = MW_SHAPE_LINE,
                             .ink = MW_INK_RULE,
                             .row = row,
                             .y = of->row_height,
                             .w = SHEET_WIDTH});
}

/* A session: queueing is low, cure and work fill the row; the step's name stands inside where it fits. */
static void draw_session(const wall *of, const mw_session *session)
{
    static const double low[] = {0.62, 0.78};
    static const double full[] = {0.16, 0.78};
    static const double under[] = {0.80, 0.90};
    const uint32_t row = row_of(of, session) + 1;
    const double queue[] = {session->start_s - session->queued_s, session->start_s};
    const double work[] = {session->start_s, session->end_s};
    const double cure[] = {session->end_s, session->wait_until_s};
    const double whole[] = {session->start_s, fmax(session->end_s, session->wait_until_s)};
    add_box(of, row, MW_INK_RULE, queue, low);
    add_box(of, row, MW_INK_SOFT, cure, full);
    add_box(of, row, MW_INK_ACCENT, work, full);
    if (session->sets_date) {
        add_box(of, row, MW_INK_DARK, whole, under);
    }
}

static void draw_name(const wall *of, const mw_session *session)
{
    const mw_recipe *recipe = mw_job_mould(of->to->in->job, session->mould).recipe;
    const mw_str name = recipe->steps[session->step].name;
    const double room = across(of, session->end_s) - across(of, session->start_s) - 2.0;
    const double size = fmin(of->size, 6.4);
    if (of->asked == MW_NONE && session->number == 1 &&
        (double)mw_utf8_columns(name) * size * LETTER_SHARE < room) {
        add(of, (mw_paper_shape){.kind = MW_SHAPE_WORDS,
                                 .ink = MW_INK_WHITE,
                                 .row = row_of(of, session) + 1,
                                 .x = across(of, session->start_s) + 1.5,
                                 .y = of->row_height * 0.47 + size * 0.36,
                                 .align = -1,
                                 .size = size,
                                 .text = name});
    }
}

static void draw_row(const wall *of, uint32_t row)
{
    uint32_t count = 0;
    const mw_job *job = of->to->in->job;
    const mw_session *list = mw_job_sessions(job, &count);
    draw_grid(of, row + 1);
    add(of, (mw_paper_shape){.kind = MW_SHAPE_WORDS,
                             .ink = MW_INK_DARK,
                             .row = row + 1,
                             .x = 0.0,
                             .y = of->row_height * 0.47 + of->size * 0.36,
                             .w = LABEL - 6.0,
                             .align = -1,
                             .size = of->size,
                             .bold = true,
                             .text = of->asked == MW_NONE
                                         ? mw_job_mould(job, row).name
                                         : mw_job_mould(job, of->asked).recipe->steps[row].name});
    for (int names = 0; names < 2; names++) {
        for (uint32_t i = 0; i < count; i++) {
            if (shown(of, &list[i]) && row_of(of, &list[i]) == row) {
                (names ? draw_name : draw_session)(of, &list[i]);
            }
        }
    }
}

mw_status paper_wall(writer *to, uint32_t mould)
{
    wall of = {.to = to, .asked = mould};
    mw_text words = {0};
    to->paper->landscape = true;
    if (!find_times(&of)) {
        mw_paper_add(to->paper, MW_PAPER_TEXT, mw_str_of("The plan has no dates yet."));
        return MW_OK;
    }
    const uint32_t rows = rows_of(&of);
    of.row_height = fmax(ROW_LEAST, fmin(ROW_MOST, SHEET_HEIGHT / (rows > 0 ? rows : 1)));
    of.size = fmin(MW_PAPER_LETTERS, of.row_height * 0.62);
    mw_text_adds(&words, "Planned on ");
    mw_date_day_words(to->today_s, &words);
    mw_text_adds(&words, "; all ready on ");
    mw_date_day_words(mw_job_headline(to->in->job).ready_s, &words);
    mw_text_adds(&words, ".");
    paper_take(to, MW_PAPER_TEXT, &words);
    mw_paper_chart(to->paper, (mw_str){"", 0}, HEAD, of.row_height, rows);
    to->paper->items[to->paper->item_count - 1].chart_width = SHEET_WIDTH;
    draw_head(&of);
    for (uint32_t row = 0; row < rows; row++) {
        draw_row(&of, row);
    }
    return MW_OK;
}
