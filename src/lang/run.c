/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Running compiled code on doubles. */
#include "run_operation.h"

/* The result of a call instruction. */
static double call(const mw_machine *machine, const mw_instruction *at)
{
    const double *arguments = machine->base + at->a;
    const uint32_t row = (uint32_t)(-1 - at->b);
    if (at->operation == MW_OP_CALL_HOST) {
        return mw_function_apply(&machine->host[row], machine->host_context, arguments, at->extra);
    }
    size_t count;
    const mw_function *own = mw_functions(&count);
    return mw_function_apply(&own[row], NULL, arguments, at->extra);
}

/* Kept out of the loop, so that the loop stays small. */
static double settle(const double *base, const mw_instruction *at)
{
    const double place[3] = {base[at->a], base[at->b], base[at->c]};
    return mw_settle(at->operation, at->extra, place);
}

/* An operand. What came out last often goes in next: from a register it is there sooner than through
 * memory, and processors that guess which loads have to wait for which stores have less to guess
 * wrongly. */
#define MW_TAKE(operand) ((operand) == last_to ? last : base[operand])

/* Each operation has loads and a store of its own, so that processors learn about each by itself. */
void mw_run(const mw_machine *machine, const mw_instruction *code, uint32_t count)
{
    double *const base = machine->base;
    const mw_instruction *const end = code + count;
    double last = 0;
    mw_operand last_to = INT32_MIN; /* no operand */
    for (const mw_instruction *at = code; at != end; at++) {
        switch ((mw_operation)at->operation) {
#define MW_WIDE(id, word, operands, fault, formula)              \
    case MW_OP_##id: {                                           \
        const uint16_t extra = at->extra;                        \
        const double a = MW_TAKE(at->a);                         \
        const double b = (operands) > 1 ? MW_TAKE(at->b) : 0;    \
        const double c = (operands) > 2 ? MW_TAKE(at->c) : 0;    \
        const double result = formula;                           \
        (void)extra, (void)b, (void)c;                           \
        last = mw_is_number(result) ? result : settle(base, at); \
        last_to = at->to;                                        \
        base[last_to] = last;                                    \
        break;                                                   \
    }
#define MW_SINGLE(id, word, operands, fault, formula) MW_WIDE(id, word, operands, fault, formula)
#define MW_OTHER(id, word, operands) \
    case MW_OP_##id:                 \
        last = call(machine, at);    \
        last_to = at->to;            \
        base[last_to] = last;        \
        break;
#include "operations.def"
#undef MW_WIDE
#undef MW_SINGLE
#undef MW_OTHER
        case MW_OPERATION_COUNT:
            break;
        }
    }
}
