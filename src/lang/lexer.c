/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words, texts and signs. Numbers stand in lexer_number.c, wrong spellings in lexer_spelling.c. */
#include "lexer.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "lexer_bytes.h"
#include "lexer_spelling.h"

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

/* What a byte means that stands as a sign by itself; END: nothing. */
static const uint8_t single_signs[128] = {
    ['('] = MW_TOKEN_OPEN,       [')'] = MW_TOKEN_CLOSE,   ['['] = MW_TOKEN_OPEN_LIST,
    [']'] = MW_TOKEN_CLOSE_LIST, [','] = MW_TOKEN_COMMA,   [':'] = MW_TOKEN_COLON,
    ['+'] = MW_TOKEN_PLUS,       ['-'] = MW_TOKEN_MINUS,   ['*'] = MW_TOKEN_STAR,
    ['/'] = MW_TOKEN_SLASH,      ['^'] = MW_TOKEN_CARET,   ['='] = MW_TOKEN_EQUAL,
    ['<'] = MW_TOKEN_LESS,       ['>'] = MW_TOKEN_GREATER,
};

/* Words that are no names, by length. */
typedef struct reserved_word {
    char word[6];
    uint8_t kind;
} reserved_word;

static const reserved_word reserved_words[] = {
    {"if", MW_TOKEN_IF},       {"or", MW_TOKEN_OR},     {"as", MW_TOKEN_AS},
    {"no", MW_TOKEN_NO},       {"and", MW_TOKEN_AND},   {"not", MW_TOKEN_NOT},
    {"yes", MW_TOKEN_YES},     {"then", MW_TOKEN_THEN}, {"else", MW_TOKEN_ELSE},
    {"usual", MW_TOKEN_USUAL},
};

enum { LONGEST_RESERVED = 5 };

/* Where the words of each length begin in the table; of length n up to where n + 1 begins. */
static const uint8_t reserved_from[LONGEST_RESERVED + 2] = {0, 0, 0, 4, 7, 9, 10};

_Static_assert(sizeof reserved_words / sizeof reserved_words[0] == 10,
               "keep reserved_from in step");

mw_token_kind mw_lexer_word_kind(const char *at, size_t length)
{
    if (length > LONGEST_RESERVED) {
        return MW_TOKEN_NAME;
    }
    for (size_t i = reserved_from[length]; i < reserved_from[length + 1]; i++) {
        if (memcmp(reserved_words[i].word, at, length) == 0) {
            return (mw_token_kind)reserved_words[i].kind;
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

static inline bool is_name_byte(char byte)
{
    mw_byte_class class = mw_byte_class_of(byte);
    return class == MW_BYTE_LETTER || class == MW_BYTE_DIGIT;
}

const char *mw_lexer_word_end(const char *at, const char *end)
{
    for (;;) {
        while (at < end && is_name_byte(*at)) {
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

static inline void take(mw_reading *reading, mw_token_kind kind, const char *begin, const char *end)
{
    reading->now.kind = kind;
    reading->now.begin = begin;
    reading->now.end = end;
    reading->at = end;
}

static void take_word(mw_reading *reading, const char *begin)
{
    const char *end = mw_lexer_word_end(begin, reading->end);
    size_t length = (size_t)(end - begin);
    if (length > MW_NAME_BYTES) {
        mw_lexer_error(reading, MW_CODE_TOO_LONG, mw_lexer_piece(begin, end),
                       "this name has %zu bytes; a name has at most %d", length, MW_NAME_BYTES);
    }
    take(reading, mw_lexer_word_kind(begin, length), begin, end);
}

/* Reports what must not stand between quotes. */
static void check_text(mw_reading *reading, mw_str inside)
{
    size_t bad = mw_utf8_check(inside);
    if (bad < inside.length) {
        mw_lexer_error(reading, MW_CODE_BAD_TEXT, (mw_str){inside.at + bad, 1},
                       "this byte (0x%02X) is not part of UTF-8 text",
                       (unsigned)(uint8_t)inside.at[bad]);
        return;
    }
    for (size_t i = 0; i < inside.length; i++) {
        uint8_t byte = (uint8_t)inside.at[i];
        if ((byte < 0x20 && byte != '\t') || byte == 0x7F) {
            mw_lexer_error(reading, MW_CODE_BAD_CHARACTER, (mw_str){inside.at + i, 1},
                           "a control character (U+%04X) stands in the text", (unsigned)byte);
            return;
        }
    }
}

/* The end of the text whose first byte behind the quote is `at`: the closing quote, or where the line
 * ends without one. */
static const char *find_quote(mw_reading *reading, const char *at)
{
    const char *end = reading->end;
    while (at < end && *at != '"' && *at != '\n') {
        if (*at == '\\' && at + 1 < end && at[1] != '\n') {
            if (at[1] != '"' && at[1] != '\\') {
                mw_diag *diag = mw_lexer_error(
                    reading, MW_CODE_SYNTAX, (mw_str){at, 1},
                    "in a text `\\` stands only in front of a quote or another `\\`");
                mw_diag_try(reading->diags, diag, "\\\\");
            }
            at++;
        }
        at++;
    }
    return at < end ? at : end;
}

/* text = '"' { character | '\"' | '\\' } '"' */
static void take_text(mw_reading *reading, const char *begin)
{
    const char *quote = find_quote(reading, begin + 1);
    check_text(reading, mw_lexer_piece(begin + 1, quote));
    if (quote < reading->end && *quote == '"') {
        take(reading, MW_TOKEN_TEXT, begin, quote + 1);
        return;
    }
    mw_lexer_error(reading, MW_CODE_UNCLOSED, (mw_str){begin, 1},
                   "the text that begins here has no closing quote");
    take(reading, MW_TOKEN_TEXT, begin, quote);
}

/* A sign that may be made of two bytes, or is written otherwise here. */
static void take_spelling(mw_reading *reading, const char *begin)
{
    size_t length = 1;
    mw_token_kind kind = mw_spelling_read(reading, begin, &length);
    take(reading, kind, begin, begin + length);
}

static void take_pair(mw_reading *reading, const char *begin)
{
    uint8_t kind = single_signs[(uint8_t)*begin];
    bool alone = begin + 1 == reading->end || mw_byte_class_of(begin[1]) != MW_BYTE_PAIR;
    if (alone && kind != MW_TOKEN_END) {
        take(reading, (mw_token_kind)kind, begin, begin + 1);
    } else if (*begin == '.' && begin + 1 < reading->end && mw_byte_is_digit(begin[1])) {
        mw_lexer_number(reading, begin);
    } else {
        take_spelling(reading, begin);
    }
}

static void take_high(mw_reading *reading, const char *begin)
{
    if (mw_letter_length(begin, reading->end, false) > 0) {
        take_word(reading, begin);
    } else {
        take_spelling(reading, begin);
    }
}

/* The end of the text, said to stand right behind what was read last. */
static void take_end(mw_reading *reading, const char *at)
{
    const char *place = reading->before == MW_TOKEN_END ? at : reading->before_end;
    take(reading, MW_TOKEN_END, place, place);
    reading->at = reading->end;
}

void mw_lexer_next(mw_reading *reading)
{
    reading->before = reading->now.kind;
    reading->before_begin = reading->now.begin;
    reading->before_end = reading->now.end;
    const char *at = mw_lexer_skip(reading->at, reading->end);
    if (at == reading->end) {
        take_end(reading, at);
        return;
    }
    switch (mw_byte_class_of(*at)) {
    case MW_BYTE_LETTER:
        take_word(reading, at);
        break;
    case MW_BYTE_DIGIT:
        mw_lexer_number(reading, at);
        break;
    case MW_BYTE_SIGN:
        take(reading, (mw_token_kind)single_signs[(uint8_t)*at], at, at + 1);
        break;
    case MW_BYTE_PAIR:
        take_pair(reading, at);
        break;
    case MW_BYTE_QUOTE:
        take_text(reading, at);
        break;
    case MW_BYTE_HIGH:
        take_high(reading, at);
        break;
    case MW_BYTE_WRONG:
    case MW_BYTE_PAUSE:
    case MW_BYTE_BLANK:
        take_spelling(reading, at);
        break;
    }
}
