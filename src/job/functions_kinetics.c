/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of cure as a reaction: from the values of a formula to the methods of the trade and back.
 *
 * The last arguments are always the constants of the law, then the temperatures between which they
 * were measured. */
#include "functions_kinetics.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "bits.h"
#include "functions_answer.h"
#include "parts.h"

/* --- the constants of a law -------------------------------------------------------------------- */

/* How many arguments make up each law, measured temperatures included. */
static const uint32_t law_arguments[MW_CURE_LAW_COUNT] = {
    [MW_CURE_ORDER] = 5,
    [MW_CURE_AUTOCATALYTIC] = 8,
    [MW_CURE_LIMITED] = 9,
    [MW_CURE_TWO_STAGE] = 10,
};

/* Reads pairs of factor and energy. */
static void read_ks(mw_kinetics *law, const double *from, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        law->factor_1s[i] = from[2 * i];
        law->energy_jmol[i] = from[2 * i + 1];
    }
}

/* Reads the law from the end of the arguments; returns how many stand before it. */
static uint32_t read_law(mw_cure_law kind, const double *arguments, uint32_t count,
                         mw_kinetics *law)
{
    assert(count >= law_arguments[kind]);
    const uint32_t before = count - law_arguments[kind];
    const double *from = &arguments[before];
    *law = (mw_kinetics){
        .law = kind, .coldest_k = arguments[count - 2], .hottest_k = arguments[count - 1]};
    switch (kind) {
    case MW_CURE_ORDER:
        read_ks(law, from, 1);
        law->n = from[2];
        break;
    case MW_CURE_AUTOCATALYTIC:
        read_ks(law, from, 2);
        law->m = from[4];
        law->n = from[5];
        break;
    case MW_CURE_LIMITED:
        read_ks(law, from, 1);
        law->m = from[2];
        law->n = from[3];
        law->limit_slope = from[4];
        law->limit_at = from[5];
        law->limit_per_k = from[6];
        break;
    case MW_CURE_TWO_STAGE:
        read_ks(law, from, 3);
        law->base = from[6];
        law->switch_at = from[7];
        break;
    case MW_CURE_LAW_COUNT:
        break;
    }
    return before;
}

static mw_cure_solver *solver_of(void *host)
{
    const host_context *context = host;
    return context ? context->cure : NULL;
}

/* temperature, degree, law */
static double rate_by(mw_cure_law kind, const double *arguments, uint32_t count)
{
    mw_kinetics law;
    double out = 0;
    read_law(kind, arguments, count, &law);
    const mw_trade_status status = mw_trade_cure_rate(&law, arguments[0], arguments[1], &out);
    return trade_answer(status, out);
}

/* Reads targets, ramps and holds, the start standing in front of them. */
static mw_cure_programme read_programme(const double *arguments, uint32_t count)
{
    const size_t parts = (count - 1) / 3;
    return (mw_cure_programme){.start_k = arguments[0],
                               .target_k = &arguments[1],
                               .ramp_k_s = &arguments[1 + parts],
                               .hold_s = &arguments[1 + 2 * parts],
                               .count = parts};
}

/* start, targets, ramps, holds, degree before, law */
static double degree_by(mw_cure_law kind, void *host, const double *arguments, uint32_t count)
{
    mw_cure_solver *solver = solver_of(host);
    mw_kinetics law;
    double out = 0;
    if (!solver) {
        return mw_error_value(MW_CODE_INTERNAL);
    }
    const uint32_t before = read_law(kind, arguments, count, &law);
    const mw_cure_programme programme = read_programme(arguments, before - 1);
    const mw_trade_status status =
        mw_trade_cure_degree(solver, &law, &programme, arguments[before - 1], &out);
    return trade_answer(status, out);
}

/* temperature, from, to, law */
static double time_by(mw_cure_law kind, void *host, const double *arguments, uint32_t count)
{
    mw_cure_solver *solver = solver_of(host);
    mw_kinetics law;
    double out = 0;
    if (!solver) {
        return mw_error_value(MW_CODE_INTERNAL);
    }
    read_law(kind, arguments, count, &law);
    const mw_trade_status status =
        mw_trade_cure_time_to(solver, &law, arguments[0], &arguments[1], &out);
    return trade_answer(status, out);
}

double order_cure_rate(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return rate_by(MW_CURE_ORDER, arguments, count);
}

double order_cure_degree(void *host, const double *arguments, uint32_t count)
{
    return degree_by(MW_CURE_ORDER, host, arguments, count);
}

double order_cure_time(void *host, const double *arguments, uint32_t count)
{
    return time_by(MW_CURE_ORDER, host, arguments, count);
}

double autocatalytic_cure_rate(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return rate_by(MW_CURE_AUTOCATALYTIC, arguments, count);
}

double autocatalytic_cure_degree(void *host, const double *arguments, uint32_t count)
{
    return degree_by(MW_CURE_AUTOCATALYTIC, host, arguments, count);
}

double autocatalytic_cure_time(void *host, const double *arguments, uint32_t count)
{
    return time_by(MW_CURE_AUTOCATALYTIC, host, arguments, count);
}

double limited_cure_rate(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return rate_by(MW_CURE_LIMITED, arguments, count);
}

double limited_cure_degree(void *host, const double *arguments, uint32_t count)
{
    return degree_by(MW_CURE_LIMITED, host, arguments, count);
}

double limited_cure_time(void *host, const double *arguments, uint32_t count)
{
    return time_by(MW_CURE_LIMITED, host, arguments, count);
}

double two_stage_cure_rate(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return rate_by(MW_CURE_TWO_STAGE, arguments, count);
}

double two_stage_cure_degree(void *host, const double *arguments, uint32_t count)
{
    return degree_by(MW_CURE_TWO_STAGE, host, arguments, count);
}

double two_stage_cure_time(void *host, const double *arguments, uint32_t count)
{
    return time_by(MW_CURE_TWO_STAGE, host, arguments, count);
}

double programme_time(void *host, const double *arguments, uint32_t count)
{
    const mw_cure_programme programme = read_programme(arguments, count);
    double out = 0;
    (void)host;
    const mw_trade_status status = mw_trade_programme_time(&programme, &out);
    return trade_answer(status, out);
}

/* --- post-cure --------------------------------------------------------------------------------- */

/* start, degree, final, step, ramp, margin, least hold, last hold, Tg0, Tg1, lambda, law */
static mw_trade_status work_out(mw_cure_solver *solver, const double *arguments, uint32_t count,
                                mw_post_cure_plan *plan)
{
    mw_kinetics law;
    read_law(MW_CURE_AUTOCATALYTIC, arguments, count, &law);
    const mw_glass glass = {arguments[8], arguments[9], arguments[10]};
    const mw_post_cure wanted = {.kinetics = &law,
                                 .glass = &glass,
                                 .start_k = arguments[0],
                                 .degree = arguments[1],
                                 .final_k = arguments[2],
                                 .step_k = arguments[3],
                                 .ramp_k_s = arguments[4],
                                 .margin_k = arguments[5],
                                 .least_hold_s = arguments[6],
                                 .last_hold_s = arguments[7]};
    return mw_trade_post_cure(solver, &wanted, plan);
}

/* Asked the same again, as for each stage of one programme, gives what was worked out before. */
static mw_trade_status make_plan(host_context *context, const double *arguments, uint32_t count,
                                 mw_post_cure_plan *plan)
{
    const size_t size = count * sizeof *arguments;
    if (count == 0 || count > POST_CURE_ARGUMENTS_MOST) {
        return work_out(context->cure, arguments, count, plan);
    }
    post_cure_kept *kept = context->post_cures;
    for (int i = 0; i < POST_CURES_KEPT; i++) {
        if (kept[i].count == count && same_bits(kept[i].arguments, arguments, count)) {
            *plan = kept[i].plan;
            return kept[i].status;
        }
    }
    kept += context->next_post_cure;
    context->next_post_cure = (context->next_post_cure + 1) % POST_CURES_KEPT;
    memcpy(kept->arguments, arguments, size);
    kept->count = count;
    kept->plan = (mw_post_cure_plan){.count = 0};
    kept->status = work_out(context->cure, arguments, count, &kept->plan);
    *plan = kept->plan;
    return kept->status;
}

double post_cure_time(void *host, const double *arguments, uint32_t count)
{
    mw_post_cure_plan plan = {.count = 0};
    if (!solver_of(host)) {
        return mw_error_value(MW_CODE_INTERNAL);
    }
    const mw_trade_status status = make_plan(host, arguments, count, &plan);
    return trade_answer(status, plan.duration_s);
}

double post_cure_stages(void *host, const double *arguments, uint32_t count)
{
    mw_post_cure_plan plan = {.count = 0};
    if (!solver_of(host)) {
        return mw_error_value(MW_CODE_INTERNAL);
    }
    const mw_trade_status status = make_plan(host, arguments, count, &plan);
    return trade_answer(status, (double)plan.count);
}

double post_cure_degree(void *host, const double *arguments, uint32_t count)
{
    mw_post_cure_plan plan = {.count = 0};
    if (!solver_of(host)) {
        return mw_error_value(MW_CODE_INTERNAL);
    }
    const mw_trade_status status = make_plan(host, arguments, count, &plan);
    return trade_answer(status, plan.degree);
}

double post_cure_glass(void *host, const double *arguments, uint32_t count)
{
    mw_post_cure_plan plan = {.count = 0};
    if (!solver_of(host)) {
        return mw_error_value(MW_CODE_INTERNAL);
    }
    const mw_trade_status status = make_plan(host, arguments, count, &plan);
    return trade_answer(status, plan.glass_k);
}

/* The number of a stage, from 1, stands in front. */
static mw_trade_status make_stage(void *host, const double *arguments, uint32_t count,
                                  mw_post_cure_plan *plan)
{
    const double number = arguments[0];
    const mw_trade_status status = make_plan(host, &arguments[1], count - 1, plan);
    if (status != MW_TRADE_OK) {
        return status;
    }
    if (!(number >= 1) || number != floor(number)) {
        return MW_TRADE_NO_SENSE;
    }
    return number > (double)plan->count ? MW_TRADE_OUT_OF_RANGE : MW_TRADE_OK;
}

double post_cure_target(void *host, const double *arguments, uint32_t count)
{
    mw_post_cure_plan plan = {.count = 0};
    if (!solver_of(host)) {
        return mw_error_value(MW_CODE_INTERNAL);
    }
    const mw_trade_status status = make_stage(host, arguments, count, &plan);
    return trade_answer(status, status == MW_TRADE_OK ? plan.target_k[(int)arguments[0] - 1] : 0);
}

double post_cure_hold(void *host, const double *arguments, uint32_t count)
{
    mw_post_cure_plan plan = {.count = 0};
    if (!solver_of(host)) {
        return mw_error_value(MW_CODE_INTERNAL);
    }
    const mw_trade_status status = make_stage(host, arguments, count, &plan);
    return trade_answer(status, status == MW_TRADE_OK ? plan.hold_s[(int)arguments[0] - 1] : 0);
}
