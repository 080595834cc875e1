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

/* Returns the operand that instructions have for a place. */
mw_operand mw_emit_operand(mw_compiler *compiler, const mw_waiting *place);

/* Puts a value on the waiting ones; takes the newest one off and frees its temporary. */
void mw_emit_push(mw_compiler *compiler, mw_waiting place);
mw_waiting mw_emit_pop(mw_compiler *compiler);

/* Takes `count` more temporaries in use; returns the operand of the newest. */
mw_operand mw_emit_take(mw_compiler *compiler, uint32_t count);

/* Whether a place was computed by the newest instruction, so that this may write elsewhere. */
bool mw_emit_is_newest(const mw_compiler *compiler, const mw_waiting *place);

/* Makes a value stand in `to`: turns the newest instruction that way or copies. */
void mw_emit_move(mw_compiler *compiler, const mw_waiting *place, mw_operand to);

/* Takes the operands of an operation off and puts its result on: worked out now if they are constant,
 * else by an instruction, where it pays by the newest one made to do more. */
void mw_emit_operation(mw_compiler *compiler, mw_operation operation, uint16_t extra);

/* `low .. high`: both wait; puts the middle between them. */
void mw_emit_middle(mw_compiler *compiler);

/* emit_span.c: makes code for a stretch, for one element where it is a list; its value is then
 * the newest that waits. */
void mw_emit_span(mw_compiler *compiler, uint32_t from, uint32_t to, uint32_t element);

/* emit_block.c */
void mw_emit_block(mw_compiler *compiler, uint32_t at, uint32_t element);

#endif
