/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Loops for any processor, and the choice between them. */
#include <math.h>

#include "draw_kernels.h"

/* Through signed numbers, which processors can turn into doubles in one go. */
static void points(uint32_t base, const uint32_t *table, double offset, double *values,
                   uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        values[i] = (double)(int32_t)(base ^ table[i] ^ 0x80000000u) * 0x1p-32 + offset;
    }
}

/* One root a value. Source: Kotz and van Dorp, Beyond beta, 2004, section 1.1. */
static void triangle(const risk_triangle *of, const double *shares, double *values, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        const double share = shares[i];
        const bool first = share < of->split;
        const double root = sqrt(first ? share * of->left : (1.0 - share) * of->right);
        values[i] = first ? of->low + root : of->high - root;
    }
}

const risk_kernels risk_kernels_plain = {points, triangle};

const risk_kernels *risk_kernels_here(void)
{
#if RISK_AVX2
    if (__builtin_cpu_supports("avx2")) {
        return &risk_kernels_avx2;
    }
#endif
    return &risk_kernels_plain;
}
