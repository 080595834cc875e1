/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words, texts and signs. Numbers stand in lexer_number.c, wrong spellings in lexer_spelling.c. */
#include "lexer_token.h"

#include "lexer_bytes.h"
#include "lexer_spelling.h"

/* What a byte means that stands as a sign by itself; END: nothing. */
static const uint8_t single_signs[256] = {
    ['('] = MW_TOKEN_OPEN,       [')'] = MW_TOKEN_CLOSE,   ['['] = MW_TOKEN_OPEN_LIST,
    [']'] = MW_TOKEN_CLOSE_LIST, [','] = MW_TOKEN_COMMA,   [':'] = MW_TOKEN_COLON,
    ['+'] = MW_TOKEN_PLUS,       ['-'] = MW_TOKEN_MINUS,   ['*'] = MW_TOKEN_STAR,
    ['/'] = MW_TOKEN_SLASH,      ['^'] = MW_TOKEN_CARET,   ['='] = MW_TOKEN_EQUAL,
    ['<'] = MW_TOKEN_LESS,       ['>'] = MW_TOKEN_GREATER,
};

static inline void take(mw_reading *reading, mw_token_kind kind, const char *begin, const char *end)
{
    reading->now.kind = kind;
    reading->now.begin = begin;
    reading->now.end = end;
    reading->at = end;
}

/* Words that may be reserved, that go on beyond ASCII, or that are too long. */
static void take_odd_word(mw_reading *reading, const char *begin)
{
    const char *end = mw_lexer_word_end(begin, reading->end);
    size_t length = (size_t)(end - begin);
    if (length > MW_NAME_BYTES) {
        mw_lexer_error(reading, MW_CODE_TOO_LONG, mw_lexer_piece(begin, end),
                       "this name has %zu bytes; a name has at most %d", length, MW_NAME_BYTES);
    }
    take(reading, mw_lexer_word_kind(begin, length), begin, end);
}

/* The text of a source ends with a NUL byte, so running over bytes of one class stops there; only then
 * is it looked at whether the span ended before. */
void mw_token_take_word(mw_reading *reading, const char *begin)
{
    const char *end = begin;
    while (mw_byte_is_name(*end)) {
        end++;
    }
    size_t length = (size_t)(end - begin);
    bool plain = length > MW_RESERVED_BYTES && length <= MW_NAME_BYTES && end <= reading->end &&
                 mw_byte_class_of(*end) != MW_BYTE_HIGH;
    if (plain) {
        take(reading, MW_TOKEN_NAME, begin, end);
    } else {
        take_odd_word(reading, begin);
    }
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

/* Whether the byte behind the sign at `at` can be part of it. */
static bool may_go_on(const mw_reading *reading, const char *at)
{
    return mw_byte_class_of(*at) == MW_BYTE_PAIR && at + 1 < reading->end &&
           mw_byte_class_of(at[1]) == MW_BYTE_PAIR;
}

static void take_other(mw_reading *reading, const char *at)
{
    switch (mw_byte_class_of(*at)) {
    case MW_BYTE_LETTER:
        mw_token_take_word(reading, at);
        break;
    case MW_BYTE_DIGIT:
        mw_lexer_number(reading, at);
        break;
    case MW_BYTE_QUOTE:
        take_text(reading, at);
        break;
    case MW_BYTE_HIGH:
        if (mw_letter_length(at, reading->end, false) > 0) {
            take_odd_word(reading, at);
        } else {
            take_spelling(reading, at);
        }
        break;
    case MW_BYTE_PAIR:
        if (*at == '.' && at + 1 < reading->end && mw_byte_is_digit(at[1])) {
            mw_lexer_number(reading, at);
        } else {
            take_spelling(reading, at);
        }
        break;
    case MW_BYTE_SIGN:
    case MW_BYTE_WRONG:
    case MW_BYTE_PAUSE: /* a backslash that joins no lines */
    case MW_BYTE_BLANK:
        take_spelling(reading, at);
        break;
    }
}

void mw_token_take(mw_reading *reading, const char *at)
{
    mw_token_kind sign = (mw_token_kind)single_signs[(uint8_t)*at];
    if (sign != MW_TOKEN_END && (at[1] == ' ' || !may_go_on(reading, at))) {
        take(reading, sign, at, at + 1);
    } else {
        take_other(reading, at);
    }
}

/* The end is said to stand right behind what was read last. */
static void take_end(mw_reading *reading)
{
    const char *end = reading->end;
    const char *place = reading->before == MW_TOKEN_END ? end : reading->before_end;
    take(reading, MW_TOKEN_END, place, place);
    reading->at = end;
}

void mw_token_take_behind(mw_reading *reading, const char *at)
{
    const char *behind = at < reading->end ? mw_lexer_skip(at, reading->end) : reading->end;
    if (behind == reading->end) {
        take_end(reading);
    } else {
        mw_token_take(reading, behind);
    }
}
