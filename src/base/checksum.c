/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See checksum.h. */
#include "mouldwright/checksum.h"

/* Bit by bit: what is checked is a line of text, so a table would not pay. */
uint32_t mw_crc32(uint32_t before, mw_str bytes)
{
    uint32_t crc = ~before;
    for (size_t i = 0; i < bytes.length; i++) {
        crc ^= (unsigned char)bytes.at[i];
        for (int bit = 0; bit < 8; bit++) {
            crc = crc & 1 ? crc >> 1 ^ UINT32_C(0xEDB88320) : crc >> 1;
        }
    }
    return ~crc;
}

uint64_t mw_hash64(mw_str bytes)
{
    uint64_t hash = UINT64_C(0xCBF29CE484222325);
    for (size_t i = 0; i < bytes.length; i++) {
        hash ^= (unsigned char)bytes.at[i];
        hash *= UINT64_C(0x100000001B3);
    }
    return hash;
}
