/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Running code on lanes: each instruction on whole columns, or once where nothing has a column. */
#include <string.h>

#include "lanes.h"

/* An instruction with its operands found. */
typedef struct step {
    const mw_instruction *at;
    const double *place[3];
    uint32_t columns; /* which of them are columns: bits 1, 2, 4 */
} step;

static const double *column_of(const mw_lanes *lanes, mw_operand operand)
{
    if (operand >= 0) {
        return mw_lanes_column(lanes, (uint32_t)operand);
    }
    const bool spread = operand >= -MW_TEMPORARIES && lanes->spread[-1 - operand];
    return spread ? lanes->temporary[-1 - operand] : NULL;
}

static void find_operands(const mw_lanes *lanes, const mw_machine *machine, step *now)
{
    const mw_operand operands[3] = {now->at->a, now->at->b, now->at->c};
    const uint32_t used = mw_operands_of(now->at);
    now->columns = 0;
    for (uint32_t i = 0; i < 3; i++) {
        const double *column = i < used ? column_of(lanes, operands[i]) : NULL;
        now->columns |= column != NULL ? 1u << i : 0;
        now->place[i] = column != NULL ? column : machine->base + operands[i];
    }
}

static bool is_call(const mw_instruction *at)
{
    return at->operation == MW_OP_CALL || at->operation == MW_OP_CALL_HOST;
}

/* Whether the result is one value for all lanes. */
static bool is_single(const mw_lanes *lanes, const step *now)
{
    if (is_call(now->at)) {
        for (mw_operand i = 0; i < now->at->extra; i++) {
            if (column_of(lanes, now->at->a + i) != NULL) {
                return false;
            }
        }
        return true;
    }
    if (now->at->operation == MW_OP_SELECT && (now->columns & 1) == 0) {
        /* One condition for all lanes: only the branch that it takes counts. */
        const double condition = *now->place[0];
        const uint32_t taken = !mw_is_number(condition) ? 0 : condition != 0 ? 2 : 4;
        return (now->columns & taken) == 0;
    }
    return now->columns == 0;
}

/* Runs an instruction once; its result then has no column. */
static void run_single(mw_lanes *lanes, const mw_machine *machine, const mw_instruction *at)
{
    mw_run(machine, at, 1);
    if (at->to >= 0) {
        mw_lanes_drop(lanes, (uint32_t)at->to);
    } else {
        lanes->spread[-1 - at->to] = false;
    }
}

static void operands_of_lane(const step *now, uint32_t lane, double place[3])
{
    for (uint32_t i = 0; i < 3; i++) {
        place[i] = now->place[i][(now->columns >> i & 1) != 0 ? lane : 0];
    }
}

/* Makes errors of the results that are no numbers. Padding gets the value of a true lane, so that
 * it is not found again and again. */
static void settle_lanes(const mw_lanes *lanes, const step *now, double *to)
{
    for (uint32_t i = 0; i < lanes->width; i++) {
        if (!mw_is_number(to[i])) {
            double place[3];
            operands_of_lane(now, i, place);
            to[i] = mw_settle(now->at->operation, now->at->extra, place);
        }
    }
    for (uint32_t i = lanes->width; i < lanes->padded; i++) {
        to[i] = to[0];
    }
}

/* Lane by lane, where there is no kernel. */
static void apply_lanes(const mw_lanes *lanes, const step *now, double *to)
{
    for (uint32_t i = 0; i < lanes->width; i++) {
        double place[3];
        operands_of_lane(now, i, place);
        to[i] = mw_operation_apply(now->at->operation, now->at->extra, place);
    }
    for (uint32_t i = lanes->width; i < lanes->padded; i++) {
        to[i] = to[0];
    }
}

static void call_lanes(const mw_lanes *lanes, const mw_machine *machine, const step *now,
                       double *to)
{
    const mw_instruction *at = now->at;
    const bool own = at->operation == MW_OP_CALL;
    size_t rows;
    const mw_function *function = (own ? mw_functions(&rows) : machine->host) + (-1 - at->b);
    double arguments[MW_TEMPORARIES];
    memcpy(arguments, machine->base + at->a, at->extra * sizeof *arguments);
    for (uint32_t i = 0; i < lanes->padded; i++) {
        const uint32_t lane = i < lanes->width ? i : 0;
        for (mw_operand j = 0; j < at->extra; j++) {
            const double *column = column_of(lanes, at->a + j);
            arguments[j] = column != NULL ? column[lane] : arguments[j];
        }
        to[i] =
            mw_function_apply(function, own ? NULL : machine->host_context, arguments, at->extra);
    }
}

static void run_columns(const mw_lanes *lanes, const mw_machine *machine, const step *now,
                        double *to)
{
    const mw_lane_kernel kernel = lanes->kernels[now->at->operation][now->columns];
    if (is_call(now->at)) {
        call_lanes(lanes, machine, now, to);
    } else if (kernel == NULL) {
        apply_lanes(lanes, now, to);
    } else if (kernel(to, now->place, lanes->padded) != 0) {
        settle_lanes(lanes, now, to);
    }
}

/* Returns where a result with a column is computed. That of a temporary goes to a spare column: the
 * old one may be an operand. NULL when there is no memory. */
static double *target(mw_lanes *lanes, mw_operand to)
{
    if (to >= 0) {
        return mw_lanes_give(lanes, (uint32_t)to);
    }
    uint32_t index;
    double **own = &lanes->temporary[-1 - to];
    if (*own == NULL) {
        *own = mw_lanes_take(lanes, MW_LANES_KEPT, &index);
    }
    if (lanes->spare == NULL) {
        lanes->spare = mw_lanes_take(lanes, MW_LANES_KEPT, &index);
    }
    return *own != NULL ? lanes->spare : NULL;
}

mw_status mw_lanes_run(mw_lanes *lanes, const mw_machine *machine, const mw_instruction *code,
                       uint32_t count)
{
    step now = {.at = code};
    for (uint32_t i = 0; i < count; i++, now.at++) {
        find_operands(lanes, machine, &now);
        if (is_single(lanes, &now)) {
            run_single(lanes, machine, now.at);
            continue;
        }
        const mw_operand to = now.at->to;
        double *column = target(lanes, to);
        if (column == NULL) {
            return MW_NO_MEMORY;
        }
        run_columns(lanes, machine, &now, column);
        if (to < 0) {
            lanes->spare = lanes->temporary[-1 - to];
            lanes->temporary[-1 - to] = column;
            lanes->spread[-1 - to] = true;
        }
    }
    return MW_OK;
}
