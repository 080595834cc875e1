/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each byte can be the beginning of. */
#ifndef MW_LANG_LEXER_BYTES_H
#define MW_LANG_LEXER_BYTES_H

#include <stdbool.h>
#include <stdint.h>

typedef enum mw_byte_class {
    MW_BYTE_LETTER, /* a letter of ASCII or _ */
    MW_BYTE_DIGIT,
    MW_BYTE_HIGH,  /* part of a character beyond ASCII */
    MW_BYTE_WRONG, /* nothing begins with it: control characters, and signs of other notations */
    MW_BYTE_BLANK, /* line ends too: they only stand inside a text that goes on */
    MW_BYTE_PAUSE, /* # or \ : maybe a comment or a line joint */
    MW_BYTE_SIGN,  /* a sign by itself */
    MW_BYTE_PAIR,  /* a sign by itself or with the next byte */
    MW_BYTE_QUOTE
} mw_byte_class;

extern const uint8_t mw_byte_classes[256];

static inline mw_byte_class mw_byte_class_of(char byte)
{
    return (mw_byte_class)mw_byte_classes[(uint8_t)byte];
}

static inline bool mw_byte_is_digit(char byte)
{
    return (uint8_t)byte - (unsigned)'0' < 10;
}

/* Whether a byte is a letter, digit or _ of ASCII. */
static inline bool mw_byte_is_name(char byte)
{
    return mw_byte_classes[(uint8_t)byte] < MW_BYTE_HIGH;
}

#endif
