/* SPDX-License-Identifier: GPL-3.0-or-later */
/* UTF-8 (RFC 3629) and the columns that characters take. */
#include "mouldwright/text.h"

#include <string.h>

#include "utf8.h"

enum { SIGN_EMOJI = 0xFE0F }; /* variation selector 16: the character before it is shown as emoji */

typedef struct width_range {
    uint32_t first;
    uint32_t last;
    uint8_t columns;
} width_range;

static const width_range width_ranges[] = {
#include "utf8_width.def"
};

/* What the lead byte says: length, and the range of the second byte, which keeps out overlong forms,
 * surrogates and what lies past U+10FFFF. Source: RFC 3629, section 4:
 *   UTF8-1 = %x00-7F
 *   UTF8-2 = %xC2-DF UTF8-tail
 *   UTF8-3 = %xE0 %xA0-BF UTF8-tail / %xE1-EC 2( UTF8-tail ) / %xED %x80-9F UTF8-tail /
 *            %xEE-EF 2( UTF8-tail )
 *   UTF8-4 = %xF0 %x90-BF 2( UTF8-tail ) / %xF1-F3 3( UTF8-tail ) / %xF4 %x80-8F 2( UTF8-tail )
 *   UTF8-tail = %x80-BF */
typedef struct lead_form {
    uint8_t first; /* lead bytes from here */
    uint8_t last;
    uint8_t length;
    uint8_t second_first;
    uint8_t second_last;
} lead_form;

static const lead_form lead_forms[] = {
    {0xC2, 0xDF, 2, 0x80, 0xBF}, {0xE0, 0xE0, 3, 0xA0, 0xBF}, {0xE1, 0xEC, 3, 0x80, 0xBF},
    {0xED, 0xED, 3, 0x80, 0x9F}, {0xEE, 0xEF, 3, 0x80, 0xBF}, {0xF0, 0xF0, 4, 0x90, 0xBF},
    {0xF1, 0xF3, 4, 0x80, 0xBF}, {0xF4, 0xF4, 4, 0x80, 0x8F},
};

static const lead_form *form_of(unsigned char lead)
{
    for (size_t i = 0; i < sizeof lead_forms / sizeof lead_forms[0]; i++) {
        if (lead >= lead_forms[i].first && lead <= lead_forms[i].last) {
            return &lead_forms[i];
        }
    }
    return NULL;
}

uint32_t mw_utf8_decode(const char *at, const char *end, size_t *length)
{
    *length = 1;
    unsigned char lead = (unsigned char)at[0];
    if (lead < 0x80) {
        return lead;
    }
    const lead_form *form = form_of(lead);
    if (form == NULL || end - at < form->length) {
        return UINT32_MAX;
    }
    unsigned char second = (unsigned char)at[1];
    if (second < form->second_first || second > form->second_last) {
        return UINT32_MAX;
    }
    uint32_t code = lead & (0x7FU >> form->length);
    for (size_t i = 1; i < form->length; i++) {
        unsigned char tail = (unsigned char)at[i];
        if ((tail & 0xC0) != 0x80) {
            return UINT32_MAX;
        }
        code = code << 6 | (tail & 0x3FU);
    }
    *length = form->length;
    return code;
}

static size_t columns_of(uint32_t code)
{
    if (code == UINT32_MAX) {
        return 1; /* a byte that is no character is shown as one sign */
    }
    if (code < 0x20 || (code >= 0x7F && code < 0xA0)) {
        return 0;
    }
    size_t low = 0;
    size_t high = sizeof width_ranges / sizeof width_ranges[0];
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (code > width_ranges[middle].last) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    bool listed =
        low < sizeof width_ranges / sizeof width_ranges[0] && code >= width_ranges[low].first;
    return listed ? width_ranges[low].columns : 1;
}

size_t mw_utf8_step_columns(uint32_t code, size_t *last)
{
    if (code == SIGN_EMOJI && *last == 1) {
        *last = 0;
        return 1; /* UAX 11, section 5: emoji presentation sequences are wide */
    }
    *last = columns_of(code);
    return *last;
}

size_t mw_utf8_columns(mw_str piece)
{
    size_t columns = 0;
    size_t last = 0;
    size_t length;
    for (size_t i = 0; i < piece.length; i += length) {
        uint32_t code = mw_utf8_decode(piece.at + i, piece.at + piece.length, &length);
        columns += mw_utf8_step_columns(code, &last);
    }
    return columns;
}

size_t mw_utf8_check(mw_str piece)
{
    const uint64_t high_bits = UINT64_C(0x8080808080808080);
    size_t i = 0;
    while (i < piece.length) {
        uint64_t word;
        if (piece.length - i >= sizeof word) {
            memcpy(&word, piece.at + i, sizeof word);
            if ((word & high_bits) == 0) {
                i += sizeof word;
                continue;
            }
        }
        size_t length;
        if (mw_utf8_decode(piece.at + i, piece.at + piece.length, &length) == UINT32_MAX) {
            return i;
        }
        i += length;
    }
    return i;
}
