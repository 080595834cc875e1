/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How fast samples are drawn.
 *
 * risk-30          ns a sample: 30 durations of a triangular shape drawn through the library and added up; limit: four
 *                  times the loop below
 * risk-30-loop     the same points and durations in one C loop over arrays, in whole vectors of AVX2 where the processor
 *                  has them: the hardest comparison; limit: itself */
#include <math.h>
#include <stdbool.h>
#include <stdint.h>

#include "bench.h"
#include "mouldwright/risk_sample.h"

enum { INPUTS = 30, TILES = 4096, RUNS = 9, TILE = MW_RISK_TILE };

#if defined(__GNUC__) && defined(__x86_64__)
#define HAVE_WIDE 1
#else
#define HAVE_WIDE 0
#endif
#if HAVE_WIDE
#include <immintrin.h>
#define WIDE __attribute__((noinline, target("avx2")))
#endif

typedef struct activity {
    double low, high, split, left, right;
    uint32_t table[TILE]; /* what the places of a tile add to a point */
    uint32_t bases[TILES];
} activity;

static activity activities[INPUTS];
static double sums[TILES * TILE];
static double check;

/* The points as the library has them, taken back from its shares. */
static void take_points(const mw_risk_sampler *sampler)
{
    for (uint32_t d = 0; d < INPUTS; d++) {
        activity *of = &activities[d];
        double shares[TILE];
        for (uint32_t tile = 0; tile < TILES; tile++) {
            mw_risk_shares(sampler, d, tile, shares);
            of->bases[tile] = (uint32_t)(shares[0] * 0x1p32);
            for (uint32_t i = 0; tile == 0 && i < TILE; i++) {
                of->table[i] = of->bases[0] ^ (uint32_t)(shares[i] * 0x1p32);
            }
        }
        const double low = 1.0 + d;
        const double likely = low + 1.5;
        const double high = likely + 4.0;
        of->low = low;
        of->high = high;
        of->split = (likely - low) / (high - low);
        of->left = (high - low) * (likely - low);
        of->right = (high - low) * (high - likely);
    }
}

/* One activity in one tile, all in one pass. */
#if HAVE_WIDE
WIDE static void add_durations(const activity *of, uint32_t base, double *restrict sum)
{
    const __m128i bases = _mm_set1_epi32((int32_t)(base ^ 0x80000000u));
    const __m256d low = _mm256_set1_pd(of->low), high = _mm256_set1_pd(of->high);
    const __m256d left = _mm256_set1_pd(of->left), right = _mm256_set1_pd(of->right);
    const __m256d split = _mm256_set1_pd(of->split), one = _mm256_set1_pd(1.0);
    const __m256d scale = _mm256_set1_pd(0x1p-32), offset = _mm256_set1_pd(0.5 + 0x1p-33);
    for (uint32_t i = 0; i < TILE; i += 4) {
        const __m128i bits = _mm_loadu_si128((const __m128i *)(const void *)(of->table + i));
        const __m256d u = _mm256_add_pd(
            _mm256_mul_pd(_mm256_cvtepi32_pd(_mm_xor_si128(bases, bits)), scale), offset);
        const __m256d first = _mm256_cmp_pd(u, split, _CMP_LT_OQ);
        const __m256d above = _mm256_mul_pd(_mm256_sub_pd(one, u), right);
        const __m256d root = _mm256_sqrt_pd(_mm256_blendv_pd(above, _mm256_mul_pd(u, left), first));
        const __m256d x =
            _mm256_blendv_pd(_mm256_sub_pd(high, root), _mm256_add_pd(low, root), first);
        _mm256_storeu_pd(sum + i, _mm256_add_pd(_mm256_loadu_pd(sum + i), x));
    }
}
#else
static void add_durations(const activity *of, uint32_t base, double *restrict sum)
{
    for (uint32_t i = 0; i < TILE; i++) {
        const double u =
            (double)(int32_t)(base ^ of->table[i] ^ 0x80000000u) * 0x1p-32 + (0.5 + 0x1p-33);
        const bool first = u < of->split;
        const double root = sqrt(first ? u * of->left : (1.0 - u) * of->right);
        sum[i] += first ? of->low + root : of->high - root;
    }
}
#endif

static double loop_s(void)
{
    const double start = bench_now_s();
    for (uint32_t tile = 0; tile < TILES; tile++) {
        double *sum = sums + (size_t)tile * TILE;
        for (uint32_t i = 0; i < TILE; i++) {
            sum[i] = 0.0;
        }
        for (uint32_t d = 0; d < INPUTS; d++) {
            add_durations(&activities[d], activities[d].bases[tile], sum);
        }
    }
    check = sums[12345];
    return bench_now_s() - start;
}

static void add_column(double *restrict sum, const double *values)
{
    for (uint32_t i = 0; i < TILE; i++) {
        sum[i] += values[i];
    }
}

static double library_s(const mw_risk_sampler *sampler, mw_risk_drawer *const drawers[INPUTS])
{
    const double start = bench_now_s();
    for (uint32_t tile = 0; tile < TILES; tile++) {
        double *sum = sums + (size_t)tile * TILE;
        for (uint32_t i = 0; i < TILE; i++) {
            sum[i] = 0.0;
        }
        for (uint32_t d = 0; d < INPUTS; d++) {
            double values[TILE];
            mw_risk_shares(sampler, d, tile, values);
            mw_risk_draw(drawers[d], values, values, TILE);
            add_column(sum, values);
        }
    }
    bench_must(sums[12345] == check, "the loop and the library draw different samples");
    return bench_now_s() - start;
}

int main(void)
{
#if HAVE_WIDE
    bench_must(__builtin_cpu_supports("avx2"), "the loop to compare with needs AVX2");
#endif
    mw_risk_sampler *sampler = mw_risk_sampler_new(INPUTS, 1);
    mw_risk_drawer *drawers[INPUTS];
    bench_must(sampler != NULL, "no memory");
    take_points(sampler);
    for (uint32_t d = 0; d < INPUTS; d++) {
        const mw_risk_input input = {MW_RISK_TRIANGULAR, {1.0 + d, 2.5 + d, 6.5 + d}};
        drawers[d] = mw_risk_drawer_new(&input);
        bench_must(drawers[d] != NULL, "no memory");
    }
    double loops[RUNS];
    double ours[RUNS];
    for (int i = 0; i < RUNS; i++) {
        loops[i] = loop_s();
        ours[i] = library_s(sampler, drawers);
    }
    const double samples = (double)TILES * TILE;
    const double loop_ns = 1e9 * bench_median(loops, RUNS) / samples;
    const double our_ns = 1e9 * bench_median(ours, RUNS) / samples;
    bench_print("risk-30", our_ns, "ns", 4.0 * loop_ns);
    bench_print("risk-30-loop", loop_ns, "ns", loop_ns);
    for (uint32_t d = 0; d < INPUTS; d++) {
        mw_risk_drawer_free(drawers[d]);
    }
    mw_risk_sampler_free(sampler);
    return 0;
}
