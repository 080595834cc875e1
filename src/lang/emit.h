/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps of making code, shared by emit*.c. */
#ifndef MW_LANG_EMIT_H
#define MW_LANG_EMIT_H

#include "check.h"

/* Whether making code has to end: no memory, or too much of it. */
static inline bool mw_emit_stopped(const mw_compiler *compiler)
{
    return compiler->no_memory || compiler->out.too_long || compiler->out.too_deep;
}

/* Adds an instruction. */
void mw_emit_add(mw_compiler *compiler, const mw_instruction *instruction);

/* Takes `count` more temporaries in use; returns the operand of the newest. They are used like a
 * stack. */
mw_operand mw_emit_take(mw_compiler *compiler, uint32_t count);

/* Frees the temporary of a value that is about to be used. */
static inline void mw_emit_release(mw_compiler *compiler, const mw_waiting *value)
{
    compiler->out.depth -= value->owned ? 1 : 0;
}

/* Makes a released value stand in `to`: turns the newest instruction that way or copies. */
void mw_emit_move(mw_compiler *compiler, const mw_waiting *value, mw_operand to);

/* Returns the result of an operation on as many values as it has operands, which are used up:
 * worked out now if they are constant, else by an instruction, where it pays by the newest one made
 * to do more. */
mw_waiting mw_emit_operation(mw_compiler *compiler, mw_operation operation, uint16_t extra,
                             const mw_waiting *values);

/* Returns the low (0), likely (1) or high (2) value of the range at a position whose children are
 * done. */
mw_waiting mw_emit_range(mw_compiler *compiler, uint32_t at, uint16_t which, uint32_t element);

/* Makes code for a stretch, for one element where it is a list. */
void mw_emit_span(mw_compiler *compiler, uint32_t from, uint32_t to, uint32_t element);

/* Returns the value of a position for one element, after its stretch was made. */
static inline mw_waiting mw_emit_value(const mw_compiler *compiler, uint32_t at, uint32_t element)
{
    const mw_fact *fact = &compiler->facts[at];
    switch ((mw_from)fact->from) {
    case MW_FROM_CONSTANT:
        return (mw_waiting){.value = fact->value, .constant = true};
    case MW_FROM_CELL:
        return (mw_waiting){.operand = (mw_operand)fact->first};
    case MW_FROM_SLOTS:
        return (mw_waiting){.operand = (mw_operand)compiler->slots[fact->first + element]};
    case MW_FROM_CODE:
        break;
    }
    return compiler->out.values[at];
}

/* emit_block.c: makes code for a block; its value is kept at its position. */
void mw_emit_block(mw_compiler *compiler, uint32_t at, uint32_t element);

#endif
