/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The timeline: moulds, or the steps of one, as rows; days or weeks as columns. Work, cure and queueing have marks of their
 * own, so that no colour is needed. */
#include <math.h>
#include <string.h>

#include "figures.h"
#include "mouldwright/memory.h"
#include "proof.h"

enum { LABEL_MOST = 28, CHART_LEAST = 10, DAY_COLUMNS_MOST = 4 };

/* The greater one covers the lesser in a cell that both touch. */
typedef enum mark {
    MARK_NONE,
    MARK_QUEUE,
    MARK_PAUSE, /* in the midst of work, when nobody is there */
    MARK_CURE,
    MARK_WORK,
    MARK_WINDOW,
    MARK_BOTH, /* work, and a window that ends */
    MARK_MISSED
} mark;

static const char *const marks_utf8[] = {" ", "·", "-", "░", "█", "]", "▓", "!"};
static const char *const marks_ascii[] = {" ", ".", "-", "~", "#", "]", "@", "!"};

typedef struct chart {
    report *in;
    uint32_t asked;
    double from_s;
    double column_s; /* time of one column */
    int unit_days;   /* 1: a day has `each` columns; 7: a week has */
    int each;
    size_t columns;
    size_t label;
    const char *const *marks;
    mark *cells; /* of one row */
    mw_text out;
} chart;

static uint32_t row_count(const chart *c)
{
    return c->asked == MW_NONE ? mw_job_mould_count(c->in->job)
                               : mw_job_mould(c->in->job, c->asked).recipe->step_count;
}

static mw_str row_name(const chart *c, uint32_t row)
{
    return c->asked == MW_NONE ? mw_job_mould(c->in->job, row).name
                               : mw_job_mould(c->in->job, c->asked).recipe->steps[row].name;
}

static bool in_row(const chart *c, uint32_t row, uint32_t mould, uint32_t step)
{
    return c->asked == MW_NONE ? mould == row : mould == c->asked && step == row;
}

/* Marks the columns that a stretch touches: what is not nothing is never invisible. */
static void draw(chart *c, double from_s, double until_s, mark as)
{
    if (!(until_s > from_s) || !isfinite(until_s)) {
        return;
    }
    double first = floor((from_s - c->from_s) / c->column_s);
    double last = ceil((until_s - c->from_s) / c->column_s) - 1.0;
    for (double at = fmax(first, 0.0); at <= last && at < (double)c->columns; at += 1.0) {
        mark *cell = &c->cells[(size_t)at];
        const bool both = as == MARK_WINDOW && *cell == MARK_WORK;
        *cell = both ? MARK_BOTH : as > *cell ? as : *cell;
    }
}

/* Work where the shift of who does it is open in a cell, a pause where it is not. */
static void draw_work(chart *c, const mw_session *of)
{
    draw(c, of->start_s, of->end_s, MARK_PAUSE);
    const mw_calendar *shift =
        of->hold_count > 0
            ? mw_job_resource(c->in->job, mw_job_holds(c->in->job, of)->resource).shift
            : NULL;
    if (!shift || !isfinite(of->end_s)) {
        draw(c, of->start_s, of->end_s, MARK_WORK);
        return;
    }
    double at_s = of->start_s;
    while (at_s < of->end_s) {
        const double open_s = mw_calendar_open(shift, at_s);
        const double close_s = fmin(mw_calendar_close(shift, open_s), of->end_s);
        draw(c, open_s, close_s, MARK_WORK);
        at_s = fmax(close_s, at_s + 1.0);
    }
}

typedef struct row_facts {
    uint32_t sessions, never;
    bool sets_date;
} row_facts;

static row_facts draw_sessions(chart *c, uint32_t row)
{
    uint32_t count = 0;
    row_facts facts = {0};
    const mw_session *list = mw_job_sessions(c->in->job, &count);
    for (uint32_t i = 0; i < count; i++) {
        const mw_session *of = &list[i];
        if (!in_row(c, row, of->mould, of->step)) {
            continue;
        }
        facts.sessions++;
        if (!isfinite(of->end_s)) {
            facts.never++;
            continue;
        }
        draw(c, of->start_s - of->queued_s, of->start_s, MARK_QUEUE);
        draw(c, of->end_s, of->wait_until_s, MARK_CURE);
        draw_work(c, of);
        facts.sets_date = facts.sets_date || of->sets_date;
    }
    return facts;
}

/* After all work of the row, so that both are seen where they meet. */
static void draw_windows(chart *c, uint32_t row)
{
    uint32_t count = 0;
    const mw_session *list = mw_job_sessions(c->in->job, &count);
    for (uint32_t i = 0; i < count && c->asked != MW_NONE; i++) {
        const double until_s = list[i].window_until_s;
        if (in_row(c, row, list[i].mould, list[i].step) && isfinite(until_s)) {
            draw(c, until_s - 1.0, until_s, MARK_WINDOW);
        }
    }
}

static void draw_misses(chart *c, uint32_t row)
{
    uint32_t count = 0;
    const mw_window_miss *list = mw_job_misses(c->in->job, &count);
    for (uint32_t i = 0; i < count; i++) {
        if (in_row(c, row, list[i].mould, list[i].early)) {
            draw(c, list[i].until_s - 1.0, list[i].until_s, MARK_MISSED);
        }
    }
}

static void write_label(chart *c, mw_str name, bool sets_date)
{
    size_t used = mw_utf8_columns(name);
    mw_text_adds(&c->out, sets_date ? "* " : "  ");
    if (used > c->label) { /* a cut shows itself */
        mw_text_addf(&c->out, "%.*s~", (int)(c->label - 1), name.at);
    } else {
        mw_text_add_str(&c->out, name);
        mw_text_addf(&c->out, "%*s", (int)(c->label - used), "");
    }
    mw_text_adds(&c->out, "  ");
}

static void write_row(chart *c, uint32_t row)
{
    for (size_t i = 0; i < c->columns; i++) {
        c->cells[i] = MARK_NONE;
    }
    const row_facts facts = draw_sessions(c, row);
    if (facts.sessions == 0 && c->asked != MW_NONE) {
        return; /* a step without work or wait */
    }
    draw_windows(c, row);
    draw_misses(c, row);
    write_label(c, row_name(c, row), facts.sets_date);
    size_t end = c->columns;
    while (end > 0 && c->cells[end - 1] == MARK_NONE) {
        end--;
    }
    for (size_t i = 0; i < end; i++) {
        mw_text_adds(&c->out, c->marks[c->cells[i]]);
    }
    mw_text_adds(&c->out, facts.never == 0               ? ""
                          : facts.never < facts.sessions ? " the rest never"
                                                         : "never");
    mw_text_adds(&c->out, facts.sessions == 0 ? "no dates" : "");
    while (c->out.length > 0 && c->out.data[c->out.length - 1] == ' ') {
        c->out.length--;
    }
    mw_text_addc(&c->out, '\n');
}

/* Above the columns: the week at its Monday, `W03`, where there is room, and the date. */
static void write_heads(chart *c, bool dates)
{
    mw_text_addf(&c->out, "%*s", (int)c->label + 4, "");
    size_t written = 0;
    size_t step = c->unit_days == 7 ? (size_t)c->each : (size_t)c->each * 7;
    int32_t day = (int32_t)floor(c->from_s / MW_DAY_S);
    for (size_t at = 0; at < c->columns; at += step, day += 7) {
        size_t needs = dates ? 6 : 4;
        if (at < written || at + needs - 1 > c->columns) {
            continue;
        }
        int year;
        int week;
        mw_day_week(day, &year, &week);
        mw_date date = mw_date_of_day(day);
        mw_text_addf(&c->out, "%*s", (int)(at - written), "");
        if (dates) {
            mw_text_addf(&c->out, "%02d-%02d ", date.month, date.day);
        } else {
            mw_text_addf(&c->out, "W%02d ", week);
        }
        written = at + needs;
    }
    while (c->out.length > 0 && c->out.data[c->out.length - 1] == ' ') {
        c->out.length--;
    }
    mw_text_addc(&c->out, '\n');
}

/* Days as columns while they fit, several columns a day while there is room; else weeks. */
static bool choose_scale(chart *c)
{
    uint32_t count = 0;
    const mw_session *list = mw_job_sessions(c->in->job, &count);
    double last_s = -(double)INFINITY;
    c->from_s = (double)INFINITY;
    for (uint32_t i = 0; i < count; i++) {
        bool shown = figure_asked(c->asked, list[i].mould) && isfinite(list[i].end_s);
        c->from_s = shown ? fmin(c->from_s, list[i].start_s) : c->from_s;
        last_s = shown ? fmax(last_s, list[i].wait_until_s) : last_s;
    }
    if (!isfinite(c->from_s) || !isfinite(last_s)) {
        return false;
    }
    int32_t day = (int32_t)floor(c->from_s / MW_DAY_S);
    day -= mw_day_weekday(day) - 1;
    c->from_s = day * MW_DAY_S;
    size_t room = c->in->style->width > c->label + 4 + CHART_LEAST
                      ? c->in->style->width - c->label - 4
                      : CHART_LEAST;
    size_t days = (size_t)ceil((last_s - c->from_s) / MW_DAY_S);
    size_t weeks = (days + 6) / 7;
    c->unit_days = days <= room ? 1 : 7;
    size_t units = days <= room ? days : weeks;
    size_t each = room / units;
    size_t most = c->unit_days == 1 ? DAY_COLUMNS_MOST : 7;
    c->each = (int)(each < 1 ? 1 : each > most ? most : each);
    c->column_s = MW_DAY_S * c->unit_days / c->each;
    c->columns = units * (size_t)c->each;
    return true;
}

/* What the marks mean, in as many lines as it takes. */
static void write_legend(chart *c)
{
    const struct {
        const char *mark, *words;
        bool shown;
    } pieces[] = {{c->marks[MARK_WORK], "work", true},
                  {c->marks[MARK_PAUSE], "stopped", true},
                  {c->marks[MARK_CURE], "cure", true},
                  {c->marks[MARK_QUEUE], "queueing", true},
                  {c->marks[MARK_WINDOW], "window ends", c->asked != MW_NONE},
                  {c->marks[MARK_BOTH], "both", c->asked != MW_NONE},
                  {c->marks[MARK_MISSED], "window missed", true},
                  {"*", "sets the date", true}};
    size_t used = 0;
    for (size_t i = 0; i < sizeof pieces / sizeof *pieces; i++) {
        const size_t needs = 2 + strlen(pieces[i].words);
        if (!pieces[i].shown) {
            continue;
        }
        const bool fits = used + 2 + needs <= c->in->style->width;
        mw_text_adds(&c->out, used == 0 ? "" : fits ? "  " : "\n");
        mw_text_addf(&c->out, "%s %s", pieces[i].mark, pieces[i].words);
        used = used == 0 ? needs : fits ? used + 2 + needs : needs;
    }
    mw_text_addf(&c->out, "\n%d column%s a %s\n", c->each, c->each == 1 ? "" : "s",
                 c->unit_days == 1 ? "day" : "week");
}

static mw_status draw_chart(chart *c)
{
    for (uint32_t row = 0; row < row_count(c); row++) {
        size_t wide = mw_utf8_columns(row_name(c, row));
        c->label = wide > c->label ? wide : c->label;
    }
    c->label = c->label > LABEL_MOST ? LABEL_MOST : c->label;
    c->marks = c->in->style->ascii ? marks_ascii : marks_utf8;
    if (!choose_scale(c)) {
        return MW_OK;
    }
    c->cells = mw_arena_get(c->in->arena, c->columns * sizeof *c->cells);
    if (!c->cells) {
        return MW_NO_MEMORY;
    }
    write_heads(c, false);
    write_heads(c, true);
    for (uint32_t row = 0; row < row_count(c); row++) {
        write_row(c, row);
    }
    write_legend(c);
    c->in->drawing = report_take(c->in, &c->out);
    return MW_OK;
}

static void bars(report *in, uint32_t asked)
{
    uint32_t count = 0;
    const mw_session *list = mw_job_sessions(in->job, &count);
    grid *to = report_grid(in, "bars", NULL);
    to->only = in->style->plain ? GRID_EVERYWHERE : GRID_JSON;
    columns_text(to, "mould", "mould");
    columns_text(to, "step", "step");
    columns_date(to, "queues_from", "queues from");
    columns_date(to, "start", "works from");
    columns_date(to, "end", "until");
    columns_date(to, "waits_until", "cures until");
    columns_date(to, "window_until", "window until");
    columns_text(to, "sets_date", "sets the date");
    for (uint32_t i = 0; i < count; i++) {
        const mw_session *of = &list[i];
        if (!figure_asked(asked, of->mould)) {
            continue;
        }
        const mw_mould_view view = mw_job_mould(in->job, of->mould);
        grid_text(in, to, view.name);
        grid_text(in, to, view.recipe->steps[of->step].name);
        figure_moment(in, to, of->start_s - of->queued_s, true);
        figure_moment(in, to, of->start_s, true);
        figure_moment(in, to, of->end_s, true);
        figure_moment(in, to, of->wait_until_s, true);
        if (isnan(of->window_until_s)) {
            grid_none(in, to);
        } else {
            figure_moment(in, to, of->window_until_s, true);
        }
        grid_value(in, to, of->sets_date ? 1.0 : 0.0, MW_TYPE_TRUTH, MW_UNIT_ONE);
    }
}

mw_status report_timeline(report *in, uint32_t mould)
{
    chart c = {.in = in, .asked = mould};
    bars(in, mould);
    mw_status status = in->style->json || in->style->plain ? MW_OK : draw_chart(&c);
    mw_text_free(&c.out);
    figure_lates(in, mould);
    report_proof(in, mw_str_of("the plan: "));
    return status;
}
