/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of panels, beams and growth by heat: from the arguments of a formula to the methods of
 * the trade. What leaves thin plate theory is refused, but for panel_sag_bound(), which says so. */
#include "functions_panel.h"

#include "functions_answer.h"
#include "mouldwright/trade_panel.h"

typedef mw_trade_status (*panel_method)(const mw_panel *panel, double pressure_pa, double *sag_m);

/* The sag of a panel of a thickness, refused where thin plate theory does not hold. */
static double answer_sag(panel_method method, const mw_panel *panel, double pressure_pa,
                         double thickness_m)
{
    double sag_m = 0.0;
    if (!(thickness_m > 0.0)) {
        return trade_answer(MW_TRADE_NO_SENSE, 0.0);
    }
    mw_trade_status status = method(panel, pressure_pa, &sag_m);
    if (status == MW_TRADE_OK && !mw_trade_panel_holds(panel, thickness_m, sag_m)) {
        status = MW_TRADE_OUT_OF_RANGE;
    }
    return trade_answer(status, sag_m);
}

/* A panel that is alike in all directions. */
static mw_panel even_panel(double x_m, double y_m, double stiffness_n_m, double nu)
{
    return (mw_panel){x_m,           y_m,
                      stiffness_n_m, nu * stiffness_n_m,
                      stiffness_n_m, (1.0 - nu) / 2.0 * stiffness_n_m};
}

double plate_stiffness(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_plate_stiffness(arguments[0], arguments[1], arguments[2], &value);
    return trade_answer(status, value);
}

/* pressure, length, width, thickness, modulus, Poisson's ratio */
static double answer_plate(panel_method method, const double *arguments)
{
    double stiffness = 0.0;
    const mw_trade_status status =
        mw_trade_plate_stiffness(arguments[4], arguments[5], arguments[3], &stiffness);
    const mw_panel panel = even_panel(arguments[1], arguments[2], stiffness, arguments[5]);
    return status == MW_TRADE_OK ? answer_sag(method, &panel, arguments[0], arguments[3])
                                 : trade_answer(status, 0.0);
}

double plate_sag(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return answer_plate(mw_trade_panel_supported, arguments);
}

double plate_sag_clamped(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return answer_plate(mw_trade_panel_clamped, arguments);
}

double plate_moment(void *host, const double *arguments, uint32_t count)
{
    const double nu = arguments[3];
    const mw_panel panel = even_panel(arguments[1], arguments[2], 1.0, nu);
    mw_panel_moments moments = {0.0, 0.0};
    (void)host, (void)count;
    if (!(nu >= 0.0 && nu <= 0.5)) {
        return trade_answer(MW_TRADE_NO_SENSE, 0.0);
    }
    const mw_trade_status status = mw_trade_panel_moments(&panel, arguments[0], &moments);
    return trade_answer(status, arguments[1] <= arguments[2] ? moments.x_n : moments.y_n);
}

static mw_panel panel_of(const double *sides, const double *stiffness)
{
    return (mw_panel){sides[0], sides[1], stiffness[0], stiffness[1], stiffness[2], stiffness[3]};
}

double panel_sag(void *host, const double *arguments, uint32_t count)
{
    const mw_panel panel = panel_of(arguments + 1, arguments + 4);
    (void)host, (void)count;
    return answer_sag(mw_trade_panel_supported, &panel, arguments[0], arguments[3]);
}

double panel_sag_clamped(void *host, const double *arguments, uint32_t count)
{
    const mw_panel panel = panel_of(arguments + 1, arguments + 4);
    (void)host, (void)count;
    return answer_sag(mw_trade_panel_clamped, &panel, arguments[0], arguments[3]);
}

double panel_sag_bound(void *host, const double *arguments, uint32_t count)
{
    const mw_panel panel = panel_of(arguments + 1, arguments + 3);
    double sag_m = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_panel_supported(&panel, arguments[0], &sag_m);
    return trade_answer(status, sag_m);
}

/* --- discs and beams ---------------------------------------------------------------------------- */

/* pressure, radius, thickness, modulus, Poisson's ratio */
static double answer_disc(const double *arguments, int clamped)
{
    double stiffness = 0.0;
    double sag_m[2] = {0.0, 0.0};
    mw_trade_status status =
        mw_trade_plate_stiffness(arguments[3], arguments[4], arguments[2], &stiffness);
    if (status == MW_TRADE_OK) {
        status = mw_trade_disc_sag(&(mw_disc){arguments[1], stiffness, arguments[4]}, arguments[0],
                                   &sag_m[0], &sag_m[1]);
    }
    const mw_panel across = even_panel(2.0 * arguments[1], 2.0 * arguments[1], stiffness, 0.0);
    if (status == MW_TRADE_OK && !mw_trade_panel_holds(&across, arguments[2], sag_m[clamped])) {
        status = MW_TRADE_OUT_OF_RANGE;
    }
    return trade_answer(status, sag_m[clamped]);
}

double disc_sag(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return answer_disc(arguments, 0);
}

double disc_sag_clamped(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return answer_disc(arguments, 1);
}

/* load by length, span, modulus, second moment of area; a tenth of the span is no small sag */
static double answer_beam(const double *arguments, int clamped)
{
    double sag_m[2] = {0.0, 0.0};
    mw_trade_status status = mw_trade_beam_sag(arguments[0], arguments[1],
                                               arguments[2] * arguments[3], &sag_m[0], &sag_m[1]);
    if (status == MW_TRADE_OK && sag_m[clamped] > 0.1 * arguments[1]) {
        status = MW_TRADE_OUT_OF_RANGE;
    }
    return trade_answer(status, sag_m[clamped]);
}

double beam_sag(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return answer_beam(arguments, 0);
}

double beam_sag_clamped(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return answer_beam(arguments, 1);
}

/* --- growth by heat ----------------------------------------------------------------------------- */

double heat_growth(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_growth(arguments[0], arguments[1], arguments[3] - arguments[2], &value);
    return trade_answer(status, value);
}

double growth_mismatch(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_growth(arguments[0], arguments[2] - arguments[1],
                                                   arguments[4] - arguments[3], &value);
    return trade_answer(status, value);
}

double strip_curvature(void *host, const double *arguments, uint32_t count)
{
    const mw_strip first = {arguments[0], arguments[1], arguments[2]};
    const mw_strip second = {arguments[3], arguments[4], arguments[5]};
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_strip_curvature(&first, &second, arguments[6], &value);
    return trade_answer(status, value);
}
