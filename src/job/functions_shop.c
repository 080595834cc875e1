/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions that the job adds to the language: rounding of money, and the shop's calendar. */
#include "functions_shop.h"
#include "parts.h"

#include <math.h>

double round_money(void *host, const double *arguments, uint32_t count)
{
    const host_context *context = host;
    (void)count;
    return mw_money_round(arguments[0], context->digits);
}

/* The day that a moment is in; false where it is out of all calendars. */
static bool day_of(double moment_s, int32_t *day)
{
    double days = floor(moment_s / MW_DAY_S);
    if (!(days > -800000.0 && days < 3000000.0)) {
        return false;
    }
    *day = (int32_t)days;
    return true;
}

/* A moment that the calendar found. */
static double found_moment(double at_s)
{
    return mw_moment_exists(at_s) ? at_s : mw_error_value(MW_CODE_DATE_RANGE);
}

double workday_after(void *host, const double *arguments, uint32_t count)
{
    const host_context *context = host;
    int32_t day = 0;
    (void)count;
    if (!context->shift) {
        return mw_error_value(MW_CODE_NO_SHOP);
    }
    if (!day_of(arguments[0], &day) || fabs(arguments[1]) > 20000.0) {
        return mw_error_value(MW_CODE_OUT_OF_RANGE);
    }
    if (arguments[1] != floor(arguments[1])) {
        return mw_error_value(MW_CODE_OUT_OF_DOMAIN);
    }
    int32_t found = mw_calendar_add_days(context->shift, day, (int)arguments[1]);
    return found == INT32_MAX ? mw_error_value(MW_CODE_NEVER) : found_moment(found * MW_DAY_S);
}

double workdays(void *host, const double *arguments, uint32_t count)
{
    const host_context *context = host;
    int32_t from = 0;
    int32_t to = 0;
    (void)count;
    if (!context->shift) {
        return mw_error_value(MW_CODE_NO_SHOP);
    }
    if (!day_of(arguments[0], &from) || !day_of(arguments[1], &to)) {
        return mw_error_value(MW_CODE_OUT_OF_RANGE);
    }
    return mw_calendar_count_days(context->shift, from, to);
}

double work_until(void *host, const double *arguments, uint32_t count)
{
    const host_context *context = host;
    (void)count;
    if (!context->shift) {
        return mw_error_value(MW_CODE_NO_SHOP);
    }
    if (isnan(arguments[0]) || isnan(arguments[1])) {
        return mw_error_value(MW_CODE_NOT_A_VALUE);
    }
    double at_s = arguments[1] >= 0.0
                      ? mw_calendar_advance(context->shift, arguments[0], arguments[1])
                      : mw_calendar_retreat(context->shift, arguments[0], -arguments[1]);
    return isfinite(at_s) ? found_moment(at_s) : mw_error_value(MW_CODE_NEVER);
}

double work_between(void *host, const double *arguments, uint32_t count)
{
    const host_context *context = host;
    (void)count;
    if (!context->shift) {
        return mw_error_value(MW_CODE_NO_SHOP);
    }
    if (!isfinite(arguments[0]) || !isfinite(arguments[1])) {
        return mw_error_value(MW_CODE_NOT_A_VALUE);
    }
    return mw_calendar_amount(context->shift, arguments[0], arguments[1]);
}
