/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Check sums: to notice bytes that were damaged, and to tell one file's content from another's. Not against malice. */
#ifndef MOULDWRIGHT_CHECKSUM_H
#define MOULDWRIGHT_CHECKSUM_H

#include <stdint.h>

#include "mouldwright/text.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Goes on with the 32-bit cyclic redundancy check of `before` (0 at the start) over more bytes and returns it.
 * Source: ISO/IEC/IEEE 8802-3 (Ethernet), frame check sequence; RFC 1952, section 8, has the same. */
uint32_t mw_crc32(uint32_t before, mw_str bytes);

/* Returns the 64-bit FNV-1a hash of bytes.
 * Source: G. Fowler, L. C. Noll, K.-P. Vo, D. Eastlake, The FNV Non-Cryptographic Hash Algorithm. */
uint64_t mw_hash64(mw_str bytes);

#ifdef __cplusplus
}
#endif

#endif
