/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Loops for processors with AVX2, four values at a time. Written out: compilers leave the loops of draw_plain.c as they
 * are. Every operation is the same, so every bit is. */
#include "draw_kernels.h"

#if RISK_AVX2
#include <immintrin.h>

#define WIDE __attribute__((target("avx2")))

WIDE static void points(uint32_t base, const uint32_t *table, double offset, double *values,
                        uint32_t count)
{
    const __m128i bases = _mm_set1_epi32((int32_t)(base ^ 0x80000000u));
    const __m256d scale = _mm256_set1_pd(0x1p-32);
    const __m256d offsets = _mm256_set1_pd(offset);
    uint32_t i = 0;
    for (; i + 4 <= count; i += 4) {
        const __m128i bits = _mm_loadu_si128((const __m128i *)(const void *)(table + i));
        const __m256d number = _mm256_cvtepi32_pd(_mm_xor_si128(bases, bits));
        _mm256_storeu_pd(values + i, _mm256_add_pd(_mm256_mul_pd(number, scale), offsets));
    }
    risk_kernels_plain.points(base, table + i, offset, values + i, count - i);
}

WIDE static void triangle(const risk_triangle *of, const double *shares, double *values,
                          uint32_t count)
{
    const __m256d low = _mm256_set1_pd(of->low);
    const __m256d high = _mm256_set1_pd(of->high);
    const __m256d split = _mm256_set1_pd(of->split);
    const __m256d left = _mm256_set1_pd(of->left);
    const __m256d right = _mm256_set1_pd(of->right);
    const __m256d one = _mm256_set1_pd(1.0);
    uint32_t i = 0;
    for (; i + 4 <= count; i += 4) {
        const __m256d share = _mm256_loadu_pd(shares + i);
        const __m256d first = _mm256_cmp_pd(share, split, _CMP_LT_OQ);
        const __m256d below = _mm256_mul_pd(share, left);
        const __m256d above = _mm256_mul_pd(_mm256_sub_pd(one, share), right);
        const __m256d root = _mm256_sqrt_pd(_mm256_blendv_pd(above, below, first));
        const __m256d up = _mm256_add_pd(low, root);
        const __m256d down = _mm256_sub_pd(high, root);
        _mm256_storeu_pd(values + i, _mm256_blendv_pd(down, up, first));
    }
    risk_kernels_plain.triangle(of, shares + i, values + i, count - i);
}

const risk_kernels risk_kernels_avx2 = {points, triangle};
#endif
