/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tails by one pass against the order of the network. */
#include "tails.h"

static double span_of(const plan_early *early)
{
    double span_s = early->end_s - early->start_s;
    return isfinite(span_s) ? span_s : 0.0;
}

/* What the start of the first end of a lag has behind it, for the sake of this lag. */
static double tail_through(const plan_earliest *e, const mw_plan_lag *lag, double tail_s)
{
    const plan_early *from = &e->early[lag->from];
    double at_s = lag->from_end ? from->end_s : from->start_s;
    plan_clock *clock = &e->state->clocks[lag->calendar];
    double gap_s = isfinite(at_s) ? plan_advance(clock, at_s, lag->amount_s) - at_s : 0.0;
    if (!isfinite(gap_s)) {
        return 0.0;
    }
    double through_s = gap_s + tail_s;
    through_s += lag->from_end ? span_of(from) : 0.0;
    through_s -= lag->to_end ? span_of(&e->early[lag->to]) : 0.0;
    return through_s;
}

void plan_tails(const plan_earliest *e, double *tails_s)
{
    const plan_network *network = e->state->network;
    const mw_plan_problem *problem = network->problem;
    for (uint32_t i = problem->activity_count; i-- > 0;) {
        uint32_t a = network->order[i];
        tails_s[a] = fmax(tails_s[a], span_of(&e->early[a]));
        for (uint32_t k = network->into.first[a]; k < network->into.first[a + 1]; k++) {
            const mw_plan_lag *lag = &problem->lags[network->into.items[k]];
            double through_s = tail_through(e, lag, tails_s[a]);
            tails_s[lag->from] = fmax(tails_s[lag->from], through_s);
        }
    }
}
