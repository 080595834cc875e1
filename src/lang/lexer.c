/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words, texts and signs. Numbers stand in lexer_number.c, wrong spellings in lexer_spelling.c. */
#include "lexer.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "lexer_bytes.h"
#include "lexer_spelling.h"
#include "lexer_token.h"

#define W_ MW_BYTE_WRONG
#define L_ MW_BYTE_LETTER
#define D_ MW_BYTE_DIGIT
#define H_ MW_BYTE_HIGH
#define B_ MW_BYTE_BLANK
#define C_ MW_BYTE_PAUSE
#define S_ MW_BYTE_SIGN
#define P_ MW_BYTE_PAIR
#define Q_ MW_BYTE_QUOTE

/* clang-format off */
const uint8_t mw_byte_classes[256] = {
    /* 00 */ W_, W_, W_, W_, W_, W_, W_, W_, W_, B_, B_, W_, W_, B_, W_, W_,
    /* 10 */ W_, W_, W_, W_, W_, W_, W_, W_, W_, W_, W_, W_, W_, W_, W_, W_,
    /*  !"#$%&'()*+,-./ */
    /* 20 */ B_, P_, Q_, C_, W_, W_, P_, W_, S_, S_, P_, S_, S_, S_, P_, P_,
    /* 0123456789:;<=>? */
    /* 30 */ D_, D_, D_, D_, D_, D_, D_, D_, D_, D_, P_, W_, P_, P_, P_, W_,
    /* 40 */ W_, L_, L_, L_, L_, L_, L_, L_, L_, L_, L_, L_, L_, L_, L_, L_,
    /* P to Z [ \ ] ^ _ */
    /* 50 */ L_, L_, L_, L_, L_, L_, L_, L_, L_, L_, L_, S_, C_, S_, S_, L_,
    /* 60 */ W_, L_, L_, L_, L_, L_, L_, L_, L_, L_, L_, L_, L_, L_, L_, L_,
    /* p to z { | } ~ */
    /* 70 */ L_, L_, L_, L_, L_, L_, L_, L_, L_, L_, L_, W_, P_, W_, W_, W_,
    /* 80 */ H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_,
    /* 90 */ H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_,
    /* a0 */ H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_,
    /* b0 */ H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_,
    /* c0 */ H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_,
    /* d0 */ H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_,
    /* e0 */ H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_,
    /* f0 */ H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_, H_,
};
/* clang-format on */

#undef W_
#undef L_
#undef D_
#undef H_
#undef B_
#undef C_
#undef S_
#undef P_
#undef Q_

/* Words that are no names. */
typedef struct reserved_word {
    char word[6];
    uint8_t length;
    uint8_t kind;
} reserved_word;

static const reserved_word reserved_words[] = {
    {"if", 2, MW_TOKEN_IF},       {"or", 2, MW_TOKEN_OR},     {"as", 2, MW_TOKEN_AS},
    {"no", 2, MW_TOKEN_NO},       {"and", 3, MW_TOKEN_AND},   {"not", 3, MW_TOKEN_NOT},
    {"yes", 3, MW_TOKEN_YES},     {"then", 4, MW_TOKEN_THEN}, {"else", 4, MW_TOKEN_ELSE},
    {"usual", 5, MW_TOKEN_USUAL},
};

/* Their last letters, bit 0 for `a`: most names are told from them by this or by their length. */
static const uint32_t reserved_ends = 1U << 3 | 1U << 4 | 1U << 5 | 1U << 11 | 1U << 13 | 1U << 14 |
                                      1U << 17 | 1U << 18 | 1U << 19; /* d e f l n o r s t */

mw_token_kind mw_lexer_word_kind(const char *at, size_t length)
{
    unsigned last = length == 0 ? 26 : (uint8_t)at[length - 1] - (unsigned)'a';
    if (length > MW_RESERVED_BYTES || last >= 26 || (reserved_ends >> last & 1) == 0) {
        return MW_TOKEN_NAME;
    }
    for (size_t i = 0; i < sizeof reserved_words / sizeof reserved_words[0]; i++) {
        const reserved_word *row = &reserved_words[i];
        if (row->length == length && memcmp(row->word, at, length) == 0) {
            return (mw_token_kind)row->kind;
        }
    }
    return MW_TOKEN_NAME;
}

mw_diag *mw_lexer_error(mw_reading *reading, mw_code code, mw_str where, const char *format, ...)
{
    reading->failed = true;
    if (reading->quiet) {
        return NULL;
    }
    char message[400];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(message, sizeof message, format, arguments);
    va_end(arguments);
    uint32_t begin = (uint32_t)(where.at - reading->base);
    mw_span span = {reading->source, begin, begin + (uint32_t)where.length};
    return mw_diags_error(reading->diags, code, span, "%s", message);
}

int mw_lexer_shown(mw_str piece)
{
    const size_t most = 40;
    size_t length = 0;
    while (length < piece.length && length < most && piece.at[length] != '\n') {
        length++;
    }
    while (length > 0 && length < piece.length && ((uint8_t)piece.at[length] & 0xC0) == 0x80) {
        length--;
    }
    return (int)length;
}

/* A backslash joins lines where nothing but blanks stands behind it on its own; else it stays. */
static const char *skip_joint(const char *at, const char *end)
{
    const char *behind = at + 1;
    while (behind < end && (*behind == ' ' || *behind == '\t' || *behind == '\r')) {
        behind++;
    }
    if (behind == end) {
        return end;
    }
    return *behind == '\n' ? behind + 1 : at;
}

const char *mw_lexer_skip(const char *at, const char *end)
{
    for (;;) {
        while (at < end && mw_byte_class_of(*at) == MW_BYTE_BLANK) {
            at++;
        }
        if (at == end || mw_byte_class_of(*at) != MW_BYTE_PAUSE) {
            return at;
        }
        if (*at == '#') {
            const char *line_end = memchr(at, '\n', (size_t)(end - at));
            at = line_end == NULL ? end : line_end;
            continue;
        }
        const char *behind = skip_joint(at, end);
        if (behind == at) {
            return at;
        }
        at = behind;
    }
}

const char *mw_lexer_word_end(const char *at, const char *end)
{
    for (;;) {
        while (at < end && mw_byte_is_name(*at)) {
            at++;
        }
        if (at == end || mw_byte_class_of(*at) != MW_BYTE_HIGH) {
            return at;
        }
        size_t length = mw_letter_length(at, end, true);
        if (length == 0) {
            return at;
        }
        at += length;
    }
}

bool mw_lexer_is_letter(const char *at, const char *end)
{
    if (at == end) {
        return false;
    }
    mw_byte_class class = mw_byte_class_of(*at);
    return class == MW_BYTE_LETTER ||
           (class == MW_BYTE_HIGH && mw_letter_length(at, end, false) > 0);
}

bool mw_is_name(mw_str text)
{
    const char *end = text.at + text.length;
    return text.length <= MW_NAME_BYTES && mw_lexer_is_letter(text.at, end) &&
           mw_lexer_word_end(text.at, end) == end &&
           mw_lexer_word_kind(text.at, text.length) == MW_TOKEN_NAME;
}

void mw_lexer_next(mw_reading *reading)
{
    reading->before = reading->now.kind;
    reading->before_begin = reading->now.begin;
    reading->before_end = reading->now.end;
    const char *at = reading->at;
    if (at < reading->end && *at == ' ') {
        at++;
    }
    mw_byte_class class = mw_byte_class_of(*at);
    if (at >= reading->end || class == MW_BYTE_BLANK || class == MW_BYTE_PAUSE) {
        mw_token_take_behind(reading, at);
    } else if (class == MW_BYTE_LETTER) {
        mw_token_take_word(reading, at);
    } else if (class == MW_BYTE_DIGIT) {
        mw_lexer_number(reading, at);
    } else {
        mw_token_take(reading, at);
    }
}
