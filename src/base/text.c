/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pieces of text and the growing text. Numbers are formatted by vsnprintf(): they have the decimal
 * point because the program leaves LC_NUMERIC in the C locale that every C program starts in. */
#include "mouldwright/text.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "mouldwright/memory.h"

mw_str mw_str_of(const char *text)
{
    return text == NULL ? (mw_str){.at = "", .length = 0}
                        : (mw_str){.at = text, .length = strlen(text)};
}

bool mw_str_equal(mw_str a, mw_str b)
{
    return a.length == b.length && (a.length == 0 || memcmp(a.at, b.at, a.length) == 0);
}

bool mw_str_is(mw_str a, const char *text)
{
    return mw_str_equal(a, mw_str_of(text));
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

mw_str mw_str_trim(mw_str a)
{
    while (a.length > 0 && is_blank(a.at[0])) {
        a.at++;
        a.length--;
    }
    while (a.length > 0 && is_blank(a.at[a.length - 1])) {
        a.length--;
    }
    return a;
}

/* Makes room for `more` bytes and the NUL behind them. */
static bool make_room(mw_text *text, size_t more)
{
    if (text->failed) {
        return false;
    }
    void *data = text->data;
    if (more >= SIZE_MAX - text->length ||
        !mw_memory_grow(&data, &text->capacity, text->length + more + 1, 1)) {
        text->failed = true;
        return false;
    }
    text->data = data;
    return true;
}

void mw_text_add(mw_text *text, const char *bytes, size_t length)
{
    if (!make_room(text, length)) {
        return;
    }
    if (length > 0) {
        memcpy(text->data + text->length, bytes, length);
    }
    text->length += length;
    text->data[text->length] = '\0';
}

void mw_text_add_str(mw_text *text, mw_str piece)
{
    mw_text_add(text, piece.at, piece.length);
}

void mw_text_adds(mw_text *text, const char *string)
{
    mw_text_add(text, string, strlen(string));
}

void mw_text_addc(mw_text *text, char byte)
{
    mw_text_add(text, &byte, 1);
}

void mw_text_addf(mw_text *text, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    va_list again;
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, arguments);
    if (length < 0) {
        text->failed = true;
    } else if (make_room(text, (size_t)length)) {
        vsnprintf(text->data + text->length, (size_t)length + 1, format, again);
        text->length += (size_t)length;
    }
    va_end(again);
    va_end(arguments);
}

void mw_text_fill(mw_text *text, char byte, size_t count)
{
    if (!make_room(text, count)) {
        return;
    }
    memset(text->data + text->length, byte, count);
    text->length += count;
    text->data[text->length] = '\0';
}

void mw_text_clear(mw_text *text)
{
    text->length = 0;
    text->failed = false;
    if (text->data != NULL) {
        text->data[0] = '\0';
    }
}

void mw_text_free(mw_text *text)
{
    mw_memory_give(text->data);
    *text = (mw_text){0};
}

const char *mw_text_chars(const mw_text *text)
{
    return text->data == NULL ? "" : text->data;
}
