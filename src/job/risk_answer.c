/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures of a run: quantiles, odds, the date to promise, which mould was last. */
#include <math.h>
#include <stdlib.h>

#include "mouldwright/memory.h"
#include "risk.h"

const double mw_risk_shown[MW_RISK_SHOWN] = {0.1, 0.5, 0.8, 0.9};

double risk_row_value(const risk_watch *watch, uint32_t row, const double *cells, size_t stride)
{
    double value = cells[watch->row_cells[row] * stride];
    if (mw_error_code(value) != MW_CODE_COUNT) {
        return (double)NAN;
    }
    return row == watch->margin_row
               ? watch->rows[row].now + watch->rows[watch->cost_row].now - value
               : value;
}

/* The odds of at most so much among all samples: those without a value are beyond every limit. */
static mw_risk_figure odds_of(const risk_session *on, const mw_risk_sample *sample, double at_most)
{
    mw_risk_figure odds = {0.0, (double)NAN};
    if (mw_risk_sample_count(sample) > 0) {
        double there = (double)mw_risk_sample_count(sample) / on->work.done;
        odds = mw_risk_sample_odds(sample, at_most);
        odds.value *= there;
        odds.error *= there;
    }
    return odds;
}

/* What is asked of the date and of the cost. */
static void answer_odds(risk_session *on, uint32_t at, const mw_risk_sample *sample)
{
    mw_risk_reply *reply = on->reply;
    if (at == on->watch.ready_row) {
        /* in that share of all samples it is ready by then; there may be none */
        double share = on->ask.confidence * on->work.done / (double)mw_risk_sample_count(sample);
        if (share <= 1.0) {
            double date_s = mw_risk_sample_quantile(sample, share).value;
            reply->promise_s = floor(date_s / MW_DAY_S) * MW_DAY_S;
        }
        if (!isnan(on->ask.by_s)) { /* by the end of that day */
            reply->by_s = on->ask.by_s;
            reply->by_odds = odds_of(on, sample, on->ask.by_s + MW_DAY_S);
        }
    }
    if (at == on->watch.cost_row && !isnan(on->ask.within)) {
        reply->within = on->ask.within;
        reply->within_odds = odds_of(on, sample, on->ask.within);
        reply->within_name = on->watch.rows[at].name;
    }
}

/* The figures of a row, and its odds where they are asked for. */
static mw_status answer_row(risk_session *on, uint32_t at)
{
    mw_risk_row *row = &on->watch.rows[at];
    const uint32_t count = on->work.done;
    double *values = mw_memory_get((count + 1) * sizeof *values);
    for (uint32_t s = 0; values && s < count; s++) {
        values[s] = risk_row_value(&on->watch, at, on->work.results + s, on->work.samples);
    }
    mw_risk_sample *sample = values ? mw_risk_sample_new(values, count) : NULL;
    double *sorted = mw_arena_get(on->job->scratch, (count + 1) * sizeof *sorted);
    mw_status status = sample && sorted ? MW_OK : MW_NO_MEMORY;
    if (status == MW_OK) {
        const mw_risk_moments moments = mw_risk_sample_moments(sample);
        row->count = (uint32_t)mw_risk_sample_count(sample);
        row->lost = count - row->count;
        row->mean = mw_risk_sample_mean(sample);
        row->deviation = moments.deviation;
        row->low = moments.low;
        row->high = moments.high;
        for (uint32_t i = 0; i < row->count; i++) {
            sorted[i] = mw_risk_sample_sorted(sample)[i];
        }
        row->sorted = sorted;
        for (uint32_t q = 0; q < MW_RISK_SHOWN; q++) {
            row->quantiles[q] = mw_risk_sample_quantile(sample, mw_risk_shown[q]);
        }
        answer_odds(on, at, sample);
    }
    mw_risk_sample_free(sample);
    mw_memory_give(values);
    return status;
}

static int more_often(const void *a, const void *b)
{
    const mw_risk_setter *x = a;
    const mw_risk_setter *y = b;
    if (x->share != y->share) {
        return x->share < y->share ? 1 : -1;
    }
    return (x->mould > y->mould) - (x->mould < y->mould);
}

/* Counts which mould is ready last. */
static mw_status answer_setters(risk_session *on)
{
    const uint32_t moulds = on->job->build->mould_count;
    const uint32_t count = on->work.done;
    mw_risk_setter *setters = mw_arena_get(on->job->scratch, (moulds + 1) * sizeof *setters);
    if (!setters) {
        return MW_NO_MEMORY;
    }
    for (uint32_t m = 0; m < moulds; m++) {
        setters[m] = (mw_risk_setter){m, 0.0};
    }
    for (uint32_t s = 0; s < count; s++) {
        uint32_t last = MW_NONE;
        double last_s = -(double)INFINITY;
        for (uint32_t m = 0; m < moulds; m++) {
            double ready_s = risk_work_results(&on->work, 0, on->watch.first_ready + m)[s];
            if (ready_s > last_s) {
                last_s = ready_s;
                last = m;
            }
        }
        if (last != MW_NONE) {
            setters[last].share += 1.0 / count;
        }
    }
    qsort(setters, moulds, sizeof *setters, more_often);
    uint32_t shown = 0;
    while (shown < moulds && setters[shown].share > 0.0) {
        shown++;
    }
    on->reply->setters = setters;
    on->reply->setter_count = shown;
    return MW_OK;
}

static int more_on_chain(const void *a, const void *b)
{
    const mw_risk_chain *x = a;
    const mw_risk_chain *y = b;
    if (x->share != y->share) {
        return x->share < y->share ? 1 : -1;
    }
    if (x->mould != y->mould) {
        return x->mould < y->mould ? -1 : 1;
    }
    return (x->step > y->step) - (x->step < y->step);
}

/* Counts how often each step set the date. */
static mw_status answer_chain(risk_session *on)
{
    const risk_watch *watch = &on->watch;
    const plan_node *plan = on->work.benches[0].in->plan;
    const uint32_t count = on->work.done;
    mw_risk_chain *chain =
        mw_arena_get(on->job->scratch, ((size_t)watch->sets_count + 1) * sizeof *chain);
    if (!chain) {
        return MW_NO_MEMORY;
    }
    uint32_t shown = 0;
    for (uint32_t i = 0; i < watch->sets_count; i++) {
        const double *sets = risk_work_results(&on->work, 0, watch->first_sets + i);
        uint32_t often = 0;
        for (uint32_t s = 0; s < count; s++) {
            often += sets[s] == 1.0;
        }
        plan_node_place(plan, i, &chain[shown].mould, &chain[shown].step);
        chain[shown].share = (double)often / count;
        shown += often > 0;
    }
    if (shown > 0) {
        qsort(chain, shown, sizeof *chain, more_on_chain);
    }
    on->reply->chain = chain;
    on->reply->chain_count = shown;
    return MW_OK;
}

mw_status risk_answer_rows(risk_session *on)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < on->watch.row_count; i++) {
        status = answer_row(on, i);
    }
    if (status == MW_OK && on->watch.ready_row != MW_NONE) {
        status = answer_setters(on);
    }
    if (status == MW_OK && on->watch.sets_count > 0) {
        status = answer_chain(on);
    }
    return status;
}
