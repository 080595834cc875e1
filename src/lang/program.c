/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Looking at compiled code and binding it to cells. */
#include "run_operation.h"

void mw_program_reads(const mw_instruction *code, uint32_t count,
                      void (*each)(void *context, uint32_t cell), void *context)
{
    for (uint32_t i = 0; i < count; i++) {
        const mw_operand operands[3] = {code[i].a, code[i].b, code[i].c};
        const uint32_t used = mw_operands_of(&code[i]);
        for (uint32_t j = 0; j < used && j < 3; j++) {
            if (operands[j] >= 0) {
                each(context, (uint32_t)operands[j]);
            }
        }
    }
}

static mw_operand bound(mw_operand operand, const uint32_t *map)
{
    return operand >= 0 ? (mw_operand)map[operand] : operand;
}

/* Operands that an operation does not use are never cells. */
void mw_program_bind(mw_instruction *code, uint32_t count, const uint32_t *map)
{
    for (uint32_t i = 0; i < count; i++) {
        code[i].to = bound(code[i].to, map);
        code[i].a = bound(code[i].a, map);
        code[i].b = bound(code[i].b, map);
        code[i].c = bound(code[i].c, map);
    }
}

/* A cell as v12, a temporary as t1, a constant as k3. */
static void add_operand(mw_operand operand, mw_text *out)
{
    if (operand >= 0) {
        mw_text_addf(out, "v%d", operand);
    } else if (operand >= -MW_TEMPORARIES) {
        mw_text_addf(out, "t%d", -operand);
    } else {
        mw_text_addf(out, "k%d", -operand - MW_TEMPORARIES);
    }
}

static void add_operands(const mw_instruction *at, mw_text *out)
{
    const mw_operand operands[3] = {at->a, at->b, at->c};
    for (uint32_t i = 0; i < mw_operands_of(at) && i < 3; i++) {
        mw_text_addc(out, ' ');
        add_operand(operands[i], out);
    }
}

void mw_program_words(const mw_instruction *code, uint32_t count, mw_text *out)
{
    for (uint32_t i = 0; i < count; i++) {
        const mw_instruction *at = &code[i];
        add_operand(at->to, out);
        mw_text_addf(out, " = %s", mw_operation_rows[at->operation].word);
        add_operands(at, out);
        if (at->operation == MW_OP_CALL || at->operation == MW_OP_CALL_HOST) {
            mw_text_addf(out, " (%u values) function %d", at->extra, -1 - at->b);
        } else if (at->extra != 0) {
            mw_text_addf(out, " (%u)", at->extra);
        }
        mw_text_addc(out, '\n');
    }
}
