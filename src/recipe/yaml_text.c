/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Places, lines and bytes of a file's bare text. */
#include "recipe/yaml_text.h"

#include <string.h>

enum { WORD_BYTES = 8 };

static bool is_continuation(char byte)
{
    return ((unsigned char)byte & 0xc0u) == 0x80u;
}

/* Eight bytes at once are passed where all of them are ASCII. */
static bool eight_are_ascii(const char *at)
{
    uint64_t word;
    memcpy(&word, at, WORD_BYTES);
    return (word & UINT64_C(0x8080808080808080)) == 0;
}

static void move_forward(mw_yaml_places *places, size_t character)
{
    const char *at = places->text.at;
    size_t length = places->text.length;
    while (places->character < character && places->byte < length) {
        if (character - places->character >= WORD_BYTES && length - places->byte >= WORD_BYTES &&
            eight_are_ascii(at + places->byte)) {
            places->byte += WORD_BYTES;
            places->character += WORD_BYTES;
            continue;
        }
        do {
            places->byte++;
        } while (places->byte < length && is_continuation(at[places->byte]));
        places->character++;
    }
}

static void move_back(mw_yaml_places *places, size_t character)
{
    while (places->character > character) {
        do {
            places->byte--;
        } while (places->byte > 0 && is_continuation(places->text.at[places->byte]));
        places->character--;
    }
}

uint32_t mw_yaml_byte(mw_yaml_places *places, size_t character)
{
    if (places->ascii) {
        size_t length = places->text.length;
        return (uint32_t)(character < length ? character : length);
    }
    move_forward(places, character);
    move_back(places, character);
    return (uint32_t)places->byte;
}

/* Returns the first byte at or after `at` that is not plain ASCII text. */
static size_t find_unusual(mw_str text, size_t at)
{
    for (; at < text.length; at++) {
        unsigned char byte = (unsigned char)text.at[at];
        if (byte >= 0x7f || (byte < 0x20 && byte != '\n' && byte != '\r' && byte != '\t')) {
            break;
        }
    }
    return at;
}

/* The characters that YAML 1.1 allows (production c-printable), byte order mark and all. */
static bool may_stand(uint32_t code)
{
    return code == 0x85 || (code >= 0xa0 && code != 0xfffe && code != 0xffff);
}

static void report_byte(mw_str text, mw_span span, mw_diags *diags)
{
    unsigned byte = (unsigned char)text.at[span.begin];
    mw_diags_error(
        diags, MW_CODE_BAD_TEXT, span,
        "the byte %02X here is not UTF-8: the file seems to be saved in another encoding", byte);
}

bool mw_yaml_check_bytes(mw_str text, uint32_t source, bool *ascii, mw_diags *diags)
{
    *ascii = true;
    for (size_t at = find_unusual(text, 0); at < text.length; at = find_unusual(text, at)) {
        size_t length;
        uint32_t code = mw_utf8_decode(text.at + at, text.at + text.length, &length);
        mw_span span = {source, (uint32_t)at, (uint32_t)(at + length)};
        if (code == UINT32_MAX) {
            report_byte(text, span, diags);
            return false;
        }
        if (!may_stand(code)) {
            mw_diag *diag = mw_diags_error(diags, MW_CODE_BAD_CHARACTER, span,
                                           "the control character U+%04X cannot stand in the file",
                                           (unsigned)code);
            mw_diag_try(diags, diag, "remove the character");
            return false;
        }
        *ascii = *ascii && length == 1;
        at += length;
    }
    return true;
}

size_t mw_yaml_break(mw_str text, size_t at)
{
    const char *bytes = text.at + at;
    size_t left = text.length - at;
    if (left == 0) {
        return 0;
    }
    if (bytes[0] == '\n') {
        return 1;
    }
    if (bytes[0] == '\r') {
        return left > 1 && bytes[1] == '\n' ? 2 : 1;
    }
    if (left > 1 && memcmp(bytes, "\xc2\x85", 2) == 0) {
        return 2;
    }
    bool separator = left > 2 && (memcmp(bytes, "\xe2\x80\xa8", 3) == 0 ||
                                  memcmp(bytes, "\xe2\x80\xa9", 3) == 0);
    return separator ? 3 : 0;
}

uint32_t mw_yaml_line_begin(mw_str text, uint32_t at)
{
    while (at > 0 && text.at[at - 1] != '\n' && text.at[at - 1] != '\r') {
        at--;
    }
    return at;
}

uint32_t mw_yaml_line_end(mw_str text, uint32_t at)
{
    while (at < text.length && text.at[at] != '\n' && text.at[at] != '\r') {
        at++;
    }
    return at;
}

uint32_t mw_yaml_line_content(mw_str text, uint32_t line_begin)
{
    uint32_t at = line_begin;
    while (at < text.length && (text.at[at] == ' ' || text.at[at] == '\t')) {
        at++;
    }
    return at;
}

uint32_t mw_yaml_line_above(mw_str text, uint32_t line_begin)
{
    while (line_begin > 0) {
        line_begin = mw_yaml_line_begin(text, line_begin - 1);
        uint32_t content = mw_yaml_line_content(text, line_begin);
        if (content < mw_yaml_line_end(text, line_begin) && text.at[content] != '#') {
            return line_begin;
        }
    }
    return MW_NONE;
}

uint32_t mw_yaml_tab(mw_str text, uint32_t line_begin)
{
    uint32_t content = mw_yaml_line_content(text, line_begin);
    const char *tab =
        content > line_begin ? memchr(text.at + line_begin, '\t', content - line_begin) : NULL;
    return tab == NULL ? MW_NONE : (uint32_t)(tab - text.at);
}

uint32_t mw_yaml_word_end(mw_str text, uint32_t at)
{
    uint32_t end = at;
    while (end < text.length && strchr(" \t\r\n,:[]{}", text.at[end]) == NULL) {
        end++;
    }
    if (end == at && at < text.length && mw_yaml_break(text, at) == 0) {
        end++;
        while (end < text.length && is_continuation(text.at[end])) {
            end++;
        }
    }
    return end;
}
