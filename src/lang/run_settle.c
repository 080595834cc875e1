/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The slow side of running: functions that need more than a line, and which error a result is. */
#include "run_operation.h"

#include "mouldwright/date.h"

const mw_operation_row mw_operation_rows[MW_OPERATION_COUNT] = {
#define MW_WIDE(id, word, operands, fault, formula) \
    [MW_OP_##id] = {word, operands, MW_CODE_##fault, true},
#define MW_SINGLE(id, word, operands, fault, formula) \
    [MW_OP_##id] = {word, operands, MW_CODE_##fault, false},
#define MW_OTHER(id, word, operands) [MW_OP_##id] = {word, operands, MW_CODE_NOT_A_VALUE, false},
#include "operations.def"
#undef MW_WIDE
#undef MW_SINGLE
#undef MW_OTHER
};

double mw_power(double a, double b)
{
    if (!mw_is_number(a) || !mw_is_number(b)) {
        return a + b + (double)NAN;
    }
    return b == 2.0 ? a * a : pow(a, b);
}

double mw_moment(double seconds)
{
    return mw_moment_exists(seconds) ? seconds : (double)NAN;
}

/* How far a quotient may be from a whole number and still count as it. */
static double rounding_slack(double quotient)
{
    const double told_apart = 8 * DBL_EPSILON * fabs(quotient);
    return told_apart > 1e-9 ? told_apart : 1e-9;
}

/* `count` steps: x itself where it is that but for rounding. A step such as 0.1 is taken as 1/10,
 * which gives the decimals that people expect. */
static double steps(double count, double step, double x)
{
    const double parts = nearbyint(1 / step);
    const bool is_part = step < 1 && fabs(parts * step - 1) <= 4 * DBL_EPSILON;
    const double value = is_part ? count / parts : count * step;
    return fabs(value - x) <= 4 * DBL_EPSILON * fabs(x) ? x : value;
}

/* Beyond this a double has no halves: nothing is left to round. */
#define WHOLE_FROM 4503599627370496.0

double mw_round_up(double x, double step)
{
    const double quotient = x / step;
    if (!(step > 0) || !(fabs(quotient) < WHOLE_FROM)) {
        return step > 0 ? x : (double)NAN;
    }
    return steps(ceil(quotient - rounding_slack(quotient)), step, x);
}

double mw_round_down(double x, double step)
{
    const double quotient = x / step;
    if (!(step > 0) || !(fabs(quotient) < WHOLE_FROM)) {
        return step > 0 ? x : (double)NAN;
    }
    return steps(floor(quotient + rounding_slack(quotient)), step, x);
}

double mw_round_to(double x, double step)
{
    const double quotient = x / step;
    if (!(step > 0) || !(fabs(quotient) < WHOLE_FROM)) {
        return step > 0 ? x : (double)NAN;
    }
    const double count = floor(fabs(quotient) + 0.5 + rounding_slack(quotient));
    return steps(copysign(count, quotient), step, x);
}

double mw_range(uint16_t which, double low, double likely, double high)
{
    const double all[3] = {low, likely, high};
    const double slack = MW_SLACK(low, high);
    const bool ordered = low - likely <= slack && likely - high <= slack;
    return ordered && mw_is_number(low) && mw_is_number(high) ? all[which] : (double)NAN;
}

/* Makes an error of anything that is not a number. */
static double as_error(double value)
{
    return mw_is_number(value) ? value : mw_error_value(mw_error_code(value));
}

/* What no operand in error explains. */
static mw_code fault_of(uint16_t operation, const double place[3])
{
    const mw_code fault = mw_operation_rows[operation].fault;
    const bool too_large =
        (operation == MW_OP_DIVIDE && place[1] != 0) ||
        (operation == MW_OP_MULTIPLY_DIVIDE &&
         (place[2] != 0 || !mw_is_number(place[0] * place[1]))) ||
        (operation == MW_OP_POWER && place[0] != 0 && isinf(pow(place[0], place[1])));
    return too_large ? MW_CODE_TOO_LARGE : fault;
}

/* Comparisons and choices of two numbers so far apart that their gap is no number. */
static bool settle_apart(uint16_t operation, const double place[3], double *result)
{
    if (operation >= MW_OP_LESS && operation <= MW_OP_GREATER) {
        const double nearer[3] = {place[0] / 4, place[1] / 4, 0};
        *result = mw_operation_apply(operation, 0, nearer);
        return true;
    }
    if (operation == MW_OP_SMALLER || operation == MW_OP_LARGER) {
        *result = (operation == MW_OP_SMALLER) == (place[1] < place[0]) ? place[1] : place[0];
        return true;
    }
    return false;
}

double mw_settle(uint16_t operation, uint16_t extra, const double place[3])
{
    const uint32_t operands = mw_operation_rows[operation].operands;
    if (operation == MW_OP_SELECT && mw_is_number(place[0])) {
        return as_error(place[0] != 0 ? place[1] : place[2]);
    }
    if (operands == 3 && (extra & MW_C_FIRST) != 0 && operation != MW_OP_RANGE &&
        !mw_is_number(place[2])) {
        return as_error(place[2]);
    }
    for (uint32_t i = 0; i < operands && i < 3; i++) {
        if (!mw_is_number(place[i])) {
            return as_error(place[i]);
        }
    }
    double result;
    return settle_apart(operation, place, &result) ? result
                                                   : mw_error_value(fault_of(operation, place));
}

double mw_operation_apply(uint16_t operation, uint16_t extra, const double place[3])
{
    const double a = place[0];
    const double b = place[1];
    const double c = place[2];
    double result = (double)NAN;
    switch ((mw_operation)operation) {
#define MW_WIDE(id, word, operands, fault, formula) \
    case MW_OP_##id:                                \
        result = formula;                           \
        break;
#define MW_SINGLE(id, word, operands, fault, formula) MW_WIDE(id, word, operands, fault, formula)
#define MW_OTHER(id, word, operands) \
    case MW_OP_##id:                 \
        break;
#include "operations.def"
#undef MW_WIDE
#undef MW_SINGLE
#undef MW_OTHER
    case MW_OPERATION_COUNT:
        break;
    }
    return mw_is_number(result) ? result : mw_settle(operation, extra, place);
}

double mw_function_apply(const mw_function *function, void *host, const double *arguments,
                         uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        if (!mw_is_number(arguments[i])) {
            return as_error(arguments[i]);
        }
    }
    return as_error(function->call(host, arguments, count));
}
