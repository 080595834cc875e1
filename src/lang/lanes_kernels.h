/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Kernels: one operation on columns. Each stands in a function of its own, compiled once for any
 * processor and once for those with AVX2; both give the same bits, as no multiply-add is
 * contracted. */
#ifndef MW_LANG_LANES_KERNELS_H
#define MW_LANG_LANES_KERNELS_H

#include "run_operation.h"

/* Columns are padded to a multiple of this many lanes. */
#define MW_LANES_STEP 8

/* Computes `lanes` lanes (a multiple of MW_LANES_STEP) into `to`, which overlaps no operand.
 * place[] are the operands: columns, or single values where the kernel is for those. All are
 * aligned to 64 bytes if columns. Returns 0 when every result is a number. */
typedef uint64_t (*mw_lane_kernel)(double *to, const double *const place[3], uint32_t lanes);

/* By operation, then by which operands are columns: 1 for a, 2 for b, 4 for c. NULL: work lane by
 * lane. */
typedef mw_lane_kernel mw_lane_kernels[8];

extern const mw_lane_kernels mw_lanes_plain[MW_OPERATION_COUNT];

#if defined(__GNUC__) && defined(__x86_64__)
#define MW_LANES_AVX2 1
extern const mw_lane_kernels mw_lanes_avx2[MW_OPERATION_COUNT];
#else
#define MW_LANES_AVX2 0
#endif

/* Returns the kernels for this processor. */
const mw_lane_kernels *mw_lanes_kernels(void);

#endif
