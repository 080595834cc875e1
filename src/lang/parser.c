/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Formulas to trees: one table says what each token does at the beginning of a value and behind one, and
 * how tightly it binds there. Source: Pratt, Top Down Operator Precedence, 1973. */
#include "parser.h"

#include "parser_tree.h"
#include "parser_value.h"

typedef uint32_t go_on_function(mw_reading *reading, uint32_t left);

typedef struct rule {
    mw_value_function *begin; /* reads a value that begins with the token */
    go_on_function *go_on;    /* reads on where the token stands behind the value `left` */
    uint8_t level;            /* how tightly it binds there; NOTHING: it does not */
    uint8_t op;               /* mw_operator of a BINARY */
} rule;

static go_on_function read_binary, read_power, read_comparison, read_range, read_conversion;

static const rule rules[MW_TOKEN_COUNT] = {
    [MW_TOKEN_END] = {.begin = mw_value_nothing},
    [MW_TOKEN_WRONG] = {.begin = mw_value_wrong},
    [MW_TOKEN_NUMBER] = {.begin = mw_value_number},
    [MW_TOKEN_DATE] = {.begin = mw_value_date},
    [MW_TOKEN_TEXT] = {.begin = mw_value_text},
    [MW_TOKEN_NAME] = {.begin = mw_value_name},
    [MW_TOKEN_USUAL] = {.begin = mw_value_usual},
    [MW_TOKEN_YES] = {.begin = mw_value_truth},
    [MW_TOKEN_NO] = {.begin = mw_value_truth},
    [MW_TOKEN_IF] = {.begin = mw_value_if},
    [MW_TOKEN_THEN] = {.begin = mw_value_nothing},
    [MW_TOKEN_ELSE] = {.begin = mw_value_nothing},
    [MW_TOKEN_NOT] = {.begin = mw_value_not},
    [MW_TOKEN_AS] = {mw_value_nothing, read_conversion, MW_LEVEL_AS, 0},
    [MW_TOKEN_OR] = {mw_value_nothing, read_binary, MW_LEVEL_OR, MW_OR},
    [MW_TOKEN_AND] = {mw_value_nothing, read_binary, MW_LEVEL_AND, MW_AND},
    [MW_TOKEN_EQUAL] = {mw_value_nothing, read_comparison, MW_LEVEL_COMPARE, MW_EQUAL},
    [MW_TOKEN_UNEQUAL] = {mw_value_nothing, read_comparison, MW_LEVEL_COMPARE, MW_UNEQUAL},
    [MW_TOKEN_LESS] = {mw_value_nothing, read_comparison, MW_LEVEL_COMPARE, MW_LESS},
    [MW_TOKEN_LESS_EQUAL] = {mw_value_nothing, read_comparison, MW_LEVEL_COMPARE, MW_LESS_EQUAL},
    [MW_TOKEN_GREATER] = {mw_value_nothing, read_comparison, MW_LEVEL_COMPARE, MW_GREATER},
    [MW_TOKEN_GREATER_EQUAL] = {mw_value_nothing, read_comparison, MW_LEVEL_COMPARE,
                                MW_GREATER_EQUAL},
    [MW_TOKEN_RANGE] = {mw_value_nothing, read_range, MW_LEVEL_RANGE, 0},
    [MW_TOKEN_PLUS] = {mw_value_plus, read_binary, MW_LEVEL_SUM, MW_ADD},
    [MW_TOKEN_MINUS] = {mw_value_minus, read_binary, MW_LEVEL_SUM, MW_SUBTRACT},
    [MW_TOKEN_STAR] = {mw_value_nothing, read_binary, MW_LEVEL_PRODUCT, MW_MULTIPLY},
    [MW_TOKEN_SLASH] = {mw_value_nothing, read_binary, MW_LEVEL_PRODUCT, MW_DIVIDE},
    [MW_TOKEN_CARET] = {mw_value_nothing, read_power, MW_LEVEL_POWER, MW_POWER},
    [MW_TOKEN_OPEN] = {.begin = mw_value_bracket},
    [MW_TOKEN_CLOSE] = {.begin = mw_value_nothing},
    [MW_TOKEN_OPEN_LIST] = {.begin = mw_value_list},
    [MW_TOKEN_CLOSE_LIST] = {.begin = mw_value_nothing},
    [MW_TOKEN_COMMA] = {.begin = mw_value_nothing},
    [MW_TOKEN_COLON] = {.begin = mw_value_nothing},
};

_Static_assert(MW_TOKEN_COUNT == 34, "every token needs a rule");

bool mw_parser_is_sign(mw_token_kind kind)
{
    return rules[kind].level != MW_LEVEL_NOTHING;
}

static inline uint32_t read_onward(mw_reading *reading, uint32_t left, mw_level level)
{
    while (rules[reading->now.kind].level >= (uint8_t)level) {
        left = rules[reading->now.kind].go_on(reading, left);
    }
    return left;
}

uint32_t mw_parser_level(mw_reading *reading, mw_level level)
{
    uint32_t left = rules[reading->now.kind].begin(reading);
    return read_onward(reading, left, level);
}

/* formula = any { "as" UNIT } */
uint32_t mw_parser_formula(mw_reading *reading)
{
    return mw_parser_level(reading, MW_LEVEL_AS);
}

uint32_t mw_parser_onward(mw_reading *reading, uint32_t left)
{
    return read_onward(reading, left, MW_LEVEL_AS);
}

/* Reads the sign and its right side, which binds at least as tightly as `level`. */
static uint32_t read_right(mw_reading *reading, uint32_t left, mw_level level)
{
    uint8_t op = rules[reading->now.kind].op;
    uint32_t at = mw_tree_offset(reading, reading->now.begin);
    uint32_t height = reading->height;
    mw_lexer_next(reading);
    uint32_t right = mw_parser_level(reading, level);
    uint32_t id = mw_tree_add(reading, MW_NODE_BINARY, mw_tree_node(reading, left)->begin,
                              mw_tree_node(reading, right)->end);
    mw_node *node = mw_tree_node(reading, id);
    node->op = op;
    node->at = at;
    node->a = left;
    node->b = right;
    mw_tree_grow(reading, mw_tree_higher(height, reading->height));
    return id;
}

/* or = and { "or" and };  and = not { "and" not };  sum = product { ( "+" | "-" ) product };
 * product = sign { ( "*" | "/" ) sign } */
static uint32_t read_binary(mw_reading *reading, uint32_t left)
{
    return read_right(reading, left, (mw_level)(rules[reading->now.kind].level + 1));
}

/* power = value [ "^" ( power | minus ) ] */
static uint32_t read_power(mw_reading *reading, uint32_t left)
{
    if (!mw_tree_enter(reading)) {
        return left;
    }
    uint32_t id = read_right(reading, left, MW_LEVEL_SIGN);
    reading->depth--;
    return id;
}

/* comparison = range [ ( "=" | "<>" | "<" | "<=" | ">" | ">=" ) range ] */
static uint32_t read_comparison(mw_reading *reading, uint32_t left)
{
    uint32_t id = read_right(reading, left, MW_LEVEL_RANGE);
    if (rules[reading->now.kind].level == MW_LEVEL_COMPARE) {
        mw_parser_chained(reading, id);
    }
    return id;
}

/* The unit behind the last value of a range serves those in front that have none. */
static void share_unit(mw_reading *reading, const mw_node *range)
{
    const mw_node *high = mw_tree_node(reading, range->c);
    uint32_t others[2] = {range->a, range->b};
    for (int i = 0; i < 2; i++) {
        mw_node *other = others[i] == MW_NONE ? NULL : mw_tree_node(reading, others[i]);
        if (other != NULL && other->kind == MW_NODE_NUMBER && other->unit == MW_UNIT_ONE &&
            high->kind == MW_NODE_NUMBER) {
            other->unit = high->unit;
        }
    }
}

/* range = sum [ ".." sum [ ".." sum ] ] */
static uint32_t read_range(mw_reading *reading, uint32_t low)
{
    uint32_t at = mw_tree_offset(reading, reading->now.begin);
    uint32_t height = reading->height;
    mw_lexer_next(reading);
    uint32_t likely = MW_NONE;
    uint32_t high = mw_parser_level(reading, MW_LEVEL_SUM);
    height = mw_tree_higher(height, reading->height);
    if (reading->now.kind == MW_TOKEN_RANGE) {
        mw_lexer_next(reading);
        likely = high;
        high = mw_parser_level(reading, MW_LEVEL_SUM);
        height = mw_tree_higher(height, reading->height);
    }
    if (reading->now.kind == MW_TOKEN_RANGE) {
        mw_lexer_error(reading, MW_CODE_SYNTAX, mw_tree_now(reading),
                       "a range has at most three values: low .. likely .. high");
        mw_tree_give_up(reading);
    }
    uint32_t id = mw_tree_add(reading, MW_NODE_RANGE, mw_tree_node(reading, low)->begin,
                              mw_tree_node(reading, high)->end);
    mw_node *node = mw_tree_node(reading, id);
    node->at = at;
    node->a = low;
    node->b = likely;
    node->c = high;
    share_unit(reading, node);
    mw_tree_grow(reading, height);
    return id;
}

/* conversion = or "as" UNIT */
static uint32_t read_conversion(mw_reading *reading, uint32_t left)
{
    const char *as = reading->now.begin;
    mw_unit unit = MW_UNIT_ONE;
    const char *end = mw_lexer_unit(reading, reading->now.end, &unit);
    uint32_t id = mw_tree_add(reading, MW_NODE_AS, mw_tree_node(reading, left)->begin,
                              mw_tree_offset(reading, end));
    mw_node *node = mw_tree_node(reading, id);
    node->at = mw_tree_offset(reading, as);
    node->a = left;
    node->unit = unit;
    reading->now.end = end;
    reading->at = end;
    uint32_t height = reading->height;
    mw_lexer_next(reading);
    if (rules[reading->now.kind].level > MW_LEVEL_AS) {
        mw_diag *diag = mw_lexer_error(reading, MW_CODE_SYNTAX, mw_tree_now(reading),
                                       "`as` and its unit come last");
        mw_diag_try(reading->diags, diag, "put brackets round what `as` converts: (a as kg) ...");
        reading->quiet = true;
    }
    mw_tree_grow(reading, height);
    return id;
}
