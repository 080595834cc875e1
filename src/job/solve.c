/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The statement `find`: a grid over the input, then every place where the condition begins or ceases to hold is narrowed
 * down. Nothing is assumed of the figures but that they can be worked out: dates and rounded money jump. */
#include "solve.h"

#include <math.h>
#include <string.h>

#include "mouldwright/memory.h"

enum { GRID = 257, STRETCHES_MOST = 64, PASSES = 8 };

/* A search in progress. */
typedef struct search {
    mw_job *job;
    solve_question ask;
    solve_trial trial;
    uint32_t source; /* of the lines of the trial; MW_NONE */
    mw_find_point *points;
    uint32_t count;
    mw_find_stretch *found;
    uint32_t found_count;
    bool whole;
    mw_find_reply *reply;
    mw_diags *diags;
} search;

/* ---- the input ---- */

typedef struct reached {
    const build *in;
    uint32_t count;
    bool whole;
    double value;
    bool differs;
} reached;

static void take_slot(void *context, uint32_t m, uint32_t at)
{
    reached *of = context;
    const mould *in = &of->in->moulds[m];
    double value = mw_sheet_value(of->in->sheet, in->cells[at]);
    of->whole = of->whole || in->kit->slots[at].whole;
    of->differs = of->differs || (of->count > 0 && value != of->value);
    of->value = value;
    of->count++;
}

static bool ends_in_count(mw_str name)
{
    static const char end[] = "_count";
    const size_t length = sizeof end - 1;
    return name.length > length && memcmp(name.at + name.length - length, end, length) == 0;
}

/* Whether there is such an input, and whether it goes in whole numbers. */
static mw_status look_at_input(search *on)
{
    build *in = on->job->build;
    mw_str name = mw_sources_piece(on->job->sources, on->ask.path);
    entry target = {.kind = ENTRY_SET, .name = name, .name_at = on->ask.path};
    size_t from = 0;
    for (size_t i = 0; i <= name.length && target.part_count < ENTRY_PARTS_MAX; i++) {
        if (i == name.length || name.at[i] == '.') {
            target.parts[target.part_count++] = (mw_str){name.at + from, i - from};
            from = i + 1;
        }
    }
    reached of = {.in = in, .value = (double)NAN};
    uint32_t at = target.part_count > 1 ? global_find(in, name) : MW_NONE;
    uint32_t line = target.part_count == 1 ? mw_sheet_find(in->sheet, name) : MW_NONE;
    if (at != MW_NONE && in->globals[at].settable) {
        of.count = 1;
        of.value = mw_sheet_value(in->sheet, in->globals[at].cell);
        of.whole = ends_in_count(name);
    } else if (line != MW_NONE) {
        of.count = 1;
        of.value = mw_sheet_value(in->sheet, line);
    } else {
        layers_reach(in, &target, take_slot, &of);
    }
    on->reply->path = name;
    on->reply->now.value = of.differs ? (double)NAN : of.value;
    on->whole = of.whole;
    if (of.count == 0) {
        mw_diags_error(on->diags, MW_CODE_UNKNOWN_NAME, on->ask.path,
                       "there is no `%.*s` to search", (int)name.length, name.at);
        return MW_FAILED;
    }
    return MW_OK;
}

/* ---- the trial ---- */

static void value_words(const search *on, double value, mw_text *out)
{
    const mw_measure *measure = on->job->measure;
    if (on->ask.type == MW_TYPE_DATE) {
        mw_date_words(value, out);
        return;
    }
    bool bare = on->ask.unit == MW_UNIT_ONE;
    mw_text_addf(out, "%.17g ", bare ? value : mw_unit_from_si(measure, on->ask.unit, value));
    mw_unit_words(measure, on->ask.unit, out);
}

/* The lines of the trial: the input becomes a line, both sides too. */
static mw_status write_lines(search *on)
{
    mw_text text = {0};
    mw_text_adds(&text, "find_value = ");
    value_words(on, on->ask.low, &text);
    mw_text_addc(&text, '\n');
    mw_text_add_str(&text, on->reply->path);
    mw_text_adds(&text, " = find_value\nfind_left = ");
    mw_text_add_str(&text, on->reply->left);
    mw_text_adds(&text, "\nfind_right = ");
    mw_text_add_str(&text, on->reply->right);
    mw_text_addc(&text, '\n');
    on->source = text.failed ? MW_NONE
                             : mw_sources_add(on->job->sources, mw_str_of("<find>"),
                                              (mw_str){mw_text_chars(&text), text.length});
    mw_text_free(&text);
    return on->source == MW_NONE ? MW_NO_MEMORY : MW_OK;
}

static mw_status read_lines(search *on, entry_list *list)
{
    uint32_t at = 0;
    mw_span line;
    mw_status status = MW_OK;
    while (status == MW_OK && mw_next_line(on->job->sources, on->source, &at, &line)) {
        mw_reader reader = {&on->job->ast, on->job->measure, on->job->sources, on->diags};
        mw_statement statement;
        mw_ast_clear(&on->job->ast);
        status = mw_parse_statement(&reader, line, &statement);
        if (status == MW_OK) {
            status = document_entries(on->job, &statement, list, on->diags);
        }
    }
    return status;
}

static mw_status make_trial(search *on)
{
    mw_job *job = on->job;
    entry_list list = {0};
    document other;
    mw_status status = write_lines(on);
    if (status == MW_OK) {
        status = read_lines(on, &list);
    }
    if (status == MW_OK) {
        status = document_change(job, &job->build->document, &(document_step){.items = &list},
                                 &other, NULL);
    }
    if (status == MW_OK) {
        status = build_make(job, &other, &on->trial.in, on->diags);
    }
    entry_list_free(&list);
    if (status != MW_OK) {
        return status;
    }
    build *in = on->trial.in;
    plan_node_quiet(in->plan, true);
    on->trial.value = mw_sheet_find(in->sheet, mw_str_of("find_value"));
    on->trial.left = mw_sheet_find(in->sheet, mw_str_of("find_left"));
    on->trial.right = mw_sheet_find(in->sheet, mw_str_of("find_right"));
    on->trial.date = on->ask.type == MW_TYPE_DATE;
    on->trial.lanes = mw_lanes_new(mw_sheet_count(in->sheet), SOLVE_TILE);
    on->reply->left_type = mw_sheet_type(in->sheet, on->trial.left);
    on->reply->left_unit = mw_sheet_unit(in->sheet, on->trial.left);
    on->reply->type = mw_sheet_type(in->sheet, on->trial.value);
    on->reply->unit = mw_sheet_unit(in->sheet, on->trial.value);
    return on->trial.lanes ? MW_OK : MW_NO_MEMORY;
}

static double in_lane(const solve_trial *trial, uint32_t cell, uint32_t lane)
{
    const double *column = mw_lanes_column(trial->lanes, cell);
    return column ? column[lane] : mw_sheet_value(trial->in->sheet, cell);
}

mw_status solve_points(solve_trial *trial, mw_find_point *points, uint32_t count)
{
    double *column = mw_lanes_give(trial->lanes, trial->value);
    if (!column) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < SOLVE_TILE; i++) {
        const mw_find_point *at = &points[i < count ? i : count - 1];
        column[i] = trial->date ? floor(at->value / MW_DAY_S) * MW_DAY_S : at->value;
    }
    mw_status status = mw_sheet_lanes(trial->in->sheet, trial->lanes, NULL);
    for (uint32_t i = 0; status == MW_OK && i < count; i++) {
        points[i].left = in_lane(trial, trial->left, i);
        points[i].right = in_lane(trial, trial->right, i);
    }
    mw_lanes_clear(trial->lanes);
    trial->tried += count;
    return status == MW_OK && trial->in->job->stopped ? MW_FAILED : status;
}

/* ---- the search ---- */

/* By how much the left side is above the right one. A day that is named is meant to its end: ready at noon of the 12th is
 * ready by the 12th. */
static double gap(const search *on, const mw_find_point *at)
{
    bool to_end = on->ask.sign == SOLVE_LESS_EQUAL || on->ask.sign == SOLVE_GREATER;
    return at->left - at->right - (on->ask.whole_day && to_end ? MW_DAY_S : 0.0);
}

/* Whether the condition holds; what has no value does not. Equality: on which side it is. */
static bool holds(const search *on, const mw_find_point *at)
{
    double by = gap(on, at);
    double close = 1e-12 * fmax(fabs(at->left), fabs(at->right));
    switch (on->ask.sign) {
    case SOLVE_LESS:
        return by < -close;
    case SOLVE_LESS_EQUAL:
        return by <= close;
    case SOLVE_EQUAL:
        return by >= 0.0;
    case SOLVE_GREATER_EQUAL:
        return by >= -close;
    case SOLVE_GREATER:
        return by > close;
    }
    return false;
}

/* The smallest difference between two values of the input that still counts. */
static double finest(const search *on)
{
    if (on->ask.type == MW_TYPE_DATE) {
        return MW_DAY_S;
    }
    return 1e-10 * fmax(on->ask.high - on->ask.low, fmax(fabs(on->ask.low), fabs(on->ask.high)));
}

/* Narrows the place between two neighbours down at which the condition changes. */
static mw_status narrow(search *on, mw_find_point *before, mw_find_point *after)
{
    const bool first = holds(on, before);
    mw_status status = MW_OK;
    for (int pass = 0; status == MW_OK && pass < PASSES; pass++) {
        const double width = after->value - before->value;
        if (on->whole || !isnan(on->ask.step) || !(width > finest(on))) {
            break;
        }
        mw_find_point points[SOLVE_TILE];
        for (uint32_t i = 0; i < SOLVE_TILE; i++) {
            points[i].value = before->value + width * (i + 1) / (SOLVE_TILE + 1);
        }
        status = solve_points(&on->trial, points, SOLVE_TILE);
        uint32_t i = 0;
        while (status == MW_OK && i < SOLVE_TILE && holds(on, &points[i]) == first) {
            *before = points[i++];
        }
        if (status == MW_OK && i < SOLVE_TILE) {
            *after = points[i];
        }
    }
    return status;
}

static void add_stretch(search *on, const mw_find_stretch *item)
{
    if (on->found_count < STRETCHES_MOST) {
        on->found[on->found_count++] = *item;
    }
}

/* Whether both sides are as good as equal: by a millionth of the larger, or of what the left side does over the range. */
static bool is_met(const search *on, const mw_find_point *at)
{
    double largest = fmax(fabs(at->left), fabs(at->right));
    for (uint32_t i = 0; i < on->count; i++) {
        if (isfinite(on->points[i].left)) {
            largest = fmax(largest, fabs(on->points[i].left - at->right));
        }
    }
    return fabs(gap(on, at)) <= 1e-6 * largest;
}

/* Where the left side meets the right one: at a point, between two, or in a jump. */
static mw_status find_crossings(search *on)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < on->count; i++) {
        mw_find_point at = on->points[i];
        if (gap(on, &at) == 0.0) {
            add_stretch(on, &(mw_find_stretch){.from = at, .until = at});
            continue;
        }
        bool next = i + 1 < on->count && gap(on, &on->points[i + 1]) != 0.0;
        if (!next || isnan(gap(on, &at)) || isnan(gap(on, &on->points[i + 1])) ||
            holds(on, &at) == holds(on, &on->points[i + 1])) {
            continue;
        }
        mw_find_point after = on->points[i + 1];
        status = narrow(on, &at, &after);
        if (is_met(on, &at) && is_met(on, &after)) {
            at = fabs(gap(on, &at)) < fabs(gap(on, &after)) ? at : after;
            after = at;
        }
        add_stretch(on, &(mw_find_stretch){.from = at, .until = after});
    }
    return status;
}

/* The stretches on which it holds. */
static mw_status find_stretches(search *on)
{
    mw_status status = MW_OK;
    mw_find_stretch now = {.from_edge = true};
    bool inside = false;
    for (uint32_t i = 0; status == MW_OK && i < on->count; i++) {
        mw_find_point at = on->points[i];
        const bool here = holds(on, &at);
        if (here == inside) {
            continue;
        }
        mw_find_point before = i > 0 ? on->points[i - 1] : at;
        if (i > 0) {
            status = narrow(on, &before, &at);
        }
        if (here) {
            now = (mw_find_stretch){.from = at, .from_edge = i == 0};
        } else {
            now.until = before;
            add_stretch(on, &now);
        }
        inside = here;
    }
    if (status == MW_OK && inside) {
        now.until = on->points[on->count - 1];
        now.until_edge = true;
        add_stretch(on, &now);
    }
    return status;
}

/* Where it is missed by least. */
static void find_nearest(search *on)
{
    on->reply->nearest.value = (double)NAN;
    double least = (double)INFINITY;
    for (uint32_t i = 0; i < on->count; i++) {
        if (fabs(gap(on, &on->points[i])) < least) {
            least = fabs(gap(on, &on->points[i]));
            on->reply->nearest = on->points[i];
        }
    }
}

/* The values to try: whole numbers, steps, or a grid. */
static mw_status lay_grid(search *on)
{
    const solve_question *ask = &on->ask;
    double first = on->whole ? ceil(ask->low - 1e-9) : ask->low;
    double step = on->whole && isnan(ask->step) ? 1.0 : ask->step;
    if (on->whole) {
        step = fmax(1.0, round(step));
    }
    double steps = isnan(step) ? GRID - 1 : floor((ask->high - first) / step + 1e-9);
    if (steps > 4096.0) {
        mw_diags_error(on->diags, MW_CODE_TOO_LONG, ask->range, "at most 4096 values are tried");
        return MW_FAILED;
    }
    on->count = steps >= 0.0 ? (uint32_t)steps + 1 : 0;
    on->points = mw_arena_get(on->job->scratch, ((size_t)on->count + 1) * sizeof *on->points);
    on->found = mw_arena_get(on->job->scratch, STRETCHES_MOST * sizeof *on->found);
    if (!on->points || !on->found) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < on->count; i++) {
        on->points[i].value =
            isnan(step) ? first + (ask->high - first) * i / (GRID - 1) : first + step * i;
    }
    mw_status status = MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < on->count; i += SOLVE_TILE) {
        uint32_t left = on->count - i;
        if (!job_goes_on(on->job, 0.5 * i / on->count)) {
            return MW_FAILED;
        }
        status = solve_points(&on->trial, on->points + i, left < SOLVE_TILE ? left : SOLVE_TILE);
    }
    return status;
}

static mw_status answer(search *on)
{
    mw_find_reply *reply = on->reply;
    mw_status status = look_at_input(on);
    reply->left = mw_sources_piece(on->job->sources, on->ask.left);
    reply->right = mw_sources_piece(on->job->sources, on->ask.right);
    reply->condition = mw_sources_piece(on->job->sources, on->ask.sign_at);
    if (status == MW_OK) {
        status = make_trial(on);
    }
    if (status == MW_OK && !isnan(reply->now.value)) {
        status = solve_points(&on->trial, &reply->now, 1);
    }
    if (status == MW_OK) {
        status = lay_grid(on);
    }
    if (status == MW_OK) {
        status = on->ask.sign == SOLVE_EQUAL ? find_crossings(on) : find_stretches(on);
    }
    if (status == MW_OK) {
        find_nearest(on);
    }
    reply->low = on->ask.low;
    reply->high = on->ask.high;
    reply->whole = on->whole;
    reply->tried = on->trial.tried;
    reply->stretches = on->found;
    reply->stretch_count = on->found_count;
    return status;
}

mw_status mw_job_find(mw_job *job, mw_span rest, mw_find_reply *reply, mw_diags *diags)
{
    search on = {.job = job, .source = MW_NONE, .reply = reply, .diags = diags};
    *reply = (mw_find_reply){0};
    job->stopped = false;
    mw_status status = solve_read(job, rest, &on.ask, diags);
    mw_arena_mark mark = mw_arena_here(job->arena);
    if (status == MW_OK) {
        status = answer(&on);
    }
    mw_lanes_free(on.trial.lanes);
    build_free(on.trial.in);
    mw_arena_rewind(job->arena, mark);
    if (status == MW_OK && on.source != MW_NONE) {
        mw_sources_drop_last(job->sources, on.source);
    }
    if (job->stopped && status != MW_NO_MEMORY) {
        mw_diags_clear(diags);
        mw_diags_error(diags, MW_CODE_STOPPED, job_nowhere(), "stopped, nothing changed");
        status = MW_FAILED;
    }
    return status;
}
