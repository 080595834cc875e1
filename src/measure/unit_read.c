/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Units as text: reading. Texts that were read before are remembered, since a file has the same few
 * units over and over. */
#include "measure.h"

#include <math.h>
#include <string.h>

enum { WORD_BYTES = 48, DIGITS_MAX = 6 };

/* A text being read. */
typedef struct reading {
    mw_measure *measure;
    const char *at;
    const char *end;
    factors list;
    size_t unknown; /* bytes of the word that is no unit */
    bool too_much;  /* a power or the number of factors is past the limits */
} reading;

/* A word in the spelling of the table: the micro sign as u, the ohm sign as ohm, the ring as
 * deg. */
typedef struct word {
    char text[WORD_BYTES];
    size_t length;
    size_t raw; /* bytes that it takes in the source */
} word;

/* --- characters ------------------------------------------------------------------------------ */

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/* Returns the digit that a superscript stands for, 10 for a superscript minus, -1 for other
 * characters. */
static int superscript(uint32_t character)
{
    switch (character) {
    case 0x00b2:
        return 2;
    case 0x00b3:
        return 3;
    case 0x00b9:
        return 1;
    case 0x207b:
        return 10;
    default:
        return character == 0x2070 || (character >= 0x2074 && character <= 0x2079)
                   ? (int)(character - 0x2070)
                   : -1;
    }
}

/* Whether a character outside ASCII can stand in a word: signs, blanks and superscripts cannot. */
static bool is_foreign_letter(uint32_t character)
{
    bool sign = character < 0x00a1 || character == 0x00b7 || character == 0x00d7 ||
                (character >= 0x2000 && character <= 0x20cf) ||
                (character >= 0x2190 && character <= 0x2bff) || character == UINT32_MAX;
    return !sign && superscript(character) < 0;
}

/* Returns the spelling that the table has for a character, or NULL. */
static const char *plain_spelling(uint32_t character)
{
    switch (character) {
    case 0x00b5: /* micro sign */
    case 0x03bc: /* Greek mu */
        return "u";
    case 0x03a9: /* Greek omega */
    case 0x2126: /* ohm sign */
        return "ohm";
    case 0x00b0:
        return "deg";
    default:
        return NULL;
    }
}

/* --- words ----------------------------------------------------------------------------------- */

static void add_to_word(word *out, const char *bytes, size_t count)
{
    if (out->length + count <= WORD_BYTES) {
        memcpy(out->text + out->length, bytes, count);
    }
    out->length += count;
}

/* Takes one character of a word; returns its bytes, 0 where the word ends. */
static size_t take_character(word *out, const char *at, const char *end)
{
    bool first = out->length == 0;
    if (is_letter(*at) || (!first && (is_digit(*at) || *at == '_'))) {
        add_to_word(out, at, 1);
        return 1;
    }
    if ((unsigned char)*at < 0x80) {
        return 0;
    }
    size_t bytes;
    uint32_t character = mw_utf8_decode(at, end, &bytes);
    const char *spelling = plain_spelling(character);
    if (spelling != NULL) {
        add_to_word(out, spelling, strlen(spelling));
        return bytes;
    }
    if (!is_foreign_letter(character)) {
        return 0;
    }
    add_to_word(out, at, bytes);
    return bytes;
}

/* word = "%" | letter { letter | digit | "_" } */
static word read_word(const char *at, const char *end)
{
    word out = {.length = 0};
    if (at < end && *at == '%') {
        add_to_word(&out, at, 1);
        out.raw = 1;
        return out;
    }
    const char *begin = at;
    while (at < end) {
        size_t bytes = take_character(&out, at, end);
        if (bytes == 0) {
            break;
        }
        at += bytes;
    }
    out.raw = (size_t)(at - begin);
    return out;
}

bool word_reserved(mw_str text)
{
    static const char *const reserved[] = {"as",   "and",  "or",  "not", "if",
                                           "then", "else", "yes", "no"};
    for (size_t i = 0; i < sizeof reserved / sizeof reserved[0]; i++) {
        if (mw_str_is(text, reserved[i])) {
            return true;
        }
    }
    return false;
}

/* Finds what a name without prefix stands for. */
static const name_meaning *find_name(const mw_measure *measure, mw_str name)
{
    uint32_t id = mw_names_find(measure->names, name);
    return id == MW_NONE ? NULL : &measure->meanings[id];
}

static bool begins_with(mw_str name, const char *start, size_t length)
{
    return name.length > length && memcmp(name.at, start, length) == 0;
}

/* Finds prefix + name. */
static bool find_prefixed(const mw_measure *measure, mw_str name, atom *out)
{
    for (uint32_t i = 0; i < PREFIX_ROWS; i++) {
        const prefix_row *prefix = &prefix_rows[i];
        size_t length = strlen(prefix->symbol);
        if (!begins_with(name, prefix->symbol, length)) {
            continue;
        }
        const name_meaning *meaning =
            find_name(measure, (mw_str){name.at + length, name.length - length});
        if (meaning != NULL && (meaning->prefixes == PREFIX_ALL ||
                                (meaning->prefixes == PREFIX_LARGE && prefix->ten >= 3))) {
            *out = meaning->atom | (i + 1) << 24;
            return true;
        }
    }
    return false;
}

static bool find_atom(const mw_measure *measure, mw_str name, atom *out)
{
    if (word_reserved(name)) {
        return false;
    }
    const name_meaning *meaning = find_name(measure, name);
    if (meaning != NULL) {
        *out = meaning->atom;
        return true;
    }
    return find_prefixed(measure, name, out);
}

/* --- powers ---------------------------------------------------------------------------------- */

/* Reads up to DIGITS_MAX digits; returns their count, 0 where none stand there. More set
 * `too_much`. */
static size_t read_digits(reading *in, const char *at, double *value)
{
    size_t count = 0;
    *value = 0;
    while (at + count < in->end && is_digit(at[count])) {
        *value = *value * 10 + (at[count] - '0');
        count++;
    }
    in->too_much = in->too_much || count > DIGITS_MAX;
    return count;
}

/* "^" ["-"] digits [ "." digits ] [ "/" digits ]; stays where it is if no digit follows. */
static double read_caret_power(reading *in)
{
    const char *at = in->at + 1;
    double sign = at < in->end && *at == '-' ? -1 : 1;
    at += sign < 0;
    double value;
    double part;
    size_t count = read_digits(in, at, &value);
    if (count == 0) {
        return 1;
    }
    at += count;
    if (at < in->end && *at == '.' && (count = read_digits(in, at + 1, &part)) > 0) {
        value += part / pow(10, (double)count);
        at += 1 + count;
    }
    if (at < in->end && *at == '/' && (count = read_digits(in, at + 1, &part)) > 0) {
        value /= part;
        at += 1 + count;
    }
    in->at = at;
    return sign * value;
}

/* A run of superscript digits, a superscript minus before them allowed; 1 where none stands
 * there. */
static double read_raised_power(reading *in)
{
    double sign = 1;
    double value = 0;
    int digits = 0;
    const char *at = in->at;
    while (at < in->end && (unsigned char)*at >= 0x80) {
        size_t bytes;
        int digit = superscript(mw_utf8_decode(at, in->end, &bytes));
        if (digit < 0 || (digit == 10 && at != in->at)) {
            break;
        }
        sign = digit == 10 ? -1 : sign;
        digits += digit != 10;
        value = digit == 10 ? value : value * 10 + digit;
        at += bytes;
    }
    in->too_much = in->too_much || digits > DIGITS_MAX;
    if (digits == 0) {
        return 1;
    }
    in->at = at;
    return sign * value;
}

/* Returns a power in sixtieths, 0 where it is no such thing. */
static int32_t sixtieths_of(double power)
{
    double exact = power * MW_EXPONENT_ONE;
    double whole = nearbyint(exact);
    bool fits = fabs(exact - whole) <= 1e-9 && fabs(whole) <= POWER_MAX * MW_EXPONENT_ONE;
    return fits ? (int32_t)whole : 0;
}

/* --- factors --------------------------------------------------------------------------------- */

/* power = name [ digits | "^" ... | superscripts ]. The name is the longest that is known:
 * digits at the end of the word are a power only where the word with them is no name. */
static bool read_power(reading *in, int sign)
{
    word name = read_word(in->at, in->end);
    in->unknown = name.raw;
    if (name.length > WORD_BYTES) {
        return false;
    }
    atom item;
    size_t length = name.length;
    while (length > 0 && !find_atom(in->measure, (mw_str){name.text, length}, &item)) {
        length = is_digit(name.text[length - 1]) ? length - 1 : 0;
    }
    if (length == 0) {
        return false;
    }
    in->at += name.raw;
    double power = 1;
    if (length < name.length) {
        read_digits(in, in->at - (name.length - length), &power);
    } else if (in->at < in->end && *in->at == '^') {
        power = read_caret_power(in);
    } else {
        power = read_raised_power(in);
    }
    int32_t exponent = sixtieths_of(power);
    in->too_much = in->too_much || exponent == 0 || !factors_add(&in->list, item, sign * exponent);
    return true;
}

/* "*" | "." | "/" | a raised dot; returns its bytes, 0 for anything else. */
static size_t read_operator(const reading *in, int *sign)
{
    *sign = 1;
    if (in->at >= in->end) {
        return 0;
    }
    if (*in->at == '/') {
        *sign = -1;
    }
    if (*in->at == '/' || *in->at == '*' || *in->at == '.') {
        return 1;
    }
    if ((unsigned char)*in->at < 0x80) {
        return 0;
    }
    size_t bytes;
    uint32_t character = mw_utf8_decode(in->at, in->end, &bytes);
    return character == 0x00b7 || character == 0x22c5 ? bytes : 0;
}

/* Takes operators with a unit behind them, as many as stand there. Returns whether there was
 * one. */
static bool read_rest(reading *in)
{
    bool any = false;
    int sign;
    size_t bytes;
    while ((bytes = read_operator(in, &sign)) > 0) {
        in->at += bytes;
        if (!read_power(in, sign)) {
            in->at -= bytes;
            break;
        }
        any = true;
    }
    return any;
}

/* unit = (power | "1") { ("*" | "." | "/") power }; a "1" before a slash needs a unit behind it. */
static bool read_factors(reading *in)
{
    if (in->at < in->end && *in->at == '1') {
        in->at++;
        bool ends = in->at == in->end || (!is_digit(*in->at) && !is_letter(*in->at) &&
                                          strchr("._^/*%", *in->at) == NULL);
        bool found = read_rest(in) || ends;
        in->unknown = 0;
        return found;
    }
    if (!read_power(in, 1)) {
        return false;
    }
    read_rest(in);
    return true;
}

static mw_status read_afresh(mw_measure *measure, mw_str text, size_t *used, mw_unit *unit)
{
    reading in = {.measure = measure, .at = text.at, .end = text.at + text.length};
    if (!read_factors(&in)) {
        *used = in.unknown;
        return MW_NOT_FOUND;
    }
    *used = (size_t)(in.at - text.at);
    return in.too_much ? MW_FAILED : unit_of_factors(measure, &in.list, unit);
}

/* --- texts read before ----------------------------------------------------------------------- */

/* The bytes that could stand in a unit, whatever is around them: all that is read depends on a run of
 * such bytes alone. Letters and digits, % * - . / ^ _, and all of UTF-8 outside ASCII. */
/* clang-format off */
static const uint8_t run_bytes[256] = {
    ['%'] = 1, ['*'] = 1, ['-'] = 1, ['.'] = 1, ['/'] = 1, ['^'] = 1, ['_'] = 1,
    ['0'] = 1, ['1'] = 1, ['2'] = 1, ['3'] = 1, ['4'] = 1, ['5'] = 1, ['6'] = 1, ['7'] = 1,
    ['8'] = 1, ['9'] = 1,
    ['a'] = 1, ['b'] = 1, ['c'] = 1, ['d'] = 1, ['e'] = 1, ['f'] = 1, ['g'] = 1, ['h'] = 1,
    ['i'] = 1, ['j'] = 1, ['k'] = 1, ['l'] = 1, ['m'] = 1, ['n'] = 1, ['o'] = 1, ['p'] = 1,
    ['q'] = 1, ['r'] = 1, ['s'] = 1, ['t'] = 1, ['u'] = 1, ['v'] = 1, ['w'] = 1, ['x'] = 1,
    ['y'] = 1, ['z'] = 1,
    ['A'] = 1, ['B'] = 1, ['C'] = 1, ['D'] = 1, ['E'] = 1, ['F'] = 1, ['G'] = 1, ['H'] = 1,
    ['I'] = 1, ['J'] = 1, ['K'] = 1, ['L'] = 1, ['M'] = 1, ['N'] = 1, ['O'] = 1, ['P'] = 1,
    ['Q'] = 1, ['R'] = 1, ['S'] = 1, ['T'] = 1, ['U'] = 1, ['V'] = 1, ['W'] = 1, ['X'] = 1,
    ['Y'] = 1, ['Z'] = 1,
};
/* clang-format on */

static bool in_run(unsigned char byte)
{
    return (run_bytes[byte] | byte >> 7) != 0;
}

/* Packs the run at the start of a text. Returns its length, UNIT_TEXT_BYTES + 1 if it is longer. */
static size_t pack_run(mw_str text, uint64_t bytes[2])
{
    size_t length = 0;
    bytes[0] = bytes[1] = 0;
    while (length < text.length && in_run((unsigned char)text.at[length])) {
        if (length == UNIT_TEXT_BYTES) {
            return UNIT_TEXT_BYTES + 1;
        }
        bytes[length / 8] |= (uint64_t)(unsigned char)text.at[length] << (length % 8 * 8);
        length++;
    }
    return length;
}

static unit_text *text_slot(mw_measure *measure, const uint64_t bytes[2])
{
    uint64_t hash =
        bytes[0] * UINT64_C(0x9e3779b97f4a7c15) ^ bytes[1] * UINT64_C(0xc4ceb9fe1a85ec53);
    return &measure->unit_texts[hash >> (64 - UNIT_TEXT_BITS)];
}

mw_status mw_unit_read(mw_measure *measure, mw_str text, size_t *used, mw_unit *unit)
{
    uint64_t bytes[2];
    size_t length = pack_run(text, bytes);
    if (length == 0 || length > UNIT_TEXT_BYTES) {
        return read_afresh(measure, text, used, unit);
    }
    unit_text *slot = text_slot(measure, bytes);
    if (slot->bytes[0] != bytes[0] || slot->bytes[1] != bytes[1]) {
        mw_unit found = MW_NONE;
        mw_status status = read_afresh(measure, text, used, &found);
        if (status != MW_OK && status != MW_NOT_FOUND) {
            return status;
        }
        *slot = (unit_text){{bytes[0], bytes[1]}, found, (uint32_t)*used};
    }
    *used = slot->used;
    if (slot->unit == MW_NONE) {
        return MW_NOT_FOUND;
    }
    *unit = slot->unit;
    return MW_OK;
}
