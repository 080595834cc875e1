/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a value begins with: numbers, names, brackets, signs in front, choices. */
#include "parser_value.h"

#include "parser_tree.h"

/* Adds a node without children for the present token and goes on. */
static uint32_t add_leaf(mw_reading *reading, mw_node_kind kind)
{
    const mw_token *now = &reading->now;
    uint32_t id = mw_tree_add(reading, kind, mw_tree_offset(reading, now->begin),
                              mw_tree_offset(reading, now->end));
    mw_tree_node(reading, id)->number = now->number;
    mw_tree_node(reading, id)->unit = now->unit;
    reading->height = 1;
    mw_lexer_next(reading);
    return id;
}

uint32_t mw_value_nothing(mw_reading *reading)
{
    mw_parser_missing(reading);
    return mw_tree_hole(reading);
}

uint32_t mw_value_wrong(mw_reading *reading)
{
    mw_lexer_next(reading);
    return mw_tree_hole(reading);
}

uint32_t mw_value_number(mw_reading *reading)
{
    return add_leaf(reading, MW_NODE_NUMBER);
}

uint32_t mw_value_date(mw_reading *reading)
{
    reading->now.unit = MW_UNIT_ONE;
    return add_leaf(reading, MW_NODE_DATE);
}

static uint32_t read_plain(mw_reading *reading, mw_node_kind kind, double number)
{
    reading->now.unit = MW_UNIT_ONE;
    reading->now.number = number;
    return add_leaf(reading, kind);
}

uint32_t mw_value_truth(mw_reading *reading)
{
    return read_plain(reading, MW_NODE_TRUTH, reading->now.kind == MW_TOKEN_YES);
}

uint32_t mw_value_usual(mw_reading *reading)
{
    return read_plain(reading, MW_NODE_USUAL, 0);
}

uint32_t mw_value_text(mw_reading *reading)
{
    mw_str inside = {reading->now.begin + 1, (size_t)(reading->now.end - reading->now.begin) - 1};
    if (inside.length > 0 && inside.at[inside.length - 1] == '"') {
        inside.length--;
    }
    uint32_t part = mw_tree_part(reading, inside);
    uint32_t id = read_plain(reading, MW_NODE_TEXT, 0);
    mw_node *node = mw_tree_node(reading, id);
    node->begin = mw_tree_offset(reading, inside.at);
    node->end = node->begin + (uint32_t)inside.length;
    node->a = part;
    node->count = 1;
    return id;
}

static void check_part(mw_reading *reading, mw_str part)
{
    if (part.length > MW_NAME_BYTES) {
        mw_lexer_error(reading, MW_CODE_TOO_LONG, part,
                       "this name has %zu bytes; a name has at most %d", part.length,
                       MW_NAME_BYTES);
    } else if (mw_lexer_word_kind(part.at, part.length) != MW_TOKEN_NAME) {
        mw_lexer_error(reading, MW_CODE_SYNTAX, part,
                       "`%.*s` is a word of the language and cannot be a name", (int)part.length,
                       part.at);
    }
}

/* path = NAME { "." NAME }, without blanks */
uint32_t mw_parser_path(mw_reading *reading)
{
    const char *begin = reading->now.begin;
    const char *at = reading->now.end;
    uint32_t first = mw_tree_part(reading, mw_lexer_piece(begin, at));
    uint32_t count = 1;
    while (at < reading->end && *at == '.' && mw_lexer_is_letter(at + 1, reading->end)) {
        const char *end = mw_lexer_word_end(at + 1, reading->end);
        mw_str part = mw_lexer_piece(at + 1, end);
        check_part(reading, part);
        mw_tree_part(reading, part);
        count++;
        at = end;
    }
    uint32_t id = mw_tree_add(reading, MW_NODE_PATH, mw_tree_offset(reading, begin),
                              mw_tree_offset(reading, at));
    mw_tree_node(reading, id)->a = first;
    mw_tree_node(reading, id)->count = (uint16_t)count;
    reading->height = 1;
    reading->now.end = at;
    reading->at = at;
    mw_lexer_next(reading);
    return id;
}

/* Whether a value of a list or function can end in front of the token. */
static bool ends_value(mw_token_kind kind)
{
    return kind == MW_TOKEN_COMMA || kind == MW_TOKEN_CLOSE || kind == MW_TOKEN_CLOSE_LIST ||
           kind == MW_TOKEN_END;
}

/* A bracket that stands open. */
typedef struct open_bracket {
    const char *at;
    mw_token_kind close; /* what closes it */
    bool commas;         /* whether commas part values around it */
} open_bracket;

/* Passes over values behind commas where a bracket holds only one. If nothing closes it, that is the fault
 * and not the comma. */
static void pass_commas(mw_reading *reading, mw_token_kind close)
{
    mw_str comma = mw_tree_now(reading);
    bool quiet = reading->quiet;
    while (reading->now.kind == MW_TOKEN_COMMA) {
        reading->quiet = true;
        mw_lexer_next(reading);
        mw_parser_resume(reading);
    }
    reading->quiet = quiet;
    if (reading->now.kind == close) {
        mw_parser_stray_comma(reading, comma);
    }
}

/* Passes over what stands where the bracket should be closed, and over the closing one. */
static void close_bracket(mw_reading *reading, const open_bracket *open)
{
    if (!ends_value(reading->now.kind)) {
        mw_parser_misfit(reading);
        mw_parser_resume(reading);
    }
    if (reading->now.kind == MW_TOKEN_COMMA) {
        pass_commas(reading, open->close);
    }
    if (reading->now.kind == open->close) {
        reading->quiet = false;
    } else {
        mw_parser_unclosed(reading, open->at);
    }
    reading->commas = open->commas;
    if (reading->now.kind != MW_TOKEN_END) {
        mw_lexer_next(reading);
    }
}

/* bracket = "(" formula ")" */
uint32_t mw_value_bracket(mw_reading *reading)
{
    open_bracket open = {reading->now.begin, MW_TOKEN_CLOSE, reading->commas};
    if (!mw_tree_enter(reading)) {
        return mw_tree_hole(reading);
    }
    reading->commas = false;
    mw_lexer_next(reading);
    uint32_t inner = mw_parser_formula(reading);
    close_bracket(reading, &open);
    reading->depth--;
    mw_node *node = mw_tree_node(reading, inner);
    if (node->kind != MW_NODE_TEXT) {
        node->begin = mw_tree_offset(reading, open.at);
        node->end = mw_tree_offset(reading, reading->before_end);
    }
    return inner;
}

/* values = [ formula { "," formula } ] CLOSE; the present token is the opening bracket. Sets height to
 * that of the highest value. Returns how many there are, put aside for mw_parser_gather(). */
static uint32_t read_values(mw_reading *reading, mw_token_kind close)
{
    open_bracket open = {reading->now.begin, close, reading->commas};
    uint32_t count = 0;
    uint32_t height = 0;
    reading->commas = true;
    mw_lexer_next(reading);
    bool more = reading->now.kind != close;
    while (more) {
        mw_parser_put(reading, mw_parser_formula(reading));
        height = mw_tree_higher(height, reading->height);
        count++;
        if (reading->quiet || !ends_value(reading->now.kind)) {
            mw_parser_misfit(reading);
            mw_parser_resume(reading);
        }
        more = reading->now.kind == MW_TOKEN_COMMA;
        if (more) {
            mw_lexer_next(reading);
        }
    }
    close_bracket(reading, &open);
    reading->height = height;
    return count;
}

/* list = "[" values "]" */
uint32_t mw_value_list(mw_reading *reading)
{
    uint32_t begin = mw_tree_offset(reading, reading->now.begin);
    if (!mw_tree_enter(reading)) {
        return mw_tree_hole(reading);
    }
    uint32_t count = read_values(reading, MW_TOKEN_CLOSE_LIST);
    reading->depth--;
    uint32_t first = mw_parser_gather(reading, count);
    uint32_t id =
        mw_tree_add(reading, MW_NODE_LIST, begin, mw_tree_offset(reading, reading->before_end));
    mw_tree_node(reading, id)->a = first;
    mw_tree_node(reading, id)->count = (uint16_t)count;
    mw_tree_grow(reading, reading->height);
    return id;
}

/* Turns the path `id`, behind which a bracket opens, into a call. */
static uint32_t read_call(mw_reading *reading, uint32_t id)
{
    mw_node *path = mw_tree_node(reading, id);
    if (path->count > 1) {
        mw_lexer_error(
            reading, MW_CODE_UNKNOWN_FUNCTION,
            mw_lexer_piece(reading->base + path->begin, reading->base + path->end),
            "`%.*s` is no function: the name of a function has no point",
            mw_lexer_shown(mw_lexer_piece(reading->base + path->begin, reading->base + path->end)),
            reading->base + path->begin);
    }
    if (!mw_tree_enter(reading)) {
        return mw_tree_hole(reading);
    }
    uint32_t count = read_values(reading, MW_TOKEN_CLOSE);
    reading->depth--;
    uint32_t first = mw_parser_gather(reading, count);
    mw_node *call = mw_tree_node(reading, id);
    call->kind = MW_NODE_CALL;
    call->count = (uint16_t)count;
    call->b = call->a;
    call->a = first;
    call->end = mw_tree_offset(reading, reading->before_end);
    mw_tree_grow(reading, reading->height);
    return id;
}

/* name = path | NAME "(" values ")" */
uint32_t mw_value_name(mw_reading *reading)
{
    uint32_t id = mw_parser_path(reading);
    return reading->now.kind == MW_TOKEN_OPEN ? read_call(reading, id) : id;
}

/* Adds a node of one child whose sign stands at `begin`. */
static uint32_t add_unary(mw_reading *reading, mw_node_kind kind, uint32_t begin, uint32_t child)
{
    uint32_t id = mw_tree_add(reading, kind, begin, mw_tree_node(reading, child)->end);
    mw_tree_node(reading, id)->a = child;
    mw_tree_grow(reading, reading->height);
    return id;
}

/* not = "not" comparison */
uint32_t mw_value_not(mw_reading *reading)
{
    uint32_t begin = mw_tree_offset(reading, reading->now.begin);
    if (!mw_tree_enter(reading)) {
        return mw_tree_hole(reading);
    }
    mw_lexer_next(reading);
    uint32_t child = mw_parser_level(reading, MW_LEVEL_NOT);
    reading->depth--;
    return add_unary(reading, MW_NODE_NOT, begin, child);
}

/* minus = "-" power. A number keeps its sign: -20 degC is a temperature, not its opposite. */
uint32_t mw_value_minus(mw_reading *reading)
{
    uint32_t begin = mw_tree_offset(reading, reading->now.begin);
    if (!mw_tree_enter(reading)) {
        return mw_tree_hole(reading);
    }
    mw_lexer_next(reading);
    bool literal = reading->now.kind == MW_TOKEN_NUMBER;
    uint32_t child = mw_parser_level(reading, MW_LEVEL_SIGN);
    reading->depth--;
    mw_node *node = mw_tree_node(reading, child);
    if (literal && node->kind == MW_NODE_NUMBER) {
        node->number = -node->number;
        node->begin = begin;
        return child;
    }
    return add_unary(reading, MW_NODE_NEGATE, begin, child);
}

/* plus = "+" power, not right behind another sign */
uint32_t mw_value_plus(mw_reading *reading)
{
    if (reading->before >= MW_TOKEN_PLUS && reading->before <= MW_TOKEN_CARET) {
        mw_parser_missing(reading);
    }
    if (!mw_tree_enter(reading)) {
        return mw_tree_hole(reading);
    }
    mw_lexer_next(reading);
    uint32_t child = mw_parser_level(reading, MW_LEVEL_SIGN);
    reading->depth--;
    return child;
}

/* Goes on behind a word that has to stand here; reports where it does not. */
static bool expect_word(mw_reading *reading, mw_token_kind kind, const char *word)
{
    if (reading->now.kind == kind) {
        mw_lexer_next(reading);
        return true;
    }
    mw_diag *diag = mw_lexer_error(reading, MW_CODE_SYNTAX, mw_tree_now(reading),
                                   "`%s` is missing here to go with `if`", word);
    mw_diag_try(reading->diags, diag, "if a > b then a else b");
    reading->quiet = true;
    return false;
}

/* if = "if" formula "then" formula "else" or: an `as` at the very end converts the whole choice */
uint32_t mw_value_if(mw_reading *reading)
{
    uint32_t begin = mw_tree_offset(reading, reading->now.begin);
    if (!mw_tree_enter(reading)) {
        return mw_tree_hole(reading);
    }
    mw_lexer_next(reading);
    uint32_t children[3];
    children[0] = mw_parser_formula(reading);
    uint32_t height = reading->height;
    if (!expect_word(reading, MW_TOKEN_THEN, "then")) {
        return mw_tree_hole(reading);
    }
    children[1] = mw_parser_formula(reading);
    height = mw_tree_higher(height, reading->height);
    if (!expect_word(reading, MW_TOKEN_ELSE, "else")) {
        return mw_tree_hole(reading);
    }
    children[2] = mw_parser_level(reading, MW_LEVEL_OR);
    reading->depth--;
    uint32_t id = mw_tree_add(reading, MW_NODE_IF, begin, mw_tree_node(reading, children[2])->end);
    mw_node *node = mw_tree_node(reading, id);
    node->a = children[0];
    node->b = children[1];
    node->c = children[2];
    mw_tree_grow(reading, mw_tree_higher(height, reading->height));
    return id;
}
