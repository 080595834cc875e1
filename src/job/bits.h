/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values compared bit by bit: errors are values too (NaNs with a code, equal to nothing), and a text is
 * a handle. */
#ifndef JOB_BITS_H
#define JOB_BITS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

static inline bool same_bits(const double *a, const double *b, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        uint64_t one;
        uint64_t other;
        memcpy(&one, &a[i], sizeof one);
        memcpy(&other, &b[i], sizeof other);
        if (one != other) {
            return false;
        }
    }
    return true;
}

#endif
