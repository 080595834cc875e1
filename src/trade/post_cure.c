/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A post-cure that follows the glass transition up. */
#include "kinetics.h"

static mw_trade_status check_wanted(const mw_post_cure *wanted)
{
    const double climb_k = wanted->final_k - wanted->start_k;
    double now_k = 0;
    mw_trade_status status = mw_trade_glass_transition(wanted->glass, wanted->degree, &now_k);
    if (status != MW_TRADE_OK) {
        return status;
    }
    if (!isfinite(climb_k) || climb_k < 0 || !is_above_zero(wanted->step_k) ||
        !is_above_zero(wanted->ramp_k_s) || !isfinite(wanted->margin_k) ||
        !is_zero_or_more(wanted->least_hold_s) || !is_zero_or_more(wanted->last_hold_s)) {
        return MW_TRADE_NO_SENSE;
    }
    const bool fine = wanted->step_k >= 1 && wanted->step_k <= 50 && fabs(wanted->margin_k) <= 50 &&
                      climb_k <= wanted->step_k * (MW_POST_CURE_STAGES_MOST - 1) &&
                      wanted->start_k <= now_k + wanted->margin_k;
    return fine ? MW_TRADE_OK : MW_TRADE_OUT_OF_RANGE;
}

/* Runs one stage of the plan on the degree. */
static mw_trade_status run_stage(mw_cure_solver *solver, const mw_post_cure *wanted,
                                 const mw_cure_programme *stage, double *degree)
{
    return mw_trade_cure_degree(solver, wanted->kinetics, stage, *degree, degree);
}

/* How long to hold at a temperature before the next may be climbed to: whole minutes. */
static mw_trade_status hold_before(mw_cure_solver *solver, const mw_post_cure *wanted,
                                   double degree, const double now_next_k[2], double *hold_s)
{
    const double most_s = 30 * 86400.0;
    const double needed_k = now_next_k[1] - wanted->margin_k;
    double span[] = {degree, 0};
    *hold_s = 0;
    if (needed_k <= wanted->glass->uncured_k) {
        return MW_TRADE_OK;
    }
    mw_trade_status status = mw_trade_glass_degree(wanted->glass, needed_k, &span[1]);
    if (status == MW_TRADE_OK && span[1] > degree) {
        status = mw_trade_cure_time_to(solver, wanted->kinetics, now_next_k[0], span, hold_s);
    }
    if (status == MW_TRADE_OK) {
        *hold_s = ceil(*hold_s / 60) * 60;
    }
    return status == MW_TRADE_OK && *hold_s > most_s ? MW_TRADE_OUT_OF_RANGE : status;
}

mw_trade_status mw_trade_post_cure(mw_cure_solver *solver, const mw_post_cure *wanted,
                                   mw_post_cure_plan *out)
{
    mw_trade_status status = check_wanted(wanted);
    mw_post_cure_plan plan = {.degree = wanted->degree};
    double now_k = wanted->start_k;
    for (bool last = false; status == MW_TRADE_OK && !last; plan.count++) {
        const size_t i = plan.count;
        const double target_k = fmin(wanted->start_k + (double)i * wanted->step_k, wanted->final_k);
        const double climb_k[] = {target_k, fmin(target_k + wanted->step_k, wanted->final_k)};
        const double nothing_s = 0;
        /* sums of steps may end a rounding below the final temperature */
        last = target_k >= wanted->final_k - 1e-9;
        plan.target_k[i] = last ? wanted->final_k : target_k;
        plan.ramp_k_s[i] = wanted->ramp_k_s;
        mw_cure_programme stage = {now_k, &plan.target_k[i], &plan.ramp_k_s[i], &nothing_s, 1};
        plan.duration_s += (target_k - now_k) / wanted->ramp_k_s;
        status = run_stage(solver, wanted, &stage, &plan.degree);
        plan.hold_s[i] = wanted->last_hold_s;
        if (status == MW_TRADE_OK && !last) {
            status = hold_before(solver, wanted, plan.degree, climb_k, &plan.hold_s[i]);
            plan.hold_s[i] = fmax(plan.hold_s[i], i > 0 ? wanted->least_hold_s : 0);
        }
        stage.start_k = target_k;
        stage.hold_s = &plan.hold_s[i];
        if (status == MW_TRADE_OK) {
            status = run_stage(solver, wanted, &stage, &plan.degree);
        }
        plan.duration_s += plan.hold_s[i];
        now_k = target_k;
    }
    if (status == MW_TRADE_OK) {
        status = mw_trade_glass_transition(wanted->glass, plan.degree, &plan.glass_k);
    }
    if (status == MW_TRADE_OK) {
        *out = plan;
    }
    return status;
}
