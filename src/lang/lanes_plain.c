/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Kernels for any processor, and the choice between them. */
#include <string.h>

#include "lanes_kernels.h"

#define KERNEL_TABLE  mw_lanes_plain
#define KERNEL_WIDTH  2
#define KERNEL_TARGET /* none */
#include "lanes_kernels.inc"

const mw_lane_kernels *mw_lanes_kernels(void)
{
#if MW_LANES_AVX2
    if (__builtin_cpu_supports("avx2")) {
        return mw_lanes_avx2;
    }
#endif
    return mw_lanes_plain;
}
