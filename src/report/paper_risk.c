/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure, in documents: a run of `risk` whose promise the quotation gives, and whose curves the costing shows. */
#include "paper.h"
#include "risk.h"

#include <math.h>
#include <string.h>

/* ---- what is kept of a run ---- */

/* The run's answer lives until the next statement; the document asks for more than one. */
static void keep_row(writer *to, mw_risk_row *row)
{
    double *sorted = mw_arena_get(to->paper->arena, sizeof *sorted * (row->count + 1));
    char *name = mw_arena_copy(to->paper->arena, row->name.at, row->name.length);
    if (!sorted || !name) {
        to->paper->lost = true;
        row->count = 0;
        return;
    }
    if (row->count > 0) {
        memcpy(sorted, row->sorted, sizeof *sorted * row->count);
    }
    row->sorted = sorted;
    row->name.at = name;
}

mw_status paper_risk_run(writer *to, mw_span at)
{
    mw_risk_reply reply;
    const mw_status status = mw_job_risk(to->in->job, at, &reply, to->in->diags);
    if (status != MW_OK) {
        return status;
    }
    mw_risk_row *rows = mw_arena_get(to->paper->arena, sizeof *rows * (reply.row_count + 1));
    if (!rows) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < reply.row_count; i++) {
        rows[i] = reply.rows[i];
        keep_row(to, &rows[i]);
    }
    to->sure = (how_sure){.asked = true,
                          .confidence = reply.confidence,
                          .promise_s = reply.promise_s,
                          .samples = reply.samples,
                          .seed = reply.seed,
                          .inputs = reply.input_count,
                          .rows = rows,
                          .row_count = reply.row_count};
    return MW_OK;
}

/* ---- the section ---- */

static void add_value(writer *to, const mw_risk_row *row, double value)
{
    mw_text words = {0};
    risk_value_words(to->in->job, row, value, &words);
    paper_text(to, report_take(to->in, &words));
}

static void add_table(writer *to)
{
    mw_paper_table(to->paper, (mw_str){"", 0});
    mw_paper_column_add(to->paper, mw_str_of("at most, in this share of the samples"), false);
    for (uint32_t r = 0; r < to->sure.row_count; r++) {
        mw_text head = {0};
        risk_name_words(to->in->job, &to->sure.rows[r], &head);
        mw_paper_column_add(to->paper, report_take(to->in, &head), true);
    }
    for (int q = -1; q < MW_RISK_SHOWN; q++) {
        paper_text(to, q < 0 ? mw_str_of("as it stands")
                             : report_text(to->in, "%.0f %%", 100.0 * mw_risk_shown[q]));
        for (uint32_t r = 0; r < to->sure.row_count; r++) {
            const mw_risk_row *row = &to->sure.rows[r];
            add_value(to, row, q < 0 ? row->now : row->quantiles[q].value);
        }
    }
}

void paper_risk_section(writer *to)
{
    mw_paper_heading(to->paper, 1, mw_str_of("How sure"));
    add_table(to);
    mw_paper_add(
        to->paper, MW_PAPER_SMALL,
        report_text(to->in,
                    "%u samples of %u uncertain inputs, seed %llu. The confidence that was "
                    "asked for is %g %%.",
                    (unsigned)to->sure.samples, (unsigned)to->sure.inputs,
                    (unsigned long long)to->sure.seed, 100.0 * to->sure.confidence));
    for (uint32_t r = 0; r < to->sure.row_count; r++) {
        const mw_risk_row *row = &to->sure.rows[r];
        if (!to->paper->lost && row->count > 1 && row->high > row->low) {
            risk_odds(to->in->job, to->paper, row);
            to->paper->items[to->paper->item_count - 1].text.length = 0; /* the picture says it */
        }
    }
}
