/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers, fractions and dates, and the units behind them. */
#include <math.h>
#include <stdio.h>

#include "mouldwright/date.h"
#include "mouldwright/number.h"
#include "mouldwright/suggest.h"

#include "lexer.h"
#include "lexer_bytes.h"

/* Where the figures of a number end, and whether they are digits only. */
typedef struct figure {
    const char *end;
    bool plain;
} figure;

static const char *digits_end(const char *at, const char *end)
{
    while (at < end && mw_byte_is_digit(*at)) {
        at++;
    }
    return at;
}

static inline bool digit_at(const char *at, const char *end)
{
    return at < end && mw_byte_is_digit(*at);
}

/* figure = digits [ "." digits ] [ ( "e" | "E" ) [ "+" | "-" ] digits ] */
static figure scan_figure(const char *at, const char *end)
{
    figure found = {digits_end(at, end), true};
    if (found.end < end && *found.end == '.' && digit_at(found.end + 1, end)) {
        found = (figure){digits_end(found.end + 1, end), false};
    }
    if (found.end < end && (*found.end == 'e' || *found.end == 'E')) {
        const char *power = found.end + 1;
        if (power < end && (*power == '+' || *power == '-')) {
            power++;
        }
        if (digit_at(power, end)) {
            found = (figure){digits_end(power, end), false};
        }
    }
    return found;
}

/* --- figures that are written otherwise --- */

/* Copies the digits of a piece; the mark `point`, if it stands in it, becomes the decimal point. */
static void copy_digits(char *out, size_t room, mw_str piece, char point)
{
    size_t length = 0;
    for (size_t i = 0; i < piece.length && length + 1 < room; i++) {
        if (mw_byte_is_digit(piece.at[i])) {
            out[length++] = piece.at[i];
        } else if (piece.at[i] == point) {
            out[length++] = '.';
        }
    }
    out[length] = '\0';
}

static size_t count_byte(mw_str piece, char byte)
{
    size_t count = 0;
    for (size_t i = 0; i < piece.length; i++) {
        count += piece.at[i] == byte;
    }
    return count;
}

/* A comma with digits on both sides where commas part nothing: 1,5 or 1,000 or 1.234,5 or 1,234.5. */
static const char *report_comma(mw_reading *reading, const char *begin, const char *comma)
{
    const char *end = comma;
    while (end < reading->end && *end == ',' && digit_at(end + 1, reading->end)) {
        end = digits_end(end + 1, reading->end);
    }
    const char *last_comma_end = end;
    if (end < reading->end && *end == '.' && digit_at(end + 1, reading->end)) {
        end = digits_end(end + 1, reading->end);
    }
    mw_str piece = mw_lexer_piece(begin, end);
    bool point_in_front = count_byte(mw_lexer_piece(begin, comma), '.') > 0;
    bool thousands = end > last_comma_end || count_byte(piece, ',') > 1;
    mw_diag *diag =
        mw_lexer_error(reading, MW_CODE_DECIMAL_COMMA, piece,
                       "a comma stands inside the number `%.*s`", mw_lexer_shown(piece), piece.at);
    char pointed[64];
    char whole[64];
    copy_digits(pointed, sizeof pointed, piece, ',');
    copy_digits(whole, sizeof whole, piece, thousands ? '.' : '\0');
    if (!thousands && !point_in_front && end - comma == 4) {
        mw_diag_try(reading->diags, diag, "%s for thousands, %s for decimals", whole, pointed);
    } else {
        mw_diag_try(reading->diags, diag, "%s", thousands ? whole : pointed);
    }
    return end;
}

/* 5. or 1.2.3 */
static const char *report_point(mw_reading *reading, const char *begin, const char *end)
{
    const char *point = end;
    while (end < reading->end && *end == '.' &&
           (end + 1 == reading->end || end[1] != '.' || end == point)) {
        end = digits_end(end + 1, reading->end);
    }
    mw_str piece = mw_lexer_piece(begin, end);
    if (end == point + 1) {
        mw_diag *diag = mw_lexer_error(reading, MW_CODE_BAD_NUMBER, piece,
                                       "digits are missing behind the point of `%.*s`",
                                       mw_lexer_shown(piece), piece.at);
        mw_diag_try(reading->diags, diag, "%.*s0", mw_lexer_shown(piece), piece.at);
        return end;
    }
    mw_diag *diag =
        mw_lexer_error(reading, MW_CODE_BAD_NUMBER, piece, "`%.*s` has more than one point",
                       mw_lexer_shown(piece), piece.at);
    mw_diag_try(reading->diags, diag, "1.5 for a number, 2027-03-11 for a date");
    return end;
}

/* 1_000 or 1'000 */
static const char *report_grouping(mw_reading *reading, const char *begin, const char *end)
{
    while (end < reading->end && (*end == '_' || *end == '\'') && digit_at(end + 1, reading->end)) {
        end = digits_end(end + 1, reading->end);
    }
    mw_str piece = mw_lexer_piece(begin, end);
    char whole[64];
    copy_digits(whole, sizeof whole, piece, '.');
    mw_diag *diag = mw_lexer_error(reading, MW_CODE_BAD_NUMBER, piece,
                                   "the digits of a number stand without marks between them");
    mw_diag_try(reading->diags, diag, "%s", whole);
    return end;
}

/* Looks at what stands right behind the figures; returns where they really end. */
static const char *check_figure(mw_reading *reading, const char *begin, const char *end)
{
    const char *last = reading->end;
    if (end == last) {
        return end;
    }
    switch (*end) {
    case '.':
        return end + 1 < last && end[1] == '.' ? end : report_point(reading, begin, end);
    case ',':
        return !reading->commas && digit_at(end + 1, last) ? report_comma(reading, begin, end)
                                                           : end;
    case '_':
    case '\'':
        return digit_at(end + 1, last) ? report_grouping(reading, begin, end) : end;
    default:
        return end;
    }
}

/* .5 */
static void report_bare_point(mw_reading *reading, mw_str piece)
{
    mw_diag *diag = mw_lexer_error(reading, MW_CODE_BAD_NUMBER, piece,
                                   "a digit is missing in front of the point of `%.*s`",
                                   mw_lexer_shown(piece), piece.at);
    mw_diag_try(reading->diags, diag, "0%.*s", mw_lexer_shown(piece), piece.at);
    bool behind_name = reading->before == MW_TOKEN_NAME && reading->before_end == piece.at;
    reading->quiet = reading->quiet || behind_name;
}

static double figure_value(mw_reading *reading, const char *begin, const char *end)
{
    double value = 0;
    mw_str piece = mw_lexer_piece(begin, end);
    if (*begin == '.') {
        report_bare_point(reading, piece);
        return 0;
    }
    if (mw_number_read(piece, &value) != piece.length) {
        mw_lexer_error(reading, MW_CODE_BAD_NUMBER, piece, "`%.*s` is no number",
                       mw_lexer_shown(piece), piece.at);
        return 0;
    }
    if (isinf(value)) {
        mw_lexer_error(reading, MW_CODE_TOO_LARGE, piece, "the number `%.*s` is too large",
                       mw_lexer_shown(piece), piece.at);
        return 0;
    }
    return value;
}

/* --- units --- */

typedef enum unit_found {
    UNIT_NONE, /* what stands there is not meant as one */
    UNIT_KNOWN,
    UNIT_UNKNOWN, /* a word that is no unit */
    UNIT_BAD      /* a unit with a power that cannot be */
} unit_found;

typedef struct unit_place {
    const char *begin;
    const char *end;
    mw_unit unit;
} unit_place;

/* Whether a word behind a number is there for something else. */
static bool is_no_unit(const mw_reading *reading, mw_str word)
{
    const char *behind = word.at + word.length;
    return mw_lexer_word_kind(word.at, word.length) != MW_TOKEN_NAME ||
           (behind < reading->end && *behind == '(') ||
           (reading->joiners && (mw_str_is(word, "with") || mw_str_is(word, "by") ||
                                 mw_str_is(word, "step") || mw_str_is(word, "show")));
}

/* Reads what must be a unit at place->begin; `word` is the name there, maybe none. */
static unit_found read_unit(mw_reading *reading, mw_str word, unit_place *place)
{
    size_t used = 0;
    mw_str rest = mw_lexer_piece(place->begin, reading->end);
    mw_status status = mw_unit_read(reading->measure, rest, &used, &place->unit);
    const char *end = place->begin + used;
    bool stops = end == reading->end || mw_byte_class_of(*end) > MW_BYTE_HIGH ||
                 mw_lexer_word_end(end, reading->end) == end;
    if (status == MW_OK && stops) {
        place->end = end;
        return UNIT_KNOWN;
    }
    place->unit = MW_UNIT_ONE;
    reading->no_memory = reading->no_memory || status == MW_NO_MEMORY;
    end = mw_lexer_word_end(end, reading->end);
    place->end = used > word.length ? end : word.at + word.length;
    if (word.length == 0) {
        return UNIT_NONE;
    }
    return status == MW_FAILED ? UNIT_BAD : UNIT_UNKNOWN;
}

/* Looks for a unit at the letter place->begin. */
static unit_found probe_word(mw_reading *reading, unit_place *place)
{
    const char *at = place->begin;
    mw_str word = mw_lexer_piece(at, mw_lexer_word_end(at, reading->end));
    return is_no_unit(reading, word) ? UNIT_NONE : read_unit(reading, word, place);
}

/* Looks for a unit at or behind the blanks at `from`. */
static unit_found probe_unit(mw_reading *reading, const char *from, unit_place *place)
{
    const char *at = mw_lexer_skip(from, reading->end);
    *place = (unit_place){at, at, MW_UNIT_ONE};
    if (at == reading->end) {
        return UNIT_NONE;
    }
    if (mw_lexer_is_letter(at, reading->end)) {
        return probe_word(reading, place);
    }
    bool inverse = *at == '1' && at > from && at + 2 < reading->end && at[1] == '/' &&
                   mw_lexer_is_letter(at + 2, reading->end);
    if (inverse || *at == '%' || mw_byte_class_of(*at) == MW_BYTE_HIGH) {
        unit_found found = read_unit(reading, (mw_str){at, 0}, place);
        return inverse && place->end < at + 3 ? UNIT_NONE : found;
    }
    return UNIT_NONE;
}

/* Whether a field ends behind a word, or the name of a mould. */
static bool ends_here(const mw_reading *reading, mw_str word)
{
    const char *next = mw_lexer_skip(word.at + word.length, reading->end);
    return next == reading->end || *next == ',' || *next == ';' || *next == ':' || *next == '#';
}

/* Adds what may help to the report of an unknown unit, right behind a number or behind `as`. */
static void try_unit(mw_reading *reading, mw_diag *diag, mw_str word)
{
    bool behind_as = reading->now.kind == MW_TOKEN_AS;
    mw_suggest suggest;
    mw_suggest_start(&suggest, word);
    mw_unit_suggest(reading->measure, &suggest);
    int shown = mw_lexer_shown(word);
    if (suggest.best.length > 0) {
        mw_diag_try(reading->diags, diag, "%.*s", (int)suggest.best.length, suggest.best.at);
    } else if (behind_as) {
        return;
    } else if (reading->fields && ends_here(reading, word)) {
        return; /* nothing follows that a comma could part */
    } else if (reading->fields) {
        mw_diag_try(reading->diags, diag, "put a comma in front of `%.*s`", shown, word.at);
        reading->quiet = true; /* what follows is the next field's */
    } else {
        mw_diag_try(reading->diags, diag, "to multiply by a name put `*` in front: * %.*s", shown,
                    word.at);
    }
}

static void report_unit(mw_reading *reading, unit_found found, const unit_place *place)
{
    mw_str word = mw_lexer_piece(place->begin, place->end);
    int shown = mw_lexer_shown(word);
    if (found == UNIT_BAD) {
        mw_lexer_error(reading, MW_CODE_BAD_UNIT, word, "the unit `%.*s` has a power out of range",
                       shown, word.at);
    } else if (!reading->no_memory) {
        mw_diag *diag = mw_lexer_error(reading, MW_CODE_UNKNOWN_UNIT, word, "`%.*s` is no unit",
                                       shown, word.at);
        if (diag != NULL) {
            try_unit(reading, diag, word);
        }
    }
}

const char *mw_lexer_unit(mw_reading *reading, const char *at, mw_unit *unit)
{
    unit_place place;
    unit_found found = probe_unit(reading, at, &place);
    *unit = place.unit;
    if (found == UNIT_KNOWN) {
        return place.end;
    }
    if (found == UNIT_NONE) {
        mw_diag *diag = mw_lexer_error(reading, MW_CODE_BAD_UNIT, mw_lexer_piece(at - 2, at),
                                       "a unit is missing behind `as`");
        mw_diag_try(reading->diags, diag, "as kg");
        reading->quiet = true;
        return at;
    }
    report_unit(reading, found, &place);
    return place.end;
}

/* fraction = digits "/" digits, without blanks, only where a unit stands behind it and no slash or power
 * in front. Returns its end, or NULL where it is none; sets number and unit. */
static const char *take_fraction(mw_reading *reading, const char *begin, const char *slash)
{
    if (slash == reading->end || *slash != '/' || !digit_at(slash + 1, reading->end) ||
        (begin > reading->base && (begin[-1] == '/' || begin[-1] == '^'))) {
        return NULL;
    }
    figure below = scan_figure(slash + 1, reading->end);
    unit_place place;
    if (!below.plain || probe_unit(reading, below.end, &place) != UNIT_KNOWN) {
        return NULL;
    }
    double divisor = figure_value(reading, slash + 1, below.end);
    if (divisor == 0) {
        return NULL;
    }
    reading->now.number = figure_value(reading, begin, slash) / divisor;
    reading->now.unit = place.unit;
    return place.end;
}

/* --- dates --- */

static void report_date(mw_reading *reading, mw_str piece)
{
    mw_lexer_error(reading, MW_CODE_BAD_DATE, piece, "there is no date `%.*s`",
                   mw_lexer_shown(piece), piece.at);
}

/* 2027-3-1: means a date, and must not become a subtraction. Returns its end, or NULL. */
static const char *report_short_date(mw_reading *reading, const char *at)
{
    int parts[3] = {0, 0, 0};
    const char *end = at;
    for (int i = 0; i < 3; i++) {
        const char *begin = end;
        while (digit_at(end, reading->end) && end - begin < 4) {
            parts[i] = parts[i] * 10 + (*end++ - '0');
        }
        if (i < 2 && (end == reading->end || *end++ != '-')) {
            return NULL;
        }
    }
    bool like_date = parts[1] >= 1 && parts[1] <= 12 && parts[2] >= 1 && parts[2] <= 31;
    if (!like_date || digit_at(end, reading->end)) {
        return NULL;
    }
    mw_str piece = mw_lexer_piece(at, end);
    mw_diag *diag = mw_lexer_error(reading, MW_CODE_BAD_DATE, piece,
                                   "month and day of a date have two digits each");
    mw_diag_try(reading->diags, diag, "%04d-%02d-%02d", parts[0], parts[1], parts[2]);
    return end;
}

/* date = four digits "-" two digits "-" two digits [ "T" hour ":" minute [ ":" second ] ]. Returns its
 * end, or NULL where it is none. */
static const char *take_date(mw_reading *reading, const char *at)
{
    if (reading->end - at < 8 || at[4] != '-' || !mw_byte_is_digit(at[1]) ||
        !mw_byte_is_digit(at[2]) || !mw_byte_is_digit(at[3]) || !mw_byte_is_digit(at[5])) {
        return NULL;
    }
    bool exists = true;
    mw_str rest = mw_lexer_piece(at, reading->end);
    size_t used = mw_date_read(rest, &reading->now.number, &exists);
    if (used == 0) {
        return report_short_date(reading, at);
    }
    const char *end = at + used;
    const char *word_end = mw_lexer_word_end(end, reading->end);
    if (!exists) {
        report_date(reading, mw_lexer_piece(at, word_end));
    } else if (word_end > end) {
        mw_str piece = mw_lexer_piece(at, word_end);
        mw_diag *diag = mw_lexer_error(reading, MW_CODE_BAD_DATE, piece,
                                       "`%.*s` behind the date cannot be read",
                                       mw_lexer_shown(mw_lexer_piece(end, word_end)), end);
        mw_diag_try(reading->diags, diag,
                    "2027-03-11T14:30 for a time of day; time zones are not "
                    "kept");
    }
    return word_end;
}

/* --- numbers --- */

/* Reads the digits of most numbers: up to 15 of them and no exponent, so that both they and the power of
 * ten are exact and one division rounds once. Returns NULL for all others. The text of a source ends with
 * a NUL byte, so the loops stop. */
static const char *short_figure(mw_reading *reading, const char *begin, bool *plain)
{
    static const double tens[] = {1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                  1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
    const ptrdiff_t most = sizeof tens / sizeof tens[0] - 1;
    int64_t whole = 0;
    const char *at = begin;
    for (; mw_byte_is_digit(*at) && at - begin < most; at++) {
        whole = whole * 10 + (*at - '0');
    }
    reading->now.number = (double)whole;
    *plain = *at != '.' || !mw_byte_is_digit(at[1]);
    if (!*plain) {
        const char *point = at++;
        for (; mw_byte_is_digit(*at) && at - begin < most; at++) {
            whole = whole * 10 + (*at - '0');
        }
        reading->now.number = (double)whole / tens[at - point - 1];
    }
    bool whole_figure = at > begin && at <= reading->end && !mw_byte_is_digit(*at) &&
                        (*at | 0x20) != 'e' && *begin != '.';
    return whole_figure ? at : NULL;
}

/* Reads the unit, if there is one, behind a number that ends at `end`. Returns the end of both. */
static const char *take_unit(mw_reading *reading, const char *end)
{
    const char *at = *end == ' ' ? end + 1 : end;
    mw_byte_class class = mw_byte_class_of(*at);
    if (class == MW_BYTE_SIGN || class == MW_BYTE_PAIR) {
        return end;
    }
    unit_place place = {.begin = at};
    unit_found found = class == MW_BYTE_LETTER && at < reading->end
                           ? probe_word(reading, &place)
                           : probe_unit(reading, end, &place);
    if (found == UNIT_NONE) {
        return end;
    }
    if (found != UNIT_KNOWN) {
        report_unit(reading, found, &place);
    }
    reading->now.unit = place.unit;
    return place.end;
}

/* Reads what is not a short figure with a blank behind it. */
static const char *take_figure(mw_reading *reading, const char *at, const char *end, bool plain)
{
    if (end == NULL) {
        figure found = scan_figure(at, reading->end);
        reading->now.number = figure_value(reading, at, found.end);
        plain = found.plain;
        end = found.end;
    }
    const char *fraction = plain && *end == '/' ? take_fraction(reading, at, end) : NULL;
    return fraction != NULL ? fraction : take_unit(reading, check_figure(reading, at, end));
}

/* number = ( figure | fraction ) [ unit ] | date */
void mw_lexer_number(mw_reading *reading, const char *at)
{
    mw_token *now = &reading->now;
    now->begin = at;
    now->unit = MW_UNIT_ONE;
    now->kind = MW_TOKEN_NUMBER;
    bool plain = false;
    const char *end = short_figure(reading, at, &plain);
    if (end != NULL && *end == ' ') {
        end = take_unit(reading, end);
    } else {
        const char *date = end != NULL && *end == '-' ? take_date(reading, at) : NULL;
        now->kind = date != NULL ? MW_TOKEN_DATE : MW_TOKEN_NUMBER;
        end = date != NULL ? date : take_figure(reading, at, end, plain);
    }
    now->end = end;
    reading->at = end;
}
