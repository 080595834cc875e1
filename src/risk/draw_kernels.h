/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Loops over a tile, in functions of their own, compiled once for any processor and once for those with AVX2; both
 * give the same bits, as no multiply-add is contracted. */
#ifndef MW_RISK_DRAW_KERNELS_H
#define MW_RISK_DRAW_KERNELS_H

#include <stdbool.h>
#include <stdint.h>

/* Numbers of a triangle. */
typedef struct risk_triangle {
    double low, high;
    double split;       /* share of the likely value */
    double left, right; /* (high - low) times (likely - low), (high - likely) */
} risk_triangle;

typedef struct risk_kernels {
    /* values[i] = the number whose bits are base ^ table[i], over 2^32, plus `offset` */
    void (*points)(uint32_t base, const uint32_t *table, double offset, double *values,
                   uint32_t count);
    void (*triangle)(const risk_triangle *of, const double *shares, double *values, uint32_t count);
} risk_kernels;

extern const risk_kernels risk_kernels_plain;
#if defined(__GNUC__) && defined(__x86_64__)
#define RISK_AVX2 1
extern const risk_kernels risk_kernels_avx2;
#else
#define RISK_AVX2 0
#endif

/* Returns those for this processor. */
const risk_kernels *risk_kernels_here(void);

#endif
