/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Understanding one line of a source that is loaded. */
#include "load.h"

enum { RESERVED_BYTES = 5, NAME_BYTES_MAX = 255 }; /* no reserved word is longer */

/* What a byte means in a formula, as far as that matters here. */
typedef enum byte_kind {
    BYTE_LETTER,
    BYTE_DIGIT, /* up to here: of words */
    BYTE_POINT,
    BYTE_UNIT, /* a sign that can stand in a unit; up to here: of units */
    BYTE_SIGN,
    BYTE_BLANK, /* up to here: nothing to stop at */
    BYTE_OPEN,
    BYTE_CLOSE,
    BYTE_END,
    BYTE_SPECIAL /* takes more than this to understand */
} byte_kind;

#define L_  BYTE_LETTER
#define L4  L_, L_, L_, L_
#define L13 L4, L4, L4, L_
#define L16 L4, L4, L4, L4
#define D_  BYTE_DIGIT
#define X_  BYTE_SPECIAL
#define X4  X_, X_, X_, X_
#define S_  BYTE_SIGN
#define U_  BYTE_UNIT
#define B_  BYTE_BLANK
#define O_  BYTE_OPEN
#define C_  BYTE_CLOSE
#define E_  BYTE_END

/* Bytes beyond ASCII count as letters: what is not in the table of names is left out anyway. The byte 0
 * stands behind every source. */
/* clang-format off */
static const uint8_t kinds[256] = {
    E_, X_, X_, X_, X4, X_, B_, E_, X_, X_, B_, X_, X_, X4, X4, X4, X4,
    /*  !"#$%&'()*+,-./ */
    B_, S_, X_, X_, X_, U_, S_, X_, O_, C_, U_, S_, S_, S_, BYTE_POINT, U_,
    /* 0123456789:;<=>? */
    D_, D_, D_, D_, D_, D_, D_, D_, D_, D_, S_, X_, S_, S_, S_, X_,
    X_, L13, L13, O_, X_, C_, U_, L_,
    X_, L13, L13, X_, S_, X_, S_, X_,
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

/* Returns the end of the number at `at` with the unit behind it, if there is one: what stands there
 * without a blank in it. */
static const char *skip_number(const char *at)
{
    while (kind_of(*at) == BYTE_DIGIT || kind_of(*at) == BYTE_POINT) {
        at++;
    }
    const char *unit = skip_blanks(at);
    if (kind_of(*unit) != BYTE_LETTER) {
        return at;
    }
    while (kind_of(*unit) <= BYTE_UNIT) {
        unit++;
    }
    return unit;
}

static void add_word(loading *load, const char *begin, const char *end)
{
    if (!grow_array(load->words, load->word_capacity, load->word_count + 1)) {
        load->no_memory = true;
        return;
    }
    const mw_str word = {begin, (size_t)(end - begin)};
    load->words[load->word_count++] = (known_word){.begin = (uint32_t)(begin - load->text.at),
                                                   .length = (uint32_t)word.length,
                                                   .name = mw_names_hash(word)};
}

/* Gathers the words of a formula up to the end of its line, which it returns; NULL where it takes more to tell
 * where that is. */
static const char *scan_formula(loading *load, const char *at)
{
    int open = 0;
    for (;;) {
        while (kind_of(*at) > BYTE_DIGIT && kind_of(*at) <= BYTE_BLANK) {
            at++;
        }
        const char *begin = at;
        switch (kind_of(*at)) {
        case BYTE_LETTER:
            at = find_word_end(at);
            add_word(load, begin, at);
            break;
        case BYTE_DIGIT:
            at = skip_number(at);
            break;
        case BYTE_OPEN:
            open++;
            at++;
            break;
        case BYTE_CLOSE:
            open--;
            at++;
            if (open < 0) {
                return NULL;
            }
            break;
        case BYTE_END:
            return open == 0 ? at : NULL;
        case BYTE_SPECIAL:
            return NULL;
        case BYTE_SIGN:
        case BYTE_POINT:
        case BYTE_UNIT:
        case BYTE_BLANK:
            break; /* passed over already */
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
    const char *line_end = scan_formula(load, formula);
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
    out->name = name;
    out->name_at = (mw_span){load->source, (uint32_t)(begin - text),
                             (uint32_t)(begin - text) + (uint32_t)name.length};
    out->formula = (mw_span){load->source, (uint32_t)(formula - text), (uint32_t)(last - text)};
    return true;
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
    out->first_word = load->word_count;
    for (uint32_t i = 0; i < load->ast.node_count; i++) {
        const mw_node *named = &load->ast.nodes[i];
        if (named->kind == MW_NODE_PATH && i != statement.path) {
            add_word(load, load->text.at + named->begin, load->text.at + named->end);
        }
    }
    return MW_OK;
}
