/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is shown of alternatives: what is varied, and figures of the moulds and the job. */
#include "whatif.h"

#include <math.h>

#include "mouldwright/memory.h"

static bool add_row(comparing *with, mw_str name, uint32_t cell, mw_type type, mw_unit unit)
{
    if (cell == MW_NONE || with->row_count == ROWS_MOST) {
        return true;
    }
    double *values = mw_arena_get(with->job->scratch, ((size_t)with->columns + 1) * sizeof *values);
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
    if (with->row_count == ROWS_MOST) {
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
    "thickness", "bending_stiffness", "sag",   "mass", "resin", "cloth",
    "pots",      "sessions",          "hours", "cost", "price", "waiting",
    "ready"};
static const char *const job_rows[] = {"mass",  "resin", "cloth", "pots",  "sessions",
                                       "hours", "cost",  "price", "weeks", "ready"};
enum { JOB_ROWS_BESIDE = 5 }; /* of the job, those beside a mould's begin here */

/* A row that is asked for by its name. */
static mw_status add_shown(comparing *with, const mw_item *item)
{
    mw_job *job = with->job;
    build *in = job->build;
    const mw_node *node = &job->ast.nodes[item->path];
    mw_path path = {job->ast.parts + node->a, node->count, item->name};
    mw_reference found;
    mw_status status = in->scope.find(in->scope.context, &path, &found, with->diags);
    mw_str name = mw_sources_piece(job->sources, item->name);
    if (status == MW_NOT_FOUND) {
        mw_diag *diag = mw_diags_error(with->diags, MW_CODE_UNKNOWN_NAME, item->name,
                                       "there is no `%.*s` in this job", (int)name.length, name.at);
        mw_text better = {0};
        if (in->scope.suggest(in->scope.context, &path, &better)) {
            mw_diag_try(with->diags, diag, "%s", mw_text_chars(&better));
        }
        mw_text_free(&better);
        return MW_FAILED;
    }
    if (status == MW_OK && (found.list || found.constant)) {
        mw_diag *diag = mw_diags_error(with->diags, MW_CODE_IS_A_LIST, item->name,
                                       "one value is expected here");
        mw_diag_try(with->diags, diag, "a line of its own: total = sum(%.*s)", (int)name.length,
                    name.at);
        return MW_FAILED;
    }
    if (status == MW_OK) {
        mw_unit unit = mw_sheet_unit(in->sheet, found.slot);
        mw_type type = mw_sheet_type(in->sheet, found.slot);
        uint32_t before = with->row_count;
        status = add_row(with, name, found.slot, type, unit) ? MW_OK : MW_NO_MEMORY;
        if (status == MW_OK && with->row_count > before) {
            with->rows[before].goal = true;
            with->rows[before].most = item->most;
        }
    }
    return status;
}

static mw_status add_mould_rows(comparing *with, uint32_t m)
{
    const mould *of = &with->job->build->moulds[m];
    for (size_t i = 0; i < sizeof mould_rows / sizeof *mould_rows; i++) {
        uint32_t at = kit_slot(of->kit, MW_NONE, mw_str_of(mould_rows[i]));
        char *name = mw_arena_print(with->job->scratch, "%.*s.%s", (int)of->name.length,
                                    of->name.at, mould_rows[i]);
        if (!name ||
            (at != MW_NONE && !add_row(with, mw_str_of(name), of->cells[at],
                                       of->kit->slots[at].type, of->kit->slots[at].unit))) {
            return MW_NO_MEMORY;
        }
    }
    return MW_OK;
}

static mw_status add_job_rows(comparing *with, size_t from)
{
    const build *in = with->job->build;
    for (size_t i = from; i < sizeof job_rows / sizeof *job_rows; i++) {
        char *name = mw_arena_print(with->job->scratch, "job.%s", job_rows[i]);
        uint32_t at = name ? global_find(in, mw_str_of(name)) : MW_NONE;
        if (!name || (at != MW_NONE && !add_row(with, mw_str_of(name), in->globals[at].cell,
                                                in->globals[at].type, in->globals[at].unit))) {
            return MW_NO_MEMORY;
        }
    }
    return MW_OK;
}

static mw_status start_rows(comparing *with)
{
    with->rows = mw_arena_get(with->job->scratch, ROWS_MOST * sizeof *with->rows);
    with->row_cells = mw_arena_get(with->job->scratch, ROWS_MOST * sizeof *with->row_cells);
    with->looks = mw_arena_get(with->job->scratch, ROWS_MOST * sizeof *with->looks);
    with->data = mw_arena_get(with->job->scratch, ROWS_MOST * sizeof *with->data);
    return with->rows && with->row_cells && with->looks && with->data ? MW_OK : MW_NO_MEMORY;
}

mw_status rows_choose(comparing *with)
{
    uint32_t only = MW_NONE;
    bool many = false;
    mw_status status = start_rows(with);
    for (uint32_t i = 0; status == MW_OK && i < with->setting_count; i++) {
        const setting *of = &with->settings[i];
        status = add_setting_row(with, of) ? MW_OK : MW_NO_MEMORY;
        many = many || of->many || of->mould == MW_NONE || (only != MW_NONE && only != of->mould);
        only = of->mould;
    }
    for (uint32_t i = 0; status == MW_OK && i < with->shown_count; i++) {
        status = add_shown(with, with->shown[i]);
    }
    if (status != MW_OK || with->shown_count > 0) {
        return status;
    }
    bool one = !many && only != MW_NONE;
    status = one ? add_mould_rows(with, only) : MW_OK;
    return status == MW_OK ? add_job_rows(with, one ? JOB_ROWS_BESIDE : 0) : status;
}

double rows_value_in(build *other, mw_str name)
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
