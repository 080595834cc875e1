/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Understanding one line of a source that is loaded. */
#include <string.h>

#include "load.h"

enum { RESERVED_BYTES = 5, NAME_BYTES_MAX = 255 }; /* no reserved word is longer */

/* What a byte means in a formula, as far as that matters here. */
typedef enum byte_kind {
    BYTE_LETTER,
    BYTE_DIGIT, /* up to here: of words */
    BYTE_POWER,
    BYTE_POINT,
    BYTE_FACTOR, /* * / %; up to here: of units */
    BYTE_SIGN,   /* all others that formulas with a shape may have */
    BYTE_BLANK,
    BYTE_OTHER, /* up to here, from BYTE_POINT on: nothing to stop at */
    BYTE_OPEN,
    BYTE_CLOSE,
    BYTE_END,
    BYTE_SPECIAL /* takes more than this to understand */
} byte_kind;

/* Formulas with these have no shape. */
#define ODD_BYTES (1u << BYTE_POINT | 1u << BYTE_OTHER)

#define L_  BYTE_LETTER
#define L4  L_, L_, L_, L_
#define L13 L4, L4, L4, L_
#define L16 L4, L4, L4, L4
#define D_  BYTE_DIGIT
#define X_  BYTE_SPECIAL
#define X4  X_, X_, X_, X_
#define S_  BYTE_SIGN
#define F_  BYTE_FACTOR
#define Y_  BYTE_OTHER
#define B_  BYTE_BLANK
#define O_  BYTE_OPEN
#define C_  BYTE_CLOSE
#define E_  BYTE_END

/* Bytes beyond ASCII count as letters: what is not in the table of names is left out anyway. The
 * byte 0 stands behind every source. */
/* clang-format off */
static const uint8_t kinds[256] = {
    E_, X_, X_, X_, X4, X_, B_, E_, X_, X_, B_, X_, X_, X4, X4, X4, X4,
    /*  !"#$%&'()*+,-./ */
    B_, Y_, X_, X_, X_, F_, Y_, X_, O_, C_, F_, S_, S_, S_, BYTE_POINT, F_,
    /* 0123456789:;<=>? */
    D_, D_, D_, D_, D_, D_, D_, D_, D_, D_, Y_, X_, S_, S_, S_, X_,
    X_, L13, L13, O_, X_, C_, BYTE_POWER, L_,
    X_, L13, L13, X_, Y_, X_, Y_, X_,
    L16, L16, L16, L16, L16, L16, L16, L16,
};
/* clang-format on */

static inline byte_kind kind_of(char byte)
{
    return (byte_kind)kinds[(uint8_t)byte];
}

static inline bool is_word(char byte)
{
    return kind_of(byte) <= BYTE_DIGIT;
}

static const char *skip_blanks(const char *at)
{
    while (kind_of(*at) == BYTE_BLANK) {
        at++;
    }
    return at;
}

/* Returns the end of the name at `at`; names with dots in them are one. */
static const char *find_word_end(const char *at)
{
    for (;;) {
        while (is_word(*at)) {
            at++;
        }
        if (*at != '.' || kind_of(at[1]) != BYTE_LETTER) {
            return at;
        }
        at++;
    }
}

/* A formula being scanned, with its text but for names and numbers. */
typedef struct formula_scan {
    loading *load;
    uint32_t length;
    uint32_t odd; /* not 0: it has no shape */
    char shape[LIKE_BYTES];
} formula_scan;

/* Past the room for it the text is written over, and then has no shape. */
static inline void add_byte(formula_scan *scan, char byte)
{
    scan->shape[scan->length++ % LIKE_BYTES] = byte;
}

static void add_leaf(formula_scan *scan, known_word word)
{
    loading *load = scan->load;
    if (!grow_array(load->words, load->word_capacity, load->word_count + 1)) {
        load->no_memory = true;
        return;
    }
    load->words[load->word_count++] = word;
}

static void add_bytes(formula_scan *scan, const char *begin, const char *end)
{
    for (; begin < end; begin++) {
        add_byte(scan, *begin);
    }
}

/* Returns the end of the unit at `at`: what stands there without a blank in it. */
static const char *find_unit_end(const char *at)
{
    while (kind_of(*at) <= BYTE_FACTOR) {
        at++;
    }
    return at;
}

static bool is_reserved(mw_str word)
{
    return word.length <= RESERVED_BYTES && strchr("aeinotuy", *word.at) != NULL &&
           !mw_is_name(word);
}

/* Returns the end of the word at `at`. Reserved words, names of functions and the unit behind
 * `as` are part of the shape. */
static const char *scan_word(formula_scan *scan, const char *begin)
{
    const char *end = find_word_end(begin);
    const mw_str word = {begin, (size_t)(end - begin)};
    if (is_reserved(word) || *skip_blanks(end) == '(') {
        end = mw_str_is(word, "as") ? find_unit_end(skip_blanks(end)) : end;
        add_bytes(scan, begin, end);
        return end;
    }
    add_leaf(scan, (known_word){.begin = (uint32_t)(begin - scan->load->text.at),
                                .length = (uint32_t)word.length,
                                .name = mw_names_hash(word)});
    add_byte(scan, LIKE_NAME);
    return end;
}

static const char *skip_digits(const char *at)
{
    while (kind_of(*at) == BYTE_DIGIT) {
        at++;
    }
    return at;
}

/* Returns the end of the digits at `begin`. What could be part of a fraction, a date or an
 * exponent has no shape. */
static const char *scan_digits(formula_scan *scan, const char *begin)
{
    const char *end = skip_digits(begin);
    if (*end == '.' && kind_of(end[1]) == BYTE_DIGIT) {
        end = skip_digits(end + 1);
    }
    const bool goes_on = kind_of(*end) == BYTE_LETTER || kind_of(*end) == BYTE_POINT ||
                         ((*end == '-' || *end == '/') && kind_of(end[1]) == BYTE_DIGIT);
    scan->odd |= goes_on ? 1 : 0;
    return end;
}

/* Returns the end of the number at `begin` with the unit behind it, if there is one. */
static const char *scan_number(formula_scan *scan, const char *begin)
{
    const char *end = scan_digits(scan, begin);
    add_leaf(scan, (known_word){.begin = (uint32_t)(begin - scan->load->text.at),
                                .length = (uint32_t)(end - begin) | LOAD_NUMBER});
    add_byte(scan, LIKE_NUMBER);
    const char *unit = skip_blanks(end);
    if (kind_of(*unit) != BYTE_LETTER) {
        return end;
    }
    const char *unit_end = find_unit_end(unit);
    add_bytes(scan, end, unit_end);
    return unit_end;
}

/* Returns the end of the power at `begin`. Its number says what kind the result is, and so is
 * part of the shape. */
static const char *scan_power(formula_scan *scan, const char *begin)
{
    const char *number = skip_blanks(begin + 1);
    scan->odd |= kind_of(*number) == BYTE_DIGIT ? 0 : 1;
    const char *end = scan_digits(scan, number);
    add_bytes(scan, begin, end);
    return end;
}

/* Returns the end of the signs
 and blanks at `at`. */
static const char *scan_signs(formula_scan *scan, const char *at)
{
    uint32_t length = scan->length;
    uint32_t kinds_seen = 0;
    for (;; at++) {
        const byte_kind kind = kind_of(*at);
        if (kind < BYTE_POINT || kind > BYTE_OTHER) {
            break;
        }
        kinds_seen |= 1u << kind;
        scan->shape[length++ % LIKE_BYTES] = *at;
    }
    scan->length = length;
    scan->odd |= kinds_seen & ODD_BYTES;
    return at;
}

/* Gathers the words of a formula up to the end of its line, which it returns; NULL where it
 * takes more to tell where that is. */
static const char *scan_formula(formula_scan *scan, const char *at)
{
    int open = 0;
    for (;;) {
        at = scan_signs(scan, at);
        switch (kind_of(*at)) {
        case BYTE_LETTER:
            at = scan_word(scan, at);
            break;
        case BYTE_DIGIT:
            at = scan_number(scan, at);
            break;
        case BYTE_POWER:
            at = scan_power(scan, at);
            break;
        case BYTE_OPEN:
        case BYTE_CLOSE:
            add_byte(scan, *at);
            open += kind_of(*at) == BYTE_OPEN ? 1 : -1;
            at++;
            if (open < 0) {
                return NULL;
            }
            break;
        case BYTE_END:
            return open == 0 ? at : NULL;
        case BYTE_POINT:
        case BYTE_FACTOR:
        case BYTE_SIGN:
        case BYTE_BLANK:
        case BYTE_OTHER: /* passed over already */
        case BYTE_SPECIAL:
            return NULL;
        }
    }
}

/* A name at the beginning of a line; empty: none, or one that needs a closer look. */
static mw_str read_name(const char *begin)
{
    const char *end = begin;
    uint8_t bits = 0;
    for (; is_word(*end); end++) {
        bits |= (uint8_t)*end;
    }
    const mw_str name = {begin, (size_t)(end - begin)};
    const bool fine = bits < 0x80 && name.length > 0 && name.length <= NAME_BYTES_MAX &&
                      kind_of(*begin) == BYTE_LETTER &&
                      (name.length > RESERVED_BYTES || mw_is_name(name));
    return fine ? name : (mw_str){begin, 0};
}

bool load_read_plain(loading *load, uint32_t *at, read_line *out)
{
    const char *text = load->text.at;
    const char *text_end = text + load->text.length;
    const char *begin = skip_blanks(text + *at);
    const mw_str name = read_name(begin);
    const char *sign = skip_blanks(name.at + name.length);
    if (name.length == 0 || *sign != '=') {
        return false;
    }
    const char *formula = skip_blanks(sign + 1);
    const uint32_t words = load->word_count;
    formula_scan scan;
    scan.load = load;
    scan.length = 0;
    scan.odd = 0;
    const char *line_end = scan_formula(&scan, formula);
    if (line_end == NULL || line_end == formula || (*line_end == '\0' && line_end < text_end)) {
        load->word_count = words;
        return false;
    }
    const char *last = line_end;
    while (kind_of(last[-1]) == BYTE_BLANK) {
        last--;
    }
    *at = (uint32_t)(line_end - text) + (line_end < text_end);
    out->first_word = words;
    const bool alike = scan.odd == 0 && scan.length <= LIKE_BYTES;
    out->shape = alike ? like_shape(&load->likes, (mw_str){scan.shape, scan.length}) : MW_NONE;
    out->name = name;
    out->name_at = (mw_span){load->source, (uint32_t)(begin - text),
                             (uint32_t)(begin - text) + (uint32_t)name.length};
    out->formula = (mw_span){load->source, (uint32_t)(formula - text), (uint32_t)(last - text)};
    return true;
}

/* A name that the statement was found to have. */
static void add_name(loading *load, uint32_t begin, uint32_t end)
{
    const mw_str word = {load->text.at + begin, end - begin};
    formula_scan scan = {.load = load};
    add_leaf(&scan,
             (known_word){.begin = begin, .length = end - begin, .name = mw_names_hash(word)});
}

mw_status load_read_statement(loading *load, mw_span line, char *room, read_line *out)
{
    const mw_sheet *sheet = load->edit->sheet;
    const mw_reader reader = {&load->ast, sheet->measure, sheet->sources, load->diags};
    mw_statement statement;
    mw_ast_clear(&load->ast);
    const mw_status status = mw_parse_statement(&reader, line, &statement);
    if (status != MW_OK) {
        return status;
    }
    if (statement.kind == MW_SAY_NOTHING) {
        return MW_NOT_FOUND;
    }
    if (statement.kind != MW_SAY_SET) {
        mw_diags_error(load->diags, MW_CODE_UNKNOWN_STATEMENT, statement.span,
                       "only lines of the form NAME = FORMULA can stand here");
        return MW_FAILED;
    }
    const mw_node *node = &load->ast.nodes[statement.path];
    const mw_path path = {.parts = &load->ast.parts[node->a], .count = node->count};
    out->name = scope_name(&path, room, LOAD_NAME_BYTES);
    out->name_at = (mw_span){load->source, node->begin, node->end};
    out->formula = statement.formula_span;
    out->shape = MW_NONE;
    out->first_word = load->word_count;
    for (uint32_t i = 0; i < load->ast.node_count; i++) {
        const mw_node *named = &load->ast.nodes[i];
        if (named->kind == MW_NODE_PATH && i != statement.path) {
            add_name(load, named->begin, named->end);
        }
    }
    return MW_OK;
}
