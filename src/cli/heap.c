/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The heap on large pages. A job of ten moulds takes some eight megabytes in small blocks; on pages of
 * four kilobytes coming into their use takes as long as a third of the estimate. */
#define _DEFAULT_SOURCE /* for sbrk() and madvise() */
#include "cli.h"

#include <stdint.h>
#include <stdlib.h>

#ifdef __GLIBC__
#include <malloc.h>
#include <sys/mman.h>
#include <unistd.h>
#endif

void cli_prepare_heap(void)
{
#if defined(__GLIBC__) && defined(MADV_HUGEPAGE)
    enum { GROW_BYTES = 32 << 20, MAPPED_BYTES = 4 << 20, PIECE_BYTES = 100 << 10 };
    const uintptr_t page = (uintptr_t)2 << 20; /* the usual large page */
    mallopt(M_TOP_PAD, GROW_BYTES);
    mallopt(M_TRIM_THRESHOLD, 2 * GROW_BYTES);
    mallopt(M_MMAP_THRESHOLD, MAPPED_BYTES); /* larger blocks see to it themselves */
    char *const before = sbrk(0);
    /* The heap grows at the latest for the second: it begins with less than both take. */
    void *volatile first = malloc(PIECE_BYTES); /* volatile: else the compiler leaves both out */
    void *volatile second = malloc(PIECE_BYTES);
    char *const after = sbrk(0);
    const size_t skipped = (size_t)(page - (uintptr_t)before % page);
    if (after > before && (size_t)(after - before) > skipped) {
        /* Only a wish: what comes of it does not matter. */
        (void)madvise(before + skipped, (size_t)(after - before) - skipped, MADV_HUGEPAGE);
    }
    free(second);
    free(first);
#endif
}
