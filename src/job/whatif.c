/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What if: alternatives side by side. Numbers run as lanes through the sheet; what changes the sheet's shape (a choice of
 * material, a formula on `usual`) is built beside it, one alternative after the other. */
#include "parts.h"

#include <math.h>
#include <string.h>

#include "mouldwright/memory.h"

#define COLUMNS_MAX 64
#define ROWS_MAX    64

/* One quantity that is varied. */
typedef struct setting {
    entry target; /* path and parts */
    const mw_item *item;
    uint32_t *cells; /* that it reaches */
    uint32_t cell_count, cell_capacity;
    const slot *to;                   /* first slot reached, or NULL for a line or a global */
    const global *shop;               /* the global, or NULL */
    uint32_t mould;                   /* the only mould reached; MW_NONE: several or none */
    uint32_t shown_mould, shown_slot; /* what stands for all: the first that the setting moves */
    bool many;
    bool shadowed; /* something that it reaches has a narrower override */
    bool moves;    /* something that it reaches has none */
    mw_type type;
    mw_unit unit;
    bool anew;       /* cannot run as lanes */
    uint32_t stride; /* columns for which an alternative stays */
    double *values;  /* by alternative */
    bool lost;
} setting;

typedef struct comparing {
    mw_job *job;
    setting *settings;
    uint32_t setting_count;
    uint32_t columns;
    bool anew;
    mw_what_if_row *rows;
    double **data; /* the values of each row, being filled */
    uint32_t *row_cells;
    mw_str *looks; /* the name by which another build finds it */
    uint32_t row_count;
    mw_diags *diags;
} comparing;

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

static mw_status start_setting(comparing *with, const mw_item *item, setting *of)
{
    mw_job *job = with->job;
    const mw_node *path = &job->ast.nodes[item->path];
    mw_span at = {job->ast.source, path->begin, path->end};
    *of = (setting){.item = item, .type = MW_NONE};
    if (path->count > ENTRY_PARTS_MAX) {
        mw_diags_error(with->diags, MW_CODE_UNKNOWN_NAME, at, "this name has too many parts");
        return MW_FAILED;
    }
    mw_text name = {0};
    for (uint32_t i = 0; i < path->count; i++) {
        of->target.parts[i] = job->ast.parts[path->a + i];
        mw_text_adds(&name, i ? "." : "");
        mw_text_add_str(&name, of->target.parts[i]);
    }
    of->target.kind = ENTRY_SET;
    of->target.part_count = path->count;
    of->target.name = job_copy(job->scratch, (mw_str){mw_text_chars(&name), name.length});
    char *key = mw_arena_print(job->scratch, "set %s", mw_text_chars(&name));
    of->target.key = mw_str_of(key);
    of->target.name_at = at;
    of->target.span = at;
    bool lost = name.failed || !of->target.name.at;
    mw_text_free(&name);
    of->values = mw_arena_get(job->scratch, (item->value_count + 1) * sizeof *of->values);
    return key && of->values && !lost ? reach_cells(with, of) : MW_NO_MEMORY;
}

/* Whether the tree below a node reads `usual`: nodes of a value lie between its span's ends. */
static bool reads_usual(const mw_ast *ast, mw_span within)
{
    for (uint32_t i = 0; i < ast->node_count; i++) {
        const mw_node *node = &ast->nodes[i];
        if (node->kind == MW_NODE_USUAL && node->begin >= within.begin && node->end <= within.end) {
            return true;
        }
    }
    return false;
}

static mw_span value_span(const comparing *with, const setting *of, uint32_t alternative)
{
    const mw_ast *ast = &with->job->ast;
    const mw_node *node = &ast->nodes[ast->links[of->item->first_value + alternative]];
    bool quoted = node->kind == MW_NODE_TEXT; /* its span is the text between the quotes */
    return (mw_span){ast->source, node->begin - quoted, node->end + quoted};
}

static mw_status check_value(comparing *with, const setting *of, uint32_t alternative,
                             const mw_meaning *meaning)
{
    mw_measure *measure = with->job->measure;
    mw_span at = value_span(with, of, alternative);
    if (meaning->shape == MW_SHAPE_LIST) {
        mw_diags_error(with->diags, MW_CODE_IS_A_LIST, at, "one value is expected here");
        return MW_FAILED;
    }
    if (mw_type_fits(measure, meaning->type, of->type) != MW_TYPE_FINE) {
        mw_text found = {0};
        mw_text wanted = {0};
        mw_type_words(measure, meaning->type, &found);
        mw_type_words(measure, of->type, &wanted);
        mw_diags_error(with->diags, MW_CODE_WRONG_KIND, at, "`%.*s` is %s; this is %s",
                       (int)of->target.name.length, of->target.name.at, mw_text_chars(&wanted),
                       mw_text_chars(&found));
        mw_text_free(&found);
        mw_text_free(&wanted);
        return MW_FAILED;
    }
    return MW_OK;
}

static mw_status read_values(comparing *with, setting *of)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; i < of->item->value_count && status == MW_OK; i++) {
        mw_span at = value_span(with, of, i);
        if (of->anew || reads_usual(&with->job->ast, at)) {
            of->anew = true;
            continue;
        }
        double results[3] = {(double)NAN, (double)NAN, (double)NAN};
        mw_answer answer = {.values = results, .room = 3};
        status = mw_sheet_try(with->job->build->sheet, at, &with->job->build->scope, &answer,
                              with->diags);
        of->values[i] = answer.meaning.shape == MW_SHAPE_RANGE ? results[1] : results[0];
        if (status == MW_OK) {
            status = check_value(with, of, i, &answer.meaning);
            /* a build refuses in words what the recipe does not allow */
            of->anew = of->anew || (of->to && limits_beyond(of->to, of->values[i])) ||
                       (of->shop && limits_global_beyond(of->shop, of->values[i]));
        }
    }
    with->anew = with->anew || of->anew;
    return status;
}

/* How many columns there are: settings joined by `with` go in step, those by `by` make every combination. */
static mw_status count_columns(comparing *with)
{
    uint32_t columns = 1;
    for (uint32_t i = 0; i < with->setting_count; i++) {
        setting *of = &with->settings[i];
        uint32_t count = of->item->value_count;
        if (i > 0 && !of->item->grid) {
            const setting *before = &with->settings[i - 1];
            if (count != before->item->value_count) {
                mw_diags_error(with->diags, MW_CODE_LIST_LENGTHS, of->item->value,
                               "in step, both need the same number of values: %u and %u",
                               (unsigned)before->item->value_count, (unsigned)count);
                return MW_FAILED;
            }
            of->stride = before->stride;
            continue;
        }
        of->stride = columns;
        columns *= count ? count : 1;
        if (columns > COLUMNS_MAX) {
            mw_diags_error(with->diags, MW_CODE_TOO_LONG, of->item->value,
                           "at most %d alternatives at a time", COLUMNS_MAX);
            return MW_FAILED;
        }
    }
    with->columns = columns;
    return MW_OK;
}

static uint32_t alternative_of(const setting *of, uint32_t column)
{
    return column / of->stride % of->item->value_count;
}

/* ---- rows ---- */

static bool add_row(comparing *with, mw_str name, uint32_t cell, mw_type type, mw_unit unit)
{
    if (cell == MW_NONE || with->row_count == ROWS_MAX) {
        return true;
    }
    double *values = mw_arena_get(with->job->scratch, with->columns * sizeof *values);
    mw_str copy = job_copy(with->job->scratch, name);
    if (!values || !copy.at) {
        return false;
    }
    with->row_cells[with->row_count] = cell;
    with->looks[with->row_count] = copy;
    with->data[with->row_count] = values;
    with->rows[with->row_count++] =
        (mw_what_if_row){.name = copy,
                         .type = type,
                         .unit = unit,
                         .now = mw_sheet_value(with->job->build->sheet, cell),
                         .values = values};
    return true;
}

/* The row of what is varied. A setting for several is shown by one of them. */
static bool add_setting_row(comparing *with, const setting *of)
{
    if (with->row_count == ROWS_MAX) {
        return true;
    }
    const mould *in = of->to ? &with->job->build->moulds[of->shown_mould] : NULL;
    uint32_t cell = in ? in->cells[of->shown_slot] : of->cells[0];
    if (!add_row(with, of->target.name, cell, of->type, of->unit)) {
        return false;
    }
    uint32_t row = with->row_count - 1;
    with->rows[row].input = true;
    if (!in) {
        return true;
    }
    mw_text look = {0};
    mw_text_add_str(&look, in->name);
    mw_text_addc(&look, '.');
    slot_words(in->kit, of->shown_slot, &look);
    with->looks[row] = job_copy(with->job->scratch, (mw_str){mw_text_chars(&look), look.length});
    bool known = !look.failed && with->looks[row].at;
    mw_text_free(&look);
    return known;
}

/* The figures shown for a mould, and for the job. */
static const char *const mould_rows[] = {
    "thickness", "bending_stiffness", "sag",  "mass", "resin", "hours", "cost",
    "price",     "waiting",           "ready"};
static const char *const job_rows[] = {"mass", "resin", "hours", "cost", "price", "ready"};

static mw_status choose_rows(comparing *with)
{
    const build *in = with->job->build;
    with->rows = mw_arena_get(with->job->scratch, ROWS_MAX * sizeof *with->rows);
    with->row_cells = mw_arena_get(with->job->scratch, ROWS_MAX * sizeof *with->row_cells);
    with->looks = mw_arena_get(with->job->scratch, ROWS_MAX * sizeof *with->looks);
    with->data = mw_arena_get(with->job->scratch, ROWS_MAX * sizeof *with->data);
    if (!with->rows || !with->row_cells || !with->looks || !with->data) {
        return MW_NO_MEMORY;
    }
    uint32_t only = MW_NONE;
    bool many = false;
    for (uint32_t i = 0; i < with->setting_count; i++) {
        const setting *of = &with->settings[i];
        if (!add_setting_row(with, of)) {
            return MW_NO_MEMORY;
        }
        many = many || of->many || of->mould == MW_NONE || (only != MW_NONE && only != of->mould);
        only = of->mould;
    }
    for (size_t i = 0; !many && only != MW_NONE && i < sizeof mould_rows / sizeof *mould_rows;
         i++) {
        const mould *of = &in->moulds[only];
        uint32_t at = kit_slot(of->kit, MW_NONE, mw_str_of(mould_rows[i]));
        char *name = mw_arena_print(with->job->scratch, "%.*s.%s", (int)of->name.length,
                                    of->name.at, mould_rows[i]);
        if (!name ||
            (at != MW_NONE && !add_row(with, mw_str_of(name), of->cells[at],
                                       of->kit->slots[at].type, of->kit->slots[at].unit))) {
            return MW_NO_MEMORY;
        }
    }
    for (size_t i = many || only == MW_NONE ? 0 : 2; i < sizeof job_rows / sizeof *job_rows; i++) {
        char *name = mw_arena_print(with->job->scratch, "job.%s", job_rows[i]);
        uint32_t at = name ? global_find(in, mw_str_of(name)) : MW_NONE;
        if (!name || (at != MW_NONE && !add_row(with, mw_str_of(name), in->globals[at].cell,
                                                in->globals[at].type, in->globals[at].unit))) {
            return MW_NO_MEMORY;
        }
    }
    return MW_OK;
}

/* ---- lanes ---- */

/* An alternative that recipe or shop does not allow has no results, and it is said why; where none is allowed, nothing
 * has. */
static mw_status refuse_lanes(comparing *with, const mw_lanes *lanes)
{
    const setting *of = &with->settings[0];
    uint32_t refused = 0;
    for (uint32_t c = 0; c < with->columns; c++) {
        mw_text why = {0};
        if (limits_lane_beyond(with->job->build, lanes, c, &why)) {
            bool last = ++refused == with->columns;
            mw_span at = value_span(with, of, alternative_of(of, c));
            mw_diag *(*say)(mw_diags *, mw_code, mw_span, const char *, ...) =
                last ? mw_diags_error : mw_diags_warn;
            say(with->diags, MW_CODE_OUT_OF_RANGE, at, "%s", mw_text_chars(&why));
            for (uint32_t row = 0; row < with->row_count; row++) {
                if (!with->rows[row].input) {
                    with->data[row][c] = mw_error_value(MW_CODE_OUT_OF_RANGE);
                }
            }
        }
        bool lost = why.failed;
        mw_text_free(&why);
        if (lost) {
            return MW_NO_MEMORY;
        }
    }
    return refused == with->columns ? MW_FAILED : MW_OK;
}

static mw_status run_lanes(comparing *with, mw_changes *changes)
{
    build *in = with->job->build;
    mw_lanes *lanes = mw_lanes_new(mw_sheet_count(in->sheet), with->columns);
    mw_status status = lanes ? MW_OK : MW_NO_MEMORY;
    for (uint32_t i = 0; status == MW_OK && i < with->setting_count; i++) {
        const setting *of = &with->settings[i];
        for (uint32_t k = 0; status == MW_OK && k < of->cell_count; k++) {
            double *column = mw_lanes_give(lanes, of->cells[k]);
            status = column ? MW_OK : MW_NO_MEMORY;
            for (uint32_t c = 0; column && c < with->columns; c++) {
                column[c] = of->values[alternative_of(of, c)];
            }
        }
    }
    plan_node_quiet(in->plan, true);
    if (status == MW_OK) {
        status = mw_sheet_lanes(in->sheet, lanes, changes);
    }
    plan_node_quiet(in->plan, false);
    for (uint32_t row = 0; status == MW_OK && row < with->row_count; row++) {
        const double *column = mw_lanes_column(lanes, with->row_cells[row]);
        for (uint32_t c = 0; c < with->columns; c++) {
            with->data[row][c] = column ? column[c] : with->rows[row].now;
        }
    }
    status = status == MW_OK ? refuse_lanes(with, lanes) : status;
    mw_lanes_free(lanes);
    return status;
}

/* ---- builds ---- */

/* The value of a name, in another build. */
static double value_in(build *other, mw_str name)
{
    mw_str parts[ENTRY_PARTS_MAX] = {{0}};
    mw_path path = {parts, 0, job_nowhere()};
    size_t from = 0;
    for (size_t i = 0; i <= name.length && path.count < ENTRY_PARTS_MAX; i++) {
        if (i == name.length || name.at[i] == '.') {
            parts[path.count++] = (mw_str){name.at + from, i - from};
            from = i + 1;
        }
    }
    mw_reference found;
    mw_diags quiet;
    double value = (double)NAN;
    if (mw_diags_start(&quiet) == MW_OK &&
        other->scope.find(other->scope.context, &path, &found, &quiet) == MW_OK) {
        value = mw_sheet_value(other->sheet, found.list ? found.slots[0] : found.slot);
    }
    mw_diags_free(&quiet);
    return value;
}

/* A text has another id in every sheet: it is kept as the id of the present one. */
static double carry_text(comparing *with, build *other, double id)
{
    return mw_values_text(mw_sheet_values(with->job->build->sheet),
                          mw_values_text_of(mw_sheet_values(other->sheet), id));
}

static mw_status run_column(comparing *with, uint32_t column, mw_changes *changes)
{
    mw_job *job = with->job;
    entry_list list = {0};
    entry *items = mw_arena_get(job->scratch, with->setting_count * sizeof *items);
    mw_status status = items ? MW_OK : MW_NO_MEMORY;
    for (uint32_t i = 0; status == MW_OK && i < with->setting_count; i++) {
        const setting *of = &with->settings[i];
        items[i] = of->target;
        items[i].formula = value_span(with, of, alternative_of(of, column));
        items[i].uses_usual = reads_usual(&job->ast, items[i].formula);
        status = document_add(&list, &items[i]);
    }
    document other = {0};
    build *made = NULL;
    if (status == MW_OK) {
        status = document_change(job, &job->build->document, &(document_step){.items = &list},
                                 &other, NULL);
    }
    if (status == MW_OK) {
        status = build_make(job, &other, &made, with->diags);
    }
    for (uint32_t row = 0; status == MW_OK && row < with->row_count; row++) {
        double value = value_in(made, with->looks[row]);
        bool text = with->rows[row].type == MW_TYPE_TEXT;
        with->data[row][column] = text ? carry_text(with, made, value) : value;
    }
    if (made) {
        changes->computed += made->changes.computed;
    }
    build_free(made);
    mw_memory_give((void *)list.items);
    return status;
}

static mw_status compare(comparing *with, const mw_statement *statement, mw_reply *reply)
{
    mw_job *job = with->job;
    mw_status status = MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < statement->item_count; i++) {
        status =
            start_setting(with, &job->ast.items[statement->first_item + i], &with->settings[i]);
        with->setting_count = i + 1;
        if (status == MW_OK) {
            status = read_values(with, &with->settings[i]);
        }
    }
    if (status == MW_OK) {
        status = count_columns(with);
    }
    if (status == MW_OK) {
        status = choose_rows(with);
    }
    if (status == MW_OK && !with->anew) {
        status = run_lanes(with, &reply->changes);
    }
    for (uint32_t c = 0; with->anew && status == MW_OK && c < with->columns; c++) {
        bool on = job_goes_on(job, (double)c / with->columns);
        status = on ? run_column(with, c, &reply->changes) : MW_FAILED;
    }
    return status;
}

mw_status what_if(mw_job *job, const mw_statement *statement, mw_reply *reply, mw_diags *diags)
{
    comparing with = {.job = job, .diags = diags};
    with.settings = mw_arena_get(job->scratch, (statement->item_count + 1) * sizeof *with.settings);
    mw_status status = with.settings ? compare(&with, statement, reply) : MW_NO_MEMORY;
    for (uint32_t i = 0; i < with.setting_count; i++) {
        mw_memory_give(with.settings[i].cells);
    }
    reply->kind = MW_REPLY_WHAT_IF;
    reply->rows = with.rows;
    reply->row_count = with.row_count;
    reply->column_count = with.columns;
    return status;
}
