/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Laws of cure integrated over a temperature programme, and over the degree. */
#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>

#include "kinetics.h"
#include "mouldwright/memory.h"

/* Ten years. */
#define TIME_MOST_S 3.2e8

struct mw_cure_solver {
    gsl_odeiv2_step *step;
    gsl_odeiv2_control *control;
    gsl_odeiv2_evolve *evolve;
};

mw_cure_solver *mw_cure_solver_new(void)
{
    mw_cure_solver *solver = mw_memory_get(sizeof *solver);
    if (solver == NULL) {
        return NULL;
    }
    solver->step = gsl_odeiv2_step_alloc(gsl_odeiv2_step_rk8pd, 1);
    solver->control = gsl_odeiv2_control_standard_new(1e-9, 1e-9, 1, 0);
    solver->evolve = gsl_odeiv2_evolve_alloc(1);
    if (solver->step == NULL || solver->control == NULL || solver->evolve == NULL) {
        mw_cure_solver_free(solver);
        return NULL;
    }
    return solver;
}

void mw_cure_solver_free(mw_cure_solver *solver)
{
    if (solver == NULL) {
        return;
    }
    if (solver->evolve != NULL) {
        gsl_odeiv2_evolve_free(solver->evolve);
    }
    if (solver->control != NULL) {
        gsl_odeiv2_control_free(solver->control);
    }
    if (solver->step != NULL) {
        gsl_odeiv2_step_free(solver->step);
    }
    mw_memory_give(solver);
}

/* --- one stretch -------------------------------------------------------------------------------
 */

/* Straight in temperature: a ramp or a hold. */
typedef struct stretch {
    const mw_kinetics *kinetics;
    kinetics_constants constants; /* of a hold */
    double from_k;
    double slope_k_s; /* 0: a hold */
} stretch;

static int degree_rate(double time_s, const double degree[], double rate[], void *context)
{
    const stretch *of = context;
    if (of->slope_k_s == 0) {
        rate[0] = kinetics_rate(of->kinetics, &of->constants, of->from_k, degree[0]);
    } else {
        kinetics_constants constants;
        const double at_k = of->from_k + of->slope_k_s * time_s;
        kinetics_constants_at(of->kinetics, at_k, &constants);
        rate[0] = kinetics_rate(of->kinetics, &constants, at_k, degree[0]);
    }
    return isfinite(rate[0]) ? GSL_SUCCESS : GSL_EBADFUNC;
}

/* Seconds a unit of degree. */
static int time_rate(double degree, const double time_s[], double rate[], void *context)
{
    const stretch *of = context;
    (void)time_s;
    rate[0] = 1 / kinetics_rate(of->kinetics, &of->constants, of->from_k, degree);
    return isfinite(rate[0]) ? GSL_SUCCESS : GSL_EBADFUNC;
}

/* Integrates `system` from x = `from` to `to`; `*y` stays at most below `enough`. */
static mw_trade_status integrate(mw_cure_solver *solver, const gsl_odeiv2_system *system,
                                 const double from_to[2], double enough, double *y)
{
    enum { STEPS_MOST = 100000 };
    double x = from_to[0];
    double step = (from_to[1] - from_to[0]) / 100;
    gsl_odeiv2_evolve_reset(solver->evolve);
    gsl_odeiv2_step_reset(solver->step);
    for (int i = 0; x < from_to[1] && *y < enough; i++) {
        const int fault = gsl_odeiv2_evolve_apply(solver->evolve, solver->control, solver->step,
                                                  system, &x, from_to[1], &step, y);
        if (fault != GSL_SUCCESS || i >= STEPS_MOST) {
            return MW_TRADE_OUT_OF_RANGE;
        }
    }
    return isfinite(*y) ? MW_TRADE_OK : MW_TRADE_OUT_OF_RANGE;
}

/* Advances the degree over a stretch. */
static mw_trade_status advance(mw_cure_solver *solver, stretch *over, double time_s, double *degree)
{
    if (time_s <= 0 || *degree >= KINETICS_CURED) {
        return MW_TRADE_OK;
    }
    kinetics_constants_at(over->kinetics, over->from_k, &over->constants);
    const gsl_odeiv2_system system = {degree_rate, NULL, 1, over};
    const double span[] = {0, time_s};
    double after = *degree;
    const mw_trade_status status = integrate(solver, &system, span, KINETICS_CURED, &after);
    if (status == MW_TRADE_OK) {
        *degree = fmin(fmax(after, *degree), 1);
    }
    return status;
}

/* --- programmes --------------------------------------------------------------------------------
 */

static double ramp_time(double from_k, double to_k, double ramp_k_s)
{
    return from_k == to_k ? 0 : fabs(to_k - from_k) / ramp_k_s;
}

static mw_trade_status check_programme(const mw_cure_programme *programme)
{
    mw_trade_status status = check_temperature(programme->start_k);
    double from_k = programme->start_k;
    for (size_t i = 0; i < programme->count && status == MW_TRADE_OK; i++) {
        const double to_k = programme->target_k[i];
        status = check_temperature(to_k);
        if (!is_zero_or_more(programme->hold_s[i]) ||
            (to_k != from_k && !is_above_zero(programme->ramp_k_s[i]))) {
            return MW_TRADE_NO_SENSE;
        }
        if (programme->hold_s[i] > TIME_MOST_S ||
            ramp_time(from_k, to_k, programme->ramp_k_s[i]) > TIME_MOST_S) {
            return MW_TRADE_OUT_OF_RANGE;
        }
        from_k = to_k;
    }
    return status;
}

mw_trade_status mw_trade_programme_time(const mw_cure_programme *programme, double *out)
{
    const mw_trade_status status = check_programme(programme);
    double time_s = 0;
    double from_k = programme->start_k;
    if (status != MW_TRADE_OK) {
        return status;
    }
    for (size_t i = 0; i < programme->count; i++) {
        time_s += ramp_time(from_k, programme->target_k[i], programme->ramp_k_s[i]) +
                  programme->hold_s[i];
        from_k = programme->target_k[i];
    }
    return trade_put(time_s, out);
}

/* A ramp counts only where the law was measured. */
static mw_trade_status advance_ramp(mw_cure_solver *solver, const mw_kinetics *kinetics,
                                    const double from_to_k[2], double ramp_k_s, double *degree)
{
    const double from_k = fmax(from_to_k[0], kinetics->coldest_k);
    const double to_k = fmax(from_to_k[1], kinetics->coldest_k);
    if (from_k == to_k) {
        return MW_TRADE_OK;
    }
    stretch ramp = {
        .kinetics = kinetics, .from_k = from_k, .slope_k_s = to_k > from_k ? ramp_k_s : -ramp_k_s};
    return advance(solver, &ramp, ramp_time(from_k, to_k, ramp_k_s), degree);
}

static mw_trade_status advance_hold(mw_cure_solver *solver, const mw_kinetics *kinetics,
                                    double at_k, double time_s, double *degree)
{
    stretch hold = {.kinetics = kinetics, .from_k = at_k};
    if (time_s > 0 && at_k < kinetics->coldest_k) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    return advance(solver, &hold, time_s, degree);
}

static mw_trade_status check_start(const mw_kinetics *kinetics, double degree)
{
    const mw_trade_status status = kinetics_check(kinetics);
    if (status != MW_TRADE_OK || !is_share(degree)) {
        return status != MW_TRADE_OK ? status : MW_TRADE_NO_SENSE;
    }
    return degree > 0 || kinetics_starts(kinetics) ? MW_TRADE_OK : MW_TRADE_OUT_OF_RANGE;
}

mw_trade_status mw_trade_cure_degree(mw_cure_solver *solver, const mw_kinetics *kinetics,
                                     const mw_cure_programme *programme, double before, double *out)
{
    mw_trade_status status = check_start(kinetics, before);
    double degree = before;
    double from_k = programme->start_k;
    if (status == MW_TRADE_OK) {
        status = check_programme(programme);
    }
    if (status == MW_TRADE_OK && from_k > kinetics->hottest_k) {
        status = MW_TRADE_OUT_OF_RANGE;
    }
    for (size_t i = 0; i < programme->count && status == MW_TRADE_OK; i++) {
        const double climb_k[] = {from_k, programme->target_k[i]};
        if (climb_k[1] > kinetics->hottest_k) {
            return MW_TRADE_OUT_OF_RANGE;
        }
        status = advance_ramp(solver, kinetics, climb_k, programme->ramp_k_s[i], &degree);
        if (status == MW_TRADE_OK) {
            status = advance_hold(solver, kinetics, climb_k[1], programme->hold_s[i], &degree);
        }
        from_k = climb_k[1];
    }
    return status == MW_TRADE_OK ? trade_put(degree, out) : status;
}

mw_trade_status mw_trade_cure_time_to(mw_cure_solver *solver, const mw_kinetics *kinetics,
                                      double at_k, const double from_to[2], double *out)
{
    mw_trade_status status = check_start(kinetics, from_to[0]);
    stretch at = {.kinetics = kinetics, .from_k = at_k};
    double time_s = 0;
    if (status != MW_TRADE_OK || !is_share(from_to[1]) || !isfinite(at_k)) {
        return status != MW_TRADE_OK ? status : MW_TRADE_NO_SENSE;
    }
    if (at_k < kinetics->coldest_k || at_k > kinetics->hottest_k || from_to[1] == 1) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    kinetics_constants_at(kinetics, at_k, &at.constants);
    const gsl_odeiv2_system system = {time_rate, NULL, 1, &at};
    /* the two stages meet in a jump, at which integration starts anew */
    const bool jump = kinetics->law == MW_CURE_TWO_STAGE && from_to[0] < kinetics->switch_at &&
                      from_to[1] > kinetics->switch_at;
    const double ends[] = {from_to[0], jump ? kinetics->switch_at : from_to[1], from_to[1]};
    for (int i = 0; i < 2 && status == MW_TRADE_OK; i++) {
        const double span[] = {i > 0 ? nextafter(ends[i], 2) : ends[i], ends[i + 1]};
        if (span[0] < span[1]) {
            status = integrate(solver, &system, span, HUGE_VAL, &time_s);
        }
    }
    if (status == MW_TRADE_OK && time_s > TIME_MOST_S) { /* as good as never */
        return MW_TRADE_OUT_OF_RANGE;
    }
    return status == MW_TRADE_OK ? trade_put(time_s, out) : status;
}
