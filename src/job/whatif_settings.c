/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is varied: the quantities that a path reaches, and the values to try. */
#include "whatif.h"

#include <math.h>
#include <string.h>

#include "mouldwright/date.h"
#include "mouldwright/memory.h"
#include "mouldwright/number.h"

typedef struct reaching {
    const build *in;
    setting *of;
} reaching;

static void add_cell(setting *of, uint32_t cell)
{
    void *cells = of->cells;
    if (!mw_memory_grow32(&cells, &of->cell_capacity, of->cell_count + 1, sizeof *of->cells)) {
        of->lost = true;
        return;
    }
    of->cells = cells;
    of->cells[of->cell_count++] = cell;
}

static void take_cell(void *context, uint32_t m, uint32_t at)
{
    const reaching *on = context;
    setting *of = on->of;
    /* a narrower override stays in force: that is for a build to find out, lane by lane it would be lost */
    const layer *own = on->in->moulds[m].layers[at];
    bool stays = own && own->rank < layers_rank(&of->target);
    of->shadowed = of->shadowed || stays;
    if (!of->to || (!stays && !of->moves)) {
        of->shown_mould = m;
        of->shown_slot = at;
    }
    of->moves = of->moves || !stays;
    add_cell(of, on->in->moulds[m].cells[at]);
    of->many = of->many || (of->mould != MW_NONE && of->mould != m);
    of->mould = m;
    if (!of->to) {
        of->to = &on->in->moulds[m].kit->slots[at];
    }
}

/* Finds what a setting varies. */
static mw_status reach_cells(comparing *with, setting *of)
{
    build *in = with->job->build;
    const entry *target = &of->target;
    reaching on = {in, of};
    of->mould = MW_NONE;
    uint32_t at = target->part_count > 1 ? global_find(in, target->name) : MW_NONE;
    uint32_t line = target->part_count == 1 ? mw_sheet_find(in->sheet, target->name) : MW_NONE;
    if (line != MW_NONE) {
        add_cell(of, line);
        of->type = mw_sheet_type(in->sheet, line);
        of->unit = mw_sheet_unit(in->sheet, line);
    } else if (at != MW_NONE && in->globals[at].settable) {
        add_cell(of, in->globals[at].cell);
        of->shop = &in->globals[at];
        of->type = in->globals[at].type;
        of->unit = in->globals[at].unit;
    } else {
        layers_reach(in, target, take_cell, &on);
        if (of->to) {
            of->type = of->to->type;
            of->unit = of->to->unit;
        }
    }
    if (of->lost) {
        return MW_NO_MEMORY;
    }
    if (of->cell_count == 0) {
        mw_status status = layers_attach(in, target, with->diags); /* says what is wrong */
        if (status == MW_OK) {
            mw_diags_error(with->diags, MW_CODE_UNKNOWN_NAME, target->name_at,
                           "there is no `%.*s` to vary", (int)target->name.length, target->name.at);
        }
        return MW_FAILED;
    }
    of->anew = of->type == MW_TYPE_TEXT || of->shadowed;
    return MW_OK;
}

bool entry_split(entry *target, mw_str path)
{
    size_t from = 0;
    for (size_t i = 0; i <= path.length; i++) {
        if (i == path.length || path.at[i] == '.') {
            if (target->part_count == ENTRY_PARTS_MAX) {
                return false;
            }
            target->parts[target->part_count++] = (mw_str){path.at + from, i - from};
            from = i + 1;
        }
    }
    return true;
}

mw_status setting_start(comparing *with, mw_str path, mw_span at, setting *of)
{
    mw_job *job = with->job;
    *of = (setting){.type = MW_NONE, .stride = 1, .made = MW_NONE};
    mw_str name = job_copy(job->scratch, path);
    char *key = mw_arena_print(job->scratch, "set %.*s", (int)path.length, path.at);
    if (!name.at || !key) {
        return MW_NO_MEMORY;
    }
    of->target.kind = ENTRY_SET;
    of->target.name = name;
    of->target.key = mw_str_of(key);
    of->target.name_at = at;
    of->target.span = at;
    if (!entry_split(&of->target, name)) {
        mw_diags_error(with->diags, MW_CODE_UNKNOWN_NAME, at, "this name has too many parts");
        return MW_FAILED;
    }
    return reach_cells(with, of);
}

/* Whether the tree below a node reads `usual`: nodes of a value lie between its span's ends. */
static bool reads_usual(const mw_ast *ast, mw_span within)
{
    for (uint32_t i = 0; within.source == ast->source && i < ast->node_count; i++) {
        const mw_node *node = &ast->nodes[i];
        if (node->kind == MW_NODE_USUAL && node->begin >= within.begin && node->end <= within.end) {
            return true;
        }
    }
    return false;
}

/* The span of a value as it is written in the statement that is read. */
static mw_span written_span(const comparing *with, const mw_item *item, uint32_t at)
{
    const mw_ast *ast = &with->job->ast;
    const mw_node *node = &ast->nodes[ast->links[item->first_value + at]];
    bool quoted = node->kind == MW_NODE_TEXT; /* its span is the text between the quotes */
    return (mw_span){ast->source, node->begin - quoted, node->end + quoted};
}

static mw_status refuse_kind(comparing *with, const setting *of, mw_span at, mw_type type)
{
    mw_measure *measure = with->job->measure;
    mw_text found = {0};
    mw_text wanted = {0};
    mw_type_words(measure, type, &found);
    mw_type_words(measure, of->type, &wanted);
    mw_diags_error(with->diags, MW_CODE_WRONG_KIND, at, "`%.*s` is %s; this is %s",
                   (int)of->target.name.length, of->target.name.at, mw_text_chars(&wanted),
                   mw_text_chars(&found));
    mw_text_free(&found);
    mw_text_free(&wanted);
    return MW_FAILED;
}

static mw_status check_value(comparing *with, const setting *of, mw_span at,
                             const mw_meaning *meaning)
{
    if (meaning->shape == MW_SHAPE_LIST) {
        mw_diags_error(with->diags, MW_CODE_IS_A_LIST, at, "one value is expected here");
        return MW_FAILED;
    }
    bool fits = mw_type_fits(with->job->measure, meaning->type, of->type) == MW_TYPE_FINE;
    return fits ? MW_OK : refuse_kind(with, of, at, meaning->type);
}

/* ---- steps through a range ---- */

/* The ends of the range and the step through it, in SI. */
typedef struct stair {
    double low, high, step;
    mw_unit unit; /* in which the range is written */
    uint32_t count;
} stair;

static mw_status read_stair(comparing *with, const setting *of, const mw_item *item, stair *out)
{
    build *in = with->job->build;
    mw_measure *measure = with->job->measure;
    double ends[3] = {0};
    double steps[3] = {0};
    mw_answer range = {.values = ends, .room = 3};
    mw_answer step = {.values = steps, .room = 3};
    mw_span range_at = written_span(with, item, 0);
    mw_span step_at = written_span(with, item, 1);
    mw_status status = mw_sheet_try(in->sheet, range_at, &in->scope, &range, with->diags);
    if (status == MW_OK) {
        status = check_value(with, of, range_at, &range.meaning);
    }
    if (status == MW_OK) {
        status = mw_sheet_try(in->sheet, step_at, &in->scope, &step, with->diags);
    }
    if (status != MW_OK) {
        return status;
    }
    mw_type sum = of->type;
    bool fits = step.meaning.shape == MW_SHAPE_ONE &&
                mw_type_add(measure, of->type, step.meaning.type, &sum) == MW_TYPE_FINE;
    if (!fits) {
        return refuse_kind(with, of, step_at, step.meaning.type);
    }
    double most = with->columns_most;
    if (!(steps[0] > 0.0) || !(ends[2] >= ends[0]) || !((ends[2] - ends[0]) / steps[0] < most)) {
        mw_diags_error(with->diags, MW_CODE_OUT_OF_RANGE, step_at,
                       "a step is above 0 and leads upwards, in at most %d values",
                       (int)with->columns_most);
        return MW_FAILED;
    }
    *out = (stair){ends[0], ends[2], steps[0], range.meaning.unit,
                   (uint32_t)floor((ends[2] - ends[0]) / steps[0] + 1e-9) + 1};
    return MW_OK;
}

/* One step as it would be written; twelve digits, so that tenths add up to tenths. */
static void stair_words(const comparing *with, const stair *of, bool date, uint32_t i, mw_text *out)
{
    const mw_measure *measure = with->job->measure;
    if (date) {
        mw_date_words(of->low + i * of->step, out);
        return;
    }
    double shown = mw_unit_from_si(measure, of->unit, of->low) +
                   i * (of->step / mw_unit_scale(measure, of->unit));
    double scale = shown == 0.0 ? 1.0 : pow(10.0, 11.0 - floor(log10(fabs(shown))));
    mw_number_words(isfinite(scale) ? round(shown * scale) / scale : shown, out);
    mw_text_adds(out, of->unit == MW_UNIT_ONE ? "" : " ");
    mw_unit_words(measure, of->unit, out);
}

/* Writes the values that steps lead to as text, as if they had been listed. */
static mw_status make_steps(comparing *with, const mw_item *item, setting *of)
{
    mw_job *job = with->job;
    stair along = {0};
    mw_status status = read_stair(with, of, item, &along);
    if (status != MW_OK) {
        return status;
    }
    of->count = along.count;
    of->spans = mw_arena_get(job->scratch, of->count * sizeof *of->spans);
    mw_text text = {0};
    for (uint32_t i = 0; of->spans && i < of->count; i++) {
        of->spans[i].begin = (uint32_t)text.length;
        stair_words(with, &along, of->type == MW_TYPE_DATE, i, &text);
        of->spans[i].end = (uint32_t)text.length;
        mw_text_addc(&text, '\n');
    }
    bool lost = text.failed || !of->spans;
    of->made = lost ? MW_NONE
                    : mw_sources_add(job->sources, mw_str_of("<steps>"),
                                     (mw_str){mw_text_chars(&text), text.length});
    mw_text_free(&text);
    for (uint32_t i = 0; of->made != MW_NONE && i < of->count; i++) {
        of->spans[i].source = of->made;
    }
    return of->made == MW_NONE ? MW_NO_MEMORY : MW_OK;
}

/* ---- values ---- */

static mw_status list_values(comparing *with, const mw_item *item, setting *of)
{
    of->count = item->value_count;
    of->spans = mw_arena_get(with->job->scratch, ((size_t)of->count + 1) * sizeof *of->spans);
    for (uint32_t i = 0; of->spans && i < of->count; i++) {
        of->spans[i] = written_span(with, item, i);
    }
    return of->spans ? MW_OK : MW_NO_MEMORY;
}

static mw_status read_value(comparing *with, setting *of, uint32_t i)
{
    build *in = with->job->build;
    double results[3] = {(double)NAN, (double)NAN, (double)NAN};
    mw_answer answer = {.values = results, .room = 3};
    mw_status status = mw_sheet_try(in->sheet, of->spans[i], &in->scope, &answer, with->diags);
    of->values[i] = answer.meaning.shape == MW_SHAPE_RANGE ? results[1] : results[0];
    if (status == MW_OK) {
        status = check_value(with, of, of->spans[i], &answer.meaning);
        /* a build refuses in words what the recipe does not allow */
        of->anew = of->anew || (of->to && limits_beyond(of->to, of->values[i])) ||
                   (of->shop && limits_global_beyond(of->shop, of->values[i]));
    }
    return status;
}

mw_status setting_values(comparing *with, const mw_item *item, setting *of)
{
    of->item = item;
    of->grid = item->grid;
    mw_status status = item->stepped ? make_steps(with, item, of) : list_values(with, item, of);
    if (status != MW_OK) {
        return status;
    }
    of->values = mw_arena_get(with->job->scratch, ((size_t)of->count + 1) * sizeof *of->values);
    status = of->values ? MW_OK : MW_NO_MEMORY;
    for (uint32_t i = 0; status == MW_OK && i < of->count; i++) {
        if (of->anew || reads_usual(&with->job->ast, of->spans[i])) {
            of->anew = true;
        } else {
            status = read_value(with, of, i);
        }
    }
    with->anew = with->anew || of->anew;
    return status;
}

/* Settings joined by `with` go in step, those by `by` make every combination. */
mw_status settings_combine(comparing *with)
{
    uint32_t columns = 1;
    for (uint32_t i = 0; i < with->setting_count; i++) {
        setting *of = &with->settings[i];
        if (i > 0 && !of->grid) {
            const setting *before = &with->settings[i - 1];
            if (of->count != before->count) {
                mw_diags_error(with->diags, MW_CODE_LIST_LENGTHS, of->item->value,
                               "in step, both need the same number of values: %u and %u",
                               (unsigned)before->count, (unsigned)of->count);
                return MW_FAILED;
            }
            of->stride = before->stride;
            continue;
        }
        of->stride = columns;
        columns *= of->count ? of->count : 1;
        if (columns > with->columns_most) {
            mw_diags_error(with->diags, MW_CODE_TOO_LONG, of->item->value,
                           "at most %u alternatives at a time", (unsigned)with->columns_most);
            return MW_FAILED;
        }
    }
    with->columns = columns;
    return MW_OK;
}

uint32_t setting_at(const setting *of, uint32_t column)
{
    return column / of->stride % of->count;
}

/* Sources are dropped from the newest on. */
void settings_free(comparing *with)
{
    for (uint32_t i = with->setting_count; i-- > 0;) {
        if (with->settings[i].made != MW_NONE) {
            mw_sources_drop_last(with->job->sources, with->settings[i].made);
        }
        mw_memory_give(with->settings[i].cells);
    }
}
