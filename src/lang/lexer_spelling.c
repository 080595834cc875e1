/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The signs that are more than one byte, and those that people bring along from elsewhere. */
#include "lexer_spelling.h"

#include <string.h>

typedef struct spelling {
    const char *written;
    mw_token_kind kind; /* what it is or is taken for */
    const char *meant;  /* NULL: this is the right spelling */
    const char *why;
} spelling;

#define QUOTE_WHY    "text stands between double quotes"
#define BLANK_WHY    "this blank is a special one"
#define HIDDEN_WHY   "a character stands here that cannot be seen"
#define CURRENCY_WHY "a currency is written by its three letters, behind the amount"
#define POWER_WHY    "powers are written with `^`"
#define HALVES_WHY   "fractions are written with `/`"

/* Where one begins like another the longer stands first. */
static const spelling spellings[] = {
    {"..", MW_TOKEN_RANGE, NULL, NULL},
    {"<=", MW_TOKEN_LESS_EQUAL, NULL, NULL},
    {"<>", MW_TOKEN_UNEQUAL, NULL, NULL},
    {">=", MW_TOKEN_GREATER_EQUAL, NULL, NULL},
    {"==", MW_TOKEN_EQUAL, "=", "one `=` is enough"},
    {"=<", MW_TOKEN_LESS_EQUAL, "<=", "less or equal is written the other way round"},
    {"=>", MW_TOKEN_GREATER_EQUAL, ">=", "greater or equal is written the other way round"},
    {"!=", MW_TOKEN_UNEQUAL, "<>", "unequal is written `<>`"},
    {"&&", MW_TOKEN_AND, "and", "conditions are joined by the word `and`"},
    {"||", MW_TOKEN_OR, "or", "conditions are joined by the word `or`"},
    {"**", MW_TOKEN_CARET, "^", POWER_WHY},
    {"//", MW_TOKEN_WRONG, "#", "a comment begins with `#`; one `/` divides"},
    {":=", MW_TOKEN_EQUAL, "=", "a name gets its formula by `=`"},
    {"<", MW_TOKEN_LESS, NULL, NULL},
    {">", MW_TOKEN_GREATER, NULL, NULL},
    {"=", MW_TOKEN_EQUAL, NULL, NULL},
    {"*", MW_TOKEN_STAR, NULL, NULL},
    {"/", MW_TOKEN_SLASH, NULL, NULL},
    {":", MW_TOKEN_COLON, NULL, NULL},
    {".", MW_TOKEN_WRONG, "hull.area",
     "a point joins two names without blanks, or stands in a number"},
    {"!", MW_TOKEN_NOT, "not", "a condition is turned round by the word `not`"},
    {"&", MW_TOKEN_AND, "and", "conditions are joined by the word `and`"},
    {"|", MW_TOKEN_OR, "or", "conditions are joined by the word `or`"},
    {";", MW_TOKEN_COMMA, ",", "values are parted by commas"},
    {"%", MW_TOKEN_WRONG, "8 %", "`%` stands only right behind a number"},
    {"?", MW_TOKEN_WRONG, "if a > b then a else b", "a choice is written with `if`"},
    {"{", MW_TOKEN_WRONG, "(", "brackets are round, those of lists square"},
    {"}", MW_TOKEN_WRONG, ")", "brackets are round, those of lists square"},
    {"'", MW_TOKEN_WRONG, "\"", QUOTE_WHY},
    {"\\", MW_TOKEN_WRONG, NULL, "`\\` joins two lines: it stands at the end of the first"},
    {"$", MW_TOKEN_WRONG, "58 USD", CURRENCY_WHY},
    {"\u00A3", MW_TOKEN_WRONG, "58 GBP", CURRENCY_WHY},
    {"\u20AC", MW_TOKEN_WRONG, "58 EUR", CURRENCY_WHY},
    {"\u00A5", MW_TOKEN_WRONG, "58 JPY", CURRENCY_WHY},
    {"\u00B0", MW_TOKEN_WRONG, "20 degC", "temperatures are written with degC or degF"},
    {"\u00B2", MW_TOKEN_WRONG, "^2", POWER_WHY},
    {"\u00B3", MW_TOKEN_WRONG, "^3", POWER_WHY},
    {"\u00B9", MW_TOKEN_WRONG, "^1", POWER_WHY},
    {"\u00BC", MW_TOKEN_WRONG, "1/4", HALVES_WHY},
    {"\u00BD", MW_TOKEN_WRONG, "1/2", HALVES_WHY},
    {"\u00BE", MW_TOKEN_WRONG, "3/4", HALVES_WHY},
    {"\u00D7", MW_TOKEN_STAR, "*", "times is written `*`"},
    {"\u00B7", MW_TOKEN_STAR, "*", "times is written `*`"},
    {"\u22C5", MW_TOKEN_STAR, "*", "times is written `*`"},
    {"\u00F7", MW_TOKEN_SLASH, "/", "division is written `/`"},
    {"\u2212", MW_TOKEN_MINUS, "-", "minus is written with the sign of the keyboard"},
    {"\u2013", MW_TOKEN_MINUS, "-", "minus is written with the sign of the keyboard"},
    {"\u2014", MW_TOKEN_MINUS, "-", "minus is written with the sign of the keyboard"},
    {"\u2026", MW_TOKEN_RANGE, "..", "a range is written with two points"},
    {"\u2264", MW_TOKEN_LESS_EQUAL, "<=", "less or equal is written `<=`"},
    {"\u2265", MW_TOKEN_GREATER_EQUAL, ">=", "greater or equal is written `>=`"},
    {"\u2260", MW_TOKEN_UNEQUAL, "<>", "unequal is written `<>`"},
    {"\u2018", MW_TOKEN_WRONG, "\"", QUOTE_WHY},
    {"\u2019", MW_TOKEN_WRONG, "\"", QUOTE_WHY},
    {"\u201C", MW_TOKEN_WRONG, "\"", QUOTE_WHY},
    {"\u201D", MW_TOKEN_WRONG, "\"", QUOTE_WHY},
    {"\u201E", MW_TOKEN_WRONG, "\"", QUOTE_WHY},
    {"\u00A0", MW_TOKEN_WRONG, "an ordinary blank", BLANK_WHY},
    {"\u2009", MW_TOKEN_WRONG, "an ordinary blank", BLANK_WHY},
    {"\u202F", MW_TOKEN_WRONG, "an ordinary blank", BLANK_WHY},
    {"\u200B", MW_TOKEN_WRONG, NULL, HIDDEN_WHY},
    {"\uFEFF", MW_TOKEN_WRONG, NULL, HIDDEN_WHY},
};

static const spelling *find_spelling(mw_str rest)
{
    for (size_t i = 0; i < sizeof spellings / sizeof spellings[0]; i++) {
        size_t length = strlen(spellings[i].written);
        if (length <= rest.length && memcmp(spellings[i].written, rest.at, length) == 0) {
            return &spellings[i];
        }
    }
    return NULL;
}

/* Reports a character that means nothing. Returns its bytes. */
static size_t report_stranger(mw_reading *reading, const char *at)
{
    size_t length = 1;
    uint32_t code = mw_utf8_decode(at, reading->end, &length);
    mw_str where = {at, length};
    if (code == UINT32_MAX) {
        mw_lexer_error(reading, MW_CODE_BAD_TEXT, where,
                       "this byte (0x%02X) is not part of UTF-8 text", (unsigned)(uint8_t)*at);
    } else if (code < 0x20 || (code >= 0x7F && code < 0xA0)) {
        mw_lexer_error(reading, MW_CODE_BAD_CHARACTER, where,
                       "a control character (U+%04X) stands here", (unsigned)code);
    } else {
        mw_lexer_error(reading, MW_CODE_BAD_CHARACTER, where,
                       "`%.*s` (U+%04X) has no meaning in a formula", (int)length, at,
                       (unsigned)code);
    }
    return length;
}

mw_token_kind mw_spelling_read(mw_reading *reading, const char *at, size_t *length)
{
    const spelling *row = find_spelling(mw_lexer_piece(at, reading->end));
    if (row == NULL) {
        *length = report_stranger(reading, at);
        reading->quiet = true;
        return MW_TOKEN_WRONG;
    }
    *length = strlen(row->written);
    if (row->why != NULL) {
        mw_code code = row->kind == MW_TOKEN_WRONG ? MW_CODE_BAD_CHARACTER : MW_CODE_SYNTAX;
        mw_diag *diag = mw_lexer_error(reading, code, (mw_str){at, *length}, "%s", row->why);
        if (row->meant != NULL) {
            mw_diag_try(reading->diags, diag, "%s", row->meant);
        }
        bool stray = row->kind == MW_TOKEN_COMMA && !reading->commas;
        reading->quiet = reading->quiet || stray || row->kind == MW_TOKEN_WRONG;
    }
    return row->kind;
}

typedef struct letter_range {
    uint32_t first;
    uint32_t last;
    bool begins; /* may be the first of a name */
} letter_range;

#define LETTERS(first, last) {first, last, true},
#define MARKS(first, last)   {first, last, false},

static const letter_range letter_ranges[] = {
#include "lexer_letters.def"
};

#undef LETTERS
#undef MARKS

size_t mw_letter_length(const char *at, const char *end, bool inside)
{
    size_t length = 1;
    uint32_t code = mw_utf8_decode(at, end, &length);
    if (code == UINT32_MAX) {
        return 0;
    }
    size_t low = 0;
    size_t high = sizeof letter_ranges / sizeof letter_ranges[0];
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (letter_ranges[middle].last < code) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    bool found =
        low < sizeof letter_ranges / sizeof letter_ranges[0] && letter_ranges[low].first <= code;
    return found && (inside || letter_ranges[low].begins) ? length : 0;
}
