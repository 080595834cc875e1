/* SPDX-License-Identifier: GPL-3.0-or-later */
/* UTF-8 against RFC 3629, the Unicode Standard and the C library; columns against UAX 11. */
#include "support.h"

#include <gnu/libc-version.h>
#include <iconv.h>
#include <limits.h>
#include <locale.h>
#include <stdio.h>
#include <string.h>
#include <wchar.h>

#include "mouldwright/text.h"

#define BAD UINT32_MAX

typedef struct decode_row {
    const char *name;
    const char *bytes;
    uint32_t want[12]; /* ends with 0 */
} decode_row;

static const decode_row decode_rows[] = {
    /* Yergeau, UTF-8, a transformation format of ISO 10646, RFC 3629 (2003), section 7 */
    {"RFC 3629: not identical to", "\x41\xE2\x89\xA2\xCE\x91\x2E", {0x41, 0x2262, 0x391, 0x2E}},
    {"RFC 3629: hangugeo", "\xED\x95\x9C\xEA\xB5\xAD\xEC\x96\xB4", {0xD55C, 0xAD6D, 0xC5B4}},
    {"RFC 3629: nihongo", "\xE6\x97\xA5\xE6\x9C\xAC\xE8\xAA\x9E", {0x65E5, 0x672C, 0x8A9E}},
    {"RFC 3629: stump of tree", "\xEF\xBB\xBF\xF0\xA3\x8E\xB4", {0xFEFF, 0x233B4}},
    /* section 10: forms that must not be let through */
    {"RFC 3629: overlong NUL", "\xC0\x80", {BAD, BAD}},
    {"RFC 3629: overlong slash in a path", "\x2F\xC0\xAE\x2E\x2F", {0x2F, BAD, BAD, 0x2E, 0x2F}},
    /* The Unicode Standard 15.0, section 3.9, table 3-4: bytes of four sample characters */
    {"Unicode table 3-4: U+004D", "\x4D", {0x4D}},
    {"Unicode table 3-4: U+0430", "\xD0\xB0", {0x430}},
    {"Unicode table 3-4: U+4E8C", "\xE4\xBA\x8C", {0x4E8C}},
    {"Unicode table 3-4: U+10302", "\xF0\x90\x8C\x82", {0x10302}},
    /* section 3.9, definition D92 and the text on ill-formed sequences */
    {"Unicode D92: surrogate", "\xED\xA0\x80", {BAD, BAD, BAD}},
    {"Unicode D92: past U+10FFFF", "\xF4\x90\x80\x80", {BAD, BAD, BAD, BAD}},
    {"Unicode D92: C0 AF", "\xC0\xAF", {BAD, BAD}},
    {"Unicode D92: E0 9F 80", "\xE0\x9F\x80", {BAD, BAD, BAD}},
    {"Unicode D92: F4 80 83 92", "\xF4\x80\x83\x92", {0x1000D2}},
    {"Unicode D92: lead bytes that do not exist", "\xF5\xFE\xFF", {BAD, BAD, BAD}},
    /* limits of each length, from the ranges of RFC 3629 section 3 */
    {"last of one byte", "\x7F", {0x7F}},
    {"first and last of two", "\xC2\x80\xDF\xBF", {0x80, 0x7FF}},
    {"first and last of three", "\xE0\xA0\x80\xEF\xBF\xBF", {0x800, 0xFFFF}},
    {"round the surrogates", "\xED\x9F\xBF\xEE\x80\x80", {0xD7FF, 0xE000}},
    {"first and last of four", "\xF0\x90\x80\x80\xF4\x8F\xBF\xBF", {0x10000, 0x10FFFF}},
    {"cut after two of three", "\xE2\x82", {BAD, BAD}},
    {"cut after three of four", "\xF0\x9F\x98", {BAD, BAD, BAD}},
    {"tail without lead", "\x80\x41", {BAD, 0x41}},
    {"letter inside a character", "\xE2\x41\xAC", {BAD, 0x41, BAD}},
    {"letter in third place", "\xE2\x82\x41", {BAD, BAD, 0x41}},
    {"letter in fourth place", "\xF0\x9F\x98\x41", {BAD, BAD, BAD, 0x41}},
};

static void decodes(void **state)
{
    const decode_row *row = *state;
    const char *end = row->bytes + strlen(row->bytes);
    const char *at = row->bytes;
    size_t first_bad = strlen(row->bytes);
    for (size_t i = 0; at < end; i++) {
        size_t length = 99;
        uint32_t code = mw_utf8_decode(at, end, &length);
        assert_int_equal(code, row->want[i]);
        if (code == BAD) {
            assert_int_equal(length, 1);
            size_t offset = (size_t)(at - row->bytes);
            first_bad = offset < first_bad ? offset : first_bad;
        }
        at += length;
    }
    assert_ptr_equal(at, end);
    assert_int_equal(mw_utf8_check(mw_str_of(row->bytes)), first_bad);
}

static void nul_is_a_character(void **state)
{
    (void)state;
    size_t length;
    const char nul = '\0';
    assert_int_equal(mw_utf8_decode(&nul, &nul + 1, &length), 0);
    assert_int_equal(length, 1);
    assert_int_equal(mw_utf8_check((mw_str){"a\0b", 3}), 3);
    assert_int_equal(mw_utf8_check((mw_str){NULL, 0}), 0);
}

static void finds_the_bad_byte_wherever_it_stands(void **state)
{
    (void)state;
    char text[41];
    for (size_t at = 0; at < 40; at++) {
        memset(text, 'x', 40);
        text[at] = (char)0xBF;
        assert_int_equal(mw_utf8_check((mw_str){text, 40}), at);
    }
}

/* The C library's own converter is the witness: every code point there is, and every sequence of
 * three bytes behind each lead byte that begins one. */
static void agrees_with_iconv_on_all_characters(void **state)
{
    (void)state;
    iconv_t converter = iconv_open("UTF-8", "UCS-4BE");
    assert_true(converter != (iconv_t)-1);
    for (uint32_t code = 0; code < 0x110000; code++) {
        char wide[4] = {(char)(code >> 24), (char)(code >> 16), (char)(code >> 8), (char)code};
        char bytes[8];
        char *in = wide;
        char *out = bytes;
        size_t in_left = 4;
        size_t out_left = sizeof bytes;
        if (iconv(converter, &in, &in_left, &out, &out_left) == (size_t)-1) {
            assert_true(code >= 0xD800 && code < 0xE000);
            iconv(converter, NULL, NULL, NULL, NULL);
            continue;
        }
        size_t length;
        assert_int_equal(mw_utf8_decode(bytes, out, &length), code);
        assert_int_equal(length, out - bytes);
    }
    iconv_close(converter);
}

static void agrees_with_iconv_on_sequences(void **state)
{
    (void)state;
    static const unsigned char steps[] = {0x00, 0x41, 0x7F, 0x80, 0x8F, 0x90, 0x9F,
                                          0xA0, 0xBF, 0xC0, 0xC2, 0xE0, 0xF4, 0xFF};
    enum { STEPS = sizeof steps };
    iconv_t converter = iconv_open("UCS-4BE", "UTF-8");
    assert_true(converter != (iconv_t)-1);
    for (size_t n = 0; n < (size_t)256 * STEPS * STEPS * STEPS; n++) {
        char bytes[4] = {(char)(n & 255), (char)steps[n / 256 % STEPS],
                         (char)steps[n / 256 / STEPS % STEPS],
                         (char)steps[n / 256 / STEPS / STEPS]};
        unsigned char wide[16];
        char *in = bytes;
        char *out = (char *)wide;
        size_t in_left = 4;
        size_t out_left = 4; /* one character */
        iconv(converter, NULL, NULL, NULL, NULL);
        iconv(converter, &in, &in_left, &out, &out_left);
        size_t length;
        uint32_t code = mw_utf8_decode(bytes, bytes + 4, &length);
        uint32_t want = BAD;
        if (out_left == 0) {
            want = (uint32_t)wide[0] << 24 | (uint32_t)wide[1] << 16 | (uint32_t)wide[2] << 8 |
                   wide[3];
        }
        /* UCS-4 goes on where RFC 3629 ends. */
        assert_int_equal(code, want < 0x110000 ? want : BAD);
    }
    iconv_close(converter);
}

typedef struct columns_row {
    const char *name;
    const char *text;
    size_t want;
} columns_row;

static const columns_row columns_rows[] = {
    {"nothing", "", 0},
    {"ASCII", "hull_port", 9},
    {"control characters", "a\x1B\x07z\x7F", 2},
    {"C1 control character", "\xC2\x9B", 0},
    /* Unicode Standard Annex 11 (revision 40), section 2 and 5; EastAsianWidth-15.0.0 */
    {"Narrow: degree sign is ambiguous, so narrow",
     "20 \xC2\xB0"
     "C",
     5},
    {"Neutral: umlaut",
     "f\xC3\xBC"
     "r",
     3},
    {"Wide: han", "\xE6\x97\xA5\xE6\x9C\xAC\xE8\xAA\x9E", 6},
    {"Wide: hiragana", "\xE3\x81\x8B\xE3\x81\x9F", 4},
    {"Wide: hangul syllables", "\xED\x95\x9C\xEA\xB5\xAD", 4},
    {"Fullwidth: Latin letter A", "\xEF\xBC\xA1", 2},
    {"Halfwidth: katakana", "\xEF\xBD\xB6", 1},
    {"Wide: emoji presentation by default", "\xE2\x9A\xA1", 2},
    {"Wide: grinning face", "\xF0\x9F\x98\x80", 2},
    {"Wide: unassigned in plane 2", "\xF0\xAF\xBF\xBD", 2},
    {"Neutral: heavy black heart", "\xE2\x9D\xA4", 1},
    {"emoji presentation sequence", "\xE2\x9D\xA4\xEF\xB8\x8F", 2},
    {"emoji sign behind a wide character adds nothing", "\xE2\x9A\xA1\xEF\xB8\x8F", 2},
    /* general category Mn, Me, Cf: UnicodeData-15.0.0 */
    {"combining acute", "e\xCC\x81", 1},
    {"two combining marks", "o\xCC\x82\xCC\xA3x", 2},
    {"zero width joiner and space",
     "a\xE2\x80\x8D\xE2\x80\x8B"
     "b",
     2},
    {"soft hyphen shows",
     "a\xC2\xAD"
     "b",
     3},
    {"hangul made of its letters", "\xE1\x84\x92\xE1\x85\xA1\xE1\x86\xAB", 2},
    {"superscript two and middle dot", "m\xC2\xB2\xC2\xB7K", 4},
    {"box drawing and block", "\xE2\x94\x80\xE2\x96\x88", 2},
    {"bytes that are no character", "\xFF\xC3", 2},
};

static void takes_columns(void **state)
{
    const columns_row *row = *state;
    assert_int_equal(mw_utf8_columns(mw_str_of(row->text)), row->want);
}

/* wcwidth() of the C library has a table of its own. Compared with the release whose two deviations
 * from the standard are known: it widens U+3248..324F (ambiguous) and U+4DC0..4DFF (neutral). */
static void agrees_with_wcwidth(void **state)
{
    (void)state;
    if (strcmp(gnu_get_libc_version(), "2.36") != 0 || setlocale(LC_CTYPE, "C.UTF-8") == NULL) {
        skip();
    }
    size_t compared = 0;
    for (uint32_t code = 0; code < 0x110000; code++) {
        char bytes[MB_LEN_MAX];
        mbstate_t shift = {0};
        size_t length = wcrtomb(bytes, (wchar_t)code, &shift);
        int want = wcwidth((wchar_t)code);
        bool deviates = (code >= 0x3248 && code <= 0x324F) || (code >= 0x4DC0 && code <= 0x4DFF);
        if (length == (size_t)-1 || want < 0 || deviates) {
            continue;
        }
        size_t got = mw_utf8_columns((mw_str){bytes, length});
        if (got != (size_t)want) {
            fail_msg("U+%04X takes %zu columns, not %d", (unsigned)code, got, want);
        }
        compared++;
    }
    assert_true(compared > 280000);
    setlocale(LC_CTYPE, "C");
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "decode", decode_rows, decodes);
    test_add(&tests, nul_is_a_character);
    test_add(&tests, finds_the_bad_byte_wherever_it_stands);
    test_add(&tests, agrees_with_iconv_on_all_characters);
    test_add(&tests, agrees_with_iconv_on_sequences);
    test_add_rows(&tests, "columns", columns_rows, takes_columns);
    test_add(&tests, agrees_with_wcwidth);
    return test_run(&tests, "base utf8");
}
