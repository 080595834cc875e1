/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON as RFC 8259 has it. */
#include "mouldwright/json.h"

#include <assert.h>
#include <inttypes.h>
#include <math.h>

enum { DEEPEST = 60 };

/* The letter of the two-character escape of a byte, or 0. Source: RFC 8259, section 7. */
static char escape_letter(char c)
{
    switch (c) {
    case '"':
        return '"';
    case '\\':
        return '\\';
    case '\b':
        return 'b';
    case '\f':
        return 'f';
    case '\n':
        return 'n';
    case '\r':
        return 'r';
    case '\t':
        return 't';
    default:
        return 0;
    }
}

/* Whether a character can stand as it is. DEL is allowed but shows nothing, so it is escaped too. */
static bool is_plain(uint32_t code)
{
    return code >= 0x20 && code != '"' && code != '\\' && code != 0x7F && code != UINT32_MAX;
}

static void add_escaped(mw_text *out, uint32_t code)
{
    if (code == UINT32_MAX) {
        mw_text_adds(out, "\xEF\xBF\xBD"); /* U+FFFD for what is no character */
        return;
    }
    char letter = escape_letter((char)code);
    if (letter != 0) {
        mw_text_addc(out, '\\');
        mw_text_addc(out, letter);
    } else {
        mw_text_addf(out, "\\u%04x", (unsigned)code);
    }
}

void mw_json_string(mw_text *out, mw_str value)
{
    mw_text_addc(out, '"');
    size_t begin = 0; /* of what stands as it is */
    size_t length;
    for (size_t i = 0; i < value.length; i += length) {
        uint32_t code = mw_utf8_decode(value.at + i, value.at + value.length, &length);
        if (!is_plain(code)) {
            mw_text_add(out, value.at + begin, i - begin);
            add_escaped(out, code);
            begin = i + length;
        }
    }
    if (value.length > begin) {
        mw_text_add(out, value.at + begin, value.length - begin);
    }
    mw_text_addc(out, '"');
}

void mw_json_number(mw_text *out, double value)
{
    if (isfinite(value)) {
        mw_text_addf(out, "%.17g", value);
    } else {
        mw_text_adds(out, "null");
    }
}

/* Adds the comma that is due before the next thing. */
static void begin_thing(mw_json *json)
{
    if (json->after_key) {
        json->after_key = false;
        return;
    }
    uint64_t bit = UINT64_C(1) << json->depth;
    if (json->depth > 0 && (json->filled & bit) != 0) {
        mw_text_adds(json->out, ", ");
    }
    json->filled |= bit;
}

void mw_json_open(mw_json *json, char bracket)
{
    assert(bracket == '{' || bracket == '[');
    assert(json->depth < DEEPEST);
    begin_thing(json);
    mw_text_addc(json->out, bracket);
    json->depth++;
    json->filled &= ~(UINT64_C(1) << json->depth);
}

void mw_json_close(mw_json *json, char bracket)
{
    assert(bracket == '}' || bracket == ']');
    assert(json->depth > 0 && !json->after_key);
    mw_text_addc(json->out, bracket);
    json->depth--;
}

void mw_json_key(mw_json *json, const char *key)
{
    begin_thing(json);
    mw_json_string(json->out, mw_str_of(key));
    mw_text_adds(json->out, ": ");
    json->after_key = true;
}

void mw_json_add_string(mw_json *json, mw_str value)
{
    begin_thing(json);
    mw_json_string(json->out, value);
}

void mw_json_add_number(mw_json *json, double value)
{
    begin_thing(json);
    mw_json_number(json->out, value);
}

void mw_json_add_integer(mw_json *json, int64_t value)
{
    begin_thing(json);
    mw_text_addf(json->out, "%" PRId64, value);
}

void mw_json_add_truth(mw_json *json, bool value)
{
    begin_thing(json);
    mw_text_adds(json->out, value ? "true" : "false");
}

void mw_json_add_null(mw_json *json)
{
    begin_thing(json);
    mw_text_adds(json->out, "null");
}
