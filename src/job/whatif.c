/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What if: alternatives side by side. Numbers run as lanes through the sheet; what changes the sheet's shape (a choice of
 * material, a formula on `usual`) is built beside it, one alternative after the other. */
#include "whatif.h"

#include <math.h>

#include "mouldwright/memory.h"

enum { TILE = 64 }; /* columns that run at a time */

/* ---- lanes ---- */

/* An alternative that recipe or shop does not allow has no results, and it is said why; where none is allowed, nothing
 * has. Returns how many were refused through `refused`. */
static mw_status refuse_lanes(comparing *with, const mw_lanes *lanes, uint32_t from,
                              uint32_t *refused)
{
    const setting *of = &with->settings[0];
    uint32_t width = mw_lanes_width(lanes);
    for (uint32_t lane = 0; lane < width && from + lane < with->columns; lane++) {
        mw_text why = {0};
        uint32_t c = from + lane;
        if (limits_lane_beyond(with->job->build, lanes, lane, &why)) {
            bool last = ++*refused == with->columns;
            mw_span at = of->spans[setting_at(of, c)];
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
    return MW_OK;
}

/* Puts the values of columns into lanes; the last column fills what is left of the tile. */
static mw_status fill_lanes(const comparing *with, mw_lanes *lanes, uint32_t from)
{
    uint32_t width = mw_lanes_width(lanes);
    for (uint32_t i = 0; i < with->setting_count; i++) {
        const setting *of = &with->settings[i];
        for (uint32_t k = 0; k < of->cell_count; k++) {
            double *column = mw_lanes_give(lanes, of->cells[k]);
            if (!column) {
                return MW_NO_MEMORY;
            }
            for (uint32_t lane = 0; lane < width; lane++) {
                uint32_t c = from + lane < with->columns ? from + lane : with->columns - 1;
                column[lane] = of->values[setting_at(of, c)];
            }
        }
    }
    return MW_OK;
}

static mw_status run_tile(comparing *with, mw_lanes *lanes, uint32_t from, mw_changes *changes)
{
    mw_changes made = {0};
    mw_status status = fill_lanes(with, lanes, from);
    if (status == MW_OK) {
        status = mw_sheet_lanes(with->job->build->sheet, lanes, &made);
    }
    changes->computed += made.computed;
    for (uint32_t row = 0; status == MW_OK && row < with->row_count; row++) {
        const double *column = mw_lanes_column(lanes, with->row_cells[row]);
        for (uint32_t lane = 0; lane < mw_lanes_width(lanes) && from + lane < with->columns;
             lane++) {
            with->data[row][from + lane] = column ? column[lane] : with->rows[row].now;
        }
    }
    return status;
}

static mw_status run_lanes(comparing *with, mw_changes *changes)
{
    build *in = with->job->build;
    uint32_t width = with->columns < TILE ? with->columns : TILE;
    mw_lanes *lanes = mw_lanes_new(mw_sheet_count(in->sheet), width);
    mw_status status = lanes ? MW_OK : MW_NO_MEMORY;
    uint32_t refused = 0;
    plan_node_quiet(in->plan, true);
    for (uint32_t from = 0; status == MW_OK && from < with->columns; from += width) {
        mw_lanes_clear(lanes);
        bool on = from == 0 || job_goes_on(with->job, (double)from / with->columns);
        status = on ? run_tile(with, lanes, from, changes) : MW_FAILED;
        status = status == MW_OK ? refuse_lanes(with, lanes, from, &refused) : status;
    }
    plan_node_quiet(in->plan, false);
    mw_lanes_free(lanes);
    return status == MW_OK && refused == with->columns ? MW_FAILED : status;
}

/* ---- builds ---- */

/* A text has another id in every sheet: it is kept as the id of the present one. */
static double carry_text(comparing *with, build *other, double id)
{
    return mw_values_text(mw_sheet_values(with->job->build->sheet),
                          mw_values_text_of(mw_sheet_values(other->sheet), id));
}

static bool in_name(char c)
{
    return c == '_' || (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
           (unsigned char)c >= 0x80;
}

/* Whether a formula reads `usual`, which is a word of the language and no name. */
static bool says_usual(const comparing *with, mw_span at)
{
    static const char word[] = "usual";
    const size_t length = sizeof word - 1;
    mw_str text = mw_sources_piece(with->job->sources, at);
    for (size_t i = 0; i + length <= text.length; i++) {
        bool whole = (i == 0 || !in_name(text.at[i - 1])) &&
                     (i + length == text.length || !in_name(text.at[i + length]));
        if (whole && mw_str_is((mw_str){text.at + i, length}, word)) {
            return true;
        }
    }
    return false;
}

static mw_status column_entries(comparing *with, uint32_t column, entry_list *list)
{
    entry *items =
        mw_arena_get(with->job->scratch, ((size_t)with->setting_count + 1) * sizeof *items);
    mw_status status = items ? MW_OK : MW_NO_MEMORY;
    for (uint32_t i = 0; status == MW_OK && i < with->setting_count; i++) {
        const setting *of = &with->settings[i];
        mw_span value = of->spans[setting_at(of, column)];
        if (value.source == MW_NONE) {
            continue;
        }
        items[i] = of->target;
        items[i].formula = value;
        items[i].uses_usual = says_usual(with, value);
        status = document_add(list, &items[i]);
    }
    return status;
}

mw_status column_build(comparing *with, uint32_t column, build **out)
{
    mw_job *job = with->job;
    entry_list list = {0};
    document other = {0};
    mw_status status = column_entries(with, column, &list);
    if (status == MW_OK) {
        status = document_change(job, &job->build->document, &(document_step){.items = &list},
                                 &other, NULL);
    }
    if (status == MW_OK) {
        status = build_make(job, &other, out, with->diags);
    }
    mw_memory_give((void *)list.items);
    return status;
}

static mw_status run_column(comparing *with, uint32_t column, mw_changes *changes)
{
    build *made = NULL;
    mw_status status = column_build(with, column, &made);
    for (uint32_t row = 0; status == MW_OK && row < with->row_count; row++) {
        double value = rows_value_in(made, with->looks[row]);
        bool text = with->rows[row].type == MW_TYPE_TEXT;
        with->data[row][column] = text ? carry_text(with, made, value) : value;
    }
    if (made) {
        changes->computed += made->changes.computed;
    }
    build_free(made);
    return status;
}

mw_status columns_run(comparing *with, mw_changes *changes)
{
    if (!with->anew) {
        return run_lanes(with, changes);
    }
    mw_status status = MW_OK;
    for (uint32_t c = 0; status == MW_OK && c < with->columns; c++) {
        bool on = job_goes_on(with->job, (double)c / with->columns);
        status = on ? run_column(with, c, changes) : MW_FAILED;
    }
    return status;
}

/* ---- the statement ---- */

static mw_status read_item(comparing *with, const mw_item *item)
{
    if (item->shown) {
        with->shown[with->shown_count++] = item;
        return MW_OK;
    }
    setting *of = &with->settings[with->setting_count++];
    mw_status status =
        setting_start(with, mw_sources_piece(with->job->sources, item->name), item->name, of);
    return status == MW_OK ? setting_values(with, item, of) : status;
}

mw_status what_if_read(comparing *with, const mw_statement *statement)
{
    mw_job *job = with->job;
    size_t items = (size_t)statement->item_count + 1;
    with->settings = mw_arena_get(job->scratch, items * sizeof *with->settings);
    with->shown = mw_arena_get(job->scratch, items * sizeof *with->shown);
    mw_status status = with->settings && with->shown ? MW_OK : MW_NO_MEMORY;
    for (uint32_t i = 0; status == MW_OK && i < statement->item_count; i++) {
        status = read_item(with, &job->ast.items[statement->first_item + i]);
    }
    if (status == MW_OK) {
        status = settings_combine(with);
    }
    return status == MW_OK ? rows_choose(with) : status;
}

void what_if_reply(const comparing *with, mw_reply *reply)
{
    reply->kind = MW_REPLY_WHAT_IF;
    reply->rows = with->rows;
    reply->row_count = with->row_count;
    reply->column_count = with->columns;
    reply->tried = with->columns;
}

mw_status what_if(mw_job *job, const mw_statement *statement, mw_reply *reply, mw_diags *diags)
{
    comparing with = {.job = job, .diags = diags, .columns_most = WHAT_IF_MOST};
    mw_status status = what_if_read(&with, statement);
    if (status == MW_OK) {
        status = columns_run(&with, &reply->changes);
    }
    if (status == MW_OK && !job->stopped) {
        status = offers_set(&with, NULL, with.columns);
    }
    settings_free(&with);
    what_if_reply(&with, reply);
    return status;
}
