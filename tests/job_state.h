/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What must stay as it was when a statement is refused: values, lines, moulds, what can be undone. */
#ifndef TESTS_JOB_STATE_H
#define TESTS_JOB_STATE_H

#include "job_bench.h"

#include "job/model.h"

typedef struct job_state {
    mw_headline shown;
    double plies, rim, spare;
    uint32_t lines, moulds, entries;
    size_t undo_at, undo_count, asks;
    bool has_shop;
} job_state;

static inline double state_value(const mw_job *job, uint32_t step, const char *quantity)
{
    return mw_job_mould_count(job) > 0 ? mw_job_value(job, 0, step, quantity) : 0.0;
}

static inline job_state state_of(const mw_job *job)
{
    job_state state;
    memset(&state, 0, sizeof state); /* compared as bytes */
    state.shown = mw_job_headline(job);
    state.plies = state_value(job, 1, "plies");
    state.rim = state_value(job, MW_NONE, "rim");
    state.lines = mw_job_line_count(job);
    if (state.lines > 1) {
        state.spare = mw_sheet_value(job->build->sheet, mw_job_line_cell(job, 1));
    }
    state.moulds = mw_job_mould_count(job);
    state.entries = job->build->document.count;
    state.undo_at = job->undo_at;
    state.undo_count = job->undo_count;
    state.asks = job->ask_count;
    state.has_shop = mw_job_shop(job) != NULL;
    return state;
}

static inline void assert_state(const mw_job *job, const job_state *want)
{
    job_state now = state_of(job);
    assert_memory_equal(&now, want, sizeof now);
    assert_int_equal(job->open_count, 0);
}

#endif
