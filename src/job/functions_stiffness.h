/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of lay-up stiffness, as the table of functions calls them. */
#ifndef MW_JOB_FUNCTIONS_STIFFNESS_H
#define MW_JOB_FUNCTIONS_STIFFNESS_H

#include <stdint.h>

#define TRADE_CALL(name) double name(void *host, const double *arguments, uint32_t count)
TRADE_CALL(ply_stiffness);
TRADE_CALL(ply_invariant);
TRADE_CALL(laminate_a);
TRADE_CALL(laminate_b);
TRADE_CALL(laminate_d);
TRADE_CALL(laminate_bending);
TRADE_CALL(laminate_modulus);
TRADE_CALL(laminate_poisson);
TRADE_CALL(laminate_bending_modulus);
TRADE_CALL(laminate_bending_poisson);
TRADE_CALL(laminate_strain);
TRADE_CALL(laminate_curvature);
TRADE_CALL(laminate_growth);
TRADE_CALL(laminate_curl);
TRADE_CALL(laminate_symmetric);
TRADE_CALL(laminate_balanced);
TRADE_CALL(stack_a);
TRADE_CALL(stack_bending);
TRADE_CALL(stack_modulus);
TRADE_CALL(stack_bending_modulus);
TRADE_CALL(stack_growth);
TRADE_CALL(stack_curl);
TRADE_CALL(stack_symmetric);
TRADE_CALL(stack_balanced);
#undef TRADE_CALL

#endif
