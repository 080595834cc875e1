/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The statement `risk`: from its words to its answer. */
#include "risk.h"

#include <math.h>
#include <string.h>
#include <unistd.h>

#include "mouldwright/memory.h"

enum {
    TILE = MW_RISK_TILE,
    LINES_MOST = 8,
    THREADS_MOST = 16,
    SAMPLES_USUAL = 4096,
    DRIVES_SAMPLES = 1024
};

/* ---- what is watched ---- */

static uint32_t cell_of_name(risk_session *on, build *in, mw_span at)
{
    mw_str name = mw_sources_piece(on->job->sources, at);
    mw_str parts[ENTRY_PARTS_MAX] = {{0}};
    mw_path path = {parts, 0, at};
    size_t from = 0;
    for (size_t i = 0; i <= name.length && path.count < ENTRY_PARTS_MAX; i++) {
        if (i == name.length || name.at[i] == '.') {
            parts[path.count++] = (mw_str){name.at + from, i - from};
            from = i + 1;
        }
    }
    mw_reference found;
    mw_status status = in->scope.find(in->scope.context, &path, &found, on->diags);
    if (status == MW_NOT_FOUND) {
        mw_diags_error(on->diags, MW_CODE_UNKNOWN_NAME, at, "there is no `%.*s` in this job",
                       (int)name.length, name.at);
    }
    if (status == MW_OK && (found.list || found.constant)) {
        mw_diags_error(on->diags, MW_CODE_IS_A_LIST, at, "one value is expected here");
        status = MW_FAILED;
    }
    return status == MW_OK ? found.slot : MW_NONE;
}

static void add_row(risk_session *on, mw_str name, uint32_t cell)
{
    const mw_sheet *sheet = on->work.benches[0].in->sheet;
    risk_watch *watch = &on->watch;
    uint32_t at = watch->row_count++;
    watch->row_cells[at] = watch->cell_count;
    watch->cells[watch->cell_count++] = cell;
    watch->rows[at] = (mw_risk_row){.name = name,
                                    .type = mw_sheet_type(sheet, cell),
                                    .unit = mw_sheet_unit(sheet, cell),
                                    .now = mw_sheet_value(sheet, cell)};
}

/* The headline, the margin that is left of the price, and what is named. */
static mw_status add_rows(risk_session *on)
{
    static const char *const headline[] = {"job.cost", "job.hours", "job.ready"};
    build *in = on->work.benches[0].in;
    risk_watch *watch = &on->watch;
    for (size_t i = 0; i < sizeof headline / sizeof *headline; i++) {
        uint32_t at = global_find(in, mw_str_of(headline[i]));
        if (at != MW_NONE) {
            watch->cost_row = i == 0 ? watch->row_count : watch->cost_row;
            watch->ready_row = i == 2 ? watch->row_count : watch->ready_row;
            add_row(on, mw_str_of(headline[i]), in->globals[at].cell);
        }
    }
    uint32_t price = global_find(in, mw_str_of("job.price"));
    if (price != MW_NONE && watch->cost_row != MW_NONE) {
        watch->margin_row = watch->row_count;
        add_row(on, mw_str_of("margin"), in->globals[global_find(in, mw_str_of("job.cost"))].cell);
        watch->rows[watch->margin_row].now =
            mw_sheet_value(in->sheet, in->globals[price].cell) - watch->rows[watch->cost_row].now;
    }
    for (uint32_t i = 0; i < on->ask.named_count; i++) {
        uint32_t cell = cell_of_name(on, in, on->ask.named[i]);
        if (cell == MW_NONE) {
            return MW_FAILED;
        }
        add_row(on, mw_sources_piece(on->job->sources, on->ask.named[i]), cell);
    }
    return MW_OK;
}

/* Where there are no moulds and nothing is named: the job's own lines. */
static void add_lines(risk_session *on)
{
    const build *in = on->work.benches[0].in;
    const document *own = &on->job->build->document;
    for (uint32_t i = 0; i < own->count && on->watch.row_count < LINES_MOST; i++) {
        const entry *item = own->items[i];
        bool line = item->kind == ENTRY_SET && item->part_count == 1;
        uint32_t cell = line ? mw_sheet_find(in->sheet, item->name) : MW_NONE;
        uint32_t count = 0;
        mw_shape shape = MW_SHAPE_LIST;
        if (cell != MW_NONE) {
            mw_sheet_elements(in->sheet, cell, &count, &shape);
        }
        if (shape != MW_SHAPE_LIST && mw_sheet_type(in->sheet, cell) != MW_TYPE_TEXT) {
            add_row(on, item->name, cell);
        }
    }
}

/* When each mould is ready. */
static void add_ready(risk_session *on)
{
    const build *in = on->work.benches[0].in;
    risk_watch *watch = &on->watch;
    watch->first_ready = watch->cell_count;
    for (uint32_t m = 0; m < in->mould_count; m++) {
        uint32_t at = kit_slot(in->moulds[m].kit, MW_NONE, mw_str_of("ready"));
        watch->cells[watch->cell_count++] = at == MW_NONE ? in->no_cell : in->moulds[m].cells[at];
    }
}

/* Which steps set the date, where it is asked what drives it. */
static void add_sets(risk_session *on)
{
    const build *in = on->work.benches[0].in;
    risk_watch *watch = &on->watch;
    watch->first_sets = watch->cell_count;
    watch->sets_count = on->ask.drives ? plan_node_step_count(in->plan) : 0;
    for (uint32_t s = 0; s < watch->sets_count; s++) {
        watch->cells[watch->cell_count++] = plan_node_sets(in->plan, s);
    }
}

static mw_status choose_cells(risk_session *on)
{
    risk_watch *watch = &on->watch;
    size_t rows = LINES_MOST + (size_t)on->ask.named_count;
    size_t cells = rows + on->work.benches[0].in->mould_count +
                   plan_node_step_count(on->work.benches[0].in->plan);
    watch->cost_row = watch->ready_row = watch->margin_row = MW_NONE;
    watch->rows = mw_arena_get(on->job->scratch, rows * sizeof *watch->rows);
    watch->row_cells = mw_arena_get(on->job->scratch, rows * sizeof *watch->row_cells);
    watch->cells = mw_arena_get(on->job->scratch, cells * sizeof *watch->cells);
    mw_status status = watch->rows && watch->row_cells && watch->cells ? MW_OK : MW_NO_MEMORY;
    if (status == MW_OK) {
        status = add_rows(on);
    }
    if (status == MW_OK && watch->row_count == 0) {
        add_lines(on);
    }
    if (status == MW_OK) {
        add_ready(on);
        add_sets(on);
    }
    for (uint32_t i = 0; status == MW_OK && i < on->work.threads; i++) {
        plan_node_spare(on->work.benches[i].in->plan, watch->cells, watch->cell_count);
    }
    return status;
}

/* ---- what goes together ---- */

static mw_status find_input(const risk_session *on, mw_span at, uint32_t *input)
{
    mw_str name = mw_sources_piece(on->job->sources, at);
    for (uint32_t i = 0; i < on->model.input_count; i++) {
        mw_str own = on->model.inputs[i].name;
        bool first = own.length > name.length && own.at[name.length] == ':';
        if (own.length >= name.length && memcmp(own.at, name.at, name.length) == 0 &&
            (own.length == name.length || first)) {
            *input = i;
            return MW_OK;
        }
    }
    mw_diag *diag = mw_diags_error(on->diags, MW_CODE_NOT_UNCERTAIN, at,
                                   "`%.*s` is no uncertain line or quantity of this job",
                                   (int)name.length, name.at);
    mw_str known = on->model.inputs[0].name;
    mw_diag_try(on->diags, diag, "risk drives, which lists them, as `%.*s`", (int)known.length,
                known.at);
    return MW_FAILED;
}

static mw_status make_bonds(risk_session *on)
{
    mw_risk_bond list[RISK_BONDS_MOST];
    mw_status status = MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < on->ask.tie_count; i++) {
        const risk_tie *tie = &on->ask.ties[i];
        list[i].correlation = tie->correlation;
        status = find_input(on, tie->a, &list[i].a);
        if (status == MW_OK) {
            status = find_input(on, tie->b, &list[i].b);
        }
        if (status == MW_OK && list[i].a == list[i].b) {
            mw_diags_error(on->diags, MW_CODE_NAME_TWICE, tie->b, "this is the same input");
            status = MW_FAILED;
        }
    }
    if (status != MW_OK || on->ask.tie_count == 0) {
        return status;
    }
    status = mw_risk_bonds_new(on->model.input_count, list, on->ask.tie_count, &on->bonds);
    if (status == MW_FAILED) {
        mw_diag *diag =
            mw_diags_error(on->diags, MW_CODE_OUT_OF_RANGE, on->ask.ties[on->ask.tie_count - 1].b,
                           "these ties contradict each other");
        mw_diag_try(on->diags, diag, "weaker correlations, as 0.5");
    }
    return status;
}

/* ---- the run ---- */

static mw_status make_benches(risk_session *on)
{
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    uint32_t wanted = on->ask.threads ? on->ask.threads : processors > 0 ? (uint32_t)processors : 1;
    uint32_t tiles = on->ask.samples / TILE;
    wanted = wanted > THREADS_MOST ? THREADS_MOST : wanted;
    wanted = wanted > tiles ? tiles : wanted;
    on->work.benches = mw_arena_get(on->job->scratch, wanted * sizeof *on->work.benches);
    mw_status status = on->work.benches ? MW_OK : MW_NO_MEMORY;
    on->work.threads = on->ask.sample ? 1 : wanted;
    for (uint32_t i = 0; status == MW_OK && i < on->work.threads; i++) {
        status = risk_bench_make(&on->model, &on->work.benches[i], on->diags);
    }
    return status;
}

/* The figures with every input at its mean: one lane is looked at. */
static mw_status find_means(risk_session *on)
{
    risk_model *model = &on->model;
    double *values = mw_memory_get((model->target_count + 1) * sizeof *values);
    double *out = mw_memory_get((size_t)on->watch.cell_count * TILE * sizeof *out);
    mw_status status = values && out ? MW_OK : MW_NO_MEMORY;
    for (uint32_t t = 0; status == MW_OK && t < model->target_count; t++) {
        const risk_target *of = &model->targets[t];
        values[t] = of->whole ? mw_sheet_value(on->work.benches[0].in->sheet, of->cell)
                              : risk_typed(model, of, mw_risk_mean(&of->shape));
    }
    if (status == MW_OK) {
        status = risk_fix(model, values, on->work.benches[0].lanes);
    }
    if (status == MW_OK) {
        status = risk_compute(&on->work.plan, &on->work.benches[0], out);
    }
    for (uint32_t r = 0; status == MW_OK && r < on->watch.row_count; r++) {
        on->watch.rows[r].means = risk_row_value(&on->watch, r, out, TILE);
    }
    mw_memory_give(values);
    mw_memory_give(out);
    return status;
}

static mw_status prepare(risk_session *on)
{
    mw_status status = risk_find(&on->model);
    if (status == MW_OK) {
        status = make_benches(on);
    }
    if (status == MW_OK) {
        status = risk_reach(&on->model, on->work.benches[0].in);
    }
    if (status == MW_OK) {
        status = make_bonds(on);
    }
    if (status == MW_OK) {
        status = choose_cells(on);
    }
    if (status == MW_OK) {
        on->sampler = mw_risk_sampler_new(2 * on->model.input_count, on->ask.seed);
        status = on->sampler ? MW_OK : MW_NO_MEMORY;
    }
    on->work.plan =
        (risk_plan){&on->model, on->sampler, on->bonds, on->watch.cells, on->watch.cell_count};
    on->work.samples = on->ask.samples;
    /* the indices are meant for inputs that are independent */
    on->work.designs = on->ask.drives && !on->bonds ? on->model.input_count + 2 : 1;
    return status;
}

static mw_status check_asked(const risk_session *on)
{
    if (!isnan(on->ask.within) && on->watch.cost_row != MW_NONE &&
        mw_type_fits(on->job->measure, on->ask.within_type,
                     on->watch.rows[on->watch.cost_row].type) != MW_TYPE_FINE) {
        mw_diag *diag = mw_diags_error(on->diags, MW_CODE_WRONG_KIND, on->ask.within_at,
                                       "an amount of money is expected behind `within`");
        mw_diag_try(on->diags, diag, "risk within 80000 EUR");
        return MW_FAILED;
    }
    return MW_OK;
}

static mw_status sample_all(risk_session *on)
{
    mw_status status = find_means(on);
    if (status == MW_OK) {
        status = risk_work_run(&on->work);
    }
    if (status == MW_OK && on->work.done == 0) {
        mw_diags_error(on->diags, MW_CODE_STOPPED, job_nowhere(),
                       "stopped before the first samples");
        return MW_FAILED;
    }
    on->reply->samples = on->work.done;
    if (status == MW_OK) {
        status = risk_answer_rows(on);
    }
    return status == MW_OK ? risk_answer_drives(on) : status;
}

static mw_status answer(risk_session *on)
{
    mw_status status = prepare(on);
    if (status == MW_OK) {
        status = check_asked(on);
    }
    if (status != MW_OK) {
        return status;
    }
    status = on->ask.sample ? risk_answer_sample(on) : sample_all(on);
    on->reply->rows = on->watch.rows;
    on->reply->row_count = on->watch.row_count;
    on->reply->ready_row = on->watch.ready_row;
    return status;
}

static void finish(risk_session *on, mw_status status)
{
    for (uint32_t i = 0; on->work.benches && i < on->work.threads; i++) {
        risk_bench_free(&on->work.benches[i]);
    }
    if (status != MW_OK) {
        on->model.source = MW_NONE; /* messages may point into it */
    }
    mw_memory_give(on->work.results);
    mw_risk_sampler_free(on->sampler);
    mw_risk_bonds_free(on->bonds);
    risk_model_free(&on->model);
}

mw_status mw_job_risk(mw_job *job, mw_span rest, mw_risk_reply *reply, mw_diags *diags)
{
    risk_session on = {.job = job, .reply = reply, .diags = diags};
    on.model = (risk_model){.job = job, .source = MW_NONE, .diags = diags};
    mw_status status = risk_read(job, rest, &on.ask, diags);
    if (status != MW_OK) {
        return status;
    }
    if (on.ask.samples == 0) {
        on.ask.samples = on.ask.drives ? DRIVES_SAMPLES : SAMPLES_USUAL;
    }
    *reply = (mw_risk_reply){.seed = on.ask.seed,
                             .asked = on.ask.samples,
                             .confidence = on.ask.confidence,
                             .promise_s = (double)NAN,
                             .by_s = (double)NAN,
                             .within = (double)NAN,
                             .sample = on.ask.sample,
                             .drives = on.ask.drives,
                             .chart = on.ask.chart,
                             .chart_file = mw_sources_piece(job->sources, on.ask.chart_file),
                             .ready_row = MW_NONE};
    status = answer(&on);
    finish(&on, status);
    return status;
}
