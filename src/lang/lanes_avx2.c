/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Kernels for processors with AVX2. Its multiply-add is another extension, so none is used. */
#include <string.h>

#include "lanes_kernels.h"

#if MW_LANES_AVX2
#define KERNEL_TABLE  mw_lanes_avx2
#define KERNEL_WIDTH  4
#define KERNEL_TARGET __attribute__((target("avx2")))
#include "lanes_kernels.inc"
#endif
