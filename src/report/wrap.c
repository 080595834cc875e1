/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Breaking text; see wrap.h. */
#include "wrap.h"

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/* Whether what stands before a blank is a number that goes on behind it: with its unit, or with
 * more digits. */
static bool holds_number(mw_str words, size_t begin, size_t blank)
{
    const size_t first = begin + (words.at[begin] == '-' || words.at[begin] == '+');
    const char next = blank + 1 < words.length ? words.at[blank + 1] : ' ';
    return first < blank && is_digit(words.at[first]) &&
           (is_letter(next) || is_digit(next) || next == '%');
}

/* The end of the piece at `at` that is not broken. */
static size_t piece_end(mw_str words, size_t at)
{
    size_t begin = at;
    for (size_t i = at; i < words.length; i++) {
        if (words.at[i] == ' ') {
            if (!holds_number(words, begin, i)) {
                return i;
            }
            begin = i + 1;
        }
    }
    return words.length;
}

/* How much of a piece that is too long for any line goes on one of `room` columns: up to a joint of
 * its path, or all of it where it has none. */
static size_t part_that_fits(mw_str piece, size_t room)
{
    size_t fits = piece.length;
    for (size_t i = 1; i + 1 < piece.length && i <= room; i++) {
        const bool joint = piece.at[i - 1] == '.' || piece.at[i - 1] == '_' ||
                           piece.at[i - 1] == '/' || piece.at[i - 1] == ',';
        fits = joint && is_letter(piece.at[i]) ? i : fits;
    }
    return fits;
}

static void begin_line(wrapping *to)
{
    mw_text_addc(to->out, '\n');
    mw_text_fill(to->out, ' ', to->indent);
    to->used = to->indent;
}

static void add_piece(wrapping *to, mw_str piece)
{
    const size_t room = to->width > to->indent ? to->width - to->indent : 1;
    while (mw_utf8_columns(piece) > room) {
        const size_t length = part_that_fits(piece, room);
        mw_text_add(to->out, piece.at, length);
        piece = (mw_str){piece.at + length, piece.length - length};
        if (piece.length == 0) {
            to->used = to->width;
            return;
        }
        begin_line(to);
    }
    mw_text_add_str(to->out, piece);
    to->used += mw_utf8_columns(piece);
}

void wrap_words(wrapping *to, mw_str words)
{
    for (size_t at = 0; at < words.length;) {
        const size_t end = piece_end(words, at);
        const mw_str piece = {words.at + at, end - at};
        const size_t gap = at > 0 ? 1 : 0;
        if (at > 0 && to->used + gap + mw_utf8_columns(piece) > to->width) {
            begin_line(to);
        } else {
            mw_text_fill(to->out, ' ', gap);
            to->used += gap;
        }
        add_piece(to, piece);
        at = end + 1;
    }
}

void wrap_part(wrapping *to, size_t gap, mw_str words)
{
    const size_t columns = mw_utf8_columns(words);
    const bool fits = to->used + gap + columns <= to->width;
    const bool fits_below = to->indent + columns <= to->width;
    const bool crowded = to->used + gap + to->width / 4 > to->width;
    if (!fits && (fits_below || crowded || gap > 1) && to->used > to->indent) {
        begin_line(to);
    } else {
        mw_text_fill(to->out, ' ', gap);
        to->used += gap;
    }
    wrap_words(to, words);
}
